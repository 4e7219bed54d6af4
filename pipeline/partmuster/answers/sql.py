"""How an answer puts its question to the database: literals, and macros kept as tables.

The answers are table macros (``partmuster_schemas/sql/answers_*.sql``) built of smaller ones. Asked
as they are, the planner expands every use of every macro: donors for one vehicle of a club of 1,000
vehicles and 1,000,000 holdings took 3.6 s, against 0.9 s this way (measured on two busy cores). An
answer therefore keeps the rows of the macros it uses more than once in temporary tables, and lets
temporary macros of the same name, which are found first, read those.
"""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING

from partmuster.store.frames import fetch

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator

    import polars as pl
    from duckdb import DuckDBPyConnection


def text_literal(text: str | None) -> str:
    """Return a text as a SQL literal."""
    return "NULL" if text is None else "'" + text.replace("'", "''") + "'"


def list_literal(texts: Iterable[str] | None) -> str:
    """Return texts as a SQL list literal; None = no limit."""
    if texts is None:
        return "NULL"
    return "CAST([" + ", ".join(text_literal(text) for text in texts) + "] AS VARCHAR[])"


def when(as_of: dt.date | None, known_now: bool) -> str:
    """Return the arguments ``day, known_now`` of every macro."""
    day = "NULL" if as_of is None else f"DATE '{as_of.isoformat()}'"
    return f"{day}, {str(known_now).lower()}"


class Question:
    """One question on a connection, with the macros it keeps as tables while it is asked."""

    def __init__(self, con: DuckDBPyConnection) -> None:
        self.con = con
        self._kept: list[str] = []

    def keep(self, macro: str, parameters: str, arguments: str) -> None:
        """Keep the rows of a macro; later uses read them, whatever their arguments.

        ``parameters`` are the macro's own, ``arguments`` those it is asked with now.
        """
        self.drop(macro)
        self.con.execute(
            f"CREATE TEMP TABLE kept_{macro} AS SELECT * FROM {macro}({arguments})"  # noqa: S608  (literals made above)
        )
        self._kept.append(macro)
        self.con.execute(
            f"CREATE TEMP MACRO {macro}({parameters}) AS TABLE SELECT * FROM kept_{macro}"  # noqa: S608  (as above)
        )

    def drop(self, *macros: str) -> None:
        """Ask these macros themselves again."""
        for macro in macros:
            if macro in self._kept:
                self._kept.remove(macro)
                self.con.execute(f"DROP MACRO TABLE IF EXISTS temp.{macro}")
                self.con.execute(f"DROP TABLE temp.kept_{macro}")

    def drop_all(self) -> None:
        """Leave the connection as it was."""
        self.drop(*reversed(self._kept.copy()))

    def rows(self, sql: str) -> pl.DataFrame:
        """Return the rows of a query."""
        return fetch(self.con, sql)


@contextmanager
def question(con: DuckDBPyConnection) -> Iterator[Question]:
    """Ask within a context; nothing temporary is left behind."""
    asked = Question(con)
    try:
        yield asked
    finally:
        asked.drop_all()


_SCOPED = "vehicle_ids, part_ids, day, known_now"


def keep_vehicles(asked: Question, moment: str) -> None:
    """Keep what all answers use: the vehicles and their builds and serials."""
    for macro in ("vehicles_as_of", "stated_builds_as_of", "serials_as_of"):
        asked.keep(macro, "day, known_now", moment)


def keep_items(asked: Question, vehicles: str, parts: str, moment: str) -> None:
    """Keep the items of some vehicles and parts (list literals), step by step."""
    asked.drop("vehicle_items", "survey_statements", "required_items", "applicable_requirements")
    for macro in (
        "applicable_requirements", "required_items", "survey_statements", "vehicle_items",
    ):  # fmt: skip
        asked.keep(macro, _SCOPED, f"{vehicles}, {parts}, {moment}")


def keep_lack_items(asked: Question, vehicles: str, parts: str, moment: str) -> None:
    """Keep the items that the aims of some vehicles need, with their states."""
    keep_items(asked, vehicles, parts, moment)
    asked.keep("lack_items", _SCOPED, f"{vehicles}, {parts}, {moment}")

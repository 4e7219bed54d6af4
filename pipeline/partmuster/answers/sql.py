"""How an answer puts its question to the database: literals, and macros kept as tables.

The answers are table macros (``partmuster_schemas/sql/answers_*.sql``) built of smaller ones. Asked
as they are, every part of a question reads the large tables again. An answer therefore keeps the
rows of the macros that it uses in temporary tables, and lets temporary macros of the same name,
which are found first, read those: three answers for one vehicle of a club of 1,000 vehicles and
1,000,000 holdings took 2.3 s with whole macros (``python -m tests.bench answers`` has the figures
of today).
"""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final
from weakref import WeakKeyDictionary

from partmuster.store.frames import stage, worked_out
from partmuster.store.vocabulary_tables import use_vocabulary

from .displaced import keep_displaced_names
from .sizes import keep_requirement_sizes, keep_survey_sizes

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

    from .sizes import Sizes

#: An unsure reading of a description counts where it leads with at least this probability.
PROBABLE: Final = 0.5


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


@dataclass(frozen=True, slots=True)
class _Kept:
    """What is kept on a connection for one moment and vocabulary: arguments by macro."""

    moment: str
    vocabulary: Vocabulary
    macros: dict[str, str]


#: A club that is open for reading cannot change (nobody may write a database that another program
#: reads), so what one question kept serves the next one on the same connection.
_KEPT: WeakKeyDictionary[DuckDBPyConnection, _Kept] = WeakKeyDictionary()


class Question:
    """One question on a connection, with the macros it keeps as tables while it is asked."""

    def __init__(
        self, con: DuckDBPyConnection, vocabulary: Vocabulary, moment: str, kept: dict[str, str]
    ) -> None:
        self.con = con
        self.vocabulary = vocabulary
        self.moment = moment
        #: Sizes of standard hardware that are items of their own; None = not asked for yet.
        self.sizes: Sizes | None = None
        self._kept = kept
        self._in_use: list[str] = []

    def keep(
        self,
        macro: str,
        parameters: str,
        arguments: str,
        *,
        where: str = "true",
        rows_of: str | None = None,
    ) -> None:
        """Keep the rows of a macro; later uses read them, whatever their arguments.

        ``parameters`` are the macro's own but for ``day`` and ``known_now``, ``arguments`` those
        it is asked with now. ``where`` says which of the rows a later use gets. ``rows_of`` names
        another macro that gives all of the rows that this question will need.
        """
        after, before = (f"{text}, " if text else "" for text in (arguments, parameters))
        self.drop(macro)
        make = ""
        if not self.has(macro, arguments):
            make = (
                f"CREATE OR REPLACE TEMP TABLE kept_{macro} AS "  # noqa: S608  (literals made above)
                f"SELECT * FROM {rows_of or macro}({after}{self.moment});"
            )
        self._kept.pop(macro, None)
        self.con.execute(
            f"{make} CREATE TEMP MACRO {macro}({before}day, known_now) AS TABLE "  # noqa: S608  (literals made above)
            f"SELECT * FROM kept_{macro} WHERE {where}"
        )
        self._kept[macro] = arguments
        self._in_use.append(macro)

    def keep_rows(self, macro: str, rows: pl.DataFrame) -> None:
        """Let a macro of no parameters but the moment give these rows."""
        self.drop(macro)
        stage(self.con, f"kept_{macro}", rows)
        self.con.execute(
            f"CREATE TEMP MACRO {macro}(day, known_now) AS TABLE SELECT * FROM kept_{macro}"  # noqa: S608  (names are this package's own)
        )
        self._kept[macro] = "rows"
        self._in_use.append(macro)

    def has(self, macro: str, arguments: str) -> bool:
        """Return whether the rows of a macro, asked with these arguments, are kept."""
        return self._kept.get(macro) == arguments

    def drop(self, *macros: str) -> None:
        """Ask these macros themselves again."""
        dropped = [macro for macro in macros if macro in self._in_use]
        if dropped:
            self._in_use = [macro for macro in self._in_use if macro not in dropped]
            self.con.execute("; ".join(f"DROP MACRO TABLE temp.{macro}" for macro in dropped))

    def forget(self, *macros: str) -> None:
        """Work these macros out again where they are kept next."""
        self.drop(*macros)
        for macro in macros:
            self._kept.pop(macro, None)

    def drop_all(self) -> None:
        """Let every macro mean what it says again."""
        self.drop(*self._in_use)

    def rows(self, sql: str) -> pl.DataFrame:
        """Return the rows of a query."""
        return worked_out(self.con, sql)


@contextmanager
def question(
    con: DuckDBPyConnection, vocabulary: Vocabulary, as_of: dt.date | None, known_now: bool
) -> Iterator[Question]:
    """Ask within a context, with this vocabulary; all macros are afterwards as they were."""
    moment = when(as_of, known_now)
    kept = _KEPT.get(con)
    if kept is None or (kept.moment, kept.vocabulary) != (moment, vocabulary):
        use_vocabulary(con, vocabulary)
        _forget(con, kept)
        kept = _Kept(moment, vocabulary, {})
        if _cannot_change(con):
            _KEPT[con] = kept
    asked = Question(con, vocabulary, moment, kept.macros)
    try:
        yield asked
    finally:
        asked.drop_all()
        if con not in _KEPT:
            _forget(con, kept)


def _cannot_change(con: DuckDBPyConnection) -> bool:
    row = con.execute(
        "SELECT readonly FROM duckdb_databases() WHERE database_name = current_database()"
    ).fetchall()
    return bool(row and row[0][0])


def _forget(con: DuckDBPyConnection, kept: _Kept | None) -> None:
    for macro in kept.macros if kept else ():
        con.execute(f"DROP TABLE IF EXISTS temp.kept_{macro}")


_READINGS = "part_ids, probability_from"
OF_ITEMS: Final = "vehicle_ids, part_ids"


#: What is worked out of the evidence about some vehicles.
_OF_EVIDENCE = (
    "build_pieces_as_of", "build_probabilities_as_of", "builds_told_as_of",
    "assembly_builds_as_of", "stated_builds_as_of",
)  # fmt: skip


def keep_names(asked: Question) -> None:
    """Keep what names mean, and what the club knows of each vehicle."""
    for macro in ("name_meanings", "lines_decided", "vehicles_as_of", "serials_as_of"):
        asked.keep(macro, "", "")


def keep_vehicles(asked: Question, vehicle_id: str | None = None) -> None:
    """Keep what all answers use: names, the vehicles and their builds and serials.

    With ``vehicle_id`` evidence is weighed of this vehicle alone: the others have no builds then.
    """
    keep_names(asked)
    told = builds_can_be_told(asked.con)
    if told:
        only = list_literal(None if vehicle_id is None else [vehicle_id])
        if not asked.has("vehicles_to_tell", only):
            asked.forget(*_OF_EVIDENCE)
        asked.keep("vehicles_to_tell", "", only, rows_of="vehicles_among")
        told = vehicle_id is None or _something_tells(asked, vehicle_id)
        if told and not asked.has("assembly_builds_as_of", ""):
            keep_build_evidence(asked)
    asked.keep("assembly_builds_as_of", "", "",
               rows_of=None if told else "builds_settled_as_of")  # fmt: skip
    asked.keep("stated_builds_as_of", "", "")


def builds_can_be_told(con: DuckDBPyConnection) -> bool:
    """Return whether any source ever said what tells a build: without one nothing is told."""
    return bool(con.execute("SELECT line_id FROM said_build LIMIT 1").fetchall())


#: What may tell of one of a vehicle's assemblies: something seen of it, a conclusion about it, or a
#: number in a series that a table divides among builds.
_OWN_EVIDENCE: Final = """
    WITH names AS (SELECT key FROM accepted_names('vehicle', {moment}) WHERE target = ?)
    SELECT 1 WHERE EXISTS (FROM said_feature WHERE vehicle_key IN (FROM names))
        OR EXISTS (FROM said_history WHERE vehicle_key IN (FROM names) AND assembly IS NOT NULL)
        OR EXISTS (
            FROM said_vehicle v JOIN said_build b
              ON lower(coalesce(b.series, b.assembly)) = lower(coalesce(v.series, v.assembly))
            WHERE v.vehicle_key IN (FROM names) AND v.serial_value IS NOT NULL
              AND (b.first_serial IS NOT NULL OR b.last_serial IS NOT NULL))
"""


def _something_tells(asked: Question, vehicle_id: str) -> bool:
    """Return whether there may be evidence of a vehicle's assemblies; without it none is told."""
    sql = _OWN_EVIDENCE.format(moment=asked.moment)
    return bool(asked.con.execute(sql, [vehicle_id]).fetchall())


def keep_build_evidence(asked: Question) -> None:
    """Keep the steps by which builds are told of evidence; each is planned and worked out once."""
    for macro in (
        "build_lines_as_of", "build_candidates_as_of", "build_features_as_of",
        "build_pieces_as_of", "build_probabilities_as_of", "builds_told_as_of",
        "builds_settled_as_of",
    ):  # fmt: skip
        asked.keep(macro, "", "")


def keep_items(asked: Question, vehicles: str, parts: str, families: str = "NULL") -> None:
    """Keep the items of some vehicles and parts (list literals), with all that was seen of them.

    ``families``: the lists of which alone this question reads lines.
    """
    arguments = f"{vehicles}, {parts}"
    told = asked.has("told_items", arguments)
    if not (told and asked.has("required_alike", arguments)):
        if parts != "NULL":
            keep_readings(asked, parts)
        elif vehicles not in ("NULL", FOLDED):
            asked.keep("part_readings", _READINGS, vehicles, rows_of="readings_for_vehicles")
        if vehicles != FOLDED:
            keep_requirements(asked, vehicles, parts, families)
    follows = False
    if not told:
        _keep_statements(asked, vehicles, parts)
        follows = _something_follows(asked)
        if follows:
            keep_displaced_names(asked)
    asked.keep(
        "told_items", OF_ITEMS, arguments, rows_of=None if follows else "untold_items"
    )  # fmt: skip
    asked.keep("required_alike", OF_ITEMS, arguments)


def _keep_statements(asked: Question, vehicles: str, parts: str) -> None:
    """Keep what is required of some vehicles and parts, and what surveys say of them."""
    arguments = f"{vehicles}, {parts}"
    asked.keep("required_items", OF_ITEMS, arguments,
               rows_of="required_if_looked_at" if vehicles == FOLDED else None)  # fmt: skip
    keep_survey_sizes(asked, arguments)
    asked.keep("survey_statements", OF_ITEMS, arguments)


def keep_requirements(asked: Question, vehicles: str, parts: str, families: str = "NULL") -> None:
    """Keep which lines hold for vehicles, each with its like, and what depends on a build."""
    arguments = f"{vehicles}, {parts}"
    keep_requirement_sizes(asked)
    alone = vehicles.count("'") == 2  # noqa: PLR2004  (the quotes of one id)
    if parts == "NULL":
        asked.keep(
            "requirement_items", "part_ids", families, rows_of="requirements_of_families",
            where="part_ids IS NULL OR list_contains(part_ids, part_id)",
        )  # fmt: skip
    alike = ("parts_asking", "vehicles_alike", "vehicles_asked_of")
    if alone:
        asked.drop(*alike)
    else:
        asked.keep("parts_asking", "part_ids", parts, rows_of="what_parts_ask")
        asked.keep("vehicles_alike", OF_ITEMS, arguments,
                   rows_of="what_vehicles_share")  # fmt: skip
        asked.keep("vehicles_asked_of", OF_ITEMS, arguments,
                   rows_of="vehicles_standing")  # fmt: skip
    if not asked.has("required_alike", arguments):
        asked.keep("applicable_requirements", OF_ITEMS, arguments)
        depends = asked.con.execute(
            "SELECT 1 FROM kept_applicable_requirements WHERE applies IS NULL LIMIT 1"
        ).fetchall()
        asked.keep("depending_items", OF_ITEMS, arguments,
                   rows_of=None if depends else "no_depending_items")  # fmt: skip
    asked.keep("required_alike", OF_ITEMS, arguments)
    # these tell of those alone that stand for their like
    asked.drop("vehicles_asked_of", "applicable_requirements", "depending_items")


#: Stands for every vehicle where assemblies of which nothing was looked at are set apart.
FOLDED: Final = "CAST(NULL AS VARCHAR[])"


def _something_follows(asked: Question) -> bool:
    """Return whether what was seen of one item may say something of another."""
    return bool(asked.con.execute(
        "SELECT 1 WHERE EXISTS (FROM said_survey WHERE displaced IS NOT NULL) OR EXISTS ("
        "  FROM kept_survey_statements WHERE seen IN ('missing', 'stand-in', 'stand-in accepted', "
        "    'away-for-repair', 'off-and-kept') "
        "  AND (part_id IN (SELECT whole_part FROM assembly) "
        "       OR EXISTS (FROM said_requirement WHERE parent_words IS NOT NULL)))"
    ).fetchall())  # fmt: skip


def keep_lack_items(asked: Question, vehicles: str, parts: str) -> None:
    """Keep the items that the aims of some vehicles need, with their states."""
    arguments = f"{vehicles}, {parts}"
    if not asked.has("lack_items", arguments):
        keep_items(asked, vehicles, parts)
    asked.keep("lack_items", OF_ITEMS, arguments)


def keep_readings(asked: Question, parts: str) -> None:
    """Keep which descriptions mean some parts (a list literal)."""
    asked.keep(
        "part_readings", _READINGS, f"{parts}, {PROBABLE}",
        where="accepted OR probability >= probability_from",
    )  # fmt: skip


def keep_parts_on_vehicles(asked: Question, vehicles: list[str], parts: str) -> None:
    """Keep what was seen of some parts (a list literal) on some vehicles, for taking off."""
    asked.drop("told_items")
    keep_requirements(asked, list_literal(vehicles), parts)
    _keep_statements(asked, list_literal(vehicles), parts)
    asked.keep("parts_on_vehicles", OF_ITEMS, f"{list_literal(vehicles)}, {parts}")


def some_are_one(con: DuckDBPyConnection) -> bool:
    """Return whether people ever decided that lines of several sheets are one item."""
    return bool(con.execute("SELECT 1 FROM identification WHERE role = 'item' LIMIT 1").fetchall())


def keep_loose_parts(asked: Question, parts: str) -> None:
    """Keep the loose parts that may be some parts (a list literal), and promises of them."""
    asked.keep("loose_parts", "part_ids", parts,
               rows_of=None if some_are_one(asked.con) else "loose_lines")  # fmt: skip
    promises = asked.con.execute("SELECT line_id FROM said_promise LIMIT 1").fetchall()
    asked.keep(
        "promised_parts", "part_ids", parts, rows_of=None if promises else "no_promised_parts"
    )  # fmt: skip

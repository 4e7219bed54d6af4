"""The answer ``holders``, who has this part. The rules are in ``answers_4_holders.sql``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.store.vocabulary_tables import use_vocabulary

from .parts import asked_part
from .sql import keep_items, keep_vehicles, list_literal, question, text_literal, when

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

HULKS = ("hulk", "breaking")


def holders(
    con: DuckDBPyConnection,
    vocabulary: Vocabulary,
    words: str,
    identify: Callable[[str], pl.DataFrame] | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
) -> pl.DataFrame:
    """Return who has a part, the surest and most available first: columns of ``answers.Holder``.

    ``words`` are free words, with a side, position or number if wanted, or a part id. What names
    no hand where one is asked for comes after what does, "hand not stated: ask".

    Raises:
        UnknownPartError: the words name no part.
    """
    use_vocabulary(con, vocabulary)
    wanted = asked_part(words, vocabulary, identify)
    moment = when(as_of, known_now)
    parts = list_literal(wanted.part_ids)
    with question(con) as asked:
        keep_vehicles(asked, moment)
        keep_items(asked, list_literal(hulks(con)), parts, moment)
        return asked.rows(
            f"SELECT * FROM holders_of({parts}, {text_literal(wanted.side)}, "  # noqa: S608  (literals)
            f"{text_literal(wanted.position)}, {moment})"
        )


def hulks(con: DuckDBPyConnection, roles: tuple[str, ...] = HULKS) -> list[str]:
    """Return the ids of vehicles of these roles, from the vehicles kept for the question."""
    found = con.execute(
        "SELECT vehicle_id FROM kept_vehicles_as_of "  # noqa: S608  (literals)
        f"WHERE list_contains({list_literal(roles)}, coalesce(role, 'unknown')) ORDER BY 1"
    ).fetchall()
    return [vehicle_id for (vehicle_id,) in found]

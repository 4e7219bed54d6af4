"""The answer ``holders``, who has this part. The rules are in ``answers_4_holders.sql``."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.reading.numbers import normal_number

from .parts import UnknownPartError, asked_part
from .sql import (
    keep_loose_parts,
    keep_parts_on_vehicles,
    keep_readings,
    keep_vehicles,
    list_literal,
    question,
    some_are_one,
    text_literal,
)

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary


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
    no hand where one is asked for comes after what does, "hand not stated: ask". Words that name no
    known part find holdings that nobody has identified: by number, else by all the words.

    Raises:
        UnknownPartError: the words name no part, and no such holding either.
    """
    try:
        wanted = asked_part(words, vocabulary, identify)
    except UnknownPartError:
        rows = _unidentified(con, vocabulary, words, as_of, known_now)
        if rows.height == 0:
            raise
        return rows
    parts = list_literal(wanted.part_ids)
    with question(con, vocabulary, as_of, known_now) as asked:
        keep_vehicles(asked)
        keep_readings(asked, parts)
        keep_parts_on_vehicles(asked, _apart(con), parts)
        keep_loose_parts(asked, parts)
        return asked.rows(
            f"SELECT * FROM holders_of({parts}, {text_literal(wanted.side)}, "  # noqa: S608  (literals)
            f"{text_literal(wanted.position)}, {asked.moment})"
        )


def _unidentified(
    con: DuckDBPyConnection,
    vocabulary: Vocabulary,
    words: str,
    as_of: dt.date | None,
    known_now: bool,
) -> pl.DataFrame:
    """Return holdings that nobody has identified, with this number or with all these words."""
    with question(con, vocabulary, as_of, known_now) as asked:
        if not some_are_one(con):
            asked.keep("older_sightings", "", "", rows_of="no_older_sightings")
        return asked.rows(
            f"SELECT * FROM unidentified_holders({text_literal(normal_number(words) or None)}, "  # noqa: S608  (literals)
            f"words_of({text_literal(words)}), {asked.moment})"
        )


def _apart(con: DuckDBPyConnection) -> list[str]:
    found = con.execute(
        "SELECT vehicle_id FROM vehicles_apart(NULL, NULL) ORDER BY 1"  # the vehicles kept
    ).fetchall()
    return [vehicle_id for (vehicle_id,) in found]

"""The answer ``lacks``: what each vehicle lacks, and how complete it is.

The rules are in ``answers_2_vehicle_items.sql`` and ``answers_3_lacks.sql``; the columns in
``partmuster_schemas.answers``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .sql import keep_items, keep_lack_items, keep_vehicles, list_literal, question
from .vehicles import find_vehicle

if TYPE_CHECKING:
    import datetime as dt

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class LacksAnswer:
    """``rows``: columns of ``answers.Lack``; ``completeness``: of ``answers.Completeness``."""

    rows: pl.DataFrame
    completeness: pl.DataFrame


def lacks(
    con: DuckDBPyConnection,
    vocabulary: Vocabulary,
    vehicle: str | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
    include_all: bool = False,
) -> LacksAnswer:
    """Return what a vehicle (None = every vehicle) lacks, and how complete it is.

    ``include_all`` adds what is fitted, off and kept, away for repair, accepted as a stand-in, or
    was never there.

    Raises:
        UnknownVehicleError: no vehicle is called so.
    """
    with question(con, vocabulary, as_of, known_now) as asked:
        keep_vehicles(asked)
        ids = None if vehicle is None else [find_vehicle(con, vehicle, as_of, known_now)]
        vehicles = list_literal(ids)
        keep_items(asked, vehicles, "NULL")
        keep_lack_items(asked, vehicles, "NULL")
        rows = asked.rows(
            f"SELECT * FROM lacks_of({vehicles}, NULL, {asked.moment}, "  # noqa: S608  (literals)
            f"{str(include_all).lower()})"
        )
        completeness = asked.rows(f"SELECT * FROM completeness_of({vehicles}, {asked.moment})")  # noqa: S608  (literals)
    return LacksAnswer(rows, completeness)

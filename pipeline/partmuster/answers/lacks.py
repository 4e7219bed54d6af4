"""The answer ``lacks``: what each vehicle lacks, and how complete it is.

The rules are in ``answers_2_*.sql`` and ``answers_3_lacks.sql``; the columns in
``partmuster_schemas.answers``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.assemblies import assembly_id

from .apart import families_of, keep_few, keep_unseen
from .parts import UnknownPartError
from .sql import (
    FOLDED,
    keep_items,
    keep_names,
    keep_vehicles,
    list_literal,
    question,
)
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
    opened: str | None = None,
) -> LacksAnswer:
    """Return what a vehicle (None = every vehicle) lacks, and how complete it is.

    ``include_all`` adds what is fitted, off and kept, away for repair, accepted as a stand-in, or
    was never there. ``opened`` names an assembly or a part: only what belongs to it is returned,
    item by item, where a row would stand for all of it.

    Raises:
        UnknownVehicleError, UnknownPartError: no vehicle, no assembly or part is called so.
    """
    within = None if opened is None else _opened(opened, vocabulary)
    with question(con, vocabulary, as_of, known_now) as asked:
        keep_names(asked)
        vehicle_id = None if vehicle is None else find_vehicle(con, vehicle, as_of, known_now)
        keep_vehicles(asked, vehicle_id)
        ids = None if vehicle_id is None else [vehicle_id]
        vehicles, families = list_literal(ids), "NULL"
        if vehicle_id is not None:
            families = list_literal(families_of(asked, vehicle_id))
        elif within is None:
            vehicles = FOLDED
        keep_few(asked, vehicles)
        if vehicles == FOLDED:
            keep_unseen(asked)
        keep_items(asked, vehicles, "NULL", families)
        rows = asked.rows(
            f"SELECT * FROM lacks_of({vehicles}, NULL, {asked.moment}, "  # noqa: S608  (literals)
            f"{str(include_all).lower()}, opened := {list_literal(within)})"
        )
        completeness = asked.rows(f"SELECT * FROM completeness_of({vehicles}, {asked.moment})")  # noqa: S608  (literals)
    return LacksAnswer(rows, completeness)


def _opened(words: str, vocabulary: Vocabulary) -> list[str]:
    """Return the ids of the assembly and of the parts that some words name."""
    folded = words.strip().casefold()
    found = [assembly_id(words)] + [
        one.assembly_id
        for one in vocabulary.assemblies()
        if folded in {one.assembly_id, one.name.casefold()}
    ]
    parts = [part.part_id for part in vocabulary.named(words)]
    if folded in vocabulary:
        parts.append(folded)
    ids = [one for one in dict.fromkeys([*found, *parts]) if one is not None]
    if not ids:
        raise UnknownPartError(f"'{words}' is no assembly and no part of the vocabulary.")
    return ids

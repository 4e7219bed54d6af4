"""The answer ``donors``: where each lacking item could come from, and whether it fits.

The rules are in ``answers_5_donors.sql``. Without a vehicle named, vehicles that are being broken
and hulks without a stated aim are not asked for: nobody looks for parts for them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .chains import candidate_parts, keep_fits, of_item
from .hardware import keep_hardware, lacking_hardware
from .parts import asked_part
from .sql import (
    keep_lack_items,
    keep_loose_parts,
    keep_parts_on_vehicles,
    keep_readings,
    keep_vehicles,
    list_literal,
    question,
)
from .vehicles import find_vehicle

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Sequence

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

    from .sql import Question


def donors(
    con: DuckDBPyConnection,
    vocabulary: Vocabulary,
    vehicle: str | None = None,
    part: str | None = None,
    identify: Callable[[str], pl.DataFrame] | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
    include_all: bool = False,
) -> pl.DataFrame:
    """Return where lacking items could come from, best first: columns of ``answers.Donor``.

    ``part``: free words or a part id; None = everything that is lacking. ``include_all`` shows
    vehicles as well that nothing may be taken from.

    Raises:
        UnknownVehicleError, UnknownPartError: nothing is called so.
    """
    wanted = None if part is None else asked_part(part, vocabulary, identify)
    with question(con, vocabulary, as_of, known_now) as asked:
        keep_vehicles(asked)
        one = None if vehicle is None else find_vehicle(con, vehicle, as_of, known_now)
        ids = looked_for(con) if one is None else [one]
        vehicles, parts = list_literal(ids), list_literal(wanted.part_ids if wanted else None)
        if wanted is None:
            keep_lack_items(asked, vehicles, parts)
        else:
            # with what it may have gone with
            keep_lack_items(asked, vehicles, list_literal(_with_wholes(asked, wanted.part_ids)))
        candidates = keep_candidates(asked, parts, include_all)
        rows = asked.rows(
            f"SELECT * FROM donors_of({vehicles}, {parts}, {candidates}, {asked.moment}, "  # noqa: S608  (literals)
            f"{str(include_all).lower()})"
        )
    return rows if wanted is None else of_item(rows, wanted, vocabulary)


def keep_candidates(asked: Question, parts: str, include_all: bool = False) -> str:
    """Keep what may serve for some parts (a list literal) that the kept items lack.

    Returns the list literal that ``donors_of`` and ``offers_for`` take for it.
    """
    lacking = list_literal(_lacking_parts(asked, parts))
    keep_fits(asked)
    hardware = lacking_hardware(asked, asked.vocabulary)
    candidates = list_literal([*candidate_parts(asked, lacking), *hardware.kin])
    keep_readings(asked, candidates)
    keep_parts_on_vehicles(asked, _donor_vehicles(asked.con, include_all), candidates)
    keep_loose_parts(asked, candidates)
    keep_hardware(asked, hardware)
    return candidates


def looked_for(con: DuckDBPyConnection) -> list[str]:
    """Return the vehicles that parts are looked for, of those that are kept."""
    found = con.execute(
        "SELECT vehicle_id FROM kept_vehicles_as_of "
        "WHERE NOT (coalesce(role, '') = 'breaking' "
        "OR (coalesce(role, '') = 'hulk' AND aim IS NULL)) ORDER BY 1"
    ).fetchall()
    return [vehicle_id for (vehicle_id,) in found]


def _donor_vehicles(con: DuckDBPyConnection, include_all: bool) -> list[str]:
    """Return the vehicles that something may be taken from, or all."""
    found = con.execute(
        "SELECT vehicle_id FROM kept_vehicles_as_of "
        "WHERE ? OR role IN ('hulk', 'breaking') OR owner_agrees ORDER BY 1",
        [include_all],
    ).fetchall()
    return [vehicle_id for (vehicle_id,) in found]


def _lacking_parts(asked: Question, parts: str) -> list[str]:
    """Return what is looked for of some parts (a list literal)."""
    found = asked.con.execute(
        f"SELECT DISTINCT part_id FROM looked_for(NULL, {parts}, {asked.moment}) ORDER BY 1"  # noqa: S608  (literals)
    ).fetchall()
    return [part_id for (part_id,) in found]


def _with_wholes(asked: Question, parts: Sequence[str]) -> list[str]:
    """Return some parts, and all wholes that they may have gone with."""
    con = asked.con
    found = con.execute("SELECT whole_part FROM assembly WHERE whole_part IS NOT NULL").fetchall()
    wanted = {*parts, *(part_id for (part_id,) in found)}
    if con.execute(
        "SELECT 1 FROM said_requirement WHERE parent_words IS NOT NULL LIMIT 1"
    ).fetchall():
        under = con.execute(
            f"SELECT DISTINCT part_id, under_part FROM listed_parents({asked.moment})"  # noqa: S608  (literals)
        ).fetchall()
        before = 0
        while len(wanted) > before:
            before = len(wanted)
            wanted |= {parent for part_id, parent in under if part_id in wanted}
    return sorted(wanted)

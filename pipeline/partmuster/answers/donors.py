"""The answer ``donors``: where each lacking item could come from, and whether it fits.

The rules are in ``answers_5_donors.sql``. Without a vehicle named, vehicles that are being broken
and hulks without a stated aim are not asked for: nobody looks for parts for them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.store.vocabulary_tables import use_vocabulary

from .holders import HULKS, hulks
from .parts import AskedPart, asked_part
from .sql import (
    Question,
    keep_items,
    keep_lack_items,
    keep_vehicles,
    list_literal,
    question,
    text_literal,
    when,
)
from .vehicles import find_vehicle

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

_ALL_ROLES = (*HULKS, "kept-whole", "under-restoration", "on-loan", "unknown")


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
    use_vocabulary(con, vocabulary)
    moment = when(as_of, known_now)
    wanted = None if part is None else asked_part(part, vocabulary, identify)
    with question(con) as asked:
        keep_vehicles(asked, moment)
        if vehicle is None:
            ids = _looked_for(con)
        else:
            ids = [find_vehicle(con, vehicle, as_of, known_now)]
        vehicles, parts = list_literal(ids), list_literal(wanted.part_ids if wanted else None)
        keep_lack_items(asked, vehicles, parts, moment)
        lacking = _lacking_parts(con)
        asked.keep("fit_statements", "day, known_now", moment)
        candidates = list_literal(_candidates(con, lacking, moment))
        roles = _ALL_ROLES if include_all else HULKS
        sources = hulks(con, roles) + ([] if include_all else _agreed(con))
        keep_items(asked, list_literal(sorted(set(sources))), candidates, moment)
        asked.keep(
            "parts_on_vehicles", "roles, part_ids, day, known_now",
            f"{list_literal(_ALL_ROLES)}, {candidates}, {moment}",
        )  # fmt: skip
        asked.keep("loose_parts", "part_ids, day, known_now", f"{candidates}, {moment}")
        return _ranked(asked, f"{vehicles}, {parts}, {candidates}, {moment}", wanted, include_all)


def _ranked(
    asked: Question, arguments: str, wanted: AskedPart | None, include_all: bool
) -> pl.DataFrame:
    hand = wanted.side if wanted else None
    position = wanted.position if wanted else None
    return asked.rows(
        f"SELECT d.* FROM donors_of({arguments}, {str(include_all).lower()}) d "  # noqa: S608  (literals)
        f"JOIN part p ON p.part_id = d.part WHERE coalesce(d.hand = item_hand("
        f"{text_literal(hand)}, p.handed), true) AND coalesce(d.position = item_position("
        f"{text_literal(position)}, p.positions), true)"
    )


def _looked_for(con: DuckDBPyConnection) -> list[str]:
    found = con.execute(
        "SELECT vehicle_id FROM kept_vehicles_as_of "
        "WHERE NOT (coalesce(role, '') = 'breaking' "
        "OR (coalesce(role, '') = 'hulk' AND aim IS NULL)) ORDER BY 1"
    ).fetchall()
    return [vehicle_id for (vehicle_id,) in found]


def _agreed(con: DuckDBPyConnection) -> list[str]:
    found = con.execute("SELECT vehicle_id FROM kept_vehicles_as_of WHERE owner_agrees").fetchall()
    return [vehicle_id for (vehicle_id,) in found]


def _lacking_parts(con: DuckDBPyConnection) -> list[str]:
    found = con.execute(
        "SELECT DISTINCT part_id FROM kept_lack_items "
        "WHERE state IN ('missing', 'unserviceable', 'stand-in') AND quantity > 0 ORDER BY 1"
    ).fetchall()
    return [part_id for (part_id,) in found]


def _candidates(con: DuckDBPyConnection, lacking: list[str], moment: str) -> list[str]:
    found = con.execute(
        f"SELECT part_id FROM candidate_parts({list_literal(lacking)}, {moment}) ORDER BY 1"  # noqa: S608  (literals)
    ).fetchall()
    return [part_id for (part_id,) in found]

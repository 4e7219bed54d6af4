"""The answer ``explain``: why each part that may serve goes, or does not go, on a vehicle.

The rules are in ``answers_5_donors.sql`` and ``answers_6_fits_asked.sql``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.answers import Explanation
from partmuster_schemas.columns import polars_schema

from .chains import candidate_parts, keep_fits, of_item
from .fits import keep_targets_on
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
    from collections.abc import Callable

    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary


def explain(
    con: DuckDBPyConnection,
    vocabulary: Vocabulary,
    part: str,
    vehicle: str,
    identify: Callable[[str], pl.DataFrame] | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
) -> pl.DataFrame:
    """Return why yes and why no: columns of ``answers.Explanation``.

    The club's holdings come first, those on every vehicle among them, then what statements say of
    parts that nobody is known to have.

    Raises:
        UnknownPartError, UnknownVehicleError: nothing is called so.
    """
    wanted = asked_part(part, vocabulary, identify)
    parts = list_literal(wanted.part_ids)
    with question(con, vocabulary, as_of, known_now) as asked:
        keep_vehicles(asked)
        vehicles = list_literal([find_vehicle(con, vehicle, as_of, known_now)])
        keep_lack_items(asked, vehicles, parts)
        asked.keep(
            "looked_for", "vehicle_ids, part_ids", f"{vehicles}, {parts}",
            rows_of="items_asked_about",
        )  # fmt: skip
        keep_fits(asked)
        keep_readings(asked, parts)
        keep_targets_on(asked, parts, vehicles)
        hardware = lacking_hardware(asked, vocabulary, "kept_looked_for")
        candidates = list_literal([*candidate_parts(asked, parts), *hardware.kin])
        keep_readings(asked, candidates)
        everywhere = [one for (one,) in con.execute(
            "SELECT vehicle_id FROM kept_vehicles_as_of ORDER BY 1").fetchall()]  # fmt: skip
        keep_parts_on_vehicles(asked, everywhere, candidates)
        keep_loose_parts(asked, candidates)
        keep_hardware(asked, hardware)
        rows = asked.rows(
            f"SELECT * FROM explain_of({vehicles}, {parts}, {candidates}, {asked.moment})"  # noqa: S608  (literals)
        )
        is_listed = bool(con.execute("SELECT part_id FROM kept_looked_for LIMIT 1").fetchall())
    rows = of_item(rows, wanted, vocabulary)
    return rows if is_listed else pl.concat([_not_listed(wanted.part_ids), rows])


def _not_listed(parts: tuple[str, ...]) -> pl.DataFrame:
    why = "no parts list or survey says that this vehicle has one, or its aim does not need it"
    return pl.DataFrame(
        [{"part": parts[0], "verdict": "unknown", "why": why}], schema=polars_schema(Explanation)
    )

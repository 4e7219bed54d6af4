"""Which vehicle, person or place a name means: worked out over all names, whatever came first.

Vehicles, people and places get readable ids from the lines that register them. A name that means
two of them is never settled by luck: both are offered and a person is asked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from .decided_pairs import SAME_PERSON, SAME_VEHICLE
from .decisions import NONE, all_standing
from .frames import stage
from .identifications import CONCLUSION_SCHEMA, record_concluded
from .kinds_said import kinds_said, united
from .known_names import decided_names
from .registered import (
    people,
    people_rows,
    place_rows,
    places,
    plain,
    slug,
    vehicle_rows,
    vehicles,
)
from .short_names import NOBODY, shortened

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from .decisions import Standing
    from .registered import Entry, Registered
    from .short_names import People, Vehicles

_NOT_LISTED = {
    "vehicle": "no vehicle of that name in the register",
    "holder": "not in the members' list",
    "place": "not in the list of places",
}


def identify_names(con: DuckDBPyConnection, now: dt.datetime) -> int:
    """Conclude what every name means and record what changed; return how many names did.

    Runs over all names ever said and all registers that count now, so that the order of imports
    does not matter. Decisions on topics vehicle, holder and place rule over it.
    """
    decisions = all_standing(con)
    registers = {
        "vehicle": vehicles(vehicle_rows(con), decisions.get(SAME_VEHICLE)),
        "holder": people(people_rows(con), decisions.get(SAME_PERSON)),
        "place": places(place_rows(con)),
    }
    short = shortened(registers)
    rows: list[dict[str, Any]] = []
    said: dict[str, list[str]] = {role: [] for role in registers}
    ever = united("ever_said_name", kinds_said(con))
    for role, key in con.execute(f"FROM ({ever}) ORDER BY ALL").fetchall():
        said[role].append(key)
    for role, registered in registers.items():
        rows += _conclude(
            role,
            said[role],
            registered,
            short.get(role),
            decided_names(decisions, role, registered),
        )
    stage(con, "concluded", pl.DataFrame(rows, schema=CONCLUSION_SCHEMA))
    return record_concluded(con, now)


def _conclude(
    role: str,
    names: list[str],
    registered: Registered,
    short: People | Vehicles | None,
    decisions: Mapping[str, Standing],
) -> list[dict[str, Any]]:
    ids, owners = registered.ids, registered.called
    rows: list[dict[str, Any]] = []
    for name in names:
        meant = owners.get(plain(name), {})
        said = decisions.get(name)
        if said is not None and said.answer is not None:
            rows.append(_decided(role, name, said, ids, owners))
        elif said is not None:
            reason = "two decisions contradict each other"
            rows += _rows(role, name, list(meant) or [None], reason, accepted=False)
        elif len(meant) > 1:
            reason = f"{len(meant)} go by this"
            rows += _rows(role, name, list(meant), reason, accepted=False)
        elif meant:
            entity, sort = next(iter(meant.items()))
            rows += _rows(role, name, [entity], f"its {sort}", accepted=True)
        elif (shorter := short.named(name) if short else NOBODY).ids:
            rows += _rows(role, name, shorter.ids, shorter.reason, accepted=shorter.sure)
        else:
            own = None if role == "vehicle" else slug(name)
            rows += _rows(role, name, [own], _NOT_LISTED[role], accepted=own is not None)
    return rows


def _decided(
    role: str,
    name: str,
    said: Standing,
    ids: dict[str, Entry],
    owners: dict[str, dict[str, str]],
) -> dict[str, Any]:
    """Return what a standing decision makes of a name."""
    answer = said.answer or NONE
    reason = f"decided by {said.decided_by}"
    target: str | None = None
    method = "decision"
    meant = owners.get(plain(answer), {})
    if answer == NONE:
        pass
    elif answer in ids:
        target = answer
    elif len(meant) == 1:
        target = next(iter(meant))
    elif role != "vehicle" and not meant:
        target = slug(answer)
    else:
        method = "name"
        reason = f"{reason}: {answer}, but the register has no such vehicle, or several"
    return _row(role, name, 1, target, 1.0 if method == "decision" else 0.0, reason,
                method=method, accepted=target is not None)  # fmt: skip


def _rows(
    role: str, name: str, targets: Sequence[str | None], reason: str, *, accepted: bool
) -> list[dict[str, Any]]:
    chance = 0.0 if targets[0] is None else 1.0 / len(targets)
    return [
        _row(role, name, rank, target, chance, reason, method="name", accepted=accepted)
        for rank, target in enumerate(targets, start=1)
    ]


def _row(
    role: str,
    name: str,
    rank: int,
    target: str | None,
    probability: float,
    reason: str,
    *,
    method: str,
    accepted: bool,
) -> dict[str, Any]:
    return {
        "role": role, "key": name, "rank": rank, "target": target, "probability": probability,
        "method": method, "reasons": reason, "accepted": accepted,
    }  # fmt: skip

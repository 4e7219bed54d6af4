"""Which vehicle is meant: by name, or by any of its numbers."""

from __future__ import annotations

import difflib
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError
from partmuster.reading.text import fold

from .sql import when

if TYPE_CHECKING:
    import datetime as dt

    from duckdb import DuckDBPyConnection

_NEAR = 6


class UnknownVehicleError(PartmusterError):
    """No vehicle of the club is called so, or more than one is."""


def find_vehicle(
    con: DuckDBPyConnection, words: str, as_of: dt.date | None = None, known_now: bool = False
) -> str:
    """Return the id of the vehicle that is called so; capitals do not matter.

    Raises:
        UnknownVehicleError: none is, or several are; the text names near ones.
    """
    names_of = f"SELECT vehicle_id, name FROM vehicle_names_as_of({when(as_of, known_now)})"  # noqa: S608  (a date and a truth value)
    wanted = fold(words).strip()
    called_so = con.execute(f"{names_of} WHERE name = ?", [wanted]).fetchall()
    if len(called_so) == 1:  # as a rule; folding every name of the club takes longer
        return str(called_so[0][0])
    names = con.execute(names_of).fetchall()
    known: dict[str, set[str]] = {}
    for vehicle_id, name in names:
        known.setdefault(fold(name).strip(), set()).add(vehicle_id)
    found = sorted(known.get(wanted, ()))
    if len(found) == 1:
        return found[0]
    if found:
        raise UnknownVehicleError(
            f"'{words}' is on more than one vehicle: {', '.join(found)}. Say which by its name."
        )
    near = difflib.get_close_matches(wanted, sorted(known), n=_NEAR, cutoff=0.5)
    near += [name for name in sorted(known) if wanted in name and name not in near]
    hint = f" Did you mean: {', '.join(near[:_NEAR])}?" if near else ""
    raise UnknownVehicleError(f"the club knows no vehicle '{words}'.{hint}")

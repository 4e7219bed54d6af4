"""What ``lacks`` alone keeps: what is set apart of all vehicles, and what one has no need of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .sql import FOLDED, OF_ITEMS, keep_requirements

if TYPE_CHECKING:
    from .sql import Question


def keep_unseen(asked: Question) -> None:
    """Set apart, of all vehicles (`FOLDED`), the assemblies of which nothing was looked at.

    With 1,000 vehicles and 5,000 requirement lines a build these hold nearly all items.
    """
    if not (asked.has("unseen_assemblies", FOLDED)
            and asked.has("required_alike", f"{FOLDED}, NULL")):  # fmt: skip
        keep_requirements(asked, FOLDED, "NULL")
        asked.keep("survey_statements", OF_ITEMS, f"{FOLDED}, NULL")
    asked.keep("vehicles_alike", OF_ITEMS, f"{FOLDED}, NULL",
               rows_of="what_vehicles_share")  # fmt: skip
    asked.keep("required_sums", "vehicle_ids", FOLDED)
    asked.keep("unseen_assemblies", "vehicle_ids", FOLDED, rows_of="assemblies_unseen")


def families_of(asked: Question, vehicle_id: str) -> list[str]:
    """Return the family of a vehicle, if it is known, as lines of lists name it."""
    found = asked.con.execute(
        f"SELECT lower(family) FROM vehicles_as_of({asked.moment}) "  # noqa: S608  (a date and a truth value)
        "WHERE vehicle_id = ? AND family IS NOT NULL",
        [vehicle_id],
    ).fetchall()
    return [family for (family,) in found]


def keep_few(asked: Question, vehicles: str) -> None:
    """Keep as empty what few clubs have and this one has not, and what is not set apart."""
    adapted = asked.con.execute(
        "SELECT 1 FROM said_survey WHERE making IN ('adapted', 'new-made') LIMIT 1"
    ).fetchall()
    if not adapted:
        asked.keep("adapted_beside", "vehicle_ids", "", rows_of="nothing_adapted")
    if vehicles != FOLDED:
        asked.keep("unseen_lacks", "vehicle_ids", "", rows_of="no_unseen_lacks")
        asked.keep("unseen_sums", "vehicle_ids", "", rows_of="no_unseen_sums")

"""What ``lacks`` alone keeps: what is set apart of all vehicles, and what one has no need of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from .sql import FOLDED, OF_ITEMS, keep_requirements

if TYPE_CHECKING:
    from .sql import Question

#: What few clubs have: a step, its parameters, the lines it is told of, and the same without any.
_FEW: Final = (
    ("adapted_beside", "vehicle_ids", "said_survey WHERE making IN ('adapted', 'new-made')",
     "nothing_adapted"),
    ("later_changes", "vehicle_ids", "said_survey WHERE displaced IS NOT NULL",
     "no_later_changes"),
    ("listed_parents", "", "said_requirement WHERE parent_words IS NOT NULL",
     "no_listed_parents"),
)  # fmt: skip


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
    for macro, parameters, lines, nothing in _FEW:
        if not asked.con.execute(f"SELECT 1 FROM {lines} LIMIT 1").fetchall():  # noqa: S608  (see above)
            asked.keep(macro, parameters, "", rows_of=nothing)
    if vehicles != FOLDED:
        asked.keep("unseen_lacks", "vehicle_ids", "", rows_of="no_unseen_lacks")
        asked.keep("unseen_sums", "vehicle_ids", "", rows_of="no_unseen_sums")

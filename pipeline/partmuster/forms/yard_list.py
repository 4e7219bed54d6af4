"""The form of a yard list: what to take and measure, and what was taken and found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from .kinds import Column, FormKind
from .stock_take import Fault, day_of, number_of, understood

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from partmuster.model import Problem

    from .kinds import Entry, FilledForm, FilledRow

TAKEN, NOT_THERE, SEEN, FOUND = "taken", "not_there", "seen", "found"
#: Between the parts of a row's id.
_BETWEEN: Final = "|"

YARD_LIST_FORM = FormKind(
    name="yard-list",
    version=1,
    sheet="Yard list",
    title="Yard list",
    lead=(
        "Take nothing without its owner's word. Fill in what you took and found; rows may stay "
        "empty. Then: partmuster import THIS-FILE"
    ),
    columns=(
        Column("do", "What to do", 12),
        Column("vehicle", "For", 14),
        Column("part", "Part", 24),
        Column("which", "Side, position", 14),
        Column("needed", "Needed", 8),
        Column("source", "From", 20),
        Column("standing", "Offered?", 10),
        Column("fit", "Does it go?", 14),
        Column("condition", "Condition", 13),
        Column("check", "Look out for", 36),
        Column("caution", "Caution", 30),
        Column(TAKEN, "Taken", 8, filled=True),
        Column(NOT_THERE, "Not there", 9, filled=True, choices=("yes",)),
        Column(SEEN, "Seen on", 11, filled=True),
        Column(FOUND, "What you found", 30, filled=True),
    ),
    legend=(
        ("What to do", ("take: it goes on. measure: look, measure and ask before you take it. "
         "refuse: it has the name, and never goes there; leave it.")),
        ("Taken", ("How many you took. What is left is counted down, and what you took is held by "
         "you until it is fitted.")),
        ("Not there", "Write yes where it was gone: then nobody travels for it again."),
        ("What you found", "Sizes, numbers, how it is: it is kept with the line, in your words."),
        ("Seen on", ("The day, as 2026-03-31. Left empty, it is the day on which the form is "
         "imported.")),
        ("Cautions", ("Heavy assemblies are for people with rated gear and the licence for it; "
         "local law and licensed practice decide.")),
        ("Sorting", ("Rows may be sorted, hidden or deleted. The last column is hidden: it tells "
         "which row is which, so leave it as it is, and add no rows.")),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Offered:
    """What a row of the form is about: a loose part by its line, or a part on a vehicle."""

    vehicle: str
    part_id: str
    hand: str
    position: str
    source: str
    line_id: str

    @property
    def row_id(self) -> str:
        """The id that the form carries."""
        return _BETWEEN.join((self.vehicle, self.part_id, self.hand, self.position, self.source,
                              self.line_id))  # fmt: skip


def read_id(row_id: str) -> Offered | None:
    """Return what an id of a row stands for; None where it is none."""
    parts = row_id.split(_BETWEEN)
    return Offered(*parts) if len(parts) == 6 else None  # noqa: PLR2004 - as written above


@dataclass(frozen=True, slots=True)
class Taken:
    """What was taken or found of one offer: ``number`` None where nothing was taken."""

    offer: Offered
    row: int
    number: float | None
    not_there: bool
    seen: dt.date | None
    found: str | None


def understand_taken(name: str, form: FilledForm) -> tuple[list[Taken], list[Problem]]:
    """Return what a filled yard list says, and what in it cannot be understood."""
    return understood(name, form, _taken)


def _taken(row: FilledRow) -> Taken | Fault:
    entries: Mapping[str, Entry] = row.entries
    offer = read_id(row.row_id or "")
    number = number_of(entries[TAKEN], entries[NOT_THERE])
    day = day_of(entries[SEEN])
    if offer is None:
        return Fault(next(one for one in entries.values() if one.text), "no-id",
                     "the hidden id of this row is not what it was",
                     "make the form anew: ids are not to be changed")  # fmt: skip
    if isinstance(number, Fault):
        return number
    if isinstance(day, Fault):
        return day
    gone = number == 0 and not entries[TAKEN].text
    return Taken(offer, row.row, None if gone else number, gone, day, entries[FOUND].text)

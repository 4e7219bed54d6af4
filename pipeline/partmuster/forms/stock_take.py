"""The form of a stock-take: what a holder's lists say, and what the holder finds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, TypeVar

from partmuster.model import Problem
from partmuster.reading.dates import read_date
from partmuster.reading.quantities import read_quantity

from .kinds import Column, FormKind
from .wording import is_no, is_yes

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping

    from .kinds import Entry, FilledForm, FilledRow

COUNTED, CONDITION, PLACE, GONE, SEEN, REMARK = (
    "counted", "condition_now", "place_now", "gone", "seen", "remark",
)  # fmt: skip
#: Words of condition that the form offers; others may be typed.
CONDITIONS: Final = ("new old stock", "new", "good", "fair", "poor", "scrap", "u/s")

STOCK_TAKE = FormKind(
    name="stock-take",
    version=1,
    sheet="Stock-take",
    title="Stock-take",
    lead=(
        "Count, and fill in what you find; rows may stay empty. Then send it back, or: "
        "partmuster import THIS-FILE"
    ),
    columns=(
        Column("part", "Part", 24),
        Column("which", "Side, position", 14),
        Column("words", "Your list says", 34),
        Column("known", "How many", 9),
        Column("condition", "Condition", 13),
        Column("place", "Where", 16),
        Column("said_on", "Last seen", 11),
        Column(COUNTED, "Counted", 9, filled=True),
        Column(CONDITION, "Condition now", 14, filled=True, choices=CONDITIONS),
        Column(PLACE, "Where now", 16, filled=True),
        Column(GONE, "Gone", 7, filled=True, choices=("yes",)),
        Column(SEEN, "Seen on", 11, filled=True),
        Column(REMARK, "Remark", 26, filled=True),
    ),
    legend=(
        ("What this is", ("Each row is one line of your lists. What you fill in counts as a newer "
         "word on the same thing; the list itself is not changed, and nothing counts twice.")),
        ("Your name", "Write it once, at the top: what you fill in is kept as your word."),
        ("Counted", "How many there are: 3. If there is none any more, write yes under 'Gone'."),
        ("Condition now", "Only where it differs from what stands there."),
        ("Seen on", ("The day you saw it, as 2026-03-31. Left empty, it is the day on which the "
         "form is imported.")),
        ("Empty rows", "What you did not look at stays empty, and stays as it was."),
        ("New things", "Send a list of your own for them: this form takes no new rows."),
        ("Sorting", ("Rows may be sorted, hidden or deleted. The last column is hidden: it tells "
         "which row is which, so leave it as it is.")),
        ("Who may see it", "It names your things and where they are: it is for you alone."),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Counted:
    """What a holder found of one line; ``number`` 0 where it is gone, None where not counted."""

    line_id: str
    row: int
    number: float | None
    condition: str | None
    place: str | None
    seen: dt.date | None
    remark: str | None


@dataclass(frozen=True, slots=True)
class Fault:
    """A cell that cannot be understood, why, and what to do."""

    entry: Entry
    code: str
    words: str
    what_to_do: str

    def problem(self, name: str, sheet: str, row: int) -> Problem:
        """Return it as a problem of a form."""
        return Problem(self.code, self.words, self.what_to_do, name, sheet, row, self.entry.cell,
                       self.entry.text)  # fmt: skip


Said = TypeVar("Said")


def understood(
    name: str, form: FilledForm, read: Callable[[FilledRow], Said | Fault | None]
) -> tuple[list[Said], list[Problem]]:
    """Return what the rows of a form say, and what in them cannot be understood, with its cell."""
    found: list[Said] = []
    problems: list[Problem] = []
    for row in form.rows:
        filled = [entry for entry in row.entries.values() if entry.text]
        formula = next((entry for entry in filled if entry.is_formula), None)
        said: Said | Fault | None = None
        if formula is not None:
            said = Fault(formula, "formula", "a formula stands here", "write its result instead")
        elif filled:
            said = read(row) if row.row_id else _no_id(filled[0])
        if isinstance(said, Fault):
            problems.append(said.problem(name, form.sheet, row.row))
        elif said is not None:
            found.append(said)
    return found, problems


def _no_id(entry: Entry) -> Fault:
    return Fault(entry, "no-id", "the hidden id of this row is gone",
                 "make the form anew: rows cannot be added to it")  # fmt: skip


def understand_counts(name: str, form: FilledForm) -> tuple[list[Counted], list[Problem]]:
    """Return what a filled stock-take says, and what in it cannot be understood."""
    return understood(name, form, _counted)


def _counted(row: FilledRow) -> Counted | Fault:
    entries: Mapping[str, Entry] = row.entries
    number = number_of(entries[COUNTED], entries[GONE])
    day = day_of(entries[SEEN])
    if isinstance(number, Fault):
        return number
    if isinstance(day, Fault):
        return day
    return Counted(row.row_id or "", row.row, number, entries[CONDITION].text,
                   entries[PLACE].text, day, entries[REMARK].text)  # fmt: skip


def number_of(counted: Entry, gone: Entry) -> float | Fault | None:
    """Return how many are said, 0 where none is there, None where nothing is, or the fault."""
    if gone.text and not (is_yes(gone.text) or is_no(gone.text)):
        return Fault(gone, "not-yes", "this is neither yes nor no", "write yes, or clear the cell")
    is_gone = bool(gone.text and is_yes(gone.text))
    if not counted.text:
        return 0.0 if is_gone else None
    reading = read_quantity(counted.text)
    if reading.at_least is None or reading.at_least != reading.at_most:
        return Fault(counted, "no-number", "this is not one number", "write how many: 3")
    if is_gone and reading.at_least:
        return Fault(gone, "both", "it is gone, and some were counted",
                     "clear one of the two cells")  # fmt: skip
    return reading.at_least


def day_of(seen: Entry) -> dt.date | Fault | None:
    """Return the day in a cell, None where there is none, or the fault."""
    if not seen.text:
        return None
    read = read_date(seen.text, day_first=True)
    if read.date is None or read.problem:
        return Fault(seen, "no-date", "this is no day", "write it as 2026-03-31")
    return read.until or read.date

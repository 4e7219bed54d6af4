"""The form for what needs mending: a row a fault, and what is put in its place."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from partmuster.model import Problem

from .kinds import Column, FormKind
from .wording import is_no, is_yes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .kinds import Entry, FilledForm, FilledRow

PUT, LEAVE = "put", "leave"

MENDING = FormKind(
    name="mending",
    version=1,
    sheet="Mending",
    title="What needs mending",
    lead=(
        "Fill in 'Put instead', or 'yes' under 'Leave it out'; rows may stay empty. Then: "
        "partmuster import THIS-FILE"
    ),
    columns=(
        Column("file", "File", 18),
        Column("sheet", "Sheet", 12),
        Column("row", "Row", 6),
        Column("cell", "Cell", 7),
        Column("heading", "Column", 13),
        Column("words", "The line's words", 34),
        Column("stood", "What stands there", 16),
        Column("problem", "What is wrong", 28),
        Column("what_to_do", "What to do", 26),
        Column(PUT, "Put instead", 20, filled=True),
        Column(LEAVE, "Leave it out", 10, filled=True, choices=("yes",)),
    ),
    legend=(
        ("What this is", ("Each row is one thing in somebody's sheet that could not be read, so "
         "that the line it stands in does not count yet. The sheet itself is not changed.")),
        ("Your name", ("Write it once, at the top of the sheet 'Mending': what you fill in is kept "
         "as your word, and can be taken back.")),
        ("Put instead", ("What should have stood there, and nothing else: 3, 2026-03-31, missing. "
         "Some cells have a list to choose from; other words may be typed too. Write (nothing) "
         "where the place should be empty.")),
        ("Leave it out", ("Write yes where the line is no data at all (a note, a heading, a line "
         "struck out): then the whole line is left out, and counted as such.")),
        ("Empty rows", "Rows you cannot answer stay empty. They are in the next form again."),
        ("Row and cell", "Where it stands in the file named, as a spreadsheet program counts."),
        ("Sorting", ("Rows may be sorted, hidden or deleted. The last column is hidden: it tells "
         "which row is which, so leave it as it is, and add no rows.")),
        ("When done", ("Save the file as .xlsx and import it as any sheet: partmuster import "
         "FILE.xlsx. Importing it twice changes nothing.")),
        ("If two disagree", ("Where two forms put in different things, neither counts, and both "
         "are named until one is taken back (partmuster undo).")),
        ("Who may see it", ("The lines' words are the members' own, and may name people and "
         "places: pass the form on only to whom the registrar chooses.")),
        ("Afterwards", ("A newer version of the sheet with the same words is put right the same "
         "way. Where the sheet itself was corrected, what you filled in is no longer used.")),
    ),
)  # fmt: skip

#: The same form where some of the lines stand on pages.
MENDING_OF_PAGES = replace(
    MENDING,
    columns=(
        *MENDING.columns[:2],
        Column("page", "Page", 6),
        Column("box", "Box on the page", 17),
        *MENDING.columns[2:],
    ),
    legend=(
        *MENDING.legend,
        ("Page and box", ("Of a line that was read from a page: its row counted from the top of "
         "the page, and where it stands (left, top, right, bottom). To see the page beside what "
         "was read from it: partmuster proof FILE.")),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class MendingAnswer:
    """What one filled row says: of which fault, and in which cell; no ``put``: leave it out."""

    subject: str
    cell: str
    row: int
    put: str | None


def understand(name: str, form: FilledForm) -> tuple[list[MendingAnswer], list[Problem]]:
    """Return what a filled form says, and what in it cannot be understood, each with its cell."""
    answers: list[MendingAnswer] = []
    problems: list[Problem] = []
    for row in form.rows:
        found = _understood(row)
        if isinstance(found, MendingAnswer):
            answers.append(found)
        elif found is not None:
            entry, code, problem, what_to_do = found
            problems.append(problem_at(name, form, row.row, entry, code, problem, what_to_do))
    by_subject: dict[str, set[str | None]] = {}
    for one in answers:
        by_subject.setdefault(one.subject, set()).add(one.put)
    unlike = {subject for subject, said in by_subject.items() if len(said) > 1}
    problems += [
        Problem(
            "said-otherwise", "another row of this form says otherwise of the same line",
            "fill in one of them only", name, form.sheet, one.row, one.cell, one.put,
        )
        for one in answers
        if one.subject in unlike
    ]  # fmt: skip
    return [one for one in answers if one.subject not in unlike], problems


def problem_at(
    name: str, form: FilledForm, row: int, entry: Entry, code: str, problem: str, what_to_do: str
) -> Problem:
    """Return a fault of a form's cell."""
    return Problem(code, problem, what_to_do, name, form.sheet, row, entry.cell, entry.text)


def _understood(row: FilledRow) -> MendingAnswer | tuple[Entry, str, str, str] | None:
    """Return what a row says, None where it says nothing, or the entry at fault and why."""
    put, leave = row.entries[PUT], row.entries[LEAVE]
    for entry in (put, leave):
        if entry.is_formula:
            return entry, "formula", "a formula stands here", "write its result instead"
    if leave.text and not (is_yes(leave.text) or is_no(leave.text)):
        return leave, "not-yes", "this is neither yes nor no", "write yes, or clear the cell"
    leave_out = bool(leave.text and is_yes(leave.text))
    if put.text and leave_out:
        return (leave, "both", "the line is to be left out, and something put in as well",
                "clear one of the two cells")  # fmt: skip
    if not put.text and not leave_out:
        return None
    entry = put if put.text else leave
    if row.row_id is None:
        return (entry, "no-id", "the hidden id of this row is gone",
                "make the form anew: rows cannot be added to it")  # fmt: skip
    return MendingAnswer(row.row_id, entry.cell, row.row, put.text)


def answers_in_words(counts: Sequence[tuple[int, str]]) -> str:
    """Return counts as one line: "5 mended, 2 left out"; of nothing, that nothing is there."""
    return ", ".join(f"{count} {words}" for count, words in counts if count) or (
        "nothing is filled in"
    )

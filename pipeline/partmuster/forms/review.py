"""The form for doubts that people settle: a row a question, with its candidates to choose from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.model import Problem

from .kinds import Column, FormKind

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .kinds import FilledForm

ANSWER, WHO, NOTE = "answer", "who", "note"
_BETWEEN = " "

REVIEW = FormKind(
    name="review",
    version=1,
    sheet="Review",
    title="What only a person can settle",
    lead=(
        "Choose or write an answer; rows may stay empty. The first rows settle most. Then: "
        "partmuster import THIS-FILE"
    ),
    columns=(
        Column("value", "Worth", 7),
        Column("about", "About", 12),
        Column("question", "Question", 34),
        Column("words", "Words", 26),
        Column("also", "Also", 24),
        Column("where", "Where it stands", 40),
        Column("candidates", "Candidates", 26),
        Column(ANSWER, "Answer", 26, filled=True),
        Column(WHO, "Who says so", 14, filled=True),
        Column(NOTE, "Why", 24, filled=True),
    ),
    legend=(
        ("What this is", ("Each row is one thing that the club's sheets leave open. One answer "
         "settles all lines of these words in the same context, those still to come as well.")),
        ("Your name", ("Write it once, at the top of the sheet 'Review': what you answer is kept "
         "as your word, and can be taken back.")),
        ("Who says so", "Only where it is somebody else than the name at the top."),
        ("Worth", "How many lines an answer settles; lines that want the part count twice."),
        ("Also", ("Words that are much like the first: the answer settles them all. If it does not "
         "fit them all, leave the row empty, and say so under 'Why'.")),
        ("Answer", ("Choose from the list. Any other part may be written by its name or id, too. "
         "'none of these': the words name nothing that is kept track of. 'do not know' leaves it "
         "open.")),
        ("A new part", ("Where the thing is a part that the list of parts lacks, write: "
         "new: NAME, ASSEMBLY, HANDED (same, handed or reversible). It goes into the club's own "
         "words.")),
        ("Left and right", "Never part of an answer: a hand comes from each line itself."),
        ("Empty rows", "Rows you cannot answer stay empty. They are in the next form again."),
        ("Sorting", ("Rows may be sorted, hidden or deleted. The last column is hidden: it tells "
         "which row is which, so leave it as it is, and add no rows.")),
        ("When done", ("Save the file as .xlsx and import it as any sheet: partmuster import "
         "FILE.xlsx. Importing it twice changes nothing.")),
        ("If two disagree", ("Where two forms say different things, neither counts, and the "
         "question is asked again until one is taken back (partmuster undo).")),
        ("Who may see it", ("The lines' words are the members' own, and may name people and "
         "places: pass the form on only to whom the registrar chooses.")),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReviewAnswer:
    """What one filled row says: of which questions, in which cell, and who says so."""

    question_ids: tuple[str, ...]
    cell: str
    row: int
    put: str
    who: str | None
    note: str | None


def row_id(question_ids: Sequence[str]) -> str:
    """Return the id of a row that asks some questions at once."""
    return _BETWEEN.join(question_ids)


def understand_review(name: str, form: FilledForm) -> tuple[list[ReviewAnswer], list[Problem]]:
    """Return what a filled form says, and what in it cannot be understood, each with its cell."""
    answers: list[ReviewAnswer] = []
    problems: list[Problem] = []
    for row in form.rows:
        entry = row.entries[ANSWER]
        fault: tuple[str, str, str] | None = None
        if any(one.is_formula for one in row.entries.values()):
            fault = ("formula", "a formula stands here", "write its result instead")
        elif not entry.text:
            continue  # a note or a name alone answers nothing
        elif row.row_id is None:
            fault = ("no-id", "the hidden id of this row is gone",
                     "make the form anew: rows cannot be added to it")  # fmt: skip
        if fault is not None:
            problems.append(Problem(*fault, name, form.sheet, row.row, entry.cell, entry.text))
        elif entry.text and row.row_id:
            answers.append(ReviewAnswer(
                tuple(row.row_id.split()), entry.cell, row.row, entry.text,
                row.entries[WHO].text, row.entries[NOTE].text,
            ))  # fmt: skip
    return answers, problems

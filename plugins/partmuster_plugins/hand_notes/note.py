"""Reading one note whole: what it is about, its lists and their headings, its statements."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .fit_settling import settled_fits
from .last_word import last_word
from .notebook import Notebook
from .one_a_fact import one_a_fact
from .patterns import patterns
from .quotes import take_up
from .unsure_words import UnsureWords, with_doubts

if TYPE_CHECKING:
    from pathlib import Path

    from .documents import Note
    from .statement import Statement

Silent = tuple[str, int | None, int | None, str]

#: Kinds that are somebody's.
_OF_PEOPLE = frozenset({"holding", "want", "promise", "lead"})


@dataclass(frozen=True, slots=True)
class Stated:
    """A statement with its place in the file. ``doubt``: what a person must settle first."""

    statement: Statement
    row: int | None = None
    page: int | None = None
    box: str | None = None
    doubt: str | None = None

    def readings(self) -> list[list[Statement]]:
        """Return the readings that exclude each other, likeliest first, each with its lines."""
        return [lines for _, lines in self.choices()]

    def choices(self) -> list[tuple[str, list[Statement]]]:
        """Return the readings with the names that the core gives them, "else" for the last ones."""
        every = [
            one for each in (self.statement, *self.statement.otherwise)
            for one in _named(each, each.vehicles)
        ]  # fmt: skip
        last = _named(self.statement, self.statement.else_of) if self.statement.else_of else []
        names = [f"{number}" for number in range(1, len(every) + 1)]
        names += [f"else {number}" for number in range(1, len(last) + 1)]
        return [(name, [one]) for name, one in zip(names, [*every, *last], strict=True)]


def _named(statement: Statement, vehicles: tuple[str, ...]) -> list[Statement]:
    """Return a statement once for each vehicle that it may be about, the names in its fields."""
    person = statement.people[0] if statement.people else ""
    holder = {"holder": person} if person and statement.kind in _OF_PEOPLE else {}
    return [
        replace(
            statement,
            fields={**({"vehicle": vehicle} if vehicle else {}), **holder, **statement.fields},
        )
        for vehicle in vehicles or ("",)
    ]


def read_note(
    note: Note, file_name: str, club_words: Path | None = None
) -> tuple[list[Stated], list[Silent]]:
    """Return what a note states, in order, and the sentences that seem to say more than was read.

    Those name a part and state nothing, or have a word that was read from a picture with doubt.
    """
    book = Notebook(note, file_name, patterns(club_words))
    unsure = UnsureWords(note)
    stated: list[Stated] = []
    silent: list[Silent] = []
    for paragraph in note.paragraphs:
        if paragraph.quoted:
            take_up(paragraph.text, book.context)
            continue
        for read in book.read(paragraph):
            stated += [
                Stated(one, paragraph.row, paragraph.page, paragraph.box,
                       unsure.doubt_of(one, paragraph))
                for one in read.statements
            ]  # fmt: skip
            if not read.statements:
                dark = unsure.left_dark(read.words, paragraph)
                if dark or read.names_part:
                    silent.append((read.words, paragraph.row, paragraph.page, dark or read.reason))
    return with_doubts(settled_fits(one_a_fact(last_word(stated))), stated), silent

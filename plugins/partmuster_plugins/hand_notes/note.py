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
        """Return the readings with the names by which the core looks at them in turn."""
        one = self.statement
        every = [
            line for each in (one, *one.otherwise) for line in _named(each, each.vehicles)
        ]  # fmt: skip
        turns = [("near", name) for name in one.near]
        turns += [("else", name) for name in one.else_of]
        if one.stops:
            turns[-1] = ("stop", one.else_of[-1])
        turns += [("or", name) for name in one.or_of]
        told = [(f"{at}", [line]) for at, line in enumerate(every, 1)]
        return told + [
            (f"{turn} {at}", _named(one, (name,))) for at, (turn, name) in enumerate(turns, 1)
        ]


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

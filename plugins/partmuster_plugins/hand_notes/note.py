"""Reading one note whole: what it is about, its lists and their headings, its statements."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .context import Context
from .patterns import patterns
from .reading import read_sentence
from .sentences import sentences_of

if TYPE_CHECKING:
    from pathlib import Path

    from .documents import Note, Paragraph
    from .statement import Statement

Silent = tuple[str, int | None, int | None, str]


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
        return [
            [one] for each in (self.statement, *self.statement.otherwise) for one in _named(each)
        ]


def _named(statement: Statement) -> list[Statement]:
    """Return a statement once for each vehicle that it may be about, the names in its fields."""
    person = statement.people[0] if statement.people else ""
    holder = {"holder": person} if person else {}
    vehicles = statement.vehicles or ("",)
    return [
        replace(
            statement,
            fields={**({"vehicle": vehicle} if vehicle else {}), **holder, **statement.fields},
        )
        for vehicle in vehicles
    ]


def read_note(
    note: Note, file_name: str, club_words: Path | None = None
) -> tuple[list[Stated], list[Silent]]:
    """Return what a note states, in order, and the sentences that name a part and say nothing."""
    known = patterns(club_words)
    context = _context_of(note, file_name)
    stated: list[Stated] = []
    silent: list[Silent] = []
    for paragraph in note.paragraphs:
        if paragraph.quoted:
            continue
        for sentence in sentences_of(paragraph.text):
            found = list(read_sentence(sentence, context, known))
            stated += [_placed(one, paragraph) for one in found]
    return stated, silent


def _placed(statement: Statement, paragraph: Paragraph) -> Stated:
    return Stated(statement, paragraph.row, paragraph.page, paragraph.box)


def _context_of(note: Note, file_name: str) -> Context:
    """Return what a note's head says of vehicle, writer and day."""
    writer = note.header.sender if note.header else ""
    return Context(writer=writer, people=(writer,) if writer else (), day=note.stated_on)

"""Statements that hang on words read from a picture with doubt are asked about.

A statement hangs on the words of its sentence, and on its names and its day where those stand
elsewhere in the note.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .dates import days_in
from .lexicon import singular

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from .documents import Note, Paragraph
    from .note import Stated
    from .statement import Statement

#: A letter that the engine was less sure of may be another, as the core has it of numbers.
SURE_ENOUGH = 0.8
#: What stands in a line of a page where text could not be read.
UNREAD = "\N{REPLACEMENT CHARACTER}"
#: Signs around a word.
_AROUND = ".,;:!?()[]\"'“”‘’-–—"
_MONTHS = frozenset(
    {"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}
)
#: Words named in one doubt.
_SHOWN = 3


class UnsureWords:
    """The words of a note that were read with doubt; text has none."""

    def __init__(self, note: Note) -> None:
        self._paragraphs = note.paragraphs
        self._any = any(one.unsure for one in note.paragraphs)

    def doubt_of(self, statement: Statement, paragraph: Paragraph) -> str | None:
        """Return what to ask of a statement of a paragraph, or None where it was read surely."""
        if not self._any:
            return None
        words = [
            *_held(statement.words, paragraph.unsure),
            *self._heading_of(paragraph),
            *self._of_names(statement),
            *self._of_day(statement, paragraph),
        ]
        asked = _named(words)
        return f"{asked}: is it right?" if asked else None

    def left_dark(self, words: str, paragraph: Paragraph) -> str | None:
        """Return why it is not known what a sentence says, or None where it was read surely."""
        asked = _named(_held(words, paragraph.unsure))
        return f"{asked}: what it says is not known" if asked else None

    def _heading_of(self, paragraph: Paragraph) -> tuple[str, ...]:
        """Return the unsure words of the heading that a paragraph stands under."""
        heading: Paragraph | None = None
        for one in self._paragraphs:
            heading = one if one.heading else heading
            if one is paragraph:
                break
        return heading.unsure if heading else ()

    def _of_names(self, statement: Statement) -> Iterator[str]:
        """Yield unsure words of names that stand nowhere else surely."""
        names = (
            *statement.vehicles, *statement.people, statement.said_by,
            *(statement.fields.get(key, "") for key in ("vehicle", "holder", "description")),
        )  # fmt: skip
        for name in filter(None, names):
            if name in statement.words:
                continue  # its own sentence tells
            there = [one for one in self._paragraphs if name.casefold() in one.text.casefold()]
            found = [_held(name, one.unsure) for one in there]
            if found and all(found):
                yield from found[0]

    def _of_day(self, statement: Statement, paragraph: Paragraph) -> Iterator[str]:
        """Yield unsure words of the paragraph that last told a day, or of the first that does."""
        if statement.said_on is None and "date" not in statement.fields:
            return
        own = next(at for at, one in enumerate(self._paragraphs) if one is paragraph)
        dated = [at for at, one in enumerate(self._paragraphs) if days_in(one.text)]
        telling = [at for at in dated if at <= own][-1:] or dated[:1]
        for at in telling:
            yield from filter(_of_a_day, self._paragraphs[at].unsure)


def with_doubts(kept: Sequence[Stated], read: Iterable[Stated]) -> list[Stated]:
    """Return a note's lines with the doubts of those that were put together with them.

    ``read``: the lines as their sentences gave them.
    """
    left = {id(one.statement) for one in kept}
    gone = [one for one in read if one.doubt and id(one.statement) not in left]
    if not gone:
        return list(kept)
    return [
        replace(one, doubt="; ".join(dict.fromkeys(filter(None, (one.doubt, *doubts)))))
        if (doubts := [other.doubt for other in gone if _of_one_thing(one, other)])
        else one
        for one in kept
    ]


def _of_a_day(word: str) -> bool:
    """Return whether a word may be of a date: a figure, or the name of a month."""
    return any(map(str.isdigit, word)) or word.strip(_AROUND)[:3].casefold() in _MONTHS


def _of_one_thing(one: Stated, other: Stated) -> bool:
    return one.statement.kind == other.statement.kind and _thing(one) == _thing(other)


def _thing(one: Stated) -> str:
    words = one.statement.fields.get("description", "").casefold().split()
    return singular(words[-1]) if words else ""


def _held(words: str, unsure: Sequence[str]) -> list[str]:
    """Return the unsure words that stand in some words."""
    if not unsure:
        return []
    own = {word.strip(_AROUND).casefold() for word in words.split()}
    return [word for word in unsure if _stands_in(word.strip(_AROUND).casefold(), own)]


def _stands_in(word: str, words: set[str]) -> bool:
    # What was wrapped at a hyphen is a part of a word now.
    return word in words or (len(word) > 2 and any(word in one for one in words))  # noqa: PLR2004


def _named(words: Iterable[str]) -> str | None:
    words = list(dict.fromkeys(words))
    if any(UNREAD in word for word in words):
        return "part of it could not be read"
    named = [f"'{word.strip(_AROUND) or word}'" for word in words]
    if not named:
        return None
    more = f" and {len(named) - _SHOWN} more" if len(named) > _SHOWN else ""
    return f"read from a picture with doubt: {', '.join(named[:_SHOWN])}{more}"

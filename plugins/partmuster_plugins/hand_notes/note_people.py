"""Whom a note tells to be people: its writer and readers, who is greeted, speaks or was there."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .expressions import expression
from .settling import key_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from .context import Context
    from .documents import Note

#: So many paragraphs at the head may greet somebody; twice as many may say who was there.
_HEAD = 3
_LONGEST_GREETING = 40
_GREETING = expression(
    r"^(?:(?:my )?dear(?:est)?|hi|hello|hallo|hey|morning|evening|afternoon|howdy)?\s*"
    r"(?P<who>(?:(?:Mr|Mrs|Miss|Ms) )?[A-Z][a-z]+(?: [A-Z][a-z]+)?)(?:, ?[A-Z][a-z]+)*\s*[,!-]?$",
    re.IGNORECASE,
)
_PRESENT = expression(
    r"^\W*(?:members|present|here|attending|in attendance|those present|in the chair|chair|"
    r"apologies|"
    r"absent|not here|"
    r"also|crew|team|who)\b[^:]{0,20}:",
    re.IGNORECASE,
)
_TITLES = frozenset({"mr", "mrs", "miss", "ms", "dr", "captain"})
GREETS = expression(r"^(?:my )?dear|^hi\b|^hello\b|^morning\b|^evening\b", re.IGNORECASE)


def settle_people(note: Note, context: Context, speakers: Iterable[str]) -> None:
    """Keep in the context whom the note tells to be people, and who "you" is."""
    recipients = note.header.recipients if note.header else ()
    if len(recipients) == 1:
        context.recipient = recipients[0]
    greeted = list(_greeted(note))
    context.recipient = context.recipient or next(iter(greeted), "")
    for name in filter(None, [context.writer, *recipients, *greeted, *speakers, *_present(note)]):
        context.settled[key_of(name)] = "person"
        first = name.split()[0]
        if first.strip(".").casefold() not in _TITLES:
            context.settled.setdefault(key_of(first), "person")


def _greeted(note: Note) -> Iterator[str]:
    texts = [one.text for one in note.paragraphs[:_HEAD] if not one.quoted]
    for number, text in enumerate(texts):
        found = _GREETING.match(text) if len(text) < _LONGEST_GREETING else None
        lone = note.header is not None and number == 0
        if found and (lone or GREETS.match(text) or text.rstrip().endswith(",")):
            yield found["who"]


def _present(note: Note) -> Iterator[str]:
    """Yield who is said to have been there, or away."""
    for one in note.paragraphs[: 2 * _HEAD]:
        if present := _PRESENT.match(one.text):
            yield from re.findall(r"\b[A-Z][a-z]+(?: [A-Z][a-z]+)?\b", one.text[present.end() :])

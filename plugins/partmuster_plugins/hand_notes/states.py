"""The state a part is said to be in: words of state, and what each says."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word


@dataclass(frozen=True, slots=True)
class StateMention:
    """Words of state from word ``start`` to ``end``; empty: not said."""

    start: int
    end: int
    text: str
    presence: str
    service: str
    making: str


@functools.cache
def _table() -> dict[str, list[tuple[tuple[str, ...], dict[str, str]]]]:
    found: dict[str, list[tuple[tuple[str, ...], dict[str, str]]]] = {}
    for row in load_words("note_state"):
        words = tuple(row.words.lower().split())
        found.setdefault(words[0], []).append((words, dict(row.meanings)))
    for group in found.values():
        group.sort(key=lambda one: -len(one[0]))
    return found


def find_states(words: Sequence[Word], taken: Sequence[bool]) -> list[StateMention]:
    """Return the words of state in a sentence, the longest first, without overlap."""
    low = tuple(word.low for word in words)
    found: list[StateMention] = []
    at = 0
    while at < len(low):
        for phrase, says in _table().get(low[at], ()):
            end = at + len(phrase)
            if low[at:end] == phrase and not any(taken[at:end]):
                found.append(StateMention(at, end, " ".join(phrase), says["presence"],
                                          says["service"], says["making"]))  # fmt: skip
                at = end
                break
        else:
            at += 1
    return found

"""Words in which features and the past are told, as patterns (``data/words_note_told.csv``)."""

from __future__ import annotations

import functools
import re

from partmuster_trade.words import load_words


@functools.cache
def any_of(*groups: str) -> str:
    """Return a pattern for any of the words of some groups, the longest first.

    Raises:
        ValueError: a group has no words.
    """
    return f"(?:{'|'.join(re.escape(word) for word in words_told(*groups))})"


@functools.cache
def words_told(*groups: str) -> tuple[str, ...]:
    """Return the words of some groups, the longest first; raises ValueError as :func:`any_of`."""
    found: set[str] = set()
    for group in groups:
        words = {row.words for row in load_words("note_told") if row.meanings["told"] == group}
        if not words:
            raise ValueError(f"no words are told as '{group}'")
        found |= words
    return tuple(sorted(found, key=lambda word: (-len(word), word)))

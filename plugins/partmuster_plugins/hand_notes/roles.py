"""What part an everyday word plays in a note (``data/words_note_role.csv``)."""

from __future__ import annotations

import functools

from partmuster_trade.words import load_words


@functools.cache
def words_of_any(*roles: str) -> frozenset[str]:
    """Return the words that play one of several roles; raises ValueError as :func:`words_of`."""
    return frozenset().union(*map(words_of, roles))


@functools.cache
def words_of(role: str) -> frozenset[str]:
    """Return the words that play a role, in small letters.

    Raises:
        ValueError: no word has that role.
    """
    found = frozenset(
        row.words.casefold() for row in load_words("note_role") if row.meanings["role"] == role
    )
    if not found:
        raise ValueError(f"no word has the role '{role}'")
    return found

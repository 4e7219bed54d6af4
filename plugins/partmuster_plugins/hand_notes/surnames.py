"""Surnames that are words of the trade: "H. Crane", "Nell Hood", "Mrs Bonnet"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .lexicon import lexicon, singular
from .names import given_names

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

_TITLES = frozenset({"mr", "mrs", "miss", "ms", "dr", "captain", "capt", "major", "sir"})


def surnames_of_trade(words: Sequence[Word]) -> list[int]:
    """Return where a word of the trade with a capital stands behind what begins a name.

    A part of several words with capitals ("Rosalind Tow Hook") is none.
    """
    found = []
    for at in range(1, len(words)):
        word = words[at]
        if not word.capital or word.text.isupper():
            continue
        follows = words[at + 1] if at + 1 < len(words) else None
        if follows is not None and follows.capital and singular(follows.low) in lexicon().tokens:
            continue
        if singular(word.low) in lexicon().tokens and _begins_name(words, at):
            found.append(at)
    return found


def _begins_name(words: Sequence[Word], at: int) -> bool:
    before = words[at - 1]
    if before.text == "." and at > 1:
        before = words[at - 2]
        return before.low in _TITLES or (len(before.text) == 1 and before.capital)
    if before.text.endswith(".") and len(before.text) == 2 and before.capital:  # noqa: PLR2004 - "H."
        return True
    return before.low in _TITLES or (before.capital and before.low in given_names())

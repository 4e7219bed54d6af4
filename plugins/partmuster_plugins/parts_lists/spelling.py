"""Words in which a hand draws "u" and "n" alike, read as the words of the trade that there are.

Other letters are not guessed at: "tower" is not to become "lower".
"""

from __future__ import annotations

import functools
import re
from itertools import product
from typing import TYPE_CHECKING

from partmuster_trade.part import POSITIONS
from partmuster_trade.vocabulary import load_vocabulary

if TYPE_CHECKING:
    from .pieces import Piece

_ALIKE = {"u": "un", "n": "un", "U": "UN", "N": "UN"}
#: A letter read more surely than this is what it is.
_SURE = 0.97
#: Shorter words are too like each other; a word has so many letters in doubt at most.
_SHORTEST, _MOST = 4, 4
_WORD = re.compile(r"[A-Za-z]+")
#: A comma between words, behind which a narrow blank was not seen: "ROLLER,RETURN".
_GLUED_COMMA = re.compile(r"(?<=[A-Za-z]{2}),(?=[A-Za-z]{2})")


def as_words(cell: Piece) -> str:
    """Return the text of a cell, its doubtful "u" and "n" as known words have them."""
    if not any(sure < _SURE and letter in _ALIKE for letter, sure in zip(cell.text, cell.sure,
                                                                        strict=True)):  # fmt: skip
        return cell.text
    return _WORD.sub(lambda found: _as_word(found.group(), cell.sure[slice(*found.span())]),
                     cell.text)  # fmt: skip


def with_blanks(text: str) -> str:
    """Return a text with a blank behind each comma between words."""
    return _GLUED_COMMA.sub(", ", text)


def _as_word(word: str, sure: tuple[float, ...]) -> str:
    unsure = [at for at, letter in enumerate(word) if letter in _ALIKE and sure[at] < _SURE]
    if len(word) < _SHORTEST or not 0 < len(unsure) <= _MOST or word.casefold() in _known():
        return word
    found = set()
    for letters in product(*(_ALIKE[word[at]] for at in unsure)):
        other = list(word)
        for at, letter in zip(unsure, letters, strict=True):
            other[at] = letter
        found.add("".join(other))
    meant = [one for one in found if one.casefold() in _known()]
    return meant[0] if len(meant) == 1 else word


@functools.cache
def _known() -> frozenset[str]:
    """Return the words that names of parts are made of."""
    names = [entry.name.casefold() for entry in load_vocabulary().names()]
    return frozenset(word for name in (*names, *POSITIONS) for word in _WORD.findall(name))

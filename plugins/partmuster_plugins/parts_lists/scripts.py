"""Words in a script that the engine does not know: what it takes for Latin letters is left out.

A word alone tells little ("KAPTEP" may be one of either), so a page is looked at as a whole.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from .unread import UNREAD

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .pieces import Piece

#: Signs of print that Cyrillic letters look like; "3" and "b" are two of its letters too.
_ALIKE = frozenset("ABCEHKMOPTXYaceopxykmtb3")
#: Of print and of hands alike each practice page has its words read more surely than this.
_UNSURE = 0.85
#: Words of a page in another script are Latin ones if read so surely.
_SURE = 0.97
#: Numbers are read so surely where it is not the print that is bad.
_GOOD_PRINT = 0.95
#: A page is in another script if so many of its words seem to be, and more than half.
_FEWEST = 4
_WORD, _LONG_WORD = 3, 4
#: What stands so near to the edge of such words is one of them, in heights of a piece.
_EDGE = 1.0


def without_other_scripts(
    pieces: Sequence[Piece], others: Sequence[int]
) -> tuple[list[Piece], bool]:
    """Return the pieces of a page, :data:`UNREAD` where they are in a script not known.

    Args:
        pieces: what was read.
        others: how many letters of each were seen to be of another alphabet.

    Returns:
        The pieces, and whether the page is in such a script.
    """
    is_word = [_is_word(piece) for piece in pieces]
    numbers = [one.mean_sure for one in pieces if any(sign.isdecimal() for sign in one.text)]
    good = bool(numbers) and float(np.median(numbers)) >= _GOOD_PRINT
    odd = [
        word and (UNREAD in piece.text or 2 * count >= _WORD or _is_alike(piece.text)
                  or (good and piece.mean_sure < _UNSURE))
        for piece, count, word in zip(pieces, others, is_word, strict=True)
    ]  # fmt: skip
    if sum(odd) < _FEWEST or 2 * sum(odd) <= sum(is_word):
        return list(pieces), False
    edges = np.array([piece.x0 for piece, one in zip(pieces, odd, strict=True) if one])
    left = []
    for piece, count, word in zip(pieces, others, is_word, strict=True):
        near = np.abs(edges - piece.x0) <= _EDGE * (piece.y1 - piece.y0)
        beside = 2 * int(near.sum()) > len(edges) and piece.mean_sure < _SURE
        left.append(_not_read(piece) if beside or (word and not _is_latin(piece, count)) else piece)
    return left, True


def _is_word(piece: Piece) -> bool:
    """Tell whether a piece is words, and no number."""
    letters = sum(sign.isalpha() for sign in piece.text)
    figures = sum(sign.isdecimal() for sign in piece.text)
    if UNREAD in piece.text:
        return True
    wordy = letters >= 2 * figures or piece.mean_sure < _UNSURE
    return letters + figures >= _WORD and letters > 1 and wordy


def _is_alike(text: str) -> bool:
    """Tell whether words have only letters that Cyrillic ones look like."""
    signs = [sign for sign in text if sign.isalnum()]
    return len(signs) >= _LONG_WORD and _ALIKE.issuperset(signs)


def _is_latin(piece: Piece, others: int) -> bool:
    """Tell whether a piece is Latin though its page is not: in each word, for certain."""
    signs = {sign for sign in piece.text if sign.isalpha()}
    sure = UNREAD not in piece.text and piece.mean_sure >= _SURE
    alike = signs <= _ALIKE or any(map(_is_alike, piece.text.split()))
    return sure and not others and not alike


def _not_read(piece: Piece) -> Piece:
    middle = (piece.x0 + piece.x1) / 2
    return replace(piece, text=UNREAD, sure=(0.0,), at=(middle,), of_kind=())

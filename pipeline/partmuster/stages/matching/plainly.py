"""Descriptions of which a glance at their words shows that no name is said in them exactly.

Reading sides, sizes, fillers and short forms apart is what takes time. It is spared where no word
asks for it, and where a word stands that no name has and that none of this would take out.
"""

from __future__ import annotations

import re
from enum import Enum
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from partmuster.reading.sides import telling_words
from partmuster_trade.hardware_phrases import names_a_kind
from partmuster_trade.words import load_words

from .asides import state_words
from .tokens import plain, plain_words, split_tokens, word_form

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from .index import VocabularyIndex

_ODD: Final = re.compile(r"[^a-z0-9 ,.]")
#: A digit within a word is a letter misread from print; anywhere else it may be a size.
_MISREAD: Final = re.compile(r"[a-z]+\d{1,2}[a-z]{2,}")
_LEAST: Final = 3  # letters of a word that says something for certain
#: Words at which a description is cut, counted or set apart (see ``asides``).
_SETTING_APART: Final = frozenset(
    {
        "w", "with", "without", "less", "inc", "incl", "including", "from", "ex", "off", "suit",
        "fits", "minus", "no", "mk", "mks", "mark", "marks", "early", "late", "mid", "later",
        "earlier", "of",
    }
)  # fmt: skip
_ASKS, _MAY_GO, _STAYS, _NEAR_FIGURES, _PIECE, _SIDED = 1, 2, 4, 8, 16, 32


class Seen(Enum):
    """What a glance tells of a description."""

    UNSURE = 0
    NO_NAME = 1
    SIDED = 2


class Glance:
    """Tells at a glance that a description says no name, over one vocabulary."""

    def __init__(
        self, index: VocabularyIndex, fillers: frozenset[str], is_short: Callable[[str], bool]
    ) -> None:
        self._index = index
        self._fillers = fillers
        self._is_short = is_short
        self._seen: dict[str, int] = {}

    def says_no_name(self, text: str, orders: Sequence[list[str]]) -> Seen:
        """Return whether folded text that is no name as it stands is none in any other reading.

        ``orders``: its words in each order it may be meant in. ``UNSURE`` where that is not plain
        at a glance, ``SIDED`` where no name is said, but perhaps a side or a position.
        """
        remark = "," in text and not state_words().isdisjoint(orders[0])  # a piece behind a comma
        if remark or _ODD.search(text):
            return Seen.UNSURE
        signs = 0
        for token in orders[0]:
            sign = self._seen.get(token)
            signs |= self._sign(token) if sign is None else sign
        if signs & _ASKS or (
            any(map(str.isdigit, text))
            and (signs & (_NEAR_FIGURES | _SIDED) or names_a_kind(orders[0]))
        ):
            return Seen.UNSURE
        if signs & _STAYS:
            return Seen.SIDED if signs & _SIDED else Seen.NO_NAME
        if signs & (_SIDED | _MAY_GO):
            return Seen.UNSURE
        joined = signs & _PIECE and any(self._all_known(order) for order in orders)
        return Seen.UNSURE if joined else Seen.NO_NAME

    def _all_known(self, tokens: list[str]) -> bool:
        words = self._index.join_compounds(plain_words(tokens))
        return all(word in self._index.idf for word in words)

    def _sign(self, token: str) -> int:
        if len(self._seen) > 300_000:  # noqa: PLR2004 - bounded, whatever is read
            self._seen.clear()
        sign = self._seen[token] = self._sign_of(token)
        return sign

    def _sign_of(self, token: str) -> int:
        forms = {token, word_form(token), *plain(token)}
        digits = not token.isalpha()
        if (digits and not _MISREAD.fullmatch(token)) or not forms.isdisjoint(_SETTING_APART):
            return _ASKS
        if not forms.isdisjoint(telling_words()):
            return _SIDED
        beside = 0 if len(token) > 1 and forms.isdisjoint(side_words()) else _NEAR_FIGURES
        return beside | self._weight_of(token, forms)

    def _weight_of(self, token: str, forms: set[str]) -> int:
        if not forms.isdisjoint(self._fillers) or self._is_short(token):
            return _MAY_GO
        words = plain(token)
        if all(word in self._index.idf for word in words):
            return 0
        whole = all(
            len(word) >= _LEAST
            and word not in self._index.idf
            and word not in self._index.pairs
            and word not in side_words()
            and not self._index.lexicon.is_piece(word)
            for word in words
        )
        return _STAYS if whole else _PIECE


@lru_cache(maxsize=1)
def side_words() -> frozenset[str]:
    """Return every word of a phrase for a side or a position."""
    return frozenset(
        token
        for table in ("side", "position")
        for row in load_words(table)
        for token in split_tokens(row.words)
    )

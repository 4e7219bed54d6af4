"""Sides and positions that stand in a description beside the name, and what they speak against."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from partmuster.reading.sides import read_side, telling_words

from .plainly import side_words
from .tokens import POSITIONS, split_tokens

if TYPE_CHECKING:
    from .index import Name, VocabularyIndex

HAND_SIGNS: Final = frozenset({"lh", "rh", "l/h", "r/h", "left", "right", "n/s", "o/s"})
_STATION: Final = re.compile(r"\b(?:no\b\.?|nos\b\.?|stations?\b|stn\b\.?|sta\b\.?|\d{1,2}\b)")
_STATION_SIGNS: Final = re.compile(r"sta|stn|axle|cyl|bogie|wheel|roller")
_SHORT_SIGNS: Final = re.compile(r"/|\b\w\.|\.\w")
_SIDE_SIGNS: Final = re.compile(r"\d|\b\w\b|[/.]")


def sides_apart(text: str) -> tuple[str, tuple[str, ...]]:
    """Return folded text without side, position and station words, and its position words.

    The reader of sides is asked only where a word of its tables, a short sign or a station occurs.
    """
    words = split_tokens(text)
    if _SIDE_SIGNS.search(text):
        if not _may_be_a_sign(text, words):
            return text, ()
    elif aside_words().isdisjoint(words) or telling_words().isdisjoint(words):
        return text, ()
    reading = read_side(text)
    if reading.station is None:
        return reading.rest, reading.positions
    # The reader takes "road wheel station 3" whole; here the road wheel is the name.
    return read_side(" ".join(_STATION.sub(" ", text).split())).rest, reading.positions


def _may_be_a_sign(text: str, words: list[str]) -> bool:
    """Whether a figure or a single letter in a text may say a side or a station."""
    return bool(
        _SHORT_SIGNS.search(text)
        or (_STATION_SIGNS.search(text) and any(map(str.isdigit, text)))
        or not telling_words().isdisjoint(words)
    )


@lru_cache(maxsize=1)
def aside_words() -> frozenset[str]:
    """Return every word that may have to do with a side, a position or both hands."""
    return side_words() | {"both", "each", "pair", "pr", "per", "handed"}


def without_side_words(text: str) -> str:
    """Return text without side words that the reader of sides left in it."""
    return " ".join(
        word for word in text.split()
        if word.strip("(),.;") not in HAND_SIGNS
    )  # fmt: skip


def position_objection(
    index: VocabularyIndex, name: Name, stated: frozenset[str] | tuple[str, ...]
) -> str:
    """Return why stated positions speak against a part under a name; empty where they do not.

    A position that is neither in the name nor one by which the part differs is mere location,
    unless another part is told from this one by a position.
    """
    part = index.parts[name.part_id]
    own = {POSITIONS[word] for word in name.words if word in POSITIONS}
    listed = {POSITIONS.get(word, word) for word in part.positions}
    meanings = {POSITIONS.get(word, word) for word in stated} - own
    for word in stated:
        meant = POSITIONS.get(word, word)
        if meant in meanings and meanings & _opposites(meant):
            return f"both '{word}' and its opposite are said"
        if meant in own or meant in listed:
            continue
        if own & _opposites(meant):
            return f"'{word}' speaks against '{name.text}'"
        if listed:
            return f"'{word}' is none of its positions ({', '.join(part.positions)})"
        base = [other for other in name.words if other not in POSITIONS]
        if siblings := index.position_siblings(base, name.part_id):
            return f"'{word}' is not said of it, and '{siblings[0]} ...' is another part"
    return ""


@lru_cache(maxsize=64)
def _opposites(meant: str) -> frozenset[str]:
    pairs = ({"front", "rear"}, {"upper", "lower"}, {"inner", "outer"})
    return frozenset(other for pair in pairs if meant in pair for other in pair - {meant})

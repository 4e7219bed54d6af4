"""Words of place: which side and position "LH", "o/s rear" or "both sides" say.

Two sides or positions said at once ("L & R", "front and rear") are joined by "+".
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

if TYPE_CHECKING:
    from collections.abc import Sequence

_BOTH_SIDES = {
    "left+right": (
        "l & r", "l and r", "lh & rh", "lh and rh", "left & right", "left and right", "r & l",
        "l + r", "left + right", "lh + rh", "right and left", "both sides", "either side",
        "each side", "the both sides", "l/h and r/h", "l/h & r/h", "left and right hand",
        "left hand and right hand", "l/r",
        "port and starboard",
    ),
    "near+off": (
        "n/s and o/s", "n/s & o/s", "n/s + o/s", "nearside and offside", "ns & os", "ns and os",
        "near and off side", "near and off", "near side and off side", "o/s and n/s",
        "o/s & n/s", "offside and nearside",
    ),
}  # fmt: skip
_BOTH_POSITIONS = {
    "front+rear": ("front and rear", "front & rear", "front + rear", "fr & rr", "front and back",
                   "fore and aft", "rear and front", "back and front", "f & r"),
    "upper+lower": ("upper and lower", "upper & lower"),
    "top+bottom": ("top and bottom", "top & bottom"),
    "inner+outer": ("inner and outer", "inner & outer"),
}  # fmt: skip


@lru_cache(maxsize=1)
def _places() -> dict[tuple[str, ...], tuple[str, str]]:
    """Return the words of side and position: what each sequence of words says of the two."""
    found: dict[tuple[str, ...], tuple[str, str]] = {}
    for row in load_words("position"):
        if row.meanings["position"]:
            found[_words(row.words)] = ("", row.meanings["position"])
    for row in load_words("side"):
        side, position = row.meanings["side"], row.meanings["position"]
        if side and not row.meanings["reads"]:
            found[_words(row.words)] = (side, position)
    found[("ns",)], found[("os",)] = ("near", ""), ("off", "")
    found[("left", "hand", "side")], found[("right", "hand", "side")] = ("left", ""), ("right", "")
    found[("driver", "'s", "side")], found[("passenger", "'s", "side")] = ("off", ""), ("near", "")
    found |= {
        (row.words,): (row.meanings["side"], row.meanings["position"])
        for row in load_words("side")
        if "-" in row.words and row.meanings["side"] and not row.meanings["reads"]
    }
    for side, ways in _BOTH_SIDES.items():
        found |= {tuple(way.split()): (side, "") for way in ways}
    for position, ways in _BOTH_POSITIONS.items():
        found |= {tuple(way.split()): ("", position) for way in ways}
    return found


def _words(text: str) -> tuple[str, ...]:
    return tuple(re.findall(r"[a-z]/[a-z](?:/[a-z])?\b|[a-z]+/[a-z]+|'s|[a-z]+", text.lower()))


@lru_cache(maxsize=1)
def _by_first() -> dict[str, list[tuple[tuple[str, ...], tuple[int, str, str]]]]:
    groups: dict[str, list[tuple[tuple[str, ...], tuple[int, str, str]]]] = {}
    for words in sorted(_places(), key=len, reverse=True):
        groups.setdefault(words[0], []).append((words, (len(words), *_places()[words])))
    return groups


@lru_cache(maxsize=1)
def _last_words() -> frozenset[str]:
    return frozenset(words[-1] for words in _places())


def may_begin_place(word: str) -> bool:
    """Tell whether words of place may begin with a word."""
    return word in _by_first()


def place_at(low: Sequence[str], at: int) -> tuple[int, str, str] | None:
    """Return length, side and position of the words of place at ``at``, or None."""
    for words, place in _by_first().get(low[at], ()) if at < len(low) else ():
        if tuple(low[at : at + len(words)]) == words:
            return place
    return None


def place_before(low: Sequence[str], at: int, after: int) -> tuple[int, str, str] | None:
    """Return length, side and position of the words of place that end before ``at``."""
    if at <= after or low[at - 1] not in _last_words():
        return None
    for length in (5, 4, 3, 2, 1):
        if at - length >= after:
            place = place_at(low, at - length)
            if place and place[0] == length:
                return place
    return None


def joined(first: str, second: str) -> str:
    """Return two positions as one, each word of them once."""
    return " ".join(dict.fromkeys(word for word in (first, second) if word))

"""Whether two descriptions of a feature may mean the same, word by word.

They may where every word of the shorter one stands in the longer one, spelt alike, and neither
has a word of its own that turns the meaning: a negation, a side, a position, a number or a size.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from rapidfuzz import fuzz, process

from partmuster.reading.text import fold
from partmuster_trade import uk_spelling
from partmuster_trade.abbreviations import expand
from partmuster_trade.words import load_words

_TOKEN = re.compile(r"\d+(?:[./]\d+)*|[^\W\d_]+(?:'[^\W\d_]+)?")
#: Words that tell nothing (common practice, no source).
_SMALL = frozenset({"a", "an", "and", "are", "at", "by", "for", "has", "have", "in", "is", "it",
                    "its", "of", "on", "that", "the", "there", "these", "this", "to", "was",
                    "were", "with", "type", "pattern"})  # fmt: skip
#: Words beside those of the sides' table that turn a meaning (common practice, no source).
_TURNING = frozenset(
    ["no", "not", "non", "without", "never", "none", "nor", "neither", "missing", "absent", "lacks",
     "lacking", "instead", "except", "only", "but", "left", "right", "near", "off", "nearside",
     "offside", "lh", "rh", "front", "rear", "back", "forward", "aft", "upper", "lower", "top",
     "bottom", "inner", "outer", "inside", "outside", "above", "below", "under", "over", "centre",
     "middle", "side", "both", "either", "one", "two", "three", "four", "five", "six", "seven",
     "eight", "nine", "ten", "eleven", "twelve", "single", "double", "twin", "pair", "triple",
     "first", "second", "third", "half", "long", "short", "longer", "shorter", "large", "small",
     "larger", "smaller", "big", "wide", "narrow", "thick", "thin", "high", "low", "tall", "deep",
     "shallow", "heavy", "light", "round", "square", "straight", "curved", "open", "closed",
     "early", "mid", "late", "older", "newer", "old", "new"]
)  # fmt: skip
_SPELT_ALIKE = 80.0
_SHORTEST = 4
_ALIKE = 0.75


@dataclass(frozen=True, slots=True)
class _Words:
    plain: tuple[str, ...]
    turning: tuple[str, ...]


@lru_cache(maxsize=1)
def _sides() -> frozenset[str]:
    return frozenset(row.words for row in load_words("side") if " " not in row.words)


def _single(word: str) -> str:
    """Return a word without the plural that never tells two features apart."""
    if len(word) < _SHORTEST or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return f"{word[:-3]}y"
    return word[:-2] if word.endswith(("ches", "shes", "xes", "sses")) else word[:-1]


@lru_cache(maxsize=20_000)
def _words(text: str) -> _Words:
    tokens = _TOKEN.findall(re.sub(r"(?<=[a-z])-(?=[a-z])", " ", fold(text)))
    found: list[str] = []
    for at, token in enumerate(tokens):
        said = expand(token, [*tokens[:at], *tokens[at + 1 :]])
        long = said.readings[0] if said.settled else token
        found += _TOKEN.findall(fold(long))
    plain = [_single(uk_spelling(word)) for word in found if word not in _SMALL]
    turning = [word for word in plain if _turns(word)]
    rest = [word for word in plain if not _turns(word)]
    return _Words(tuple(sorted(rest)), tuple(sorted(turning)))


def _turns(word: str) -> bool:
    return word in _TURNING or word[0].isdigit() or word in _sides()


@lru_cache(maxsize=200_000)
def likeness(said: str, known: str) -> float:
    """Return how alike two descriptions of a feature are: 0 where they may not mean the same."""
    one, other = _words(said), _words(known)
    if one.turning != other.turning or not one.plain or not other.plain:
        return 0.0
    left = list(other.plain)
    unmatched = 0
    for word in one.plain:
        found = process.extractOne(word, left, scorer=fuzz.ratio)
        if found is not None and _same(word, found[0]):
            left.remove(found[0])
        else:
            unmatched += 1
    if unmatched and left:  # a word stands in the place of another: "welded", "riveted"
        return 0.0
    matched = len(one.plain) - unmatched
    share = 2 * matched / (len(one.plain) + len(other.plain))
    if share < _ALIKE:
        return 0.0
    spelt = fuzz.token_sort_ratio(" ".join(one.plain), " ".join(other.plain)) / 100
    return round(min(0.99, (share + spelt) / 2), 3)


def _same(word: str, other: str) -> bool:
    if word == other:
        return True
    longest = min(len(word), len(other)) >= _SHORTEST
    return longest and fuzz.ratio(word, other) >= _SPELT_ALIKE

"""Descriptions that are like each other, put together so that one answer settles them all.

The words asked about most lead; another joins the first leader it is like, never a member, so
that no chain joins what is unlike. Left and right do not count: a hand is each line's own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from rapidfuzz import fuzz

from partmuster.stages.matching.tokens import POSITIONS, folded, singular, split_tokens
from partmuster_trade.abbreviations import expand

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterable, Sequence

#: So many descriptions are one group at most: a person looks through them.
MOST = 100
#: From so much likeness (rapidfuzz, of 100) words are alike, and single words mean the same.
#: Common practice, no source; held by the tests.
_ALIKE, _SAME_WORD = 88, 84
#: A shorter description may lack so much of a longer one's letters.
_LACKING = 0.35
#: So many leaders are compared with a description, those first that share its rarest pieces.
_COMPARED = 150
_PIECE = 3
_HANDS = frozenset({"lh", "rh", "l/h", "r/h", "left", "right", "hand", "handed", "ns", "os", "n/s",
                    "o/s", "nearside", "offside", "l", "r"})  # fmt: skip
_JOINING = frozenset({"and", "a", "an", "the", "of", "for", "&"})
_NEGATIONS = frozenset({"not", "no", "non", "without", "never", "except"})
_WITH_DIGIT = re.compile(r"\d")


@dataclass(frozen=True, slots=True)
class Described:
    """A description that is asked about: how many lines say it, in what context, its question."""

    words: str
    lines: int
    context: tuple[Hashable, ...] = ()
    question_id: str = ""


@dataclass(frozen=True, slots=True)
class _Read:
    """Words as they are compared; ``telling`` must be equal: sizes, marks, positions, negations."""

    plain: tuple[str, ...]
    telling: frozenset[str]

    @property
    def text(self) -> str:
        return " ".join(self.plain)


def groups_of(
    described: Iterable[Described], heard: Callable[[], None] = lambda: None
) -> list[list[Described]]:
    """Return the descriptions in groups, each led by the one that most lines say.

    The same groups whatever the order; ``heard`` is called for each comparison.
    """
    order = sorted(described, key=lambda one: (-one.lines, one.words, one.question_id, one.context))
    groups: list[list[Described]] = []
    leaders: list[_Read] = []
    known: dict[tuple[Hashable, ...], dict[str, list[int]]] = {}
    for one in order:
        read = _read(one.words)
        by_piece = known.setdefault((one.context, read.telling), {})
        pieces = _pieces(read.plain)
        for at in _likely(pieces, by_piece):
            if len(groups[at]) < MOST:
                heard()
                if _alike(leaders[at], read):
                    groups[at].append(one)
                    break
        else:
            for piece in pieces:
                by_piece.setdefault(piece, []).append(len(groups))
            groups.append([one])
            leaders.append(read)
    return groups


def _likely(pieces: Sequence[str], by_piece: dict[str, list[int]]) -> list[int]:
    """Return the leaders that share most pieces, looking at the rarest pieces first."""
    shared: dict[int, int] = {}
    for piece in sorted(pieces, key=lambda one: (len(by_piece.get(one, ())), one)):
        found = by_piece.get(piece, ())
        if len(shared) + len(found) > _COMPARED and shared:
            break
        for at in found[: _COMPARED - len(shared)]:
            shared[at] = shared.get(at, 0) + 1
    return sorted(shared, key=lambda at: (-shared[at], at))


def _pieces(plain: Sequence[str]) -> list[str]:
    """Return the runs of three letters of the words, whatever their order."""
    return sorted(
        {f" {word}"[at : at + _PIECE] for word in plain for at in range(max(1, len(word) - 1))}
    )


@lru_cache(maxsize=50_000)
def _read(words: str) -> _Read:
    tokens = split_tokens(folded(words))
    plain: list[str] = []
    telling: set[str] = set()
    for token in tokens:
        word = _in_full(token, tokens)
        if word in _HANDS or word in _JOINING:
            continue
        if word in POSITIONS:
            telling.add(POSITIONS[word])
        elif word in _NEGATIONS or len(word) == 1 or _WITH_DIGIT.search(word):
            telling.add(word)
        else:
            plain.append(word)
    return _Read(tuple(sorted(plain)), frozenset(telling))


def _in_full(token: str, tokens: Sequence[str]) -> str:
    """Return a word in the singular, an abbreviation that has one meaning here in full."""
    if token in _HANDS or len(token) == 1:
        return token
    meant = expand(token, [other for other in tokens if other != token])
    if meant.settled and len(meant.readings) == 1:
        token = meant.readings[0]
    return " ".join(singular(word) for word in token.split())


def _alike(one: _Read, other: _Read) -> bool:
    if not one.plain or not other.plain:
        return one.plain == other.plain
    if len(one.plain) == len(other.plain):
        return fuzz.ratio(one.text, other.text) >= _ALIKE or _covered(one.plain, other.plain)
    shorter, longer = sorted((one, other), key=lambda read: len(read.plain))
    lacking = 1 - len(shorter.text) / len(longer.text)
    return len(shorter.plain) > 1 and lacking <= _LACKING and _covered(shorter.plain, longer.plain)


def _covered(shorter: Sequence[str], longer: Sequence[str]) -> bool:
    """Tell whether each word of one stands in the other, but for its spelling."""
    left = list(longer)
    for word in shorter:
        best = max(left, key=lambda other: fuzz.ratio(word, other), default="")
        if fuzz.ratio(word, best) < _SAME_WORD:
            return False
        left.remove(best)
    return True

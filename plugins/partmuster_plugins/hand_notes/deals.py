"""Words of dealing: whether a part is to be had or wanted, how far a promise is (``words_note_deal``).

"Up for grabs", "hanging on to it", "spoken for", "changed his mind about": each is one mention, so
that a saying needs no more than ``{avail}`` or ``{sought}``, ``{offer}`` or ``{seek}`` (words before
the part), ``{stage}``. ``$`` in the table: nothing of the clause follows; behind ``>``: what follows and is not of them.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .sentences import Word

_SIGNS = frozenset('.!"*_')
_CLAUSE_ENDS = frozenset(
    {",", ";", ":", ")", "(", "-", "--", "...", ".", "and", "but", "so", "though", "?", "/"}
)
_OF_PRICES = frozenset({"each", "ea", "apiece", "the", "a", "pair", "lot", "set", "for"})
_TOKEN = re.compile(r"[()\[\]|]|[^\s()\[\]|]+")
_Phrase = tuple[frozenset[str] | str, ...]


@dataclass(frozen=True, slots=True)
class DealMention:
    """Words of dealing from word ``start`` to ``end``.

    ``letter``: of its mark: ``a`` behind the part, ``o`` before it, ``x`` and ``w`` likewise where it
    is wanted, ``r`` where it is promised, ``g`` a promise's stage, empty where the words only keep others from being read.
    """

    start: int
    end: int
    text: str
    availability: str
    stage: str
    letter: str


def find_deals(words: Sequence[Word]) -> list[DealMention]:
    """Return the words of dealing in a sentence, the longest first, without overlap."""
    fillers = words_of("filler")
    kept = [at for at, word in enumerate(words) if word.low not in _SIGNS | fillers]
    low = [words[at].low for at in kept]
    ends = {
        number + 1
        for number in range(len(kept) - 1)
        if _stops(words, kept[number], kept[number + 1])
    }
    found: list[DealMention] = []
    at = 0
    table = _table()
    while at < len(low):
        best, means = _priced(low, at), None
        if best > at:
            found.append(DealMention(kept[at], kept[best - 1] + 1, "", "", "", ""))
            at = best
            continue
        for phrase, meanings in table.get(low[at], ()):
            end = _matched(low, at, phrase, ends)
            if end > best:
                best, means = end, meanings
        if means is None:
            at += 1
            continue
        found.append(DealMention(kept[at], kept[best - 1] + 1, " ".join(low[at:best]),
                                 means["availability"], means["stage"], _letter(means)))  # fmt: skip
        at = best
    return found


def _priced(low: Sequence[str], at: int) -> int:
    """Return where a price that begins at ``at`` ends ("£5 the pair"), or ``at``."""
    if low[at][0] not in "£$€":
        return at
    end = at + 1
    while end < len(low) and low[end] in _OF_PRICES:
        end += 1
    return end


def _stops(words: Sequence[Word], before: int, after: int) -> bool:
    """Whether a full stop or the like stands between two words."""
    return any(words[at].low in _SIGNS for at in range(before + 1, after))


def availability_of(words: Sequence[Word]) -> str:
    """Return whether words of dealing alone, such as a table's terms, say a part is to be had."""
    return next((deal.availability for deal in find_deals(words) if deal.availability), "")


def _letter(means: Mapping[str, str]) -> str:
    if means["availability"] == "promised":
        return "r"
    if means["stage"]:
        return "g"
    if means["availability"] == "wanted":
        return "w" if means["takes"] else "x"
    if means["availability"]:
        return "o" if means["takes"] else "a"
    return ""


def _matched(low: Sequence[str], at: int, phrase: _Phrase, stops: set[int]) -> int:
    """Return where a phrase that begins at ``at`` ends, or -1."""
    end = -1
    for want in phrase:
        if want == ">":
            end = at
            continue
        if want == "$":
            if at < len(low) and low[at] not in _CLAUSE_ENDS and at not in stops:
                return -1
            continue
        if at >= len(low) or low[at] not in want:
            return -1
        at += 1
    return at if end < 0 else end


@functools.cache
def _table() -> dict[str, list[tuple[_Phrase, Mapping[str, str]]]]:
    """Return the phrases by the words they can begin with."""
    found: dict[str, list[tuple[_Phrase, Mapping[str, str]]]] = {}
    for row in load_words("note_deal"):
        for phrase in phrases_of(row.words.lower()):
            first = phrase[0]
            for word in first if isinstance(first, frozenset) else ():
                found.setdefault(word, []).append((phrase, row.meanings))
    return found


def phrases_of(pattern: str) -> list[_Phrase]:
    """Return the phrases that a pattern stands for, its choices and optional words written out.

    Raises:
        ValueError: its brackets do not match.
    """
    tokens = _TOKEN.findall(pattern)
    phrases, at = _expanded(tokens, 0)
    if at != len(tokens):
        raise ValueError(f"words of dealing '{pattern}': the brackets do not match")
    return [phrase for phrase in phrases if phrase]


def _expanded(tokens: list[str], at: int) -> tuple[list[_Phrase], int]:
    done: list[_Phrase] = [()]
    while at < len(tokens) and tokens[at] not in {")", "]", "|"}:
        sign = tokens[at]
        if sign not in {"(", "["}:
            done = [(*one, _wanted(sign)) for one in done]
            at += 1
            continue
        choices: list[_Phrase] = [()] if sign == "[" else []
        while True:
            inner, at = _expanded(tokens, at + 1)
            choices += inner
            if at >= len(tokens) or tokens[at] != "|":
                break
        done = [one + more for one in done for more in choices]
        at += 1
    return done, at


def _wanted(piece: str) -> frozenset[str] | str:
    if piece in {"$", ">"}:
        return piece
    return words_of(piece[1:-1]) if piece.startswith("{") else frozenset({piece})

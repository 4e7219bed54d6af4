"""Words of dealing: whether a part is to be had or wanted, how far a promise is.

"Up for grabs", "hanging on to it", "spoken for", "changed his mind about": each is one mention, so
that a saying needs no more than ``{avail}``, ``{sought}``, ``{offer}`` and ``{seek}`` (before the
part), ``{bound}`` or ``{stage}``. In the table (``words_note_deal.csv``) ``$`` means that nothing
of the clause follows, and what stands behind ``>`` follows and is not of them.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .expressions import expression
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .sentences import Word

_SIGNS = frozenset('.!"*_')
_CLAUSE_ENDS = frozenset(
    {",", ";", ":", ")", "(", "-", "--", "...", ".", "and", "but", "so", "though", "?", "/"}
)
_OF_PRICES = frozenset({"each", "ea", "apiece", "the", "a", "pair", "lot", "set", "for"})
_NO_MEANING: Mapping[str, str] = {"availability": "", "stage": "", "takes": ""}
_TOKEN = expression(r"[()\[\]|]|[^\s()\[\]|]+")
_Phrase = tuple[frozenset[str] | str, ...]


@dataclass(frozen=True, slots=True)
class DealMention:
    """Words of dealing from word ``start`` to ``end``.

    ``letter``: of its mark: ``a`` behind the part, ``o`` before it, ``x`` and ``w`` likewise where
    it is wanted, ``r`` where it is promised, ``g`` a promise's stage, empty where the words only
    keep others from being read.
    """

    start: int
    end: int
    text: str
    availability: str
    stage: str
    letter: str


def find_deals(words: Sequence[Word]) -> list[DealMention]:
    """Return the words of dealing in a sentence, the longest first, without overlap."""
    fillers = _passed_over()
    kept = [at for at, word in enumerate(words) if word.low not in fillers]
    low = [words[at].low for at in kept]
    found: list[DealMention] = []
    at = 0
    begin = _table()
    while at < len(low):
        end, means = _priced(low, at), _NO_MEANING
        if end == at:
            if low[at] not in begin:
                at += 1
                continue
            end, means = _longest(words, kept, low, at)
        if end == at:
            at += 1
            continue
        text = " ".join(low[at:end])
        said = (means["availability"], means["stage"], _letter(means))
        found.append(DealMention(kept[at], kept[end - 1] + 1, text, *said))
        at = end
    return found


@functools.cache
def _passed_over() -> frozenset[str]:
    return _SIGNS | words_of("filler")


def _longest(
    words: Sequence[Word], kept: Sequence[int], low: Sequence[str], at: int
) -> tuple[int, Mapping[str, str]]:
    """Return where the longest words of dealing from ``at`` end, and what they mean."""
    node = _table()
    best, means = at, _NO_MEANING
    seen = 0
    here = at
    while True:
        ends = [node.says] if node.says else []
        if node.says_last and _clause_ends(words, kept, low, here):
            ends.insert(0, node.says_last)
        for length, meaning in ends:
            if here - at > seen:
                best, means, seen = at + (length or here - at), meaning, here - at
        if here == len(low) or low[here] not in node:
            return best, means
        node = node[low[here]]
        here += 1


def _clause_ends(words: Sequence[Word], kept: Sequence[int], low: Sequence[str], at: int) -> bool:
    """Tell whether nothing of the clause follows."""
    if at >= len(low) or low[at] in _CLAUSE_ENDS:
        return True
    return any(words[between].low in _SIGNS for between in range(kept[at - 1] + 1, kept[at]))


def _priced(low: Sequence[str], at: int) -> int:
    """Return where a price that begins at ``at`` ends ("£5 the pair"), or ``at``."""
    if low[at][0] not in "£$€":
        return at
    end = at + 1
    while end < len(low) and low[end] in _OF_PRICES:
        end += 1
    return end


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


class _Node(dict[str, "_Node"]):
    """Words that may go on a phrase. What it means if it ends here, and if the clause does, too.

    With each meaning, how many words are the phrase's own, 0: all of them.
    """

    __slots__ = ("says", "says_last")

    def __init__(self) -> None:
        super().__init__()
        self.says: tuple[int, Mapping[str, str]] | None = None
        self.says_last: tuple[int, Mapping[str, str]] | None = None


@functools.cache
def _table() -> _Node:
    """Return the phrases as a tree of words."""
    root = _Node()
    for row in load_words("note_deal"):
        for phrase in phrases_of(row.words.lower()):
            _insert(root, phrase, 0, 0, row.meanings)
    return root


def _insert(node: _Node, phrase: _Phrase, step: int, length: int, means: Mapping[str, str]) -> None:
    """Put a phrase into the tree; the first of two alike stays."""
    if step == len(phrase):
        node.says = node.says or (length, means)
        return
    want = phrase[step]
    if want == "$":
        node.says_last = node.says_last or (length, means)
    elif want == ">":
        _insert(node, phrase, step + 1, step, means)
    else:
        for word in want:
            _insert(node.setdefault(word, _Node()), phrase, step + 1, length, means)


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

"""A sentence as clauses in its own words, for what is told rather than stated of a part.

The words between quotation marks and brackets stay together. Each clause knows where its words
stand, so that hedges and hearsay of the sentence can be asked of it.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .expressions import expression
from .names import NameMention
from .parts import PartMention

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .acts import Act
    from .sentences import Word

_OPENERS = frozenset({
    "the", "its", "it", "there", "a", "an", "on", "in", "under", "where", "which", "while",
    "whereas", "her", "she", "he", "they", "his", "my", "our", "someone", "somebody", "this",
    "that", "i", "we", "then", "before", "after", "no", "not", "those", "these", "both", "each",
    "though", "although", "beside", "behind", "above", "below", "inside", "so",
})  # fmt: skip
_HEDGED = expression(
    r"\b(?:think|thinks|thought|reckon|reckons|probably|perhaps|might|looks like|seems?|suspect|"
    r"guess|possibly|maybe|if my memory|from memory|"
    r"as far as i|not sure|unsure|i believe|i should say|appears?|supposedly|could be|could have "
    r"been|would guess|i would say|fancy|"
    r"i dare ?say|not proven|if one believes|wondered (?:if|whether)|"
    r"in my opinion|fairly sure|should hazard|to my mind|"
    r"it is believed|must have "
    r"been|i suppose|likely)\b|\?"
)
_MAY_BE = expression(
    r"\bmay (?:well )?(?:be|have)\b(?! (?:seen|read|inspected|found|made out|felt|told))"
)

_BLANK_BEFORE = expression(r" ([,.;:!?)])")


@dataclass(frozen=True, slots=True)
class Clause:
    """A stretch of a sentence: its words as written and folded, ``start`` and ``end`` in words.

    ``stretch``: counts the sentence's stretches between points. ``first``: whether it begins one.
    """

    text: str
    low: str
    start: int
    end: int
    stretch: int
    first: bool


def clauses_of(act: Act) -> list[Clause]:
    """Return the clauses of a sentence."""
    return list(_clauses(act.view.sentence.words))


@functools.lru_cache(maxsize=4)  # several ask of one sentence
def _clauses(words: tuple[Word, ...]) -> tuple[Clause, ...]:
    bounds: list[tuple[int, int, int, bool]] = []
    start = stretch = 0
    first = True
    depth = 0
    for at, word in enumerate(words):
        if word.text == '"':
            depth ^= 1
        elif word.text in "()":
            depth = 2 * (word.text == "(") + depth % 2
        if depth:
            continue
        end = _ends_at(words, at)
        if end:
            bounds.append((start, at, stretch, first))
            start = at + end - 1
            first = word.low in {".", "!"}
            stretch += first
    bounds.append((start, len(words), stretch, first))
    return tuple(
        Clause(plain_words(words[a:b]), _low(words[a:b]), a, b, number, begins)
        for a, b, number, begins in bounds
        if any(word.low[:1].isalnum() for word in words[a:b])
    )


_PLACED = frozenset({"beside", "behind", "above", "below", "inside", "under", "between", "beneath"})


def _low(words: Sequence[Word]) -> str:
    """Return words folded, without the point at their end."""
    low = " ".join([word.low for word in words])
    return re.sub(r"(?: [.!])+$", "", low) if low.endswith((" .", " !")) else low


_TOO = frozenset("cast-in cast stamped marked painted another one".split())  # noqa: SIM905


_MAY_END = frozenset({"and", "where", "while", "whereas", ",", ";", ".", "!", "-", "but"})


def _ends_at(words: Sequence[Word], at: int) -> int:  # noqa: C901, PLR0911 - one line a way to join clauses
    """Return 0, or one more than the words from ``at`` on that only join two clauses."""
    low = words[at].low
    if low not in _MAY_END:
        return 0
    after = words[at + 1].low if at + 1 < len(words) else ""
    if (
        low == "and"
        and after == "there"
        and [word.low for word in words[at + 2 : at + 3]] in (["is"], ["are"])
    ):
        return 0 if [word.low for word in words[at + 3 : at + 4]] in (["no"], ["not"]) else 2
    if (
        low in {"where", "while", "whereas"}
        and at
        and any(word.low == "'s" for word in words[at + 2 : at + 5])
    ):
        return 1
    if low == "," and after == "the" and at + 2 < len(words) and words[at + 2].low.isdigit():
        return 0
    if low == ";" or (
        low in {".", "!"}
        and at + 1 < len(words)
        and words[at - 1].low not in {"no", "mk", "nos"}
        and len(words[at - 1].low) > 1
        and words[at].end < words[at + 1].start
    ):
        return 2
    if (
        low == "-"
        and after != "not"
        and at
        and words[at - 1].end < words[at].start
        and after in _OPENERS
    ):
        return 2
    if low == "but":
        return 2 if after else 0
    if (
        low == ","
        and after in {"and", "but"}
        and at + 2 < len(words)
        and words[at + 2].low in _OPENERS | _TOO
    ):
        then = " ".join(word.low for word in words[at + 2 : at + 5])
        return (
            0
            if re.match(
                r"(?:there|it|they|no sign) (?:never|ever|there)|there (?:is|are|was|were) (?:no|"
                r"not|none)|(?:the|an?) (?:figures?|letters?|numbers?|words?|initials?|date)\b",
                then,
            )
            else 3
        )
    if low == "," and after in _PLACED and words[0].low in _PLACED | {"on", "in", "at"}:
        return 0
    if (
        low == ","
        and after in _OPENERS
        and after
        not in {"no", "not", "a", "an", "in", "on", "under", "those", "these", "both", "each"}
    ):
        return 2
    return 0


def plain_words(words: Sequence[Word]) -> str:
    """Return words as a note has them, without blanks before points."""
    texts = [word.text for word in words]
    if "-" in texts:
        text = "".join([_blank(words, at) + text for at, text in enumerate(texts)])
    else:
        text = " ".join(texts)
    text = _BLANK_BEFORE.sub(r"\1", text)
    if '"' in text:
        text = re.sub(r'" ([^"]*?) "', r'"\1"', text)
    if "' " in text:
        text = re.sub(r"(?<![\w'])' (?=\d\d)", "'", text)
    if "/" in text:
        text = re.sub(r"(?<=\d) ?/ ?(?=\d)", "/", text)
    return text.replace("( ", "(").replace(" 's", "'s").replace("*", "").strip(" ,.;:-")


def _blank(words: Sequence[Word], at: int) -> str:
    """Return what stands before a word: nothing at the start, nor in a number ("88-140-C")."""
    if not at:
        return ""
    close = words[at - 1].end == words[at].start
    return "" if close and "-" in {words[at].text, words[at - 1].text} else " "


def parts_in(act: Act, start: int, end: int) -> list[PartMention]:
    """Return the parts named between two words of the sentence."""
    return [
        one
        for one in act.view.mentions
        if isinstance(one, PartMention)
        and not one.pronoun
        and start <= one.start < end
        and one.end > one.start
    ]


def names_in(act: Act, start: int, end: int, sorts: frozenset[str]) -> list[NameMention]:
    """Return the names of some sorts between two words of the sentence."""
    return [
        one
        for one in act.view.mentions
        if isinstance(one, NameMention)
        and one.sort in sorts
        and start <= one.start < end
        and one.end > one.start
    ]


def is_hedged(clause: Clause, act: Act) -> bool:
    """Tell whether a clause's own words are doubtful, or the sentence's are as a whole."""
    if _HEDGED.search(clause.low) or _MAY_BE.search(clause.low):
        return True
    whole = " ".join(word.low for word in act.view.sentence.words)
    return (
        bool(act.hedges)
        and clause.first
        and clause.stretch == 0
        and bool(_HEDGED.search(whole[: len(clause.low)]))
    )


def place_of(act: Act, word: int) -> int:
    """Return where in the view's text a word of the sentence stands."""
    at = 1
    for token, (start, _) in zip(act.view.text.split(), act.view.places, strict=False):
        if start >= word:
            return at
        at += len(token) + 1
    return max(at - 2, 0)

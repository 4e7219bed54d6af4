"""The state a part is said to be in: words of state, and what each says.

The words are data (``words_note_state.csv``). A phrase there is words with ``(a|b)``: one of these,
``[a]``: may be left out, ``{role}``: a word of that role in ``words_note_role.csv`` (``{store}``),
``{whose}``: "the", "Maud's" or nothing, ``{few}``: up to three words of the clause, ``$``: nothing
of the clause follows. A phrase that means nothing shields its words.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .expressions import expression
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .sentences import Word

#: Words that change nothing in what is said; they may stand within words of state.
FILLERS = words_of("filler")
#: What may stand between "not" and the words it denies.
_BETWEEN = words_of("after-not")
_NOT = frozenset({"not", "never", "hardly"})
_SHORT = words_of("short")
_LONGEST_SHORT = 5
_ASKS = frozenset({"?", "??"})
_DROPPED = FILLERS | frozenset('"*_')
#: Slots that may be any words.
_OPEN = ("{whose}", "{few}")
_TOKEN = expression(r"\{[\w-]+\}|[()\[\]|]|[^\s()\[\]|{}]+")


@dataclass(frozen=True, slots=True)
class StateMention:
    """Words of state from word ``start`` to ``end``; empty: not said."""

    start: int
    end: int
    text: str
    presence: str
    service: str
    making: str
    denied: str = ""


@dataclass(frozen=True, slots=True)
class _Entry:
    """A phrase.

    ``words``: it is no more than these. ``then``: its second word is one of these. ``needs``: all
    of these are in it.
    """

    expression: re.Pattern[str]
    says: Mapping[str, str]
    words: str
    then: frozenset[str] | None
    needs: frozenset[str]


def find_states(words: Sequence[Word], taken: Sequence[bool]) -> list[StateMention]:
    """Return the words of state in a sentence, the longest first, without overlap."""
    begin_one = _begin_one()
    if begin_one.isdisjoint([word.low for word in words]):
        return []
    kept = [
        at
        for at, word in enumerate(words)
        if word.low not in _DROPPED and not (word.text == "." and at and is_short(words[at - 1]))
    ]
    low = [words[at].low for at in kept]
    text = f"{' '.join(low)} "
    begins = [0]
    for word in low:
        begins.append(begins[-1] + len(word) + 1)
    found: list[StateMention] = []
    at = 0
    while at < len(low):
        if low[at] not in begin_one:
            at += 1
            continue
        end, says = _state_at(text, begins, low, at)
        if low[at] in _ASKS and words[kept[at]].start == words[kept[at] - 1].end:
            says = None  # "grilles?" asks, "prop shaft ?" tells
        if says is None or any(taken[kept[at] : kept[end - 1] + 1]):
            at += 1
            continue
        if any(says[key] for key in ("presence", "service", "making")):
            found.append(
                StateMention(kept[at], kept[end - 1] + 1, text[begins[at] : begins[end]].strip(),
                             says["presence"], says["service"], says["making"],
                             says.get("denied", ""))
            )  # fmt: skip
        at = end
    return found


def is_short(word: Word) -> bool:
    """Tell whether a point behind a word only shortens it."""
    return word.low in _SHORT or (word.capital and len(word.low) <= _LONGEST_SHORT)


def _state_at(
    text: str, begins: Sequence[int], low: Sequence[str], at: int
) -> tuple[int, Mapping[str, str] | None]:
    """Return where the words of state that begin at a word end, and what they say."""
    end, says = _longest(text, begins, low, at)
    if says is None and low[at] in _NOT:
        begin = at + 1
        while begin < len(low) - 1 and low[begin] in _BETWEEN:
            begin += 1
        if begin < len(low):
            end, says = _longest(text, begins, low, begin)
        says = _denied(says) if says else None
    return end, says


def _denied(says: Mapping[str, str]) -> dict[str, str] | None:
    """Return what "not" before words of state makes of them; None: nothing."""
    denied = says["denied"]
    if denied in {"", "nothing"}:
        return None
    if denied == "later":
        return {"presence": "fitted", "service": "", "making": "other-original"}
    if denied == "unserviceable":
        return {"presence": "fitted", "service": denied, "making": ""}
    return {"presence": denied, "service": "", "making": ""}


def _longest(
    text: str, begins: Sequence[int], low: Sequence[str], at: int
) -> tuple[int, Mapping[str, str] | None]:
    begin = begins[at]
    best, says = begin, None
    follows = low[at + 1] if at + 1 < len(low) else ""
    every = frozenset(low)
    for entry in _table().get(low[at], ()):
        if entry.words:
            end = begin + len(entry.words)
            if end > best and text.startswith(entry.words, begin):
                best, says = end, entry.says
        elif (entry.then is None or follows in entry.then) and entry.needs <= every:
            match = entry.expression.match(text, begin)
            if match and match.end() > best:
                best, says = match.end(), entry.says
    return (begins.index(best, at) if says else at), says


@functools.cache
def _table() -> dict[str, list[_Entry]]:
    """Return the phrases by the words they can begin with."""
    found: dict[str, list[_Entry]] = {}
    for row in load_words("note_state"):
        tokens = _TOKEN.findall(row.words.lower())
        worded, first, at, _ = _sequence(tokens, 0)
        if at != len(tokens) or not first:
            raise ValueError(f"words of state '{row.words}': a bracket is not opened, or they "
                             "begin with words that may be left out")  # fmt: skip
        alone = all(re.fullmatch(r"[^\W\d_][\w'/-]*", token) for token in tokens)
        entry = _Entry(
            expression(worded), row.meanings, f"{' '.join(tokens)} " if alone else "",
            _second(tokens), _needed(tokens),
        )  # fmt: skip
        for word in first:
            found.setdefault(word, []).append(entry)
    return found


@functools.cache
def _begin_one() -> frozenset[str]:
    """Return the words with which words of state can begin."""
    return _NOT | _table().keys()


def _second(tokens: list[str]) -> frozenset[str] | None:
    """Return the words that can stand second in a phrase whose first word is plain, if known."""
    if len(tokens) == 1 or not tokens[0].isalpha() or not {"$", *_OPEN}.isdisjoint(tokens):
        return None
    _, words, _, empty = _sequence(tokens[1:], 0)
    return None if empty else words


def _needed(tokens: Sequence[str]) -> frozenset[str]:
    """Return the words that a phrase never is without."""
    needed: set[str] = set()
    depth = 0
    for token in tokens:
        depth += (token in {"(", "["}) - (token in {")", "]"})
        if not depth and token[0] not in "$)]{":
            needed.add(token)
    return frozenset(needed)


def _sequence(tokens: list[str], at: int) -> tuple[str, frozenset[str], int, bool]:
    """Return the expression of words, those it can begin with, its end, whether it is empty."""
    pieces: list[str] = []
    first: frozenset[str] = frozenset()
    empty = True
    while at < len(tokens) and tokens[at] not in {")", "]", "|"}:
        sign = tokens[at]
        if sign in {"(", "["}:
            piece, words, at, may_miss = _choice(tokens, at, may_miss=sign == "[")
        else:
            piece, words, may_miss = _piece(sign)
        pieces.append(piece)
        if empty:
            first |= words
            empty = may_miss
        at += 1
    return "".join(pieces), first, at, empty


def _choice(tokens: list[str], at: int, *, may_miss: bool) -> tuple[str, frozenset[str], int, bool]:
    optional = may_miss
    choices: list[str] = []
    first: frozenset[str] = frozenset()
    while True:
        piece, words, at, empty = _sequence(tokens, at + 1)
        choices.append(piece)
        first |= words
        may_miss = may_miss or empty
        if at >= len(tokens):
            raise ValueError(f"words of state '{' '.join(tokens)}': a bracket is not closed")
        if tokens[at] != "|":
            break
    return f"(?:{'|'.join(choices)}){'?' if optional else ''}", first, at, may_miss


@functools.cache
def _few() -> str:
    ends = "|".join(map(re.escape, sorted(words_of("clause-end"))))
    return rf"(?:(?!(?:{ends}|;) )(?:\w\S*|'s) ){{0,3}}"


def _piece(slot: str) -> tuple[str, frozenset[str], bool]:
    """Return the expression of a word or slot, the words it can be, whether it may be nothing."""
    if slot == "$":
        ends = "|".join(map(re.escape, sorted(words_of("clause-stop"))))
        return rf"(?=(?:{ends}|;) |$)", frozenset(), False
    if slot == "{whose}":
        its = "|".join(sorted(words_of("determiner")))
        return rf"(?:(?:{its}) |(?:\w\S* ){{1,2}}'s )?", frozenset(), True
    if slot == "{few}":
        return _few(), frozenset(), True
    if slot.startswith("{"):
        words = words_of(slot[1:-1])
        return f"(?:{'|'.join(map(re.escape, sorted(words)))}) (?:'s )?", words, False
    return f"{re.escape(slot)} ", frozenset({slot}), False

"""How many: numbers in words, "a couple of", "both", "three of the four"."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

NUMBERS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "eight": "8", "nine": "9", "ten": "10", "eleven": "11", "twelve": "12", "dozen": "12",
    "fourteen": "14", "sixteen": "16", "eighteen": "18", "twenty": "20",
}  # fmt: skip
#: How many, in words that open a phrase; the count as the lines have it.
MANY: dict[tuple[str, ...], str] = {
    ("a", "couple", "of"): "2", ("couple", "of"): "2", ("a", "pair", "of"): "2",
    ("pair", "of"): "2", ("the", "pair", "of"): "2", ("a", "few"): "2+", ("several",): "2+",
    ("a", "number", "of"): "2+", ("some",): "", ("a", "dozen"): "12", ("half", "a", "dozen"): "6",
    ("lots", "of"): "3+", ("plenty", "of"): "3+", ("loads", "of"): "3+", ("a", "lot", "of"): "3+",
    ("a", "set", "of"): "", ("set", "of"): "", ("the", "set", "of"): "", ("both",): "2",
    ("all",): "", ("a", "box", "of"): "2+", ("box", "of"): "2+", ("a", "handful", "of"): "2+",
    ("most", "of"): "", ("most",): "", ("half",): "", ("half", "of"): "",
    ("either",): "", ("every",): "", ("each",): "", ("another",): "1",
    ("a", "single"): "1", ("every", "one", "of"): "", ("two", "pairs", "of"): "4",
    ("all", "of"): "",
    ("both", "of"): "2", ("each", "of"): "",
}  # fmt: skip
MANY |= {
    (number, heap, "of"): "2+" for number in ("a", "one", "whole") for heap in words_of("heap")
}
_DETERMINERS = words_of("determiner")
_OUT_OF = (("out", "of"), ("of",), ("/",), ("from",))
_LONGEST_NUMBER = 3


@dataclass(frozen=True, slots=True)
class Amount:
    """How many, of how many, whether of all; ``which``: the determiner; it begins at ``start``."""

    start: int
    count: str = ""
    of: str = ""
    every: bool = False
    which: str = ""


def number_of(word: str) -> str:
    """Return the number that a word is, as digits, or nothing."""
    if word.isdigit() and len(word) <= _LONGEST_NUMBER:
        return word
    return NUMBERS.get(word, "")


def amount_before(low: Sequence[str], at: int, after: int) -> Amount:
    """Return the count and the determiner in the words before ``at``, from ``after`` on."""
    which = ""
    if at > after and low[at - 1] in _DETERMINERS:
        which, at = low[at - 1], at - 1
    alone = _times_before(low, at, after, which) or _neither_before(low, at, after)
    if alone:
        return alone
    count, every, at = _many_before(low, at, after)
    of = ""
    number = number_of(low[at - 1]) if at > after else ""
    if number:
        count, at = number, at - 1
        if at > after and low[at - 1] == "all":
            every, at = True, at - 1
        if at > after and low[at - 1] in {"the", "our", "her", "its"}:
            at -= 1
        more = _of_before(low, at, after)
        if more:
            of, count, at = count, more[0], more[1]
    elif not count and (more := _of_before(low, at, after)):
        count, at = more
    if at > after and low[at - 1] in _DETERMINERS:
        which, at = which or low[at - 1], at - 1
    return Amount(at, count, of, every, which)


def _times_before(low: Sequence[str], at: int, after: int, which: str) -> Amount | None:
    """Return the 2 of "2 x" and "2x"."""
    if at - 1 > after and low[at - 1] == "x" and low[at - 2].isdigit():
        return Amount(at - 2, low[at - 2], which=which)
    word = low[at - 1] if at > after else ""
    if word.endswith("x") and word[:-1].isdigit():
        return Amount(at - 1, word[:-1], which=which)
    return None


def _neither_before(low: Sequence[str], at: int, after: int) -> Amount | None:
    for length in (1, 2):
        if at - length >= after and tuple(low[at - length : at]) == ("neither", "of")[:length]:
            return Amount(at - length, which="neither")
    return None


def _many_before(low: Sequence[str], at: int, after: int) -> tuple[str, bool, int]:
    for length in (3, 2, 1):
        phrase = tuple(low[at - length : at]) if at - length >= after else ()
        at_all = phrase[:1] == ("all",) and low[at - length - 1 : at - length] == ("at",)
        if phrase in MANY and not at_all:
            return MANY[phrase], phrase[0] in {"all", "both", "every", "each"}, at - length
    return "", False, at


def _of_before(low: Sequence[str], at: int, after: int) -> tuple[str, int] | None:
    """Return the 3 of "three of the", "3 out of", and where it begins."""
    for words in _OUT_OF:
        start = at - len(words)
        if start > after and tuple(low[start:at]) == words:
            number = number_of(low[start - 1])
            return (number, start - 1) if number else None
    return None

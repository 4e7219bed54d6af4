"""Part numbers against the pattern of their neighbours on the page."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import combinations, product
from typing import TYPE_CHECKING, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

#: What print and engines confuse, as read: as it may be meant. O/0, I/1, S/5 and B/8 are in
#: ``parts_list_conventions.csv`` (from memory there); the others are common practice, no source.
#: I and O are seldom letters of numbers, so a 0 or 1 where a letter is due may be another letter
#: like them, and is mended to none.
_MEANT = {
    "0": "ODQ", "1": "IJLT", "2": "Z", "5": "S", "6": "G", "8": "B",
    "O": "0", "o": "0", "D": "0", "Q": "0", "I": "1", "l": "1", "|": "1", "Z": "2", "z": "2",
    "S": "5", "s": "5", "G": "6", "b": "6", "B": "8",
}  # fmt: skip
#: No number is read otherwise in more places than this.
_MOST_SLIPS = 2
#: A pattern is one of the column's own if so many have it, and this share of them.
_FEWEST, _SHARE = 3, 0.12
#: Where the pattern of most has this share of a column, an odd one may be mended to it ...
_LEADING = 0.25
#: ... and where it has this share, an odd one that cannot be mended is doubted.
_RULING = 0.6
#: A column is one of part numbers if this share of what has figures in it looks like them, and
#: this share of all.
_NUMBERS, _OF_ALL = 0.7, 0.4
_NUMBER = re.compile(r"(?=.*\d)[0-9A-Za-z][0-9A-Za-z./|-]{2,}[0-9A-Za-z]")


@dataclass(frozen=True, slots=True)
class Repaired:
    """A number that can only be meant so."""

    meant: str


@dataclass(frozen=True, slots=True)
class Doubted:
    """A number that a person should look at."""


Verdict: TypeAlias = Repaired | Doubted


def against_neighbours(column: Sequence[str | None]) -> dict[int, Verdict]:
    """Return what is to be thought of numbers unlike the others of their column, by place."""
    numbers = _numbers(column)
    own = _own_patterns(numbers)
    verdicts: dict[int, Verdict] = _strokes(numbers)
    patterns = [pattern_of(number) for number in numbers.values()]
    leading = max(map(patterns.count, own), default=0) / max(1, len(patterns))
    if leading < _LEADING:
        return verdicts
    shapes = {_shape(number) for number in numbers.values() if pattern_of(number) in own}
    for at, number in numbers.items():
        if pattern_of(number) in own or at in verdicts:
            continue
        meant = _meant_by(number, shapes)
        if len(meant) == 1:
            verdicts[at] = Repaired(meant.pop())
        elif meant or leading >= _RULING:
            verdicts[at] = Doubted()
    return verdicts


def of_own_pattern(column: Sequence[str | None]) -> list[int]:
    """Return the places of numbers that have a pattern of their column which rules it.

    Numbers in which a 1 may be a stroke are not among them.
    """
    numbers = _numbers(column)
    own = _own_patterns(numbers)
    doubted = set(_strokes(numbers))
    return [at for at, one in numbers.items() if pattern_of(one) in own and at not in doubted]


def _numbers(column: Sequence[str | None]) -> dict[int, str]:
    """Return the part numbers of a column by place, none if it is not one of part numbers."""
    numbers = {at: cell for at, cell in enumerate(column) if cell and _NUMBER.fullmatch(cell)}
    filled = [cell for cell in column if cell]
    # Headings, captions and words such as "NP" are no numbers, but have no figures either.
    figured = sum(re.search(r"\d", cell) is not None for cell in filled)
    if len(numbers) < max(_FEWEST, _NUMBERS * figured, _OF_ALL * len(filled)):
        return {}
    return numbers


def _own_patterns(numbers: Mapping[int, str]) -> set[str]:
    counted = Counter(pattern_of(number) for number in numbers.values())
    least = max(_FEWEST, _SHARE * len(numbers))
    return {pattern for pattern, count in counted.items() if count >= least}


def pattern_of(number: str) -> str:
    """Return a number's pattern: 9 for figures, A for letters, signs as they are.

    How many figures there are does not count, as in 12-7 and 112-7; how many letters does.
    """
    return re.sub(r"9+", "9", _shape(number))


def _shape(number: str) -> str:
    """Return a number's pattern in which each figure counts."""
    return re.sub(r"[A-Za-z]", "A", re.sub(r"\d", "9", number))


def _meant_by(number: str, shapes: set[str]) -> set[str]:
    """Return what a number may be meant to be, of the shapes given, with the fewest slips."""
    places = [at for at, letter in enumerate(number) if letter in _MEANT]
    for slips in range(1, _MOST_SLIPS + 1):
        found = {
            meant
            for chosen in combinations(places, slips)
            for meant in _read_otherwise(number, chosen)
            if _shape(meant) in shapes
        }
        if found:
            return found
    return set()


def _read_otherwise(number: str, places: Iterable[int]) -> Iterator[str]:
    places = tuple(places)
    for letters in product(*(_MEANT[number[at]] for at in places)):
        meant = list(number)
        for at, letter in zip(places, letters, strict=True):
            meant[at] = letter
        yield "".join(meant)


def _strokes(numbers: Mapping[int, str]) -> dict[int, Verdict]:
    """Return what is to be thought of numbers in which a 1 may be a stroke, as others have there.

    In a hand that draws both alike every number of a pattern has a 1 there; where one has another
    figure, numbers of that pattern have no stroke. Three that all have it there by chance are one
    in a thousand.
    """
    with_stroke = {
        _shape(number[: at + 1])
        for number in numbers.values()
        for at, letter in enumerate(number)
        if letter == "/"
    }
    patterns: defaultdict[str, dict[int, list[str]]] = defaultdict(dict)
    for at, number in numbers.items():
        patterns[pattern_of(number)][at] = _with_stroke(number, with_stroke)
    verdicts: dict[int, Verdict] = {}
    for found in patterns.values():
        if all(found.values()):
            certain = len(found) >= _FEWEST and all(len(meant) == 1 for meant in found.values())
            for at, meant in found.items():
                verdicts[at] = Repaired(meant[0]) if certain else Doubted()
    return verdicts


def _with_stroke(number: str, with_stroke: set[str]) -> list[str]:
    """Return what a number is if one of its 1s is a stroke where others have one."""
    return [
        f"{number[:at]}/{number[at + 1 :]}"
        for at, letter in enumerate(number[:-1])
        if letter == "1" and _shape(number[:at]) + "/" in with_stroke
    ]

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
#: Where all numbers of a pattern but one, so many, have a run of as many figures, so long, the
#: other one is doubted. Shorter runs are numbers that are counted up: 9 comes before 10.
_OF_ONE_LENGTH, _LONG_RUN = 6, 4
#: Letters are capitals where so many numbers that have any have no small one.
_FEW_SMALL = 0.7
#: Where so many others have a letter in a place, or a figure, only such are thought of there.
_OF_ONE_KIND = 2
#: A column is one of part numbers if this share of what has figures in it looks like them, and
#: this share of all.
_NUMBERS, _OF_ALL = 0.7, 0.4
_CUT = re.compile(r"[./|-][0-9A-Za-z./|-]*[0-9A-Za-z]|[0-9A-Za-z][0-9A-Za-z./|-]*[./|-]")
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
    if not numbers:
        return {}
    own = _own_patterns(numbers)
    verdicts = _cut_short(column) | _of_other_length(numbers, own)
    verdicts |= _figures_as_letters(numbers, own) | _shared_ones(numbers, own)
    verdicts |= _strokes(numbers)
    patterns = [pattern_of(number) for number in numbers.values()]
    leading = max(map(patterns.count, own), default=0) / len(patterns)
    shapes = {_shape(number) for number in numbers.values() if pattern_of(number) in own}
    for at, number in numbers.items():
        if pattern_of(number) in own or at in verdicts:
            continue
        meant = _meant_by(number, shapes) if leading >= _LEADING else set()
        if len(meant) == 1:
            verdicts[at] = Repaired(meant.pop())
        elif meant or leading >= _RULING or _lacks_a_part(pattern_of(number), own):
            verdicts[at] = Doubted()
    return _small_among_capitals(numbers) | verdicts


def places_of_one_kind(column: Sequence[str | None]) -> dict[int, set[int]]:
    """Return, of numbers of a pattern of their column, where a letter or a figure must stand.

    There others have one too, and none has a figure for a letter or a letter for a figure. A
    small letter may be any. Numbers that ``against_neighbours`` speaks of are not among them.
    """
    numbers = _numbers(column)
    own = _own_patterns(numbers)
    doubted = against_neighbours(column)
    like = {at: one for at, one in numbers.items() if pattern_of(one) in own and at not in doubted}
    shapes = Counter(map(_shape, like.values()))
    kinds: dict[int, set[int]] = {}
    for at, number in like.items():
        kinds[at] = {
            place
            for place, letter in enumerate(number)
            if letter.isalnum()
            and not letter.islower()
            and shapes[_shape(number)] > _OF_ONE_KIND
            and not shapes[_shape(number[:place] + _other_kind(letter) + number[place + 1 :])]
        }
    return kinds


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
    own = {pattern for pattern, count in counted.items() if count >= least}
    # A hand that draws G and 6 alike has its G-39-3 read as 6-39-3 each time.
    return {pattern for pattern in own if not _all_slip(pattern, own, counted, numbers, "A")}


def _all_slip(
    pattern: str, own: set[str], counted: Mapping[str, int], numbers: Mapping[int, str], kind: str
) -> bool:
    """Return whether all numbers of a pattern have one character that may be of another kind.

    That is of the kind which a commoner pattern has in its place.
    """
    commoner = {
        _shape(number)
        for number in numbers.values()
        if counted[pattern_of(number)] > counted[pattern] and pattern_of(number) in own
    }
    letters: set[str] = set()
    for number in numbers.values():
        if pattern_of(number) == pattern:
            found = [
                letter
                for at, letter in enumerate(number)
                if letter in _MEANT
                and _other_kind(letter) == kind
                and _shape(number[:at] + kind + number[at + 1 :]) in commoner
            ]
            letters.update(found if len(found) == 1 else ("", "-"))
    return len(letters) == 1


def _figures_as_letters(numbers: Mapping[int, str], own: set[str]) -> dict[int, Verdict]:
    """Return numbers that all have the same letter where a commoner pattern has a figure like it.

    They may begin so, as "BS614" does, or have a 5 there.
    """
    counted = Counter(pattern_of(number) for number in numbers.values())
    odd = {pattern for pattern in own if _all_slip(pattern, own, counted, numbers, "9")}
    return {at: Doubted() for at, number in numbers.items() if pattern_of(number) in odd}


def _small_among_capitals(numbers: Mapping[int, str]) -> dict[int, Verdict]:
    """Return numbers with a small letter where hardly any other has one."""
    lettered = {at: one for at, one in numbers.items() if re.search("[A-Za-z]", one)}
    small = {at for at, one in lettered.items() if re.search("[a-z]", one)}
    if len(lettered) - len(small) < max(_FEWEST, _FEW_SMALL * len(lettered)):
        return {}
    return {at: Doubted() for at in small}


def _cut_short(column: Sequence[str | None]) -> dict[int, Verdict]:
    """Return the cells of a column of numbers that begin or end with a sign: a part is lost."""
    return {
        at: Doubted()
        for at, cell in enumerate(column)
        if cell and re.search(r"\d", cell) and _CUT.fullmatch(cell)
    }


def _of_other_length(numbers: Mapping[int, str], own: set[str]) -> dict[int, Verdict]:
    """Return numbers with a longer or shorter run of figures than all others of their pattern."""
    verdicts: dict[int, Verdict] = {}
    for pattern in own:
        runs = {
            at: max(map(len, re.findall(r"\d+", number)))
            for at, number in numbers.items()
            if pattern_of(number) == pattern
        }
        usual, most = Counter(runs.values()).most_common(1)[0]
        if usual >= _LONG_RUN and most >= _OF_ONE_LENGTH and most == len(runs) - 1:
            verdicts |= {at: Doubted() for at, run in runs.items() if run != usual}
    return verdicts


def _lacks_a_part(pattern: str, own: set[str]) -> bool:
    """Return whether a pattern is one of the column's own without signs or its first figure."""
    bare = [re.sub(r"9+", "9", re.sub(r"\W", "", one)) for one in own if re.search(r"\W", one)]
    return pattern in bare or (re.search(r"\W", pattern) is not None and "9" + pattern in own)


def _other_kind(letter: str) -> str:
    return "A" if letter.isdecimal() else "9"


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


def _shared_ones(numbers: Mapping[int, str], own: set[str]) -> dict[int, Verdict]:
    """Return numbers of a pattern that all have a 1 in one place among figures that differ.

    It may be a stroke that the engine takes for a 1; by chance four have it once in 10,000.
    """
    verdicts: dict[int, Verdict] = {}
    for pattern in own:
        alike = {at: one for at, one in numbers.items() if pattern_of(one) == pattern}
        if len(alike) > _FEWEST and any(
            set(ones) == {"1"}
            and all("".join(sides).isdecimal() for sides in (before, after))
            and min(len(set(before)), len(set(after))) >= _FEWEST
            and all(_figures_around(one, at) >= _LONG_RUN + 1 for one in alike.values())
            for at, (before, ones, after) in enumerate(_threes(list(alike.values())), 1)
        ):
            verdicts |= dict.fromkeys(alike, Doubted())
    return verdicts


def _threes(numbers: Sequence[str]) -> Iterator[tuple[tuple[str, ...], ...]]:
    """Yield what stands in each three places of numbers that follow each other."""
    places = list(zip(*numbers, strict=False))
    yield from zip(places, places[1:], places[2:], strict=False)


def _figures_around(number: str, at: int) -> int:
    """Return how long the run of figures is in which a place stands."""
    return next(
        run.end() - run.start() for run in re.finditer(r"\d+", number) if at in range(*run.span())
    )


def _with_stroke(number: str, with_stroke: set[str]) -> list[str]:
    """Return what a number is if one of its 1s is a stroke where others have one."""
    return [
        f"{number[:at]}/{number[at + 1 :]}"
        for at, letter in enumerate(number[:-1])
        if letter == "1" and _shape(number[:at]) + "/" in with_stroke
    ]

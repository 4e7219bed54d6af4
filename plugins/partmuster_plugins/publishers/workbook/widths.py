"""How wide columns are: wide enough for most of their words, and together for a printed page."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from .marks import marks_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    import polars as pl

    from .cells import Typed

#: Letters across a page of A4 laid sideways, printed at about three quarters of their size.
ROOM = 190
#: The widest column of words, one of ids, which are not there to be read, and one for a pen.
_WIDEST, _IDS, _BY_HAND = 60, 18, 22
_NARROWEST, _BUTTON = 6, 2
#: Letters of words that break too soon are hard to read.
_WORDS = 12
#: Up to how much longer than most the longest words may be, and still be given their room.
_ALIKE = 1.4


def widths(frame: pl.DataFrame, columns: Sequence[Typed]) -> tuple[list[int], list[bool]]:
    """Return the width of each column in letters, and whether its words are wrapped."""
    marked = {place for place, _ in marks_of(tuple(columns))}
    floors = [
        max(
            _floor(column, n in marked),
            min(_natural(frame[str(n)], column), _BY_HAND if column.by_hand else _WORDS),
        )
        for n, column in enumerate(columns)
    ]
    longest = [_longest(frame[str(n)], column) for n, column in enumerate(columns)]
    wide = [
        max(floor, _natural(frame[str(n)], column) + 2 * (n in marked))
        for n, (floor, column) in enumerate(zip(floors, columns, strict=True))
    ]
    needs = [_need(frame[str(n)], column) for n, column in enumerate(columns)]
    _fit(wide, floors, needs[: printed(columns)])
    _spread(wide, longest, needs[: printed(columns)])
    wraps = [
        column.sort == "text" and column.about.kind != "ids" and most + 1 > width
        for column, most, width in zip(columns, longest, wide, strict=True)
    ]
    return wide, wraps


def printed(columns: Sequence[Typed]) -> int:
    """Return how many columns go on paper: all but the ids at the end."""
    count = len(columns)
    while count > 1 and columns[count - 1].about.kind == "ids":
        count -= 1
    return count


def _fit(wide: list[int], floors: list[int], needs: list[float]) -> None:
    """Take, letter by letter, from columns whose words then go over the fewest lines."""
    while sum(wide[: len(needs)]) > ROOM:
        spare = [n for n in range(len(needs)) if wide[n] > floors[n]]
        if not spare:
            return
        wide[min(spare, key=lambda n: needs[n] / (wide[n] - 1))] -= 1


def _spread(wide: list[int], longest: list[int], needs: list[float]) -> None:
    """Give room that is left to columns whose words go over the most lines."""
    for _ in range(ROOM - sum(wide[: len(needs)])):
        short = [n for n in range(len(needs)) if wide[n] < min(longest[n] + 2, _WIDEST)]
        if not short:
            return
        wide[max(short, key=lambda n: needs[n] / wide[n])] += 1


def _need(values: pl.Series, column: Typed) -> float:
    """How many letters a column has to show: between what most and what the longest have."""
    if column.sort != "text" or column.about.kind == "ids":
        return 0.0
    lengths = values.str.len_chars()
    return (float(lengths.quantile(0.9) or 0) + float(lengths.max() or 0)) / 2  # type: ignore[arg-type]  # a number


def _floor(column: Typed, marked: bool) -> int:
    words = column.about.heading.split() or [""]
    heading = max(*(len(word) for word in words), len(column.about.heading) // 3) + 1
    button = _BUTTON + (column.sort == "number")
    least = {"text": _NARROWEST, "number": _NARROWEST, "day": 11 + 4 * marked}[column.sort]
    return max(least, min(heading + button, _WORDS + _BUTTON))


def _natural(values: pl.Series, column: Typed) -> int:
    if column.about.kind == "ids":
        return _IDS
    if column.by_hand:
        return _BY_HAND
    if column.sort == "day":
        return 11
    if column.sort == "number":
        return min(_longest(values, column), 14) + 3
    lengths = values.str.len_chars()
    usual = int(lengths.quantile(0.9, "higher") or 0)
    most: int = lengths.max() or 0  # type: ignore[assignment]  # a number
    return min((most if most <= _ALIKE * usual else usual) + 2, _WIDEST)


def _longest(values: pl.Series, column: Typed) -> int:
    """How many letters the longest value has; one of several lines counts as too long."""
    if values.null_count() == len(values):
        return 0
    if column.sort == "day":
        return 10
    if column.sort == "number":
        if column.about.kind == "share":
            return 5
        reach = max(abs(float(values.max() or 0)), abs(float(values.min() or 0)))  # type: ignore[arg-type]  # a number
        if not math.isfinite(reach):
            return len("not a number")
        return len(f"{reach:,.0f}") + (0 if column.whole else 2) + column.signed
    longest: int = values.str.len_chars().max() or 0  # type: ignore[assignment]  # a number
    return longest + (_WIDEST if values.str.contains("\n", literal=True).any() else 0)

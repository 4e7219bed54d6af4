"""Tables that stand side by side on a page, told by what comes again further right.

That is the headings, or where a page has none, columns of the same widths with the same in them.
"""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from rapidfuzz import fuzz

from .columns import columns_of, rows_of, spaces_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .columns import Row
    from .pieces import Piece

#: A row of headings has so many at least.
_FEWEST = 3
#: Headings are the same if so alike, in hundredths: an engine reads them twice.
_ALIKE = 80
#: Rows of headings stand within so many heights of a letter of each other.
_LEVEL = 6.0
#: Columns of two tables are alike if they begin within so many heights of each other; one holds
#: words if half of its cells have so many letters.
_OFF, _WORDS = 1.5, 4
#: So many pieces, titles and feet, may run over the space between two tables.
_RUN_OVER = 0.1


def side_by_side(pieces: Sequence[Piece], height: float, width: float) -> list[list[Piece]]:
    """Return the pieces of each table, from left to right; titles above belong to the first."""
    best: tuple[int, float, float] | None = None
    for middle in _between(pieces, height, width):
        found = _same_headings(
            rows_of([piece for piece in pieces if piece.x1 <= middle], height),
            rows_of([piece for piece in pieces if piece.x0 >= middle], height),
            height,
        )
        # Most headings again: the whole table stands left, not all but its last column.
        if found is not None and (best is None or found[0] > best[0]):
            best = (*found, middle)
    if best is None:
        middle_or_none = _same_columns(pieces, height, width)
        if middle_or_none is None:
            return [list(pieces)]
        best = (0, min(piece.y0 for piece in pieces), middle_or_none)
    _, top, middle = best
    beyond = [piece.x0 >= middle and piece.middle >= top for piece in pieces]
    first = [piece for piece, is_beyond in zip(pieces, beyond, strict=True) if not is_beyond]
    rest = [piece for piece, is_beyond in zip(pieces, beyond, strict=True) if is_beyond]
    return [first, *side_by_side(rest, height, width)]


def _between(pieces: Sequence[Piece], height: float, width: float) -> list[float]:
    """Return the middles of spaces that have columns enough for a table left and right."""
    spaces = spaces_of(pieces, height, width, max(1.0, _RUN_OVER * len(pieces)))
    return [(a + b) / 2 for a, b in spaces[_FEWEST - 1 : len(spaces) - _FEWEST + 1]]


def _same_headings(
    left: Sequence[Row], right: Sequence[Row], height: float
) -> tuple[int, float] | None:
    """Return how many headings come again right as they stand left, and from where down."""
    found: list[tuple[int, float]] = []
    for row in right:
        top = min(piece.y0 for piece in row)
        found += [
            (len(other), top)
            for other in left
            if _FEWEST <= len(other) <= len(row)
            and abs(min(piece.y0 for piece in other) - top) <= _LEVEL * height
            and all(_same(a, b) for a, b in zip(other, row, strict=False))
        ]
    return max(found, default=None)


def _same_columns(pieces: Sequence[Piece], height: float, width: float) -> float | None:
    """Return where the space stands right and left of which columns are alike, or None."""
    for middle in _between(pieces, height, width):
        halves = [
            _columns([piece for piece in pieces if piece.x1 <= middle], height, width),
            _columns([piece for piece in pieces if piece.x0 >= middle], height, width),
        ]
        left, right = halves
        if len(left) != len(right) or len(left) < _FEWEST:
            continue
        shift = right[0][0] - left[0][0]
        if all(
            abs(b - a - shift) <= _OFF * height and _as_long(m, n)
            for (a, m), (b, n) in zip(left, right, strict=True)
        ) and any(letters >= _WORDS for _, letters in left):
            return middle
    return None


def _columns(pieces: Sequence[Piece], height: float, width: float) -> list[tuple[float, float]]:
    """Return where each column begins, and how many letters of words its cells have."""
    rows = [row for row in rows_of(pieces, height) if len(row) >= _FEWEST]
    if len(rows) < _FEWEST:
        return []
    found = []
    for a, b in columns_of(rows, height, width):
        inside = [piece for row in rows for piece in row if a <= piece.x0 < b]
        if inside:
            words = [sum(letter.isalpha() for letter in piece.text) for piece in inside]
            found.append((min(piece.x0 for piece in inside), float(median(words))))
    return found


def _as_long(letters: float, others: float) -> bool:
    """Return whether both columns hold words, or neither."""
    return (letters >= _WORDS) == (others >= _WORDS)


def _same(left: Piece, right: Piece) -> bool:
    a, b = left.text.casefold(), right.text.casefold()
    return (
        any(letter.isalpha() for letter in a)
        and not any(letter.isdigit() for letter in a)
        and (fuzz.ratio(a, b) >= _ALIKE)
    )

"""Tables that stand side by side on a page, told by headings that come again further right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rapidfuzz import fuzz

from .columns import rows_of, spaces_of

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
#: So many pieces, titles and feet, may run over the space between two tables.
_RUN_OVER = 0.1


def side_by_side(pieces: Sequence[Piece], height: float, width: float) -> list[list[Piece]]:
    """Return the pieces of each table, from left to right; titles above belong to the first."""
    best: tuple[int, float, float] | None = None
    for start, end in spaces_of(pieces, height, width, max(1.0, _RUN_OVER * len(pieces))):
        middle = (start + end) / 2
        found = _same_headings(
            rows_of([piece for piece in pieces if piece.x1 <= middle], height),
            rows_of([piece for piece in pieces if piece.x0 >= middle], height),
            height,
        )
        # Most headings again: the whole table stands left, not all but its last column.
        if found is not None and (best is None or found[0] > best[0]):
            best = (*found, middle)
    if best is None:
        return [list(pieces)]
    _, top, middle = best
    beyond = [piece.x0 >= middle and piece.middle >= top for piece in pieces]
    first = [piece for piece, is_beyond in zip(pieces, beyond, strict=True) if not is_beyond]
    rest = [piece for piece, is_beyond in zip(pieces, beyond, strict=True) if is_beyond]
    return [first, *side_by_side(rest, height, width)]


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


def _same(left: Piece, right: Piece) -> bool:
    a, b = left.text.casefold(), right.text.casefold()
    return (
        any(letter.isalpha() for letter in a)
        and not any(letter.isdigit() for letter in a)
        and (fuzz.ratio(a, b) >= _ALIKE)
    )

"""From pieces of text on a level page to rows and columns."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from .pieces import Piece

if TYPE_CHECKING:
    from collections.abc import Sequence

Row: TypeAlias = list[Piece]
#: Where a column begins and ends, in pixels.
Column: TypeAlias = tuple[float, float]

#: Pieces of one row have their middles within so many heights of a letter of a neighbour's.
_LEVEL = 0.6
#: Pieces of one row may run into each other by so much.
_OVERLAP = 0.9
#: Rows in which a piece runs over the space between two columns do not join the columns.
_RUN_OVER = 0.05
#: The space between two columns is as wide as this at least.
_LEAST_SPACE = 0.5
#: The middles of letters before and after a space wider than between words are so far apart.
_WIDE_SPACE = 2.6
#: Pieces of a title stand nearer to each other than this.
_TITLE_GAP = 3.0
_MANY = 3
#: A running head or foot stands so many steps of the rows from them; there are so many at most.
_APART = 1.8
_MOST_HEADS = 2


def rows_of(pieces: Sequence[Piece], height: float) -> list[Row]:
    """Return the rows from top to bottom, each from left to right."""
    rows: list[Row] = []
    for piece in sorted(pieces, key=lambda one: one.middle):
        best: tuple[float, Row] | None = None
        for row in rows[-_MANY * 2 :]:
            near = min(row, key=lambda one: abs(one.x0 - piece.x0))
            away = abs(near.middle - piece.middle)
            beside = all(
                min(one.x1, piece.x1) - max(one.x0, piece.x0) <= _OVERLAP * height for one in row
            )
            if beside and away <= _LEVEL * height and (best is None or away < best[0]):
                best = away, row
        if best is None:
            rows.append([piece])
        else:
            best[1].append(piece)
    for row in rows:
        row.sort(key=lambda one: one.x0)
    return sorted(rows, key=lambda row: float(np.mean([one.middle for one in row])))


def columns_of(rows: Sequence[Row], height: float, width: float) -> list[Column]:
    """Return the columns: between them runs a space that hardly any row of the table crosses."""
    table = [row for row in rows if len(row) >= _MANY] or [row for row in rows if len(row) > 1]
    table = _without_heads_and_feet(table)
    pieces = [piece for row in table for piece in row]
    if not pieces:
        return [(0.0, width)]
    common = spaces_of(pieces, height, width, max(1.0, _RUN_OVER * len(table)))
    # A column that two rows of forty fill is one too, so the others are asked without exception.
    straight = [
        piece for piece in pieces if not any(piece.x0 < a and piece.x1 > b for a, b in common)
    ]
    clear = spaces_of(straight, height, width, 0)
    # A heading wider than its column leaves too little clear: the others tell where it ends.
    clear += [(a, b) for a, b in common if not any(c < b and d > a for c, d in clear)]
    return list(pairwise([0.0, *((a + b) / 2 for a, b in sorted(clear)), width]))


def cells_of(row: Row, columns: Sequence[Column], height: float) -> list[Piece | None]:
    """Return one cell a column; what runs over an edge is parted there, or is a title."""
    parts = [
        (part, at > 0)
        for piece in row
        for at, part in enumerate(_parted(piece, columns, height, len(row)))
    ]
    starts = {_column_at(part, columns, height) for part, _ in parts}
    is_full = len(starts) == len(parts) and len(parts) > max(2, len(columns) // 2)
    joined: list[Piece] = []
    for part, is_cut in parts:
        if (
            joined
            and not is_cut
            and not is_full
            and part.x0 - joined[-1].x1 < _TITLE_GAP * height
            and (_crosses(part, columns, height) or _crosses(joined[-1], columns, height))
        ):
            joined[-1] = _together(joined[-1], part)
        else:
            joined.append(part)
    cells: list[Piece | None] = [None] * len(columns)
    for part in joined:
        at = _column_at(part, columns, height)
        before = cells[at]
        cells[at] = part if before is None else _together(before, part)
    return cells


def _without_heads_and_feet(table: list[Row]) -> list[Row]:
    """Return the rows without those that stand apart above and below, such as running heads."""
    middles = [float(np.mean([piece.middle for piece in row])) for row in table]
    steps = np.diff(middles)
    first, last = 0, len(table)
    apart = _APART * float(np.median(steps)) if len(steps) else 0.0
    while first < min(_MOST_HEADS, last - _MANY) and steps[first] > apart:
        first += 1
    while last > max(len(table) - _MOST_HEADS, first + _MANY) and steps[last - 2] > apart:
        last -= 1
    return table[first:last]


def _column_at(piece: Piece, columns: Sequence[Column], height: float) -> int:
    """Return in which column a piece begins."""
    near = piece.x0 + min((piece.x1 - piece.x0) / 2, 1.5 * height)
    return next((n for n, (a, b) in enumerate(columns) if a <= near < b), len(columns) - 1)


def spaces_of(
    pieces: Sequence[Piece], height: float, width: float, tolerance: float
) -> list[Column]:
    """Return the spaces from left to right that no more than so many pieces stand in."""
    step = height / 4
    size = int(width / step) + 2
    covered = np.zeros(size + 1)
    for piece in pieces:
        covered[min(size, int(piece.x0 / step))] += 1
        covered[min(size, int(piece.x1 / step) + 1)] -= 1
    free = np.cumsum(covered)[:size] <= tolerance
    edges = np.flatnonzero(np.diff(free.astype(np.int8), prepend=0, append=0))
    first, last = min(piece.x0 for piece in pieces), max(piece.x1 for piece in pieces)
    return [
        (a * step, b * step)
        for a, b in zip(edges[::2], edges[1::2], strict=True)
        if a * step > first and b * step <= last and (b - a) * step >= _LEAST_SPACE * height
    ]


def _crosses(piece: Piece, columns: Sequence[Column], height: float) -> bool:
    off = 0.5 * height
    return sum(piece.x0 < b - off and piece.x1 > a + off for a, b in columns) > 1


def _together(left: Piece, right: Piece) -> Piece:
    return Piece(
        left.x0, min(left.y0, right.y0), max(left.x1, right.x1), max(left.y1, right.y1),
        f"{left.text} {right.text}", (*left.sure, 1.0, *right.sure), (),
    )  # fmt: skip


def _parted(piece: Piece, columns: Sequence[Column], height: float, in_row: int) -> list[Piece]:
    """Return a piece parted at the space nearest to each edge of a column that it runs over."""
    edges = [b for _, b in columns[:-1] if piece.x0 + height < b < piece.x1 - height]
    if in_row < 2 or not edges or len(piece.at) != len(piece.text):  # noqa: PLR2004 - one alone is a title
        return [piece]
    # In a row of two pieces, such as a running head, only a wide space parts columns.
    least = 0.0 if in_row >= _MANY else _WIDE_SPACE * height
    spaces = [
        n
        for n, letter in enumerate(piece.text[:-1])
        if n and letter == " " and piece.at[n + 1] - piece.at[n - 1] > least
    ]
    # Headings that an engine ran together: "ItemPart No.".
    humps = [n for n in range(1, len(piece.text)) if _is_hump(piece.text[n - 1 : n + 1])]
    cuts: list[tuple[int, int]] = []
    for edge in edges:
        space = min(spaces, key=lambda n: abs(piece.at[n] - edge), default=None)
        hump = min(humps, key=lambda n: abs(piece.at[n] - edge), default=None)
        if space is not None and abs(piece.at[space] - edge) < _TITLE_GAP * height:
            cuts.append((space, space + 1))
        elif in_row >= _MANY and hump and abs(piece.at[hump] - edge) < _TITLE_GAP * height:
            cuts.append((hump, hump))
        elif in_row >= _MANY:
            beyond = next(n for n, x in enumerate((*piece.at, np.inf)) if x > edge)
            cuts.append((beyond, beyond))
    parts = []
    start = 0
    for a, b in [*sorted(set(cuts)), (len(piece.text), len(piece.text))]:
        if piece.text[start:a].strip():
            x0 = piece.at[start] if start else piece.x0
            x1 = piece.at[a - 1] if a < len(piece.text) else piece.x1
            own = slice(start, a)
            parts.append(replace(piece, text=piece.text[own], sure=piece.sure[own],
                                 at=piece.at[own], of_kind=piece.of_kind[own],
                                 x0=x0, x1=x1))  # fmt: skip
        start = b
    return parts


def _is_hump(two: str) -> bool:
    return two[0].islower() and two[1].isupper()

"""Letters that are figures where they stand: "I" and "O" in a column of numbers."""

from __future__ import annotations

import re

#: Confused in print and by engines (``parts_list_conventions.csv``, from memory there).
SLIPS = str.maketrans({"I": "1", "l": "1", "|": "1", "O": "0", "o": "0", "S": "5", "B": "8",
                       "Z": "2"})  # fmt: skip
_LIKE_FIGURES = re.compile(r"[\dIl|OoSBZ]+")
#: So much of a column is like figures, and so much figures alone, before a letter is one.
_LIKE, _ALONE = 0.9, 0.5


def as_figures(cells: list[str | None]) -> dict[int, str]:
    """Return, of a column that holds whole numbers, the cells to be read otherwise."""
    filled = [cell for cell in cells if cell]
    like = sum(_LIKE_FIGURES.fullmatch(cell) is not None for cell in filled)
    alone = sum(cell.isdecimal() for cell in filled)
    if not filled or like < _LIKE * len(filled) or alone < _ALONE * len(filled):
        return {}
    return {
        at: cell.translate(SLIPS)
        for at, cell in enumerate(cells)
        if cell and not cell.isdecimal() and _LIKE_FIGURES.fullmatch(cell)
    }

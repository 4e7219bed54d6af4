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
    like = [at for at, cell in enumerate(cells) if cell and _LIKE_FIGURES.fullmatch(cell)]
    if not like:
        return {}
    # Titles and headings above, feet below, and words such as "AR" say nothing of the others.
    told = [
        cell
        for cell in cells[like[0] : like[-1] + 1]
        if cell and (len(cell) == 1 or re.search(r"\d", cell) or _LIKE_FIGURES.fullmatch(cell))
    ]
    alone = sum(cell.isdecimal() for cell in told)
    if len(like) < _LIKE * len(told) or alone < _ALONE * len(told):
        return {}
    return {
        at: cell.translate(SLIPS)
        for at, cell in enumerate(cells)
        if cell and not cell.isdecimal() and _LIKE_FIGURES.fullmatch(cell)
    }

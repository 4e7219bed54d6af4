"""Letters that are figures where they stand: "I" and "O" in a column of numbers."""

from __future__ import annotations

import re

#: Confused in print and by engines (``parts_list_conventions.csv``, from memory there).
SLIPS = str.maketrans({"I": "1", "l": "1", "|": "1", "O": "0", "o": "0", "S": "5", "B": "8",
                       "Z": "2"})  # fmt: skip
_LIKE_FIGURES = re.compile(r"[\dIl|OoSBZ]+")
_VARIANT = re.compile(r"(\d+)[A-Z]")
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
        at: str(cells[at]).translate(SLIPS)
        for at in like
        if not str(cells[at]).isdecimal() and not _is_variant(cells, at)
    }


def _is_variant(cells: list[str | None], at: int) -> bool:
    """Return whether a cell is a lettered variant of the item before it, as 1B is after 1A or 1."""
    said = _VARIANT.fullmatch(str(cells[at]))
    before = next((cell for cell in reversed(cells[:at]) if cell), "")
    return said is not None and re.fullmatch(rf"{said[1]}[A-Z]?", before) is not None

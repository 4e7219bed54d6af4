"""Which sign separates the cells of a text table."""

from __future__ import annotations

import csv
from collections import Counter
from dataclasses import dataclass

#: In order of preference where the text leaves it open.
SEPARATORS = {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars"}

#: Records looked at, and the share of them that must have the same number of cells.
_SAMPLE_RECORDS = 200
_SHARE_OF_TABLE = 0.6
_RECORDS_OF_TABLE = 3
_CELLS_OF_COMMA_TABLE = 3


@dataclass(frozen=True, slots=True)
class Separator:
    """A separator found: the sign, how consistent, and how many cells most records have."""

    sign: str
    share: float
    cells: int
    records: int

    @property
    def word(self) -> str:
        """The sign's name."""
        return SEPARATORS[self.sign]

    @property
    def is_table(self) -> bool:
        """Whether text of no telling name is surely a table: commas also stand in prose."""
        few = _CELLS_OF_COMMA_TABLE if self.sign == "," else 2
        return (
            self.share >= _SHARE_OF_TABLE
            and self.records >= _RECORDS_OF_TABLE
            and self.cells >= few
        )


def stated_separator(text: str) -> str | None:
    """Return the sign of a first line like ``sep=;``, which spreadsheet programs obey."""
    line = text[:8].partition("\n")[0].strip().strip('"')
    return line[4:] if line[:4].lower() == "sep=" and line[4:] in SEPARATORS else None


def find_separator(text: str, *, cut: bool = False) -> Separator | None:
    """Return the most consistent separator of a text's first records, or None.

    ``cut``: the text breaks off, so its last line is left out.
    """
    lines = text.split("\n", _SAMPLE_RECORDS + 1)[: _SAMPLE_RECORDS + 1]
    if len(lines) > _SAMPLE_RECORDS or (cut and len(lines) > 1):
        lines = lines[:-1]
    stated = stated_separator(text)
    if stated is not None:
        lines = lines[1:]
    found = [
        separator
        for sign in ([stated] if stated else SEPARATORS)
        if (separator := _measured(lines, sign)) is not None
    ]
    return max(found, key=lambda one: (round(one.share, 1), one.cells), default=None)


def _measured(lines: list[str], sign: str) -> Separator | None:
    reader = csv.reader((line + "\n" for line in lines), delimiter=sign)
    try:
        widths = [len(record) for record in reader if any(record)]
    except csv.Error:  # a cell beyond all measure: not this separator
        return None
    several = Counter(width for width in widths if width > 1)
    if not several:
        return None
    cells, times = max(several.items(), key=lambda item: (item[1], item[0]))
    return Separator(sign, times / len(widths), cells, len(widths))

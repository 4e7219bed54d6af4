"""Marks on cells that want looking at: a sign or a word each, never colour alone.

They go by the names of columns, which mean the same in every document. The sign stands in the
number format of a rule, so that the cell's own value stays as it is.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from xlsxwriter.worksheet import Worksheet

    from .cells import Typed
    from .style import Looks

#: The day from which a workbook counts days.
EPOCH = dt.date(1899, 12, 30)
#: How long ago a sighting may be: older stock is to be sighted before travelling.
_A_YEAR = dt.timedelta(days=365)

_DAY = "yyyy-mm-dd"


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark: its sample and meaning in the legend, where it stands, and how it looks.

    ``rule`` is a formula of the cell ``{at}``, and of ``{old}``, the first day that is not old.
    """

    sample: str
    meaning: str
    columns: frozenset[str]
    sort: str
    rule: str
    look: Mapping[str, Any]


_UNSEEN = ("not looked at", "not-looked-at", "build not known", "build-not-known")


def _one_of(words: tuple[str, ...]) -> str:
    return "OR(" + ",".join(f'{{at}}="{word}"' for word in words) + ")"


MARKS = (
    Mark(
        "! its words", "a caution: what is dangerous about the part, or restricted by law",
        frozenset({"caution"}), "text", "LEN({at})>0",
        {"num_format": '"! "@', "font_color": "#7A1F0B", "bg_color": "#FBE9E3"},
    ),
    Mark(
        "! yes", "passing it on is restricted by law in many places",
        frozenset({"restricted"}), "text", '{at}="yes"',
        {"num_format": '"! "@', "font_color": "#7A1F0B", "bg_color": "#FBE9E3"},
    ),
    Mark(
        "+ new", "new since the last report",
        frozenset({"new", "state"}), "text", _one_of(("new", "yes")),
        {"num_format": '"+ "@', "font_color": "#14532D", "bg_color": "#E5F2E8"},
    ),
    Mark(
        "? not looked at", "nobody looked at it, or its build is not known: it may be there",
        frozenset({"state"}), "text", _one_of(_UNSEEN),
        {"num_format": '"? "@', "font_color": "#4A3B76", "bg_color": "#EEEAF6"},
    ),
    Mark(
        "2025-06-30 old", "last seen or said more than a year ago: sight stock before travelling",
        frozenset({"said_on", "seen_on"}), "day", "AND(ISNUMBER({at}),{at}<{old})",
        {"num_format": f'{_DAY}" old"', "font_color": "#6B4700", "bg_color": "#FAF0D7"},
    ),
)  # fmt: skip

BAR_MEANING = "a share of the whole: the bar is as long as the share, from nothing to all"


def marks_of(columns: tuple[Typed, ...]) -> Iterator[tuple[int, Mark]]:
    """Yield which columns, by their places, can carry which marks."""
    for place, column in enumerate(columns):
        for mark in MARKS:
            if column.about.name in mark.columns and column.sort == mark.sort:
                yield place, mark


def has_bars(column: Typed) -> bool:
    """Tell whether the shares of a column are shown as bars; changes of shares are not."""
    return column.about.kind == "share" and column.sort == "number" and not column.signed


def bar_rule(colour: str) -> dict[str, Any]:
    """Return the rule that draws a bar in a cell that holds a share, beside its figure."""
    return {
        "type": "data_bar", "bar_color": colour,
        "min_type": "num", "min_value": 0, "max_type": "num", "max_value": 1,
    }  # fmt: skip


def set_marks(
    sheet: Worksheet, looks: Looks, columns: tuple[Typed, ...], rows: tuple[int, int],
    as_of: dt.date, bar: str,
) -> None:  # fmt: skip
    """Set the marks of all columns on the rows from first to last, counted from 0."""
    from xlsxwriter.utility import xl_rowcol_to_cell  # noqa: PLC0415 - only when publishing

    first, last = rows
    old = (as_of - _A_YEAR - EPOCH).days
    for place, mark in marks_of(columns):
        at = xl_rowcol_to_cell(first, place)
        rule = "=" + mark.rule.format(at=at, old=old)
        look = looks.made(**mark.look)
        sheet.conditional_format(
            first, place, last, place, {"type": "formula", "criteria": rule, "format": look}
        )
    for place, column in enumerate(columns):
        if has_bars(column):
            sheet.conditional_format(first, place, last, place, bar_rule(bar))

"""The cover: what the document is and for whom, where everything is, and what the marks mean."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster_plugins.publishers.values import clean, long_day

from .cells import LINE, lines
from .marks import BAR_MEANING, MARKS, bar_rule, has_bars, marks_of
from .sheet import put, set_up_page, write_across
from .style import BAR, TO_WRITE

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from xlsxwriter.worksheet import Worksheet

    from partmuster.plugin_api import ClubView

    from .sheet import Filled
    from .style import Looks

_WIDE = [22, 68, 10]


def write_cover(
    sheet: Worksheet, view: ClubView, filled: Sequence[Filled], others: Iterable[tuple[str, str]],
    looks: Looks,
) -> None:  # fmt: skip
    """Write the cover; ``others``: names of further sheets, and what stands in them."""
    for place, width in enumerate(_WIDE):
        sheet.set_column(place, place, width)
    write_across(sheet, 0, clean(view.club), looks["club"], _WIDE)
    write_across(sheet, 1, clean(view.title), looks["title"], _WIDE)
    sheet.set_row(1, 30)
    put(sheet, 2, 0, f"For: {clean(view.audience)}", looks["part"])
    put(sheet, 2, 1, long_day(view.as_of), looks["part"])
    row = 4
    for sentence in view.head:
        write_across(sheet, row, clean(sentence), looks["words"], _WIDE)
        row += 1
    row = _write_contents(sheet, row + 1, filled, others, looks)
    _write_legend(sheet, row + 1, filled, looks)
    set_up_page(sheet, view, upright=True)


def _write_contents(
    sheet: Worksheet, row: int, filled: Sequence[Filled], others: Iterable[tuple[str, str]],
    looks: Looks,
) -> int:  # fmt: skip
    for place, heading in enumerate(("Sheet", "What stands in it", "Rows")):
        right = {"align": "right", "indent": 1} if heading == "Rows" else {}
        put(sheet, row, place, heading, looks.with_("heading", **right))
    for one in filled:
        row += 1
        _link(sheet, row, one.name, looks)
        title = clean(one.section.title)
        put(sheet, row, 1, title, looks["row words"])
        sheet.set_row(row, min(lines(title, _WIDE[1]), 20) * LINE)
        sheet.write_number(row, 2, one.frame.height, looks["row count"])
    for name, words in others:
        row += 1
        _link(sheet, row, name, looks)
        put(sheet, row, 1, words, looks["row words"])
        sheet.write_blank(row, 2, None, looks["row"])
    return row + 1


def _link(sheet: Worksheet, row: int, name: str, looks: Looks) -> None:
    sheet.write_url(row, 0, f"internal:'{name}'!A1", looks["row link"], name)


def _write_legend(sheet: Worksheet, row: int, filled: Sequence[Filled], looks: Looks) -> None:
    with_rows = [one for one in filled if one.frame.height]
    there = {mark.sample for one in with_rows for _, mark in marks_of(one.columns)}
    bars = any(has_bars(column) for one in with_rows for column in one.columns)
    ids = any(column.about.kind == "ids" for one in with_rows for column in one.columns)
    put(sheet, row, 0, "How to read it", looks["part"])
    for mark in MARKS:
        if mark.sample in there:
            row += 1
            look = {name: value for name, value in mark.look.items() if name != "num_format"}
            put(sheet, row, 0, mark.sample, looks.with_("row", **look))
            _explain(sheet, row, mark.meaning, looks)
    if bars:
        row += 1
        sheet.write_number(row, 0, 0.75, looks.with_("row count", num_format="0%"))
        sheet.conditional_format(row, 0, row, 0, bar_rule(BAR))
        _explain(sheet, row, BAR_MEANING, looks)
    if any(column.by_hand for one in with_rows for column in one.columns):
        row += 1
        put(sheet, row, 0, "(box)", looks.with_("row", bg_color=TO_WRITE))
        _explain(sheet, row, "to be written in, on paper or here", looks)
    told = [("(empty)", "nothing is said, or nothing is known"),
            ("2026-01-31", "days are told as year, month, day")]  # fmt: skip
    if ids:
        told.append((
            "last column",
            ("ids: partmuster trace ID shows file, sheet, row and words behind a line or a "
             "figure; they are not printed"),
        ))  # fmt: skip
    for sample, meaning in told:
        row += 1
        put(sheet, row, 0, sample, looks["row"])
        _explain(sheet, row, meaning, looks)


def _explain(sheet: Worksheet, row: int, meaning: str, looks: Looks) -> None:
    put(sheet, row, 1, meaning, looks["row words"])
    sheet.set_row(row, lines(meaning, _WIDE[1]) * LINE)
    sheet.write_blank(row, 2, None, looks["row"])


def write_meanings(
    sheet: Worksheet, view: ClubView, filled: Sequence[Filled], looks: Looks, cover: str
) -> None:
    """Write what each heading means, and in which sheets it means that."""
    found: dict[tuple[str, str], list[str]] = {}
    for one in filled:
        for column in one.columns:
            said = (clean(column.about.heading), clean(column.about.meaning))
            found.setdefault(said, []).append(one.name)
    wide = [22, 70, 60]
    for place, (width, heading) in enumerate(
        zip(wide, ("Heading", "What it means", "In"), strict=True)
    ):
        sheet.set_column(place, place, width)
        put(sheet, 2, place, heading, looks["heading"])
    put(sheet, 0, 0, "What the columns mean", looks["section"])
    sheet.write_url(1, 0, f"internal:'{cover}'!A1", looks["link"], "Cover")
    row = 2
    for (heading, meaning), names in sorted(found.items(), key=lambda one: one[0][0].casefold()):
        row += 1
        told = (heading, meaning, ", ".join(names))
        for place, text in enumerate(told):
            put(sheet, row, place, text, looks["row words"])
        tallest = max(lines(text, width) for text, width in zip(told, wide, strict=True))
        sheet.set_row(row, min(tallest, 20) * LINE)
    sheet.autofilter(2, 0, max(row, 3), 2)
    sheet.freeze_panes(3, 0)
    set_up_page(sheet, view)
    sheet.repeat_rows(2)

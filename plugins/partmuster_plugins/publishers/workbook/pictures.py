"""The sheet of charts: bars of what sections say is worth looking at, drawn from their cells."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from partmuster_plugins.publishers.values import clean, shown_in

from .sheet import FIRST, HEADINGS, put, set_up_page
from .style import BAR, BAR_DARK, BAR_LIGHT, GREY, RULE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

    from partmuster.plugin_api import ClubView, SectionColumn

    from .sheet import Filled
    from .style import Looks

#: More bars than these nobody reads; the section's sheet has the others.
MOST_BARS = 20
_WIDE, _COLUMNS, _PIXELS_A_ROW = 600, 9, 20
_ROWS_A_PAGE = 48
_LONGEST_TOLD = 1500
_LOOKS: tuple[dict[str, Any], ...] = (
    {"fill": {"color": BAR_DARK}, "border": {"color": BAR_DARK}},
    {"pattern": {"pattern": "wide_upward_diagonal", "fg_color": BAR_DARK, "bg_color": BAR_LIGHT},
     "border": {"color": BAR_DARK}},
    {"fill": {"color": BAR}, "border": {"color": GREY}},
)  # fmt: skip


def drawable(one: Filled) -> bool:
    """Tell whether there is something to draw of a section."""
    sorts = {column.about.name: column.sort for column in one.columns}
    label, *series = one.section.chart or ("",)
    return bool(
        one.frame.height and label in sorts and series
        and all(sorts.get(name) == "number" for name in series)
    )  # fmt: skip


def write_pictures(
    book: Workbook, sheet: Worksheet, view: ClubView, filled: Sequence[Filled], looks: Looks,
    cover: str,
) -> None:  # fmt: skip
    """Draw the chart of each section that has one, each whole on a page."""
    sheet.set_column(0, _COLUMNS - 1, 8.5)
    put(sheet, 0, 0, "Charts", looks["section"])
    sheet.write_url(1, 0, f"internal:'{cover}'!A1", looks["link"], "Cover")
    row, page, breaks = 3, 0, []
    for one in filled:
        bars = min(one.frame.height, MOST_BARS)
        high = 110 + bars * (20 if len(one.section.chart) == 2 or _is_range(one) else 28)  # noqa: PLR2004
        cut = f" (the first {bars} of {one.frame.height:,})" if bars < one.frame.height else ""
        needed = 2 + -(-high // _PIXELS_A_ROW)
        if row + needed > page + _ROWS_A_PAGE:
            page = row
            breaks.append(row)
        put(sheet, row, 0, clean(one.section.title) + cut, looks["part"])
        sheet.write_url(row + 1, 0, f"internal:'{one.name}'!A1", looks["link"], one.name)
        chart = _chart(book, one, bars)
        chart.set_size({"width": _WIDE, "height": high})
        told = {"description": _told(one, bars), "object_position": 3}
        sheet.insert_chart(row + 2, 0, chart, told)
        row += needed + 2
    # breaks count only where nothing is made to fit
    set_up_page(sheet, view, upright=True, fit=False)
    sheet.set_h_pagebreaks(breaks)
    sheet.print_area(0, 0, row, _COLUMNS - 1)


def _is_range(one: Filled) -> bool:
    """Tell whether two shares are the ends of a range: then one bar lies on the other."""
    return [name.split("_")[0] for name in one.section.chart[1:]] == ["low", "high"]


def _chart(book: Workbook, one: Filled, bars: int) -> Any:
    places = {column.about.name: n for n, column in enumerate(one.columns)}
    label, *names = one.section.chart
    series = list(zip(names, _LOOKS, strict=False))
    if _is_range(one):
        series.reverse()  # what is drawn later covers what was drawn before
    chart = book.add_chart({"type": "bar"})
    last = FIRST + bars - 1
    for name, look in series:
        chart.add_series({
            "name": [one.name, HEADINGS, places[name]],
            "categories": [one.name, FIRST, places[label], last, places[label]],
            "values": [one.name, FIRST, places[name], last, places[name]],
            "categories_data": one.frame[str(places[label])].head(bars).to_list(),
            "values_data": one.frame[str(places[name])].head(bars).to_list(),
            "gap": 60, "overlap": 100 if _is_range(one) else 0, **look,
        })  # fmt: skip
    shares = all(one.columns[places[name]].about.kind == "share" for name in names)
    scale = {"min": 0, "max": 1, "num_format": "0%"} if shares else {"num_format": "#,##0"}
    font = {"size": 10, "color": GREY}
    grid = {"visible": True, "line": {"color": RULE, "width": 0.5}}
    chart.set_x_axis(scale | {"num_font": font, "major_gridlines": grid, "line": {"none": True}})
    chart.set_y_axis({"reverse": True, "num_font": font, "line": {"color": GREY}})
    chart.set_legend({"position": "top", "font": font} if len(names) > 1 else {"none": True})
    chart.set_chartarea({"border": {"none": True}})
    return chart


def _told(one: Filled, bars: int) -> str:
    """Return all that the picture tells, in words."""
    about = {column.about.name: (n, column.about) for n, column in enumerate(one.columns)}
    named: list[tuple[int, SectionColumn]] = [about[name] for name in one.section.chart]
    heads = ", ".join(column.heading for _, column in named[1:])
    rows = [
        ", ".join(shown_in(column, row[n]) or "not known" for n, column in named)
        for row in one.frame.head(bars).iter_rows()
    ]
    told = clean(f"Bars of {heads}. " + "; ".join(rows))
    return told if len(told) <= _LONGEST_TOLD else told[:_LONGEST_TOLD] + " ..."

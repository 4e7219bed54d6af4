"""The sheet of one section: title and lead, headings that stay in sight, room for the rows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from partmuster_plugins.publishers.values import clean, long_day

from .cells import LINE, cut, letters, lines, typed
from .marks import has_bars, set_marks
from .style import BAR, GREY, RULE, TO_WRITE
from .widths import printed, widths

if TYPE_CHECKING:
    import polars as pl
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

    from partmuster.plugin_api import ClubView, Section

    from .cells import Typed
    from .style import Looks

#: Rows above the table, counted from 0; the rows of data follow the headings.
TITLE, LEAD, ABOUT, HEADINGS = range(4)
FIRST = HEADINGS + 1
#: How many rows of data a sheet takes (the format's own limit, less the rows above).
MOST_ROWS = 1_048_576 - FIRST
A4 = 9
_LONGEST_FOOTER, _LONGEST_AUDIENCE = 80, 30
_LONGEST_HINT_TITLE, _LONGEST_HINT = 32, 255
#: Columns from which on the first one stays in sight as well.
_MANY = 7
_LEAD_WIDE, _TALLEST_HEAD = 110, 5
#: Lines of the lead that stay in sight above the rows.
_IN_SIGHT = 6


@dataclass(frozen=True, slots=True)
class Filled:
    """A sheet of a section, and the rows that are to stand in it."""

    name: str
    section: Section
    frame: pl.DataFrame
    columns: tuple[Typed, ...]
    wrapped: dict[int, int]


def write_section(
    sheet: Worksheet, section: Section, rows: pl.DataFrame, view: ClubView, looks: Looks, cover: str
) -> Filled:
    """Set up the sheet of a section; two rows without values stand where its rows will be."""
    frame, columns = typed(rows, section.columns)
    wide, wraps = widths(frame, columns)
    for place, width in enumerate(wide):
        sheet.set_column(place, place, width)
    on_paper = printed(columns)
    _write_head(sheet, section, frame.height, view, looks, cover, wide[:on_paper])
    _write_headings(sheet, columns, wide, looks)
    last = FIRST + max(frame.height, 1) - 1
    if frame.height and columns:
        _write_models(sheet, columns, wraps, looks)
        sheet.autofilter(HEADINGS, 0, last, len(columns) - 1)
        set_marks(sheet, looks, columns, (FIRST, last), view.as_of, BAR)
        area = f"A{FIRST + 1}:{letters(len(columns) - 1)}{last + 1}"
        sheet.ignore_errors({"number_stored_as_text": area, "two_digit_text_year": area})
    else:
        put(sheet, FIRST, 0, clean(section.if_empty), looks["empty"])
    sheet.freeze_panes(FIRST, 1 if len(columns) >= _MANY else 0)
    set_up_page(sheet, view)
    sheet.repeat_rows(HEADINGS)
    sheet.print_area(0, 0, last, max(on_paper - 1, 0))
    wrapped = {n: wide[n] for n, wrap in enumerate(wraps) if wrap}
    return Filled(sheet.get_name(), section, frame, columns, wrapped)


def _write_head(
    sheet: Worksheet, section: Section, count: int, view: ClubView, looks: Looks, cover: str,
    wide: list[int],
) -> None:  # fmt: skip
    put(sheet, TITLE, 0, clean(section.title), looks["section"])
    write_across(
        sheet, LEAD, clean(section.lead), looks["words"], wide or [_LEAD_WIDE], most=_IN_SIGHT
    )
    rows = "1 row" if count == 1 else f"{count:,} rows"
    told = f"{rows}, {long_day(view.as_of)}, for: {clean(view.audience)}"
    link = "Cover" if wide[1:] else f"Cover ({told})"
    sheet.write_url(ABOUT, 0, f"internal:'{cover}'!A1", looks["link"], link)
    if wide[1:]:
        write_across(sheet, ABOUT, told, looks["aside"], wide[1:], first=1, most=2)


def _write_headings(
    sheet: Worksheet, columns: tuple[Typed, ...], wide: list[int], looks: Looks
) -> None:
    tallest = 1
    for place, column in enumerate(columns):
        heading = clean(column.about.heading)
        tallest = max(tallest, lines(heading, wide[place]))
        aside = _gap(columns, place)
        if column.sort == "number":
            aside = {"align": "right", "indent": 2}
        put(sheet, HEADINGS, place, heading, looks.with_("heading", **aside))
        _hint(sheet, place, column)
    sheet.set_row(HEADINGS, min(tallest, _TALLEST_HEAD) * LINE + 3)


def _write_models(
    sheet: Worksheet, columns: tuple[Typed, ...], wraps: list[bool], looks: Looks
) -> None:
    """Write empty cells with the formats of the rows: plain, and for texts like formulas."""
    for place, (column, wrap) in enumerate(zip(columns, wraps, strict=True)):
        more = _gap(columns, place) | _how(column) | ({"text_wrap": True} if wrap else {})
        sheet.write_blank(FIRST, place, None, looks.with_("row", **more))
        quoted = {"quote_prefix": True} if column.sort == "text" else {}
        sheet.write_blank(FIRST + 1, place, None, looks.with_("row", **more, **quoted))


def _gap(columns: tuple[Typed, ...], place: int) -> dict[str, Any]:
    """Keep words apart from the numbers on their left."""
    after = place and columns[place - 1].sort == "number" and columns[place].sort != "number"
    return {"align": "left", "indent": 1} if after else {}


def _how(column: Typed) -> dict[str, Any]:
    """Return how the cells of a column look."""
    if column.about.kind == "ids":
        return {"font_color": GREY, "font_size": 9}
    if column.by_hand:
        line = {"border": 1, "border_color": RULE, "bg_color": TO_WRITE}
        return line | {"num_format": "@", "text_wrap": True}
    if column.sort == "day":
        return {"num_format": "yyyy-mm-dd", "align": "left"}
    if column.sort == "number":
        return {"num_format": _number_format(column), "align": "right", "indent": 1}
    return {}


def _number_format(column: Typed) -> str:
    if column.about.kind == "share":
        return "0%" if has_bars(column) else "+0%;-0%;0%"
    plain = "#,##0" if column.whole else "#,##0.0" if column.rough else "General"
    if column.about.name.startswith("change"):
        plain = plain if column.whole else "0.0##"
        return f"+{plain};-{plain};0"
    return plain


def _hint(sheet: Worksheet, place: int, column: Typed) -> None:
    """Show what a column means to whoever stands on its heading."""
    heading = " ".join(clean(column.about.heading).split())[:_LONGEST_HINT_TITLE]
    meaning = clean(column.about.meaning)[:_LONGEST_HINT]
    if heading and meaning:
        sheet.data_validation(
            HEADINGS, place, HEADINGS, place,
            {"validate": "any", "input_title": heading, "input_message": meaning},
        )  # fmt: skip


def put(sheet: Worksheet, row: int, column: int, text: str, look: Format) -> None:
    """Write clean text, which stays text whatever it begins with."""
    sheet.write_string(row, column, cut(text) or "", look)


def write_across(
    sheet: Worksheet, row: int, text: str, look: Format, wide: list[int], *, first: int = 0,
    most: int = 27,
) -> None:  # fmt: skip
    """Write text over as many columns as it takes to read it well, in a row tall enough.

    It begins in column ``first``; the row is ``most`` lines tall at most.
    """
    count, width = 0, 0
    while count < len(wide) and (not count or width + wide[count] <= _LEAD_WIDE):
        width += wide[count]
        count += 1
    if count > 1:
        sheet.merge_range(row, first, row, first + count - 1, "", look)
    put(sheet, row, first, text, look)
    sheet.set_row(row, min(lines(text, width), most) * LINE)


def set_up_page(
    sheet: Worksheet, view: ClubView, *, upright: bool = False, fit: bool = True
) -> None:
    """Set a sheet up for A4, as wide as the page, with pages counted and the audience named."""
    if upright:
        sheet.set_portrait()
    else:
        sheet.set_landscape()
    sheet.set_paper(A4)
    if fit:
        sheet.fit_to_pages(1, 0)
    sheet.set_margins(left=0.45, right=0.45, top=0.5, bottom=0.7)
    sheet.hide_gridlines(2)
    left = _footer(f"{view.club}: {view.title}", _LONGEST_FOOTER)
    right = _footer(f"for: {view.audience}", _LONGEST_AUDIENCE)
    sheet.set_footer(f"&L{left}&R{right}, page &P of &N")


def _footer(words: str, longest: int) -> str:
    """Return words for a footer, which together hold 255 letters, each & twice."""
    plain = " ".join(clean(words).split())
    if len(plain) > longest:
        plain = plain[: longest - 3].rstrip() + "..."
    return plain.replace("&", "&&")

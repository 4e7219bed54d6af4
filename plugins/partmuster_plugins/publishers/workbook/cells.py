"""Rows of a sheet as the format writes them, made column by column and not cell by cell.

A library that writes a cell at a time takes twenty times as long for a large section.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, TypeAlias

from partmuster.plugin_api import formulas_as_text

from .marks import EPOCH

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    import polars as pl

    from partmuster.plugin_api import SectionColumn

#: How much a cell holds, in units of UTF-16 (the format's own limit).
LONGEST = 32_767
_CUT = " ... (cut here: a cell holds no more)"
#: Days before this one are counted differently by different programs.
_FIRST_DAY = dt.date(1900, 3, 1)
#: Whole numbers beyond this are not kept exactly in a cell.
_EXACT = 2**53
_ROWS_AT_ONCE = 5_000
#: The height of a line in points, and how many a row can have (the format's own limit is 409).
LINE, _MOST_LINES = 15, 27

_LINE_ENDS = "\r\n?|[\\x{85}\\x{2028}\\x{2029}]"
_UNFIT = "[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\x7f-\\x{84}\\x{86}-\\x{9f}\\x{fffe}\\x{ffff}]"
#: What the format may read as the code of a sign: an underscore is then written as one.
_LIKE_A_CODE = "_(x[0-9A-Fa-f]{4})"

#: How the meaning of a column begins that people fill in.
_BY_HAND = "to be written"

Sort: TypeAlias = Literal["text", "number", "day"]


@dataclass(frozen=True, slots=True)
class Typed:
    """A column as its cells are written.

    ``whole``, ``rough``: its numbers have no decimals, or more than two. ``signed``: some number
    of it is below nothing. ``by_hand``: it is empty, to be written in.
    """

    about: SectionColumn
    sort: Sort
    whole: bool = False
    rough: bool = False
    signed: bool = False
    by_hand: bool = False


def typed(
    frame: pl.DataFrame, about: Sequence[SectionColumn]
) -> tuple[pl.DataFrame, tuple[Typed, ...]]:
    """Return the columns of a section in order, named by their places, as cells can hold them."""
    import polars as pl  # noqa: PLC0415 - heavy, and only when publishing

    made = [_typed(frame.get_column(one.name), one) for one in about]
    columns = tuple(column for _, column in made)
    return pl.DataFrame([one.alias(str(n)) for n, (one, _) in enumerate(made)]), columns


def _typed(values: pl.Series, about: SectionColumn) -> tuple[pl.Series, Typed]:
    import polars as pl  # noqa: PLC0415

    dtype = values.dtype
    if dtype == pl.Boolean:
        values = values.replace_strict({True: "yes", False: "no"}, return_dtype=pl.String)
    elif dtype == pl.Date or (dtype == pl.Datetime and about.kind == "day"):
        return values.cast(pl.Date), Typed(about, "day")
    elif dtype.is_numeric():
        return _numbers(values, about)
    elif dtype.is_nested() or dtype == pl.Object:
        told = [None if value is None else str(value) for value in values.to_list()]
        values = pl.Series(told, dtype=pl.String)
    texts = _clean(values.cast(pl.String))
    by_hand = about.meaning.startswith(_BY_HAND) and texts.null_count() == len(texts)
    return texts, Typed(about, "text", by_hand=by_hand)


def _numbers(values: pl.Series, about: SectionColumn) -> tuple[pl.Series, Typed]:
    import polars as pl  # noqa: PLC0415

    if values.dtype.is_decimal():
        values = values.cast(pl.Float64)
    real = values.filter(values.is_finite()) if values.dtype.is_float() else values.drop_nulls()
    whole = not values.dtype.is_float() or bool((real == real.floor()).all())
    rough = not whole and bool(((real * 100).round(6) % 1 != 0).any())
    return values, Typed(about, "number", whole, rough, bool((real < 0).any()))


def _clean(texts: pl.Series) -> pl.Series:
    """Take out what a cell cannot hold, and leave a sign where it was."""
    import polars as pl  # noqa: PLC0415

    if texts.str.contains(f"[\t\r\\x{{2028}}\\x{{2029}}]|{_UNFIT}|\\x{{85}}").any():
        texts = texts.str.replace_all(_LINE_ENDS, "\n").str.replace_all("\t", " ")
        texts = texts.str.replace_all(_UNFIT, "\ufffd")
    if (texts.str.len_bytes().max() or 0) > LONGEST:  # type: ignore[operator]  # a number
        texts = pl.Series([cut(text) for text in texts], dtype=pl.String)
    return texts.replace("", None)


def cut(text: str | None) -> str | None:
    """Return text that fits a cell; what was cut says so."""
    coded = (text or "").encode("utf-16-le")
    if len(coded) // 2 <= LONGEST:
        return text
    return coded[: (LONGEST - len(_CUT)) * 2].decode("utf-16-le", "ignore") + _CUT


def risky(texts: pl.Expr) -> pl.Expr:
    """Tell which texts would become a formula if somebody edited their cell."""
    return formulas_as_text(texts) != texts


def rows_written(
    frame: pl.DataFrame, columns: Sequence[Typed], first: int, styles: Sequence[tuple[str, str]],
    wrapped: Mapping[int, int],
) -> Iterator[bytes]:  # fmt: skip
    """Yield the rows of a typed frame as the format writes them, from row ``first`` on.

    ``styles``: for each column the number of its format, and of that for risky texts. ``wrapped``:
    the widths of columns whose words go over several lines. Rows are made tall enough for these:
    not every program does so itself.
    """
    import polars as pl  # noqa: PLC0415

    cells = [
        _cell(str(n), column.sort, letters(n), *style)
        for n, (column, style) in enumerate(zip(columns, styles, strict=True))
    ]
    least = 2 if any(column.by_hand for column in columns) else 1
    tall = [_lines(pl.col(str(n)), width) for n, width in wrapped.items()]
    height = pl.max_horizontal(*tall, pl.lit(least)).clip(upper_bound=_MOST_LINES) * LINE
    begun = pl.concat_str(pl.lit('<row r="'), "row", pl.lit('" ht="'), height, pl.lit('">'))
    row = pl.concat_str(begun, *cells, pl.lit("</row>"))
    for start in range(0, frame.height, _ROWS_AT_ONCE):
        piece = frame[start : start + _ROWS_AT_ONCE].with_row_index("row", start + first)
        written = piece.with_columns(pl.col("row").cast(pl.String)).select(row.alias("row"))
        yield "".join(written["row"].to_list()).encode()


def _lines(text: pl.Expr, width: int) -> pl.Expr:
    """Over about how many lines words go in a column of that width."""
    import polars as pl  # noqa: PLC0415

    ends = text.str.count_matches("\n", literal=True)
    room = _room(width)
    return ((text.str.len_chars().cast(pl.Int64) + room - 1) // room + ends).fill_null(1)


def lines(text: str, width: int) -> int:
    """Return over about how many lines words go in a column of that width."""
    return sum(max(1, -(-len(line) // _room(width))) for line in text.split("\n"))


def _room(width: int) -> int:
    """How many letters go in a line: more than figures, which are wider."""
    return width * 11 // 10


def _cell(name: str, sort: Sort, letter: str, style: str, risky_style: str) -> pl.Expr:
    import polars as pl  # noqa: PLC0415

    value = pl.col(name)
    start = pl.concat_str(pl.lit(f'<c r="{letter}'), "row")
    empty = pl.concat_str(start, pl.lit(f'" s="{style}"/>'))
    if sort == "text":
        number = pl.lit(style)
        if risky_style != style:
            number = pl.when(risky(value)).then(pl.lit(risky_style)).otherwise(pl.lit(style))
        full = _text_cell(start, number, value)
    elif sort == "number":
        plain = value.cast(pl.String)
        fits = value.is_finite() & (value.abs() <= _EXACT)
        words = pl.when(value.is_finite()).then(plain).otherwise(pl.lit("not a number"))
        full = (
            pl.when(fits)
            .then(_number_cell(start, style, plain))
            .otherwise(_text_cell(start, pl.lit(style), words))
        )
    else:
        day = (value.to_physical() + (dt.date(1970, 1, 1) - EPOCH).days).cast(pl.String)
        full = (
            pl.when(value >= _FIRST_DAY)
            .then(_number_cell(start, style, day))
            .otherwise(_text_cell(start, pl.lit(style), value.cast(pl.String)))
        )
    return pl.when(value.is_null()).then(empty).otherwise(full)


def _number_cell(start: pl.Expr, style: str, number: pl.Expr) -> pl.Expr:
    import polars as pl  # noqa: PLC0415

    return pl.concat_str(start, pl.lit(f'" s="{style}"><v>'), number, pl.lit("</v></c>"))


def _text_cell(start: pl.Expr, style: pl.Expr, text: pl.Expr) -> pl.Expr:
    import polars as pl  # noqa: PLC0415

    escaped = text.str.replace_all(_LIKE_A_CODE, "_x005F_${1}")
    for sign, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;")):
        escaped = escaped.str.replace_all(sign, name, literal=True)
    before = '" t="inlineStr"><is><t xml:space="preserve">'
    return pl.concat_str(
        start, pl.lit('" s="'), style, pl.lit(before), escaped, pl.lit("</t></is></c>")
    )


def letters(place: int) -> str:
    """Return the letters of a column, counted from 0."""
    found, n = "", place + 1
    while n:
        n, rest = divmod(n - 1, 26)
        found = chr(ord("A") + rest) + found
    return found

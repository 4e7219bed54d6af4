"""Text that goes out as CSV or to a workbook, so that no cell of it is taken for a formula.

A cell that begins with ``= + - @`` (or their wide forms), a tab or a line end may be run as a
formula when the file is opened (FROM-MEMORY: OWASP, "CSV injection"). It gets an apostrophe before
it, as a person would type to keep it text. Blanks and invisible signs before the sign count for
nothing. Plain numbers and a lone dash stay: they can do no harm, and sheets are full of them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import polars as pl

#: What spreadsheet programs may skip before they look for a formula's sign.
_SKIPPED = r"[\s\x00-\x1f\u00ad\u200b-\u200f\u2060\ufeff]*"
_SIGN = r"[=+\-@＝＋－＠]"
_STARTS = rf"(?:[\t\r\n]|{_SKIPPED}{_SIGN})"
_FORMULA = rf"^'*{_STARTS}"
_MADE_SAFE = rf"^'('*{_STARTS})"
_HARMLESS = r"^(?:-|[+-][0-9]+(?:[.,][0-9]+)*)$"


def formulas_as_text(column: pl.Expr) -> pl.Expr:
    """Return a column of text in which what could be a formula has an apostrophe before it.

    A text that begins with apostrophes and goes on like a formula gets one more, so that
    ``words_of_text`` gives every text back.
    """
    import polars as pl  # noqa: PLC0415 - heavy, and plugins import this module's words

    risky = column.str.contains(_FORMULA) & ~column.str.contains(_HARMLESS)
    return pl.when(risky).then(column.str.replace("^", "'")).otherwise(column)


def words_of_text(column: pl.Expr) -> pl.Expr:
    """Return a column of text without the apostrophes that ``formulas_as_text`` put there."""
    return column.str.replace(_MADE_SAFE, "${1}")


def safe_frame(frame: pl.DataFrame) -> pl.DataFrame:
    """Return a frame whose text columns and headings hold nothing that could be a formula."""
    import polars as pl  # noqa: PLC0415

    named = pl.DataFrame({"name": frame.columns}, schema={"name": pl.String})
    headings = named.select(formulas_as_text(pl.col("name"))).to_series().to_list()
    texts = frame.with_columns(formulas_as_text(pl.col(pl.String)))
    return texts.rename(dict(zip(frame.columns, headings, strict=True)))


def csv_text(frame: pl.DataFrame) -> str:
    """Return a frame as CSV that is safe to open in a spreadsheet program.

    Cells are told apart by commas; a program set to another separator must be told so.
    """
    return safe_frame(frame).write_csv()

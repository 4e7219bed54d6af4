"""Text of a page that was found and could not be read: its field is empty, and a person is asked.

An importer of pages gives such text as U+FFFD, with a confidence of 0 and its box.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.text_lines import FIELDS

if TYPE_CHECKING:
    from .table import TableRead

#: What stands for text that could not be read.
UNREAD = "\N{REPLACEMENT CHARACTER}"
#: What is asked about its line.
ASKED = "part of this row could not be read: see the picture of the page"
_HEADS = ("headings", "title")


def with_unread(read: TableRead) -> TableRead:
    """Return a table of a page with what could not be read empty, and its rows asked about.

    A row that was taken for a section or a note is a line, for nobody knows what it says.
    """
    unread = pl.col("words").str.contains(UNREAD, literal=True).fill_null(value=False)
    lost = unread & ~pl.col("reason").is_in(_HEADS)
    rows = read.not_data.filter(lost)
    texts = [name for name in (*FIELDS, "section") if name in read.lines.columns
             and read.lines.schema[name] == pl.String]  # fmt: skip
    of_line = pl.any_horizontal(
        unread,
        *(pl.col(name).str.contains(UNREAD, literal=True).fill_null(value=False)
          for name in texts if name != "section"),
    )  # fmt: skip
    if rows.is_empty() and not read.lines.select(of_line.any()).item():
        return read
    kind = next((str(one["line_kind"]) for one in read.layout), "unknown")
    added = rows.drop("reason").with_columns(
        pl.lit(None if kind == "unknown" else kind, pl.String).alias("kind")
    )
    lines = pl.concat([read.lines, added], how="diagonal_relaxed")
    for name in ("doubt", "sure"):
        if name not in lines.columns:
            empty = pl.Boolean() if name == "sure" else pl.String()
            lines = lines.with_columns(pl.lit(None, empty).alias(name))
    doubt = pl.concat_str("doubt", pl.when(of_line).then(pl.lit(ASKED)),
                          separator="; ", ignore_nulls=True)  # fmt: skip
    sure = pl.col("sure").fill_null(value=True) & ~of_line
    lines = lines.with_columns(pl.when(doubt != "").then(doubt).alias("doubt"), sure.alias("sure"))
    lines = lines.with_columns(_without(name) for name in texts)
    return replace(read, lines=lines, not_data=read.not_data.filter(~lost))


def _without(name: str) -> pl.Expr:
    """Return a field without what could not be read."""
    marked = pl.col(name).str.contains(UNREAD, literal=True)
    left = pl.col(name).str.replace_all(rf"[\w .]*: {UNREAD}|{UNREAD}", "")
    left = left.str.replace_all(r"\s+", " ").str.strip_chars(" ;:,")
    return pl.when(marked).then(pl.when(left != "").then(left)).otherwise(name).alias(name)

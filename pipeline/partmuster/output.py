"""Answers shown to a person or handed to a program: table, CSV, or JSON."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Sequence

    import polars as pl

FORMATS = ("table", "csv", "json")
_WIDEST = 44


def show(
    frame: pl.DataFrame,
    form: str,
    *,
    title: str = "",
    nothing: str = "nothing",
    columns: Sequence[str] | None = None,
) -> None:
    """Print a frame.

    A table leaves out columns that are empty throughout and may show fewer; CSV and JSON always
    carry every column. JSON is a list of objects with ISO dates.
    """
    if form == "csv":
        sys.stdout.write(frame.write_csv())
    elif form == "json":
        sys.stdout.write(as_json(frame) + "\n")
    elif frame.height == 0:
        sys.stdout.write(f"{title}: {nothing}\n" if title else f"{nothing}\n")
    else:
        _table(frame, title, columns)


def as_json(frame: pl.DataFrame) -> str:
    """Return the rows as a JSON list, dates in ISO 8601."""
    return json.dumps(frame.to_dicts(), default=str, ensure_ascii=False, indent=1)


def plain(value: Any) -> str:
    """Return a cell as a person writes it: whole numbers without a point, nothing for none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.0f}" if value.is_integer() else f"{value:.2f}".rstrip("0").rstrip(".")
    return " ".join(str(value).split())


def _table(frame: pl.DataFrame, title: str, columns: Sequence[str] | None) -> None:
    from rich.box import SIMPLE_HEAD  # noqa: PLC0415 - only where a table is drawn
    from rich.console import Console  # noqa: PLC0415
    from rich.table import Table  # noqa: PLC0415
    from rich.text import Text  # noqa: PLC0415

    shown = [name for name in (columns or frame.columns) if name in frame.columns]
    rows = [[plain(value) for value in row] for row in frame.select(shown).iter_rows()]
    filled = [any(row[at] for row in rows) for at in range(len(shown))]
    table = Table(title=title or None, title_justify="left", box=SIMPLE_HEAD, pad_edge=False)
    for at, name in enumerate(shown):
        if filled[at]:
            numeric = frame.schema[name].is_numeric()
            table.add_column(
                name.replace("_", " "), justify="right" if numeric else "left",
                max_width=_WIDEST, overflow="fold",
            )  # fmt: skip
    for row in rows:
        # Text, not markup: a cell that holds brackets stays as it is.
        table.add_row(*(Text(cell) for at, cell in enumerate(row) if filled[at]))
    width = None if sys.stdout.isatty() else 200
    Console(width=width, soft_wrap=False, highlight=False).print(table)

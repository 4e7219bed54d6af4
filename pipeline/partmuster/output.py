"""Answers shown to a person or handed to a program: table, CSV, or JSON."""

from __future__ import annotations

import datetime as dt
import json
import re
import shutil
import sys
import textwrap
from typing import TYPE_CHECKING, Any

from .terminal_safe import visible

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import polars as pl

FORMATS = ("table", "csv", "json")

#: Where the width of the terminal is not known, as in a pipe; ``COLUMNS`` overrules it.
_WIDTH = 120
#: No column is wider than this; words longer than ``_LONG_WORD`` are cut over lines.
_WIDEST, _LONG_WORD = 44, 26
#: No cell shows more letters than this.
_LONGEST = 600
#: Text is not squeezed into less than this.
_READABLE = 12
_BETWEEN = 2
#: Headings shorter than the column's name.
_HEADINGS = {
    "distance_km": "km",
    "correctness": "correct?",
    "lines_read": "read",
    "lines_loaded": "loaded",
    "lines_decision": "to decide",
    "lines_mending": "to mend",
    "lines_not_data": "not data",
}

#: Controls that JSON leaves as they are, and a terminal may obey.
_C1 = re.compile("[\x7f-\x9f]")

#: An id of a line: kind, 16 hexadecimal digits, occurrence.
_LINE_ID = re.compile(r"\b([a-z]+-[0-9a-f]{8})[0-9a-f]{8}(\.\d+)")


def show(
    frame: pl.DataFrame,
    form: str,
    *,
    title: str = "",
    nothing: str = "nothing",
    columns: Sequence[str] | None = None,
    spare: Sequence[str] = (),
    by: str | None = None,
) -> None:
    """Print a frame.

    A table leaves out columns that are empty throughout, may show fewer (``columns``), and leaves
    out those of ``spare`` one after another until the others fit the terminal; it says which. With
    ``by`` there is one for each value of that column, in the order in which they come. CSV and
    JSON always carry every column. JSON is a list of objects with ISO dates. Controls that stand in
    the words of a sheet never reach a terminal.
    """
    if form == "csv":
        sys.stdout.write(as_csv(frame))
    elif form == "json":
        sys.stdout.write(as_json(frame) + "\n")
    elif frame.height == 0:
        sys.stdout.write(f"{visible(title)}: {nothing}\n" if title else f"{nothing}\n")
    else:
        _table(frame, title, columns, spare, by)


def as_json(frame: pl.DataFrame) -> str:
    """Return the rows as a JSON list, dates in ISO 8601."""
    text = json.dumps(frame.to_dicts(), default=_iso, ensure_ascii=False, indent=1)
    return _C1.sub(lambda found: f"\\u{ord(found.group()):04x}", text)


def as_csv(frame: pl.DataFrame) -> str:
    """Return the rows as CSV in which no cell is a formula; on a terminal, with no raw control."""
    from .spreadsheet_safe import csv_text  # noqa: PLC0415 - a data library, only for CSV

    text = csv_text(frame)
    return visible(text) if sys.stdout.isatty() else text


def plain(value: Any) -> str:
    """Return a cell as a person writes it: whole numbers without a point, nothing for none."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.0f}" if value.is_integer() else f"{value:.2f}".rstrip("0").rstrip(".")
    if isinstance(value, dt.datetime):
        return f"{value:%Y-%m-%d %H:%M}"
    return visible(" ".join(str(value).split()))


def short_ids(text: str) -> str:
    """Return a text with the ids of lines cut short, as ``trace`` takes them: 8 digits of 16."""
    return _LINE_ID.sub(r"\1\2", text)


def shortened(text: str) -> str:
    """Return a text as long as one reads it on a terminal; what is longer is cut, and says so."""
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}... (cut: --format csv has all)"


def say_wrapped(text: str) -> None:
    """Print a sentence over lines that fit the terminal."""
    sys.stdout.write(textwrap.fill(visible(text), _terminal_width()) + "\n")


def _terminal_width() -> int:
    return shutil.get_terminal_size((_WIDTH, 24)).columns


def _iso(value: Any) -> str:
    return value.isoformat() if isinstance(value, dt.date) else str(value)


def _table(
    frame: pl.DataFrame,
    title: str,
    columns: Sequence[str] | None,
    spare: Sequence[str],
    by: str | None,
) -> None:
    shown = [name for name in (columns or frame.columns) if name in frame.columns]
    cells = {name: [short_ids(plain(value)) for value in frame.get_column(name)] for name in shown}
    cells = {
        name: texts if name == "trace" else [shortened(text) for text in texts]
        for name, texts in cells.items()
    }
    if "trace" in cells:
        # a space, so that several can be handed to ``trace`` as they stand
        cells["trace"] = [text.replace(";", " ") for text in cells["trace"]]
    cells = {name: texts for name, texts in cells.items() if any(texts)}
    width = _terminal_width()
    left_out = []
    for name in spare:
        if _least(cells) <= width:
            break
        if cells.pop(name, None) is not None:
            left_out.append(_heading(name))
    numeric = {name for name in cells if frame.schema[name].is_numeric()}
    sections: dict[str, list[int]] = {}
    for at, value in enumerate(frame.get_column(by) if by else [title] * frame.height):
        sections.setdefault(plain(value), []).append(at)
    sys.stdout.write("".join(_drawn(cells, numeric, sections, width)))
    if left_out:
        say_wrapped(f"Too narrow to show: {', '.join(left_out)}. --format csv gives every column.")


def _drawn(
    cells: dict[str, list[str]], numeric: set[str], sections: dict[str, list[int]], width: int
) -> Iterator[str]:
    """Yield each section as a table with a title, in columns no wider than the terminal."""
    from rich.box import SIMPLE_HEAD  # noqa: PLC0415 - only where a table is drawn
    from rich.console import Console  # noqa: PLC0415
    from rich.table import Table  # noqa: PLC0415
    from rich.text import Text  # noqa: PLC0415

    widths = _widths(cells, width)
    # Drawn first and written in one piece: a pipe that closes is met in one place only.
    console = Console(width=max(width, _least(cells)), highlight=False)
    for title, rows in sections.items():
        table = Table(box=SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
        for name, wide in widths.items():
            table.add_column(
                _heading(name), justify="right" if name in numeric else "left", width=wide,
                overflow="fold",
            )  # fmt: skip
        for at in rows:
            # Text, not markup: a cell that holds brackets stays as it is.
            table.add_row(*(Text(texts[at]) for texts in cells.values()))
        with console.capture() as drawn:
            if title:
                console.print(Text(title, style="bold"))
            console.print(table)
        yield "\n".join(["", *(line.rstrip() for line in drawn.get().splitlines()), ""])
    yield "\n"


def _widths(cells: dict[str, list[str]], width: int) -> dict[str, int]:
    """Return each column's width: as wide as its words want, less where the room is short."""
    least = {name: _narrowest(name, texts) for name, texts in cells.items()}
    widths = {
        name: max(least[name], min(_WIDEST, _natural(name, texts))) for name, texts in cells.items()
    }
    room = width - _BETWEEN * (len(cells) - 1)
    while sum(widths.values()) > room:
        name = max(widths, key=lambda one: widths[one] - least[one])
        if widths[name] == least[name]:
            break
        widths[name] -= 1
    return widths


def _least(cells: dict[str, list[str]]) -> int:
    """Return the width below which the table cannot be read."""
    columns = sum(_narrowest(name, texts) for name, texts in cells.items())
    return columns + _BETWEEN * (len(cells) - 1)


def _narrowest(name: str, texts: Sequence[str]) -> int:
    words = (word for text in (_heading(name), *texts) for word in text.split())
    longest = min(_LONG_WORD, max(map(len, words), default=1))
    return max(longest, min(_READABLE, max(map(len, texts), default=1)))


def _natural(name: str, texts: Sequence[str]) -> int:
    return max(map(len, (_heading(name), *texts)))


def _heading(name: str) -> str:
    return _HEADINGS.get(name, name.replace("_", " "))

"""How fast and how completely sheets are imported.

Completeness is counted by another reader (openpyxl, csv) than the one the importer uses.
"""

from __future__ import annotations

import csv
import json
import random
import sys
import tempfile
import time
from pathlib import Path

import openpyxl

from .figures import PRACTICE, Figure, Measured, measure, partmuster

ROWS, SMALL_ROWS = 100_000, 2_000
#: Shares of rows: with words like no other row's, with a number, with another number.
OWN_WORDS, NUMBERED, OTHER_NUMBER = 0.05, 0.4, 0.1
HEADINGS = ("What", "How many", "State", "Where is it", "Whose", "Part No.", "Seen", "Remarks")
_COUNTS = ("read", "loaded", "decision", "mending", "not_data")


def run(*, small: bool) -> list[Figure]:
    """Import a workbook of 100,000 rows, again the same, and real lists where they are at hand."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = folder / "stock.xlsx"
        rows = SMALL_ROWS if small else ROWS
        make_workbook(book, rows)
        club = folder / "club"
        first = measure(partmuster("--club", club, "import", book, "--format", "json"))
        second = measure(partmuster("--club", club, "import", book, "--format", "json"))
        plain = _plain_read(book)
        sums = _sums(first)
        counted = _rows_of(book)
        figures = [
            Figure(f"import of a workbook of {rows} rows", first.seconds, "s", 15,
                   baseline="polars.read_excel alone", baseline_value=plain.seconds,
                   judged=not small),
            Figure("peak memory of that import", first.peak_megabytes, "MB",
                   baseline="polars.read_excel alone", baseline_value=plain.peak_megabytes),
            Figure("rows counted by openpyxl less lines read", counted - sums["read"], "rows", 0,
                   "equal"),
            Figure("lines read less the sum of their outcomes",
                   sums["read"] - sum(sums[key] for key in _COUNTS[1:]), "lines", 0, "equal"),
            Figure("second import: lines new, changed or ended", _changes(second), "lines", 0,
                   "equal"),
            Figure("second import of the same workbook", second.seconds, "s"),
        ]  # fmt: skip
        help_seconds = sorted(measure(partmuster("--help")).seconds for _ in range(5))[2]
        bare = sorted(measure([sys.executable, "-c", "pass"]).seconds for _ in range(5))[2]
        figures.append(
            Figure("partmuster --help", help_seconds, "s", 0.2, baseline="python -c pass",
                   baseline_value=bare)
        )  # fmt: skip
        figures += _real_items(folder)
        return figures


def make_workbook(path: Path, rows: int) -> None:
    """Write a stock list of that many rows, from a fixed seed, in a club member's words.

    Of the rows' descriptions 21 % are distinct, and 35 % of the pairs of description and number;
    in the real lists of the practice data (10,629 rows, counted with polars) it is 21 and 36 %.
    """
    rng = random.Random(20260301)
    from partmuster_trade import load_vocabulary

    names = sorted({entry.name for entry in load_vocabulary().names()})
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("Stock")
    sheet.append(HEADINGS)
    sides = ("", "", "", " LH", " RH", ", left", " n/s")
    states = ("good", "fair", "u/s", "NOS", "rusty but sound", "needs work", "")
    for number in range(rows):
        at = rng.randrange(len(names))
        words = names[at] + (rng.choice(sides) if at % 2 else "")
        if rng.random() < OWN_WORDS:
            words += f" no. {number}"
        # A part has a number of its own, and a few have been given others since.
        part_number = f"ZK{at * 7 + (rng.randrange(7) if rng.random() < OTHER_NUMBER else 0):05d}"
        sheet.append(
            (words, rng.choice(("1", "2", "several", "10+", "?", "1 pr")), rng.choice(states),
             f"shelf {rng.randrange(400)}", f"Member {rng.randrange(60)}",
             part_number if rng.random() < NUMBERED else None,
             f"2025-{rng.randrange(1, 13):02d}-{rng.randrange(1, 28):02d}", None)
        )  # fmt: skip
    book.save(path)


def _plain_read(book: Path) -> Measured:
    code = f"import polars; polars.read_excel({str(book)!r}, infer_schema_length=0)"
    return measure([sys.executable, "-c", code])


def _sums(measured: Measured) -> dict[str, int]:
    files = _report(measured)
    return {key: sum(file[key] for file in files) for key in _COUNTS}


def _changes(measured: Measured) -> int:
    return sum(
        file[key]
        for file in _report(measured)
        for key in ("lines_new", "lines_changed", "lines_ended")
    )


def _report(measured: Measured) -> list[dict[str, int]]:
    found: list[dict[str, int]] = json.loads(measured.output[measured.output.index("[") :])
    return found


def _rows_of(book: Path) -> int:
    loaded = openpyxl.load_workbook(book, read_only=True)
    try:
        return sum(
            any(value not in (None, "") for value in row)
            for sheet in loaded
            for row in sheet.iter_rows(values_only=True)
        )
    finally:
        loaded.close()


def _real_items(folder: Path) -> list[Figure]:
    """Import the practice lists of real items, and count their records with Python's csv."""
    lists = sorted((PRACTICE / "real-items").glob("?? data.csv"))
    if not lists:
        return []
    copies = folder / "real"
    copies.mkdir()
    counted = 0
    for source in lists:
        data = source.read_bytes()
        (copies / source.name).write_bytes(data)
        text = data.decode("cp1252").replace("\r\n", "\n").replace("\r", "\n")
        counted += sum(any(cell.strip() for cell in row) for row in csv.reader(text.splitlines()))
    club = folder / "real-club"
    started = time.perf_counter()
    first = measure(partmuster("--club", club, "import", copies, "--format", "json"))
    seconds = time.perf_counter() - started
    second = measure(partmuster("--club", club, "import", copies, "--format", "json"))
    sums = _sums(first)
    return [
        Figure(f"{len(lists)} real lists, {counted} records", seconds, "s"),
        Figure("records counted by csv less lines read", counted - sums["read"], "rows", 0,
               "equal"),
        Figure("lines read less the sum of their outcomes",
               sums["read"] - sum(sums[key] for key in _COUNTS[1:]), "lines", 0, "equal"),
        Figure("second import: lines new, changed or ended", _changes(second), "lines", 0,
               "equal"),
    ]  # fmt: skip

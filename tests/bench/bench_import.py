"""How fast and how completely sheets are imported.

Completeness is counted by another reader (openpyxl, csv) than the one the importer uses.
"""

from __future__ import annotations

import csv
import json
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import openpyxl

from .figures import PRACTICE, Figure, Measured, measure, partmuster
from .stock_lists import make_csv, make_small_lists, make_workbook

ROWS, SMALL_ROWS = 100_000, 2_000
LONG_ROWS, SMALL_LONG_ROWS = 1_000_000, 3_000
FILES, SMALL_FILES = 200, 12
_COUNTS = ("read", "loaded", "decision", "mending", "not_data")


def run(*, small: bool) -> list[Figure]:
    """Import a long workbook, a longer text, many small files, and real lists where at hand."""
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
                   baseline_value=bare, judged=not small)
        )  # fmt: skip
        figures += _long_text(folder, LONG_ROWS if not small else SMALL_LONG_ROWS, small=small)
        figures += _many_files(folder, FILES if not small else SMALL_FILES, small=small)
        figures += _real_items(folder)
        return figures


def _long_text(folder: Path, rows: int, *, small: bool) -> list[Figure]:
    """Import separated text of a million rows."""
    path = folder / "long.csv"
    make_csv(path, rows)
    club = folder / "long-club"
    first = measure(partmuster("--club", club, "import", path, "--format", "json"))
    code = f"import polars; polars.read_csv({str(path)!r}, infer_schema=False)"
    plain = measure([sys.executable, "-c", code])
    sums = _sums(first)
    return [
        Figure(f"import of a text of {rows} rows", first.seconds, "s", 90,
               baseline="polars.read_csv alone", baseline_value=plain.seconds,
               judged=not small),
        Figure("peak memory of that import, all processes", first.peak_megabytes, "MB", 1500,
               baseline="polars.read_csv alone", baseline_value=plain.peak_megabytes,
               judged=not small),
        Figure("rows written less lines read", rows + 1 - sums["read"], "rows", 0, "equal"),
        Figure("lines read less the sum of their outcomes",
               sums["read"] - sum(sums[key] for key in _COUNTS[1:]), "lines", 0, "equal"),
    ]  # fmt: skip


def _many_files(folder: Path, count: int, *, small: bool) -> list[Figure]:
    """Import many small messy files, and one of them alone, which shows what starting costs."""
    lists = folder / "lists"
    lists.mkdir()
    make_small_lists(lists, count)
    one = measure(partmuster("--club", folder / "one-club", "import", sorted(lists.iterdir())[1],
                             "--format", "json"))  # fmt: skip
    club = folder / "lists-club"
    every = measure(partmuster("--club", club, "import", lists, "--format", "json"))
    code = (
        "import sys, pathlib, polars\n"
        "for path in pathlib.Path(sys.argv[1]).iterdir():\n"
        "    if path.suffix == '.xlsx': polars.read_excel(path, infer_schema_length=0)\n"
        "    else: polars.read_csv(path.read_bytes(), encoding='utf8-lossy', infer_schema=False,"
        " truncate_ragged_lines=True, quote_char=None)\n"
    )
    plain = measure([sys.executable, "-c", code, str(lists)])
    sums = _sums(every)
    return [
        Figure(f"import of {count} small messy files", every.seconds, "s", 20,
               baseline="polars alone", baseline_value=plain.seconds, judged=not small),
        Figure("one of them alone, into a new club, as a share of that",
               one.seconds / every.seconds, "", 0.5, judged=not small),
        Figure("lines read less the sum of their outcomes",
               sums["read"] - sum(sums[key] for key in _COUNTS[1:]), "lines", 0, "equal"),
        Figure("files not loaded", sum(file["outcome"] != "new" for file in _report(every)),
               "files", 0, "equal"),
    ]  # fmt: skip


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


def _report(measured: Measured) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(measured.output[measured.output.index("[") :])
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

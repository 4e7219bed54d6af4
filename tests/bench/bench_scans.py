"""How well pages of parts lists are read: print, handwriting, many layouts, PDFs with text.

Truth is what was drawn. Practice pages are read where they exist; pages of our own are drawn here.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import tempfile
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rapidfuzz import fuzz
from reportlab.pdfgen.canvas import Canvas

from tests.pages.layouts import HEAD, LAYOUTS, PARTS, PLACES, two_tables, used_on

from .figures import PRACTICE, Figure, Measured, measure
from .page_baselines import grouped, tesseract_lines
from .page_scores import Score, score

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.pages.layouts import Page

#: The headings that the practice pages are drawn with.
HEADINGS = {"item": "Item", "part_no": "Part No.", "description": "Description", "qty": "Qty"}
_ENGINE = "the engine as it comes"
_TEXT_PAGES, _SMALL_TEXT_PAGES = 40, 3
#: Words of the scanned page of prose that scikit-image carries, read by eye.
_PROSE = (
    "Region-based segmentation",
    "Let us first determine markers of the coins and the",
    "background. These markers are pixels that we can label",
    "the markers are found at the two extreme parts of the",
)


def run(*, small: bool) -> list[Figure]:
    """Read the practice pages beside the engine as it comes, pages of our own, prose, and PDFs."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        layouts = (two_tables, used_on) if small else LAYOUTS
        figures = [] if small else _practice(folder)
        figures += _own_pages(folder, [draw() for draw in layouts])
        figures += _prose(folder)
        figures += _text_layer(folder, _SMALL_TEXT_PAGES if small else _TEXT_PAGES, small=small)
        return figures


def _read(folder: Path, paths: Sequence[Path], *options: str) -> tuple[dict[str, Any], Measured]:
    out = folder / "read.json"
    command = [sys.executable, "-m", "tests.bench.read_pages", str(out), *options]
    measured = measure([*command, *map(str, paths)])
    told: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
    return told, measured


def _practice(folder: Path) -> list[Figure]:
    """Score print (p) and hands (h) apart, and the engine as it comes on the same pages."""
    paths = sorted(
        path
        for ends in ("*.png", "*.jpg")
        for path in (PRACTICE / "scans").glob(ends)
        if path.with_suffix(".json").exists()
    )
    if not paths:
        return []
    truths = {path.name: json.loads(path.with_suffix(".json").read_text()) for path in paths}
    ours, took = _read(folder, paths)
    plain, plain_took = _read(folder, paths, "--as-it-comes")
    program = shutil.which("tesseract")
    figures = []
    for kind, letter in (("print", "p"), ("hand", "h")):
        of_kind = [path for path in paths if path.name.startswith(letter)]
        own = _sum([_scored(ours[path.name]["read"], truths[path.name]) for path in of_kind])
        base = _sum([
            _scored([{"rows": grouped(plain[path.name]["read"], truths[path.name]),
                      "doubted": []}], truths[path.name])
            for path in of_kind
        ])  # fmt: skip
        figures += _of_kind(kind, own, base, _ENGINE)
        _show(kind, own)
        if program:
            other = _sum([
                _scored([{"rows": grouped(tesseract_lines(program, path), truths[path.name]),
                          "doubted": []}], truths[path.name])
                for path in of_kind
            ])  # fmt: skip
            figures += _of_kind(kind, own, other, "Tesseract", judged=False)
    count = len(paths)
    return [
        *figures,
        *([] if program else [Figure("Tesseract: programs on the PATH (not compared)", 0, "")]),
        Figure(f"a page, {os.cpu_count()} processors, with starting", took.seconds / count, "s",
               2.5, baseline=_ENGINE, baseline_value=plain_took.seconds / count),
        Figure("processor time of a page, all processors together", _processor(ours) / count, "s",
               baseline=_ENGINE, baseline_value=_processor(plain) / count),
        Figure("peak memory of reading pages", took.peak_megabytes, "MB", baseline=_ENGINE,
               baseline_value=plain_took.peak_megabytes),
    ]  # fmt: skip


def _processor(told: dict[str, Any]) -> float:
    return sum(float(one["processor"]) for one in told.values())


def _scored(grids: list[dict[str, Any]], truth: dict[str, Any]) -> Score:
    names = truth["order"]
    rows = [row for grid in grids for row in grid["rows"]]
    headings = [HEADINGS[name] for name in names]
    doubted: set[tuple[int, int]] = set()
    mended: set[tuple[int, int]] = set()
    first = 0
    for grid in grids:
        doubted |= {(first + row, column) for row, column in grid["doubted"]}
        mended |= {(first + row, column) for row, column in grid.get("mended", [])}
        first += len(grid["rows"])
    told = score(
        [tuple(str(row.get(name) or "") for name in names) for row in truth["rows"]],
        rows, names, doubted, [*truth["title"], " ".join(headings)], mended,
    )  # fmt: skip
    told.headings = any(
        ["".join(cell.casefold().split()) for cell in row if cell]
        == ["".join(one.casefold().split()) for one in headings]
        for row in rows
    )
    return told


def _of_kind(
    kind: str, own: Score, base: Score, other: str, *, judged: bool = True
) -> list[Figure]:
    """Return the figures of print or of hands."""

    def figure(
        name: str, value: float, unit: str, baseline: float | None = None,
        target: float | None = None, better: Any = "higher",
    ) -> Figure:  # fmt: skip
        return Figure(f"{kind}: {name}", value, unit, target, better, baseline=other,
                      baseline_value=baseline, judged=judged)  # fmt: skip

    printed = kind == "print"
    wrong_unflagged = own.numbers_wrong - own.wrong_flagged
    right_flagged = 100 * own.right_flagged / max(1, own.numbers_right)
    return [
        figure("rows of truth", own.rows, "rows"),
        figure("characters wrong", own.share("letters_wrong", "letters"), "%",
               base.share("letters_wrong", "letters"), None, "lower"),
        figure("part numbers exact", own.share("numbers_right"), "%",
               base.share("numbers_right"), 99.5 if printed else None),
        figure("rows usable", own.share("usable"), "%", base.share("usable"),
               99 if printed else 88),
        figure("rows with each cell in its column", own.share("in_columns"), "%",
               base.share("in_columns")),
        figure("pages whose headings are found", own.share("headings", "pages"), "%",
               base.share("headings", "pages")),
        figure("rows invented", own.invented, "rows", base.invented, 0 if printed else None,
               "equal"),
        figure("wrong part numbers", own.numbers_wrong, "rows", base.numbers_wrong, None, "lower"),
        figure("wrong part numbers not flagged", wrong_unflagged, "rows", None, 0, "equal"),
        figure("right part numbers flagged", right_flagged, "%", None,
               None if printed else 10, "lower"),
        figure("of these, read wrongly and mended", own.right_mended, "rows"),
    ]  # fmt: skip


def _sum(scores: Sequence[Score]) -> Score:
    return sum(scores, Score())


def _show(name: str, told: Score) -> None:
    """Print the rows that were read otherwise than they are, for whoever mends it."""
    for line in told.wrong:
        sys.stderr.write(f"{name}: {line}\n")


def _own_pages(folder: Path, pages: Sequence[Page]) -> list[Figure]:
    """Score pages of our own, convention by convention."""
    paths = {}
    for at, page in enumerate(pages):
        path = folder / f"{at:02}.tif"
        first, *more = page.pictures
        first.save(path, save_all=True, append_images=more)
        paths[page.convention] = path
    told, _ = _read(folder, list(paths.values()))
    figures: list[Figure] = []
    total = Score()
    for page in pages:
        own = _own_score(told[paths[page.convention].name]["read"], page)
        _show(page.convention, own)
        total += own
        figures += [
            Figure(f"{page.convention}: cells right", own.share("cells_right", "cells"), "%"),
            Figure(f"{page.convention}: rows right", own.share("rows_right"), "%"),
        ]
    return [
        *figures,
        Figure(f"{len(pages)} layouts: cells right", total.share("cells_right", "cells"), "%", 99,
               "higher"),
        Figure(f"{len(pages)} layouts: rows right", total.share("rows_right"), "%", 98, "higher"),
        Figure(f"{len(pages)} layouts: rows invented", total.invented, "rows", 0, "equal"),
    ]  # fmt: skip


def _own_score(grids: list[dict[str, Any]], page: Page) -> Score:
    """Score the tables of a page against its grids in the order in which they are read."""
    total = Score()
    for at, table in enumerate(page.tables):
        rows = grids[at]["rows"] if at < len(grids) else []
        total += score(table, rows, [])
    total.invented += sum(len(grid["rows"]) for grid in grids[len(page.tables) :])
    return total


def _prose(folder: Path) -> list[Figure]:
    """Read a scanned page of prose that scikit-image carries: lines, and no table."""
    found = find_spec("skimage")
    if found is None or not found.submodule_search_locations:
        return [Figure("scikit-image is not installed: page of prose", 0, "")]
    told, _ = _read(folder, [Path(found.submodule_search_locations[0]) / "data" / "page.png"])
    (read,) = told.values()
    rows = [row for grid in read["read"] for row in grid["rows"]]
    lines = [" ".join(filter(None, row)) for row in rows]
    known = sum(max((fuzz.ratio(line, one) for line in lines), default=0) >= 95 for one in _PROSE)
    return [
        Figure(f"a scanned page of prose: of {len(_PROSE)} lines read", known, "lines",
               len(_PROSE), "equal"),
        Figure("a scanned page of prose: rows of several cells",
               sum(sum(map(bool, row)) > 1 for row in rows), "rows", 0, "equal"),
    ]  # fmt: skip


def _text_layer(folder: Path, pages: int, *, small: bool) -> list[Figure]:
    """Read a PDF of text pages, and let pdfium alone give the text of each."""
    path = folder / "text.pdf"
    canvas = Canvas(str(path), pagesize=(595, 842))
    for page in range(pages):
        canvas.setFont("Helvetica", 10)
        canvas.drawString(58, 790, f"OTTER CARRIER - GROUP {page + 1}")
        for n, row in enumerate([HEAD, *PARTS * 2]):
            for cell, place in zip(row, PLACES, strict=True):
                canvas.drawString(place * 72, 760 - 20 * n, cell)
        canvas.showPage()
    canvas.save()
    told, _ = _read(folder, [path])
    read = told[path.name]
    right = _sum([score([HEAD, *PARTS * 2], grid["rows"], []) for grid in read["read"]])
    code = (
        "import sys, time, pypdfium2\nstarted = time.perf_counter()\n"
        "for page in pypdfium2.PdfDocument(sys.argv[1]): page.get_textpage().get_text_range()\n"
        "print(time.perf_counter() - started)"
    )
    alone = float(measure([sys.executable, "-c", code, str(path)]).output)
    return [
        Figure(f"PDF of {pages} text pages: rows right", right.share("rows_right"), "%", 100,
               "equal"),
        Figure(f"PDF of {pages} text pages: rows missing",
               pages * (1 + 2 * len(PARTS)) - right.rows, "rows", 0, "equal"),
        Figure("pages of text a second", pages / read["seconds"], "pages/s", 20, "higher",
               baseline="pdfium's text alone", baseline_value=pages / alone, judged=not small),
    ]  # fmt: skip

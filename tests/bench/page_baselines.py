"""What others make of the same pages: the engine as it comes, and Tesseract where it is there."""

from __future__ import annotations

import csv
import io
import statistics
import subprocess
from itertools import pairwise
from typing import TYPE_CHECKING, Any, TypeAlias

if TYPE_CHECKING:
    from pathlib import Path

#: A word or line that was read: its text, left, top and bottom.
Line: TypeAlias = "tuple[str, float, float, float]"


def grouped(lines: list[Line], truth: dict[str, Any]) -> list[list[str]]:
    """Return lines as rows by their middles, in the columns that the truth tells."""
    if not lines:
        return []
    height = statistics.median(bottom - top for _, _, top, bottom in lines)
    rows: list[list[Line]] = []
    for line in sorted(lines, key=lambda one: one[2] + one[3]):
        middle = (line[2] + line[3]) / 2
        if rows and middle - statistics.mean((a + b) / 2 for _, _, a, b in rows[-1]) < height / 2:
            rows[-1].append(line)
        else:
            rows.append([line])
    starts = _starts(truth)
    found = []
    for row in rows:
        cells = [""] * len(starts)
        for text, left, _, _ in sorted(row, key=lambda one: one[1]):
            at = max((n for n, start in enumerate(starts) if left >= start), default=0)
            cells[at] = f"{cells[at]} {text}".strip()
        found.append(cells)
    return found


def _starts(truth: dict[str, Any]) -> list[float]:
    """Return from where on text belongs to each column: half way from the end of the last."""
    edges = []
    for name in truth["order"]:
        boxes = [row["boxes"][name] for row in truth["rows"] if name in row["boxes"]]
        edges.append((min(x for box in boxes for x, _ in box),
                      max(x for box in boxes for x, _ in box)))  # fmt: skip
    return [0.0, *((min(end, start) + start) / 2 for (_, end), (start, _) in
                   pairwise(edges))]  # fmt: skip


def tesseract_lines(program: str, picture: Path) -> list[Line]:
    """Return the words that Tesseract finds on a page of one block of text."""
    ran = subprocess.run(
        [program, str(picture), "stdout", "--psm", "6", "tsv"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    told = csv.DictReader(io.StringIO(ran.stdout), delimiter="\t", quoting=csv.QUOTE_NONE)
    return [
        (one["text"], float(one["left"]), float(one["top"]),
         float(one["top"]) + float(one["height"]))
        for one in told
        if (one["text"] or "").strip()
    ]  # fmt: skip

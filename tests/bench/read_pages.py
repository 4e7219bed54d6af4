"""``python -m tests.bench.read_pages OUT [--as-it-comes] FILES``: what is read, as JSON in OUT.

Run as a process of its own, so that its time and memory are those of reading alone.
"""

from __future__ import annotations

import json
import logging
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from partmuster.plugin_api import Grid, NotData


def main() -> None:
    out, *rest = sys.argv[1:]
    plain = rest[0] == "--as-it-comes"
    paths = [Path(name) for name in rest[plain:]]
    read = _engine_as_it_comes() if plain else _the_plugin()
    told: dict[str, Any] = {}
    for path in paths:
        started, used = time.perf_counter(), time.process_time()
        found = read(path)
        told[path.name] = {
            "read": found,
            "seconds": time.perf_counter() - started,
            "processor": time.process_time() - used,
        }
    Path(out).write_text(json.dumps(told), encoding="utf-8")


def _the_plugin() -> Any:
    """Return a reader of grids: rows of cells, and which cells are in doubt; of prose its lines."""
    from partmuster.plugin_api import Grid, NotData, SourceFile
    from partmuster_plugins.parts_lists import grids, pdf
    from partmuster_plugins.parts_lists.importer import PartsLists

    # Loaded before the first file is timed, as the engine as it comes is.
    assert grids
    assert pdf

    def read(path: Path) -> list[dict[str, Any]]:
        source = SourceFile(path, path.name, path.stat().st_size, path.read_bytes()[:4096])
        batches = list(PartsLists().read(source))
        prose = [_lines(one) for one in batches if isinstance(one, NotData) and one.words]
        return [_told(batch) for batch in batches if isinstance(batch, Grid)] + prose

    return read


def _lines(prose: NotData) -> dict[str, Any]:
    """Return the lines of a page of prose that states nothing, as rows of one cell."""
    rows = [[line] for line in prose.words.split(" | ")]
    return {"page": prose.page, "rows": rows, "doubted": [], "mended": []}


def _told(grid: Grid) -> dict[str, Any]:
    first = grid.cells["row"].min()
    marks = grid.marks.rows() if grid.marks is not None else []
    doubted = [
        (row - first, column - 1)
        for row, column, mark, value in marks
        if mark == "repaired" or (mark == "confidence" and float(value) < 0.8)
    ]
    mended = [(row - first, column - 1) for row, column, mark, _ in marks if mark == "repaired"]
    rows = [[cell or "" for cell in row] for row in grid.cells.drop("row").iter_rows()]
    return {"page": grid.page, "rows": rows, "doubted": doubted, "mended": mended}


def _engine_as_it_comes() -> Any:
    """Return a reader of lines: text with the left, top and bottom of its box."""
    from rapidocr import RapidOCR

    engine = RapidOCR()
    logging.getLogger("RapidOCR").setLevel(logging.ERROR)

    def read(path: Path) -> list[tuple[str, float, float, float]]:
        found = engine(str(path))
        if found.boxes is None:
            return []
        return [
            (text, float(box[:, 0].min()), float(box[:, 1].min()), float(box[:, 1].max()))
            for text, box in zip(found.txts, found.boxes, strict=True)
        ]

    return read


if __name__ == "__main__":
    main()

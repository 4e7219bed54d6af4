"""How an answer goes from one process to the other: JSON for what is small, Arrow for frames.

Nothing that comes back from the reading process is unpickled: it has had foreign bytes in its
hands. A frame goes in pieces, so that neither side holds it twice (measured: a million rows of
eight cells, 210 MB, cost 50 MB more on each side and one second in all).
"""

from __future__ import annotations

import datetime as dt
import io
import json
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.model import Grid, Lines, NotData, Problem
from partmuster.stages.read import ReadResult

from .blocks import receive, send

if TYPE_CHECKING:
    from typing import IO

    from partmuster.model import Batch

#: About how many bytes of a frame go in one piece.
PIECE_BYTES = 16_000_000

_DATES = ("saved_on", "stated_on")


def send_result(stream: IO[bytes], result: ReadResult) -> None:
    """Write what was read: its outline, then the pieces of its frames in order."""
    frames: list[tuple[pl.DataFrame, int]] = []

    def outline(frame: pl.DataFrame) -> int:
        pieces = _pieces(frame)
        frames.append((frame, pieces))
        return pieces

    batches = [_outline(batch, outline) for batch in result.batches]
    problems = [_fields(problem) for problem in result.problems]
    send(stream, json.dumps({"batches": batches, "problems": problems}).encode())
    for frame, pieces in frames:
        rows = -(-frame.height // pieces) or 1
        for number in range(pieces):
            piece = io.BytesIO()
            frame.slice(number * rows, rows).write_ipc_stream(piece)
            send(stream, piece.getvalue())
    stream.flush()


def receive_result(stream: IO[bytes]) -> ReadResult:
    """Return what was read.

    Raises:
        EOFError: the other process ended before it had sent all.
    """
    told = json.loads(receive(stream))
    batches = [_batch(outline, stream) for outline in told["batches"]]
    return ReadResult(batches, [Problem(**fields) for fields in told["problems"]])


def _pieces(frame: pl.DataFrame) -> int:
    return max(1, min(frame.height, -(-int(frame.estimated_size()) // PIECE_BYTES)))


def _outline(batch: Batch, pieces: Any) -> dict[str, Any]:
    if isinstance(batch, Lines):
        return {"lines": pieces(batch.frame)}
    if isinstance(batch, NotData):
        return {"not_data": _fields(batch)}
    told = _fields(batch)
    cells, marks = told.pop("cells"), told.pop("marks")
    for name in _DATES:
        told[name] = told[name] and told[name].isoformat()
    return {"grid": told, "cells": pieces(cells), "marks": marks is not None and pieces(marks)}


def _batch(outline: dict[str, Any], stream: IO[bytes]) -> Batch:
    if "lines" in outline:
        return Lines(_frame(stream, outline["lines"]))
    if "not_data" in outline:
        return NotData(**outline["not_data"])
    told = outline["grid"]
    for name in _DATES:
        told[name] = told[name] and dt.date.fromisoformat(told[name])
    cells = _frame(stream, outline["cells"])
    return Grid(cells, marks=_frame(stream, outline["marks"]) if outline["marks"] else None, **told)


def _fields(record: Any) -> dict[str, Any]:
    """Return a record's fields as they are; ``dataclasses.asdict`` would copy frames."""
    return {name: getattr(record, name) for name in record.__dataclass_fields__}


def _frame(stream: IO[bytes], pieces: int) -> pl.DataFrame:
    found = [pl.read_ipc_stream(io.BytesIO(receive(stream))) for _ in range(pieces)]
    return pl.concat(found)

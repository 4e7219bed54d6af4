"""The answer ``trace``: where a figure comes from, down to file, sheet, row and words."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.model import PartmusterError
from partmuster.store.frames import fetch
from partmuster_schemas.answers import Trace
from partmuster_schemas.columns import polars_schema

from .sql import list_literal

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_RAW = re.compile(r".+\.\d+\.\d+")


class UnknownIdError(PartmusterError):
    """Nothing in the club has this id."""


def trace(con: DuckDBPyConnection, ids: str) -> pl.DataFrame:
    """Return where lines come from: columns of ``answers.Trace``, every revision a row.

    ``ids``: a line id, several joined by ';' as they stand in the column ``trace``, a question
    id, or a raw line "source.version.number". A revision has one row for each name in it (part,
    vehicle, holder) and each conclusion about that name. Where nothing was loaded from a raw line
    the row says what became of it.

    Raises:
        UnknownIdError: one of them is no id of this club; the text names it.
    """
    frames = [_trace_one(con, one.strip()) for one in ids.split(";") if one.strip()]
    if not frames:
        raise UnknownIdError("an id is needed: of a line, a raw line or a question.")
    return pl.concat(frames).unique(maintain_order=True)


def _trace_one(con: DuckDBPyConnection, one: str) -> pl.DataFrame:
    lines = _lines(con, [one])
    if lines.height:
        return lines
    for ids in (_lines_of_raw(con, one), _lines_of_question(con, one)):
        if ids:
            return _lines(con, ids)
    if _RAW.fullmatch(one):
        raw = fetch(con, f"SELECT * FROM raw_lines_of({list_literal([one])})")  # noqa: S608  (a literal)
        if raw.height:
            return _shaped(raw)
    raise UnknownIdError(f"'{one}' is the id of no line, raw line or question of this club.")


def _lines(con: DuckDBPyConnection, ids: list[str]) -> pl.DataFrame:
    return _shaped(fetch(con, f"SELECT * FROM trace_of({list_literal(ids)})"))  # noqa: S608  (literals)


def _lines_of_raw(con: DuckDBPyConnection, one: str) -> list[str]:
    if not _RAW.fullmatch(one):
        return []
    source_id, version, number = one.rsplit(".", 2)
    found = con.execute(
        "SELECT DISTINCT line_id FROM line_origin "
        "WHERE source_id = ? AND source_version = ? AND raw_number = ? ORDER BY 1",
        [source_id, int(version), int(number)],
    ).fetchall()
    return [line_id for (line_id,) in found]


def _lines_of_question(con: DuckDBPyConnection, one: str) -> list[str]:
    found = con.execute(
        "SELECT DISTINCT h.line_id FROM question q JOIN line_history h ON CASE q.topic "
        "WHEN 'part' THEN q.subject IN (h.item_key, 'line:' || h.line_id) "
        "WHEN 'vehicle' THEN q.subject = h.vehicle_key "
        "WHEN 'holder' THEN q.subject = h.holder_key ELSE false END "
        "WHERE q.question_id = ? ORDER BY 1",
        [one],
    ).fetchall()
    return [line_id for (line_id,) in found]


def _shaped(frame: pl.DataFrame) -> pl.DataFrame:
    return frame.select(
        (pl.col(name) if name in frame.columns else pl.lit(None)).cast(dtype).alias(name)
        for name, dtype in polars_schema(Trace).items()
    )

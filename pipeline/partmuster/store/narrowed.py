"""Decisions on what words mean that hold for one source, or one line, alone.

The subject of such a decision is ``source:SOURCE|ITEM-KEY`` or ``line:LINE``. It is recorded with
each line that it is about: a line's own meaning goes before what its words mean.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from .frames import stage

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from .decisions import Standing

OF_LINE, OF_SOURCE = "line:", "source:"


def of_line(line_id: str) -> str:
    """Return the subject of a decision on one line."""
    return OF_LINE + line_id


def of_source(source_id: str, item_key: str) -> str:
    """Return the subject of a decision on words in one source."""
    return f"{OF_SOURCE}{source_id}|{item_key}"


def is_narrowed(subject: str) -> bool:
    """Tell whether a decision on a part is about some lines only."""
    return subject.startswith((OF_LINE, OF_SOURCE))


def spread_over_lines(
    con: DuckDBPyConnection, standing: Mapping[str, Standing]
) -> dict[str, Standing]:
    """Return what stands, decisions on a source as one on each of its lines.

    What is decided of a line itself goes before.
    """
    of_sources = [subject for subject in standing if subject.startswith(OF_SOURCE)]
    found = {subject: said for subject, said in standing.items() if subject not in of_sources}
    if not of_sources:
        return found
    parts = [subject.removeprefix(OF_SOURCE).split("|", 1) for subject in of_sources]
    stage(con, "narrowed", pl.DataFrame(
        [(subject, *part) for subject, part in zip(of_sources, parts, strict=True)],
        schema=dict.fromkeys(("subject", "source_id", "item_key"), pl.String), orient="row",
    ))  # fmt: skip
    lines = con.execute(
        "SELECT DISTINCT n.subject, h.line_id FROM narrowed n JOIN line_history h "
        "ON h.source_id = n.source_id AND h.item_key = n.item_key ORDER BY ALL"
    ).fetchall()
    return {of_line(line_id): standing[subject] for subject, line_id in lines} | found

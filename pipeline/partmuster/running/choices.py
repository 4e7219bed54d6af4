"""Readings of statements that exclude each other: chosen by the names known when all files are in.

A register may come in the same import, or long after the note: what was known of each name is
kept, and a source is read again when the club knows otherwise.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.stages.choosing import CHOICE, NO_MATTER_OF_CLUB, choose
from partmuster.store.known_names import known_names
from partmuster.store.registered import HOLDER_COLUMNS, VEHICLE_COLUMNS
from partmuster.store.sources import current_version

from .judging import with_no_data
from .taken import failing_alone

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.store.known_names import KnownNames
    from partmuster.store.sources import KnownVersion

    from .taken import Taken


def has_choices(lines: pl.DataFrame) -> bool:
    """Tell whether statements can be read in several ways."""
    return lines.get_column("choice").null_count() < lines.height


def choose_readings(
    con: DuckDBPyConnection,
    waiting: Sequence[Taken],
    taken: Sequence[Taken],
    go_on: Callable[[Taken], None],
) -> None:
    """Choose in the files that wait, and let them go on.

    The names are those of the club, and of the registers among the files ``taken``.
    """
    if not waiting:
        return
    known = known_names(
        con, _rows(taken, "vehicle", VEHICLE_COLUMNS), _rows(taken, "holder", HOLDER_COLUMNS)
    )
    for file in waiting:
        with failing_alone(file):
            _choose(file, known)
            go_on(file)


def _choose(file: Taken, known: KnownNames) -> None:
    laid_out = file.laid_out
    assert laid_out is not None
    assert file.report.source_id is not None
    chosen = choose(laid_out.lines, known, file.report.source_id)
    file.laid_out = replace(
        laid_out,
        lines=chosen.lines,
        raw=with_no_data(laid_out.raw, dict.fromkeys(chosen.not_data, NO_MATTER_OF_CLUB)),
        questions=pl.concat([laid_out.questions, chosen.questions]),
    )
    file.choices = chosen.names


def _rows(taken: Sequence[Taken], kind: str, columns: tuple[str, ...]) -> list[dict[str, Any]]:
    """Return what registers that are coming in say, in the order of :mod:`store.registered`."""
    rows = [
        row
        for file in taken
        if file.checked is not None and (lines := file.checked[0].get(kind)) is not None
        for row in lines.select(list(columns)).to_dicts()
        if row[columns[0]] is not None
    ]
    return sorted(rows, key=lambda row: row.get("assembly") is not None)


def known_otherwise(con: DuckDBPyConnection) -> list[KnownVersion]:
    """Return the newest versions whose choices would come out of other knowledge by now."""
    kept = con.execute(
        "SELECT source_id, role, key, meaning FROM choice_name c JOIN newest_version v "
        "USING (source_id) WHERE c.source_version = v.version"
    ).fetchall()
    if not kept:
        return []
    known = known_names(con)
    changed = {
        source_id: None
        for source_id, role, key, meaning in kept
        if meaning != ((known.chosen(key) or "") if role == CHOICE else str(known.of(role, key)))
    }
    found = [current_version(con, source_id) for source_id in sorted(changed)]
    return [version for version in found if version is not None]

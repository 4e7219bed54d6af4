"""What people answered about the layout of one source."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from partmuster.store.decisions import standing_decisions
from partmuster.tables.told import Told, told_by

if TYPE_CHECKING:
    from collections.abc import Iterator

    from duckdb import DuckDBPyConnection

TOPICS = ("layout", "marks")


def told_for(con: DuckDBPyConnection, source_id: str, country: str | None = None) -> Told:
    """Return the standing answers about a source's tables; contradictory ones tell nothing.

    Unless somebody said so for the source, the club's ``country`` tells day or month first.
    """
    told = told_by(_answers(con, source_id))
    if told.day_first is None and country:
        return replace(told, day_first=country != "US")
    return told


def _answers(con: DuckDBPyConnection, source_id: str) -> Iterator[tuple[str, str, str]]:
    opening = f"{source_id}|"
    for topic in TOPICS:
        for subject, standing in standing_decisions(con, topic).items():
            if subject.startswith(opening) and standing.answer is not None:
                yield topic, subject.removeprefix(opening), standing.answer

"""What people answered about the layout of one source, and of sheets of the same headings."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeAlias

from partmuster.store.decisions import standing_decisions
from partmuster.store.sources import current_version
from partmuster.tables.head import shape_of
from partmuster.tables.headings import HEAD_ROWS
from partmuster.tables.told import (
    Told,
    ToldOfShape,
    column_key,
    column_names,
    heading_in,
    told_by,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from duckdb import DuckDBPyConnection

    from partmuster.store.sources import KnownVersion
    from partmuster.tables.told import Shape

#: Of a column as it was taken: kind of line, number, heading, field, reason.
_Column: TypeAlias = tuple[str, int, str | None, str | None, str | None]
TOPICS = ("layout", "marks")
_LAYOUTS = """
    SELECT l.source_id, v.name, l.sheet, l.table_number, l.line_kind, l."column", l.heading,
        l.field, l.reason
    FROM layout_taken l
    JOIN newest_version n ON n.source_id = l.source_id AND n.version = l.source_version
    JOIN source_version v ON v.source_id = n.source_id AND v.version = n.version
    WHERE $1 IS NULL OR list_contains($1, l.source_id)
    ORDER BY l.source_id, l.sheet, l.table_number, l."column"
"""
#: The first rows of the sheets of which nobody knows the headings.
_ROWS_OF_UNKNOWN = """
    SELECT DISTINCT r.source_id, r.words
    FROM raw_line r
    JOIN newest_version n ON n.source_id = r.source_id AND n.version = r.source_version
    JOIN layout_taken l ON l.source_id = r.source_id AND l.source_version = r.source_version
        AND l.sheet IS NOT DISTINCT FROM r.sheet
    WHERE l.line_kind = 'unknown' AND l.header_row IS NULL
        AND r.source_id <> ? AND r."row" <= ? AND r.words IS NOT NULL
    ORDER BY ALL
"""


@dataclass(frozen=True, slots=True)
class _Table:
    """How a table of a source was taken in its newest version; ``fields`` by the column's key."""

    source_id: str
    name: str
    sheet: str
    shape: Shape
    kind: str
    fields: dict[str, str]
    learned: bool


def told_for(con: DuckDBPyConnection, source_id: str, country: str | None = None) -> Told:
    """Return the standing answers about a source's tables; contradictory ones tell nothing.

    What was told of tables with the same headings in other sources comes with them. Unless
    somebody said so for the source, the club's ``country`` tells day or month first.
    """
    answers = _answers(con)
    told = told_by(answers.get(source_id, ()))
    shapes = _shapes(con, answers, source_id)
    told = replace(told, shapes=shapes) if shapes else told
    if told.day_first is None and country:
        return replace(told, day_first=country != "US")
    return told


def read_otherwise(con: DuckDBPyConnection, source_id: str) -> list[KnownVersion]:
    """Return the other sources that a decision about this one's layout makes read otherwise.

    They have a table with the headings of one of its tables, and are not read as is now told, or
    are read as was told before; or a row of such headings that was not known for one.
    """
    tables = list(_tables(con))
    shapes = {table.shape for table in tables if table.source_id == source_id}
    found: dict[str, None] = {}
    for table in tables:
        if table.source_id == source_id or table.shape not in shapes:
            continue
        told = told_for(con, table.source_id)
        now = told.shapes.get(table.shape)
        if told.of_sheet(table.sheet):
            continue
        if (now is None and table.learned) or (now is not None and not _as_taken(now, table)):
            found[table.source_id] = None
    for other, words in con.execute(_ROWS_OF_UNKNOWN, [source_id, HEAD_ROWS]).fetchall():
        if other not in found and shape_of(words.split(" | ")) in told_for(con, other).shapes:
            found[other] = None
    known = (current_version(con, one) for one in found)
    return [version for version in known if version is not None]


def _as_taken(told: ToldOfShape, table: _Table) -> bool:
    fields = all(table.fields.get(heading, "") == field for heading, field in told.fields.items())
    return fields and (told.kind is None or told.kind == table.kind)


def _answers(con: DuckDBPyConnection) -> dict[str, list[tuple[str, str, str]]]:
    """Return topic, the rest of the subject and the answer of each standing answer, by source."""
    found: dict[str, list[tuple[str, str, str]]] = defaultdict(list)
    for topic in TOPICS:
        for subject, standing in standing_decisions(con, topic).items():
            source_id, bar, rest = subject.partition("|")
            if bar and standing.answer is not None:
                found[source_id].append((topic, rest, standing.answer))
    return found


def _shapes(
    con: DuckDBPyConnection, answers: dict[str, list[tuple[str, str, str]]], source_id: str
) -> dict[Shape, ToldOfShape]:
    """Return what was told of tables in other sources, by their headings.

    Kind and fields only; where two sources were told differently, nothing.
    """
    told = {other: told_by(said) for other, said in answers.items() if other != source_id}
    telling = {other for other, said in told.items() if said.kinds or said.fields}
    if not telling:
        return {}
    found: dict[Shape, list[ToldOfShape]] = defaultdict(list)
    for table in _tables(con, telling):
        said = told[table.source_id]
        kind = said.kinds.get(table.sheet, said.kinds.get(""))
        fields = {heading: field for (place, heading), field in said.fields.items()
                  if place in {table.sheet, ""} and heading_in(heading) in table.shape
                  }  # fmt: skip
        if kind or fields:
            found[table.shape].append(ToldOfShape(table.name, kind, fields))
    return {shape: one for shape, several in found.items() if (one := _agreed(several)) is not None}


def _agreed(several: Iterable[ToldOfShape]) -> ToldOfShape | None:
    """Return what several sources were told of one shape, or None where they contradict."""
    kinds: set[str] = set()
    fields: dict[str, str] = {}
    names: list[str] = []
    for one in several:
        if any(fields.get(heading, field) != field for heading, field in one.fields.items()):
            return None
        kinds |= {one.kind} if one.kind else set()
        fields |= one.fields
        names.append(one.source)
    if len(kinds) > 1:
        return None
    return ToldOfShape(", ".join(sorted(set(names))), next(iter(kinds), None), fields)


def _tables(con: DuckDBPyConnection, only: Iterable[str] | None = None) -> Iterator[_Table]:
    """Yield the tables of all sources, or some, in their newest version that have headings."""
    wanted = None if only is None else sorted(only)
    grouped: dict[tuple[str, str, str | None, int], list[_Column]] = defaultdict(list)
    for source_id, name, sheet, number, *rest in con.execute(_LAYOUTS, [wanted]).fetchall():
        grouped[source_id, name, sheet, number].append(tuple(rest))
    for (source_id, name, sheet, _), columns in grouped.items():
        headings = {column: heading for _, column, heading, _, _ in columns}
        shape = shape_of(list(headings.values()))
        if len(shape) > 1:
            names = column_names(headings)
            fields = {column_key(names[column]): field or ""
                      for _, column, heading, field, _ in columns if heading}  # fmt: skip
            yield _Table(
                source_id, name, sheet or name.rpartition("/")[2], shape, columns[0][0],
                fields, any("as told for" in (reason or "") for *_, reason in columns),
            )  # fmt: skip

"""All rows of a club that name a person, and what they say without."""
# ruff: noqa: S608 - tables are this package's own; all else is handed over as a value

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.store.frames import fetch, first_row, shaped, stage
from partmuster_schemas.columns import described, polars_schema
from partmuster_schemas.ddl import table_models
from partmuster_schemas.said import MODELS

from .person import rough_pattern
from .rows import KEYS, OF_RAW_LINES, Row, other_row, said_row

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from .person import Person

#: Tables that name nobody, and may be long.
_NAME_NOBODY = frozenset({"line_origin", "effectivity", "part", "assembly"})
#: Tables that may be long: only rows that look like it are taken out and read.
_LONG = frozenset({*OF_RAW_LINES, "item_key", "identification"})

#: A version of a source.
Version = tuple[str, int]


@dataclass(slots=True)
class Changes:
    """``rows``: by table, the rows that change, with their ``rowid`` as ``r``, as they will be.

    ``lines`` and ``raw_lines``: how many lose their words, by version of the source in which they
    began; ``renamed``: in how many other rows a name is replaced; ``versions``: all concerned.
    """

    rows: dict[str, pl.DataFrame] = field(default_factory=dict)
    lines: Counter[Version] = field(default_factory=Counter)
    raw_lines: Counter[Version] = field(default_factory=Counter)
    renamed: int = 0
    versions: set[Version] = field(default_factory=set)


def changes_for(con: DuckDBPyConnection, schema: str, person: Person, notice: str) -> Changes:
    """Return what changes in the tables of ``schema`` when a person is forgotten.

    Leaves the temporary table ``own_raw`` (source_id, source_version, raw_number).
    """
    changes = Changes()
    own: list[dict[str, Any]] = []
    for kind in MODELS:
        table = f"said_{kind}"
        changed = []
        for row in _candidates(con, schema, table, person):
            at = row.pop("r")
            new, is_own = said_row(row, person, notice)
            if is_own:
                own.append({"line_id": row["line_id"], "revision": row["revision"]})
            if new != row:
                changed.append({"r": at, **new})
                _count(changes.lines, changes, row, new)
        _keep(changes, table, changed)
    _find_own_raw(con, schema, own)
    for table in table_models():
        if table.startswith("said_") or table in _NAME_NOBODY:
            continue
        changed = []
        for row in _candidates(con, schema, table, person):
            at, is_own = row.pop("r"), row.pop("own", False)
            new = other_row(table, row, person, notice, own=is_own)
            if new != row:
                changed.append({"r": at, **new})
                _count(changes.raw_lines, changes, row, new)
        _keep(changes, table, changed)
    return changes


def rows_with_word_alone(con: DuckDBPyConnection, schema: str, word: str, changes: Changes) -> int:
    """Return how many raw lines that stay as they are hold a word of the name."""
    changed = changes.rows.get("raw_line", pl.DataFrame(schema={"r": pl.Int64}))
    stage(con, "changed_raw", changed.select("r"))
    row = first_row(
        con,
        f"SELECT count(*) FROM {schema}.raw_line "
        "WHERE regexp_matches(strip_accents(words), ?) "
        "AND rowid NOT IN (SELECT r FROM changed_raw)",
        [rf"(?i)(^|[^\pL]){word}($|[^\pL])"],
    )
    return int(row[0]) if row else 0


def _candidates(
    con: DuckDBPyConnection, schema: str, table: str, person: Person
) -> list[dict[str, Any]]:
    """Return the rows that may name the person, in their order, each with its ``rowid`` as r."""
    columns = described(table_models()[table])
    texts = ", ".join(
        f'"{name}"' for name, column in columns.items() if column["type"] == "VARCHAR"
    )
    named = f"regexp_matches(strip_accents(concat_ws(chr(31), {texts})), $1)"
    values: list[Any] = [rough_pattern(person)]
    own = ""
    if table in OF_RAW_LINES:
        own = ("(source_id, source_version, raw_number) IN (SELECT (source_id, source_version, "
               "raw_number) FROM own_raw)")  # fmt: skip
        where = f"{named} OR {own}"
    elif table == "identification":
        where = f"{named} OR list_contains($2, key) OR list_contains($2, replace(target, '-', ' '))"
        values.append([*person.keys, *person.places, *person.also])
    elif table.startswith("said_"):
        keys = [name for name in (*KEYS, "said_by") if name in columns]
        where = " OR ".join([named, *(f"list_contains($2, lower(trim({name})))" for name in keys)])
        values.append([*person.keys, *person.places, *person.also])
    elif table in _LONG:
        where = named
    else:
        where, values = "true", []
    return fetch(
        con,
        f"SELECT rowid AS r, *{f', {own} AS own' if own else ''} FROM {schema}.{table} "
        f"WHERE {where} ORDER BY r",
        values,
    ).to_dicts()


def _find_own_raw(con: DuckDBPyConnection, schema: str, own: list[dict[str, Any]]) -> None:
    """Find the raw lines that say the person's lines: of each revision, until the next."""
    stage(con, "own_line", pl.DataFrame(own, schema={"line_id": pl.String, "revision": pl.Int32}))
    revisions = " UNION ALL ".join(
        f"SELECT line_id, revision, source_version FROM {schema}.said_{kind} "
        "SEMI JOIN own_line USING (line_id)"
        for kind in MODELS
    )
    con.execute(
        f"""
        CREATE OR REPLACE TEMP TABLE own_raw AS
        WITH spans AS (
            SELECT line_id, revision, source_version AS since,
                lead(source_version) OVER (PARTITION BY line_id ORDER BY revision) AS until
            FROM ({revisions})
        )
        SELECT DISTINCT o.source_id, o.source_version, o.raw_number
        FROM spans s SEMI JOIN own_line USING (line_id, revision)
        JOIN {schema}.line_origin o ON o.line_id = s.line_id AND o.source_version >= s.since
            AND (s.until IS NULL OR o.source_version < s.until)
        """
    )


def _count(counter: Counter[Version], changes: Changes, row: Row, new: Row) -> None:
    version = (row.get("source_id"), row.get("source_version"))
    if "words" in row and new["words"] != row["words"]:
        counter[version] += 1  # type: ignore[index]  # such a row has a version
    else:
        changes.renamed += 1
    if None not in version:
        changes.versions.add(version)  # type: ignore[arg-type]


def _keep(changes: Changes, table: str, changed: list[Row]) -> None:
    if changed:
        schema = {"r": pl.Int64, **polars_schema(table_models()[table])}
        frame = pl.DataFrame(changed, schema_overrides={"r": pl.Int64}, infer_schema_length=None)
        changes.rows[table] = shaped(frame, schema)

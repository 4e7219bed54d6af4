"""Sources and their versions: what is known of a file before it is loaded."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.columns import described
from partmuster_schemas.said import MODELS

from .frames import fetch, first_row, stage

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from .put_aside import LinesOfKind

_ID_LENGTH = 12


@dataclass(frozen=True, slots=True)
class KnownVersion:
    """One version of a source; ``newest`` where no later one was loaded.

    ``partial``: it looked so, and what it leaves out was not ended.
    """

    source_id: str
    version: int
    name: str
    content_hash: str
    importer: str
    importer_version: str
    newest: bool
    partial: bool = False


_VERSIONS = """
    SELECT v.source_id, v.version, v.name, v.content_hash, v.importer, v.importer_version,
        v.version = n.version AS newest, v.partial
    FROM source_version v JOIN newest_version n USING (source_id)
"""


def find_version_by_hash(con: DuckDBPyConnection, content_hash: str) -> KnownVersion | None:
    """Return the version with this content, under any name; a newest one before an older one."""
    row = first_row(
        con,
        f"{_VERSIONS} WHERE v.content_hash = ? ORDER BY newest DESC, v.source_id, v.version DESC",
        [content_hash],
    )
    return KnownVersion(*row) if row else None


def current_version(con: DuckDBPyConnection, name: str) -> KnownVersion | None:
    """Return the newest version of the source that a name or source id stands for.

    A name of the newest version counts before one a source had earlier.
    """
    row = first_row(
        con,
        f"""
        WITH named AS (
            SELECT source_id, max(version) AS version FROM source_version
            WHERE name = ? OR source_id = ?
            GROUP BY source_id
        )
        SELECT k.* FROM ({_VERSIONS}) k JOIN named m USING (source_id)
        WHERE k.newest
        ORDER BY k.version = m.version DESC, k.source_id
        """,  # noqa: S608  (no outside text)
        [name, name],
    )
    return KnownVersion(*row) if row else None


def new_source_id(con: DuckDBPyConnection, name: str, also_taken: frozenset[str] = frozenset(),
                  ) -> str:  # fmt: skip
    """Return a permanent id for a source first imported under ``name``: 12 hex digits.

    It depends on the name alone unless that id is taken.
    """
    taken = {row[0] for row in con.execute("SELECT source_id FROM source").fetchall()}
    number = 0
    while True:
        text = name if number == 0 else f"{name}\n{number}"
        found = hashlib.sha256(text.encode()).hexdigest()[:_ID_LENGTH]
        if found not in taken and found not in also_taken:
            return found
        number += 1


def shares_with_sources(con: DuckDBPyConnection, words: pl.DataFrame) -> pl.DataFrame:
    """Return which sources say the same lines as new files, most alike first.

    ``words``: the distinct words of each file's lines, columns ``file`` (a number) and ``words``.
    Returns file, source_id, name, equal (how many distinct words the source says too).
    """
    stage(con, "new_words", words.select("file", "words"))
    return fetch(
        con,
        """
        WITH said AS (
            SELECT DISTINCT r.source_id, r.words
            FROM raw_line r JOIN newest_version n
                ON n.source_id = r.source_id AND n.version = r.source_version
            WHERE r.outcome <> 'not-data' AND r.words IN (SELECT words FROM new_words)
        ), alike AS (
            SELECT w.file, s.source_id, count(*) AS equal
            FROM said s JOIN new_words w USING (words)
            GROUP BY w.file, s.source_id
        )
        SELECT a.file, a.source_id, v.name, a.equal
        FROM alike a
        JOIN newest_version n USING (source_id)
        JOIN source_version v ON v.source_id = a.source_id AND v.version = n.version
        ORDER BY a.file, a.equal DESC, a.source_id
        """,
    )


def source_names(con: DuckDBPyConnection) -> list[tuple[str, str]]:
    """Return id and name of every source, as its newest version is called."""
    return con.execute(
        "SELECT n.source_id, v.name FROM newest_version n JOIN source_version v "
        "ON v.source_id = n.source_id AND v.version = n.version ORDER BY ALL"
    ).fetchall()


def vehicles_of_source(con: DuckDBPyConnection, source_id: str) -> frozenset[str]:
    """Return the vehicles, folded, of which a source's surveys are now."""
    rows = con.execute(
        "SELECT DISTINCT vehicle_key FROM said_survey WHERE source_id = ? "
        "AND recorded_to IS NULL AND vehicle_key IS NOT NULL", [source_id],
    ).fetchall()  # fmt: skip
    return frozenset(key for (key,) in rows)


def words_of_source(con: DuckDBPyConnection, source_id: str) -> pl.DataFrame:
    """Return the distinct words of a source's lines in its newest version: column ``words``."""
    return fetch(
        con,
        "SELECT DISTINCT r.words FROM raw_line r JOIN newest_version n "
        "ON n.source_id = r.source_id AND n.version = r.source_version "
        "WHERE r.source_id = ? AND r.outcome <> 'not-data' AND r.words IS NOT NULL",
        [source_id],
    )


def omitted_lines(
    con: DuckDBPyConnection, source_id: str, lines: Mapping[str, LinesOfKind]
) -> tuple[int, int]:
    """Return how many current lines a new version omits, and how many current lines there are.

    ``lines``: its frames by kind, each with ``line_base``.
    """
    bases = [frame.select("line_base") for frame in lines.values()]
    stage(con, "new_bases", pl.concat(bases) if bases else pl.DataFrame(schema={"line_base": str}))
    row = first_row(
        con,
        """
        WITH standing AS (
            SELECT split_part(line_id, '.', 1) AS line_base, count(*) AS had
            FROM line_subject WHERE source_id = ? GROUP BY 1
        ), fresh AS (SELECT line_base, count(*) AS has FROM new_bases GROUP BY 1)
        SELECT coalesce(sum(greatest(had - coalesce(has, 0), 0)), 0), coalesce(sum(had), 0)
        FROM standing LEFT JOIN fresh USING (line_base)
        """,
        [source_id],
    )
    assert row is not None  # an aggregate always gives a row
    return int(row[0]), int(row[1])


def standing_lines(con: DuckDBPyConnection, source_id: str, columns: Sequence[str]) -> pl.DataFrame:
    """Return the current lines of a source: line_base, sheet, raw_number, and ``columns`` (texts).

    ``sheet`` and ``raw_number`` are of the newest version that says the line; a column that a
    kind of line does not have is empty.
    """
    kinds = " UNION ALL ".join(_with_columns(kind, columns) for kind in MODELS)
    return fetch(
        con,
        f"""
        SELECT split_part(s.line_id, '.', 1) AS line_base, r.sheet, r.raw_number,
            s.* EXCLUDE (line_id)
        FROM ({kinds}) s
        LEFT JOIN (
            SELECT line_id, max(source_version) AS source_version,
                arg_max(raw_number, source_version) AS raw_number
            FROM line_origin WHERE source_id = $1 GROUP BY line_id
        ) o USING (line_id)
        LEFT JOIN raw_line r ON r.source_id = $1 AND r.source_version = o.source_version
            AND r.raw_number = o.raw_number
        """,  # noqa: S608  (no outside text)
        [source_id],
    )


def _with_columns(kind: str, columns: Sequence[str]) -> str:
    has = described(MODELS[kind])
    listed = ", ".join(
        name if name in has else f"CAST(NULL AS VARCHAR) AS {name}" for name in columns
    )
    return f"SELECT line_id, {listed} FROM {kind} WHERE source_id = $1"  # noqa: S608  (no outside text)

"""The club in open formats: every table as Parquet and CSV, and the sheets it was made from.

Parquet keeps types exactly. CSV is for spreadsheet programs: UTF-8 with a mark for it, commas,
an empty cell for nothing and ``""`` for an empty text; text that a spreadsheet program could take
for a formula has an apostrophe before it (``spreadsheet_safe``), which a rebuild takes off again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.model import PartmusterError
from partmuster.spreadsheet_safe import formulas_as_text
from partmuster.store.archive import hash_file
from partmuster.store.copying import sql_path
from partmuster_schemas.columns import AUDIENCES, described
from partmuster_schemas.ddl import table_models

from .manifest import EXPORT, MANIFEST, about_club, manifest_text
from .whole import SOURCES, VOCABULARY, copy_hashed, files_in, no_progress, whole_folder

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.store.club import Club
    from partmuster_schemas.columns import Audience

MOMENT = "%Y-%m-%d %H:%M:%S%.6f"
_README = """\
The records of {club}, as they were on {made}, for: {audience}.

parquet/   every table, with exact types
csv/       the same tables for a spreadsheet program: UTF-8, commas. Nothing is an empty cell. A
           text that could be taken for a formula has an apostrophe before it, as one would type
           it; it does not belong to the text.
{more}manifest.json  what is there: rows, columns, SHA-256 of each file, the version of the schema

{rebuild}
Tables said_* are what sources say, one row a revision; line_origin and raw_line tell where it
stands; identification is what descriptions and names are taken to mean; decision is what people
decided. A row counts from recorded_from to recorded_to, and was said from said_on to said_until.
"""
_MORE = """\
sources/   the sheets themselves, each under the SHA-256 of its content
vocabulary/ the club's own parts and words
"""
_REBUILD = """\
A club can be made from this folder: partmuster --club NEW rebuild THIS-FOLDER. It gives the same
answers for any day. Where parquet/ is gone, csv/ will do. Changed files are refused by name.
This is the registrar's copy: it holds names, addresses and places. Pass on only what
'partmuster export --audience members' (or circulated) writes.
"""
_NO_REBUILD = """\
This copy leaves out the columns that are not for {audience}; a club cannot be made from it.
"""


@dataclass(slots=True)
class ExportReport:
    """What was written: rows by table, how many sheets, and those that the archive has no more."""

    rows: dict[str, int] = field(default_factory=dict)
    sheets: int = 0
    missing: list[str] = field(default_factory=list)


def export_club(
    club: Club,
    folder: Path,
    *,
    audience: Audience = "registrar",
    with_archive: bool | None = None,
    progress: Callable[[str, int, int], None] = no_progress,
) -> ExportReport:
    """Write a club into a new folder, all of it or nothing.

    ``with_archive``: also the sheets; by default for the registrar. Copies for others have only
    the columns classed for them, no sheets and no vocabulary files.

    Raises:
        PartmusterError: the folder holds something, the archive is wanted for others than the
            registrar; or a disk fails (in plain words).
    """
    whole = audience == "registrar"
    if with_archive and not whole:
        raise PartmusterError(
            "the sheets themselves are the registrar's: they hold what is not for others. Leave "
            "out --with-archive, or export for the registrar."
        )
    report = ExportReport()
    with whole_folder(folder) as made:
        with club.reading() as con:
            manifest = about_club(con, EXPORT) | {"audience": audience, "tables": {}}
            _write_tables(con, made, audience, manifest, report, progress)
            hashes = _archived(con) if whole and with_archive is not False else []
        _copy_sheets(club, made, hashes, report, progress)
        if whole:
            for file in files_in(club.vocabulary):
                with file.open("rb") as stream:
                    copy_hashed(stream, made / VOCABULARY / file.relative_to(club.vocabulary))
        manifest["files"] = {
            file.relative_to(made).as_posix(): {
                "sha256": hash_file(file),
                "size": file.stat().st_size,
            }
            for file in files_in(made)
        }
        (made / "README.txt").write_text(_readme(manifest), encoding="utf-8")
        (made / MANIFEST).write_text(manifest_text(manifest), encoding="utf-8")
    return report


def columns_for(table: str, audience: Audience) -> dict[str, dict[str, Any]]:
    """Return the columns of a table that an audience may see, as ``described`` does."""
    rank = AUDIENCES.index(audience)
    return {
        name: column
        for name, column in described(table_models()[table]).items()
        if AUDIENCES.index(column["audience"]) >= rank
    }


def _write_tables(
    con: DuckDBPyConnection,
    made: Path,
    audience: Audience,
    manifest: dict[str, Any],
    report: ExportReport,
    progress: Callable[[str, int, int], None],
) -> None:
    """Write each table that has a column for the audience; what is read of it stays on disk."""
    (made / "parquet").mkdir()
    (made / "csv").mkdir()
    tables = [table for table in table_models() if columns_for(table, audience)]
    for number, table in enumerate(tables):
        progress(table, number, len(tables))
        columns = columns_for(table, audience)
        listed = ", ".join(f'"{name}"' for name in columns)
        parquet = made / "parquet" / f"{table}.parquet"
        con.execute(
            f"COPY (SELECT {listed} FROM main.{table}) TO '{sql_path(parquet)}' "  # noqa: S608  (own names)
            "(FORMAT parquet, COMPRESSION zstd)"
        )
        # Read back from the file, so that no table has to fit into memory.
        written = pl.scan_parquet(parquet)
        written.with_columns(formulas_as_text(pl.col(pl.String))).sink_csv(
            made / "csv" / f"{table}.csv", include_bom=True, datetime_format=MOMENT
        )
        report.rows[table] = written.select(pl.len()).collect().item()
        manifest["tables"][table] = {
            "rows": report.rows[table],
            "columns": {name: column["type"] for name, column in columns.items()},
        }


def _archived(con: DuckDBPyConnection) -> list[str]:
    rows = con.execute("SELECT DISTINCT content_hash FROM source_version ORDER BY 1").fetchall()
    return [content_hash for (content_hash,) in rows]


def _copy_sheets(
    club: Club,
    made: Path,
    hashes: list[str],
    report: ExportReport,
    progress: Callable[[str, int, int], None],
) -> None:
    """Copy the archived sheets; one that is damaged is named, not passed on."""
    for number, content_hash in enumerate(hashes):
        progress("sheets", number, len(hashes))
        place = made / SOURCES / content_hash[:2] / content_hash
        file = club.archive.path_of(content_hash)
        copied = None
        if file.is_file():
            with file.open("rb") as stream:
                copied, _size = copy_hashed(stream, place)
        if copied == content_hash:
            report.sheets += 1
        else:
            place.unlink(missing_ok=True)
            report.missing.append(content_hash)


def _readme(manifest: dict[str, Any]) -> str:
    whole = manifest["audience"] == "registrar"
    return _README.format(
        club=manifest["club_name"] or "the club",
        made=manifest["made"][:10],
        audience=manifest["audience"],
        more=_MORE if whole else "",
        rebuild=_REBUILD if whole else _NO_REBUILD.format(audience=manifest["audience"]),
    )

"""A club made anew from its export, with all ids, revisions, dates and decisions."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.model import PartmusterError
from partmuster.spreadsheet_safe import words_of_text
from partmuster.store.archive import hash_file
from partmuster.store.copying import fresh_database, insert_rows, sql_path
from partmuster.store.migrations import current_version
from partmuster_schemas.columns import described, polars_schema
from partmuster_schemas.ddl import table_models

from .export import MOMENT
from .manifest import EXPORT, MANIFEST, read_manifest
from .whole import (
    DATABASE,
    SOURCES,
    VOCABULARY,
    copy_hashed,
    no_progress,
    refuse_what_is_there,
    whole_folder,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from duckdb import DuckDBPyConnection

#: Types that the reader of CSV reads itself; the others are read as text first.
_READ_DIRECTLY = (pl.Boolean, pl.Int32, pl.Int64, pl.Float64)


def rebuild_club(
    export: Path,
    folder: Path,
    *,
    progress: Callable[[str, int, int], None] = no_progress,
) -> dict[str, int]:
    """Make a club in a new folder from an export; return the rows by table.

    Parquet is read; where the folder ``parquet`` is gone, CSV. All or nothing.

    Raises:
        PartmusterError: the folder holds something; or the export is not whole: a file is
            missing or was changed, it is of another schema or not the registrar's. Names the file.
    """
    refuse_what_is_there(folder)
    manifest = _manifest(export)
    form = "parquet" if (export / "parquet").is_dir() else "csv"
    files = _checked(export, manifest, form, progress)
    with whole_folder(folder) as made:
        for name in (SOURCES, VOCABULARY):
            (made / name).mkdir()
        for name in files:
            if name.startswith((f"{SOURCES}/", f"{VOCABULARY}/")):
                with (export / name).open("rb") as stream:
                    copy_hashed(stream, made / name)
        with (
            tempfile.TemporaryDirectory(prefix="partmuster-rebuild-") as scratch,
            fresh_database(made / DATABASE) as con,
        ):
            for number, table in enumerate(table_models()):
                progress(table, number, len(table_models()))
                file = export / form / f"{table}.{form}"
                parquet = file if form == "parquet" else _from_csv(file, table, Path(scratch))
                _insert(con, table, parquet, manifest, f"{form}/{file.name}")
    return {table: entry["rows"] for table, entry in manifest["tables"].items()}


def _manifest(export: Path) -> dict[str, Any]:
    """Return the manifest of an export that a club can be made from.

    Raises:
        PartmusterError: there is none.
    """
    file = export / MANIFEST
    try:
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise PartmusterError(
            f"{export} is no export of a club: the file {MANIFEST} is missing or cannot be read."
        ) from error
    manifest = read_manifest(text, EXPORT, export)
    if manifest.get("schema_version") != current_version():
        raise PartmusterError(
            f"{export}: {MANIFEST} says that the records are of version "
            f"{manifest.get('schema_version')}; this program reads version {current_version()}. "
            "Rebuild with the version of partmuster that wrote them."
        )
    if manifest.get("audience") != "registrar":
        raise PartmusterError(
            f"{export} was written for {manifest.get('audience')}: it leaves out what is not for "
            "them, so no club can be made from it. Use the registrar's export."
        )
    for table, model in table_models().items():
        columns = {name: column["type"] for name, column in described(model).items()}
        listed = manifest["tables"].get(table)
        if not isinstance(listed, dict) or listed.get("columns") != columns:
            raise PartmusterError(
                f"{export}: the columns of the table {table}, as {MANIFEST} lists them, are not "
                "those that this program knows. Rebuild with the version that wrote them."
            )
    return manifest


def _checked(
    export: Path,
    manifest: dict[str, Any],
    form: str,
    progress: Callable[[str, int, int], None],
) -> list[str]:
    """Return the names of the files that are used, all there and unchanged.

    Raises:
        PartmusterError: one is missing or changed; names it.
    """
    needed = {f"{form}/{table}.{form}" for table in table_models()}
    # What is not read must be as it was, too: an edit there would be passed over in silence.
    listed = [name for name in manifest["files"]
              if name in needed or name.startswith((f"{SOURCES}/", f"{VOCABULARY}/"))
              or (export / name).is_file()]  # fmt: skip
    if unlisted := needed - set(listed):
        raise PartmusterError(f"{export}: {MANIFEST} does not list {min(unlisted)}.")
    for number, name in enumerate(listed):
        progress(name, number, len(listed))
        file = export / name
        if file.is_symlink() or not file.is_file():
            raise PartmusterError(f"{export}: the file {name} is missing. Nothing was made.")
        if hash_file(file) != manifest["files"][name]["sha256"]:
            raise PartmusterError(
                f"{export}: the file {name} was changed after it was written, or is damaged. "
                "Nothing was made; use the export as it was written."
            )
    return listed


def _from_csv(file: Path, table: str, scratch: Path) -> Path:
    """Turn a table's CSV back into Parquet, row group by row group."""
    types = polars_schema(table_models()[table])
    read_as = {
        name: dtype if dtype in _READ_DIRECTLY else pl.String for name, dtype in types.items()
    }
    made = scratch / f"{table}.parquet"
    pl.scan_csv(file, schema=read_as).select(
        _typed(name, dtype) for name, dtype in types.items()
    ).sink_parquet(made)
    return made


def _typed(name: str, dtype: Any) -> pl.Expr:
    """Return a column as its type; texts without the apostrophes that made them safe."""
    column = pl.col(name)
    if dtype == pl.String:
        return words_of_text(column)
    if dtype == pl.Date:
        return column.str.to_date("%Y-%m-%d")
    if dtype == pl.Datetime:
        return column.str.to_datetime(MOMENT, time_unit="us")
    return column


def _insert(
    con: DuckDBPyConnection, table: str, parquet: Path, manifest: dict[str, Any], name: str
) -> None:
    rows = insert_rows(con, table, f"SELECT * FROM read_parquet('{sql_path(parquet)}')")  # noqa: S608  (a literal)
    own = manifest["tables"][table]["rows"]
    if table != "setting" and rows != own:
        raise PartmusterError(f"{name} has {rows} rows, but {MANIFEST} says {own}.")

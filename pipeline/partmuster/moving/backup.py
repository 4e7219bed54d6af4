"""A whole club in one ZIP file, and back.

The database goes in as a fresh copy of what is committed, taken at one moment, while others read.
Everything is written and read in pieces, so that no file has to fit into memory.
"""

from __future__ import annotations

import hashlib
import re
import zipfile
import zlib
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import duckdb

from partmuster.model import PartmusterError
from partmuster.store.copying import attach, count_rows, fresh_database, insert_rows
from partmuster.store.errors import plain_error, plainly
from partmuster.store.lock import Patience
from partmuster.store.migrations import CONFIG, check_version
from partmuster.store.settings import generation, read_settings
from partmuster_schemas.ddl import table_models

from .manifest import BACKUP, MANIFEST, about_club, manifest_text, read_manifest
from .whole import (
    CHUNK,
    DATABASE,
    SOURCES,
    VOCABULARY,
    copy_hashed,
    files_in,
    is_safe_name,
    no_progress,
    refuse_what_is_there,
    whole_file,
    whole_folder,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.store.club import Club

#: What a backup may hold beside the manifest.
_BELONGS = re.compile(
    rf"{re.escape(DATABASE)}|{SOURCES}/[0-9a-f]{{2}}/[0-9a-f]{{64}}|{VOCABULARY}/.+"
)
#: A manifest of more than this is none.
_MOST_MANIFEST = 64 << 20
#: What reading a damaged ZIP raises; a disk that fails raises OSError.
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError)


@dataclass(slots=True)
class BackupReport:
    """What a backup holds: rows by table, sheets, and those that the archive has no more."""

    rows: dict[str, int] = field(default_factory=dict)
    sheets: int = 0
    missing: list[str] = field(default_factory=list)


def back_up(
    club: Club, file: Path, *, progress: Callable[[str, int, int], None] = no_progress
) -> BackupReport:
    """Write a club into one new file, which is read through once more before it counts.

    ``progress`` is told bytes.

    Raises:
        PartmusterError: there is such a file; the club cannot be read, or the file not written.
    """
    report = BackupReport()
    with whole_file(file) as made:
        database = made.with_name(f"{made.name}.{DATABASE}")
        try:
            manifest, hashes = _copy_database(club, database)
            report.rows = manifest["tables"]
            with plainly(file.parent):
                _write(club, made, database, manifest, hashes, report, progress)
        finally:
            for leftover in (database, database.with_name(f"{database.name}.wal")):
                leftover.unlink(missing_ok=True)
        _read_through(made, file)
    return report


def restore(
    file: Path, folder: Path, *, progress: Callable[[str, int, int], None] = no_progress
) -> dict[str, int]:
    """Make the club in a backup anew in a new folder; return the rows by table.

    All is checked before it counts: names, hashes, that the database opens, its counts and its
    generation. ``progress`` is told bytes.

    Raises:
        PartmusterError: the folder holds something; the file is no backup, not whole or edited
            (names what); or a newer program wrote it.
    """
    refuse_what_is_there(folder)
    with _opened(file) as archive:
        manifest = _manifest(archive, file)
        with whole_folder(folder) as made:
            for name in (SOURCES, VOCABULARY):
                (made / name).mkdir()
            _unpack(archive, manifest, made, file, progress)
            _check_database(made, manifest, file)
    counts: dict[str, int] = manifest["tables"]
    return counts


def _copy_database(club: Club, database: Path) -> tuple[dict[str, Any], list[str]]:
    """Make a fresh database of what is committed; return the manifest and the archive's hashes."""
    with club.reading():
        pass  # an older club is brought to this schema first
    patience = Patience(club.wait, club.tell, club.folder)
    with fresh_database(database) as con:
        attach(con, club.file, "club", club.folder, patience)
        for table in table_models():
            insert_rows(con, table, f"SELECT * FROM club.{table}")  # noqa: S608  (own names)
        manifest = about_club(con, BACKUP) | {"tables": count_rows(con), "files": {}}
        hashes = con.execute("SELECT DISTINCT content_hash FROM source_version ORDER BY 1")
        return manifest, [content_hash for (content_hash,) in hashes.fetchall()]


def _write(
    club: Club,
    made: Path,
    database: Path,
    manifest: dict[str, Any],
    hashes: list[str],
    report: BackupReport,
    progress: Callable[[str, int, int], None],
) -> None:
    kept = [club.archive.path_of(content_hash) for content_hash in hashes]
    sheets = [(f"{SOURCES}/{sheet.name[:2]}/{sheet.name}", sheet) for sheet in kept]
    report.missing = [sheet.name for sheet in kept if not club.archive.is_kept(sheet.name)]
    words = [(f"{VOCABULARY}/{path.relative_to(club.vocabulary).as_posix()}", path)
             for path in files_in(club.vocabulary)]  # fmt: skip
    goes_in = [(DATABASE, database), *words,
               *(pair for pair in sheets if pair[1].name not in report.missing)]  # fmt: skip
    total = sum(path.stat().st_size for _, path in goes_in)
    done = 0
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, path in goes_in:
            digest, size = hashlib.sha256(), 0
            entry = zipfile.ZipInfo.from_file(path, name, strict_timestamps=False)
            entry.compress_type = zipfile.ZIP_DEFLATED
            with path.open("rb") as source, archive.open(entry, "w", force_zip64=True) as out:
                while chunk := source.read(CHUNK):
                    progress(name, done + size, total)
                    digest.update(chunk)
                    out.write(chunk)
                    size += len(chunk)
            done += size
            progress(name, done, total)
            manifest["files"][name] = {"sha256": digest.hexdigest(), "size": size}
        archive.writestr(MANIFEST, manifest_text(manifest))
    report.sheets = len(sheets) - len(report.missing)


def _read_through(made: Path, file: Path) -> None:
    """Read a written backup once more.

    Raises:
        PartmusterError: the disk does not give back what was written.
    """
    with _opened(made) as archive:
        if archive.testzip() is not None:
            raise PartmusterError(f"the disk of {file} does not give back what is written to it.")


@contextmanager
def _opened(file: Path) -> Iterator[zipfile.ZipFile]:
    """Open a ZIP; faults of reading it are told in plain words.

    Raises:
        PartmusterError: there is no such file, or it is not whole.
    """
    if not file.is_file():
        raise PartmusterError(f"there is no file {file}.")
    try:
        archive = zipfile.ZipFile(file)
    except (*_BROKEN, OSError) as error:
        raise PartmusterError(_not_whole(file)) from error
    with archive:
        yield archive


def _not_whole(file: Path) -> str:
    return (
        f"{file} is not whole, or no backup: its list of contents cannot be read. It may have been "
        "cut off while it was copied; use another copy of it."
    )


def _manifest(archive: zipfile.ZipFile, file: Path) -> dict[str, Any]:
    """Return the manifest of a backup whose names are just those listed.

    Raises:
        PartmusterError: they are not, or one does not belong into a club.
    """
    names = archive.namelist()
    for name in names:
        if name != MANIFEST and not (is_safe_name(name) and _BELONGS.fullmatch(name)):
            raise PartmusterError(f"{file} holds '{name}', which no backup of a club does.")
    if len(names) != len(set(names)):
        raise PartmusterError(f"{file} holds a file twice: it was edited.")
    if MANIFEST not in names or archive.getinfo(MANIFEST).file_size > _MOST_MANIFEST:
        raise PartmusterError(f"{file} is no backup of a club: it has no {MANIFEST}.")
    try:
        text = archive.read(MANIFEST).decode("utf-8")
    except (*_BROKEN, OSError) as error:
        raise PartmusterError(f"{file}: the file {MANIFEST} in it is damaged.") from error
    manifest = read_manifest(text, BACKUP, file)
    listed = {*manifest["files"], MANIFEST}
    for name in sorted({DATABASE, *listed} - set(names)):
        raise PartmusterError(f"{file} lacks {name}: it was edited, or cut off.")
    for name in sorted(set(names) - listed):
        raise PartmusterError(f"{file} holds '{name}', which is not in its list: it was edited.")
    if DATABASE not in listed:
        raise PartmusterError(f"{file} lacks {DATABASE} in its list: it was edited.")
    return manifest


def _unpack(
    archive: zipfile.ZipFile,
    manifest: dict[str, Any],
    made: Path,
    file: Path,
    progress: Callable[[str, int, int], None],
) -> None:
    """Unpack what is listed, no byte more than listed.

    Raises:
        PartmusterError: a file is not what the list says.
    """
    total = sum(int(entry["size"]) for entry in manifest["files"].values())
    done = 0
    for name, entry in manifest["files"].items():
        progress(name, done, total)
        try:
            with archive.open(name) as source:
                found, size = copy_hashed(source, made / name, int(entry["size"]))
        except _BROKEN as error:
            raise PartmusterError(_damaged(file, name)) from error
        except OSError as error:
            plain = plain_error(
                error, made.parent
            )  # no room, no rights; else a place beyond the end
            raise plain or PartmusterError(_damaged(file, name)) from error
        if found != entry["sha256"]:
            raise PartmusterError(_damaged(file, name))
        done += size
    progress("", total, total)


def _damaged(file: Path, name: str) -> str:
    return f"{file}: {name} in it is damaged or was edited. Nothing was made; use another backup."


def _check_database(made: Path, manifest: dict[str, Any], file: Path) -> None:
    """Open the database that was unpacked and compare it with the manifest.

    Raises:
        PartmusterError: it does not open, a newer program wrote it, or it does not agree.
    """
    try:
        with duckdb.connect(str(made / DATABASE), read_only=True, config=CONFIG) as con:
            check_version(read_settings(con), file)
            number, counts = generation(con), _counts(con, manifest["tables"])
    except duckdb.Error as error:
        raise PartmusterError(_damaged(file, DATABASE)) from error
    if number != manifest["generation"]:
        raise PartmusterError(
            f"{file}: the database in it is of generation {number}, its list says "
            f"{manifest['generation']}. It was edited; use another backup."
        )
    for table, rows in manifest["tables"].items():
        if counts.get(table) != rows:
            raise PartmusterError(
                f"{file}: the table {table} in it has {counts.get(table)} rows, its list says "
                f"{rows}. It was edited; use another backup."
            )


def _counts(con: DuckDBPyConnection, listed: dict[str, int]) -> dict[str, int]:
    """Return the rows of the listed tables that are there."""
    found = con.execute("SELECT table_name FROM duckdb_tables() WHERE NOT internal").fetchall()
    there = {name for (name,) in found}
    return count_rows(con, [name for name in listed if name in there])

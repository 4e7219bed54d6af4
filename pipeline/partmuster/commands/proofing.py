"""Pages beside what was read from them, in one file to be looked at."""

from __future__ import annotations

from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

import click

from partmuster.answers.proof import lines_read
from partmuster.host import source_file
from partmuster.model import PartmusterError
from partmuster.store.club import Club
from partmuster.store.disk import swap_in
from partmuster.store.frames import first_row
from partmuster.store.settings import read_settings

from .club import say
from .proof_page import MARK, About, closing, opening, page_section
from .sources import known_source

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import TextIO

    from duckdb import DuckDBPyConnection

    from partmuster.answers.proof import ReadLine
    from partmuster.host import Host
    from partmuster.model import PageDrawing, SourceFile
    from partmuster.store.sources import KnownVersion

#: The mark of a proof stands so near its beginning.
_BEGINNING = 1000


def write_proof(folder: Path, host: Host, source: str, out: Path | None) -> int:
    """Write each page of a source beside the lines read from it; return the exit code.

    A page that cannot be shown is named, and its lines stand alone.

    Raises:
        PartmusterError: there is no such source, it has no pages, or the file is another's.
    """
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        version = known_source(con, source)
        lines = lines_read(con, version)
        about = _about(con, version)
    pages = sorted({one.page for one in lines if one.page is not None})
    if not pages:
        raise PartmusterError(
            f"{version.name} has no pages: 'partmuster layout {version.name}' shows its sheets"
        )
    file = out or Path(f"{PurePosixPath(version.name).stem}-proof.html")
    if file.exists() and not _is_proof(file):
        raise PartmusterError(f"there is already a file {file}, and it is no proof. Name another")
    archived = None
    if club.archive.is_kept(version.content_hash):
        archived = source_file(club.archive.path_of(version.content_hash), version.name)
    made = file.with_name(f".{file.name}.making")
    try:
        with made.open("w", encoding="utf-8") as stream:
            missing = _write(stream, host, version, about, lines, pages, archived)
        swap_in(made, file)
    except OSError as error:
        raise PartmusterError(f"{file} cannot be written ({error.strerror})") from error
    finally:
        made.unlink(missing_ok=True)
    for reason in missing:
        say(reason)
    for _, failure in host.failures:
        say(failure)
    count = f"{len(pages)} page{'' if len(pages) == 1 else 's'}"
    click.echo(f"{file}: {count}, {len(lines)} lines. Open it in a browser; it is the registrar's.")
    return int(bool(missing or host.failures))


def _write(
    stream: TextIO,
    host: Host,
    version: KnownVersion,
    about: About,
    lines: Sequence[ReadLine],
    pages: Sequence[int],
    archived: SourceFile | None,
) -> list[str]:
    """Write a proof, page after page; return why pages are not shown."""
    loose = [one for one in lines if one.page is None]
    stream.write(opening(about, lines, [*pages, *([None] if loose else [])]))
    missing: dict[str, None] = {}
    for page in pages:
        drawing: PageDrawing | str = "the file is no longer in the club's archive"
        if archived is not None:
            drawing = host.draw(version.importer, archived, page)
        if isinstance(drawing, str):
            where = version.name if archived is None else f"{version.name}, page {page}"
            missing[f"{where}: {drawing}"] = None
        own = [one for one in lines if one.page == page]
        stream.write(page_section(about, page, own, drawing))
    if loose:
        stream.write(page_section(about, None, loose, "these lines stand on no page"))
    stream.write(closing(about))
    return list(missing)


def _about(con: DuckDBPyConnection, version: KnownVersion) -> About:
    row = first_row(
        con, "SELECT recorded_from FROM source_version WHERE source_id = ? AND version = ?",
        [version.source_id, version.version],
    )  # fmt: skip
    return About(
        name=version.name, club=read_settings(con).get("club-name") or "",
        version=version.version, imported=f"{row[0]:%Y-%m-%d}" if row else "",
        importer=f"{version.importer} {version.importer_version}",
        trace=f"{version.source_id}.{version.version}",
    )  # fmt: skip


def _is_proof(file: Path) -> bool:
    """Tell whether a file was written by this command."""
    try:
        with file.open("rb") as stream:
            return MARK.encode() in stream.read(_BEGINNING)
    except OSError:
        return False

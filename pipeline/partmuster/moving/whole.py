"""Folders and files that come into being whole or not at all, with hashes that tell."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError
from partmuster.store.disk import swap_in, sync_file, sync_folder
from partmuster.store.errors import plainly

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import IO

CHUNK = 1 << 20
_MAKING = ".partmuster-making-"
#: What a club's folder has, and what may so go into a copy of it.
DATABASE, SOURCES, VOCABULARY = "club.duckdb", "sources", "vocabulary"
_RESERVED = set('\\:*?"<>|\0')


def no_progress(_name: str, _done: int, _of: int) -> None:
    """Stand in where nobody watches: a file's or table's name, how many are done, of how many."""


@contextmanager
def whole_folder(target: Path) -> Iterator[Path]:
    """Give an empty folder to fill; it becomes ``target`` at the end, and is gone if that fails.

    ``target`` must not be there, or be empty.

    Raises:
        PartmusterError: it holds something; or it cannot be written (in plain words).
    """
    refuse_what_is_there(target)
    with plainly(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        made = Path(tempfile.mkdtemp(prefix=_MAKING, dir=target.parent))
    try:
        with plainly(target):
            yield made
            made.chmod(0o755)
            for file in made.rglob("*"):
                if file.is_file():
                    sync_file(file)
            _move_in(made, target)
            sync_folder(target.parent)
    finally:
        shutil.rmtree(made, ignore_errors=True)


def refuse_what_is_there(target: Path) -> None:
    """Refuse a folder that holds something.

    Raises:
        PartmusterError: it does, or it is a file.
    """
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise PartmusterError(
            f"{target} is there already and not empty. Name a new folder, or an empty one."
        )


def _move_in(made: Path, target: Path) -> None:
    """Rename the folder; into an empty one move what is in it, the database last."""
    if not target.exists():
        made.rename(target)
        return
    for entry in sorted(made.iterdir(), key=lambda entry: entry.name == DATABASE):
        entry.rename(target / entry.name)


@contextmanager
def whole_file(target: Path) -> Iterator[Path]:
    """Give a path to write to; the file becomes ``target`` at the end, or is gone.

    Raises:
        PartmusterError: there is such a file already; or it cannot be written (in plain words).
    """
    if target.exists():
        raise PartmusterError(f"{target} is there already: name a new file.")
    made = target.with_name(f"{_MAKING}{target.name}")
    try:
        with plainly(target.parent):
            target.parent.mkdir(parents=True, exist_ok=True)
            yield made
            swap_in(made, target)
    finally:
        made.unlink(missing_ok=True)


def is_safe_name(name: str) -> bool:
    """Tell whether a name in a list or a ZIP stays inside the folder that it is put into."""
    path = PurePosixPath(name)
    return (
        bool(name)
        and not path.is_absolute()
        and path.as_posix() == name
        and ".." not in path.parts
        and not _RESERVED & set(name)
    )


def copy_hashed(source: IO[bytes], place: Path, most: int | None = None) -> tuple[str, int]:
    """Write what a stream holds to a file; return its SHA-256 and size.

    Raises:
        ValueError: there is more than ``most`` bytes.
    """
    place.parent.mkdir(parents=True, exist_ok=True)
    digest, size = hashlib.sha256(), 0
    with place.open("wb") as out:
        while chunk := source.read(CHUNK):
            size += len(chunk)
            if most is not None and size > most:
                raise ValueError(f"{place.name} is larger than it should be")
            digest.update(chunk)
            out.write(chunk)
    return digest.hexdigest(), size


def files_in(folder: Path) -> list[Path]:
    """Return the plain files below a folder, in order; links are left out."""
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.rglob("*") if path.is_file() and not path.is_symlink())

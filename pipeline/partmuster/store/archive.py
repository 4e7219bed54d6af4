"""The archive of source files: each content is kept once, under its SHA-256.

``sources/ab/abcdef...`` holds the bytes; names and endings are in the database only. A file is
written beside its place, brought to the disk and then moved there, so it is whole or absent.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from .disk import swap_in, sync_folder
from .errors import ClubDamagedError, plainly
from .lock import Patience, held

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

_CHUNK = 1 << 20
_TEMPORARY = "arriving-"
_HASH_LENGTH = 64


def hash_file(path: Path) -> str:
    """Return the SHA-256 of a file's bytes, 64 hex digits."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            digest.update(chunk)
    return digest.hexdigest()


@dataclass(frozen=True, slots=True)
class ArchiveFault:
    """A content that is missing from the archive, or not what its name says."""

    content_hash: str
    fault: str


class Archive:
    """The folder ``sources`` of a club."""

    def __init__(
        self, folder: Path, wait: float = 10.0, tell: Callable[[str], None] = lambda _text: None
    ) -> None:
        self.folder = folder
        self._wait = wait
        self._tell = tell

    def path_of(self, content_hash: str) -> Path:
        """Return where a content lies, or would lie.

        Raises:
            ValueError: not a SHA-256 in hex.
        """
        if len(content_hash) != _HASH_LENGTH or not set(content_hash) <= set("0123456789abcdef"):
            raise ValueError(f"not a content hash: {content_hash!r}")
        return self.folder / content_hash[:2] / content_hash

    def hash_of(self, path: Path) -> str:
        """Return the hash a file's content has, or would have, in the archive."""
        return hash_file(path)

    def put(self, path: Path) -> str:
        """Keep a file's content and return its hash.

        A content already kept is checked, and written again where it is damaged.

        Raises:
            OSError: ``path`` cannot be read.
            ReadOnlyClubError, DiskFullError, ClubBusyError: the archive cannot be written.
        """
        content_hash = hash_file(path)
        if self.is_kept(content_hash):
            return content_hash
        with path.open("rb") as source, plainly(self.folder.parent):
            self.folder.mkdir(parents=True, exist_ok=True)
            patience = Patience(self._wait, self._tell, self.folder.parent)
            with held(self.folder / "lock", patience):
                self._clear_leftovers()
                return self._copy(source.fileno())

    def remove(self, content_hash: str) -> None:
        """Remove a content, where it is there.

        Raises:
            ReadOnlyClubError, ClubBusyError: the archive cannot be written.
        """
        place = self.path_of(content_hash)
        with plainly(self.folder.parent):
            if not place.is_file():
                return
            patience = Patience(self._wait, self._tell, self.folder.parent)
            with held(self.folder / "lock", patience):
                self._clear_leftovers()
                place.unlink(missing_ok=True)
                sync_folder(place.parent)
                with suppress(OSError):  # others lie in that folder
                    place.parent.rmdir()

    def holds(self, content_hash: str) -> bool:
        """Tell whether the archive has a file for this content, whole or not."""
        return self.path_of(content_hash).is_file()

    def is_kept(self, content_hash: str) -> bool:
        """Tell whether the archive holds this content, undamaged."""
        place = self.path_of(content_hash)
        return place.is_file() and hash_file(place) == content_hash

    def check_all(self, expected: Iterable[str] = ()) -> list[ArchiveFault]:
        """Return every archived file that is not what its name says, and each expected one missing.

        ``expected``: hashes the database names.
        """
        names = {file.name for file in self.folder.glob("??/*")}
        faults = [
            ArchiveFault(name, "damaged")
            for name in sorted(names)
            if len(name) != _HASH_LENGTH or hash_file(self.folder / name[:2] / name) != name
        ]
        missing = sorted(set(expected) - names)
        return faults + [ArchiveFault(name, "missing") for name in missing]

    def _copy(self, source: int) -> str:
        """Copy an open file in, hashing what is really written; return the hash."""
        digest = hashlib.sha256()
        descriptor, name = tempfile.mkstemp(prefix=_TEMPORARY, dir=self.folder)
        made = Path(name)
        try:
            with os.fdopen(descriptor, "wb") as out:
                while chunk := os.read(source, _CHUNK):
                    digest.update(chunk)
                    out.write(chunk)
            content_hash = digest.hexdigest()
            self._verify(made, content_hash)
            place = self.path_of(content_hash)
            place.parent.mkdir(exist_ok=True)
            swap_in(made, place)
            sync_folder(self.folder)
        except BaseException:
            made.unlink(missing_ok=True)
            raise
        return content_hash

    def _verify(self, made: Path, content_hash: str) -> None:
        """Read a written file again.

        Raises:
            ClubDamagedError: the disk does not give back what was written.
        """
        if hash_file(made) != content_hash:
            raise ClubDamagedError(
                f"the disk of {self.folder.parent} does not give back what is written to it. "
                "Check the disk, or use another."
            )

    def _clear_leftovers(self) -> None:
        """Delete what killed programs left half-written; the caller holds the lock."""
        for leftover in self.folder.glob(f"{_TEMPORARY}*"):
            leftover.unlink(missing_ok=True)

"""What can go wrong with the club's folder, in plain words."""

from __future__ import annotations

import errno
from contextlib import contextmanager
from typing import TYPE_CHECKING

import duckdb

from partmuster.model import PartmusterError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class NoClubError(PartmusterError):
    """The folder holds no club."""


class ClubBusyError(PartmusterError):
    """Another program has had the club open for longer than one wants to wait."""


class ClubChangedError(PartmusterError):
    """The club changed between reading it and writing to it."""


class ReadOnlyClubError(PartmusterError):
    """The folder may not be written to."""


class DiskFullError(PartmusterError):
    """No room is left for what was to be written."""


class ClubTooNewError(PartmusterError):
    """A newer version of the program wrote the club."""


class ClubDamagedError(PartmusterError):
    """The file is not a club, or can no longer be read."""


#: Texts of DuckDB and of operating systems (lower case), and what they mean. The first that
#: matches counts: a full disk may be wrapped in words about an invalid database.
_SIGNS: tuple[tuple[type[PartmusterError], tuple[str, ...]], ...] = (
    (DiskFullError, ("no space left", "file too large", "disk quota", "not enough space")),
    (ClubBusyError, ("could not set lock", "different configuration", "being used by another")),
    (ReadOnlyClubError, ("permission denied", "read-only", "read only", "not permitted",
                         "access is denied", "is a directory", "not a directory")),
    (ClubTooNewError, ("newer version of duckdb", "newer duckdb version", "newer storage version")),
    (ClubDamagedError, ("not a valid duckdb", "corrupt", "checksum", "serializ", "failed to load",
                        "could not read", "setting does not exist", "invalidated", "truncated")),
)  # fmt: skip

_OS_SIGNS: dict[int, type[PartmusterError]] = {
    errno.ENOSPC: DiskFullError,
    errno.EFBIG: DiskFullError,
    errno.EDQUOT: DiskFullError,
    errno.EACCES: ReadOnlyClubError,
    errno.EPERM: ReadOnlyClubError,
    errno.EROFS: ReadOnlyClubError,
    errno.ENOTDIR: ReadOnlyClubError,
}

_WORDS: dict[type[PartmusterError], str] = {
    DiskFullError: "there is no room left to write to the club in {folder}. Nothing was changed. "
    "Make room on that disk and try again.",
    ClubBusyError: "another program is using the club in {folder}. Try again when it has finished.",
    ReadOnlyClubError: "the club in {folder} may be read but not written to. Check the rights of "
    "the folder, or whether the disk or stick is write-protected.",
    ClubTooNewError: "the club in {folder} was written by a newer version of partmuster. Update "
    "partmuster on this computer; nothing was changed.",
    ClubDamagedError: "the club's file in {folder} cannot be read: it is damaged or no club. The "
    "sheets it was made from are kept in the folder 'sources'; put back a copy of club.duckdb, "
    "or import them again into a new folder.",
}


def plain_error(error: Exception, folder: Path) -> PartmusterError | None:
    """Return what an error of DuckDB or the system means for a person, or None if it is a bug."""
    found: type[PartmusterError] | None = None
    if isinstance(error, OSError) and error.errno is not None:
        found = _OS_SIGNS.get(error.errno)
    if found is None:
        text = str(error).lower()
        found = next((kind for kind, signs in _SIGNS if any(sign in text for sign in signs)), None)
    if found is None and isinstance(error, duckdb.InternalException | duckdb.FatalException):
        found = ClubDamagedError
    return None if found is None else found(_WORDS[found].format(folder=folder))


def busy(folder: Path) -> ClubBusyError:
    """Return the error for a club that stays locked."""
    return ClubBusyError(_WORDS[ClubBusyError].format(folder=folder))


@contextmanager
def plainly(folder: Path) -> Iterator[None]:
    """Turn errors of DuckDB and of the system into errors a person can put right."""
    try:
        yield
    except (duckdb.Error, OSError) as error:
        plain = plain_error(error, folder)
        if plain is None:
            raise
        raise plain from error

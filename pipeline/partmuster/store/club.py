"""The club's folder: one DuckDB file, the archive of sources, the club's own vocabulary.

Any number of programs may read at once. One writes at a time: it holds a lock file, opens the
database for the length of one transaction, and leaves the club either as it was or fully changed.
"""

from __future__ import annotations

import tempfile
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import duckdb

from .archive import Archive
from .disk import swap_in
from .errors import (
    ClubBusyError,
    ClubChangedError,
    NoClubError,
    ReadOnlyClubError,
    plain_error,
    plainly,
)
from .forgetting import finish, is_unfinished, unfinished_contents
from .lock import Patience, held
from .migrations import (
    CONFIG,
    build_new,
    check_version,
    clear_leftovers,
    current_version,
    made_aside,
    refresh_views,
    upgrade,
    views_hash,
)
from .settings import GENERATION, VIEWS_HASH, generation, put_setting, read_settings

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from duckdb import DuckDBPyConnection


#: Memory the database takes while it is written to before it uses the disk. Without a limit a
#: million lines took 1.5 GB on top of the lines themselves, and were no quicker (measured).
WRITING_MEMORY = "400MB"
#: Each thread that writes needs a part of it.
WRITING_THREADS = 4


def _say_nothing(_text: str) -> None:
    """Stand in where nobody is to be told of a wait."""


@dataclass(frozen=True, slots=True)
class Club:
    """A club's folder. ``wait`` (seconds): how long to wait for another program; ``tell``: whom
    to tell, once, that one waits.
    """  # noqa: D205  (the parameters belong to the summary)

    folder: Path
    wait: float = 10.0
    tell: Callable[[str], None] = _say_nothing

    @classmethod
    def open(
        cls,
        folder: Path,
        create: bool = False,
        *,
        wait: float = 10.0,
        tell: Callable[[str], None] = _say_nothing,
    ) -> Club:
        """Return the club in a folder; make a new one there if asked to and there is none.

        Raises:
            NoClubError: there is no club and none is to be made.
            ReadOnlyClubError, DiskFullError, ClubBusyError: it cannot be made.
        """
        club = cls(Path(folder), wait, tell)
        if not club.file.is_file():
            if not create:
                raise NoClubError(
                    f"there is no club in {folder}. Import a sheet there, or run "
                    "'partmuster init', to begin one."
                )
            club._create()
        club._finish_forgetting()
        return club

    @property
    def file(self) -> Path:
        """The database."""
        return self.folder / "club.duckdb"

    @property
    def archive(self) -> Archive:
        """The archive of source files."""
        return Archive(self.folder / "sources", self.wait, self.tell)

    @property
    def cache(self) -> Path:
        """The folder of what took importers long to read; it may be emptied at any time."""
        return self.folder / "cache"

    @property
    def vocabulary(self) -> Path:
        """The folder of the club's own vocabulary (CSV files)."""
        return self.folder / "vocabulary"

    @contextmanager
    def reading(self) -> Iterator[DuckDBPyConnection]:
        """Open the club for questions, read-only.

        Raises:
            NoClubError, ClubBusyError, ClubTooNewError, ClubDamagedError: it cannot be read.
            ReadOnlyClubError: it is of an older version and cannot be upgraded where it lies.
        """
        con = self._connect_reading()
        try:
            yield con
        finally:
            con.close()

    @contextmanager
    def writing(self, expected: int | None = None) -> Iterator[DuckDBPyConnection]:
        """Open the club for one transaction: committed at the end, undone by any exception.

        ``expected``: the generation that was read before; see :func:`settings.generation`.

        Raises:
            ClubChangedError: the club is no longer at the expected generation.
            NoClubError, ClubBusyError, ReadOnlyClubError, DiskFullError, ClubTooNewError,
            ClubDamagedError: as their names say; the club is as it was.
        """
        if not self.file.is_file():
            raise NoClubError(f"there is no club in {self.folder} any more.")
        with self._sole_writer():
            con = self._connect_writing()
            try:
                with _errors_of_database(self.folder), _transaction(con):
                    number = generation(con)
                    if expected is not None and number != expected:
                        raise ClubChangedError(
                            f"the club in {self.folder} was changed by another program meanwhile. "
                            "Nothing was written; try again."
                        )
                    yield con
                    put_setting(con, GENERATION, str(number + 1))
            finally:
                # What is committed is safe in the log; a failed clean-up is made good next time.
                with suppress(duckdb.Error):
                    con.close()

    @contextmanager
    def rewriting(self) -> Iterator[tuple[Path, Path]]:
        """Give the club's file and one to be made of it, which takes its place at the end.

        Nobody else writes meanwhile; who reads goes on reading the old one. Nothing is left of
        the new file if the work fails.

        Raises:
            NoClubError, ClubBusyError, ReadOnlyClubError, DiskFullError, ClubTooNewError,
            ClubDamagedError: as their names say; the club is as it was.
        """
        with self._sole_writer(), plainly(self.folder):
            con = self._connect_writing()
            con.execute("CHECKPOINT")  # the log beside the file would be taken for the new file's
            con.close()
            try:
                yield self.file, made_aside(self.file)
                swap_in(made_aside(self.file), self.file)
            finally:
                clear_leftovers(self.file)

    def _finish_forgetting(self) -> None:
        """Do what a killed forgetting left to be done; where it cannot be done, say so."""
        if not is_unfinished(self.folder):
            return
        try:
            with self._sole_writer():
                con = self._connect(read_only=True)
                try:
                    contents = unfinished_contents(con, self.folder)
                finally:
                    con.close()
                for content_hash in contents:
                    self.archive.remove(content_hash)
                with plainly(self.folder):
                    finish(self.folder)
        except ReadOnlyClubError:
            self.tell(
                f"sheets that a person asked to be removed are still in {self.folder}, which may "
                "not be written to: open the club once where it may."
            )

    def _create(self) -> None:
        with plainly(self.folder):
            for folder in (self.folder, self.folder / "sources", self.vocabulary):
                folder.mkdir(parents=True, exist_ok=True)
        with self._sole_writer(), plainly(self.folder):
            if not self.file.is_file():  # another program may have been quicker
                build_new(self.file)

    @contextmanager
    def _sole_writer(self) -> Iterator[None]:
        lock = held(self.folder / "lock", Patience(self.wait, self.tell, self.folder))
        with plainly(self.folder):
            lock.__enter__()
        try:
            yield
        finally:
            lock.__exit__(None, None, None)

    def _connect_reading(self) -> DuckDBPyConnection:
        con = self._connect(read_only=True)
        try:
            with plainly(self.folder):
                con.execute("SET temp_directory = ?", [tempfile.gettempdir()])
                settings = read_settings(con)
            version = check_version(settings, self.folder)
        except BaseException:
            con.close()
            raise
        if version == current_version() and settings.get(VIEWS_HASH) == views_hash():
            return con
        con.close()
        try:
            with self._sole_writer():
                self._connect_writing().close()
        except ReadOnlyClubError:
            if version < current_version():
                raise  # its tables lack what the answers ask for; older views still answer
        return self._connect(read_only=True)

    def _connect_writing(self) -> DuckDBPyConnection:
        """Open for writing, at the newest schema and with this program's views."""
        con = self._connect(read_only=False)
        try:
            with plainly(self.folder):
                settings = read_settings(con)
                if check_version(settings, self.folder) < current_version():
                    con.close()
                    upgrade(self.file)
                    con = self._connect(read_only=False)
                elif settings.get(VIEWS_HASH) != views_hash():
                    with _transaction(con):
                        refresh_views(con)
                clear_leftovers(self.file)
                con.execute("SET memory_limit = ?", [WRITING_MEMORY])
                con.execute("SET threads = ?", [WRITING_THREADS])
        except BaseException:
            con.close()
            raise
        return con

    def _connect(self, *, read_only: bool) -> DuckDBPyConnection:
        if not self.file.is_file():
            raise NoClubError(f"there is no club in {self.folder} any more.")
        patience = Patience(self.wait, self.tell, self.folder)
        while True:
            try:
                return duckdb.connect(str(self.file), read_only=read_only, config=CONFIG)
            except (duckdb.Error, OSError) as error:
                plain = plain_error(error, self.folder)
                if plain is None:
                    raise
                if not isinstance(plain, ClubBusyError):
                    raise plain from error
            patience.wait()


@contextmanager
def _transaction(con: DuckDBPyConnection) -> Iterator[None]:
    con.execute("BEGIN")
    try:
        yield
        con.execute("COMMIT")
    except BaseException:
        with suppress(duckdb.Error):  # a failed commit has undone it already
            con.execute("ROLLBACK")
        raise


@contextmanager
def _errors_of_database(folder: Path) -> Iterator[None]:
    """Turn DuckDB's errors into plain ones; others are the caller's own."""
    try:
        yield
    except duckdb.Error as error:
        plain = plain_error(error, folder)
        if plain is None:
            raise
        raise plain from error

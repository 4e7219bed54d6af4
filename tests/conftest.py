"""What all tests share: an empty club made once a process, and the process that reads files."""

from __future__ import annotations

import gc
import os
import shutil
import sys
from functools import partialmethod
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from partmuster.reading_apart.worker import ReadingApart
from partmuster.store import club, copying, migrations
from partmuster.store.disk import swap_in

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

#: Tests of how a club is made, which see it made.
_SEE_IT_MADE = frozenset({"test_store_club", "test_older_clubs", "test_backup"})
#: Tests of the process in which files are read, and of what it takes, which have it started anew.
_SEE_IT_STARTED = frozenset({"test_read_apart", "test_bad_files"})


def pytest_collection_finish() -> None:
    """Look no more for what hangs in circles among what stays, as the command that imports does."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(200_000)


class _Kept:
    """The process that reads files, kept from one import to the next.

    It goes on where it would be started as it was: with the same limits, path and environment.
    """

    start, close = ReadingApart.start, ReadingApart.close

    def __init__(self) -> None:
        self.wanted = True
        self.process = self.begun_as = None

    def start_or_go_on(self, reading: ReadingApart) -> None:
        if reading._process is None and self.process is not None and self.wanted:
            process, self.process = self.process, None
            if self.begun_as == _surroundings(reading) and process.popen.poll() is None:
                reading._process = process
                return
            reading._end(process)
        _Kept.start(reading)

    def close_or_keep(self, reading: ReadingApart) -> None:
        process = reading._process
        idle = process and process.popen.poll() is None and not reading._asked
        if self.wanted and idle and process.answers.empty() and self.process is None:
            reading._process = None
            self.process, self.begun_as = process, _surroundings(reading)
        else:
            _Kept.close(reading)


def _handed_on(reading: ReadingApart, method: Callable[[ReadingApart], None]) -> None:
    method(reading)


def _surroundings(reading: ReadingApart) -> tuple[object, ...]:
    environment = {name: text for name, text in os.environ.items() if not name.startswith("PYTEST")}
    return reading.limits, tuple(sys.path), Path.cwd(), tuple(sorted(environment.items()))


@pytest.fixture(scope="session")
def kept_process() -> Iterator[_Kept]:
    """Keep the process that reads files: to start it takes half a second, and most files less."""
    kept = _Kept()
    with pytest.MonkeyPatch.context() as patch:
        # Not the methods themselves: bound to the one that keeps, they would miss the other.
        for name, method in (("start", kept.start_or_go_on), ("close", kept.close_or_keep)):
            patch.setattr(ReadingApart, name, partialmethod(_handed_on, method))
        yield kept
    if kept.process is not None:
        ReadingApart()._end(kept.process)


@pytest.fixture(autouse=True)
def seen_started(request: pytest.FixtureRequest, kept_process: _Kept) -> None:
    """Start the process anew for the tests that look at it."""
    kept_process.wanted = request.module.__name__.rpartition(".")[2] not in _SEE_IT_STARTED


@pytest.fixture(scope="session", autouse=True)
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Let a new club be a copy of one that was made: binding the views takes a second."""
    empty = tmp_path_factory.mktemp("empty") / "club.duckdb"
    migrations.build_new(empty)

    def copied(file: Path) -> None:
        migrations.clear_leftovers(file)
        made = migrations.made_aside(file)
        shutil.copyfile(empty, made)
        swap_in(made, file)

    with pytest.MonkeyPatch.context() as patch:
        for module in (club, copying):
            patch.setattr(module, "build_new", copied)
        yield


@pytest.fixture(autouse=True)
def seen_made(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Make the clubs of tests anew that look at how one is made."""
    if request.module.__name__.rpartition(".")[2] in _SEE_IT_MADE:
        for module in (club, copying):
            monkeypatch.setattr(module, "build_new", migrations.build_new)

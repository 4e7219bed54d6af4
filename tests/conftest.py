"""What all tests share: an empty club is made once a process, and copied from there on."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from partmuster.store import club, copying, migrations
from partmuster.store.disk import swap_in

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

#: Tests that take minutes; ``--slow`` runs them too.
_SLOW = ("tests/kill/", "tests/property/test_mangled_sheets", "tests/property/test_import_prop")
#: Tests of how a club is made, which see it made.
_SEE_IT_MADE = frozenset({"test_store_club", "test_older_clubs", "test_backup"})


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


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let the tests that take minutes be asked for."""
    parser.addoption("--slow", action="store_true", help="run the tests that take minutes, too")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out the tests that take minutes, unless they are asked for."""
    if config.getoption("--slow"):
        return
    for item in items:
        if item.nodeid.startswith(_SLOW):
            item.add_marker(pytest.mark.skip(reason="takes minutes: run with --slow"))

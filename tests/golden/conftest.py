"""The demo club, imported once for all tests that ask it."""

from __future__ import annotations

import csv
import datetime as dt
import os
import pickle
import shutil
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest

import partmuster_plugins.hand_notes
import partmuster_plugins.parts_lists
import partmuster_plugins.spreadsheets
from partmuster.host import load_plugins
from partmuster.runner import import_archived, import_files
from partmuster.store.club import Club
from partmuster.store.decisions import record_decision
from partmuster.store.settings import put_setting
from partmuster.store.sources import current_version
from partmuster_trade import load_vocabulary

if TYPE_CHECKING:
    from collections.abc import Callable

SAMPLES = Path(__file__).resolve().parents[2] / "samples" / "ashmere"
MAKING = SAMPLES.with_name("ashmere_making")
ANSWERS = Path(__file__).resolve().parent / "demo_answers"
#: A fixed day of import: the demo's answers do not hang on it, and the tests not on the clock.
IMPORTED = dt.datetime(2026, 11, 20, 12, 0, 0)  # noqa: DTZ001 - a club keeps local time


def expected(name: str) -> list[dict[str, str]]:
    """Return the rows of a hand-worked table."""
    with (ANSWERS / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.fixture(scope="session")
def vocabulary():
    return load_vocabulary()


class Walk(NamedTuple):
    """What ``partmuster demo`` printed, and the club that it kept."""

    code: int
    shown: str
    told: str
    club: Path


def made_once(folder: Path, name: str, make: Callable[[], object]) -> object:
    """Return what a function makes in a folder, which one of all test processes runs.

    What it returns is kept beside the folder for the others.
    """
    made = folder.with_name(f"{name}.made")
    try:
        folder.mkdir()
    except FileExistsError:
        until = time.monotonic() + 900
        while not made.exists() and time.monotonic() < until:
            time.sleep(0.2)
    else:
        part = made.with_suffix(".part")
        part.write_bytes(pickle.dumps(make()))
        part.replace(made)
    return pickle.loads(made.read_bytes())


def shared_folder(tmp_path_factory) -> Path:
    """Return the folder that all test processes share."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@pytest.fixture(scope="session")
def walked(tmp_path_factory):
    """The walk through the demo club, once for all test processes: it reads the scanned pages."""
    folder = shared_folder(tmp_path_factory) / "demo-walk"
    club = folder / "ashmere"

    def walk():
        done = subprocess.run(
            [sys.executable, "-m", "partmuster", "demo", "--keep", club],
            capture_output=True, text=True, check=False, env={**os.environ, "COLUMNS": "120"},
        )  # fmt: skip
        return done.returncode, done.stdout, done.stderr

    return Walk(*made_once(folder, "demo-walk", walk), club)


@pytest.fixture(scope="session")
def demo_sheets(tmp_path_factory):
    return shutil.copytree(SAMPLES, tmp_path_factory.mktemp("sheets") / "ashmere")


@pytest.fixture(scope="session")
def demo(tmp_path_factory, demo_sheets, vocabulary, walked):
    """The demo club and the reports of its two imports: as it comes, and with the marks told.

    It is made once for all test processes, and each has a copy. What the walk has read of the pages
    is there already.
    """
    plugins = [
        partmuster_plugins.spreadsheets, partmuster_plugins.parts_lists,
        partmuster_plugins.hand_notes,
    ]  # fmt: skip
    host = load_plugins(plugins, outside=False)
    shared = shared_folder(tmp_path_factory) / "demo-club"

    def make():
        return imported_demo(shared / "ashmere", walked.club, host, demo_sheets, vocabulary)

    first, second = made_once(shared, "demo-club", make)
    folder = shutil.copytree(shared / "ashmere", tmp_path_factory.mktemp("club") / "ashmere")
    return Club.open(folder), host, first, second


def imported_demo(folder, walked, host, demo_sheets, vocabulary):
    """Make the demo club in a folder; return the reports of its two imports."""
    shutil.copytree(walked / "cache", folder / "cache")
    club = Club.open(folder, create=True)
    with club.writing() as con:
        put_setting(con, "country", "GB")
    first = import_files(club, host, [demo_sheets], vocabulary, now=IMPORTED)
    with club.reading() as con:
        asked = con.execute(
            "SELECT subject, source FROM open_question WHERE topic = 'marks'"
        ).fetchall()
    with (MAKING / "answers.csv").open(encoding="utf-8", newline="") as stream:
        meanings = {(row["sheet"], row["mark"]): row["meaning"] for row in csv.DictReader(stream)}
    told = set()
    with club.writing() as con:
        for number, (subject, source) in enumerate(asked):
            record_decision(
                con, decision_id=f"demo{number}", topic="marks", subject=subject,
                answer=meanings[source, subject.rsplit("|", 1)[1]], decided_by="Registrar",
                decided_at=IMPORTED,
            )  # fmt: skip
            told.add(source)
    with club.reading() as con:
        again = [current_version(con, source) for source in sorted(told)]
    second = import_archived(club, host, again, vocabulary, now=IMPORTED)
    return first, second

"""A small club to import into, for tests that go from files to answers."""

from __future__ import annotations

import atexit
import datetime as dt
import functools
import shutil
import tempfile
from pathlib import Path

import pytest

NOW = dt.datetime(2026, 11, 20, 12, 0, 0)  # noqa: DTZ001 - a club keeps local time


@functools.cache
def empty_club(vocabulary):
    """Return the folder of a club without lines, to be copied: making its views takes a second."""
    from partmuster.store.club import Club
    from partmuster.store.settings import put_setting
    from partmuster.store.vocabulary_tables import store_vocabulary

    folder = Path(tempfile.mkdtemp(prefix="partmuster-empty-club-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    with Club.open(folder / "club", create=True).writing() as con:
        put_setting(con, "country", "GB")
        store_vocabulary(con, vocabulary)
    return folder / "club"


class SmallClub:
    """A club in a folder of its own; sheets are given as text."""

    def __init__(self, folder, vocabulary):
        from partmuster.host import load_plugins
        from partmuster.store.club import Club
        from partmuster_plugins import spreadsheets

        self.sheets = folder / "sheets"
        self.sheets.mkdir()
        self.club = Club(shutil.copytree(empty_club(vocabulary), folder / "club"))
        self.host = load_plugins([spreadsheets], outside=False)
        self.vocabulary = vocabulary
        self.now = NOW

    def write(self, name, text):
        path = self.sheets / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if isinstance(text, bytes):
            path.write_bytes(text)
        else:
            path.write_text(text, encoding="utf-8")
        return path

    def load(self, *paths, later=0, **options):
        """Import paths (default: the whole folder) ``later`` days after the first."""
        from partmuster.runner import Options, import_files

        now = self.now + dt.timedelta(days=later)
        chosen = [self.sheets / p if isinstance(p, str) else p for p in paths] or [self.sheets]
        return import_files(
            self.club, self.host, chosen, self.vocabulary, Options(**options), now=now
        )

    def rows(self, sql, *values):
        with self.club.reading() as con:
            return con.execute(sql, list(values)).fetchall()

    def lacks(self, vehicle=None, **options):
        from partmuster.answers.lacks import lacks

        with self.club.reading() as con:
            return lacks(con, self.vocabulary, vehicle=vehicle, **options)

    def holders(self, words, **options):
        from partmuster.answers.holders import holders
        from partmuster.running.words import identifier_of

        with self.club.reading() as con:
            return holders(con, self.vocabulary, words,
                           identify=identifier_of(con, self.vocabulary), **options)  # fmt: skip

    def donors(self, vehicle=None, part=None, **options):
        from partmuster.answers.donors import donors
        from partmuster.running.words import identifier_of

        with self.club.reading() as con:
            return donors(con, self.vocabulary, vehicle=vehicle, part=part,
                          identify=identifier_of(con, self.vocabulary), **options)  # fmt: skip


@pytest.fixture(scope="session")
def vocabulary():
    from partmuster_trade import load_vocabulary

    return load_vocabulary()


@pytest.fixture
def small(tmp_path, vocabulary):
    return SmallClub(tmp_path, vocabulary)

"""Programs are killed at random moments; the club must be whole each time it is opened."""

import random
import runpy
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from partmuster.store.archive import Archive
from partmuster.store.club import Club
from partmuster.store.errors import NoClubError
from partmuster.store.settings import generation
from tests.long import examples

HELPER = Path(__file__).with_name("small_club.py")
made = SimpleNamespace(**runpy.run_path(str(HELPER)))


def run_and_kill(work, folder, after, delay):
    """Start a program and kill it ``delay`` seconds after it has printed ``after`` lines."""
    command = [sys.executable, str(HELPER), work, str(folder)]
    pipes = dict.fromkeys(("stdout", "stderr"), subprocess.PIPE)
    with subprocess.Popen(command, text=True, **pipes) as running:
        try:
            for _ in range(after):
                assert running.stdout.readline(), running.stderr.read()
            time.sleep(delay)
            assert running.poll() is None, running.stderr.read()
        finally:
            running.kill()


def state(club):
    """Return the newest version; check that everything in the club is of that version."""
    with club.reading() as con:

        def one(sql):
            return con.execute(sql).fetchall()[0]

        number = generation(con)
        if number == 0:
            assert one("SELECT count(*) FROM source_version") == (0,)
            return 0
        assert one("SELECT count(*), max(version) FROM source_version") == (number, number)
        assert one("SELECT count(*), min(at_least), max(at_least) FROM holding") == (
            200, number, number,
        )  # fmt: skip
        assert one("SELECT count(*) FROM said_holding") == (200 * number,)
        assert one("SELECT count(*) FROM raw_line") == (200 * number,)
        assert one("SELECT count(*) FROM line_origin") == (200 * number,)
        assert one("SELECT count(*), max(source_version) FROM said_holding "
                   "WHERE recorded_to IS NULL") == (200, number)  # fmt: skip
        assert one("SELECT count(*) FROM question WHERE recorded_to IS NULL") == (200,)
    return number


def test_an_import_killed_at_any_moment_is_done_whole_or_not_at_all(tmp_path):
    random.seed(20)
    club = Club.open(tmp_path / "club", create=True)
    reached = [0]
    for attempt in range(examples(14)):
        near_commit = attempt % 2 == 0
        delay = random.uniform(0, 0.08) if near_commit else random.uniform(0, 0.5)
        run_and_kill("load", club.folder, 2 if near_commit else 1, delay)
        reached.append(state(club))
        assert reached[-1] >= reached[-2]
    assert reached[-1] > 0
    with club.writing() as con:
        number = reached[-1] + 1
        made.put(con, made.counted(number), version=number)
    assert state(club) == number
    assert sorted(p.name for p in club.folder.iterdir()) == [
        "club.duckdb", "lock", "sources", "vocabulary",
    ]  # fmt: skip


def test_a_club_killed_while_it_is_made_is_there_or_not(tmp_path):
    random.seed(21)
    for attempt in range(examples(9)):
        folder = tmp_path / str(attempt)
        run_and_kill("load", folder, 1, random.uniform(0.0, 0.8))
        try:
            state(Club.open(folder))
        except NoClubError:
            assert not (folder / "club.duckdb").exists()
        club = Club.open(folder, create=True)
        number = state(club) + 1
        with club.writing() as con:
            made.put(con, made.counted(number), version=number)
        assert state(club) == number
        assert not list(folder.glob("*.making*"))


def test_archiving_killed_at_any_moment_leaves_whole_files_only(tmp_path):
    random.seed(22)
    club = Club.open(tmp_path / "club", create=True)
    kept = 0
    for _ in range(examples(9)):
        run_and_kill("archive", club.folder, random.randint(1, 6), random.uniform(0, 0.01))
        assert club.archive.check_all() == []
        files = len(list((club.folder / "sources").glob("??/*")))
        assert files >= kept
        kept = files
    assert kept > 0
    (tmp_path / "next.txt").write_text("next")
    assert club.archive.is_kept(club.archive.put(tmp_path / "next.txt"))
    assert not list((club.folder / "sources").glob("arriving-*"))


@pytest.fixture
def writers(tmp_path):
    """Two programs that load into one club."""
    command = [sys.executable, str(HELPER), "archive", str(tmp_path / "club")]
    Club.open(tmp_path / "club", create=True)
    running = [subprocess.Popen(command, stdout=subprocess.DEVNULL) for _ in range(2)]
    yield tmp_path / "club"
    for program in running:
        program.kill()
        program.wait()


def test_two_programs_archive_at_once(writers):
    archive = Archive(writers / "sources", wait=30)
    end = time.monotonic() + 20
    while len(list(archive.folder.glob("??/*"))) < 6 and time.monotonic() < end:
        time.sleep(0.1)
    assert len(list(archive.folder.glob("??/*"))) >= 6
    assert archive.check_all() == []

"""Whole imports through the command line: two at once, and killed at moments taken at random."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import time

import pytest

from partmuster.store.club import Club
from tests.long import examples

OLD = "What,Qty,Whose\n" + "".join(f"Dynamo {n},{n},Bob Birch\n" for n in range(60))
NEW = "What,Qty,Whose\n" + "".join(f"Dynamo {n},{n + 1},Bob Birch\n" for n in range(60))
MORE = "What,Qty,Whose\n" + "".join(f"Horn {n},{n},Cy Clay\n" for n in range(60))
KILLS = examples(9)


def start(club, *words):
    command = [sys.executable, "-m", "partmuster", "--club", str(club), *words]
    pipes = dict.fromkeys(("stdout", "stderr"), subprocess.PIPE)
    return subprocess.Popen(command, text=True, **pipes)


def run(club, *words):
    with start(club, *words) as running:
        output = running.communicate()
    return running.returncode, output


def state(club):
    """Return how many lines are held, their sum, and how many versions there are."""
    with Club.open(club).reading() as con:
        held = con.execute("SELECT count(*), sum(at_least) FROM holding").fetchall()[0]
        hashes = [h for (h,) in con.execute("SELECT content_hash FROM source_version").fetchall()]
    assert Club.open(club).archive.check_all(hashes) == []
    return *held, len(hashes)


@pytest.fixture(scope="module")
def clubs(tmp_path_factory):
    """Return a club with an old list, one with the newer lists, and their folder."""
    folder = tmp_path_factory.mktemp("clubs")
    for name, text in (("old", OLD), ("new", NEW)):
        (folder / name).mkdir()
        (folder / name / "dynamos.csv").write_text(text)
    (folder / "new" / "horns.csv").write_text(MORE)
    before, after = folder / "before", folder / "after"
    assert run(before, "import", str(folder / "old"))[0] == 0
    shutil.copytree(before, after)
    began = time.monotonic()
    assert run(after, "import", str(folder / "new"))[0] == 0
    return before, after, folder / "new", time.monotonic() - began


def test_an_import_killed_at_random_is_done_whole_or_not_at_all_and_the_next_one_works(
    clubs, tmp_path
):
    before, after, sheets, takes = clubs
    seed = random.randrange(10**6)
    chance = random.Random(seed)
    for number in range(KILLS):
        club = shutil.copytree(before, tmp_path / f"club {number}")
        with start(club, "import", str(sheets)) as running:
            time.sleep(takes * chance.uniform(0.4, 1.0))
            running.kill()
        assert state(club) in (state(before), state(after)), f"seed {seed}, kill {number}"
    assert run(club, "import", str(sheets))[0] == 0
    assert state(club) == state(after)


def test_two_imports_at_once_both_arrive(clubs, tmp_path):
    before, after, sheets, _ = clubs
    club = shutil.copytree(before, tmp_path / "club")
    both = [start(club, "import", str(sheets / name)) for name in ("dynamos.csv", "horns.csv")]
    told = [running.communicate() for running in both]
    assert [running.returncode for running in both] == [0, 0], told
    assert state(club) == state(after)


def test_two_first_imports_at_once_make_one_club(clubs, tmp_path):
    _, after, sheets, _ = clubs
    club = tmp_path / "club"
    both = [start(club, "import", str(sheets / name)) for name in ("dynamos.csv", "horns.csv")]
    told = [running.communicate() for running in both]
    assert [running.returncode for running in both] == [0, 0], told
    assert state(club)[:2] == state(after)[:2]

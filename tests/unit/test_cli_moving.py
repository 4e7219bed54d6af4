"""The commands of a club on the move, as they are typed."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from partmuster.cli import main
from partmuster.store.club import Club
from tests.unit import lived_in

SPARES = """What,Qty,Whose,Notes
Dynamo,1,Ivo Larch,
Water pump,2,Hester Crane,
Horn,1,Ivo Larch,Crane hook
"""


@pytest.fixture
def run(small):
    small.write("spares.csv", SPARES)
    small.load()

    def run(*words, club=small.club.folder, code=0):
        result = CliRunner().invoke(main, ["--club", str(club), *map(str, words)])
        assert result.exit_code == code, result.output
        return result.output

    return run


def test_a_club_goes_out_and_comes_back(run, small, tmp_path):
    words = run("export", tmp_path / "out")
    assert "registrar" in words
    assert "1 sheets" in words
    run("rebuild", tmp_path / "out", club=tmp_path / "again")
    run("backup", tmp_path / "club.zip")
    assert "all checked" in run("restore", tmp_path / "club.zip", club=tmp_path / "third")
    own = lived_in.tables(small.club)
    assert lived_in.tables(Club.open(tmp_path / "again")) == own
    assert lived_in.tables(Club.open(tmp_path / "third")) == own


def test_an_export_for_members(run, tmp_path):
    assert "members" in run("export", "--audience", "members", tmp_path / "out")
    words = run("rebuild", tmp_path / "out", club=tmp_path / "again", code=1)
    assert words.startswith("partmuster: ")
    run("export", "--audience", "members", "--with-archive", tmp_path / "more", code=1)
    run("export", "--audience", "nobody", tmp_path / "more", code=2)


def test_a_lost_sheet_is_told_by_the_exit_code(run, small, tmp_path):
    next((small.club.folder / "sources").glob("??/*")).unlink()
    assert "missing" in run("export", tmp_path / "out", code=1)
    assert "missing" in run("backup", tmp_path / "club.zip", code=1)


def test_a_sheet_removed_at_a_persons_request_is_no_lost_one(run, tmp_path):
    run("forget", "Hester Crane", "--by", "Registrar", "--yes")
    for words in (run("export", tmp_path / "out"), run("backup", tmp_path / "club.zip")):
        assert "removed at a person's request" in words
        assert "missing" not in words


def test_forgetting_is_shown_first_and_done_with_yes(run, small):
    before = lived_in.tables(small.club)
    shown = run("forget", "hester crane", "--by", "Registrar")
    for words in ("Hester Crane", "would be removed", "spares.csv", "--yes", "--also Crane",
                  "Backups"):  # fmt: skip
        assert words in shown, words
    assert lived_in.tables(small.club) == before
    done = run("forget", "Hester Crane", "--by", "Registrar", "--yes")
    assert "were removed" in done
    assert "Backups" in done
    assert small.rows("SELECT count(*) FROM said_holding WHERE holder LIKE 'member %'") == [(1,)]
    run("forget", "Hester Crane", "--by", "Registrar", "--yes", code=1)
    run("forget", "Ivo Larch", code=2)


def test_a_file_that_still_names_the_person_is_told_by_the_exit_code(run, small):
    (small.club.folder / "notes.txt").write_text("Hester Crane rang")
    assert "notes.txt" in run("forget", "Hester Crane", "--by", "Registrar", "--yes", code=1)

"""One file holds a whole club; what comes back from it is checked before it counts."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import zipfile

import pytest

from partmuster.model import PartmusterError
from partmuster.moving.backup import back_up, restore
from partmuster.store.club import Club
from partmuster.store.settings import generation
from tests.unit import lived_in
from tests.unit.conftest import SmallClub

SPARES = "What,Qty,Whose\nDynamo,1,Ivo Larch\nWater pump,2,Hester Crane\n"


@pytest.fixture(scope="module")
def kept(tmp_path_factory, vocabulary):
    """A small club."""
    small = SmallClub(tmp_path_factory.mktemp("kept"), vocabulary)
    small.write("spares.csv", SPARES)
    small.load()
    small.write("spares.csv", SPARES.replace("pump,2", "pump,1"))
    small.load(later=1)
    (small.club.vocabulary / "ours.txt").write_text("ours", encoding="utf-8")
    return small


@pytest.fixture(scope="module")
def backup(kept, tmp_path_factory):
    file = tmp_path_factory.mktemp("backups") / "club.zip"
    back_up(kept.club, file)
    return file


@pytest.fixture
def copied(backup, tmp_path):
    return shutil.copy(backup, tmp_path / "club.zip")


def test_a_restored_club_is_the_club(kept, backup, tmp_path):
    restore(backup, tmp_path / "club")
    club = Club.open(tmp_path / "club")
    assert lived_in.tables(club) == lived_in.tables(kept.club)
    with club.reading() as con, kept.club.reading() as own:
        assert generation(con) == generation(own) > 0
        hashes = [row for (row,) in con.execute("SELECT content_hash FROM source_version")
                  .fetchall()]  # fmt: skip
    assert len(hashes) == 2
    assert club.archive.check_all(hashes) == []
    assert (club.vocabulary / "ours.txt").read_text(encoding="utf-8") == "ours"


def test_a_restored_club_is_used_on(kept, backup, tmp_path):
    restore(backup, tmp_path / "club")
    other = object.__new__(SmallClub)
    other.__dict__.update(kept.__dict__, club=Club.open(tmp_path / "club"))
    assert [file.outcome for file in other.load(later=5).files] == ["unchanged"]
    with other.club.writing() as con:
        con.execute("DELETE FROM question")


def test_a_backup_is_one_deflated_file_with_a_list(backup):
    with zipfile.ZipFile(backup) as archive:
        names = archive.namelist()
        manifest = json.loads(archive.read("manifest.json"))
        assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_DEFLATED}
    assert len(names) == len(set(names))
    assert set(manifest["files"]) | {"manifest.json"} == set(names)
    assert "club.duckdb" in names
    assert "vocabulary/ours.txt" in names
    assert manifest["tables"]["said_holding"] == 3
    assert [path.name for path in backup.parent.iterdir()] == ["club.zip"]


READ = """
import sys
from pathlib import Path
from partmuster.store.club import Club
with Club.open(Path(sys.argv[1])).reading() as con:
    con.execute("FROM source").fetchall()
    print("open", flush=True)
    sys.stdin.readline()
    print(len(con.execute("FROM said_holding").fetchall()), flush=True)
"""


def test_others_read_while_a_backup_is_made(kept, tmp_path):
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    with subprocess.Popen([sys.executable, "-c", READ, str(kept.club.folder)], **pipes) as reader:
        assert reader.stdout.readline() == "open\n"
        back_up(kept.club, tmp_path / "meanwhile.zip")
        said, _ = reader.communicate("go\n")
    assert said == "3\n"
    restore(tmp_path / "meanwhile.zip", tmp_path / "club")


def test_a_backup_waits_for_who_writes(kept, tmp_path):
    from partmuster.store.errors import ClubBusyError

    writer = subprocess.Popen(
        [sys.executable, "-c", READ.replace("reading()", "writing()"), str(kept.club.folder)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert writer.stdout.readline() == "open\n"
        impatient = Club(kept.club.folder, wait=0.3)
        with pytest.raises(ClubBusyError):
            back_up(impatient, tmp_path / "club.zip")
        assert list(tmp_path.iterdir()) == []
    finally:
        writer.kill()
        writer.communicate()


def test_a_log_left_by_a_killed_program_is_in_the_backup(kept, tmp_path):
    club = Club(shutil.copytree(kept.club.folder, tmp_path / "own"))
    write = (
        "import duckdb, os, sys\n"
        "con = duckdb.connect(sys.argv[1])\n"
        "con.execute(\"INSERT INTO setting VALUES ('in the log', 'yes')\")\n"
        "os._exit(1)\n"
    )
    subprocess.run([sys.executable, "-c", write, str(club.file)], check=False)
    assert club.file.with_name("club.duckdb.wal").stat().st_size > 0
    back_up(club, tmp_path / "club.zip")
    restore(tmp_path / "club.zip", tmp_path / "new")
    assert ("in the log", "yes") in lived_in.tables(Club.open(tmp_path / "new"))["setting"]


def test_a_file_that_is_there_is_not_overwritten(kept, tmp_path):
    file = tmp_path / "mine.zip"
    file.write_text("mine")
    with pytest.raises(PartmusterError, match="there already"):
        back_up(kept.club, file)
    assert file.read_text() == "mine"


def test_a_backup_inside_the_club_is_made_but_not_backed_up(kept, tmp_path):
    club = Club(shutil.copytree(kept.club.folder, tmp_path / "own"))
    for name in ("first.zip", "second.zip"):
        back_up(club, club.folder / name)
    with zipfile.ZipFile(club.folder / "second.zip") as archive:
        assert not [name for name in archive.namelist() if name.endswith(".zip")]


def test_a_backup_that_breaks_off_leaves_nothing(kept, tmp_path):
    def progress(_name, done, _of):
        if done > 0:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        back_up(kept.club, tmp_path / "club.zip", progress=progress)
    assert list(tmp_path.iterdir()) == []


def test_a_backup_for_which_there_is_no_room_leaves_nothing(kept, tmp_path, monkeypatch):
    def full(con, _steps):
        con.execute("CREATE TABLE half AS SELECT * FROM range(100000)")
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("partmuster.store.migrations._apply", full)
    with pytest.raises(PartmusterError, match="no room"):
        back_up(kept.club, tmp_path / "club.zip")
    assert list(tmp_path.iterdir()) == []


def test_a_sheet_that_the_archive_lost_is_named(kept, tmp_path):
    club = Club(shutil.copytree(kept.club.folder, tmp_path / "own"))
    lost, damaged = sorted((club.folder / "sources").glob("??/*"))
    lost.unlink()
    damaged.write_text("other")
    report = back_up(club, tmp_path / "club.zip")
    assert sorted(report.missing) == sorted([lost.name, damaged.name])
    restore(tmp_path / "club.zip", tmp_path / "new")
    assert lived_in.tables(Club.open(tmp_path / "new")) == lived_in.tables(club)


def refused(file, tmp_path):
    """Return the words with which a restore is refused; nothing may be left of it."""
    with pytest.raises(PartmusterError) as raised:
        restore(file, tmp_path / "club")
    assert [path.name for path in tmp_path.iterdir()] == ["club.zip"]
    assert str(file) in str(raised.value)
    return str(raised.value)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.99])
def test_a_truncated_backup_is_refused(copied, tmp_path, share):
    with copied.open("r+b") as stream:
        stream.truncate(int(copied.stat().st_size * share))
    words = refused(copied, tmp_path)
    assert "not whole" in words


def test_any_flipped_byte_is_noticed_or_harmless(copied, tmp_path, kept):
    content = copied.read_bytes()
    seen = 0
    for at in range(10, len(content), len(content) // 12):
        changed = bytearray(content)
        changed[at] ^= 0xFF
        copied.write_bytes(changed)
        try:
            restore(copied, tmp_path / "club")
        except PartmusterError:
            seen += 1
            assert [path.name for path in tmp_path.iterdir()] == ["club.zip"]
        else:  # such as a time stamp in the ZIP's own list
            assert lived_in.tables(Club.open(tmp_path / "club")) == lived_in.tables(kept.club)
            shutil.rmtree(tmp_path / "club")
    assert seen >= 10


def rewritten(file, change):
    """Write a backup anew; ``change`` is given the contents by name."""
    with zipfile.ZipFile(file) as archive:
        contents = {name: archive.read(name) for name in archive.namelist()}
    change(contents)
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in contents.items():
            archive.writestr(name, content)


def test_an_edited_file_is_named(copied, tmp_path):
    def edit(contents):
        contents["vocabulary/ours.txt"] = b"OURS"

    rewritten(copied, edit)
    assert "vocabulary/ours.txt" in refused(copied, tmp_path)


def test_a_missing_file_is_named(copied, tmp_path):
    rewritten(copied, lambda contents: contents.pop("club.duckdb"))
    assert "club.duckdb" in refused(copied, tmp_path)


def test_a_missing_list_is_named(copied, tmp_path):
    rewritten(copied, lambda contents: contents.pop("manifest.json"))
    assert "manifest.json" in refused(copied, tmp_path)


@pytest.mark.parametrize(
    "name", ["../evil.txt", "/evil.txt", "vocabulary/../../evil.txt", "C:/evil.txt",
             "vocabulary\\..\\..\\evil.txt", "evil.txt", "sources/zz/evil", "lock"],
)  # fmt: skip
@pytest.mark.parametrize("listed", [True, False])
def test_a_name_that_does_not_belong_there_is_refused(copied, tmp_path, name, listed):
    import hashlib

    def edit(contents):
        contents[name] = b"evil"
        if listed:
            manifest = json.loads(contents["manifest.json"])
            manifest["files"][name] = {
                "sha256": hashlib.sha256(b"evil").hexdigest(), "size": 4,
            }  # fmt: skip
            contents["manifest.json"] = json.dumps(manifest).encode()

    rewritten(copied, edit)
    assert "evil" in refused(copied, tmp_path) or name == "lock"
    assert not list(tmp_path.parent.glob("evil*"))


def with_manifest(file, change):
    def edit(contents):
        manifest = json.loads(contents["manifest.json"])
        change(manifest)
        contents["manifest.json"] = json.dumps(manifest).encode()

    rewritten(file, edit)


def test_other_counts_than_listed_are_refused(copied, tmp_path):
    with_manifest(copied, lambda manifest: manifest["tables"].update(said_holding=7))
    assert "said_holding" in refused(copied, tmp_path)


def test_another_generation_than_listed_is_refused(copied, tmp_path):
    with_manifest(copied, lambda manifest: manifest.update(generation=99))
    assert "99" in refused(copied, tmp_path)


@pytest.mark.parametrize(
    "change", [{"generation": None}, {"tables": {"said_holding": "x"}}, {"files": {}},
               {"files": {"club.duckdb": {"sha256": "x", "size": "y"}}}],
)  # fmt: skip
def test_a_list_with_other_contents_is_refused(copied, tmp_path, change):
    with_manifest(copied, lambda manifest: manifest.update(change))
    refused(copied, tmp_path)


def test_a_database_that_is_none_is_refused(copied, tmp_path):
    import hashlib

    def edit(contents):
        contents["club.duckdb"] = b"no database"
        manifest = json.loads(contents["manifest.json"])
        manifest["files"]["club.duckdb"] = {
            "sha256": hashlib.sha256(b"no database").hexdigest(), "size": 11,
        }  # fmt: skip
        contents["manifest.json"] = json.dumps(manifest).encode()

    rewritten(copied, edit)
    assert "club.duckdb" in refused(copied, tmp_path)


def test_a_file_that_unpacks_to_more_than_listed_is_stopped(copied, tmp_path):
    def edit(contents):
        contents["vocabulary/ours.txt"] = bytes(50_000_000)

    rewritten(copied, edit)
    assert "vocabulary/ours.txt" in refused(copied, tmp_path)


def test_a_club_is_not_overwritten(kept, backup):
    before = lived_in.tables(kept.club)
    with pytest.raises(PartmusterError, match="not empty"):
        restore(backup, kept.club.folder)
    assert lived_in.tables(kept.club) == before


def test_what_is_no_file_is_said(tmp_path):
    with pytest.raises(PartmusterError, match=r"nowhere\.zip"):
        restore(tmp_path / "nowhere.zip", tmp_path / "club")

import hashlib
import subprocess
import sys
from pathlib import Path

import pytest

from partmuster.store.archive import Archive, ArchiveFault
from partmuster.store.errors import ClubBusyError, DiskFullError, ReadOnlyClubError
from partmuster.store.lock import Patience, held


@pytest.fixture
def archive(tmp_path):
    return Archive(tmp_path / "club" / "sources", wait=0.2)


@pytest.fixture
def sheet(tmp_path):
    file = tmp_path / "list.csv"
    file.write_bytes(b"What;How many\nfront idler;2\n")
    return file


def names(archive):
    return sorted(p.name for p in archive.folder.rglob("*") if p.is_file() and p.name != "lock")


def test_a_file_lies_under_its_hash(archive, sheet):
    content_hash = archive.put(sheet)
    assert content_hash == hashlib.sha256(sheet.read_bytes()).hexdigest()
    assert archive.path_of(content_hash).read_bytes() == sheet.read_bytes()
    assert archive.path_of(content_hash).parent.name == content_hash[:2]
    assert archive.check_all([content_hash]) == []
    assert archive.hash_of(sheet) == content_hash


def test_the_same_content_is_kept_once_whatever_its_name(archive, sheet, tmp_path):
    other = tmp_path / "other.txt"
    other.write_bytes(sheet.read_bytes())
    assert archive.put(sheet) == archive.put(other)
    assert len(names(archive)) == 1


def test_a_damaged_file_is_found_and_written_again(archive, sheet):
    content_hash = archive.put(sheet)
    archive.path_of(content_hash).write_bytes(b"rotten")
    assert archive.check_all() == [ArchiveFault(content_hash, "damaged")]
    assert not archive.is_kept(content_hash)
    assert archive.put(sheet) == content_hash
    assert archive.check_all() == []


def test_a_missing_file_is_found(archive):
    assert archive.check_all(["ab" * 32]) == [ArchiveFault("ab" * 32, "missing")]


def test_leftovers_of_killed_programs_are_cleared(archive, sheet):
    archive.folder.mkdir(parents=True)
    (archive.folder / "arriving-abc").write_bytes(b"half")
    content_hash = archive.put(sheet)
    assert names(archive) == [content_hash]


def test_a_file_being_archived_by_another_program_is_left_alone(archive, sheet):
    archive.folder.mkdir(parents=True)
    arriving = archive.folder / "arriving-abc"
    arriving.write_bytes(b"half")
    lock = archive.folder / "lock"
    patience = Patience(1, lambda _text: None, archive.folder)
    with held(lock, patience), pytest.raises(ClubBusyError):
        archive.put(sheet)
    assert arriving.exists()


@pytest.mark.parametrize("text", ["", "ab", "../" * 21 + "x", "G" * 64, "A" * 64])
def test_what_is_no_hash_is_no_place_in_the_archive(archive, text):
    with pytest.raises(ValueError, match="not a content hash"):
        archive.path_of(text)


def test_an_archive_that_cannot_be_written_says_so(tmp_path, sheet):
    (tmp_path / "club").write_text("a file where the folder should be")
    with pytest.raises(ReadOnlyClubError):
        Archive(tmp_path / "club" / "sources").put(sheet)


def test_a_full_disk_leaves_nothing_half_written(archive, tmp_path):
    big = tmp_path / "big.bin"
    big.write_bytes(b"x" * 3_000_000)
    code = """
import resource, sys
from pathlib import Path
from partmuster.store.archive import Archive
from partmuster.store.errors import DiskFullError
resource.setrlimit(resource.RLIMIT_FSIZE, (1000000, 1000000))
try:
    Archive(Path(sys.argv[1])).put(Path(sys.argv[2]))
except DiskFullError:
    sys.exit(3)
"""
    command = [sys.executable, "-c", code, str(archive.folder), str(big)]
    assert subprocess.run(command, check=False).returncode == 3
    assert names(archive) == []


def test_a_source_that_cannot_be_read_is_not_the_archives_fault(archive, tmp_path):
    with pytest.raises(FileNotFoundError):
        archive.put(tmp_path / "gone.csv")


def test_what_cannot_be_written_is_a_full_disk_when_the_system_says_so(archive, sheet, monkeypatch):
    def full(self, target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(DiskFullError, match="no room left"):
        archive.put(sheet)
    assert names(archive) == []

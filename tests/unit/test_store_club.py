import contextlib
import datetime as dt
import errno
import os
import runpy
import subprocess
import sys
import threading
from pathlib import Path
from types import SimpleNamespace

import duckdb
import pytest

from partmuster.store import club as club_module
from partmuster.store import migrations
from partmuster.store.club import Club
from partmuster.store.errors import (
    ClubBusyError,
    ClubChangedError,
    ClubDamagedError,
    ClubTooNewError,
    DiskFullError,
    NoClubError,
    ReadOnlyClubError,
)
from partmuster.store.migrations import Migration
from partmuster.store.settings import generation, put_setting, read_settings

HELPER = Path(__file__).parents[1] / "kill" / "small_club.py"
made = SimpleNamespace(**runpy.run_path(str(HELPER)))


@pytest.fixture
def club(tmp_path):
    return Club.open(tmp_path / "club", create=True, wait=0.3)


def one(con, sql):
    return con.execute(sql).fetchall()[0][0]


@pytest.fixture
def child():
    """Start programs that are ended with the test."""
    with contextlib.ExitStack() as stack:

        def start(code, *arguments):
            command = [sys.executable, "-c", code, *map(str, arguments)]
            pipes = dict.fromkeys(("stdin", "stdout", "stderr"), subprocess.PIPE)
            running = stack.enter_context(subprocess.Popen(command, text=True, **pipes))
            stack.callback(running.kill)
            return running

        yield start


def test_a_folder_without_a_club_says_what_to_do(tmp_path):
    with pytest.raises(NoClubError, match="partmuster init"):
        Club.open(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_new_club_has_its_folders_tables_and_views(club):
    assert club.file.is_file()
    assert club.vocabulary.is_dir()
    with club.reading() as con:
        assert one(con, "SELECT count(*) FROM holding") == 0
        assert one(con, "SELECT count(*) FROM holding_as_of(DATE '2026-01-01', true)") == 0
        assert generation(con) == 0
    assert sorted(p.name for p in club.folder.iterdir()) == [
        "club.duckdb", "lock", "sources", "vocabulary",
    ]  # fmt: skip


def test_what_is_written_is_read_and_counts_as_one_generation(club):
    with club.writing() as con:
        put_setting(con, "country", "GB")
    with club.reading() as con:
        assert read_settings(con)["country"] == "GB"
        assert generation(con) == 1


def test_an_error_while_writing_undoes_everything(club):
    def fail():
        with club.writing() as con:
            put_setting(con, "country", "GB")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        fail()
    with club.reading() as con:
        assert "country" not in read_settings(con)
        assert generation(con) == 0


def test_reading_cannot_write(club):
    with club.reading() as con, pytest.raises(duckdb.Error):
        con.execute("INSERT INTO setting VALUES ('a', 'b')")


def test_a_club_that_changed_since_it_was_read_is_not_written_to(club):
    with club.reading() as con:
        before = generation(con)
    with club.writing(expected=before):
        pass
    with pytest.raises(ClubChangedError, match="try again"), club.writing(expected=before) as con:
        put_setting(con, "country", "GB")
    with club.reading() as con:
        assert "country" not in read_settings(con)


WRITER = """
import sys
from pathlib import Path
from partmuster.store.club import Club
with Club.open(Path(sys.argv[1])).writing():
    print('writing', flush=True)
    sys.stdin.readline()
"""


def test_reader_and_writer_meet_a_writing_program_and_give_up_with_a_clear_word(club, child):
    other = child(WRITER, club.folder)
    try:
        assert other.stdout.readline() == "writing\n"
        told = []
        patient = Club(club.folder, wait=0.4, tell=told.append)
        with pytest.raises(ClubBusyError, match="another program"), patient.reading():
            pass
        with pytest.raises(ClubBusyError, match="another program"), patient.writing():
            pass
        assert len(told) == 2
        assert all("in use" in text for text in told)
    finally:
        other.communicate("\n", timeout=30)
    with club.reading() as con:
        assert generation(con) == 1


def test_a_reader_waits_until_the_other_program_has_finished(club, child):
    other = child(WRITER, club.folder)
    assert other.stdout.readline() == "writing\n"
    threading.Timer(0.5, lambda: (other.stdin.write("\n"), other.stdin.flush())).start()
    told = []
    with Club(club.folder, wait=20, tell=told.append).reading() as con:
        assert generation(con) == 1
    assert len(told) == 1
    other.communicate(timeout=30)


def test_a_writer_waits_for_readers(club):
    told = []
    with club.reading() as con:
        one(con, "SELECT 1")
        with pytest.raises(ClubBusyError), Club(club.folder, 0.2, told.append).writing():
            pass
    assert len(told) == 1
    with club.writing():
        pass


def test_two_programs_that_write_at_once_take_turns(club, child):
    code = """
import sys
from pathlib import Path
from partmuster.store.club import Club
from partmuster.store.settings import put_setting, read_settings
club = Club.open(Path(sys.argv[1]), wait=60)
for _ in range(8):
    with club.writing() as con:
        put_setting(con, 'sum', str(int(read_settings(con).get('sum') or 0) + 1))
"""
    children = [child(code, club.folder) for _ in range(2)]
    for running in children:
        _, errors = running.communicate(timeout=120)
        assert running.returncode == 0, errors
    with club.reading() as con:
        assert read_settings(con)["sum"] == "16"
        assert generation(con) == 16


def test_a_folder_that_cannot_be_made_is_a_read_only_club(tmp_path):
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(ReadOnlyClubError, match="may be read but not written"):
        Club.open(tmp_path / "file" / "club", create=True)


def test_a_write_protected_folder_can_be_read_and_says_so_on_writing(club, monkeypatch):
    really_open = os.open

    def protected(path, flags, *more, **named):
        if flags & (os.O_RDWR | os.O_WRONLY | os.O_CREAT):
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return really_open(path, flags, *more, **named)

    monkeypatch.setattr(os, "open", protected)
    with pytest.raises(ReadOnlyClubError, match="write-protected"), club.writing():
        pass
    monkeypatch.setattr(club_module, "views_hash", lambda: "of another program")
    with club.reading() as con:  # older views still answer
        assert generation(con) == 0


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ('IO Error: Cannot open file "x": Permission denied', ReadOnlyClubError),
        ('IO Error: Could not write file "x": No space left on device', DiskFullError),
        ("IO Error: Corrupt database file: computed checksum 1 does not match", ClubDamagedError),
        ("IO Error: written with a newer version of DuckDB", ClubTooNewError),
    ],
)
def test_errors_of_the_database_are_told_in_plain_words(club, monkeypatch, text, kind):
    def fail(*_arguments, **_named):
        raise duckdb.IOException(text)

    monkeypatch.setattr(duckdb, "connect", fail)
    with pytest.raises(kind) as caught, club.reading():
        pass
    assert str(club.folder) in str(caught.value)


def test_an_error_that_is_a_bug_stays_what_it_is(club):
    with pytest.raises(duckdb.CatalogException), club.writing() as con:
        con.execute("SELECT * FROM no_such_table")


def test_a_full_disk_leaves_the_club_as_it_was(club, child):
    with club.writing() as con:
        put_setting(con, "country", "GB")
    code = f"""
import resource, runpy, sys
from pathlib import Path
from partmuster.store.club import Club
from partmuster.store.errors import DiskFullError
made = runpy.run_path({str(HELPER)!r})
club = Club.open(Path(sys.argv[1]))
size = club.file.stat().st_size
resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
try:
    with club.writing() as con:
        made['put'](con, made['counted'](1, 20000))
except DiskFullError as error:
    print(error)
    sys.exit(3)
"""
    running = child(code, club.folder)
    said, errors = running.communicate(timeout=120)
    assert running.returncode == 3, errors
    assert "no room left" in said
    with club.reading() as con:
        assert read_settings(con)["country"] == "GB"
        assert generation(con) == 1
        assert one(con, "SELECT count(*) FROM said_holding") == 0
    with club.writing() as con:
        made.put(con, made.counted(1))
    with club.reading() as con:
        assert one(con, "SELECT count(*) FROM holding") == 200


def test_a_club_of_a_newer_version_is_refused_for_reading_and_writing(club):
    with club.writing() as con:
        put_setting(con, "schema-version", "999")
    for use in (club.reading, club.writing):
        with pytest.raises(ClubTooNewError, match="Update partmuster"), use():
            pass


@pytest.mark.parametrize("content", [b"", b"not a database " * 1000])
def test_a_damaged_file_is_named(club, content):
    club.file.write_bytes(content)
    for use in (club.reading, club.writing):
        with pytest.raises(ClubDamagedError, match="sources"), use():
            pass


def test_a_database_that_is_no_club_is_refused(club):
    club.file.unlink()
    with duckdb.connect(str(club.file)) as con:
        con.execute("CREATE TABLE setting (name VARCHAR, value VARCHAR)")
    with pytest.raises(ClubDamagedError, match="not a club"), club.reading():
        pass


def test_a_club_deleted_meanwhile_is_no_club(club):
    club.file.unlink()
    for use in (club.reading, club.writing):
        with pytest.raises(NoClubError), use():
            pass


def test_changed_views_are_made_anew_at_the_next_use(club, monkeypatch):
    with club.writing() as con:
        put_setting(con, "views-hash", "old")
        con.execute("DROP VIEW holding")
        con.execute("CREATE VIEW left_from_before AS SELECT 1")
    with club.reading() as con:
        assert one(con, "SELECT count(*) FROM holding") == 0
        views = {row[0] for row in con.execute("SELECT view_name FROM duckdb_views()").fetchall()}
        assert "left_from_before" not in views
        assert read_settings(con)["views-hash"] == migrations.views_hash()


@pytest.fixture
def next_version(monkeypatch):
    """A program whose schema is one version further on."""

    def set_steps(sql):
        steps = (*migrations.migrations(), Migration(len(migrations.migrations()) + 1, sql))
        monkeypatch.setattr(migrations, "migrations", lambda: steps)

    return set_steps


def test_an_older_club_is_upgraded_and_keeps_what_it_holds(club, next_version):
    with club.writing() as con:
        made.put(con, made.counted(1))
    next_version("ALTER TABLE said_holding ADD COLUMN shelf VARCHAR; CREATE TABLE extra (i INT);")
    with club.reading() as con:
        assert one(con, "SELECT count(*) FROM holding WHERE shelf IS NULL") == 200
        assert one(con, "SELECT count(*) FROM extra") == 0
        assert read_settings(con)["schema-version"] == str(len(migrations.migrations()))
    left = {p.name for p in club.folder.iterdir()}
    assert left == {"club.duckdb", "lock", "sources", "vocabulary"}


def test_a_migration_that_fails_leaves_the_club_as_it_was(club, next_version):
    with club.writing() as con:
        made.put(con, made.counted(1))
    before = club.file.read_bytes()
    next_version("ALTER TABLE said_holding ADD COLUMN shelf VARCHAR; SELECT * FROM no_such_table;")
    with pytest.raises(duckdb.CatalogException), club.writing():
        pass
    assert club.file.read_bytes() == before


def test_a_killed_upgrade_is_done_again(club, next_version):
    with club.writing() as con:
        made.put(con, made.counted(1))
    for ending in (".making", ".making.wal", ".before"):
        club.file.with_name(club.file.name + ending).write_bytes(b"half")
    next_version("CREATE TABLE extra (i INT);")
    with club.writing() as con:
        assert one(con, "SELECT count(*) FROM extra") == 0
        assert one(con, "SELECT count(*) FROM holding") == 200
    left = {p.name for p in club.folder.iterdir()}
    assert left == {"club.duckdb", "lock", "sources", "vocabulary"}


def test_an_upgrade_carries_over_what_only_the_log_holds(club, child, next_version):
    code = """
import os, runpy, sys
from pathlib import Path
from partmuster.store.club import Club
import duckdb
con = duckdb.connect(str(Path(sys.argv[1]) / 'club.duckdb'))
con.execute("INSERT INTO setting VALUES ('country', 'GB')")
os._exit(9)
"""
    child(code, club.folder).communicate(timeout=60)
    assert club.file.with_name("club.duckdb.wal").exists()
    next_version("CREATE TABLE extra (i INT);")
    with club.reading() as con:
        assert read_settings(con)["country"] == "GB"
    assert not club.file.with_name("club.duckdb.wal").exists()


def test_opening_for_an_answer_is_quick(club):
    begin = dt.datetime.now(dt.UTC)
    for _ in range(10):
        with club.reading() as con:
            one(con, "SELECT 1")
    assert (dt.datetime.now(dt.UTC) - begin).total_seconds() / 10 < 0.3

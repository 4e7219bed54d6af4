"""Reading in a process of its own: it may crash, hang or grow, and the import goes on."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from partmuster.host import load_plugins, source_file
from partmuster.model import Grid, Lines, NotData, SourceUnreadableError
from partmuster.reading_apart.worker import Limits, ReadingApart, is_small_text
from partmuster.stages.read import read_source
from partmuster_plugins import spreadsheets
from partmuster_plugins.spreadsheets.importer import Spreadsheets

ROOT = Path(__file__).parents[2]
GB = 1 << 30
LIMITS = Limits(memory_bytes=GB, seconds=60)

TROUBLE = ROOT / "tests" / "plugins_bad" / "does_what_its_file_says.py"


@pytest.fixture
def trouble(tmp_path, monkeypatch):
    """Install the importer as an outside plugin; return it with a maker of its files."""
    home = tmp_path / "home"
    about = home / "trouble_plugin-1.0.dist-info"
    about.mkdir(parents=True)
    shutil.copy(TROUBLE, home / "trouble_plugin.py")
    (about / "METADATA").write_text("Metadata-Version: 2.1\nName: trouble_plugin\nVersion: 1.0\n")
    (about / "entry_points.txt").write_text("[partmuster]\ntrouble = trouble_plugin\n")
    monkeypatch.syspath_prepend(home)
    import trouble_plugin

    yield trouble_plugin.Trouble()
    sys.modules.pop("trouble_plugin")


@pytest.fixture
def card(tmp_path):
    def make(words, name="card.trouble"):
        path = tmp_path / name
        path.write_text(words)
        return source_file(path)

    return make


@pytest.fixture
def apart():
    with ReadingApart(LIMITS) as reading:
        yield reading


def plain(batch):
    if isinstance(batch, Grid):
        told = (batch.sheet, batch.page, batch.title, batch.saved_on, batch.stated_on)
        return (
            "grid",
            told,
            *(
                None if one is None else (one.schema, one.rows())
                for one in (batch.cells, batch.marks)
            ),
        )
    if isinstance(batch, Lines):
        return "lines", batch.frame.schema, batch.frame.rows()
    return batch


def reason(result):
    [batch] = result.batches
    return batch.reason


def gone(pid):
    """Return whether a process has ended, within some seconds."""
    until = time.monotonic() + 10
    while time.monotonic() < until:
        try:
            if psutil.Process(pid).status() == psutil.STATUS_ZOMBIE:
                return True
        except psutil.NoSuchProcess:
            return True
        time.sleep(0.05)
    return False


def test_every_sort_of_batch_arrives_as_it_was_read(apart, trouble, card):
    source = card("everything")
    here, there = read_source(trouble, source), apart.read(trouble, source)
    assert [plain(batch) for batch in there.batches] == [plain(batch) for batch in here.batches]
    assert there.batches[0].saved_on == dt.date(2026, 3, 5)
    assert isinstance(there.batches[3], NotData)
    assert there.problems == here.problems == []


@pytest.mark.parametrize("folder", ["samples/ashmere", "tests/golden/ordinary/sheets"])
def test_sheets_are_read_apart_as_they_are_read_here(apart, folder):
    importer = Spreadsheets()
    paths = [p for p in sorted((ROOT / folder).rglob("*")) if p.is_file()]
    assert paths
    for path in paths:
        source = source_file(path)
        if importer.sniff(source) is None:
            continue
        here, there = read_source(importer, source), apart.read(importer, source)
        assert [plain(one) for one in there.batches] == [plain(one) for one in here.batches], path


def test_a_large_frame_arrives_whole_in_its_order(apart, tmp_path):
    path = tmp_path / "many.csv"
    rows = "".join(f"Dynamo {n},{n},shelf {n} {'x' * (n % 90)}\n" for n in range(300_000))
    path.write_text("What,Qty,Where\n" + rows)
    [there] = apart.read(Spreadsheets(), source_file(path)).batches
    [here] = read_source(Spreadsheets(), source_file(path)).batches
    assert there.cells.equals(here.cells)


def test_one_process_reads_all_files(apart, trouble, card):
    pids = {reason(apart.read(trouble, card("pid", f"{n}.trouble"))) for n in range(4)}
    assert len(pids) == 1
    assert pids != {str(os.getpid())}


CRASHES = {
    "abort": ["SIGABRT", "1 GB"],
    "segfault": ["SIGSEGV", "1 GB"],
    "leave": ["exit code 3", "native code gave up"],
    "python_memory": ["1 GB of memory"],
    "native_memory": ["1 GB of memory"],
    "babble": ["SIGKILL"],
}


@pytest.mark.parametrize("word", CRASHES)
def test_a_crash_is_told_with_file_limit_and_what_to_do_and_the_next_file_is_read(
    apart, trouble, card, word
):
    with pytest.raises(SourceUnreadableError) as caught:
        apart.read(trouble, card(word, "bad.trouble"))
    text = str(caught.value)
    for words in ["bad.trouble", "'trouble'", "Nothing of this file was taken", *CRASHES[word]]:
        assert words in text
    assert "save" in text.lower()
    assert int(reason(apart.read(trouble, card("pid", "good.trouble")))) != os.getpid()


@pytest.mark.parametrize("word", ["sleep", "hold"])
def test_a_file_that_takes_too_long_is_given_up_and_the_next_is_read(trouble, card, word):
    with ReadingApart(Limits(memory_bytes=GB, seconds=2)) as apart:
        apart.read(trouble, card("pid"))
        began = time.monotonic()
        with pytest.raises(SourceUnreadableError, match=r"bad\.trouble.*2 seconds.*Save"):
            apart.read(trouble, card(word, "bad.trouble"))
        assert 1.5 < time.monotonic() - began < 20
        assert int(reason(apart.read(trouble, card("pid", "good.trouble")))) != os.getpid()


@pytest.mark.parametrize("word", ["index", "unreadable", "rubbish", "exit"])
def test_what_fails_in_the_other_process_is_told_in_the_same_words(apart, trouble, card, word):
    source = card(word)
    with pytest.raises(SourceUnreadableError) as here:
        read_source(trouble, source)
    with pytest.raises(SourceUnreadableError) as there:
        apart.read(trouble, source)
    assert str(there.value) == str(here.value)
    before = apart.pid
    reason(apart.read(trouble, card("pid", "good.trouble")))
    assert apart.pid == before, "no fault of this sort ends the process"


def test_reading_nothing_is_told(apart, trouble, card):
    result = apart.read(trouble, card("silent"))
    assert result.batches == []
    assert [problem.code for problem in result.problems] == ["nothing-read"]


def test_what_an_importer_prints_reaches_neither_the_answer_nor_the_terminal(
    apart, trouble, card, capfd
):
    assert reason(apart.read(trouble, card("prints"))) == "printed"
    assert capfd.readouterr() == ("", "")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux has the limit")
def test_the_process_has_a_limit_of_memory_beyond_its_start_and_few_threads(apart, trouble, card):
    limit, said, threads = map(int, reason(apart.read(trouble, card("limits"))).split())
    used = psutil.Process(apart.pid).memory_info().vms
    assert GB < limit < used + GB + (1 << 26)
    assert said == threads <= 2


def test_an_importer_that_cannot_be_sent_is_read_in_this_process(apart, card):
    class Local:
        name, version = "local", "1"

        def read(self, source):
            yield NotData(str(os.getpid()))

    assert reason(apart.read(Local(), card("pid"))) == str(os.getpid())


def test_an_importer_that_the_other_process_cannot_have_is_read_in_this_one(
    apart, trouble, card, monkeypatch
):
    apart.start()
    Path(sys.modules["trouble_plugin"].__file__).unlink()
    assert reason(apart.read(trouble, card("pid"))) == str(os.getpid())


def waited_for(path):
    until = time.monotonic() + 20
    while not path.exists() and time.monotonic() < until:
        time.sleep(0.02)
    return path.exists()


def test_a_file_is_read_ahead_once_while_nobody_waits(apart, trouble, card, tmp_path):
    source = card(f"started {tmp_path / 'mark'}")
    assert apart.ahead(trouble, source)
    assert waited_for(tmp_path / "mark")
    assert reason(apart.read(trouble, source)) == "started"
    assert (tmp_path / "mark").read_text() == "read\n"
    assert reason(apart.read(trouble, source)) == "started"
    assert (tmp_path / "mark").read_text() == "read\n" * 2


@pytest.mark.parametrize("word", ["pid", "index", "abort"])
def test_a_file_read_ahead_that_nobody_asks_for_spoils_nothing(apart, trouble, card, word):
    apart.ahead(trouble, card(word, "unwanted.trouble"))
    assert reason(apart.read(trouble, card("pid", "good.trouble"))) != str(os.getpid())


def test_a_file_that_crashes_while_it_is_read_ahead_is_told_when_it_is_asked_for(
    apart, trouble, card
):
    bad = card("abort", "bad.trouble")
    apart.ahead(trouble, bad)
    with pytest.raises(SourceUnreadableError, match="SIGABRT"):
        apart.read(trouble, bad)


def test_the_process_ends_when_reading_is_over(trouble, card):
    with ReadingApart(LIMITS) as apart:
        apart.read(trouble, card("pid"))
        apart.ahead(trouble, card("sleep", "long.trouble"))
        pid = apart.pid
    assert gone(pid)


PARENT = """
import sys, time
from partmuster.host import source_file
from partmuster.reading_apart.worker import ReadingApart
import trouble_plugin
from pathlib import Path
importer = trouble_plugin.Trouble()
reading = ReadingApart()
reading.read(importer, source_file(Path(sys.argv[1])))
if len(sys.argv) > 2:
    reading.ahead(importer, source_file(Path(sys.argv[2])))
    time.sleep(0.3)
print(reading.pid, flush=True)
time.sleep(600)
"""


@pytest.mark.parametrize("busy", [None, "sleep", "hold"])
def test_the_process_never_outlives_one_that_is_killed(trouble, card, tmp_path, busy):
    files = [card("pid").path] + ([card(busy, "busy.trouble").path] if busy else [])
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    with subprocess.Popen(
        [sys.executable, "-c", PARENT, *map(str, files)], stdout=subprocess.PIPE, env=env
    ) as parent:
        pid = int(parent.stdout.readline())
        assert psutil.pid_exists(pid)
        parent.kill()
    assert gone(pid)


def import_command(tmp_path, *paths):
    (tmp_path / "scratch").mkdir()
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path),
           "TMPDIR": str(tmp_path / "scratch")}  # fmt: skip
    command = [sys.executable, "-m", "partmuster", "--club", str(tmp_path / "club"), "import"]
    return subprocess.Popen(
        [*command, *map(str, paths)], env=env, text=True, start_new_session=True,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip


def test_an_import_goes_on_after_a_crash_and_leaves_no_file_behind(trouble, card, tmp_path):
    bad = card("abort", "bad.trouble").path
    (tmp_path / "good.csv").write_text("What,Qty,Whose\nDynamo,2,Bob Birch\n")
    with import_command(tmp_path, bad, tmp_path / "good.csv") as running:
        out, err = running.communicate(timeout=60)
    assert running.returncode == 1
    assert "bad.trouble: failed" in out
    assert "SIGABRT" in out
    assert "good.csv: new (1 holding); 1 loaded" in out
    assert "Traceback" not in out + err
    assert list((tmp_path / "scratch").iterdir()) == []


def test_ctrl_c_ends_both_processes_and_leaves_no_file_behind(trouble, card, tmp_path):
    mark = tmp_path / "mark"
    first, second = card(f"started {mark}", "a.trouble").path, card("hold", "b.trouble").path
    with import_command(tmp_path, first, second) as running:
        assert waited_for(mark)
        time.sleep(0.5)
        children = psutil.Process(running.pid).children(recursive=True)
        assert children
        os.killpg(running.pid, signal.SIGINT)
        out, err = running.communicate(timeout=30)
    assert running.returncode != 0
    assert all(gone(child.pid) for child in children)
    assert "Traceback" not in out + err
    assert list((tmp_path / "scratch").iterdir()) == []


def test_only_small_plain_text_of_a_built_in_importer_is_read_in_this_process(
    apart, trouble, card, make_source, monkeypatch
):
    host = load_plugins([spreadsheets])
    assert host.built_in == {"spreadsheets"}
    small = make_source("a.csv", "What,Qty\nDynamo,1\n")
    assert is_small_text(small)
    assert reason_of_start(apart, host, small) is None
    assert reason_of_start(apart, host, card("pid")) is not None


def reason_of_start(apart, host, source):
    importer = host.claim(source)
    apart.read(importer, source, trusted=importer.name in host.built_in)
    return apart.pid


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("a.xlsx", b"PK\x03\x04rest"),
        ("a.csv", b"PK\x03\x04rest"),
        ("a.csv", b"%PDF-1.7\nrest"),
        ("a.csv", b"\xd0\xcf\x11\xe0rest"),
        ("a.txt", b"<html>rest"),
        ("a.csv", b"a\0b,c\n1,2\n"),
        ("a.csv", b"a,b\n" + b"1,2\n" * 300_000),
        ("a.eml", b"From: a\n\nrest"),
    ],
)
def test_other_files_are_no_small_plain_text(make_source, name, content):
    assert not is_small_text(make_source(name, content))


class Slow:
    """Counts what it hears."""

    def __init__(self):
        self.told = []

    def __call__(self, name, number):
        self.told.append((name, number))


def test_the_time_of_what_is_slow_by_nature_is_for_each_page(trouble, card):
    trouble.slow_batches = True
    slow = Slow()
    with ReadingApart(Limits(memory_bytes=GB, seconds=2)) as apart:
        apart.heard = slow
        four = apart.read(trouble, card("pages 0.8"))
        assert [batch.page for batch in four.batches] == [1, 2, 3, 4]
        assert slow.told == [("card.trouble", number) for number in (1, 2, 3, 4)]
        with pytest.raises(SourceUnreadableError, match="given up after 2 seconds"):
            apart.read(trouble, card("sleep", "hangs.trouble"))


def test_others_have_their_time_for_the_whole_file(trouble, card):
    with (
        ReadingApart(Limits(memory_bytes=GB, seconds=2)) as apart,
        pytest.raises(SourceUnreadableError, match="given up after 2 seconds"),
    ):
        apart.read(trouble, card("pages 0.8"))

"""The shipped contract suite, on the built-in spreadsheets and a pip-installed outside plugin."""

from __future__ import annotations

import importlib
import subprocess
import sys
from pathlib import Path

import polars as pl
import pytest

from partmuster.host import load_plugins, source_file
from partmuster.model import Claim, Grid
from partmuster.stages.read import read_source
from partmuster.testing.contract import ImporterContract
from partmuster.testing.watching import what_was_touched
from partmuster_plugins import spreadsheets
from partmuster_plugins.spreadsheets.importer import Spreadsheets

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "samples" / "outside_plugin"
SHEETS = ROOT / "tests" / "golden" / "sheets"


class TestSpreadsheets(ImporterContract):
    @pytest.fixture
    def importer(self):
        return Spreadsheets()

    @pytest.fixture
    def samples(self):
        return [path for path in sorted(SHEETS.iterdir()) if ".expected." not in path.name]


@pytest.fixture(scope="session")
def example_installed(tmp_path_factory):
    """Install the example from its folder with pip, without network, into a folder of its own."""
    target = tmp_path_factory.mktemp("site")
    options = ["--no-deps", "--no-index", "--no-build-isolation", "--quiet", "--no-cache-dir"]
    command = [sys.executable, "-m", "pip", "install", *options, "--target", target, EXAMPLE]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"the build needs hatchling installed: {done.stderr}"
    return target


@pytest.fixture
def example_host(example_installed, monkeypatch):
    monkeypatch.syspath_prepend(example_installed)
    yield load_plugins([spreadsheets])
    sys.modules.pop("ashmere_card_index", None)


class TestOutsideExample(ImporterContract):
    @pytest.fixture
    def importer(self, example_host):
        return next(one for one in example_host.importers if one.name == "ashmere-card-index")

    @pytest.fixture
    def samples(self):
        return [EXAMPLE / "spares.cards"]

    def test_it_came_from_where_pip_put_it(self, importer, example_installed):
        module = importlib.import_module(type(importer).__module__)
        assert Path(module.__file__).is_relative_to(example_installed)

    def test_the_host_gives_it_its_file(self, example_host):
        source = source_file(EXAMPLE / "spares.cards")
        importer = example_host.claim(source)
        assert importer.name == "ashmere-card-index"
        [grid] = read_source(importer, source).batches
        assert grid.cells.rows() == [
            (1, "Part", "Qty", "Shelf", "State"),
            (2, "Brake band, Otter", "2", "B4", None),
            (6, "Dip switch", "1", None, "seized"),
        ]

    def test_it_is_short_enough_to_learn_from(self):
        text = (EXAMPLE / "ashmere_card_index.py").read_text()
        assert len(text.splitlines()) < 40


class Snooping(Spreadsheets):
    """Reads a file beside the one it was given."""

    name = "snooping"

    def read(self, source):
        (source.path.parent / "other.csv").read_bytes()
        yield from super().read(source)


class Forgetful(Spreadsheets):
    """Gives fewer rows each time, and one cell that is no text."""

    name = "forgetful"
    rows = 5

    def read(self, source):
        self.rows -= 1
        numbers = list(range(1, self.rows + 1))
        yield Grid(pl.DataFrame({"row": numbers, "1": numbers}, {"row": pl.Int32, "1": pl.Int64}))


@pytest.fixture
def two_tables(tmp_path):
    for name in ("mine.csv", "other.csv"):
        (tmp_path / name).write_text("Part,Qty\nHinge,2\nLamp,1\n")
    return [tmp_path / "mine.csv"]


def test_the_suite_finds_an_importer_that_reads_other_files(two_tables):
    with pytest.raises(AssertionError, match=r"mine\.csv"):
        ImporterContract().test_only_its_file_is_read(Snooping(), two_tables)


def test_the_suite_finds_unsound_and_unequal_batches(two_tables):
    with pytest.raises(AssertionError, match=r"mine\.csv"):
        ImporterContract().test_batches_are_sound(Forgetful(), two_tables)
    with pytest.raises(AssertionError):
        ImporterContract().test_reading_twice_gives_the_same(Forgetful(), two_tables)


def test_the_suite_finds_an_importer_that_claims_pictures(tmp_path):
    class Greedy(Spreadsheets):
        def sniff(self, source):
            return Claim(0.9)

    with pytest.raises(AssertionError):
        ImporterContract().test_it_leaves_foreign_files_alone(Greedy(), tmp_path, ".png")


def test_connections_and_programs_are_seen(tmp_path):
    with what_was_touched(tmp_path) as touched:
        subprocess.run([sys.executable, "-c", ""], check=True)
    assert any("subprocess.Popen" in one for one in touched)

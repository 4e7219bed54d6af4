"""Every publisher keeps the contract that ships for plugin authors; bad ones are found out."""

from __future__ import annotations

import datetime as dt
import importlib
import subprocess
import sys
import tempfile
from pathlib import Path

import pypdfium2
import pytest

from partmuster.host import load_plugins
from partmuster.testing.made_views import AUDIENCES, MadeView
from partmuster.testing.publisher_contract import PublisherContract
from partmuster.testing.watching import what_was_touched
from partmuster_plugins.publishers.page import Page
from partmuster_plugins.publishers.pdf import Pdf
from partmuster_plugins.publishers.tables import Tables
from partmuster_plugins.publishers.workbook import Workbook

EXAMPLE = Path(__file__).parents[2] / "samples" / "outside_plugin"


class TestWorkbook(PublisherContract):
    @pytest.fixture
    def publisher(self):
        return Workbook()


class TestTables(PublisherContract):
    @pytest.fixture
    def publisher(self):
        return Tables()


class TestPage(PublisherContract):
    @pytest.fixture
    def publisher(self):
        return Page()


class TestPdf(PublisherContract):
    @pytest.fixture
    def publisher(self):
        return Pdf()

    def text_of(self, path):
        pdf = pypdfium2.PdfDocument(path)
        about = pdf.get_metadata_dict()
        text = "\n".join(page.get_textpage().get_text_range() for page in pdf)
        pdf.close()
        return f"{about}\n{text}"


@pytest.fixture(scope="module")
def example_installed(tmp_path_factory):
    """Install the example from its folder with pip, without network, into a folder of its own."""
    target = tmp_path_factory.mktemp("site")
    options = ["--no-deps", "--no-index", "--no-build-isolation", "--quiet", "--no-cache-dir"]
    command = [sys.executable, "-m", "pip", "install", *options, "--target", target, EXAMPLE]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"the build needs hatchling installed: {done.stderr}"
    return target


class TestOutsideExample(PublisherContract):
    @pytest.fixture
    def publisher(self, example_installed, monkeypatch):
        monkeypatch.syspath_prepend(example_installed)
        host = load_plugins([])
        yield next(one for one in host.publishers if one.name == "notice")
        for module in ("ashmere_card_index", "ashmere_notice"):
            sys.modules.pop(module, None)

    def test_it_came_from_where_pip_put_it(self, publisher, example_installed):
        module = importlib.import_module(type(publisher).__module__)
        assert Path(module.__file__).is_relative_to(example_installed)

    def test_its_notice_is_one_for_a_board(self, publisher, tmp_path):
        [path] = publisher.publish(MadeView("circulated", rows=2), tmp_path)
        assert path.read_text("utf-8").splitlines() == [
            "Vale of Ashmere Vehicle Club",
            "Monthly report, October 2021, for: circulated",
            "This copy is for: circulated.",
            "",
            "# Parts that are held",
            "- part: track guard; quantity: 2; wanted: 0; low: 0 %; new: yes; said on: 2021-10-01",
            "- part: dynamo; quantity: 0.5; wanted: 12345; low: 38 %; new: no; said on: 2019-02-28",
            "",
            "# A section without rows",
            "There is nothing to tell.",
        ]

    def test_it_is_short_enough_to_learn_from(self):
        assert len((EXAMPLE / "ashmere_notice.py").read_text().splitlines()) < 40


class Written:
    """A publisher of one text file, as bad as its subclass makes it."""

    name = "written"
    version = "1"

    def publish(self, club_view, out_dir):
        path = out_dir / f"{club_view.file_name}.txt"
        words = [club_view.club, club_view.title, club_view.audience, *club_view.head]
        for section in club_view.sections():
            words += [section.title, str(club_view.ask(section.name).to_dicts())]
        path.write_text("\n".join([*words, *self.more(club_view)]), encoding="utf-8")
        return [path]

    def more(self, club_view):
        return ()


class Dated(Written):
    def more(self, club_view):
        return [str(dt.date.today())]  # noqa: DTZ011


class Ticking(Written):
    def more(self, club_view):
        return [dt.datetime.now(dt.UTC).strftime("%S")]


class Signed(Written):
    def more(self, club_view):
        return [str(Path.home())]


class Keeping(Written):
    kept: tuple[str, ...] = ()

    def more(self, club_view):
        told = [str(club_view.ask(one.name).to_dicts()) for one in club_view.sections()]
        self.kept += tuple(told)
        return self.kept


class Careless(Written):
    def publish(self, club_view, out_dir):
        (out_dir / "left over.tmp").write_text("x")
        return super().publish(club_view, out_dir)


class Elsewhere(Written):
    def more(self, club_view):
        with tempfile.TemporaryFile() as file:
            file.write(b"names")
        return ()


class Nameless(Written):
    def publish(self, club_view, out_dir):
        [path] = super().publish(club_view, out_dir)
        return [path.rename(out_dir / "report.txt")]


def run(test, *arguments):
    """Run one test of the contract; tell what it finds."""
    with pytest.raises(AssertionError) as found:
        getattr(PublisherContract(), test)(*arguments)
    return str(found.value)


@pytest.fixture
def out_dir(tmp_path):
    (tmp_path / "out").mkdir()
    return tmp_path / "out"


@pytest.mark.parametrize("audience", AUDIENCES)
def test_a_plain_publisher_passes(audience, out_dir, tmp_path, monkeypatch):
    PublisherContract().test_a_document_tells_what_it_is_and_for_whom(Written(), out_dir, audience)
    PublisherContract().test_nothing_is_printed_that_the_view_does_not_give(
        Written(), tmp_path, monkeypatch, audience
    )


@pytest.mark.parametrize(
    ("publisher", "words"),
    [(Dated, "tells when"), (Signed, "tells where or by whom"), (Keeping, "not for circulated")],
)
def test_what_a_view_does_not_give_is_found_out(publisher, words, tmp_path, monkeypatch):
    test = "test_nothing_is_printed_that_the_view_does_not_give"
    assert words in run(test, publisher(), tmp_path, monkeypatch, "circulated")


def test_a_clock_is_found_out(tmp_path):
    run("test_the_same_view_gives_the_same_files", Ticking(), tmp_path)


def test_what_is_left_over_is_found_out(out_dir):
    assert "return what was made" in run(
        "test_a_document_tells_what_it_is_and_for_whom", Careless(), out_dir, "members"
    )


def test_files_that_do_not_say_of_what_they_are_are_found_out(out_dir):
    run("test_names_of_files_begin_as_the_view_says", Nameless(), out_dir)


def test_what_is_written_elsewhere_is_found_out(tmp_path):
    told = run("test_only_its_folder_is_written_to", Elsewhere(), tmp_path)
    assert tempfile.gettempdir() in told


def test_a_watched_folder_is_free_and_its_neighbours_are_not(tmp_path):
    inside, outside = tmp_path / "inside", tmp_path / "outside"
    inside.mkdir()
    outside.mkdir()
    (outside / "old").write_text("x")
    with what_was_touched(inside, libraries=True) as touched:
        (inside / "new").write_text("x")
        (inside / "new").rename(inside / "newer")
        (outside / "old").read_text()
        (outside / "old").rename(outside / "older")
        (outside / "older").unlink()
        (outside / "made").mkdir()
    assert touched == [
        f"opened {outside / 'old'}",
        f"os.rename {outside / 'old'}",
        f"os.rename {outside / 'older'}",
        f"os.remove {outside / 'older'}",
        f"os.mkdir {outside / 'made'}",
    ]

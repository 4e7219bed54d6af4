"""What every publisher must keep to, as a test class to subclass.

Example::

    class TestMine(PublisherContract):
        @pytest.fixture
        def publisher(self):
            return MyPublisher()
"""

from __future__ import annotations

import datetime as dt
import socket
import time
import zipfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from partmuster.plugin_api import PartmusterError, Publisher

from .loading import heavy_loaded
from .made_views import AUDIENCES, HARD_TEXTS, MadeView
from .watching import what_was_touched

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.plugin_api import ClubView

#: Names of people and machines that stand in the environment while a publisher works.
_SURROUNDINGS = ("LOGNAME", "USER", "USERNAME", "HOSTNAME", "EMAIL", "HOME")
_HERE = "not-from-the-view"
#: Formats that keep times do so to two seconds.
_NEXT_TICK = 2.1


class PublisherContract:
    """Subclass it, and give the fixture ``publisher``.

    ``text_of`` returns what a published file says; override it for a form that is neither text nor
    a zip of texts.
    """

    @pytest.fixture
    def publisher(self) -> Publisher:
        """Return the publisher under test."""
        raise NotImplementedError("give a fixture 'publisher'")

    def text_of(self, path: Path) -> str:
        """Return all that a published file says, as text."""
        if zipfile.is_zipfile(path):
            with zipfile.ZipFile(path) as parts:
                return "\n".join(
                    f"{one.filename}\n{parts.read(one).decode('utf-8', 'replace')}"
                    for one in parts.infolist()
                )
        return path.read_bytes().decode("utf-8", "replace")

    @pytest.fixture
    def out_dir(self, tmp_path: Path) -> Path:
        """Return the empty folder that a publisher writes into."""
        folder = tmp_path / "out"
        folder.mkdir()
        return folder

    def published(self, publisher: Publisher, view: ClubView, out_dir: Path) -> list[Path]:
        """Publish, and look whether the paths that were returned are those of all files made."""
        paths = publisher.publish(view, out_dir)
        assert isinstance(paths, list)
        assert all(isinstance(path, Path) for path in paths)
        made = {path.resolve() for path in out_dir.rglob("*") if path.is_file()}
        assert {path.resolve() for path in paths} == made, "return what was made, and no more"
        assert len(paths) == len(made), "a path was returned twice"
        assert paths, "nothing was published"
        assert all(path.stat().st_size for path in paths)
        return paths

    def test_it_is_a_publisher(self, publisher: Publisher) -> None:
        """The object has a name that can be typed at a command, a version, and ``publish``."""
        assert isinstance(publisher, Publisher)
        assert publisher.name
        assert publisher.name == publisher.name.strip().lower()
        assert publisher.version

    @pytest.mark.parametrize("audience", AUDIENCES)
    def test_a_document_tells_what_it_is_and_for_whom(
        self, publisher: Publisher, out_dir: Path, audience: str
    ) -> None:
        """Club, title, audience and the sentences of the head stand in it, and each section."""
        view = MadeView(audience)
        paths = self.published(publisher, view, out_dir)
        text = " ".join("\n".join(self.text_of(path) for path in paths).split())
        for words in (view.club, view.title, *view.head, *(one.title for one in view.sections())):
            assert words in text, f"'{words}' is not told"
        assert audience in text.lower(), "for whom it is is not told"
        assert "track guard" in text, "the rows are not there"

    def test_names_of_files_begin_as_the_view_says(
        self, publisher: Publisher, out_dir: Path
    ) -> None:
        """Two documents may go into one folder."""
        view = MadeView()
        for path in self.published(publisher, view, out_dir):
            assert str(path.resolve().relative_to(out_dir.resolve())).startswith(view.file_name)

    @pytest.mark.parametrize("audience", AUDIENCES)
    def test_nothing_is_printed_that_the_view_does_not_give(
        self, publisher: Publisher, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, audience: str
    ) -> None:
        """Neither today, nor who is at the machine, nor where files lie; nor another section."""
        out_dir = tmp_path / _HERE
        out_dir.mkdir()
        for name in _SURROUNDINGS:
            monkeypatch.setenv(name, str(out_dir))
        monkeypatch.setattr(socket, "gethostname", lambda: _HERE)
        (tmp_path / "before").mkdir()
        publisher.publish(MadeView(), tmp_path / "before")  # all: nothing of it may be kept
        view = MadeView(audience)
        paths = self.published(publisher, view, out_dir)
        today = dt.date.today()  # noqa: DTZ011 - what a careless publisher would print
        for path in paths:
            text = self.text_of(path)
            assert _HERE not in text, f"{path.name} tells where or by whom it was made"
            assert today.isoformat() not in text, f"{path.name} tells when it was made"
            for kept in view.kept_back():
                assert kept not in text, f"{path.name} prints what is not for {audience}"

    def test_only_what_a_view_has_is_asked(self, publisher: Publisher, out_dir: Path) -> None:
        """A publisher asks for the sections that the view names, and a view may refuse others."""
        view = MadeView()
        publisher.publish(view, out_dir)
        assert set(view.asked) <= {one.name for one in view.sections()}
        with pytest.raises(PartmusterError):
            view.ask("no such section")

    def test_the_same_view_gives_the_same_files(self, publisher: Publisher, tmp_path: Path) -> None:
        """Byte for byte, at another time, in another folder and another time zone."""
        made = []
        for folder, zone in (("first", "UTC"), ("second", "Asia/Tokyo")):
            out_dir = tmp_path / folder
            out_dir.mkdir()
            with _time_zone(zone):
                paths = self.published(publisher, MadeView(), out_dir)
            made.append([(path.relative_to(out_dir), path.read_bytes()) for path in paths])
            time.sleep(_NEXT_TICK if folder == "first" else 0)
        assert made[0] == made[1]

    def test_only_its_folder_is_written_to(self, publisher: Publisher, tmp_path: Path) -> None:
        """No other file, no network, no other program; what came with libraries may be read."""
        warm, out_dir = tmp_path / "warm", tmp_path / "out"
        warm.mkdir()
        out_dir.mkdir()
        publisher.publish(MadeView(), warm)  # loads what is imported late
        with what_was_touched(out_dir, libraries=True) as touched:
            publisher.publish(MadeView(), out_dir)
        assert touched == []
        assert sorted(path.name for path in tmp_path.iterdir()) == ["out", "warm"]

    @pytest.mark.parametrize("audience", AUDIENCES)
    def test_sections_without_rows_say_what_that_means(
        self, publisher: Publisher, out_dir: Path, audience: str
    ) -> None:
        """An empty section is no fault; a form for reading says its ``if_empty``."""
        self.published(publisher, MadeView(audience, rows=0), out_dir)

    def test_a_document_may_have_no_sections(self, publisher: Publisher, out_dir: Path) -> None:
        """A head alone is a document."""
        self.published(publisher, MadeView(tables=()), out_dir)

    def test_no_text_is_too_hard(self, publisher: Publisher, out_dir: Path) -> None:
        """Markup, formulas, line ends, controls, foreign scripts, 10,000 letters; all columns."""
        self.published(publisher, MadeView(rows=len(HARD_TEXTS), hard=True), out_dir)

    def test_its_module_loads_nothing_heavy(self, publisher: Publisher) -> None:
        """Importing the plugin costs little: heavy libraries are imported inside ``publish``."""
        module = type(publisher).__module__
        loaded = heavy_loaded(module)
        assert loaded == [], f"{module} loads {', '.join(loaded)} when imported"


@contextmanager
def _time_zone(zone: str) -> Iterator[None]:
    """Let local time be that of a zone, where the system can do that."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", zone)
        _heed_the_zone()
        yield
    _heed_the_zone()


def _heed_the_zone() -> None:
    if hasattr(time, "tzset"):
        time.tzset()

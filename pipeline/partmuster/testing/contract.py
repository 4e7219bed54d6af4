"""What every importer must keep to, as a test class to subclass.

Example::

    class TestMine(ImporterContract):
        @pytest.fixture
        def importer(self):
            return MyImporter()

        @pytest.fixture
        def samples(self):
            return sorted(Path("samples").glob("*.mine"))
"""

from __future__ import annotations

import contextlib
import time
from typing import TYPE_CHECKING, Any, ClassVar

import pytest

from partmuster.batches import batch_faults
from partmuster.host import source_file
from partmuster.plugin_api import (
    Claim,
    Grid,
    Importer,
    Lines,
    NotData,
    PageDrawer,
    SourceUnreadableError,
)

from .loading import heavy_loaded
from .watching import what_was_touched

if TYPE_CHECKING:
    from pathlib import Path

    import polars as pl

    from partmuster.plugin_api import Batch

#: Starts of files that most importers must leave alone, by suffix.
FOREIGN: dict[str, bytes] = {
    ".png": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x06",
    ".jpg": b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00",
    ".pdf": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<</Type/Catalog>>\nendobj\n",
    ".gif": b"GIF89a\x01\x00\x01\x00\x80\x00\x00\x00\x00\x00\xff\xff\xff;",
    ".exe": b"MZ\x90\x00\x03\x00\x00\x00\x04\x00\x00\x00\xff\xff\x00\x00\xb8" + bytes(64),
    ".sqlite": b"SQLite format 3\x00\x10\x00\x01\x01\x00@  " + bytes(64),
    ".bin": bytes(range(256)) * 8,
}

SUFFIXES = (".xlsx", ".xls", ".csv", ".tsv", ".txt", ".eml", ".html", ".json", ".zip", "", *FOREIGN)

GARBAGE: dict[str, bytes] = {
    "empty": b"",
    "one byte": b"\x00",
    "line ends": b"\r\n\r\r\n\n",
    "cut zip": b"PK\x03\x04\x14\x00\x06\x00\x08\x00\x00\x00!\x00",
    "cut text": "Kühler".encode("utf-16")[:-1],
    "every byte": bytes(range(256)) * 16,
}

#: Longest time a look at a file may take, in seconds; sniffing is asked of every importer.
QUICK = 0.5


class ImporterContract:
    """Subclass it, and give the fixtures ``importer`` and ``samples`` (paths of good files).

    ``may_claim``: suffixes of ``FOREIGN`` that are this importer's own business.
    """

    may_claim: ClassVar[frozenset[str]] = frozenset()

    @pytest.fixture
    def importer(self) -> Importer:
        """Return the importer under test."""
        raise NotImplementedError("give a fixture 'importer'")

    @pytest.fixture
    def samples(self) -> list[Path]:
        """Return files that the importer reads, at least one."""
        raise NotImplementedError("give a fixture 'samples'")

    def test_it_is_an_importer(self, importer: Importer) -> None:
        """The object has a name, a version, ``sniff`` and ``read``."""
        assert isinstance(importer, Importer)
        assert isinstance(importer.name, str)
        assert importer.name
        assert isinstance(importer.version, str)
        assert importer.version

    def test_it_claims_its_samples(self, importer: Importer, samples: list[Path]) -> None:
        """Each sample is claimed, with a strength above 0 and up to 1."""
        assert samples, "give at least one sample"
        for path in samples:
            claim = importer.sniff(source_file(path))
            assert isinstance(claim, Claim), f"{path.name} is not claimed"
            assert 0 < claim.strength <= 1, path.name

    @pytest.mark.parametrize("suffix", FOREIGN)
    def test_it_leaves_foreign_files_alone(
        self, importer: Importer, tmp_path: Path, suffix: str
    ) -> None:
        """Pictures, documents and programs of other sorts are not claimed."""
        path = tmp_path / f"foreign{suffix}"
        path.write_bytes(FOREIGN[suffix])
        if suffix not in self.may_claim:
            assert importer.sniff(source_file(path)) is None

    @pytest.mark.parametrize("garbage", GARBAGE)
    def test_sniff_never_raises(self, importer: Importer, tmp_path: Path, garbage: str) -> None:
        """Whatever a file holds and is called, ``sniff`` answers with a claim or None."""
        for suffix in SUFFIXES:
            path = tmp_path / f"garbage{suffix}"
            path.write_bytes(GARBAGE[garbage])
            claim = importer.sniff(source_file(path))
            assert claim is None or isinstance(claim, Claim), suffix

    @pytest.mark.parametrize("garbage", GARBAGE)
    def test_garbage_is_refused_in_words(
        self, importer: Importer, samples: list[Path], tmp_path: Path, garbage: str
    ) -> None:
        """A file of the right name and wrong content gives sound batches or a clear error."""
        path = tmp_path / f"garbage{samples[0].suffix}"
        path.write_bytes(GARBAGE[garbage])
        with contextlib.suppress(SourceUnreadableError):
            batches = list(importer.read(source_file(path)))
            assert [fault for batch in batches for fault in batch_faults(batch)] == []

    def test_sniff_is_quick(self, importer: Importer, samples: list[Path]) -> None:
        """A look takes no longer than ``QUICK``, whatever reading takes."""
        for path in samples:
            source = source_file(path)
            start = time.perf_counter()
            importer.sniff(source)
            assert time.perf_counter() - start < QUICK, path.name

    def test_batches_are_sound(self, importer: Importer, samples: list[Path]) -> None:
        """``read`` yields only batches; addresses are ascending and every cell is text."""
        for path in samples:
            batches = list(importer.read(source_file(path)))
            assert batches, f"{path.name}: nothing was read"
            faults = [fault for batch in batches for fault in batch_faults(batch)]
            assert faults == [], path.name

    def test_reading_twice_gives_the_same(self, importer: Importer, samples: list[Path]) -> None:
        """A second reading yields equal batches in the same order."""
        for path in samples:
            first = list(importer.read(source_file(path)))
            second = list(importer.read(source_file(path)))
            assert [_plain(batch) for batch in first] == [_plain(batch) for batch in second]

    def test_only_its_file_is_read(self, importer: Importer, samples: list[Path]) -> None:
        """No other file, no network, no other program; Python's own modules are free."""
        for path in samples:
            source = source_file(path)
            list(importer.read(source))  # loads what is imported late
            with what_was_touched(path) as touched:
                importer.sniff(source)
                list(importer.read(source))
            assert touched == [], path.name

    def test_pages_are_drawn_around_their_boxes(
        self, importer: Importer, samples: list[Path]
    ) -> None:
        """An importer that draws pages draws each that has boxes, and the boxes lie within it."""
        if not isinstance(importer, PageDrawer):
            return
        for path in samples:
            source = source_file(path)
            for batch in importer.read(source):
                if not isinstance(batch, Grid) or batch.page is None or batch.marks is None:
                    continue
                drawing = importer.draw(source, batch.page)
                assert drawing.media_type is not None, f"{path.name}: neither PNG nor JPEG"
                for box in batch.marks.filter(mark="box")["value"]:
                    left, top, right, bottom = (float(side) for side in box.split(","))
                    assert left < drawing.width > 0 < right, f"{path.name}: {box}"
                    assert top < drawing.height > 0 < bottom, f"{path.name}: {box}"

    def test_its_module_loads_nothing_heavy(self, importer: Importer) -> None:
        """Importing the plugin costs little: heavy libraries are imported inside ``read``."""
        module = type(importer).__module__
        loaded = heavy_loaded(module)
        assert loaded == [], f"{module} loads {', '.join(loaded)} when imported"


def _plain(batch: Batch) -> tuple[Any, ...]:
    """Return a batch as values that compare with ``==``."""
    if isinstance(batch, Lines):
        return ("lines", _frame(batch.frame))
    if isinstance(batch, NotData):
        return ("not data", batch)
    assert isinstance(batch, Grid)
    told = (batch.sheet, batch.page, batch.title, batch.saved_on, batch.stated_on)
    return ("grid", *told, _frame(batch.cells), _frame(batch.marks))


def _frame(frame: pl.DataFrame | None) -> Any:
    return None if frame is None else (frame.schema, frame.rows())

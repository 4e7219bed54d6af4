"""The hooks a plugin may fill. They only hand over objects; typed protocols do the work."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol, runtime_checkable

import pluggy

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    import polars as pl

    from .model import Batch, Claim, PageDrawing, Section, SourceFile

PROJECT = "partmuster"

hookspec = pluggy.HookspecMarker(PROJECT)
hookimpl = pluggy.HookimplMarker(PROJECT)


@runtime_checkable
class Importer(Protocol):
    """Reads files of one sort.

    ``sniff`` looks at a source and claims it, or not; it must be quick and must not raise.
    ``read`` yields batches (grids of text cells, text lines, or reasons why something is no
    data); it raises ``SourceUnreadableError`` with a clear word where the file cannot be read.
    One that takes seconds for each batch sets ``slow_batches``: the limit of time is then for a
    batch and not for the file, and people see how many are read.
    """

    name: str
    version: str

    def sniff(self, source: SourceFile) -> Claim | None:
        """Return a claim on the source, or None."""
        ...

    def read(self, source: SourceFile) -> Iterator[Batch]:
        """Yield what stands in the source, all of it as text, each with its address."""
        ...


@runtime_checkable
class PageDrawer(Protocol):
    """What an importer may do besides: show a page that it reads.

    Of each page for which ``read`` yielded cells with boxes, ``draw`` returns the picture, as the
    page came and not straightened; it raises ``SourceUnreadableError`` where it cannot.
    """

    def draw(self, source: SourceFile, page: int) -> PageDrawing:
        """Return the picture of a page, counted from 1, and its size in the units of its boxes."""
        ...


@runtime_checkable
class Matcher(Protocol):
    """Offers readings of descriptions; veto, threshold and acceptance are the core's."""

    name: str
    version: str

    def candidates(self, batch: pl.DataFrame, names: pl.DataFrame) -> pl.DataFrame:
        """Return candidates for a batch of item keys.

        ``batch``: the columns of ``partmuster_schemas.records.ItemKey``. ``names``: columns
        ``part_id``, ``name``, ``region``, ``style``. Returns columns ``item_key`` String,
        ``part_id`` String, ``probability`` Float64 (0 to 1), ``reasons`` String.
        """
        ...


class ClubView(Protocol):
    """What a publisher may ask: one document for one audience, as of one day; no connection.

    What an audience may not see is not in it: neither sections, nor columns, nor rows.
    """

    @property
    def club(self) -> str:
        """The club's name."""
        ...

    @property
    def title(self) -> str:
        """What the document is, such as "Monthly report, October 2026"."""
        ...

    @property
    def file_name(self) -> str:
        """How files of this document are named, without a suffix."""
        ...

    @property
    def audience(self) -> str:
        """For whom it is: registrar, members or circulated. It stands in the document's head."""
        ...

    @property
    def as_of(self) -> dt.date:
        """The last day that it tells of. Nothing in a document tells when it was made."""
        ...

    @property
    def head(self) -> Sequence[str]:
        """Sentences that every copy carries above its sections."""
        ...

    def sections(self) -> Sequence[Section]:
        """Return the sections of the document, in the order in which they are read."""
        ...

    def ask(self, section: str) -> pl.DataFrame:
        """Return the rows of a section, with the columns that it names.

        Raises:
            PartmusterError: the document has no such section.
        """
        ...


@runtime_checkable
class Publisher(Protocol):
    """Writes what a club sends out in one form; ``name`` is what people call the form.

    Heavy libraries are imported inside ``publish``. The same view gives the same files, byte for
    byte where the form allows it.
    """

    name: str
    version: str

    def publish(self, club_view: ClubView, out_dir: Path) -> list[Path]:
        """Write files into ``out_dir``, which exists, and return their paths.

        Raises:
            PartmusterError: it cannot, as where a library that it needs is not installed.
        """
        ...


class Specification:
    """The hooks themselves."""

    @hookspec
    def partmuster_importers(self) -> Sequence[Importer]:
        """Return this plugin's importers."""
        raise NotImplementedError

    @hookspec
    def partmuster_matchers(self) -> Sequence[Matcher]:
        """Return this plugin's matchers."""
        raise NotImplementedError

    @hookspec
    def partmuster_publishers(self) -> Sequence[Publisher]:
        """Return this plugin's publishers."""
        raise NotImplementedError

"""Plain typed records that importers, stages and answers hand to each other.

Polars is named in annotations only: importing this module loads no data library.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, TypeAlias

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    import polars as pl


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A file to be read. An importer sees this and nothing of the club.

    ``path`` is where the bytes lie now; ``name`` the relative path it was imported under, with
    forward slashes; ``head`` its first 4096 bytes, for sniffing without opening the file.
    ``cache``: a folder of the club's in which an importer may keep what took it long to read, or
    None; it need not be there, and may be emptied at any time.
    ``club_words``: the folder of the club's own tables of words, or None; an importer of prose
    reads the sayings there (``sayings.csv``), where there are any.
    """

    path: Path
    name: str
    size: int
    head: bytes
    cache: Path | None = None
    club_words: Path | None = None

    @property
    def suffix(self) -> str:
        """The file name's ending, lower case, with the dot."""
        dot = self.name.rfind(".")
        return self.name[dot:].lower() if dot > self.name.rfind("/") else ""


@dataclass(frozen=True, slots=True)
class Claim:
    """An importer's word that it can read a source.

    ``strength`` is between 0 and 1: 0.9 for a content signature and a matching ending, 0.5 for
    an ending alone. Two equal strongest claims are an error that names both.
    """

    strength: float
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Grid:
    """Text cells as they stand in one sheet, scanned table or table in a letter.

    ``cells``: one row per row of the sheet, in order. Column ``row`` (Int32) is the row's number
    in the file, from 1; every other column is named by the sheet column's number from 1 as text
    (``"1"``, ``"2"`` ...), String, null where the cell is empty.
    ``marks`` (may be empty): sparse, columns ``row`` Int32, ``column`` Int32 (null = whole row),
    ``mark`` String, ``value`` String. Marks and their values: ``struck``; ``partly-struck`` (the
    words left standing); ``hidden``; ``comment`` (its words, without the author's name);
    ``fill`` and ``ink`` (a colour other than white, black or none, as ``rrggbb``); ``formula``
    (one without a stored value: its text; the cell is empty); ``merged`` (at its first cell:
    rows and columns as ``2x3``); ``style``; of a page ``box`` (x0,y0,x1,y1 on the picture or
    page as it came), ``confidence`` (0 to 1) and ``repaired`` (the words as they were read, where
    neighbours show what is meant).
    ``title`` is text that belongs to the whole grid (a sheet's tab is ``sheet``);
    ``stated_on`` a date the file itself carries for it, ``saved_on`` when the file was last saved.
    """

    cells: pl.DataFrame
    sheet: str | None = None
    page: int | None = None
    title: str | None = None
    marks: pl.DataFrame | None = None
    saved_on: dt.date | None = None
    stated_on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Lines:
    """Statements read from prose: a frame of text lines (``partmuster_schemas.text_lines``).

    Any columns of a text line may be left out except ``kind`` and ``words``; ``raw_number`` is
    given by the core.
    """

    frame: pl.DataFrame


@dataclass(frozen=True, slots=True)
class NotData:
    """Something in the source that is no data, with the reason: a picture, an empty sheet."""

    reason: str
    sheet: str | None = None
    page: int | None = None
    row: int | None = None
    words: str = ""


Batch: TypeAlias = Grid | Lines | NotData


@dataclass(frozen=True, slots=True)
class PageDrawing:
    """A page as a person sees it: a PNG or JPEG in greys, at most some 1,600 pixels high.

    ``width`` and ``height`` are the page's, in the units in which the boxes of its cells are.
    """

    picture: bytes
    width: float
    height: float

    @property
    def media_type(self) -> str | None:
        """``image/png`` or ``image/jpeg``, told by how the picture begins, or None."""
        if self.picture.startswith(b"\x89PNG\r\n\x1a\n"):
            return "image/png"
        return "image/jpeg" if self.picture.startswith(b"\xff\xd8\xff") else None


@dataclass(frozen=True, slots=True)
class Candidate:
    """One reading of a description: a part, how sure, and why."""

    item_key: str
    part_id: str
    probability: float
    reasons: tuple[str, ...] = ()
    method: Literal["number", "exact", "fuzzy", "decision"] = "fuzzy"


@dataclass(frozen=True, slots=True)
class Problem:
    """A fault in a source, as data: where, what, a stable code, and what to do."""

    code: str
    problem: str
    what_to_do: str
    file: str = ""
    sheet: str | None = None
    row: int | None = None
    column: str | None = None
    value: str | None = None
    page: int | None = None

    def __str__(self) -> str:
        """One line for a person: file, sheet or page, row, column, words, fault, what to do."""
        sheet = f"sheet '{self.sheet}'" if self.sheet else ""
        page = f"page {self.page}" if self.page is not None else ""
        row = f"row {self.row}" if self.row is not None else ""
        where = ", ".join(part for part in (self.file, sheet, page, row, self.column or "") if part)
        words = f" '{self.value}'" if self.value is not None else ""
        return f"{where}:{words} {self.problem} [{self.code}] {self.what_to_do}"


@dataclass(frozen=True, slots=True)
class SectionColumn:
    """A column of a section. ``kind``: what its values are, for whoever sets them in type.

    text: words; number: a count or quantity; share: 0 to 1, shown in percent; day: a date;
    yes-no; ids: line ids or the id of a figure, for ``partmuster trace``.
    """

    name: str
    heading: str
    meaning: str
    kind: Literal["text", "number", "share", "day", "yes-no", "ids"]


@dataclass(frozen=True, slots=True)
class Section:
    """A part of what a club sends out: a table with its title and how it is counted.

    ``if_empty`` says what it means that there is no row. ``chart`` names what may be drawn of it:
    a column of words and one or more columns of numbers or shares, with the columns that it is
    drawn from in this order; empty where there is nothing to draw.
    """

    name: str
    title: str
    lead: str
    if_empty: str
    columns: tuple[SectionColumn, ...]
    chart: tuple[str, ...] = ()


class PartmusterError(Exception):
    """Something a person can put right; its text says what happened and what to do."""


class SourceUnreadableError(PartmusterError):
    """An importer cannot read a file. Other files go on."""


@dataclass(slots=True)
class FileReport:
    """What became of one imported file: the line the import prints, and the sum of its lines.

    ``waits``: nothing changed, and a person's word is still asked for.
    """

    name: str
    outcome: Literal["new", "new version", "unchanged", "partial", "asks", "failed", "not claimed"]
    source_id: str | None = None
    importer: str | None = None
    read: int = 0
    loaded: int = 0
    decision: int = 0
    mending: int = 0
    not_data: int = 0
    lines_new: int = 0
    lines_changed: int = 0
    lines_ended: int = 0
    kinds: dict[str, int] = field(default_factory=dict)
    message: str = ""
    waits: bool = False

    @property
    def adds_up(self) -> bool:
        """Rule 1: lines read = loaded + needs a decision + needs mending + not data."""
        return self.read == self.loaded + self.decision + self.mending + self.not_data

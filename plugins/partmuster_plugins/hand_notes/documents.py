"""What reading a file of notes gives: notes of paragraphs, each with its place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph, list item, heading or table row, as one line of text.

    ``place``: in words ("line 12", "paragraph 3", "table 1, row 2", "page 2, line 5"). ``row``: the
    line's number from 1, or of a document its paragraph's; of what is wrapped the first one's.
    ``box``: x0,y0,x1,y1 on the page as it came. ``unsure``: its words that were
    read from a picture with doubt.
    ``table_row``: the cells, of which ``text`` is the sum. ``quoted``: somebody else's words, by
    the writer's own marks; in an e-mail what the next paragraph answers or takes up.
    """

    text: str
    place: str
    row: int | None = None
    page: int | None = None
    box: str | None = None
    heading: bool = False
    item: bool = False
    table_row: tuple[str, ...] | None = None
    unsure: tuple[str, ...] = ()
    quoted: bool = False


@dataclass(frozen=True, slots=True)
class Header:
    """An e-mail's head. People go by name, by address only where none is given."""

    subject: str
    sender: str
    sent_on: dt.date | None
    recipients: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Note:
    """One writer's text.

    ``name``: which part of the file ("mail 2", "mail 2, list.docx", "forwarded mail"), None where
    it is all of it. ``stated_on``: the date an e-mail's head states; the day a document was saved
    is none. ``not_read``: what was left out of it, and why.
    """

    name: str | None
    header: Header | None
    paragraphs: tuple[Paragraph, ...]
    stated_on: dt.date | None = None
    not_read: tuple[tuple[str, str], ...] = ()

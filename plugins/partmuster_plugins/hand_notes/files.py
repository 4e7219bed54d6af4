"""From a file to its notes: which reader takes it, by its start and its name."""

from __future__ import annotations

import io
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from partmuster.plugin_api import SourceUnreadableError

from .claims import kind_of
from .decoding import text_of
from .documents import Note
from .limits import MOST_MAIL_BYTES, MOST_TEXT_BYTES
from .lines import NotRead, numbered_lines
from .marked_text import marked
from .paragraphs import paragraphs_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.plugin_api import SourceFile

_HEAD = 4096


def read_notes(source: SourceFile) -> Iterator[Note]:
    """Yield the notes of a file: one, of a mail those attached to it too, of a mailbox each mail's.

    Raises:
        SourceUnreadableError: locked, damaged, wrongly named or over-large files.
    """
    if source.size == 0:
        yield Note(None, None, (), None, (("the file", "it is empty"),))
        return
    kind = kind_of(source.head, source.suffix, source.path)
    if kind == "mailbox":
        from .mails import notes_of_mailbox  # noqa: PLC0415 - only when used

        yield from notes_of_mailbox(source.path, notes_of)
    elif kind in {"pdf", "picture"}:
        from .pages import page_note  # noqa: PLC0415 - heavy

        yield page_note(source.path if kind == "pdf" else source, None, source.cache)
    else:
        is_text = kind in {"text", "web page", None}
        most = MOST_TEXT_BYTES if is_text else MOST_MAIL_BYTES
        if source.size > most:
            raise SourceUnreadableError(
                f"the file is larger than {most:,} bytes, which no note is. Split it and import "
                "the pieces."
            )
        yield from notes_of(source.path.read_bytes(), source.name, None)


def notes_of(data: bytes, file: str, name: str | None, depth: int = 0) -> Iterator[Note]:
    """Yield the notes of a file's bytes; ``name`` is given to them.

    Raises:
        SourceUnreadableError: as ``read_notes``.
    """
    kind = kind_of(data[:_HEAD], PurePosixPath(file).suffix.lower(), io.BytesIO(data))
    if kind == "document":
        from .word_documents import document_note  # noqa: PLC0415 - only when used

        yield document_note(data, name)
    elif kind in {"mail", "mailbox"}:
        from .mails import notes_of_mail  # noqa: PLC0415 - only when used

        yield from notes_of_mail(data, name, notes_of, depth)
    elif kind == "pdf":
        from .pages import page_note  # noqa: PLC0415 - heavy

        yield page_note(data, name, None)
    elif kind == "web page":
        from .web_pages import lines_of_page  # noqa: PLC0415 - only when used

        not_read: NotRead = []
        lines = marked(lines_of_page(text_of(data, charset_of_page(data)), not_read), not_read)
        yield Note(name, None, paragraphs_of(lines), None, tuple(not_read))
    elif kind == "text":
        not_read = []
        lines = marked(numbered_lines(text_of(data), not_read), not_read, titled=True)
        yield Note(name, None, paragraphs_of(lines), None, tuple(not_read))
    else:
        raise SourceUnreadableError(_UNREADABLE.get(kind or "", _UNREADABLE["no text"]))


def charset_of_page(data: bytes) -> str | None:
    """Return the encoding that a web page states, if its bytes state none themselves."""
    import re  # noqa: PLC0415 - only when used

    found = re.search(rb"<meta[^>]{0,200}charset=[\"']?([\w-]{1,40})", data[:_HEAD], re.IGNORECASE)
    return found[1].decode("ascii", "replace") if found else None


_UNREADABLE = {
    "no text": ("the file is named like a text, but holds no text. See what program opens it."),
    "no document": (
        "the file is named like a document, but is none. If it opens in a word processor, save it "
        "there as .docx; if it is plain text, rename it to .txt."
    ),
    "old document": (
        "this is a document of the old kind, or one locked with a password; neither is read. Open "
        "it in a word processor, take off the password if it has one, and save it as .docx."
    ),
    "picture": "a picture within another file is not read. Save it by itself and import that.",
}

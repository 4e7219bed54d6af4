"""E-mails (.eml) and folders of them (.mbox): their texts, and what is attached."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from email.message import Message
from email.parser import BytesParser
from email.policy import compat32
from typing import TYPE_CHECKING, Protocol, TypeGuard

from partmuster.plugin_api import SourceUnreadableError

from .decoding import text_of
from .documents import Header, Note
from .expressions import expression
from .limits import DEEPEST_MAIL, MOST_MAIL_BYTES, MOST_PARTS, MOST_TEXT_BYTES
from .lines import BLANK, Line, NotRead, numbered_lines
from .mail_heads import decoded_words, header_of
from .mail_texts import parted
from .marked_text import marked, unquoted
from .paragraphs import paragraphs_of
from .web_pages import lines_of_page

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_BETWEEN = expression(rb"From \S+ [^\r\n]{0,80}\d\d:\d\d[^\r\n]{0,40}\d{4}\s*")
_ESCAPED = expression(rb"^>(>*From )", re.MULTILINE)
_LONGEST_LINE_READ = 1 << 20
#: Attachments that hold notes, by what the mail says and by the ending.
_NOTES = expression(
    r"text/(?:plain|html|markdown|x-markdown)|application/(?:pdf|msword|"
    r"vnd\.openxmlformats-officedocument\.wordprocessingml\.document)"
)
_ENDINGS = (".txt", ".md", ".text", ".html", ".htm", ".docx", ".pdf", ".eml")
_OTHER_ENDINGS = (".csv", ".tsv", ".xlsx", ".xls", ".ods", ".ics", ".vcf", ".asc", ".xml", ".json")


class Reader(Protocol):
    """Reads the notes of what is attached."""

    def __call__(self, data: bytes, file: str, name: str | None, depth: int) -> Iterator[Note]:
        """Yield the notes of a file's bytes."""
        ...


@dataclass(slots=True)
class _Parts:
    """A mail taken apart: what is its text, and what is attached."""

    plain: list[Message] = field(default_factory=list)
    pages: list[Message] = field(default_factory=list)
    attached: list[Message] = field(default_factory=list)
    not_read: NotRead = field(default_factory=list)
    count: int = 0


def notes_of_mailbox(path: Path, read: Reader) -> Iterator[Note]:
    """Yield the notes of each mail of a folder, one mail after the other in memory.

    Raises:
        SourceUnreadableError: one that is too large, or mails within mails without end.
    """
    for number, data in enumerate(_mails(path), start=1):
        yield from notes_of_mail(data, f"mail {number}", read, 0)


def _mails(path: Path) -> Iterator[bytes]:
    lines: list[bytes] = []
    size = 0
    after_blank = True
    with path.open("rb") as stream:
        while line := stream.readline(_LONGEST_LINE_READ):
            if after_blank and _BETWEEN.fullmatch(line):
                if lines:
                    yield _ESCAPED.sub(rb"\1", b"".join(lines))
                lines, size = [], 0
            else:
                size += len(line)
                if size > MOST_MAIL_BYTES:
                    raise SourceUnreadableError(
                        f"it holds a mail of more than {MOST_MAIL_BYTES:,} bytes. Save the mails "
                        "that you need one by one as .eml."
                    )
                lines.append(line)
            after_blank = not line.strip()
    if lines:
        yield _ESCAPED.sub(rb"\1", b"".join(lines))


def notes_of_mail(data: bytes, name: str | None, read: Reader, depth: int) -> Iterator[Note]:
    """Yield the note of a mail, then those it forwards, then those of what is attached.

    Raises:
        SourceUnreadableError: mails within mails without end.
    """
    try:
        message = BytesParser(policy=compat32).parsebytes(data)
    except RecursionError as fault:
        raise SourceUnreadableError(
            "it holds mails within mails without end. Save the one that you need by itself."
        ) from fault
    yield from _notes(message, name, read, depth)


def _notes(message: Message, name: str | None, read: Reader, depth: int) -> Iterator[Note]:
    header = header_of(message)
    parts = _Parts()
    _take_apart(message, parts, 0)
    lines = _text(parts)
    attached = [
        note
        for part in parts.attached
        for note in _attached(part, name, header, parts, read, depth)
    ]
    bare = header == Header("", "", None)
    yield from _written(lines, name, None if bare else header, parts.not_read)
    yield from attached


def _take_apart(part: Message, parts: _Parts, depth: int) -> None:
    parts.count += 1
    kind = part.get_content_type()
    if parts.count > MOST_PARTS or depth > DEEPEST_MAIL * 4:
        parts.not_read.append(("further parts of the mail", "there are too many, or too deep"))
        return
    held = part.get_payload()
    if kind == "multipart/encrypted":
        parts.not_read.append(("the text", "it is encrypted"))
    elif kind != "message/rfc822" and isinstance(held, list):
        if kind.startswith("message/"):
            parts.not_read.append((_name_of(part) or kind, "it tells of the delivery"))
            return
        for one in filter(_is_part, held[: MOST_PARTS + 1]):
            _take_apart(one, parts, depth + 1)
    elif _is_attached(part):
        parts.attached.append(part)
    else:
        {"text/html": parts.pages, "text/plain": parts.plain}.get(kind, parts.attached).append(part)


def _is_part(part: object) -> TypeGuard[Message]:
    return isinstance(part, Message)


def _is_attached(part: Message) -> bool:
    return part.get_content_disposition() == "attachment" or bool(_name_of(part))


def _name_of(part: Message) -> str:
    """Return the name that a part is saved under, without folders."""
    try:
        name = decoded_words(part.get_filename() or "")
    except (LookupError, ValueError, TypeError):
        return ""
    return " ".join(name.replace("\\", "/").rpartition("/")[2].split())[:200]


def _text(parts: _Parts) -> list[Line]:
    """Return the lines of a mail's text: the plain one where it says anything, else the page."""
    lines: list[Line] = []
    for part in parts.plain:
        own = _lines_of_plain(part, parts.not_read)
        lines += [BLANK, *own] if lines else own
    if any(line.text.strip() for line in lines):
        return lines
    return [
        line
        for part in parts.pages
        for line in lines_of_page(_decoded(part, parts.not_read), parts.not_read)
    ]


def _lines_of_plain(part: Message, not_read: NotRead) -> list[Line]:
    text = _decoded(part, not_read)
    lines = [unquoted(line) for line in numbered_lines(text, not_read)]
    if str(part.get_param("format") or "").lower() != "flowed":
        return lines
    flowed = []
    for line, raw in zip(lines, text.split("\n"), strict=True):  # RFC 3676
        goes_on = raw.endswith(" ") and raw != "-- "
        flowed.append(replace(line, text=line.text.removeprefix(" "), goes_on=goes_on))
    return flowed


def _decoded(part: Message, not_read: NotRead) -> str:
    data = part.get_payload(decode=True)
    if not isinstance(data, bytes):
        return ""
    if len(data) > MOST_TEXT_BYTES:
        not_read.append(("the text", f"it is longer than {MOST_TEXT_BYTES:,} bytes"))
        return ""
    try:
        return text_of(data, _charset(part))
    except SourceUnreadableError:
        not_read.append(("the text", "it holds no text"))
        return ""


def _charset(part: Message) -> str | None:
    try:
        return part.get_content_charset()
    except (LookupError, ValueError, TypeError):
        return None


def _written(
    lines: list[Line], name: str | None, header: Header | None, not_read: NotRead
) -> Iterator[Note]:
    """Yield the note of what a writer wrote, and those of what it forwards."""
    for _ in range(DEEPEST_MAIL):
        text = parted(lines, header)
        missing = [*not_read, *text.not_read]
        own = marked(text.lines, missing)
        stated = header.sent_on if header else None
        yield Note(name, header, paragraphs_of(own), stated, tuple(missing))
        if text.forwarded is None:
            return
        header, lines = text.forwarded
        name, not_read = _under(name if name != "forwarded mail" else None, "forwarded mail"), []
    yield Note(name, header, (), None, (("the forwarded mail", "mails lie too deep in mails"),))


def _attached(
    part: Message, name: str | None, header: Header, parts: _Parts, read: Reader, depth: int
) -> Iterator[Note]:
    """Yield the notes of what is attached; what is not read is named with the mail's own."""
    kind = part.get_content_type()
    file = _name_of(part)
    what = file or ("attached mail" if kind.startswith("message/") else f"attached {kind}")
    if depth >= DEEPEST_MAIL:
        parts.not_read.append((what, "mails lie too deep in mails"))
        return
    held = part.get_payload()
    if isinstance(held, list):
        if held and isinstance(held[0], Message):
            yield from _notes(held[0], _under(name, what), read, depth + 1)
        return
    data = part.get_payload(decode=True)
    ending = next((end for end in _ENDINGS if file.lower().endswith(end)), "")
    if not (ending or _NOTES.match(kind)) or file.lower().endswith(_OTHER_ENDINGS):
        parts.not_read.append((what, f"attached, and no note ({kind}). Save it and import it"))
        return
    if not isinstance(data, bytes) or not data.strip():
        parts.not_read.append((what, "it is empty"))
        return
    try:
        for note in read(data, _with_ending(file, kind), _under(name, what), depth + 1):
            own = note.header is not None
            yield note if own else replace(note, header=header, stated_on=header.sent_on)
    except SourceUnreadableError as fault:
        parts.not_read.append((what, str(fault)))


def _with_ending(file: str, kind: str) -> str:
    """Return a name that tells its reader what it is, where the mail alone does."""
    if file.lower().endswith(_ENDINGS) or not kind.startswith("text/"):
        return file
    return f"{file}.html" if kind == "text/html" else f"{file}.txt"


def _under(name: str | None, what: str) -> str:
    return f"{name}, {what}" if name else what

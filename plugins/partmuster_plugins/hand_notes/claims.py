"""Which files hold notes, told by how they begin and by their names."""

from __future__ import annotations

import re
import zipfile
import zlib
from typing import TYPE_CHECKING, Literal, TypeAlias

from partmuster.plugin_api import Claim
from partmuster_plugins.spreadsheets.encodings import decode_head, is_text

from .decoding import readable
from .expressions import expression

if TYPE_CHECKING:
    from pathlib import Path
    from typing import IO

    from partmuster.plugin_api import SourceFile

Kind: TypeAlias = Literal[
    "text", "document", "no document", "old document", "mail", "mailbox", "web page", "pdf",
    "picture", "no text",
]  # fmt: skip

_PICTURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"II*\x00", b"MM\x00*")
_PDF, _PDF_START = b"%PDF-", 1024
_ZIP, _OLE = b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_TEXTS = frozenset({".txt", ".text", ".md", ".markdown", ".asc", ".note", ".notes"})
_DOCUMENTS = frozenset({".docx", ".docm", ".dotx", ".dotm"})
_OLD_DOCUMENTS = frozenset({".doc", ".dot"})
_PAGES = frozenset({".html", ".htm", ".xhtml"})
_MAILS, _MAILBOXES = frozenset({".eml"}), frozenset({".mbox", ".mbx"})
_NAMED = _TEXTS | _DOCUMENTS | _OLD_DOCUMENTS | _PAGES | _MAILS | _MAILBOXES

#: A claim made only to say clearly why a file cannot be read.
_TO_EXPLAIN = 0.1
#: Weaker than the claim on a table of separated text.
_PROSE, _PROSE_UNNAMED = 0.5, 0.4

_EXPLAINED = frozenset({"no document", "old document", "no text"})
#: How strongly a sort is claimed that its content tells, under another name than its own.
_OWN: dict[str, tuple[frozenset[str], float, str]] = {
    "document": (_DOCUMENTS, 0.8, "a text document"),
    "mailbox": (_MAILBOXES, 0.7, "a folder of e-mails"),
    "mail": (_MAILS, 0.7, "an e-mail"),
    "web page": (_PAGES, 0.7, "a web page"),
}

_MAILBOX = expression(rb"From \S+ [^\r\n]{0,80}\d\d:\d\d[^\r\n]{0,40}\d{4}")
_HEAD = expression(r"([A-Za-z][A-Za-z0-9-]{1,40}):(?:[ \t]|$)")
_HEADS = frozenset(
    {"from", "to", "cc", "subject", "date", "message-id", "mime-version", "received",
     "return-path", "content-type", "reply-to", "delivered-to", "sender"}
)  # fmt: skip
_FEWEST_HEADS = 2
_MARKED_UP = expression(
    r"\s*(?:<\?xml[^>]{0,200}>\s*)?(?:<!--.{0,500}?-->\s*)?<(?:!doctype html|html|head|body)\b",
    re.IGNORECASE | re.DOTALL,
)
_NO_PROSE = ("{", "[", "<", "%", "#!")
_FEWEST_WORDS = 3


def sniff(source: SourceFile) -> Claim | None:
    """Claim texts, documents, e-mails and web pages; pages and tables are others' own."""
    suffix = source.suffix
    if source.size == 0 and suffix in _NAMED:
        return Claim(_PROSE, "an empty file named like a note")
    ours = suffix in _NAMED or not suffix or source.head.startswith(_ZIP)
    kind = kind_of(source.head, suffix, source.path) if ours and source.size else None
    if kind is None or kind in {"pdf", "picture"}:
        return None
    if kind in _EXPLAINED:
        return Claim(_TO_EXPLAIN, f"named like a note, and {kind}") if suffix in _NAMED else None
    if kind in _OWN:
        suffixes, unnamed, words = _OWN[kind]
        return Claim(0.9 if suffix in suffixes else unnamed, words)
    if suffix in _NAMED:
        return Claim(_PROSE, "text")
    return Claim(_PROSE_UNNAMED, "text") if _is_prose(source.head) else None


def kind_of(head: bytes, suffix: str, zipped: Path | IO[bytes]) -> Kind | None:
    """Return what a file is by its start, its name where that leaves it open, and a zip's parts."""
    if head.startswith(_ZIP):
        return _kind_of_zip(zipped, suffix)
    if head.startswith(_OLE):
        return "old document" if suffix in _DOCUMENTS | _OLD_DOCUMENTS else None
    if _PDF in head[:_PDF_START]:
        return "pdf"
    if head.startswith(_PICTURES):
        return "picture"
    if suffix in _DOCUMENTS:
        return "no document"
    return _kind_of_text(head, suffix)


def _kind_of_zip(zipped: Path | IO[bytes], suffix: str) -> Kind | None:
    try:
        with zipfile.ZipFile(zipped) as archive:
            names = archive.namelist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, RuntimeError, zlib.error):
        return "document" if suffix in _DOCUMENTS else None  # its reader says what is wrong
    if suffix in _DOCUMENTS or any(name.startswith("word/document") for name in names):
        return "document"
    return None


def _kind_of_text(head: bytes, suffix: str) -> Kind | None:
    text = decode_head(head)
    if text is None or not is_text(readable(text, controls=True)):
        return "no text" if suffix in _NAMED else None
    if _MAILBOX.match(head):
        return "mailbox"
    if suffix in _MAILS | _MAILBOXES or _has_heads(text):
        return "mail"
    if suffix in _PAGES or _MARKED_UP.match(text):
        return "web page"
    return "text"


def _has_heads(text: str) -> bool:
    """Return whether a text begins as an e-mail does, with lines such as "Subject: ..."."""
    known = 0
    for line in text.split("\n"):
        found = _HEAD.match(line)
        if not found and not line.startswith((" ", "\t")):
            return not line.strip() and known >= _FEWEST_HEADS
        known += found is not None and found[1].lower() in _HEADS
    return known >= _FEWEST_HEADS  # the head is longer than what was looked at


def _is_prose(head: bytes) -> bool:
    """Return whether a file without an ending begins with words."""
    text = (decode_head(head) or "").strip()
    if text.startswith(_NO_PROSE):
        return False
    words = text.split()
    return len(words) >= _FEWEST_WORDS and sum(word[0].isalpha() for word in words) > len(words) / 2

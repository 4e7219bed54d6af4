"""Bytes to text: UTF-8, UTF-16 with or without its mark, else the Western Windows page."""

from __future__ import annotations

import codecs
import re

#: Share of NUL bytes at odd or even places from which text is UTF-16 (Latin text has half).
_NUL_SHARE = 0.3

#: Share of control characters up to which a file still counts as text.
_CONTROL_SHARE = 0.02
#: In so short a text a few of them are more: colours of a terminal, a bell, what was pasted.
_SHORT, _SHORT_CONTROL_SHARE = 500, 0.2
_WORD = re.compile(r"[^\W\d_]{3}")


def encoding_of(data: bytes, *, cut: bool = False) -> str:
    """Return the codec for a file's bytes; ``cut`` if they are only its start.

    Where bytes are no UTF-8 the Western Windows page is taken without guessing: guessers take
    it for the Central European one (measured). Its five undefined bytes make it the classic
    Macintosh page, which defines all.
    """
    if data.startswith(codecs.BOM_UTF8):
        return "utf-8-sig"
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    start = data[:4096]
    half = max(1, len(start) // 2)
    if start[1::2].count(0) / half > _NUL_SHARE > start[0::2].count(0) / half:
        return "utf-16-le"
    if start[0::2].count(0) / half > _NUL_SHARE > start[1::2].count(0) / half:
        return "utf-16-be"
    for codec in ("utf-8", "cp1252"):
        try:
            codecs.getincrementaldecoder(codec)().decode(data, final=not cut)
        except UnicodeDecodeError:
            continue
        return codec
    return "mac_roman"


def decode(data: bytes) -> str:
    """Return a whole file's text: no mark at its start, no NUL, every line end a line feed.

    Line ends inside quoted cells are line feeds too.

    Raises:
        UnicodeDecodeError: the bytes break off inside a character (UTF-16).
    """
    return _plain(data.decode(encoding_of(data)))


def decode_head(head: bytes) -> str | None:
    """Return the text at a file's start, or None if its bytes are no text."""
    codec = encoding_of(head, cut=True)
    try:
        return _plain(codecs.getincrementaldecoder(codec)().decode(head, final=False))
    except UnicodeDecodeError:
        return None


def is_text(text: str) -> bool:
    """Return whether decoded characters look like writing, not like a program or a picture."""
    controls = sum(character < " " and character not in "\t\n\f\x1a" for character in text)
    most = _CONTROL_SHARE if len(text) > _SHORT or not _reads(text) else _SHORT_CONTROL_SHARE
    return bool(text) and controls / len(text) <= most


def _reads(text: str) -> bool:
    """Tell whether a short text is a line of words, all else in it that can be seen too."""
    seen = [character for character in text if character >= " "]
    return all(map(str.isprintable, seen)) and "\n" in text and bool(_WORD.search(text))


def _plain(text: str) -> str:
    text = text.removeprefix("\ufeff").replace("\0", "")
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text

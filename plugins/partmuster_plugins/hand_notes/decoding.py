"""Bytes to text that can be read: any usual encoding, without signs that nobody sees."""

from __future__ import annotations

import codecs
import contextlib

from partmuster.plugin_api import SourceUnreadableError
from partmuster_plugins.spreadsheets.encodings import encoding_of, is_text

#: Marks of direction (they can turn what is seen around), of width nothing, of where to break.
_UNSEEN = dict.fromkeys(
    [0x00AD, 0x061C, *range(0x200B, 0x200C), 0x200E, 0x200F, *range(0x202A, 0x202F),
     *range(0x2060, 0x2065), *range(0x2066, 0x2070), 0xFEFF]
)  # fmt: skip
_SPACES = dict.fromkeys([0x00A0, 0x1680, *range(0x2000, 0x200B), 0x202F, 0x205F, 0x3000], " ")
_BREAKS = dict.fromkeys([0x0B, 0x0C, 0x85, 0x2028, 0x2029], "\n")
_CONTROLS = dict.fromkeys(
    code for code in (*range(0x20), *range(0x7F, 0xA0)) if code not in {9, 10, *_BREAKS}
)
_PLAIN = {**_CONTROLS, **_BREAKS}
_TOLD_BY = 1 << 18
_WESTERN = frozenset({"iso8859-1", "ascii", "cp1252"})


def text_of(data: bytes, charset: str | None = None) -> str:
    """Return the text of some bytes: line ends are line feeds, controls are taken out.

    ``charset``: what is said of it; it is believed where the bytes bear it out.

    Raises:
        SourceUnreadableError: the bytes are no text.
    """
    text = _as_said(data, charset) if charset else None
    text = readable(text if text is not None else _guessed(data), controls=True)
    if text.strip() and not is_text(text[:_TOLD_BY]):
        raise SourceUnreadableError(
            "the file is named like a text, but holds no text. See what program opens it."
        )
    return readable(text)


def readable(text: str, *, controls: bool = False) -> str:
    """Return a text without what nobody sees; ``controls`` are kept for the asking."""
    if not text.isascii():
        text = text.translate({**_UNSEEN, **_SPACES})
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if controls:
        return text.replace("\0", "")
    return text.translate(_PLAIN) if not text.isprintable() else text


def decode_word(data: bytes, charset: str | None) -> str:
    """Return a short text, a name or a subject, whatever its bytes are."""
    text = _as_said(data, charset) if charset else None
    return readable(text if text is not None else _guessed(data))


def _as_said(data: bytes, charset: str) -> str | None:
    with contextlib.suppress(LookupError, UnicodeError, ValueError, TypeError):
        codec = codecs.lookup(charset.strip("\"' ")).name
        # What is said to be Latin 1 mostly comes from the Western Windows page.
        return data.decode(codec) if codec not in _WESTERN else None
    return None


def _guessed(data: bytes) -> str:
    codec = encoding_of(data)
    if codec.startswith("utf"):
        return data.decode(codec, "replace")
    lines = [_line(line) for line in data.split(b"\n")]
    if codec == "mac_roman" and not any(is_utf8 for _, is_utf8 in lines):
        return data.decode(codec)
    return "\n".join(text for text, _ in lines)


def _line(line: bytes) -> tuple[str, bool]:
    """Return a line of a text in several encodings, and whether it surely is UTF-8."""
    if line.isascii():
        return line.decode("ascii"), False
    with contextlib.suppress(UnicodeDecodeError):
        return line.decode(), True
    with contextlib.suppress(UnicodeDecodeError):
        return line.decode("cp1252"), False
    return line.decode("latin-1"), False

"""Words of sheets and file names made fit for a terminal: controls are shown, never obeyed."""

from __future__ import annotations

import re

#: Signs that order a terminal about (C0 but for tab and line feed, delete, C1), turn the order
#: of writing round (bidirectional controls), or cannot be written at all (lone surrogates).
_CONTROLS = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
)
_PICTURES = 0x2400
_DELETE = "\x7f"


def visible(text: str) -> str:
    """Return a text with each control as its picture (escape is ␛), or ``\ufffd`` if it has none.

    Writing from right to left stays as it is; only marks that turn the order round go.
    """
    return _CONTROLS.sub(_picture, text)


def _picture(found: re.Match[str]) -> str:
    sign = found.group()
    if sign < " ":
        return chr(_PICTURES + ord(sign))
    return "␡" if sign == _DELETE else "\ufffd"

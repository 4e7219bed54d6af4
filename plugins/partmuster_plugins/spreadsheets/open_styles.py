"""Styles of an open document (.ods): what of them marks are made of, with what they inherit.

Names are those of OpenDocument 1.2 parts 1 (FROM-MEMORY).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .looks import Look, colour

if TYPE_CHECKING:
    from collections.abc import Mapping

_XMLNS = "urn:oasis:names:tc:opendocument:xmlns:"
OFFICE, TABLE, TEXT, DRAW, STYLE = (
    f"{_XMLNS}{name}:1.0 " for name in ("office", "table", "text", "drawing", "style")
)
_FO = f"{_XMLNS}xsl-fo-compatible:1.0 "
_LONGEST_CHAIN = 20


@dataclass(slots=True)
class _Stated:
    """What one style says itself: None where it leaves a thing to its parent."""

    parent: str | None = None
    struck: bool | None = None
    fill: str | None = None
    ink: str | None = None
    shown: bool = True


class OpenStyles:
    """Styles as they are met; give it every start tag within the styles of a document."""

    def __init__(self) -> None:
        self._styles: dict[tuple[str, str | None], _Stated] = {}
        self._open = _Stated()
        self._looks: dict[str | None, Look] = {}

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Take in a start tag."""
        if name in {f"{STYLE}style", f"{STYLE}default-style"}:
            family = attributes.get(f"{STYLE}family", "")
            named = attributes.get(f"{STYLE}name") if name.endswith(" style") else None
            self._open = _Stated(attributes.get(f"{STYLE}parent-style-name"))
            self._styles[family, named] = self._open
        elif name == f"{STYLE}text-properties":
            self._open.struck = _line_through(attributes)
            if attributes.get(f"{STYLE}use-window-font-color") == "true":
                self._open.ink = "automatic"
            else:
                self._open.ink = attributes.get(f"{_FO}color")
        elif name == f"{STYLE}table-cell-properties":
            self._open.fill = attributes.get(f"{_FO}background-color")
        elif name == f"{STYLE}table-properties":
            self._open.shown = attributes.get(f"{TABLE}display") != "false"

    def shows_table(self, name: str | None) -> bool:
        """Return whether a table of this style is shown."""
        stated = self._styles.get(("table", name))
        return stated is None or stated.shown

    def look(self, name: str | None) -> Look:
        """Return the look of a cell style."""
        if name not in self._looks:
            struck, fill, ink = self._inherited("table-cell", name)
            self._looks[name] = Look(bool(struck), _mark(fill), _mark(ink))
        return self._looks[name]

    def run(self, name: str | None) -> tuple[bool | None, str | None]:
        """Return whether a text style is struck, and its ink; None: as what it stands in."""
        struck, _, ink = self._inherited("text", name)
        return struck, None if ink is None else _mark(ink) or ""

    def _inherited(
        self, family: str, name: str | None
    ) -> tuple[bool | None, str | None, str | None]:
        struck: bool | None = None
        fill: str | None = None
        ink: str | None = None
        names = [name]
        while names[-1] is not None and len(names) < _LONGEST_CHAIN:
            stated = self._styles.get((family, names[-1]))
            names.append(None if stated is None else stated.parent)
        for one in names:
            stated = self._styles.get((family, one))
            if stated is not None and not (one is None and family == "text"):
                struck = stated.struck if struck is None else struck
                fill = stated.fill if fill is None else fill
                ink = stated.ink if ink is None else ink
        return struck, fill, ink


def _line_through(attributes: Mapping[str, str]) -> bool | None:
    stated = [
        attributes[key]
        for key in (f"{STYLE}text-line-through-style", f"{STYLE}text-line-through-type")
        if key in attributes
    ]
    return all(one != "none" for one in stated) if stated else None


def _mark(text: str | None) -> str | None:
    if text is None or not text.startswith("#") or len(text) != 7:  # noqa: PLR2004 - "#rrggbb"
        return None
    return colour(text[1:])

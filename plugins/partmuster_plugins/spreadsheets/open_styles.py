"""Styles of an open document (.ods): what of them marks are made of, with what they inherit.

Names are those of OpenDocument 1.2 parts 1 (FROM-MEMORY).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .looks import MOST_INDENT, Look, colour

if TYPE_CHECKING:
    from collections.abc import Mapping

_XMLNS = "urn:oasis:names:tc:opendocument:xmlns:"
OFFICE, TABLE, TEXT, DRAW, STYLE = (
    f"{_XMLNS}{name}:1.0 " for name in ("office", "table", "text", "drawing", "style")
)
_FO = f"{_XMLNS}xsl-fo-compatible:1.0 "
_LONGEST_CHAIN = 20
#: A margin, and how many points its units are.
_MARGIN = re.compile(r"(\d+(?:\.\d+)?|\.\d+)(pt|cm|mm|in|pc)")
_POINTS = {"pt": 1.0, "cm": 72 / 2.54, "mm": 7.2 / 2.54, "in": 72.0, "pc": 12.0}
#: So many points a step is set in (what offices write, FROM-MEMORY).
_STEP = 10


@dataclass(slots=True)
class _Stated:
    """What one style says itself: None where it leaves a thing to its parent."""

    parent: str | None = None
    struck: bool | None = None
    fill: str | None = None
    ink: str | None = None
    indent: int | None = None
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
        elif name == f"{STYLE}paragraph-properties":
            self._open.indent = _indent(attributes)
        elif name == f"{STYLE}table-properties":
            self._open.shown = attributes.get(f"{TABLE}display") != "false"

    def shows_table(self, name: str | None) -> bool:
        """Return whether a table of this style is shown."""
        stated = self._styles.get(("table", name))
        return stated is None or stated.shown

    def look(self, name: str | None) -> Look:
        """Return the look of a cell style."""
        if name not in self._looks:
            struck, fill, ink, indent = self._inherited("table-cell", name)
            self._looks[name] = Look(bool(struck), _mark(fill), _mark(ink), indent or 0)
        return self._looks[name]

    def run(self, name: str | None) -> tuple[bool | None, str | None]:
        """Return whether a text style is struck, and its ink; None: as what it stands in."""
        struck, _, ink, _ = self._inherited("text", name)
        return struck, None if ink is None else _mark(ink) or ""

    def _inherited(
        self, family: str, name: str | None
    ) -> tuple[bool | None, str | None, str | None, int | None]:
        struck: bool | None = None
        fill: str | None = None
        ink: str | None = None
        indent: int | None = None
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
                indent = stated.indent if indent is None else indent
        return struck, fill, ink, indent


def _line_through(attributes: Mapping[str, str]) -> bool | None:
    stated = [
        attributes[key]
        for key in (f"{STYLE}text-line-through-style", f"{STYLE}text-line-through-type")
        if key in attributes
    ]
    return all(one != "none" for one in stated) if stated else None


def _indent(attributes: Mapping[str, str]) -> int | None:
    """Return how many steps a paragraph is set in, None where nothing is said."""
    if attributes.get(f"{_FO}text-align", "start") not in {"start", "left", "justify"}:
        return 0
    margin = attributes.get(f"{_FO}margin-left")
    found = _MARGIN.fullmatch(margin) if margin else None
    if found is None:
        return None if margin is None else 0
    return min(MOST_INDENT, round(float(found[1]) * _POINTS[found[2]] / _STEP))


def _mark(text: str | None) -> str | None:
    if text is None or not text.startswith("#") or len(text) != 7:  # noqa: PLR2004 - "#rrggbb"
        return None
    return colour(text[1:])

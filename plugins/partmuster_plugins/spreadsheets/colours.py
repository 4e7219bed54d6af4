"""Colours of a workbook's styles to ``rrggbb``: themes with tints, and numbers of the palette.

ECMA-376 part 1: 18.8.3 (colour), 18.8.19 (tint), 18.8.27 (indexed colours), 20.1.6.2 (theme);
FROM-MEMORY, the palette compared in the tests with another reader's.
"""

from __future__ import annotations

import colorsys
from typing import TYPE_CHECKING

from .looks import colour
from .zipped import local

if TYPE_CHECKING:
    from xml.etree import ElementTree as ET

_FIRST = ("000000", "ffffff", "ff0000", "00ff00", "0000ff", "ffff00", "ff00ff", "00ffff")

#: Colours by number, where a workbook has no palette of its own; 64 and above are automatic.
INDEXED = (
    *_FIRST, *_FIRST,
    "800000", "008000", "000080", "808000", "800080", "008080", "c0c0c0", "808080",
    "9999ff", "993366", "ffffcc", "ccffff", "660066", "ff8080", "0066cc", "ccccff",
    "000080", "ff00ff", "ffff00", "00ffff", "800080", "800000", "008080", "0000ff",
    "00ccff", "ccffff", "ccffcc", "ffff99", "99ccff", "ff99cc", "cc99ff", "ffcc99",
    "3366ff", "33cccc", "99cc00", "ffcc00", "ff9900", "ff6600", "666699", "969696",
    "003366", "339966", "003300", "333300", "993300", "993366", "333399", "333333",
)  # fmt: skip

#: The theme of 2007, for workbooks without one.
_THEME = (
    "ffffff", "000000", "eeece1", "1f497d", "4f81bd", "c0504d",
    "9bbb59", "8064a2", "4bacc6", "f79646", "0000ff", "800080",
)  # fmt: skip

_SLOTS = (
    "lt1", "dk1", "lt2", "dk2", "accent1", "accent2",
    "accent3", "accent4", "accent5", "accent6", "hlink", "folHlink",
)  # fmt: skip

_RGB = 6


class Colours:
    """The colours that one workbook's styles name."""

    def __init__(self, styles: ET.Element | None, theme: ET.Element | None) -> None:
        own = [] if styles is None else styles.findall("{*}colors/{*}indexedColors/{*}rgbColor")
        self._indexed = [(one.get("rgb") or "")[-_RGB:].lower() for one in own] or INDEXED
        self._theme = _THEME if theme is None else tuple(_theme(theme))

    def of(self, element: ET.Element | None) -> str | None:
        """Return an element's colour as ``rrggbb``; None for none, automatic, white and black."""
        if element is None or element.get("auto") in {"1", "true"}:
            return None
        base = self._base(element)
        if base is None:
            return None
        tint = _number(element.get("tint"))
        return colour(tinted(base, tint) if tint else base)

    def _base(self, element: ET.Element) -> str | None:
        if (rgb := element.get("rgb")) is not None:
            rgb = rgb[-_RGB:].lower()
        elif (number := element.get("theme")) is not None:
            rgb = _at(self._theme, number)
        else:
            rgb = _at(self._indexed, element.get("indexed") or "")
        return rgb if len(rgb) == _RGB and set(rgb) <= set("0123456789abcdef") else None


def tinted(rrggbb: str, tint: float) -> str:
    """Return a colour made darker (tint from -1) or lighter (up to 1)."""
    red, green, blue = (int(rrggbb[at : at + 2], 16) / 255 for at in (0, 2, 4))
    hue, light, full = colorsys.rgb_to_hls(red, green, blue)
    tint = max(-1.0, min(1.0, tint))
    light = light * (1 + tint) if tint < 0 else light * (1 - tint) + tint
    return "".join(f"{round(part * 255):02x}" for part in colorsys.hls_to_rgb(hue, light, full))


def _theme(theme: ET.Element) -> list[str]:
    scheme = next((one for one in theme.iter() if local(one.tag) == "clrScheme"), None)
    stated = {local(slot.tag): slot for slot in (scheme if scheme is not None else ())}
    colours = []
    for slot, usual in zip(_SLOTS, _THEME, strict=True):
        inner = next(iter(stated.get(slot, ())), None)
        rgb = None if inner is None else inner.get("lastClr") or inner.get("val")
        colours.append((rgb or usual).lower())
    return colours


def _at(colours: tuple[str, ...] | list[str], number: str) -> str:
    return colours[int(number)] if number.isdigit() and int(number) < len(colours) else ""


def _number(text: str | None) -> float:
    try:
        return float(text or 0)
    except ValueError:
        return 0.0

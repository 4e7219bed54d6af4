"""A workbook's cell styles, as far as marks are made of them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .looks import MOST_INDENT, Look

if TYPE_CHECKING:
    from xml.etree import ElementTree as ET

    from .colours import Colours


#: Programs offer no more steps.


def marked_styles(styles: ET.Element, colours: Colours) -> dict[int, Look]:
    """Return the look of each cell style, by its number, that has anything to mark."""
    fonts = [
        (is_struck(font), colours.of(font.find("{*}color")))
        for font in styles.findall("{*}fonts/{*}font")
    ]
    fills = [_fill(fill, colours) for fill in styles.findall("{*}fills/{*}fill")]
    looks: dict[int, Look] = {}
    for number, form in enumerate(styles.findall("{*}cellXfs/{*}xf")):
        font, fill = _number(form, "fontId"), _number(form, "fillId")
        struck, ink = fonts[font] if font < len(fonts) else (False, None)
        look = Look(struck, fills[fill] if fill < len(fills) else None, ink, _indent(form))
        if not look.is_plain:
            looks[number] = look
    return looks


def is_struck(font: ET.Element) -> bool:
    """Return whether a font, or the properties of a run, are struck through."""
    strike = font.find("{*}strike")
    return strike is not None and strike.get("val", "1") in {"1", "true"}


def _fill(fill: ET.Element, colours: Colours) -> str | None:
    """Return a fill's colour: a pattern's foremost that is a mark, a gradient's first."""
    pattern = fill.find("{*}patternFill")
    if pattern is None:
        stops = (colours.of(one) for one in fill.findall("{*}gradientFill/{*}stop/{*}color"))
        return next((one for one in stops if one), None)
    kind = pattern.get("patternType", "none")
    if kind == "none":
        return None
    front = colours.of(pattern.find("{*}fgColor"))
    # Behind a solid fill the second colour does not show.
    return front or (None if kind == "solid" else colours.of(pattern.find("{*}bgColor")))


def _indent(form: ET.Element) -> int:
    alignment = form.find("{*}alignment")
    if alignment is None or alignment.get("horizontal") in {"right", "center"}:
        return 0
    return min(MOST_INDENT, _number(alignment, "indent"))


def _number(form: ET.Element, name: str) -> int:
    text = form.get(name, "0")
    return int(text) if text.isdigit() else 0

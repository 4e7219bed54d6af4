"""Colours in words."""

from __future__ import annotations

import colorsys

#: Hue in degrees up to which a colour has the name.
_HUES = ((15, "red"), (47, "orange"), (70, "yellow"), (165, "green"), (195, "turquoise"),
         (255, "blue"), (290, "purple"), (345, "pink"), (360, "red"))  # fmt: skip
#: The names, and others people use for them (common practice, no source).
NAMES = {
    **{name: name for _, name in _HUES}, "grey": "grey", "gray": "grey", "brown": "brown",
    "amber": "orange", "gold": "orange", "lime": "green", "teal": "turquoise", "cyan": "turquoise",
    "violet": "purple", "mauve": "purple", "magenta": "pink", "crimson": "red", "scarlet": "red",
}  # fmt: skip
_GREY_BELOW = 0.12
_LIGHT, _DARK = 0.78, 0.25
_PALE_RED, _BROWN = 0.75, 0.35


def colour_name(code: str) -> str:
    """Return the name of a colour given as ``rrggbb``: "yellow", "light green", "dark blue"."""
    red, green, blue = (int(code[at : at + 2], 16) / 255 for at in (0, 2, 4))
    hue, lightness, saturation = colorsys.rgb_to_hls(red, green, blue)
    if saturation < _GREY_BELOW:
        name = "grey"
    else:
        name = next(name for most, name in _HUES if hue * 360 <= most)
    if name == "red" and lightness > _PALE_RED:
        return "pink"
    if name == "orange" and lightness < _BROWN:
        return "brown"
    shade = "light " if lightness >= _LIGHT else "dark " if lightness < _DARK else ""
    return f"{shade}{name}"

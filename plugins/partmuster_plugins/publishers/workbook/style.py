"""How the workbook looks: quiet, and legible on paper. Formats are made once each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook

INK, GREY, RULE, HEAD_GROUND = "#1F2933", "#52606D", "#C3CCD5", "#E4EAF0"
FAINT = "#E1E6EB"
TO_WRITE = "#FFFBEA"
BAR, BAR_LIGHT, BAR_DARK = "#A9C1D9", "#DCE6F0", "#34618E"

_BASE = {"valign": "top", "font_color": INK}
_ROW = _BASE | {
    "bottom": 4, "bottom_color": RULE, "left": 1, "left_color": FAINT, "right": 1,
    "right_color": FAINT,
}  # fmt: skip
_LOOKS: dict[str, dict[str, Any]] = {
    "club": _BASE | {"font_size": 12, "font_color": GREY},
    "title": _BASE | {"font_size": 20, "bold": True, "text_wrap": True},
    "section": _BASE | {"font_size": 14, "bold": True},
    "words": _BASE | {"text_wrap": True},
    "aside": _BASE | {"font_color": GREY, "text_wrap": True},
    "empty": _BASE | {"italic": True},
    "part": _BASE | {"font_size": 13, "bold": True},
    "link": {"valign": "top", "font_color": "#0B4F8A", "underline": 1},
    "heading": {
        "bold": True, "text_wrap": True, "valign": "vcenter", "bg_color": HEAD_GROUND,
        "font_color": INK, "bottom": 1, "bottom_color": GREY,
    },
    "row": _ROW,
    "row words": _ROW | {"text_wrap": True},
    "row count": _ROW | {"num_format": "#,##0", "align": "right", "indent": 1},
    "row link": _ROW | {"font_color": "#0B4F8A", "underline": 1},
}  # fmt: skip


class Looks:
    """The formats of one workbook."""

    def __init__(self, book: Workbook) -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, Any], ...], Format] = {}

    def __getitem__(self, name: str) -> Format:
        return self.with_(name)

    def with_(self, name: str, **more: Any) -> Format:
        """Return the format of that name, changed in some ways."""
        return self.made(**(_LOOKS[name] | more))

    def made(self, **how: Any) -> Format:
        """Return a format that looks like this and no other."""
        key = tuple(sorted(how.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(how)
        return self._made[key]

"""Letters on paper: the font, what it cannot set, how wide words are, and where lines break."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from typing import TYPE_CHECKING

import ttf_opensans
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

#: Stands for a sign that the font has not.
MARK = "\ufffd"
_FONTS = {"Text": ttf_opensans.OPENSANS_REGULAR, "Text-Bold": ttf_opensans.OPENSANS_SEMIBOLD}


@dataclass(frozen=True, slots=True)
class Style:
    """How letters look."""

    size: float
    ink: str = "#1d2320"
    font: str = "Text"


#: Words in one look.
Run = tuple[str, Style]
Line = list[Run]


class Letters(dict[int, str | int | None]):
    """The font, as a table by which texts are made fit for it; ``lost``: what it cannot set."""

    def __init__(self) -> None:
        self.lost: set[str] = set()
        self._widths: dict[tuple[str, str], float] = {}
        fonts = [TTFont(name, str(font.path)) for name, font in _FONTS.items()]
        for font in fonts:
            pdfmetrics.registerFont(font)
        self._known = set.intersection(*(set(font.face.charToGlyph) for font in fonts))
        self[ord("\n")] = "\n"

    def __missing__(self, code: int) -> str | None:
        sign = chr(code)
        self[code] = found = self._settable(sign)
        return found

    def _settable(self, sign: str) -> str | None:
        if ord(sign) in self._known:
            return sign
        if unicodedata.category(sign) == "Cf":  # tells how others are laid out, and has no look
            return None
        plain = unicodedata.normalize("NFKD", sign)
        if plain != sign and all(ord(one) in self._known for one in plain):
            return plain
        self.lost.add(sign)
        return MARK

    def fit(self, text: str) -> str:
        """Return text as the font can set it."""
        return text.translate(self)

    def width(self, text: str, style: Style) -> float:
        """Return how wide text is, in points."""
        key = (text, style.font)
        if (unit := self._widths.get(key)) is None:
            unit = float(pdfmetrics.stringWidth(text, style.font, 1000))
            self._widths[key] = unit
        return unit * style.size / 1000

    def wrap(self, runs: Iterable[Run], width: float) -> list[Line]:
        """Return runs of words in lines no wider than ``width``; line ends in them are kept."""
        lines: list[Line] = [[]]
        used = 0.0
        for text, style in runs:
            blank = self.width(" ", style)
            for number, paragraph in enumerate(text.split("\n")):
                if number:
                    lines.append([])
                    used = 0.0
                for word in self._words(paragraph, style, width):
                    wide = self.width(word, style)
                    if used and used + blank + wide > width:
                        lines.append([])
                        used = 0.0
                    _append(lines[-1], word, style)
                    used += wide + (blank if used else 0)
        return lines

    def _words(self, text: str, style: Style, width: float) -> Iterator[str]:
        """Words, those wider than a line in pieces."""
        for word in text.split():
            rest = word
            while self.width(rest, style) > width and len(rest) > 1:
                end = max(1, int(len(rest) * width / self.width(rest, style)))
                while end > 1 and self.width(rest[:end], style) > width:
                    end -= 1
                yield rest[:end]
                rest = rest[end:]
            yield rest

    def cut(self, text: str, style: Style, width: float) -> str:
        """Return text that is no wider than ``width``, with a mark where it is cut."""
        if self.width(text, style) <= width:
            return text
        fits, too_long = 0, len(text)
        while too_long - fits > 1:
            middle = (fits + too_long) // 2
            if self.width(text[:middle] + "…", style) <= width:
                fits = middle
            else:
                too_long = middle
        return text[:fits].rstrip() + "…"


def _append(line: Line, word: str, style: Style) -> None:
    if line and line[-1][1] == style:
        line[-1] = (f"{line[-1][0]} {word}", style)
    else:
        line.append((f" {word}" if line else word, style))

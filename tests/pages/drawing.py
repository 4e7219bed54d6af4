"""Draws a page of a parts list as a scanner would give it; what is drawn is what is true."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw, ImageFont

if TYPE_CHECKING:
    from collections.abc import Sequence

#: A4 in inches, and its margins.
_WIDE, _HIGH, _MARGIN = 8.27, 11.69, 0.8
#: The height of letters, and of rows, in inches.
_LETTER, _ROW = 0.14, 0.27


@dataclass(frozen=True)
class Look:
    """How a page came out of the machine."""

    dots: int = 200
    turned: float = 0.0
    quarters: int = 0
    ruled: bool = False
    leaders: bool = False
    specks: float = 0.0
    noise: float = 4.0
    ink: int = 20


def draw_page(
    rows: Sequence[Sequence[str]],
    places: Sequence[float],
    look: Look | None = None,
    titles: Sequence[str] = (),
    *,
    top: float = 1.0,
) -> Image.Image:
    """Return a page in greys: titles, then rows of cells at ``places`` (inches from the left)."""
    look = look or Look()
    page = Image.new("L", (round(_WIDE * look.dots), round(_HIGH * look.dots)), 250)
    pen = ImageDraw.Draw(page)
    font = ImageFont.load_default(round(_LETTER * look.dots))
    y = top
    for title in titles:
        pen.text((_MARGIN * look.dots, y * look.dots), title, look.ink, font)
        y += _ROW * 1.5
    first = y
    for row in rows:
        for cell, place in zip(row, places, strict=True):
            x = place * look.dots
            pen.text((x, y * look.dots), cell, look.ink, font)
        if look.leaders and len(row) > 1 and row[-1]:
            _lead(pen, font, row, places, y, look)
        y += _ROW
    if look.ruled:
        _rule(pen, places, first, y, len(rows), look)
    return _as_scanned(page, look)


def _lead(pen, font, row, places, y, look) -> None:  # type: ignore[no-untyped-def]
    start = places[-2] * look.dots + pen.textlength(row[-2], font) + 0.1 * look.dots
    x = start
    while x < (places[-1] - 0.15) * look.dots:
        pen.text((x, y * look.dots), ".", look.ink, font)
        x += 0.09 * look.dots


def _rule(pen, places, first, last, count, look) -> None:  # type: ignore[no-untyped-def]
    left, right = (places[0] - 0.1) * look.dots, (places[-1] + 0.7) * look.dots
    for n in range(count + 1):
        y = (first - 0.05 + n * _ROW) * look.dots
        pen.line((left, y, right, y), look.ink, 2)
    for place in (*places, places[-1] + 0.8):
        x = (place - 0.1) * look.dots
        pen.line((x, (first - 0.05) * look.dots, x, (last - 0.05) * look.dots), look.ink, 2)


def _as_scanned(page: Image.Image, look: Look) -> Image.Image:
    if look.turned:
        page = page.rotate(look.turned, Image.Resampling.BICUBIC, fillcolor=250)
    chance = np.random.default_rng(7)
    grey = np.asarray(page, np.float32) + chance.normal(0, look.noise, page.size[::-1])
    if look.specks:
        grey[chance.random(grey.shape) < look.specks] = 30
    page = Image.fromarray(grey.clip(0, 255).astype(np.uint8))
    return page.rotate(90 * look.quarters, expand=True) if look.quarters else page

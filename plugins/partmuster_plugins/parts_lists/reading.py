"""One page picture read: level, the right way up, its pieces of text with their places."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

from .ink import Blobs, blobs_on
from .pieces import Piece, letter_height, read_pieces
from .straighten import slant, to_read, turned
from .unread import UNREAD

if TYPE_CHECKING:
    from .engine import Boxes, Engine, Grey

#: A piece of text is so much longer than it is high; a single letter tells nothing of the way up.
_LONG = 2.0
#: A page is no text that can be read where the engine is as sure as this of less than half of it.
_SURE = 0.7
#: Pieces looked at to tell whether a page stands on its head.
_LOOKED_AT = 12


@dataclass(frozen=True, slots=True)
class PageText:
    """The text of one page: its pieces on the level page, and the way back to the picture."""

    pieces: list[Piece]
    height: float
    width: float
    scale: float
    quarters: int
    angle: float
    shape: tuple[int, int]
    #: Words of it are in a script that is not known, and were not read.
    other_script: bool = False

    @property
    def unread(self) -> int:
        """How many pieces could not be read, or not all of them."""
        return sum(UNREAD in piece.text for piece in self.pieces)

    @property
    def is_unknown_script(self) -> bool:
        """Whether most of its pieces could not be read at all."""
        return 2 * sum(piece.text == UNREAD for piece in self.pieces) > len(self.pieces)

    @property
    def is_readable(self) -> bool:
        """Whether most of it was read for sure: not so of photographs and of other scripts."""
        letters = sum(len(piece.text) for piece in self.pieces)
        sure = sum(len(piece.text) for piece in self.pieces if piece.mean_sure >= _SURE)
        return 2 * sure >= letters > 0

    def on_page(self, piece: Piece) -> tuple[float, float, float, float]:
        """Return where a piece stands on the picture as it came: x0, y0, x1, y1 in pixels."""
        high, wide = self.shape
        back = cv2.getRotationMatrix2D((wide / 2, high / 2), -self.angle, 1.0)
        corners = np.array([[x, y, 1.0] for x in (piece.x0, piece.x1)
                            for y in (piece.y0, piece.y1)])  # fmt: skip
        points = corners @ back.T
        for _ in range(self.quarters):  # np.rot90 went counter-clockwise
            points = np.stack([high - points[:, 1], points[:, 0]], axis=1)
            high, wide = wide, high
        low, top = points.min(axis=0) / self.scale, points.max(axis=0) / self.scale
        return float(low[0]), float(low[1]), float(top[0]), float(top[1])


@dataclass(frozen=True, slots=True)
class _Level:
    """A page made level, by which angle, and what was found on it."""

    page: Grey
    angle: float
    found: Boxes
    blobs: Blobs


def read_page(picture: Grey, engine: Engine) -> PageText:
    """Return the text of a page picture, whichever way it was laid on the scanner."""
    page = to_read(picture)
    scale = max(page.shape) / max(picture.shape)
    level = _level(page, engine)
    quarters = 0
    if _lies_on_its_side(level.found):
        page, quarters = np.ascontiguousarray(np.rot90(page)), 1
        level = _level(page, engine)
    if _stands_on_its_head(level.page, level.found, engine):
        page, quarters = np.ascontiguousarray(np.rot90(page, 2)), quarters + 2
        level = _level(page, engine)
    height = letter_height(level.found, level.page)
    pieces, other_script = read_pieces(level.page, level.found, level.blobs, height, engine)
    high, wide = page.shape
    return PageText(
        pieces, height, float(wide), scale, quarters, level.angle, (high, wide), other_script
    )


def _level(page: Grey, engine: Engine) -> _Level:
    angle = -slant(page)
    level = turned(page, angle)
    # The engine leaves half a processor idle while it finds.
    with ThreadPoolExecutor(1) as beside:
        blobs = beside.submit(blobs_on, level)
        found = engine.find(level)
    return _Level(level, angle, found, blobs.result())


def _lies_on_its_side(found: Boxes) -> bool:
    wide, high = found[:, 2] - found[:, 0], found[:, 3] - found[:, 1]
    return int(high[high > _LONG * wide].sum()) > int(wide[wide > _LONG * high].sum())


def _stands_on_its_head(level: Grey, found: Boxes, engine: Engine) -> bool:
    wide, high = found[:, 2] - found[:, 0], found[:, 3] - found[:, 1]
    long = found[wide > _LONG * high]
    if not len(long):
        return False
    widest = long[np.argsort(long[:, 0] - long[:, 2], kind="stable")[:_LOOKED_AT]]
    pieces = [level[max(0, y0) : y1, max(0, x0) : x1] for x0, y0, x1, y1 in widest]
    pieces = [piece for piece in pieces if piece.size]
    if not engine.upside_down(pieces):
        return False
    # Of long lines of prose that is said wrongly at times; how surely they are read tells.
    return _sureness(engine, [piece[::-1, ::-1] for piece in pieces]) > _sureness(engine, pieces)


def _sureness(engine: Engine, pieces: list[Grey]) -> float:
    """Return how surely pieces are read, on average over their characters."""
    readings = engine.read([np.ascontiguousarray(piece) for piece in pieces])
    return float(np.mean([one for reading in readings for one in reading.sure] or [0.0]))

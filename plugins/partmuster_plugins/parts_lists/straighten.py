"""A page picture made level: of a size to be read, its lines of text horizontal."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from .engine import Grey

#: The longer side of a page as it is read, in pixels: A4 at 300 dots an inch.
READ_SIDE = 3508
#: The slant is looked for on a copy of so many pixels, up to so many degrees.
_SMALL_SIDE = 1000
_STEEPEST = 6.0
#: A difference of greys that is no ink.
_FAINTEST = 20


def to_read(picture: Grey) -> Grey:
    """Return a picture no larger than pages are read."""
    longest = max(picture.shape)
    if longest <= READ_SIDE:
        return picture
    scale = READ_SIDE / longest
    size = (max(1, round(picture.shape[1] * scale)), max(1, round(picture.shape[0] * scale)))
    return np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)


def slant(picture: Grey) -> float:
    """Return by how many degrees (-6 to 6) lines of text rise to the right.

    The angle at which the ink of one row of pixels differs most from the next (projection
    profile; the method is from memory).
    """
    scale = min(1.0, _SMALL_SIDE / max(picture.shape))
    size = (max(1, round(picture.shape[1] * scale)), max(1, round(picture.shape[0] * scale)))
    small = cv2.resize(picture, size, interpolation=cv2.INTER_AREA)
    ink = np.asarray(cv2.subtract(cv2.blur(small, (41, 41)), small), np.uint8)
    ink[ink < _FAINTEST] = 0

    def sharpness(angle: float) -> float:
        rows = turned(ink, angle, background=0).sum(axis=1, dtype=np.float64)
        return float(np.square(np.diff(rows)).sum())

    best = max(np.arange(-_STEEPEST, _STEEPEST + 0.1, 0.5), key=sharpness)
    for step in (0.1, 0.02):
        best = max(np.arange(best - 5 * step, best + 5.1 * step, step), key=sharpness)
    return -float(best)


def turned(picture: Grey, angle: float, *, background: int = 255) -> Grey:
    """Return a picture turned by an angle in degrees, counter-clockwise, in the same frame."""
    middle = (picture.shape[1] / 2, picture.shape[0] / 2)
    return np.asarray(
        cv2.warpAffine(
            picture, cv2.getRotationMatrix2D(middle, angle, 1.0),
            (picture.shape[1], picture.shape[0]), flags=cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_CONSTANT, borderValue=background,
        ),
        np.uint8,
    )  # fmt: skip


def levelled(picture: Grey) -> Grey:
    """Return a picture with its lines of text horizontal."""
    return turned(picture, -slant(picture))

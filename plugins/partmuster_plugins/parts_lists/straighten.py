"""A page picture made level: of a size to be read, its lines of text horizontal."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
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
#: Ink is joined sidewise, four dots in one, until the last look: that halves the time.
_SLIMMER = 4
#: Angles looked at at once.
_LOOKS_AT_ONCE = 2
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

    slimmer = (max(1, ink.shape[1] // _SLIMMER), ink.shape[0])
    slim = np.asarray(cv2.resize(ink, slimmer, interpolation=cv2.INTER_AREA), np.uint8)
    best = 0.0
    with ThreadPoolExecutor(_LOOKS_AT_ONCE) as pool:
        for reach, step, copy in ((_STEEPEST, 0.5, slim), (0.5, 0.1, slim), (0.1, 0.02, ink)):
            angles = np.arange(best - reach, best + reach + step / 2, step)
            looks = [pool.submit(_sharpness, copy, angle, ink.shape[1]) for angle in angles]
            best = float(angles[np.argmax([look.result() for look in looks])])
    return -best


def _sharpness(ink: Grey, angle: float, width: int) -> float:
    """Return how much the rows of turned ink differ; it may be slimmer than it was."""
    slimmer = width / ink.shape[1]
    turn = cv2.getRotationMatrix2D((width / 2, ink.shape[0] / 2), angle, 1.0)
    turn[:, 0] *= slimmer
    turn[0] /= slimmer
    rows = cv2.warpAffine(ink, turn, ink.shape[::-1], flags=cv2.INTER_LINEAR)
    return float(np.square(np.diff(rows.sum(axis=1, dtype=np.float64))).sum())


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

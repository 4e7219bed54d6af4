"""From what a model sees on a page, text or none at each dot, to boxes around pieces of text."""

from __future__ import annotations

from typing import TYPE_CHECKING

import cv2
import numpy as np
import pyclipper

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from .engine import Boxes

#: A dot is text if the model is so sure; a box holds text if it is so sure of it in the mean.
_TEXT, _BOX = 0.3, 0.5
#: The model sees text slimmer than it is: boxes grow by so much of their area over their edge.
_GROWN = 1.6
#: Smaller boxes are specks: before they grow, and on the page.
_LEAST, _LEAST_ON_PAGE = 3, 3
_MOST = 1000
#: Boxes whose tops are so near, in dots of the page, stand in one line.
_LEVEL = 10


def boxes_in(seen: NDArray[np.float32], width: int, height: int) -> Boxes:
    """Return boxes on a page of a size, line by line.

    ``seen``: how sure the model is of text at each dot of its copy of the page.
    """
    text = cv2.dilate((seen > _TEXT).astype(np.uint8), np.ones((2, 2), np.uint8))
    outlines = cv2.findContours(text, cv2.RETR_LIST, cv2.CHAIN_APPROX_SIMPLE)[0]
    sides = np.array([width / seen.shape[1], height / seen.shape[0]] * 2)
    most = np.array([width, height] * 2)
    boxes = []
    for outline in outlines[:_MOST]:
        middle, (wide, high), angle = cv2.minAreaRect(outline)
        corners = cv2.boxPoints((middle, (wide, high), angle)).astype(np.float32)
        if min(wide, high) < _LEAST or _sure_of(seen, corners) < _BOX:
            continue
        off = _GROWN * wide * high / (2 * (wide + high))
        middle, (wide, high), angle = cv2.minAreaRect(_grown(corners, off))
        if min(wide, high) < _LEAST + 2:
            continue
        grown = cv2.boxPoints((middle, (wide, high), angle))
        low_high = np.concatenate([grown.min(axis=0), grown.max(axis=0)])
        box = np.clip(np.round(low_high * sides), 0, most).clip(0, most - 1)
        if min(box[2] - box[0], box[3] - box[1]) > _LEAST_ON_PAGE:
            boxes.append(box)
    found = np.array(sorted(boxes, key=lambda box: box[1]), np.int32).reshape(-1, 4)
    lines = np.cumsum(np.diff(found[:, 1], prepend=found[:1, 1]) >= _LEVEL)
    return found[np.lexsort((found[:, 0], lines))]


def _grown(corners: NDArray[np.float32], off: float) -> NDArray[np.int32]:
    """Return a box grown on all sides, in whole dots."""
    grower = pyclipper.PyclipperOffset()
    grower.AddPath(corners, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    return np.array(grower.Execute(off), np.int32).reshape(-1, 1, 2)


def _sure_of(seen: NDArray[np.float32], corners: NDArray[np.float32]) -> float:
    """Return how sure the model is of text between four corners, in the mean."""
    high, wide = seen.shape
    low = np.floor(corners.min(axis=0)).astype(int).clip(0, (wide - 1, high - 1))
    top = np.ceil(corners.max(axis=0)).astype(int).clip(0, (wide - 1, high - 1))
    mask = np.zeros((top[1] - low[1] + 1, top[0] - low[0] + 1), np.uint8)
    cv2.fillPoly(mask, [(corners - low).astype(np.int32)], (1,))
    return float(cv2.mean(seen[low[1] : top[1] + 1, low[0] : top[0] + 1], mask)[0])

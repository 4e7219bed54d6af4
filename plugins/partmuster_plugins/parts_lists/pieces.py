"""Where pieces of text stand on a level page: what an engine finds, parted and filled up by ink."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from .ink import Ink, ink_of
from .scripts import without_other_scripts
from .unread import with_unread

if TYPE_CHECKING:
    from .engine import Boxes, Engine, Grey
    from .ink import Blobs

#: The engine's boxes stand off the text: so much of their height is a capital letter.
_OF_BOX = 0.5
#: A gap of so many heights of a letter parts two pieces.
_GAP = 2.2
#: Ink that no box holds is one piece over gaps of so many heights.
_LETTER_GAP = 1.1
#: Characters of a page where nothing was found are taken to be so high.
_OF_PAGE = 1 / 130


@dataclass(frozen=True, slots=True)
class Piece:
    """Text at a place: x0, y0, x1, y1 in pixels; ``sure`` and ``at`` (x) for each character.

    ``of_kind``: how sure each is where it is known to be a letter, or a figure; empty if not told.
    """

    x0: float
    y0: float
    x1: float
    y1: float
    text: str
    sure: tuple[float, ...]
    at: tuple[float, ...]
    of_kind: tuple[float, ...] = ()

    @property
    def middle(self) -> float:
        """Half way down it."""
        return (self.y0 + self.y1) / 2

    @property
    def mean_sure(self) -> float:
        """How sure its characters are in the mean."""
        return sum(self.sure) / len(self.sure) if self.sure else 0.0

    @property
    def least_sure(self) -> float:
        """How sure its least sure character is."""
        return min(self.sure, default=0.0)


def letter_height(found: Boxes, page: Grey) -> float:
    """Return how high a capital letter is on a page, in pixels."""
    if not len(found):
        return float(page.shape[0] * _OF_PAGE)
    return max(4.0, float(np.median(found[:, 3] - found[:, 1])) * _OF_BOX)


def read_pieces(
    page: Grey, found: Boxes, blobs: Blobs, height: float, engine: Engine
) -> tuple[list[Piece], bool]:
    """Return the pieces of text on a level page, without those that hold only signs.

    And whether it is in a script that is not known: then its words are not read.
    """
    ink = ink_of(blobs, height)
    boxes = boxes_of_pieces(found, ink, height)
    boxes[:, (0, 2)] = boxes[:, (0, 2)].clip(0, page.shape[1])
    boxes[:, (1, 3)] = boxes[:, (1, 3)].clip(0, page.shape[0])
    boxes = boxes[(boxes[:, 2] - boxes[:, 0] > 1) & (boxes[:, 3] - boxes[:, 1] > 1)]
    readings = engine.read([page[y0:y1, x0:x1] for x0, y0, x1, y1 in boxes])
    pieces, others = [], []
    for (x0, y0, x1, y1), read in zip(boxes.tolist(), readings, strict=True):
        said = with_unread(read, (x0, y0, x1, y1), ink.letters, height)
        if said.text.strip():
            others.append(read.others)
            at = tuple(float(x0 + part * (x1 - x0)) for part in said.at)
            pieces.append(
                Piece(
                    float(x0),
                    float(y0),
                    float(x1),
                    float(y1),
                    said.text,
                    said.sure,
                    at,
                    said.of_kind,
                )
            )
    return without_other_scripts(pieces, others)


def boxes_of_pieces(found: Boxes, ink: Ink, height: float) -> Boxes:
    """Return a box for each piece: those found, parted at wide gaps, and ink that none holds."""
    blobs = np.concatenate([ink.letters, ink.points])
    middle_x, middle_y = (blobs[:, 0] + blobs[:, 2]) / 2, (blobs[:, 1] + blobs[:, 3]) / 2
    free = np.ones(len(blobs), bool)
    boxes: list[tuple[int, int, int, int]] = []
    for x0, y0, x1, y1 in found.tolist():
        around = (middle_x >= x0 - 2) & (middle_x <= x1 + 2)
        around &= (middle_y >= y0) & (middle_y <= y1)
        inside = around & free
        if inside.any():
            parted = _parted((x0, y0, x1, y1), blobs[inside], ink.leaders, height)
            # Two boxes that overlap would both read what stands there: the first one has it.
            boxes += _clear_of(blobs[around & ~free], blobs[inside], parted)
        else:
            boxes.append((x0, y0, x1, y1))
        free &= ~inside
    lone = blobs[free & (np.arange(len(blobs)) < len(ink.letters))]
    off = int(0.5 * height)
    for line in _lines(lone[lone[:, 3] - lone[:, 1] >= 0.5 * height], height):
        low, high = line.min(axis=0), line.max(axis=0)
        boxes.append((int(low[0]) - off, int(low[1]) - off, int(high[2]) + off, int(high[3]) + off))
    return np.array(boxes, np.int32).reshape(-1, 4)


def _parted(
    box: tuple[int, int, int, int], blobs: Boxes, leaders: Boxes, height: float
) -> list[tuple[int, int, int, int]]:
    """Return a box parted where its ink leaves wide gaps; leader dots are left out."""
    x0, y0, x1, y1 = box
    groups = _groups(blobs, _GAP * height)
    leads = leaders[
        (leaders[:, 0] >= x0) & (leaders[:, 2] <= x1 + 2)
        & (leaders[:, 1] >= y0) & (leaders[:, 3] <= y1)
    ]  # fmt: skip
    off = int(0.35 * height)
    boxes = []
    for at, group in enumerate(groups):
        start, end = int(group[:, 0].min()), int(group[:, 2].max())
        right = leads[leads[:, 0] >= end - 1, 0]
        left, stop = start - off, end + off
        if not len(leads):
            left = min(left, x0) if at == 0 else left
            stop = max(stop, x1) if at == len(groups) - 1 else stop
        elif len(right):
            stop = min(stop, int(right.min()) - 1)
        boxes.append((left, y0, stop, y1))
    return boxes


def _clear_of(
    taken: Boxes, own: Boxes, boxes: list[tuple[int, int, int, int]]
) -> list[tuple[int, int, int, int]]:
    """Return boxes side by side without the ink beside their own that another box has.

    Ink above and below stands among their own, and clears nothing.
    """
    start, end = int(own[:, 0].min()), int(own[:, 2].max())
    left = max(taken[taken[:, 2] <= start + 1, 2].tolist(), default=None)
    right = min(taken[taken[:, 0] >= end - 1, 0].tolist(), default=None)
    return [
        (
            x0 if left is None else max(x0, min(left + 1, start - 1)),
            y0,
            x1 if right is None else min(x1, max(right - 1, end + 1)),
            y1,
        )
        for x0, y0, x1, y1 in boxes
    ]


def _groups(blobs: Boxes, gap: float) -> list[Boxes]:
    """Return blobs of one line in groups that wide gaps part."""
    ordered = blobs[np.argsort(blobs[:, 0], kind="stable")]
    reached = np.maximum.accumulate(ordered[:, 2])
    return np.split(ordered, np.flatnonzero(ordered[1:, 0] - reached[:-1] > gap) + 1)


def _lines(blobs: Boxes, height: float) -> list[Boxes]:
    """Return blobs joined with those beside them."""
    lines: list[list[list[int]]] = []
    for blob in blobs[np.argsort(blobs[:, 0], kind="stable")].tolist():
        for line in lines:
            last = line[-1]
            shared = min(last[3], blob[3]) - max(last[1], blob[1])
            near = blob[0] - max(one[2] for one in line) <= _LETTER_GAP * height
            if near and shared > 0.4 * min(last[3] - last[1], blob[3] - blob[1]):
                line.append(blob)
                break
        else:
            lines.append([blob])
    return [np.array(line, np.int32) for line in lines]

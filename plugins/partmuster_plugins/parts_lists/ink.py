"""What is ink on a level page: letters and points, apart from rules, specks and leader dots."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import cv2
import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from .engine import Boxes, Grey

#: So many dots in a row, evenly spaced, lead the eye across a page.
_FEWEST_LEADERS = 4
#: Runs of dots looked through for one that a dot goes on with.
_OPEN_RUNS = 200


@dataclass(frozen=True, slots=True)
class Ink:
    """Blobs of ink: letters, points such as full stops and dashes, and leader dots."""

    letters: Boxes
    points: Boxes
    leaders: Boxes


@dataclass(frozen=True, slots=True)
class Blobs:
    """What hangs together on a page: boxes, and how many dots each has."""

    boxes: Boxes
    dots: NDArray[np.int32]


def blobs_on(page: Grey) -> Blobs:
    """Return what hangs together on a level page, rules left out."""
    small = cv2.resize(page, None, fx=0.25, fy=0.25, interpolation=cv2.INTER_AREA)
    ground = cv2.resize(cv2.medianBlur(small, 25), page.shape[::-1])
    dark = cv2.subtract(ground, cv2.GaussianBlur(page, (3, 3), 0))
    # Otsu's threshold, lowered for faint print.
    threshold = max(18.0, 0.6 * float(cv2.threshold(dark, 0, 255, cv2.THRESH_OTSU)[0]))
    ink = np.where(dark > threshold, 255, 0).astype(np.uint8)
    ink = np.asarray(cv2.subtract(ink, _rules(ink)), np.uint8)
    stats = cv2.connectedComponentsWithStats(ink, connectivity=8)[2][1:].astype(np.int32)
    corner = stats[:, :2]
    return Blobs(np.concatenate([corner, corner + stats[:, 2:4]], axis=1), stats[:, 4])


def ink_of(blobs: Blobs, height: float) -> Ink:
    """Return what blobs are ink; ``height``: of a capital letter, in pixels."""
    boxes = blobs.boxes
    wide, high = (boxes[:, 2] - boxes[:, 0]) / height, (boxes[:, 3] - boxes[:, 1]) / height
    area = blobs.dots / height**2
    letter = (high >= 0.45) & (high <= 3) & (wide <= 15) & (area >= 0.02)  # noqa: PLR2004
    point = ~letter & (high <= 0.6) & (wide <= 2) & (area >= 0.006)  # noqa: PLR2004
    leads = _leads(boxes[point], height)
    return Ink(boxes[letter], boxes[point][~leads], boxes[point][leads])


def _rules(ink: Grey) -> Grey:
    """Return lines drawn across or down the page, a little thickened."""
    long, tall = max(60, ink.shape[1] // 25), max(60, ink.shape[0] // 25)
    across = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((1, long), np.uint8))
    down = cv2.morphologyEx(ink, cv2.MORPH_OPEN, np.ones((tall, 1), np.uint8))
    both = cv2.bitwise_or(across, down)
    return np.asarray(cv2.dilate(both, np.ones((5, 5), np.uint8)), np.uint8)


def _leads(points: Boxes, height: float) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which points are dots that lead the eye from one column to the next."""
    leads = np.zeros(len(points), bool)
    runs: list[list[int]] = []
    for at in np.argsort(points[:, 0], kind="stable"):
        x0, y0, x1, y1 = (int(edge) for edge in points[at])
        if max(x1 - x0, y1 - y0) > 0.45 * height:
            continue
        for run in reversed(runs[-_OPEN_RUNS:]):
            last = points[run[-1]]
            if abs(int(last[3]) - y1) <= 0.25 * height and 0 < x0 - last[2] <= 1.6 * height:
                run.append(int(at))
                break
        else:
            runs.append([int(at)])
    for run in runs:
        if len(run) >= _FEWEST_LEADERS:
            gaps = np.diff(points[run, 0])
            # A full stop before them stands nearer to its word than they to each other.
            leads[run if abs(gaps[0] - np.median(gaps)) <= 0.3 * np.median(gaps) + 1
                  else run[1:]] = True  # fmt: skip
    return leads

"""Text on a page that was found and cannot be read: it is told of, and stands in no words."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from .engine import Reading

if TYPE_CHECKING:
    from .engine import Boxes

#: What stands where text could not be read.
UNREAD = "\N{REPLACEMENT CHARACTER}"
#: Letters this far from any that was read, in heights of a letter, were not read.
_FAR = 0.6
#: So many beside each other, or of a piece without a letter or figure so much width in heights.
_FEWEST = 3
_LEAST_WIDE = 1.5
#: So many letters of another alphabet are text.
_OTHERS = 2
#: What little was read beside it with less confidence was not read either.
_GUESSED = 0.5


def with_unread(
    said: Reading, box: tuple[int, int, int, int], letters: Boxes, height: float
) -> Reading:
    """Return what was read of a piece, with :data:`UNREAD` where letters stand that were not.

    ``letters``: the blobs of ink on the page that are as large as letters.
    """
    x0, y0, x1, y1 = box
    middle = (letters[:, :2] + letters[:, 2:]) / 2
    inside = (middle >= (x0, y0)).all(axis=1) & (middle <= (x1, y1)).all(axis=1)
    blobs = letters[inside]
    blobs = blobs[np.argsort(blobs[:, 0], kind="stable")]
    read = [part for part, one in zip(said.at, said.text, strict=True) if not one.isspace()]
    run = _longest_not_read(blobs, x0 + np.array(read) * (x1 - x0), _FAR * height)
    wordless = not any(one.isalnum() for one in said.text)
    wide = int((run[:, 2] - run[:, 0]).sum()) if len(run) else 0
    if wordless and (len(run) >= _FEWEST or wide >= _LEAST_WIDE * height or said.others >= _OTHERS):
        return Reading(UNREAD, (0.0,), (0.5,))
    if len(run) < _FEWEST:
        return said
    if float(np.mean(said.sure)) < _GUESSED:
        return Reading(UNREAD, (0.0,), (0.5,))
    part = float((run[:, 0].min() + run[:, 2].max()) / 2 - x0) / max(1, x1 - x0)
    at = sum(one < part for one in said.at)
    kinds = said.of_kind
    return Reading(
        f"{said.text[:at]} {UNREAD} {said.text[at:]}",
        (*said.sure[:at], 1.0, 0.0, 1.0, *said.sure[at:]),
        (*said.at[:at], part, part, part, *said.at[at:]),
        (*kinds[:at], 1.0, 0.0, 1.0, *kinds[at:]) if kinds else (),
    )


def _longest_not_read(blobs: Boxes, read: np.ndarray[tuple[int], np.dtype[np.float64]],
                      far: float) -> Boxes:  # fmt: skip
    """Return the longest run of blobs that stand far from all that was read."""
    if not len(blobs):
        return blobs
    if not len(read):
        return blobs
    away = np.maximum(blobs[:, :1] - read, read - blobs[:, 2:3]).min(axis=1) > far
    edges = np.flatnonzero(np.diff(away.astype(np.int8), prepend=0, append=0))
    runs = list(zip(edges[::2], edges[1::2], strict=True))
    start, end = max(runs, key=lambda run: int(run[1] - run[0]), default=(0, 0))
    return blobs[start:end]

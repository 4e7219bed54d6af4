"""The text that a PDF page carries, as pieces with their places: no engine is asked."""

from __future__ import annotations

import ctypes
from typing import TYPE_CHECKING, Any

import numpy as np

from .pieces import Piece

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Letters of a piece stand nearer to each other than so many of their heights; a wider gap parts
#: two pieces, as on a scanned page.
_GAP = 1.4
#: A space is wider than this.
_SPACE = 0.22
#: Places on a page are asked for in such parts of a point, so many points from its corner.
_FINE, _FAR = 1000, 1000.0
#: Letters of one line have their middles within so many heights.
_LEVEL = 0.5


def pieces_of_text(page: Any) -> tuple[list[Piece], float]:
    """Return the pieces of a page's text layer, and how high its letters are.

    In points from the upper left corner.
    """
    letters, boxes = _letters(page)
    if not letters:
        return [], 0.0
    height = float(np.median(boxes[:, 3] - boxes[:, 1]))
    order = np.lexsort((boxes[:, 0], _line_numbers(boxes, height)))
    pieces: list[Piece] = []
    group: list[int] = []
    lines = _line_numbers(boxes, height)
    for at in order.tolist():
        if group:
            last = group[-1]
            if lines[at] != lines[last] or boxes[at, 0] - boxes[last, 2] > _GAP * height:
                pieces.append(_piece(group, letters, boxes, height))
                group = []
        group.append(at)
    pieces.append(_piece(group, letters, boxes, height))
    return pieces, height


def _letters(page: Any) -> tuple[list[str], NDArray[np.float64]]:
    """Return the visible letters of a page and their boxes, top down, as the page is seen."""
    import pypdfium2.raw as pdfium  # noqa: PLC0415 - heavy

    text = page.get_textpage()
    try:
        count = pdfium.FPDFText_CountChars(text)
        box = pdfium.FS_RECTF()
        letters: list[str] = []
        boxes: list[tuple[float, float, float, float]] = []
        reference = ctypes.byref(box)
        for at in range(count):
            code = pdfium.FPDFText_GetUnicode(text, at)
            if code <= ord(" ") or 0xD800 <= code < 0xE000 or code in {0xFFFE, 0xFFFF, 0xA0}:  # noqa: PLR2004 - halves of pairs, no letters
                continue
            if pdfium.FPDFText_GetLooseCharBox(text, at, reference):
                letters.append(chr(code))
                boxes.append((box.left, box.top, box.right, box.bottom))
    finally:
        text.close()
    return letters, _as_seen(page, np.array(boxes, float).reshape(-1, 4))


def _as_seen(page: Any, boxes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return boxes of a page's own space where they are seen: it may be turned, and cut."""
    import pypdfium2.raw as pdfium  # noqa: PLC0415 - heavy

    width, height = page.get_size()
    x, y = ctypes.c_int(), ctypes.c_int()

    def seen(at_x: float, at_y: float) -> NDArray[np.float64]:
        pdfium.FPDF_PageToDevice(
            page, 0, 0, round(width * _FINE), round(height * _FINE), 0, at_x, at_y,
            ctypes.byref(x), ctypes.byref(y),
        )  # fmt: skip
        return np.array([x.value, y.value], float) / _FINE

    origin = seen(0, 0)
    right, up = (seen(_FAR, 0) - origin) / _FAR, (seen(0, _FAR) - origin) / _FAR
    one = origin + boxes[:, :1] * right + boxes[:, 1:2] * up
    other = origin + boxes[:, 2:3] * right + boxes[:, 3:] * up
    return np.concatenate([np.minimum(one, other), np.maximum(one, other)], axis=1)


def _line_numbers(boxes: NDArray[np.float64], height: float) -> NDArray[np.int64]:
    """Return which line each letter stands on, from the top."""
    middle = (boxes[:, 1] + boxes[:, 3]) / 2
    order = np.argsort(middle, kind="stable")
    new = np.diff(middle[order], prepend=middle[order[0]]) > _LEVEL * height * 0.5
    lines = np.empty(len(boxes), np.int64)
    lines[order] = np.cumsum(new)
    return lines


def _piece(
    group: list[int], letters: list[str], boxes: NDArray[np.float64], height: float
) -> Piece:
    """Return letters side by side as one piece, with the spaces between its words."""
    text, at = "", []
    reached = boxes[group[0], 0]
    for one in group:
        x0, x1 = float(boxes[one, 0]), float(boxes[one, 2])
        if text and x0 - reached > _SPACE * height:
            text += " "
            at.append((reached + x0) / 2)
        text += letters[one]
        at.append((x0 + x1) / 2)
        reached = x1
    own = boxes[group]
    return Piece(
        float(own[:, 0].min()), float(own[:, 1].min()), float(own[:, 2].max()),
        float(own[:, 3].max()), text, (1.0,) * len(text), tuple(float(x) for x in at),
    )  # fmt: skip

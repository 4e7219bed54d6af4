"""The engine that is put in: rapidocr's models, which come inside its package, on onnxruntime.

The package's own code is not run: it takes a second to start, and a page as long again to read.
"""

from __future__ import annotations

import os
from concurrent.futures import ThreadPoolExecutor
from importlib.metadata import version
from typing import TYPE_CHECKING, Any

import cv2
import numpy as np

from .engine import Boxes, Grey, Reading
from .finding import boxes_in
from .models import letters_of, lightened, model_of, session

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

#: The longer side, in pixels, of the copy on which text is looked for. At 1120 it took a third
#: of the time of the full page, and what it missed is found again by its ink. The model wants
#: sides that are multiples of 32.
_FIND_SIDE = 1120
_FIND_STEP = 32
#: The model reads pieces of this height; narrow ones, padded to this width: without it "1" is
#: read as "7" in some hands. Of so many pieces of like width all are padded to the widest of
#: them, which hands are read better with (part numbers of the practice pages: 92.2 %, without
#: 91.1 %); but each is read alone, in less time than several in one go.
_HEIGHT = 48
_LEAST_WIDTH = 160
_WIDEST = 3200
_ALIKE_WIDE = 6
#: Whether a piece stands on its head is told by so much of its beginning.
_TURN_WIDTH = 192
#: A letter of another alphabet is seen where it is so likely.
_SEEN = 0.5
#: Letters whose two cases differ in size only.
_ALIKE = frozenset("ckopsuvwxz")
#: Greek letters unlike Latin ones: they are told apart, and stand in no words.
_OTHERS = "ΓΔΘΛΞΠΣΦΨΩαβγδεζηθλμξπρςστυφψω"
_FURTHER = "½¼¾⅛⅜⅝⅞°£–—‘’“”″′§ÀÂÄÁÇÉÈÊËÍÌÎÏÑÓÒÔÖÚÙÛÜàâäáçéèêëíìîïñóòôöúùûüß"


class Rapid:
    """Text in Latin letters, figures and signs; the model knows others, which are left out."""

    name = "rapidocr"

    def __init__(self, threads: int = -1) -> None:
        threads = threads if threads > 0 else os.cpu_count() or 1
        self.version = version(self.name)
        self._pool = ThreadPoolExecutor(threads)
        # Loaded beside the reader: a page takes both, and each a fifth of a second.
        finder = self._pool.submit(lambda: session(lightened(model_of(self.name, "det")), threads))
        reader = model_of(self.name, "rec")
        letters = ["", *letters_of(reader), " "]
        wanted = [
            at
            for at, letter in enumerate(letters)
            if not at or (len(letter) == 1 and (" " <= letter <= "~" or letter in _FURTHER))
        ]
        others = [at for at, letter in enumerate(letters) if letter and letter in _OTHERS]
        # Several pieces at once, a processor each, take less time than one after the other on all.
        self._reader = session(lightened(reader, wanted + others, len(letters)), 1)
        self._finder = finder.result()
        self._turner: Any = None
        self._own = len(wanted)
        self._told_apart = np.array(wanted + others)
        self._letters = [letters[at] for at in wanted]
        places = {letter: at for at, letter in enumerate(self._letters)}
        # A letter's other case where both look alike, else the blank, of which nothing is taken.
        self._twins = np.array([
            places.get(one.swapcase(), 0) if one.casefold() in _ALIKE else 0
            for one in self._letters
        ])  # fmt: skip

        #: 1 for letters, 2 for figures, 0 for signs and the blank.
        self._kinds = np.array([one.isalpha() + 2 * one.isdecimal() for one in self._letters])

    def find(self, page: Grey) -> Boxes:
        """Return a box around each piece of text."""
        high, wide = page.shape
        scale = min(1.0, _FIND_SIDE / max(high, wide))
        size = [
            max(_FIND_STEP, round(int(side * scale) / _FIND_STEP) * _FIND_STEP)
            for side in (wide, high)
        ]
        small = _as_input(page, size[0], size[1], size[0])
        return boxes_in(self._said(self._finder, small)[0, 0], wide, high)

    def read(self, pieces: Sequence[Grey]) -> list[Reading]:
        """Return what stands in each piece."""
        widths = [
            min(_WIDEST, max(1, -(-piece.shape[1] * _HEIGHT // piece.shape[0]))) for piece in pieces
        ]
        order = sorted(range(len(pieces)), key=widths.__getitem__)
        padded = dict.fromkeys(order, _LEAST_WIDTH)
        for at in range(0, len(order), _ALIKE_WIDE):
            alike = order[at : at + _ALIKE_WIDE]
            padded.update(dict.fromkeys(alike, max(_LEAST_WIDTH, widths[alike[-1]])))
        # The widest first: no processor waits long for another at the end.
        order.reverse()
        readings = self._pool.map(lambda at: self._read(pieces[at], widths[at], padded[at]), order)
        read = dict(zip(order, readings, strict=True))
        return [read[at] for at in range(len(pieces))]

    def _read(self, piece: Grey, width: int, padded: int) -> Reading:
        said = self._said(self._reader, _as_input(piece, width, _HEIGHT, padded))[0]
        if said.shape[1] > len(self._told_apart):
            said = said[:, self._told_apart]
            said = said / np.maximum(said.sum(axis=1, keepdims=True), 1e-6)
        others = said[:, self._own :].sum(axis=1) > _SEEN
        # Letters that are left out cannot stand there: the others share their part.
        said = said[:, : self._own]
        said = said / np.maximum(said.sum(axis=1, keepdims=True), 1e-6)
        return self._spelt(said, padded / width, _runs(others))

    def upside_down(self, pieces: Sequence[Grey]) -> bool:
        """Return whether most of the pieces stand on their heads."""
        if self._turner is None:
            self._turner = session(model_of(self.name, "cls"), 1)
        return 2 * sum(self._pool.map(self._is_turned, pieces)) > len(pieces)

    def _is_turned(self, piece: Grey) -> bool:
        width = min(_TURN_WIDTH, max(1, -(-piece.shape[1] * _HEIGHT // piece.shape[0])))
        upright, on_its_head = self._said(
            self._turner, _as_input(piece, width, _HEIGHT, _TURN_WIDTH)
        )[0]
        return bool(on_its_head > upright)

    def _said(self, model: Any, picture: NDArray[np.float32]) -> NDArray[np.float32]:
        said: NDArray[np.float32] = model.run(None, {model.get_inputs()[0].name: picture})[0]
        return said

    def _spelt(self, said: NDArray[np.float32], padded: float, others: int) -> Reading:
        """Return the letters a model saw along a piece (CTC: one a run, blanks between)."""
        best = said.argmax(axis=1)
        twins = self._twins[best]
        steps = np.arange(len(best))
        # In doubt between "C" and "c" the letter is not in doubt.
        sure = said[steps, best] + np.where(twins > 0, said[steps, twins], 0)
        # As sure as it is among its kind; no character at all (the blank) stays possible.
        kinds = self._kinds[best]
        among = np.stack([said[:, (self._kinds == kind)].sum(axis=1) for kind in (0, 1, 2)])
        of_kind = sure / np.maximum(among[kinds, steps] + said[:, 0] * (kinds > 0), 1e-6)
        starts = np.flatnonzero((best != 0) & (np.diff(best, prepend=0) != 0))
        ends = [
            int(start + np.argmax(np.append(best[start:] != best[start], True))) for start in starts
        ]
        step = padded / len(best)
        return Reading(
            "".join(self._letters[best[start]] for start in starts),
            tuple(min(1.0, float(sure[a:b].max())) for a, b in zip(starts, ends, strict=True)),
            tuple(float((a + b) / 2 * step) for a, b in zip(starts, ends, strict=True)),
            tuple(
                min(1.0, float(of_kind[a + sure[a:b].argmax()]))
                for a, b in zip(starts, ends, strict=True)
            ),
            others,
        )


def _runs(seen: NDArray[np.bool_]) -> int:
    """Return how many runs of steps along a piece have something."""
    return int(np.count_nonzero(np.diff(seen.astype(np.int8), prepend=0) == 1))


def _as_input(picture: Grey, width: int, height: int, padded: int) -> NDArray[np.float32]:
    """Return a picture as models take it: three equal colours, -1 to 1, padded with 0."""
    out = np.zeros((1, 3, height, padded), np.float32)
    out[0, :, :, :width] = cv2.resize(picture, (width, height)).astype(np.float32) / 127.5 - 1
    return out

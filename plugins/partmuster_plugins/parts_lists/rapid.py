"""The engine that is put in: rapidocr on onnxruntime; its models come inside its package."""

from __future__ import annotations

import logging
from importlib.metadata import version
from typing import TYPE_CHECKING, Any, cast

import cv2
import numpy as np

from .engine import Boxes, Grey, Reading

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

#: The longer side, in pixels, of the copy on which text is looked for. At 1120 it took a third
#: of the time of the full page, and what it missed is found again by its ink.
_FIND_SIDE = 1120
#: The model reads pieces of this height; narrow ones, padded to this width: without it "1" is
#: read as "7" in some hands.
_HEIGHT = 48
_LEAST_WIDTH = 160
_WIDEST = 3200
_TOGETHER = 6
#: Letters whose two cases differ in size only.
_ALIKE = frozenset("ckopsuvwxz")
_FURTHER = "½¼¾⅛⅜⅝⅞°£–—‘’“”″′§ÀÂÄÁÇÉÈÊËÍÌÎÏÑÓÒÔÖÚÙÛÜàâäáçéèêëíìîïñóòôöúùûüß"


class Rapid:
    """Text in Latin letters, figures and signs; the model knows others, which are left out."""

    name = "rapidocr"

    def __init__(self, threads: int = -1) -> None:
        # Its own words about models and providers are not for the people who import.
        logging.getLogger("RapidOCR").setLevel(logging.ERROR)
        from rapidocr import RapidOCR  # noqa: PLC0415 - heavy

        logging.getLogger("RapidOCR").setLevel(logging.ERROR)
        self.version = version("rapidocr")
        self._all: Any = cast("Any", RapidOCR)(
            params={
                "Global.log_level": "error",
                "Det.limit_type": "max",
                "Det.limit_side_len": _FIND_SIDE,
                "EngineConfig.onnxruntime.intra_op_num_threads": threads,
            }
        )
        self._finder: Any = self._all._load_det_model()  # noqa: SLF001 - no public way to it
        self._session: Any = self._all._load_rec_model().session  # noqa: SLF001
        letters = ["", *self._session.get_character_list(), " "]
        wanted = [
            at
            for at, letter in enumerate(letters)
            if not at or (len(letter) == 1 and (" " <= letter <= "~" or letter in _FURTHER))
        ]
        self._wanted = np.array(wanted)
        self._letters = [letters[at] for at in wanted]
        places = {letter: at for at, letter in enumerate(self._letters)}
        # A letter's other case where both look alike, else the blank, of which nothing is taken.
        self._twins = np.array([
            places.get(one.swapcase(), 0) if one.casefold() in _ALIKE else 0
            for one in self._letters
        ])  # fmt: skip

    def find(self, page: Grey) -> Boxes:
        """Return a box around each piece of text."""
        found = self._finder(cv2.cvtColor(page, cv2.COLOR_GRAY2BGR)).boxes
        if found is None or not len(found):
            return np.zeros((0, 4), np.int32)
        corners = np.asarray(found)
        return np.concatenate([corners.min(axis=1), corners.max(axis=1)], axis=1).astype(np.int32)

    def read(self, pieces: Sequence[Grey]) -> list[Reading]:
        """Return what stands in each piece."""
        widths = [
            min(_WIDEST, max(1, -(-piece.shape[1] * _HEIGHT // piece.shape[0]))) for piece in pieces
        ]
        order = sorted(range(len(pieces)), key=widths.__getitem__)
        readings: list[Reading] = [Reading("", (), ())] * len(pieces)
        for start in range(0, len(order), _TOGETHER):
            batch = order[start : start + _TOGETHER]
            width = max(_LEAST_WIDTH, widths[batch[-1]])
            said: NDArray[np.float32] = self._session(
                np.stack([_as_input(pieces[at], widths[at], width) for at in batch])
            )[:, :, self._wanted]
            # Letters that are left out cannot stand there: the others share their part.
            said = said / np.maximum(said.sum(axis=2, keepdims=True), 1e-6)
            for at, one in zip(batch, said, strict=True):
                readings[at] = self._spelt(one, width / widths[at])
        return readings

    def upside_down(self, pieces: Sequence[Grey]) -> bool:
        """Return whether most of the pieces stand on their heads."""
        turner = self._all._load_cls_model()  # noqa: SLF001 - no public way to it
        said = turner([cv2.cvtColor(piece, cv2.COLOR_GRAY2BGR) for piece in pieces])
        return bool(2 * sum(word == "180" for word, _ in said.cls_res) > len(pieces))

    def _spelt(self, said: NDArray[np.float32], padded: float) -> Reading:
        """Return the letters a model saw along a piece (CTC: one a run, blanks between)."""
        best = said.argmax(axis=1)
        twins = self._twins[best]
        steps = np.arange(len(best))
        # In doubt between "C" and "c" the letter is not in doubt.
        sure = said[steps, best] + np.where(twins > 0, said[steps, twins], 0)
        starts = np.flatnonzero((best != 0) & (np.diff(best, prepend=0) != 0))
        ends = [
            int(start + np.argmax(np.append(best[start:] != best[start], True))) for start in starts
        ]
        step = padded / len(best)
        return Reading(
            "".join(self._letters[best[start]] for start in starts),
            tuple(min(1.0, float(sure[a:b].max())) for a, b in zip(starts, ends, strict=True)),
            tuple(float((a + b) / 2 * step) for a, b in zip(starts, ends, strict=True)),
        )


def _as_input(piece: Grey, width: int, padded: int) -> NDArray[np.float32]:
    """Return a piece as the model takes it: three equal colours, -1 to 1, padded with 0."""
    out = np.zeros((3, _HEIGHT, padded), np.float32)
    out[:, :, :width] = cv2.resize(piece, (width, _HEIGHT)).astype(np.float32) / 127.5 - 1
    return out

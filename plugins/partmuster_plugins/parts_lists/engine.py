"""What an engine that reads text in pictures must do; any may be put in that does it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Sequence

#: A picture in greys: rows by columns, 0 black, 255 white.
Grey = NDArray[np.uint8]
#: Boxes on a page: one a row, x0, y0, x1, y1 in pixels.
Boxes = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class Reading:
    """What stands in one piece of a picture.

    ``sure``: of each character, from 0 to 1. ``at``: where its middle stands, in parts of the
    piece's width. ``of_kind``: how sure each character is where its kind is known, a letter or a
    figure; an engine that cannot tell leaves it out. ``others``: how many letters it sees to be of
    another alphabet.
    """

    text: str
    sure: tuple[float, ...]
    at: tuple[float, ...]
    of_kind: tuple[float, ...] = ()
    others: int = 0


class Engine(Protocol):
    """Finds pieces of text on a level page, and reads them."""

    name: str
    version: str

    def find(self, page: Grey) -> Boxes:
        """Return a box around each piece of text that it sees; it may see a line as several."""
        ...

    def read(self, pieces: Sequence[Grey]) -> list[Reading]:
        """Return what stands in each piece, one line of text high."""
        ...

    def upside_down(self, pieces: Sequence[Grey]) -> bool:
        """Return whether most of the pieces stand on their heads."""
        ...

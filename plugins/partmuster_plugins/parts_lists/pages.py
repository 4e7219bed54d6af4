"""The pages of a file, one after the other: pictures, or the text that a PDF carries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from partmuster.plugin_api import SourceUnreadableError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PIL.Image import Image

    from partmuster.plugin_api import SourceFile

    from .engine import Grey

#: A picture of more pixels is not opened: at 8 bits they are its memory in bytes.
MOST_PIXELS = 200_000_000
#: A picture of fewer is no page.
_LEAST_SIDE = 40


@dataclass(frozen=True, slots=True)
class Picture:
    """A page as a picture; ``number`` from 1.

    ``pixels``: to a unit of its boxes: a pixel of the file's picture, a point of a PDF's page.
    """

    number: int
    grey: Grey
    pixels: float = 1.0


@dataclass(frozen=True, slots=True)
class NoPage:
    """A page that cannot be read, and why."""

    number: int
    reason: str


def picture_pages(source: SourceFile) -> Iterator[Picture | NoPage]:
    """Yield the pages of a picture file: one, or of a TIFF as many as it has.

    Raises:
        SourceUnreadableError: it cannot be opened as a picture.
    """
    from PIL import Image, UnidentifiedImageError  # noqa: PLC0415 - heavy

    Image.MAX_IMAGE_PIXELS = None  # our own limit is asked first, of the size that a file tells
    try:
        picture = Image.open(source.path, formats=("PNG", "JPEG", "TIFF"))
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as fault:
        raise SourceUnreadableError(
            "the picture cannot be opened: it is damaged, or no PNG, JPEG or TIFF. Open it in a "
            "program for pictures, save it as .png and import that."
        ) from fault
    with picture:
        number = 0
        while True:
            try:
                picture.seek(number)
            except EOFError:
                return
            except (OSError, ValueError, SyntaxError) as fault:
                yield NoPage(number + 1, f"the page cannot be found in the file ({fault})")
                return
            number += 1
            yield _page(picture, number)


def _page(picture: Image, number: int) -> Picture | NoPage:
    width, height = picture.size
    if width * height > MOST_PIXELS:
        return NoPage(number, f"the picture is too large: {width:,} by {height:,} pixels, of which "
                              f"{MOST_PIXELS:,} are read at most. Save it smaller")  # fmt: skip
    if min(width, height) < _LEAST_SIDE:
        return NoPage(number, f"the picture is too small: {width} by {height} pixels")
    try:
        return Picture(number, _grey(picture))
    except (OSError, ValueError, SyntaxError, EOFError) as fault:
        return NoPage(number, f"the picture is damaged ({fault}). Scan or save it again")


def _grey(picture: Image) -> Grey:
    """Return a picture in greys, on white where it is clear, the way up that its camera says."""
    from PIL import Image, ImageOps  # noqa: PLC0415 - heavy

    picture = ImageOps.exif_transpose(picture)
    if picture.mode in {"RGBA", "LA", "PA"} or "transparency" in picture.info:
        clear = picture.convert("RGBA")
        picture = Image.new("RGBA", picture.size, "white")
        picture.alpha_composite(clear)
    if picture.mode.startswith(("I", "F")):  # 16 bits and more
        deep = np.asarray(picture, np.float32)
        low, high = float(deep.min()), float(deep.max())
        return ((deep - low) * (255 / max(high - low, 1))).astype(np.uint8)
    return np.asarray(picture.convert("L"), np.uint8).copy()

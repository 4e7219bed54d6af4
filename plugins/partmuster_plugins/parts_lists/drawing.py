"""A page as a person sees it: a small picture, and the page's size in the units of its boxes."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from PIL import Image, UnidentifiedImageError

from partmuster.plugin_api import PageDrawing, SourceUnreadableError

from .pages import NoPage
from .pages import _page as page_of

if TYPE_CHECKING:
    from partmuster.plugin_api import SourceFile

#: A page is shown so high at most, in pixels: small print of a full page can just be read.
_HIGHEST = 1600
_WIDEST = 3 * _HIGHEST
#: Letters stay clear of smears at this; a scanned page takes some 200 kB.
_QUALITY = 60
#: Greys of a drawn page: letters need no more, and PNG packs them small.
_GREYS = 16


def draw_page(source: SourceFile, number: int, *, is_pdf: bool) -> PageDrawing:
    """Return the picture of a page, counted from 1.

    Raises:
        SourceUnreadableError: the file has no such page, or it is damaged.
    """
    picture, width, height = _of_pdf(source, number) if is_pdf else _of_picture(source, number)
    scale = min(1.0, _HIGHEST / picture.height, _WIDEST / picture.width)
    if scale < 1:
        size = (max(1, round(picture.width * scale)), max(1, round(picture.height * scale)))
        picture = picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)
    return PageDrawing(_packed(picture), width, height)


def _of_pdf(source: SourceFile, number: int) -> tuple[Image.Image, float, float]:
    """Return a page of a PDF and its size in points."""
    import pypdfium2  # noqa: PLC0415 - heavy

    try:
        document = pypdfium2.PdfDocument(source.path)
        try:
            page = document[number - 1]
            width, height = page.get_size()
            bitmap = page.render(
                scale=min(_HIGHEST / height, _WIDEST / width), grayscale=True, may_draw_forms=False
            )
            picture = bitmap.to_pil().convert("L").copy()
            bitmap.close()
            page.close()
        finally:
            document.close()
    except (pypdfium2.PdfiumError, IndexError) as fault:
        raise SourceUnreadableError(f"the page cannot be found in the file ({fault})") from fault
    return picture, width, height


def _of_picture(source: SourceFile, number: int) -> tuple[Image.Image, float, float]:
    """Return a page of a picture file and its size in pixels."""
    Image.MAX_IMAGE_PIXELS = None  # our own limit is asked first, of the size that a file tells
    try:
        with Image.open(source.path, formats=("PNG", "JPEG", "TIFF")) as opened:
            opened.seek(number - 1)
            found = page_of(opened, number)
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError) as fault:
        raise SourceUnreadableError(f"the page cannot be found in the file ({fault})") from fault
    if isinstance(found, NoPage):
        raise SourceUnreadableError(found.reason)
    height, width = found.grey.shape
    return Image.fromarray(found.grey), float(width), float(height)


def _packed(picture: Image.Image) -> bytes:
    """Return a picture as PNG or JPEG, whichever is the smaller."""
    step = 255 / (_GREYS - 1)
    few = picture.point([round(round(grey / step) * step) for grey in range(256)])
    drawn, scanned = io.BytesIO(), io.BytesIO()
    few.save(drawn, "PNG")
    picture.save(scanned, "JPEG", quality=_QUALITY)
    return min(drawn.getvalue(), scanned.getvalue(), key=len)

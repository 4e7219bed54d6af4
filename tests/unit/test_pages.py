"""Page pictures and PDFs become grids of what stands on them, each cell with its place."""

from __future__ import annotations

import io
import random
from typing import TYPE_CHECKING

import pytest
from PIL import Image, ImageDraw, ImageFont
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from partmuster.host import source_file
from partmuster.plugin_api import Grid, NotData, SourceFile, SourceUnreadableError
from partmuster_plugins.parts_lists import page_reader
from partmuster_plugins.parts_lists.importer import PartsLists
from tests.pages.drawing import Look, draw_page
from tests.pages.lists import HEADINGS, PLACES, ROWS, TITLE

if TYPE_CHECKING:
    from pathlib import Path

A4 = (595, 842)


def read(path: Path, cache: Path | None = None) -> list[Grid | NotData]:
    head = path.read_bytes()[:4096]
    batches = PartsLists().read(SourceFile(path, path.name, path.stat().st_size, head, cache))
    return [batch for batch in batches if isinstance(batch, (Grid, NotData))]


def rows_of(grid: Grid | NotData) -> list[tuple[str | None, ...]]:
    assert isinstance(grid, Grid), grid
    return list(grid.cells.drop("row").iter_rows())


def page(look: Look | None = None) -> Image.Image:
    return draw_page([HEADINGS, *ROWS], PLACES, look, [TITLE])


@pytest.mark.parametrize(
    "look",
    [
        Look(turned=2.0, ruled=True),
        Look(dots=150, turned=-1.5, leaders=True),
        Look(quarters=1, specks=0.001),
        Look(quarters=3),
        Look(dots=300, ink=120, noise=10),
    ],
    ids=["ruled", "leaders", "on its side", "on its other side", "faint"],
)
def test_a_page_gives_its_rows_however_it_lay_on_the_scanner(tmp_path: Path, look: Look) -> None:
    page(look).save(tmp_path / "page.png")
    (grid,) = read(tmp_path / "page.png")
    assert rows_of(grid)[-len(ROWS) - 1 :] == [HEADINGS, *ROWS]


@pytest.mark.parametrize("look", [Look(turned=2.0), Look(quarters=2)])
def test_a_cell_says_where_it_stands_on_the_picture_as_it_came(tmp_path: Path, look: Look) -> None:
    rows = [("BRACKET", "H-1-1"), ("LEVER", "H-2-2"), ("SPINDLE", "H-3-3"), ("PULLEY", "H-4-4")]
    picture = draw_page(rows, (1.0, 5.0), look)
    picture.save(tmp_path / "page.png")
    (grid,) = read(tmp_path / "page.png")
    assert isinstance(grid, Grid)
    assert grid.marks is not None
    (box,) = grid.marks.filter(mark="box", row=4, column=2)["value"]
    x0, y0, x1, y1 = (float(edge) for edge in box.split(","))
    # "H-4-4" alone is cut out of the picture and wiped: what is left shows nothing there.
    wiped = picture.copy()
    wiped.paste(250, (round(x0), round(y0), round(x1), round(y1)))
    wiped.save(tmp_path / "wiped.png")
    (left,) = read(tmp_path / "wiped.png")
    assert rows_of(left) == [*rows[:3], ("PULLEY", None)]


def test_a_tiff_of_two_pages_gives_two_grids(tmp_path: Path) -> None:
    first, second = page(), draw_page([HEADINGS, *ROWS[:3]], PLACES)
    first.save(tmp_path / "list.tif", save_all=True, append_images=[second])
    one, two = read(tmp_path / "list.tif")
    assert (one.page, two.page) == (1, 2)
    assert rows_of(two) == [HEADINGS, *ROWS[:3]]


def text_page(canvas: Canvas) -> None:
    canvas.setFont("Helvetica", 10)
    canvas.drawString(58, A4[1] - 80, TITLE)
    for n, row in enumerate([HEADINGS, *ROWS]):
        for cell, place in zip(row, PLACES, strict=True):
            canvas.drawString(place * 72, A4[1] - 110 - 19 * n, cell)
    canvas.showPage()


def test_a_pdf_of_text_and_scans_gives_both(tmp_path: Path) -> None:
    canvas = Canvas(str(tmp_path / "list.pdf"), pagesize=A4)
    text_page(canvas)
    canvas.drawImage(ImageReader(page(Look(turned=1.0))), 0, 0, *A4)
    canvas.showPage()
    canvas.save()
    text, scan = read(tmp_path / "list.pdf")
    assert rows_of(text)[1:] == [HEADINGS, *ROWS]
    assert rows_of(scan)[-len(ROWS) - 1 :] == [HEADINGS, *ROWS]
    assert isinstance(text, Grid)
    assert isinstance(scan, Grid)
    assert text.marks is not None
    assert set(text.marks.filter(mark="confidence")["value"]) == {"1"}


def test_letters_for_figures_in_a_column_of_numbers_are_figures(tmp_path: Path) -> None:
    rows = [("I", *row[1:]) if row[0] == "1" else row for row in ROWS]
    draw_page([HEADINGS, *rows], PLACES).save(tmp_path / "page.png")
    (grid,) = read(tmp_path / "page.png")
    assert [row[0] for row in rows_of(grid)] == ["Item", *(row[0] for row in ROWS)]


def test_a_page_without_text_is_no_data(tmp_path: Path) -> None:
    Image.new("L", (1654, 2339), 255).save(tmp_path / "empty.png")
    (nothing,) = read(tmp_path / "empty.png")
    assert isinstance(nothing, NotData)
    assert nothing.reason == "no text was found on this page"
    assert nothing.page == 1


def test_a_locked_pdf_says_what_to_do(tmp_path: Path) -> None:
    canvas = Canvas(str(tmp_path / "locked.pdf"), encrypt=StandardEncryption("secret"))
    text_page(canvas)
    canvas.save()
    with pytest.raises(SourceUnreadableError, match="locked with a password"):
        read(tmp_path / "locked.pdf")


def test_damaged_files_say_what_to_do(tmp_path: Path) -> None:
    held = io.BytesIO()
    page().save(held, "PNG")
    (tmp_path / "half.png").write_bytes(held.getvalue()[: len(held.getvalue()) // 2])
    (half,) = read(tmp_path / "half.png")
    assert isinstance(half, NotData)
    assert "damaged" in half.reason
    (tmp_path / "none.png").write_bytes(b"\x89PNG\r\n\x1a\n" + b"no picture")
    with pytest.raises(SourceUnreadableError, match="cannot be opened"):
        read(tmp_path / "none.png")
    (tmp_path / "none.pdf").write_bytes(b"%PDF-1.7\nno pdf")
    with pytest.raises(SourceUnreadableError, match="damaged, or none"):
        read(tmp_path / "none.pdf")
    (tmp_path / "letter.jpg").write_bytes(b"Dear Bert")
    with pytest.raises(SourceUnreadableError, match="is none"):
        read(tmp_path / "letter.jpg")


def test_a_picture_beyond_the_limit_is_not_opened(tmp_path: Path) -> None:
    Image.new("1", (30_000, 30_000)).save(tmp_path / "wide.png")
    (refused,) = read(tmp_path / "wide.png")
    assert isinstance(refused, NotData)
    assert "too large: 30,000 by 30,000 pixels" in refused.reason


def test_a_page_that_was_read_is_not_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    small = draw_page([HEADINGS, *ROWS[:3]], PLACES, Look(turned=1.0))
    small.save(tmp_path / "page.png")
    small.save(tmp_path / "again.tif")
    (first,) = read(tmp_path / "page.png", tmp_path / "cache")

    def nobody(*_: object) -> None:
        raise AssertionError("the page was read again")

    monkeypatch.setattr(page_reader, "read_page", nobody)
    (second,) = read(tmp_path / "again.tif", tmp_path / "cache")
    assert rows_of(first) == rows_of(second) == [HEADINGS, *ROWS[:3]]
    assert isinstance(first, Grid)
    assert isinstance(second, Grid)
    assert first.marks is not None
    assert first.marks.equals(second.marks)


def test_a_damaged_cache_is_as_good_as_none(tmp_path: Path) -> None:
    draw_page([HEADINGS, *ROWS[:3]], PLACES).save(tmp_path / "page.png")
    (first,) = read(tmp_path / "page.png", tmp_path / "cache")
    (kept,) = (tmp_path / "cache" / "pages").iterdir()
    kept.write_bytes(kept.read_bytes()[:100])
    (second,) = read(tmp_path / "page.png", tmp_path / "cache")
    assert rows_of(first) == rows_of(second)


def test_a_photograph_is_no_data(tmp_path: Path) -> None:
    chance = random.Random(5)
    photo = Image.radial_gradient("L").resize((900, 700))
    pen = ImageDraw.Draw(photo)
    for _ in range(60):
        x, y, r = chance.randrange(900), chance.randrange(700), chance.randrange(5, 90)
        pen.ellipse((x - r, y - r, x + r, y + r // 2), chance.randrange(256))
    photo.save(tmp_path / "dog.jpg")
    (nothing,) = read(tmp_path / "dog.jpg")
    assert isinstance(nothing, NotData)
    assert nothing.page == 1


def test_a_pdf_of_very_many_empty_pages_is_told_of_page_by_page(tmp_path: Path) -> None:
    canvas = Canvas(str(tmp_path / "long.pdf"), pagesize=A4)
    for _ in range(1999):
        canvas.showPage()
    text_page(canvas)
    canvas.save()
    pages = read(tmp_path / "long.pdf")
    assert [page.page for page in pages] == list(range(1, 2001))
    assert {page.reason for page in pages if isinstance(page, NotData)} == {"the page is empty"}
    assert rows_of(pages[-1])[1:] == [HEADINGS, *ROWS]


def test_a_very_wide_picture_is_read(tmp_path: Path) -> None:
    strip = Image.new("L", (30_000, 1_200), 255)
    font = ImageFont.load_default(400)
    ImageDraw.Draw(strip).text((2_000, 400), "GEARBOX   H-101-2", 0, font)
    strip.save(tmp_path / "wide.png")
    (grid,) = read(tmp_path / "wide.png")
    assert "GEARBOX" in str(rows_of(grid))


@pytest.mark.parametrize("turned", [90, 180, 270])
def test_a_turned_or_cut_pdf_page_says_where_its_cells_are_seen(
    tmp_path: Path, turned: int
) -> None:
    wide, high = A4 if turned == 180 else A4[::-1]  # before it is turned
    canvas = Canvas(str(tmp_path / "turned.pdf"), pagesize=(wide, high), cropBox=(
        (20, 0, wide, high) if turned == 180 else (0, 20, wide, high)
    ))  # fmt: skip
    canvas.setPageRotation(turned)
    # as a program lays a page that is to be seen upright
    to_seen = {90: (wide, 0), 180: (wide, high), 270: (0, high)}
    canvas.translate(*to_seen[turned])
    canvas.rotate(turned)
    canvas.setFont("Helvetica", 10)
    for n, row in enumerate([HEADINGS, *ROWS]):
        for cell, place in zip(row, PLACES, strict=True):
            canvas.drawString(place * 72, A4[1] - 110 - 19 * n, cell)
    canvas.showPage()
    canvas.save()
    (grid,) = read(tmp_path / "turned.pdf")
    assert rows_of(grid) == [HEADINGS, *ROWS]
    assert isinstance(grid, Grid)
    assert grid.marks is not None
    drawing = PartsLists().draw(source_file(tmp_path / "turned.pdf"), 1)
    assert drawing.width < drawing.height
    picture = Image.open(io.BytesIO(drawing.picture))
    scale = picture.height / drawing.height
    for box in grid.marks.filter(mark="box")["value"]:
        within = picture.crop(tuple(round(float(edge) * scale) for edge in box.split(",")))
        assert within.getextrema()[0] < 100, box

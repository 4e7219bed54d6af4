"""The PDF: what the page has, on A4, with page numbers, and letters for every language it can."""

from __future__ import annotations

import sys

import polars as pl
import pypdfium2
import pytest

from partmuster.plugin_api import PartmusterError, Publisher
from partmuster_plugins.publishers.pdf import Pdf
from partmuster_plugins.publishers.setting import MOST_ROWS

from .sample_views import TEXTS, SampleView
from .views import SmallView, column, section


def close(text):
    """Text without blanks, since lines are broken where a column ends."""
    return "".join(text.split())


def pages_of(path):
    with pypdfium2.PdfDocument(str(path)) as document:
        return [page.get_textpage().get_text_range() for page in document]


def outline_of(path):
    with pypdfium2.PdfDocument(str(path)) as document:
        return [one.get_title() for one in document.get_toc()]


def written(view, folder):
    [path] = Pdf().publish(view, folder)
    return path


def text_of(view, folder):
    return close("".join(pages_of(written(view, folder))))


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    return written(SampleView(), tmp_path_factory.mktemp("pdf"))


@pytest.fixture(scope="module")
def pages(path):
    return pages_of(path)


def test_it_is_one_file_named_as_the_view_says(path):
    assert isinstance(Pdf(), Publisher)
    assert path.name == "2026-10-registrar.pdf"
    assert [one.name for one in path.parent.iterdir()] == [path.name]


def test_the_same_view_gives_the_same_bytes(path, tmp_path):
    assert written(SampleView(), tmp_path).read_bytes() == path.read_bytes()


def test_every_page_says_for_whom_it_is_and_its_number(pages):
    assert len(pages) > 5
    for number, text in enumerate(pages, 1):
        assert close(f"page {number} of {len(pages)}") in close(text)
        assert close("audience: registrar") in close(text)
        assert close(SampleView().title) in close(text)


def test_the_head_says_club_title_audience_day_and_what_every_copy_carries(pages):
    view = SampleView()
    for words in (view.club, view.title, "Audience: registrar", "31 October 2026", *view.head):
        assert close(words) in close(pages[0])


@pytest.mark.parametrize("audience", ["registrar", "members", "circulated"])
def test_every_section_and_column_is_there(audience, tmp_path):
    view = SampleView(audience)
    path = written(view, tmp_path)
    text = close("".join(pages_of(path)))
    titles = outline_of(path)
    for one in view.sections():
        assert one.title in titles
        assert close(one.title) in text
        assert close(one.lead.replace("`", "")) in text
        for each in one.columns:
            assert close(each.heading) in text
            assert close(each.meaning) in text


def test_the_contents_lead_to_the_page_of_each_section(pages):
    whole = [close(page) for page in pages]
    contents = whole[0]
    for one in SampleView().sections()[3:]:
        number = next(n for n, page in enumerate(whole, 1) if n > 1 and close(one.lead) in page)
        assert close(f"{one.title} 8 rows {number}") in contents, one.title


def test_every_word_is_there_in_its_own_letters(pages):
    whole = close("".join(pages))
    for words in filter(None, TEXTS):
        assert close(words) in whole
    for words in ("Kühlerhaube, ½ inch × 3", "ёлка", "<b>bold</b>"):
        assert close(words) in whole


def test_signs_that_the_font_has_not_are_marked_and_said(tmp_path):
    rows = pl.DataFrame({"part": ["hub ⅓ \U0001f69c 中", "plain"]})
    text = text_of(SmallView(((section(column("part")), rows),)), tmp_path)
    assert "hub1⁄3\ufffd\ufffd" in text
    assert close("2 signs that this file's font has not stand as \ufffd") in text


def test_charts_have_their_numbers_in_words(tmp_path):
    one = section(
        column("vehicle"), column("low", "share"), column("high", "share"),
        chart=("vehicle", "low", "high"),
    )  # fmt: skip
    rows = pl.DataFrame(
        {"vehicle": ["Otter 7", "Fox"], "low": [0.4, None], "high": [0.65, None]},
        schema={"vehicle": pl.String, "low": pl.Float64, "high": pl.Float64},
    )
    text = text_of(SmallView(((one, rows),)), tmp_path)
    assert close("40 % to 65 %") in text
    assert close("not known") in text


def test_an_empty_section_says_what_that_means(tmp_path):
    text = text_of(SampleView(rows=0), tmp_path)
    for one in SampleView().sections():
        assert close(one.if_empty) in text


def test_a_view_without_sections_is_a_pdf(tmp_path):
    assert close("Nothing is in this document.") in text_of(SmallView(), tmp_path)


def test_a_big_section_is_cut_and_says_so_and_repeats_its_heads(tmp_path):
    one = section(column("part"), column("second_heading"))
    names = [f"part {n}." for n in range(MOST_ROWS + 1034)]
    rows = pl.DataFrame({"part": names, "second_heading": names})
    pages = pages_of(written(SmallView(((one, rows),)), tmp_path))
    text = close("".join(pages))
    assert f"part{MOST_ROWS - 1}." in text
    assert f"part{MOST_ROWS}." not in text
    assert close("The first 200 of 1,234 rows: the workbook has them all.") in text
    rows_on = [page for page in pages if close("part 1") in close(page)]
    assert len(rows_on) > 2
    assert all("secondheading" in close(page) for page in rows_on)


def test_a_text_longer_than_a_page_is_whole(tmp_path):
    words = " ".join(f"word{n}" for n in range(3000))
    unbroken = "x" * 4000
    one = section(column("part"), column("story"), column("more"))
    rows = pl.DataFrame({"part": [words, "b"], "story": ["short", words], "more": [unbroken, None]})
    text = text_of(SmallView(((one, rows),)), tmp_path)
    assert text.count("word2999") >= 2
    assert text.count("x") >= 4000


def test_what_is_to_be_written_by_hand_has_a_box(tmp_path):
    hand = column("taken", meaning="to be written: how many were taken")
    one = section(column("part"), hand)
    rows = pl.DataFrame({"part": ["hub", "cap", "pin"]}).with_columns(taken=pl.lit(None, pl.String))
    path = written(SmallView(((one, rows),)), tmp_path)
    with pypdfium2.PdfDocument(str(path)) as document:
        boxes = [
            (right - left, top - bottom)
            for page in document
            for shape in page.get_objects(filter=[2])
            for left, bottom, right, top in [shape.get_bounds()]
            if 60 < right - left < 200
        ]
    assert len([high for _, high in boxes if high > 18]) == 3


def test_any_words_are_safe(tmp_path):
    nasty = "<para>&nbsp;<font>%s {} \\ ( ) \x00 \u202e " * 3
    one = section(
        column("part", meaning=nasty), column("n", "number"),
        name="odd/name", title=nasty, lead=nasty, chart=("part", "n"),
    )  # fmt: skip
    rows = pl.DataFrame({"part": [nasty], "n": [2.0]})
    view = SmallView(((one, rows),), club=nasty, title=nasty, audience=nasty, head=(nasty,))
    assert close("<para>&nbsp;<font>%s {} \\ ( )") in text_of(view, tmp_path)


def test_its_properties_hold_the_club_and_the_title_and_no_day(path):
    with pypdfium2.PdfDocument(str(path)) as document:
        properties = document.get_metadata_dict(skip_empty=True)
    assert properties["Title"] == SampleView().title
    assert properties["Author"] == SampleView().club
    assert "2026" not in properties.get("CreationDate", "") + properties.get("ModDate", "")


@pytest.mark.parametrize("library", ["reportlab", "ttf_opensans"])
def test_without_its_libraries_it_says_what_to_install(library, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, library, None)
    with pytest.raises(PartmusterError, match=r"pip install 'partmuster\[pdf\]'"):
        Pdf().publish(SampleView(), tmp_path)
    assert not list(tmp_path.iterdir())

"""Notes that come as pictures or PDFs state what they state as text; parts lists stay tables."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import duckdb
import polars as pl
import pytest
from reportlab.pdfgen.canvas import Canvas

from partmuster.host import source_file
from partmuster.plugin_api import Grid, Lines, NotData
from partmuster_plugins.hand_notes.importer import HandNotes
from partmuster_plugins.parts_lists import page_reader
from partmuster_plugins.parts_lists.importer import PartsLists
from partmuster_plugins.parts_lists.pieces import Piece
from partmuster_plugins.parts_lists.reading import PageText
from tests.pages.drawing import Look, draw_page
from tests.pages.lists import HEADINGS, PLACES, ROWS, TITLE

from .proof_club import Proof, call

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from partmuster.plugin_api import Batch, Importer

A4 = (595, 842)
NOTE = """\
Otter 2, quarry shed, 12 April 2025

The dynamo is missing. Both track guards there, and
the left headlamp is gone.

The radiator is off a lorry.
"""
CHAT = """\
We had a lovely day of it all the same, and Maud brought
the big cake again. Nobody could say who had asked for
the rain, but it came and it was not polite about it.
"""
TOLD = [
    ("survey", "Otter 2", "dynamo", "missing"),
    ("survey", "Otter 2", "track guards", "fitted"),
    ("survey", "Otter 2", "headlamp", "missing"),
    ("survey", "Otter 2", "radiator", "stand-in"),
]


def read(importer: Importer, path: Path, cache: Path | None = None) -> list[Batch]:
    return list(importer.read(replace(source_file(path, path.name), cache=cache)))


def lines_in(batches: Sequence[Batch]) -> pl.DataFrame:
    frames = [batch.frame for batch in batches if isinstance(batch, Lines)]
    return pl.concat(frames, how="diagonal_relaxed")


def facts(lines: pl.DataFrame) -> list[dict[str, object]]:
    """Return what lines state, apart from where they stand and what is asked of them."""
    apart = {"page", "row", "box", "doubt", "sheet"}
    return [
        {name: value for name, value in row.items() if value is not None and name not in apart}
        for row in lines.to_dicts()
    ]


def as_text(folder: Path, text: str = NOTE, name: str = "note") -> pl.DataFrame:
    path = folder / f"{name}.txt"
    path.write_text(text, "utf-8")
    return lines_in(read(HandNotes(), path))


def pdf(path: Path, *pages: str | Sequence[Sequence[str]], places: Sequence[float] = PLACES):
    """Write a PDF with its text: a page of a note, or of rows of cells."""
    canvas = Canvas(str(path), pagesize=A4)
    for page in pages:
        canvas.setFont("Helvetica", 11)
        rows = [(line,) for line in page.split("\n")] if isinstance(page, str) else page
        for at, row in enumerate(rows):
            for cell, place in zip(row, places, strict=False):
                canvas.drawString(place * 72, A4[1] - 80 - 16 * at, cell)
        canvas.showPage()
    canvas.save()
    return path


def test_a_note_as_pdf_states_what_it_states_as_text(tmp_path):
    lines = lines_in(read(PartsLists(), pdf(tmp_path / "note.pdf", NOTE)))
    told = lines.select("kind", "vehicle", "description", "presence").rows()
    assert told == TOLD
    assert facts(lines) == facts(as_text(tmp_path))
    assert lines["page"].to_list() == [1] * 4
    assert lines["doubt"].to_list() == [None] * 4
    left, top, _, bottom = map(float, lines["box"][3].split(","))
    # The last line of the note: the seventh, 16 points each from 80 points below the edge.
    assert 50 < left < 65
    assert 80 + 5 * 16 - 14 < top < bottom < 80 + 5 * 16 + 6


def test_a_note_in_a_font_as_picture_states_what_it_states_as_text(tmp_path, monkeypatch):
    rows = [(line,) for line in NOTE.splitlines()]
    page = draw_page(rows, (0.8,), Look(turned=1.0)).crop((0, 0, 1654, 700))
    page.save(tmp_path / "note.png")
    lines = lines_in(read(PartsLists(), tmp_path / "note.png", tmp_path / "cache"))
    assert facts(lines) == facts(as_text(tmp_path))
    assert lines["page"].to_list() == [1] * 4
    edges = [[float(edge) for edge in box.split(",")] for box in lines["box"]]
    assert all(0 < x0 < x1 < 1654 and 0 < y0 < y1 < 700 for x0, y0, x1, y1 in edges)
    assert edges[0][3] < edges[3][1]  # the radiator's line stands below the dynamo's

    def nobody(*_: object) -> None:
        raise AssertionError("the page was read again")

    monkeypatch.setattr(page_reader, "read_page", nobody)
    again = lines_in(read(PartsLists(), tmp_path / "note.png", tmp_path / "cache"))
    assert lines.equals(again)


def pages_said_to_be(monkeypatch, *lines: str, unsure: Sequence[str] = ()) -> None:
    """Have the engine say of a picture that lines stand on it, some words of them unsurely."""
    pieces = []
    for at, line in enumerate(lines):
        sure = [0.0 if letter == "\ufffd" else 0.99 for letter in line]
        for word in unsure:
            if word in line:
                sure[line.index(word) + 1] = 0.6
        at_x = tuple(100.0 + 14 * n for n in range(len(line)))
        pieces.append(
            Piece(100.0, 60.0 * at + 100, 100 + 14.0 * len(line), 60.0 * at + 130, line,
                  tuple(sure), at_x)
        )  # fmt: skip
    text = PageText(pieces, 20.0, 1654.0, 1.0, 0, 0.0, (2339, 1654))
    monkeypatch.setattr(page_reader, "read_page", lambda *_: text)


UNSURE_NOTE = ("Otter 2 on 12 April 2025.", "The dynamo is missing. Both track guards are there.",
               "The radiator is off a lorry and the horn is there.")  # fmt: skip


def asked(tmp_path, monkeypatch, *unsure):
    pages_said_to_be(monkeypatch, *UNSURE_NOTE, unsure=unsure)
    draw_page([("x",)], (0.8,)).save(tmp_path / "note.png")
    lines = lines_in(read(PartsLists(), tmp_path / "note.png"))
    return {row["description"]: of_picture(row["doubt"]) for row in lines.to_dicts()}


def of_picture(doubt):
    """Return what is asked because of the picture; free words are asked about without one too."""
    return doubt if doubt and "picture" in doubt else None


def test_what_a_picture_says_unsurely_is_asked_about(tmp_path, monkeypatch):
    doubts = asked(tmp_path, monkeypatch, "dynamo")
    assert "picture" in doubts["dynamo"]
    assert "'dynamo'" in doubts["dynamo"]
    # Another sentence of the same line was read surely.
    assert {doubts[name] for name in ("track guards", "radiator", "horn")} == {None}


def test_a_sentence_with_an_unsure_word_is_asked_about_whatever_the_word(tmp_path, monkeypatch):
    doubts = asked(tmp_path, monkeypatch, "lorry")
    assert "'lorry'" in doubts["radiator"]
    assert "'lorry'" in doubts["horn"]
    assert doubts["dynamo"] is None


@pytest.mark.parametrize("word", ["Otter", "2025"])
def test_a_vehicle_or_day_read_unsurely_is_asked_about_in_all_that_hangs_on_it(
    tmp_path, monkeypatch, word
):
    doubts = asked(tmp_path, monkeypatch, word)
    assert set(doubts) == {"dynamo", "track guards", "radiator", "horn"}
    assert all(f"'{word}" in doubt for doubt in doubts.values())


def test_a_heading_read_unsurely_is_asked_about_in_all_that_stands_under_it(tmp_path, monkeypatch):
    pages_said_to_be(
        monkeypatch, "We all saw Otter 2 on 12 April 2025.", "Missing:", "- dynamo", "- horn",
        "There still:", "- radiator", unsure=("Missing",),
    )  # fmt: skip
    draw_page([("x",)], (0.8,)).save(tmp_path / "note.png")
    rows = lines_in(read(PartsLists(), tmp_path / "note.png")).to_dicts()
    doubts = {row["description"]: row["doubt"] for row in rows}
    assert "'Missing'" in doubts["dynamo"]
    assert "'Missing'" in doubts["horn"]
    assert of_picture(doubts["radiator"]) is None


def test_a_sentence_that_an_unsure_word_leaves_dark_is_told(tmp_path, monkeypatch):
    pages_said_to_be(
        monkeypatch, "The dynamo is missing. The redator is off a lorry.", "We all had tea.",
        unsure=("redator",),
    )  # fmt: skip
    draw_page([("x",)], (0.8,)).save(tmp_path / "note.png")
    batches = read(PartsLists(), tmp_path / "note.png")
    assert set(lines_in(batches).select("raw_number", "description").rows()) == {(1, "dynamo")}
    [dark] = [batch for batch in batches if isinstance(batch, NotData)]
    assert (dark.page, dark.row, dark.words) == (1, 1, "The redator is off a lorry.")
    assert "'redator'" in dark.reason
    assert "picture" in dark.reason


def test_words_of_a_note_that_cannot_be_read_are_told(tmp_path, monkeypatch):
    pages_said_to_be(
        monkeypatch, "Both track guards are there and so is the \ufffd.", "No dynamo.",
        "The \ufffd is off a lorry.",
    )  # fmt: skip
    draw_page([("x",)], (0.8,)).save(tmp_path / "note.png")
    batches = read(PartsLists(), tmp_path / "note.png")
    rows = {row["description"]: row for row in lines_in(batches).to_dicts()}
    assert "could not be read" in rows["track guards"]["doubt"]
    assert rows["dynamo"]["doubt"] is None
    told = [batch for batch in batches if isinstance(batch, NotData)]
    assert {(one.page, one.row) for one in told} == {(1, 3), (1, None)}
    assert all("could not be read" in one.reason for one in told)


LISTS = {
    "with headings": ([(TITLE,), HEADINGS, *ROWS], PLACES),
    "without headings": (ROWS, PLACES),
    "two columns": ([(row[1], row[2]) for row in ROWS], (0.8, 2.0)),
    "words and counts": ([(row[2], row[3]) for row in ROWS], (0.8, 5.0)),
    "columns run together": ([(" ".join(row),) for row in (HEADINGS, *ROWS)], (0.8,)),
    "columns run together, no headings": ([(" ".join(row),) for row in ROWS], (0.8,)),
    "names alone": ([(TITLE,), *[(row[2],) for row in ROWS]], (0.8,)),
    "names alone, no title": ([(row[2],) for row in ROWS], (0.8,)),
    "names that wrap": (
        [("Part No.", "Description"), ("H-101-2", "BOX, steering, with the two"),
         ("", "bolts that hold it to the"), ("", "frame; not sold alone"),
         ("H-102-2", "SHAFT, sector, upper, and"), ("", "all that is on it")], (0.8, 2.0)),
    "three parts with a long note": (
        [*[(line,) for line in CHAT.splitlines()], HEADINGS, *ROWS[:3]], PLACES),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "places"), LISTS.values(), ids=LISTS)
def test_a_page_of_a_parts_list_stays_a_table(tmp_path, rows, places):
    batches = read(PartsLists(), pdf(tmp_path / "list.pdf", rows, places=places))
    assert [type(batch) for batch in batches] == [Grid]


def test_a_note_that_speaks_of_a_parts_list_is_none(tmp_path):
    text = f"{NOTE}\nIvo has the parts list."
    lines = lines_in(read(PartsLists(), pdf(tmp_path / "note.pdf", text)))
    assert lines["description"].to_list()[:4] == [told[2] for told in TOLD]


def test_a_page_of_prose_in_a_file_with_a_table_stays_as_it_is(tmp_path):
    listed = [HEADINGS, *ROWS]
    for at, pages in enumerate(([NOTE, listed], [listed, NOTE], [NOTE, CHAT, listed])):
        batches = read(PartsLists(), pdf(tmp_path / f"list {at}.pdf", *pages))
        assert [type(batch) for batch in batches] == [Grid] * len(pages)
        assert [batch.page for batch in batches] == list(range(1, len(pages) + 1))


def test_a_note_goes_on_over_pages_and_an_empty_one_says_so(tmp_path):
    first = "Otter 2, 12 April 2025\n\nThe dynamo is missing and so is the horn."
    second = "The radiator is off a lorry, and there is no battery."
    batches = read(PartsLists(), pdf(tmp_path / "note.pdf", first, "", second))
    lines = lines_in(batches)
    assert lines.select("page", "vehicle", "description").rows() == [
        (1, "Otter 2", "dynamo"), (1, "Otter 2", "horn"),
        (3, "Otter 2", "radiator"), (3, "Otter 2", "battery"),
    ]  # fmt: skip
    [empty] = [batch for batch in batches if isinstance(batch, NotData)]
    assert (empty.page, empty.reason) == (2, "the page is empty")


def test_a_page_that_states_nothing_is_told_with_its_words(tmp_path):
    [nothing] = read(PartsLists(), pdf(tmp_path / "note.pdf", CHAT))
    assert isinstance(nothing, NotData)
    assert nothing.page == 1
    assert "states nothing" in nothing.reason
    assert "lovely day" in nothing.words


REGISTER = "No.,Vehicle,Family,Mark,Owner\n2,Otter 2,Otter,Mk 1,Hester Crane\n"


@pytest.fixture(scope="module")
def club(tmp_path_factory):
    """A club that took a note of one page as a PDF, and what the import said."""
    folder = tmp_path_factory.mktemp("club")
    (folder / "register.csv").write_text(REGISTER, "utf-8")
    note = pdf(folder / "note.pdf", NOTE)
    call(folder / "club", "init", "--country", "GB")
    return folder, call(folder / "club", "import", folder / "register.csv", note)


def test_an_import_says_what_came_of_a_note_on_a_page(club):
    _, (code, said) = club
    assert code == 0
    assert "note.pdf: new (4 survey); 4 loaded\n" in said


def test_trace_and_proof_show_the_place_on_the_page(club):
    folder, _ = club
    line, box = said_in(folder)[0]
    _, said = call(folder / "club", "trace", line)
    said = " ".join(said.split())
    assert "page: 1" in said
    assert f"box: {box} of 595x842" in said
    assert "to see it: partmuster proof note.pdf" in said
    code, said = call(folder / "club", "proof", "note.pdf", "--out", folder / "proof.html")
    assert code == 0
    assert "1 page, 4 lines" in said
    proof = Proof((folder / "proof.html").read_text("utf-8"))
    assert [tag for tag in proof.named("img") if tag.told["src"].startswith("data:image/")]
    assert len(proof.named("rect")) == 4
    assert "dynamo" in proof.by_id("line-1").text


def said_in(folder: Path) -> list[tuple[str, str]]:
    """Return id and box of each survey line that the club holds, that of the dynamo first."""
    with duckdb.connect(str(folder / "club" / "club.duckdb"), read_only=True) as con:
        return con.execute(
            "SELECT a.line_id, a.box FROM line_address a "
            "JOIN said_survey s USING (line_id) ORDER BY a.words LIKE 'The dynamo%' DESC, a.line_id"
        ).fetchall()

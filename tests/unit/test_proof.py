"""A page beside what was read from it: one HTML file that a person can check."""

from __future__ import annotations

import base64
import io
import itertools
import re
import shutil

import numpy as np
import pytest
from PIL import Image

from tests.pages.drawing import Look, draw_page
from tests.pages.lists import HEADINGS, PLACES, ROWS, TITLE
from tests.unit.proof_club import FIRST, SECOND, STEP, TOP, Proof, call, write_list

#: A title, the headings and its rows on each page.
LINES = (2 + len(FIRST), 2 + len(SECOND))


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("proof")
    write_list(folder / "list.pdf")
    call(folder / "club", "init", "--country", "GB")
    code, said = call(folder / "club", "import", folder / "list.pdf")
    assert "umpteen" in said
    assert "To see pages beside what was read from them: partmuster proof list.pdf\n" in said
    code, said = call(folder / "club", "proof", "list.pdf", "--out", folder / "proof.html")
    assert code == 0, said
    return folder


@pytest.fixture(scope="module")
def text(made):
    return (made / "proof.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def proof(text):
    return Proof(text)


def line_of(proof, words):
    [row] = [tag for tag in proof.named("tr") if words in tag.text]
    return row


def picture_of(tag):
    kind, _, data = tag.told["src"].partition(";base64,")
    assert kind in ("data:image/png", "data:image/jpeg")
    return Image.open(io.BytesIO(base64.b64decode(data)))


def test_every_line_stands_there_once_on_its_page(proof):
    lines = [tag.told["id"] for tag in proof.all if tag.told.get("id", "").startswith("line-")]
    assert lines == [f"line-{n}" for n in range(1, sum(LINES) + 1)]
    for page, count in enumerate(LINES, 1):
        section = proof.by_id(f"page-{page}")
        own = [one for one in lines if proof.by_id(one).within("section") is section]
        assert len(own) == count


def test_what_was_read_stands_in_its_column(proof):
    table = proof.by_id("line-3").within("table")
    heads = [tag.text for tag in proof.named("th")
             if tag.told["scope"] == "col" and tag.within("table") is table]  # fmt: skip
    assert heads == ["Line", "Item", "Part number", "Description", "Quantity", "Used on", "Remark",
                     "Outcome"]  # fmt: skip
    row = line_of(proof, "H-101-2")
    cells = [tag.text for tag in proof.named("td", "th") if tag.above is row]
    assert cells == ["3", "1", "H-101-2", "BOX, steering", "1", "", "", "✓ loaded"]


def test_what_stands_on_a_page_is_shown_as_text(proof, text):
    assert "WASHER, spring, <script>alert(1)</script> & more" in line_of(proof, "H-104-1").text
    assert "FROBNICATOR, <b>bold</b>" in line_of(proof, "H-105-3").text
    assert proof.named("script", "iframe", "object", "embed") == []
    assert not any(name.startswith("on") for tag in proof.all for name in tag.told)
    assert "<b>bold" not in text


def test_nothing_is_fetched(proof, text):
    for tag in proof.all:
        assert tag.told.get("href", "#").startswith("#")
        assert tag.told.get("src", "data:").startswith("data:")
    assert proof.named("link") == []
    assert not re.search(r"url\(|@import|https?:|//[a-z]", re.sub(r'src="data:[^"]+"', "", text))


def test_each_link_leads_somewhere(proof):
    ids = [tag.told["id"] for tag in proof.all if "id" in tag.told]
    assert len(ids) == len(set(ids))
    assert {tag.told["href"][1:] for tag in proof.all if "href" in tag.told} <= set(ids)


def test_each_page_has_one_picture_with_words_for_who_cannot_see_it(proof):
    pictures = proof.named("img")
    assert [tag.within("section").told["id"] for tag in pictures] == ["page-1", "page-2"]
    for number, tag in enumerate(pictures, 1):
        assert f"Page {number} of list.pdf" in tag.told["alt"]
        picture = picture_of(tag)
        assert picture.mode == "L"
        assert 1000 <= picture.height <= 1600
        assert picture.width / picture.height == pytest.approx(595 / 842, abs=0.01)


def boxes_of(proof, page):
    """Return where the boxes of a page stand, in parts of the picture, by line."""
    section = proof.by_id(f"page-{page}")
    [drawing] = [tag for tag in proof.named("svg") if tag.within("section") is section]
    left, top, wide, high = map(float, drawing.told["viewbox"].split())
    assert (left, top) == (0, 0)
    found = {}
    for tag in proof.named("rect"):
        if tag.within("svg") is drawing:
            x, y, w, h = (float(tag.told[name]) for name in ("x", "y", "width", "height"))
            line = tag.within("a").told["href"].removeprefix("#line-")
            found[int(line)] = (x / wide, y / high, (x + w) / wide, (y + h) / high)
    return found


def test_each_line_has_a_box_within_the_picture(proof):
    assert sorted(boxes_of(proof, 1)) == list(range(1, LINES[0] + 1))
    assert sorted(boxes_of(proof, 2)) == list(range(LINES[0] + 1, sum(LINES) + 1))
    for x0, y0, x1, y1 in [*boxes_of(proof, 1).values(), *boxes_of(proof, 2).values()]:
        assert 0 <= x0 < x1 <= 1
        assert 0 <= y0 < y1 <= 1


def test_a_box_is_where_its_line_stands(proof):
    for n, row in enumerate(FIRST, 1):
        line = line_of(proof, row[1]).told["id"].removeprefix("line-")
        x0, y0, x1, y1 = boxes_of(proof, 1)[int(line)]
        baseline = (TOP + STEP * n) / 842
        assert baseline - 12 / 842 <= y0 <= baseline - 5 / 842
        assert baseline - 1 / 842 <= y1 <= baseline + 6 / 842
        assert x0 == pytest.approx(PLACES[0] * 72 / 595, abs=0.01)
        assert x1 >= PLACES[-1] * 72 / 595


def test_outcomes_and_doubts_are_told_by_a_sign_and_words(proof):
    washer = line_of(proof, "H-104-1")
    [outcome] = [tag for tag in proof.named("td") if tag.above is washer][-1:]
    assert outcome.text.startswith("! needs mending")
    assert "'umpteen': this is not a quantity that can be read" in outcome.text
    assert "Write a number" in outcome.text
    [cell] = [tag for tag in proof.named("td") if tag.above is washer and "umpteen" in tag.text
              and tag is not outcome]  # fmt: skip
    assert cell.text == "! doubtful: umpteen"
    other = line_of(proof, "H-105-3")
    [outcome] = [tag for tag in proof.named("td") if tag.above is other][-1:]
    assert outcome.text.startswith("? needs a decision")
    assert "The part is not identified" in outcome.text
    assert "– not data: title" in proof.by_id("line-1").text


@pytest.mark.parametrize(
    ("reason", "cell"),
    [
        ("the part is not identified", "description"),
        ("read with doubt: '1'", "quantity"),
        ("read with doubt: 'H-105-3'", "number"),
        ("read as 'H-lO5-3', taken for 'H-105-3'", "number"),
        ("'Mk 2 or 3': which builds is it for?", "used_on"),
        ("the quantity is struck through: how many are there now?", "quantity"),
        ("two columns name different sides", "description"),
        ("which family is this list for?", None),
    ],
)
def test_the_cell_in_doubt_is_told_by_the_words_of_the_doubt(reason, cell):
    from partmuster.answers.proof import cell_in_doubt

    cells = {"item": "1", "number": "H-105-3", "description": "ARM, drop, left 1", "quantity": "1",
             "used_on": "Mk 2 or 3"}  # fmt: skip
    assert cell_in_doubt(reason, cells) == cell


def test_it_says_whom_it_is_for_and_how_the_lines_add_up(proof):
    said = proof.named("body")[0].text
    assert "For the registrar: not to be passed round" in said
    total = re.search(r"(\d+) lines read = (\d+) loaded \+ (\d+) need a decision \+ (\d+) need "
                      r"mending \+ (\d+) not data", said)  # fmt: skip
    assert total
    read, *parts = map(int, total.groups())
    assert read == sum(parts) == sum(LINES)


def test_a_screen_reader_finds_its_way(proof):
    assert proof.named("html")[0].told["lang"] == "en"
    assert "list.pdf" in proof.named("title")[0].text
    levels = [int(tag.name[1]) for tag in proof.named("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    assert all(tag.told.get("scope") in ("col", "row") for tag in proof.named("th"))
    assert len(proof.named("caption")) == len(proof.named("table"))
    assert proof.named("main")
    for tag in proof.named("svg"):
        assert tag.told["aria-hidden"] == "true"
    assert all(tag.told["tabindex"] == "-1" for tag in proof.named("a")
               if any(above.name == "svg" for above in around(tag)))  # fmt: skip


def around(tag):
    while tag.above is not None:
        tag = tag.above
        yield tag


def luminance(colour):
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def test_text_stands_out_from_its_ground(text):
    """By the ratio of WCAG 2.2: 4.5 for text."""
    colours = dict(re.findall(r"--([a-z-]+):\s*(#[0-9a-f]{6})", text))
    grounds = {name: colour for name, colour in colours.items() if name.endswith("ground")}
    inks = {name: colour for name, colour in colours.items() if name.endswith("ink")}
    assert len(grounds) >= 2
    assert len(inks) >= 4
    for ink, ground in itertools.product(inks.values(), grounds.values()):
        light, dark = sorted((luminance(ink), luminance(ground)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, (ink, ground)
    used = re.findall(r"[;{ ](?:color|background):\s*([^;}]+)", text)
    assert used
    assert all(one.strip().startswith("var(--") for one in used)


def test_a_scan_that_lay_on_its_side_is_shown_as_it_came(tmp_path):
    picture = draw_page([HEADINGS, *ROWS[:3]], PLACES, Look(dots=150, quarters=1), [TITLE])
    picture.save(tmp_path / "scan.png")
    call(tmp_path / "club", "init", "--country", "GB")
    call(tmp_path / "club", "import", tmp_path / "scan.png")
    out = tmp_path / "scan.html"
    assert call(tmp_path / "club", "proof", "scan.png", "--out", out)[0] == 0
    proof = Proof(out.read_text(encoding="utf-8"))
    [tag] = proof.named("img")
    shown = picture_of(tag)
    assert shown.width / shown.height == pytest.approx(picture.width / picture.height, abs=0.01)
    grey = np.asarray(shown)
    line = int(line_of(proof, "H-102-2").told["id"].removeprefix("line-"))
    boxes = boxes_of(proof, 1)
    x0, y0, x1, y1 = boxes[line]
    assert y1 - y0 > x1 - x0, "a line of a page on its side stands upright"
    within = grey[round(y0 * shown.height) : round(y1 * shown.height),
                  round(x0 * shown.width) : round(x1 * shown.width)]  # fmt: skip
    assert within.min() < 100


def test_a_sheet_has_no_pages_to_show(tmp_path):
    (tmp_path / "parts.csv").write_text("Part,Qty,Holder\nDynamo,1,Ann Ash\n", encoding="utf-8")
    call(tmp_path / "club", "init", "--country", "GB")
    call(tmp_path / "club", "import", tmp_path / "parts.csv")
    code, said = call(tmp_path / "club", "proof", "parts.csv", "--out", tmp_path / "proof.html")
    assert code == 1
    assert "parts.csv has no pages" in said
    assert not (tmp_path / "proof.html").exists()
    code, said = call(tmp_path / "club", "proof", "other.csv")
    assert (code, "there is no source 'other.csv'" in said) == (1, True)


def test_an_earlier_proof_is_replaced_and_no_other_file(made, tmp_path):
    out = shutil.copyfile(made / "proof.html", tmp_path / "proof.html")
    assert call(made / "club", "proof", "list.pdf", "--out", out)[0] == 0
    out.write_text("<p>My own page</p>", encoding="utf-8")
    code, said = call(made / "club", "proof", "list.pdf", "--out", out)
    assert (code, "already a file" in said) == (1, True)
    assert out.read_text(encoding="utf-8") == "<p>My own page</p>"


def test_lines_are_shown_without_the_pages_where_the_file_has_gone(made, tmp_path):
    club = shutil.copytree(made / "club", tmp_path / "club")
    shutil.rmtree(club / "sources")
    code, said = call(club, "proof", "list.pdf", "--out", tmp_path / "proof.html")
    assert code == 1
    assert "no longer in the club's archive" in said
    proof = Proof((tmp_path / "proof.html").read_text(encoding="utf-8"))
    assert proof.named("img") == []
    assert "no longer in the club's archive" in proof.by_id("page-1").text
    assert "H-101-2" in proof.by_id("page-1").text


@pytest.mark.parametrize("fault", ["raises", "hands over text", "has no size"])
def test_a_plugin_that_cannot_draw_is_named(made, tmp_path, monkeypatch, fault):
    from partmuster.plugin_api import PageDrawing
    from partmuster_plugins.parts_lists.importer import PartsLists

    def draw(self, source, page):
        if fault == "raises":
            raise RuntimeError("no ink left")
        return "a page" if fault == "hands over text" else PageDrawing(b"\x89PNG\r\n\x1a\n", 0, 9)

    monkeypatch.setattr(PartsLists, "draw", draw)
    out = tmp_path / "proof.html"
    code, said = call(made / "club", "proof", "list.pdf", "--out", out)
    assert code == 1
    assert "plugin 'parts_lists'" in said
    proof = Proof(out.read_text(encoding="utf-8"))
    assert "The page could not be drawn" in proof.by_id("page-2").text
    assert "H-107-3" in proof.by_id("page-2").text


def test_a_trace_tells_the_place_on_the_page_and_how_to_see_it(made):
    code, said = call(made / "club", "holders", "H-101-2")
    assert code == 0
    import duckdb

    with duckdb.connect(str(made / "club" / "club.duckdb"), read_only=True) as con:
        [(line, box)] = con.execute(
            "SELECT line_id, box FROM line_address WHERE words LIKE '%H-107-3%'"
        ).fetchall()
    code, said = call(made / "club", "trace", line)
    assert code == 0
    said = " ".join(said.split())
    assert "page: 2 row: 3" in said
    assert f"box: {box} of 595x842" in said
    assert "to see it: partmuster proof list.pdf, and there #line-10" in said

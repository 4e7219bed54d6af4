"""The demo club's scanned list: what was read of its pages, and how it joins the sheet."""

from __future__ import annotations

import datetime as dt
import importlib
import io
import re
from base64 import b64decode

import numpy as np
import polars as pl
import pytest
from PIL import Image, ImageSequence

from partmuster.answers.lacks import lacks
from partmuster.answers.trace import trace
from tests.golden.conftest import MAKING, SAMPLES, expected
from tests.unit.proof_club import Proof, call

DAY = dt.date(2026, 6, 30)
SCAN, SHEET = "otter_works_list.tif", "otter_parts_list.csv"
TWO_LISTS = expected("two_lists.csv")


@pytest.fixture(scope="module")
def drawing():
    """Return the modules that drew the pages."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(MAKING))
        yield importlib.import_module("otter_scan_rows"), importlib.import_module("scanned_pages")


@pytest.fixture
def con(demo):
    with demo[0].reading() as con:
        yield con


@pytest.fixture
def lacking(con, vocabulary):
    def lacking(vehicle, part, state, **options):
        rows = lacks(con, vocabulary, vehicle, as_of=DAY, known_now=True, **options).rows
        [row] = rows.filter(part=part, state=state).to_dicts()
        return row

    return lacking


def typed(pages):
    """Yield what each line typed on the pages says, by the conventions of such lists."""
    assembly = above = None
    for page, text in enumerate(pages, 1):
        attaching = False
        # the running head is the first row of a page, and the headings come after its title
        for n, line in enumerate(text.strip().split("\n")):
            row = 2 if n == 0 else n + 3
            cells = line.split("|")
            if line.startswith("FIG."):
                assembly = re.fullmatch(r"FIG. \d - ([A-Z ]+?)(?: \(CONTINUED\))?", line)[1]
            attaching = (attaching and line != "***") or line == "ATTACHING PARTS"
            if len(cells) == 1:
                continue
            item, number, words, count, used_on, remark = cells
            above = words = above if words == "do." else words
            if words.endswith("LH shown, RH opposite"):
                sides = [("left", number), ("right", None)]
            else:
                sides = [({"LH": "left", "RH": "right"}.get(words[-2:]), number)]
            for side, own in sides:
                yield (
                    page, row, item, own, words, int(count) // len(sides), side, used_on, remark,
                    assembly.lower().replace(" ", "-"), attaching,
                )  # fmt: skip


def plain(words):
    """Return words without what a scan may lose of them: blanks between words."""
    return (words or "").replace(" ", "")


def test_each_line_on_the_pages_is_a_requirement_and_no_other(con, drawing):
    read = con.execute(
        "SELECT a.page, a.row, item_number, part_number, description, at_least, side, "
        "effectivity_text, remark, assembly, attaching, family, parent_words "
        "FROM requirement r JOIN line_address a USING (line_id) "
        "JOIN source_sum v ON v.source_id = r.source_id WHERE v.name = ? ORDER BY ALL", [SCAN]
    ).fetchall()  # fmt: skip
    truth = sorted(typed(drawing[0].PAGES), key=lambda one: (*one[:3], one[3] or "~"))
    assert len(read) == len(truth) == 38
    for found, meant in zip(read, truth, strict=True):
        place = meant[:2]
        assert found[:4] == meant[:4]
        assert plain(found[4]) == plain(meant[4].removesuffix(", LH shown, RH opposite")), place
        assert found[5:7] == meant[5:7], place
        assert plain(found[7]) == plain(meant[7]), place
        remark = "* Supplied less pulley." if meant[8] == "*" else meant[8]
        if meant[4].endswith("opposite"):
            remark = "LH shown, RH opposite"
        assert plain(found[8]) == plain(remark), place
        assert found[9:11] == meant[9:11], place
        assert found[11:] == ("Otter", "THERMOSTAT" if meant[10] else None), place


@pytest.mark.parametrize("row", TWO_LISTS, ids=lambda row: f"{row['vehicle']} {row['part_id']}")
def test_what_both_lists_say_counts_once_and_where_they_differ_both_show(lacking, row):
    lack = lacking(row["vehicle"], row["part_id"], row["state"])
    assert f"{lack['required']:g}" == row["required"]
    on_page = f"{SCAN}, page {row['page']}, row {row['row']}: "
    if row["told"]:
        assert SHEET in lack["basis"]
        assert SCAN not in lack["basis"]
        assert lack["disagrees"].startswith(f"{row['told']}: {on_page}")
    else:
        assert on_page in lack["basis"]
        assert "another list" not in (lack["disagrees"] or "")
        assert (SHEET in lack["basis"]) is (row["part_id"] != "fire-extinguisher")


def test_no_other_part_that_is_missing_is_disagreed_about(con, vocabulary):
    rows = lacks(con, vocabulary, as_of=DAY, known_now=True).rows
    told = rows.filter(pl.col("disagrees").str.contains("another list"), state="missing")
    assert sorted(zip(told["vehicle"], told["part"], strict=True)) == sorted(
        (row["vehicle"], row["part_id"]) for row in TWO_LISTS if row["told"]
    )


def test_hose_clips_under_hardware_in_the_sheet_and_where_used_on_the_page_are_the_same(lacking):
    clips = lacking("Otter 1", "hose-clip", "fitted", include_all=True)
    assert clips["required"] == 8
    assert clips["disagrees"].startswith(f"another list has it under cooling: {SCAN}, page 2, ")


def test_trace_leads_to_the_page_and_to_where_it_stands_there(con, lacking, drawing):
    lack = lacking("Otter 1", "fire-extinguisher", "not-looked-at")
    places = ("file", "page", "row", "words", "box")
    [found] = trace(con, lack["trace"]).select(places).unique().to_dicts()
    assert (found["file"], found["page"], found["row"]) == (SCAN, 3, 17)
    assert plain(found["words"]) == "1|OT8009|EXTINGUISHER,FIRE|1"
    left, top, right, bottom = (float(edge) for edge in found["box"].split(","))
    for column, beside in ((1, left), (4, right)):
        x, y = drawing[1].place_on_page(3, 17, column)
        assert top < y < bottom
        assert abs(beside - x) < 60  # an item number and a quantity of one figure
    assert bottom - top < 100
    with Image.open(SAMPLES / SCAN) as picture:
        page = np.asarray(ImageSequence.all_frames(picture)[2].convert("L"))
    inside = page[round(top) : round(bottom), round(left) : round(right)]
    assert (inside < 128).mean() > 3 * (page < 128).mean()


def test_a_proof_shows_the_pages_beside_their_lines(demo, tmp_path):
    code, said = call(demo[0].folder, "proof", SCAN, "--out", tmp_path / "proof.html")
    assert code == 0, said
    proof = Proof((tmp_path / "proof.html").read_text(encoding="utf-8"))
    pictures = [tag for tag in proof.named("img") if tag.told.get("src", "").startswith("data:")]
    assert len(pictures) == 3
    with Image.open(SAMPLES / SCAN) as picture:
        shape = picture.size
    shown = Image.open(io.BytesIO(b64decode(pictures[0].told["src"].partition(",")[2])))
    assert abs(shown.width / shown.height - shape[0] / shape[1]) < 0.01
    [row] = [tag for tag in proof.named("tr") if "OT1016" in tag.text]
    assert "EYE,TOWING" in plain(row.text)
    assert row.within("section").told["id"] == "page-1"

"""Files of notes become paragraphs: plain text, Markdown, documents and web pages."""

from __future__ import annotations

import random
import time
import tracemalloc
from typing import TYPE_CHECKING

import pytest

from partmuster.host import source_file
from partmuster.plugin_api import SourceUnreadableError
from partmuster_plugins.hand_notes.claims import sniff
from partmuster_plugins.spreadsheets.importer import Spreadsheets
from tests.unit.note_files import docx, left_out, p, r, read, texts

if TYPE_CHECKING:
    from pathlib import Path

WRAPPED = """\
Otter 2, seen on 12 April

Went up to the quarry with Ivo on Saturday. Somebody has had the
carbs off it and the dynamo is gone as well, but both track guards
are there.
Nearside one is bent. We could not get at the gearbox because of the
brambles, so that has to wait for
another day

Missing:
- starter motor (Ivo thinks it went to
  Hester in 1998)
- both headlamps
* 3 of 8 bogie wheels
1. ammeter
a) seat frames
• tool box
"""


def test_wrapped_lines_are_joined_and_lists_are_not(tmp_path: Path) -> None:
    (note,) = read(tmp_path, "otter.txt", WRAPPED)
    assert texts(note) == [
        "Otter 2, seen on 12 April",
        (
            "Went up to the quarry with Ivo on Saturday. Somebody has had the carbs off it and "
            "the dynamo is gone as well, but both track guards are there."
        ),
        (
            "Nearside one is bent. We could not get at the gearbox because of the brambles, so "
            "that has to wait for another day"
        ),
        "Missing:",
        "starter motor (Ivo thinks it went to Hester in 1998)",
        "both headlamps",
        "3 of 8 bogie wheels",
        "ammeter",
        "seat frames",
        "tool box",
    ]
    assert [one.row for one in note.paragraphs] == [1, 3, 6, 10, 11, 13, 14, 15, 16, 17]
    assert note.paragraphs[2].place == "line 6"
    assert [one.heading for one in note.paragraphs] == [True, *[False] * 2, True, *[False] * 6]
    assert [one.item for one in note.paragraphs] == [False] * 4 + [True] * 6
    assert note.name is note.header is note.stated_on is None


@pytest.mark.parametrize(
    "lines",
    [
        ["no dynamo", "no carbs", "both track guards there", "nearside bent"],
        ["Dynamo gone", "Carbs gone, manifold too", "Track guards there", "Nearside one bent"],
        [
            "09:12 Ivo: she wants a dynamo for her",
            "09:14 Toby: and a horn push, with",
            "9:20 Ivo: ok",
        ],
        [
            "amm. no",
            "hatch there. pin seized",
            "1 fuel tap, anyone can have",
            "want starter / drop arm",
        ],
        [
            "idler off and in the lean-to, to be put back",
            "gearbox bearers ? ground too wet to crawl on",
            "data plate by the hatch - none, two screw holes",
            "nose in two pieces",
        ],
        ["otter 2", "magneto: at the rewinder's", "sump: cracked", "hatches: all there but one"],
        [
            "Rang Bert this morning about the magneto, he has two of them and would part with one.",
            "Otter 2: dynamo off, on the bench.",
            (
                "The long paragraph of somebody who never presses the key at the end of a line, so "
                "that all of it stands in one line of the file, however long it may become."
            ),
            "And the next.",
        ],
    ],
)
def test_a_statement_to_a_line_stays_one(tmp_path: Path, lines: list[str]) -> None:
    (note,) = read(tmp_path, "list.txt", "\n".join(lines))
    assert texts(note) == lines


def test_narrow_notebook_lines_are_joined_where_a_sentence_goes_on(tmp_path: Path) -> None:
    (note,) = read(
        tmp_path,
        "page.txt",
        "had a look round Otter 2 today\nwith Ivo. dynamo gone, also\n"
        "somebody has had the carbs\noff it\n",
    )
    assert texts(note) == [
        (
            "had a look round Otter 2 today with Ivo. dynamo gone, also somebody has had the carbs "
            "off it"
        )
    ]


def test_markdown_loses_its_signs(tmp_path: Path) -> None:
    (note,) = read(
        tmp_path,
        "visit.md",
        "# Otter 2\n\nSeen at dusk\n------------\n\n**No dynamo**, _really_ none. See `4471` and "
        "[the yard](https://yard.example/x).\n2 * 3 plates, snake_case_name\n\n"
        "| Part | State |\n|:-----|------:|\n| sump | **cracked** |\n| hatch, rear | |\n\n"
        "> he said it was an early one\n> and he should know\n\nI doubt it.\n\n"
        "- ~~magneto missing~~ found it\n- [ ] look at the axle\n\n---\n```\nend\n```\n",
    )
    assert [(one.text, one.heading) for one in note.paragraphs[:2]] == [
        ("Otter 2", True),
        ("Seen at dusk", True),
    ]
    assert texts(note)[2:4] == [
        "No dynamo, really none. See 4471 and the yard.",
        "2 * 3 plates, snake_case_name",
    ]
    assert [one.table_row for one in note.paragraphs[4:7]] == [
        ("Part", "State"),
        ("sump", "cracked"),
        ("hatch, rear", ""),
    ]
    assert note.paragraphs[5].row == 11
    assert (note.paragraphs[7].text, note.paragraphs[7].quoted) == (
        "he said it was an early one and he should know",
        True,
    )
    assert texts(note)[8:] == ["I doubt it.", "found it", "[ ] look at the axle", "end"]
    assert "magneto missing" in left_out(note)
    assert "struck" in left_out(note)


def test_columns_of_tabs_are_a_table(tmp_path: Path) -> None:
    (note,) = read(tmp_path, "t.txt", "What I saw.\n\ndynamo\tgone\nleft hatch\tbent\n")
    assert [one.table_row for one in note.paragraphs] == [
        None,
        ("dynamo", "gone"),
        ("left hatch", "bent"),
    ]


WORDS = "Kühlerschläuche fehlen – “none” left, ½ in. pipe, naïve café"


@pytest.mark.parametrize(
    "data",
    [
        WORDS.encode(),
        WORDS.encode("utf-8-sig"),
        WORDS.encode("utf-16"),
        WORDS.encode("utf-16-le"),
        WORDS.encode("utf-16-be"),
        WORDS.encode("cp1252"),
    ],
    ids=["utf-8", "with its mark", "utf-16", "little", "big", "cp1252"],
)
def test_any_usual_encoding_is_read(tmp_path: Path, data: bytes) -> None:
    (note,) = read(tmp_path, "n.txt", data)
    assert texts(note) == [WORDS]


def test_lines_in_different_encodings_are_read_each_in_its_own(tmp_path: Path) -> None:
    data = "Kühler fehlt.\n\n".encode() + "Schläuche – auch.\n\n".encode("cp1252") + "½".encode()
    (note,) = read(tmp_path, "n.txt", data)
    assert texts(note) == ["Kühler fehlt.", "Schläuche – auch.", "½"]


def test_signs_that_nobody_sees_are_taken_out_and_scripts_are_kept(tmp_path: Path) -> None:
    said = "dynamo \u202egone\u202c \U0001f44d\U0001f3fd, \u05d7\u05e1\u05e8 \u0645\u0641\u0642"
    (note,) = read(tmp_path, "n.txt", f"\u200b{said}\0\x07\u00a0now\u00ad\u2066\n")
    assert texts(note) == [
        "dynamo gone \U0001f44d\U0001f3fd, \u05d7\u05e1\u05e8 \u0645\u0641\u0642 now"
    ]


@pytest.mark.parametrize("name", ["n.txt", "n.md", "n.eml", "n.html", "n.docx", "n.mbox"])
def test_an_empty_file_says_so(tmp_path: Path, name: str) -> None:
    (note,) = read(tmp_path, name, b"")
    assert note.paragraphs == ()
    assert "empty" in left_out(note)


def test_a_program_named_like_a_text_is_refused(tmp_path: Path) -> None:
    data = b"\x7fELF" + random.Random(5).randbytes(20_000)
    with pytest.raises(SourceUnreadableError, match="holds no text"):
        read(tmp_path, "n.txt", data)


@pytest.mark.parametrize("name", ["n.txt", "n.html", "n.eml"])
@pytest.mark.parametrize("unit", ["no dynamo ", "> ", "<b"])
def test_ten_million_signs_in_one_line_are_named_soon(tmp_path: Path, name: str, unit: str) -> None:
    start = time.process_time()
    (note,) = read(tmp_path, name, (unit * (10_000_000 // len(unit))).encode())
    assert time.process_time() - start < 20
    assert sum(map(len, texts(note))) <= 100_000
    assert "long" in left_out(note)


@pytest.mark.parametrize("name", ["n.txt", "n.html", "n.eml"])
def test_a_file_takes_memory_by_its_size(tmp_path: Path, name: str) -> None:
    data = b"<p>No dynamo on Otter 2, and no carbs.\n\n" * 5_000
    tracemalloc.start()
    try:
        (note,) = read(tmp_path, name, data)
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert note.paragraphs
    assert most < 60 * len(data)


# Documents.


def test_a_document_is_read_in_its_order(tmp_path: Path) -> None:
    listed = '<w:numPr><w:ilvl w:val="0"/><w:numId w:val="3"/></w:numPr>'
    unlisted = '<w:numPr><w:numId w:val="0"/></w:numPr>'
    table = (
        "<w:tbl><w:tr><w:tc>" + p("Part") + "</w:tc><w:tc>" + p("State") + "</w:tc></w:tr>"
        "<w:tr><w:tc>" + p("left") + p("hatch") + "</w:tc><w:tc>" + p("bent") + "</w:tc></w:tr>"
        "</w:tbl>"
    )
    body = (
        p("Otter 2", "berschrift1") + p("Hull", "Mine") + p("No dynamo.") + p("")
        + p("starter", "Punkt") + p("magneto", more=listed) + p("plain", more=unlisted)
        + table + p("After the table.")
    )  # fmt: skip
    (note,) = read(tmp_path, "n.docx", docx(body))
    assert [(one.text, one.heading, one.item) for one in note.paragraphs] == [
        ("Otter 2", True, False),
        ("Hull", True, False),
        ("No dynamo.", False, False),
        ("starter", False, True),
        ("magneto", False, True),
        ("plain", False, False),
        ("Part | State", False, False),
        ("left hatch | bent", False, False),
        ("After the table.", False, False),
    ]
    assert note.paragraphs[7].table_row == ("left hatch", "bent")
    assert note.paragraphs[7].place == "table 1, row 2"
    assert note.paragraphs[2].place == "paragraph 3"


def test_what_was_deleted_or_struck_in_a_document_is_out_and_named(tmp_path: Path) -> None:
    body = (
        "<w:p>" + r("Both ") + f"<w:del><w:r><w:delText>hatches</w:delText></w:r>{r('x')}</w:del>"
        + f"<w:ins>{r('track guards')}</w:ins>" + r(" there") + r(", no seats", "<w:strike/>")
        + r("!", '<w:strike w:val="0"/>') + r("secret", "<w:vanish/>") + "</w:p>"
        + "<w:p><w:pPr><w:rPr><w:del/></w:rPr></w:pPr>" + r("One line ") + "</w:p>" + p("again.")
        + "<w:p>" + r("first") + "<w:r><w:br/><w:t>second</w:t><w:tab/><w:t>third</w:t>"
        "<w:noBreakHyphen/><w:t>fourth</w:t><w:instrText>PAGE</w:instrText></w:r></w:p>"
    )  # fmt: skip
    (note,) = read(tmp_path, "n.docx", docx(body))
    assert texts(note) == [
        "Both track guards there!", "One line again.", "first", "second third-fourth",
    ]  # fmt: skip
    assert "no seats" in left_out(note)
    assert "struck" in left_out(note)
    assert "hatches" not in left_out(note)


def test_what_stands_outside_a_documents_text_is_named(tmp_path: Path) -> None:
    body = (
        p("Text.")
        + "<w:p><w:r><w:footnoteReference/></w:r>" + r("More.")
        + f"<w:r><w:drawing/><w:txbxContent>{p('in a box')}</w:txbxContent></w:r></w:p>"
    )  # fmt: skip
    (note,) = read(
        tmp_path,
        "n.docx",
        docx(body, ["word/header1.xml", "word/footnotes.xml"]),
    )
    assert texts(note) == ["Text.", "More."]
    for word in ("text box", "picture", "footnote", "header"):
        assert word in left_out(note)


def test_a_bomb_of_a_document_is_refused(tmp_path: Path) -> None:
    bomb = docx("<w:p><w:r><w:t>" + "x" * 60_000_000 + "</w:t></w:r></w:p>")
    assert len(bomb) < 200_000
    with pytest.raises(SourceUnreadableError, match="unpacks"):
        read(tmp_path, "n.docx", bomb)


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"PK\x03\x04\x14\x00\x06\x00\x08\x00\x00\x00!\x00", "damaged"),
        (docx("").replace(b"word/document.xml", b"word/dokument.xml"), "no text part"),
        (docx(p("x"), ["word/vbaProject.bin"]), "macros"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(4000), "password"),
        (docx("<w:p>"), "damaged"),
        (b"just words", "none"),
    ],
    ids=["cut", "no text", "macros", "locked", "broken", "words"],
)
def test_a_document_that_cannot_be_read_says_why(tmp_path: Path, data: bytes, word: str) -> None:
    with pytest.raises(SourceUnreadableError, match=word):
        read(tmp_path, "n.docx", data)


def test_a_document_that_declares_its_own_words_is_refused(tmp_path: Path) -> None:
    import io
    import zipfile

    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("word/document.xml", '<!DOCTYPE d [<!ENTITY a "b">]><d>&a;</d>')
    with pytest.raises(SourceUnreadableError, match="document type"):
        read(tmp_path, "n.docx", packed.getvalue())


# Web pages.


def test_a_web_page_is_read_as_it_is_seen(tmp_path: Path) -> None:
    (note,) = read(
        tmp_path,
        "n.html",
        """<!doctype html><html><head><meta charset="windows-1252"><title>tab</title>
        <style>p {color: red}</style><script>document.write("no carbs")</script></head><body>
        <h1>Otter&nbsp;2</h1><p>No <b>dynamo</b> &amp; no
          starter.<p>Guards&#58; bent<br>Hatches: all there
        <ul><li>sump <i>cracked</i><li>seats &ndash; gone</ul>
        <table><tr><th>Part<th>State<tr><td>axle<td><p>straight</p></table>
        <div hidden>no axle</div><span style="display: none">no hull</span>
        <template>no turret</template><!-- no engine --><p><s>no magneto</s> found it</p>
        <blockquote>he said so</blockquote>
        <img src="https://pictures.example/x.png" alt="a picture">
        <svg><text>no wheels</text></svg><textarea>no nuts</textarea>
        <a href="https://yard.example">The yard</a> has one.</body></html>""",
    )
    assert texts(note) == [
        "Otter 2",
        "No dynamo & no starter.",
        "Guards: bent",
        "Hatches: all there",
        "sump cracked",
        "seats – gone",
        "Part | State",
        "axle | straight",
        "found it",
        "he said so",
        "The yard has one.",
    ]
    assert note.paragraphs[0].heading
    assert [one.item for one in note.paragraphs[4:6]] == [True, True]
    assert note.paragraphs[7].table_row == ("axle", "straight")
    assert note.paragraphs[9].quoted
    assert "no magneto" in left_out(note)


def test_a_table_that_only_lays_out_a_page_is_no_table(tmp_path: Path) -> None:
    (note,) = read(
        tmp_path,
        "n.html",
        "<html><table><tr><td><table><tr><td><p>No dynamo.</p><p>No carbs.</p></td></tr></table>"
        "</td></tr></table></html>",
    )
    assert [(one.text, one.table_row) for one in note.paragraphs] == [
        ("No dynamo.", None),
        ("No carbs.", None),
    ]


@pytest.mark.parametrize("unit", ["<div>", "<p>", "<table><tr><td>", "<li>", "<b>", "</div>"])
def test_a_page_nested_without_end_is_read(tmp_path: Path, unit: str) -> None:
    start = time.process_time()
    (note,) = read(tmp_path, "n.html", "<html>" + unit * 10_000 + "no dynamo")
    assert time.process_time() - start < 10
    assert "no dynamo" in texts(note)


# Which files are whose.


@pytest.mark.parametrize(
    ("name", "data", "ours"),
    [
        ("n.txt", b"No dynamo on Otter 2.\nBoth guards there.\n", True),
        ("n.md", b"# Otter 2\n", True),
        ("n", b"Went to the quarry today, with Ivo.\nNo dynamo.\n", True),
        ("n.html", b"<p>No dynamo", True),
        ("n.docx", docx(p("x")), True),
        ("n.eml", b"From: Bert <b@x.example>\nSubject: x\n\nno dynamo\n", True),
        ("n.mbox", b"From b@x.example Sun May  3 10:12:33 2026\nFrom: b@x.example\n\nx\n", True),
        ("n.txt", b"Part;State\nsump;cracked\ndynamo;gone\nhatch;bent\n", False),
        ("n.txt", b"Part\tState\nsump\tcracked\ndynamo\tgone\nhatch\tbent\n", False),
        ("n.csv", b"Part,State\nsump,cracked\n", False),
        ("n.pdf", b"%PDF-1.7\n", False),
        ("n.png", b"\x89PNG\r\n\x1a\n", False),
        ("n.xls", b"<html><table><tr><td>x</table>", False),
        ("n.json", b'{"a": 1}', False),
        ("n", bytes(range(256)), False),
    ],
)
def test_notes_and_tables_are_told_apart(
    tmp_path: Path, name: str, data: bytes, ours: bool
) -> None:
    path = tmp_path / name
    path.write_bytes(data)
    source = source_file(path, name)
    own, other = sniff(source), Spreadsheets().sniff(source)
    strengths = (own.strength if own else 0.0), (other.strength if other else 0.0)
    assert (strengths[0] > strengths[1]) is ours
    assert strengths[0] != strengths[1] or strengths == (0, 0)

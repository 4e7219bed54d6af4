"""Spreadsheets that would do harm, or are not what they are called: refused, or made harmless."""

from __future__ import annotations

import io
import random
import re
import zipfile
from pathlib import Path

import pytest

from partmuster.batches import batch_faults
from partmuster.model import Grid, SourceUnreadableError
from partmuster.testing.watching import what_was_touched
from partmuster_plugins.spreadsheets.importer import Spreadsheets
from partmuster_plugins.spreadsheets.words import clean

from .sheet_files import MAIN, OFFICE, SHEET_LINKS, document, links, only_grid, read, workbook

SHEETS = Path(__file__).parents[1] / "golden" / "sheets"
LAMP = '<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Lamp</t></is></c></row></sheetData>'
BOMB = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY c SYSTEM "file:///etc/hostname">]>'

#: What steers a terminal or turns words about, each with what is left of it in a cell.
CONTROLS = {
    "Lamp\x1b[31m red": "Lamp [31m red",
    "one\r\ntwo\rthree\x0bfour": "one\ntwo\nthree\nfour",
    "nul\0l": "null",
    "bell\x07end\x7f": "bell end ",
    "abc\u202edef\u2066g\u2069": "abcdefg",
    "\u202e": None,
    "שלום\u200f!": "שלום\u200f!",
    "csi\x9b2J": "csi 2J",
    "line\u2028end\x85": "line\nend\n",
    "tab\tstays": "tab\tstays",
    "eof\x1a": "eof",
}


@pytest.mark.parametrize(("text", "left"), CONTROLS.items())
def test_no_control_character_reaches_a_cell(make_source, text, left):
    rows = "Part,2\n" * 100
    quoted = make_source("list.csv", f'{rows}"{text}",1\n')
    assert only_grid(quoted).cells["1"].to_list() == ["Part"] * 100 + [left]
    assert clean(text).strip("\n ") == (left or "").strip("\n ")


@pytest.mark.parametrize(("text", "left"), CONTROLS.items())
def test_nor_one_from_a_workbook_or_its_comments_and_tabs(make_source, text, left):
    legal = "".join(one for one in text if one >= " " or one in "\t\n\r")
    if legal != text:
        return  # XML cannot hold it
    data = f'<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>{text}</t></is></c>'
    data += '<c r="B1"><v>1</v></c></row></sheetData>'
    comments = (
        f'<comments {MAIN}><commentList><comment ref="B1"><text><t>x{text}x</t></text></comment>'
        "</commentList></comments>"
    )
    book = (
        f'<workbook {MAIN} xmlns:r="{OFFICE}"><sheets>'
        f'<sheet name="x{text}x" sheetId="1" r:id="rId1"/></sheets></workbook>'
    )
    source = make_source(
        "made.xlsx",
        workbook(
            data,
            **{
                SHEET_LINKS: links(comments="../comments1.xml"),
                "xl/comments1.xml": comments,
                "workbook": book,
            },
        ),
    )
    grid = only_grid(source)
    assert grid.cells.row(0)[1:] == (left, "1") if left else grid.cells.row(0)[-1] == "1"
    assert grid.sheet == " ".join(f"x{left or ''}x".split("\t"))
    assert [row[3] for row in grid.marks.rows()] == [f"x{left or ''}x"]


@pytest.mark.parametrize("part", ["styles", "workbook", "sheet1", "theme1", "xl/sharedStrings.xml"])
def test_a_document_type_of_its_own_is_refused(make_source, part):
    plain = zipfile.ZipFile(io.BytesIO(workbook(LAMP)))
    name = next((one for one in plain.namelist() if one.endswith(f"/{part}.xml")), None)
    text = plain.read(name).decode() if name else f"<sst {MAIN}/>"
    text = re.sub(r"^<\?xml[^>]*\?>\s*", "", text)
    with pytest.raises(SourceUnreadableError, match="document type"):
        read(make_source("made.xlsx", workbook(LAMP, **{part: BOMB + text})))


def test_links_to_other_files_are_not_followed_and_macros_not_run(make_source):
    cell = '<sheetData><row r="1"><c r="A1"><f>[1]Sheet1!A1</f><v>7</v></c></row></sheetData>'
    link = f'<externalLink {MAIN}><externalBook xmlns:r="urn:r" r:id="rId1"/></externalLink>'
    data = workbook(
        cell,
        **{
            "xl/externalLinks/externalLink1.xml": link,
            "xl/externalLinks/_rels/externalLink1.xml.rels": links(
                externalLinkPath="http://192.0.2.1/other.xlsx"
            ),
            SHEET_LINKS: links(drawing="http://192.0.2.1/drawing.xml"),
            "xl/vbaProject.bin": "Sub Auto_Open()",
        },
    )
    source = make_source("made.xlsm", data)
    assert Spreadsheets().sniff(source).strength == 0.9
    read(source)  # loads what is imported late
    with what_was_touched(source.path) as touched:
        grid = only_grid(source)
    assert touched == []
    assert grid.cells.rows() == [(1, "7")]


def test_a_binary_workbook_is_refused_in_words(make_source):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("xl/workbook.bin", b"\x83\x01")
    source = make_source("list.xlsb", out.getvalue())
    assert Spreadsheets().sniff(source).strength == 0.1
    with pytest.raises(SourceUnreadableError, match=r"\.xlsb"):
        read(source)


@pytest.mark.parametrize("name", ["list.xlsx", "list.ods", "list.xls"])
def test_a_pdf_under_a_workbooks_name_is_refused(make_source, name):
    with pytest.raises(SourceUnreadableError, match="it is a PDF"):
        read(make_source(name, b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n"))


def test_a_workbook_under_the_other_ones_name_is_read(make_source):
    assert only_grid(make_source("list.xls", workbook(LAMP))).cells.rows() == [(1, "Lamp")]
    sheet = '<table:table table:name="S"><table:table-row><table:table-cell><text:p>Lamp</text:p></table:table-cell></table:table-row></table:table>'  # noqa: E501 - one sheet
    source = make_source("list.xlsx", document(sheet))
    assert Spreadsheets().sniff(source).strength == 0.9
    assert only_grid(source).cells.rows() == [(1, "Lamp")]


def test_a_part_that_stands_twice_is_refused(make_source):
    out = io.BytesIO(workbook(LAMP))
    with zipfile.ZipFile(out, "a") as archive, pytest.warns(UserWarning, match="Duplicate name"):
        archive.writestr("xl/worksheets/sheet1.xml", LAMP)
    with pytest.raises(SourceUnreadableError, match="stands in it twice"):
        read(make_source("twice.xlsx", out.getvalue()))


def test_all_columns_a_sheet_can_have_are_read(make_source):
    cells = "".join(f"<c><v>{number}</v></c>" for number in range(1, 16385))
    grid = only_grid(
        make_source("wide.xlsx", workbook(f"<sheetData><row>{cells}</row></sheetData>"))
    )
    assert grid.cells.columns[-1] == "16384"
    assert grid.cells.row(0)[-1] == "16384"


def test_a_cell_of_ten_million_characters_is_read_or_refused_in_words(make_source):
    long = "x" * 10_000_000
    grid = only_grid(make_source("long.xlsx", workbook(LAMP.replace("Lamp", long))))
    assert grid.cells["1"].to_list() == [long]
    assert only_grid(make_source("long.csv", f"Part,Qty\n{long},1\n")).cells["1"][1] == long
    with pytest.raises(SourceUnreadableError, match="a cell is longer than"):
        read(make_source("long.csv", f'Part,Qty\n"{long}\n{long}",1\n'))


def damaged(rng, data):
    broken = bytearray(data)
    for _ in range(rng.choice([1, 1, 3])):
        at = rng.randrange(len(broken))
        numbers = [one.span() for one in re.finditer(rb'"\d+"', broken)]
        if numbers and rng.random() < 0.5:
            start, end = rng.choice(numbers)
            broken[start:end] = rng.choice([b'""', b'"-1"', b'"99999999999"', b'"x"', b'"0"'])
        elif rng.random() < 0.5:
            broken[at] = rng.randrange(256)
        else:
            del broken[at : at + rng.randrange(1, 40)]
    return bytes(broken)


@pytest.mark.parametrize("name", ["marked_xlsx.xlsx", "marked_ods.ods", "workbook.xlsx"])
@pytest.mark.parametrize("seed", range(4))
def test_damaged_parts_are_refused_in_words_or_do_no_harm(make_source, name, seed):
    rng = random.Random(f"{name} {seed}")
    with zipfile.ZipFile(SHEETS / name) as whole:
        parts = {one: whole.read(one) for one in whole.namelist()}
    refused = 0
    for _ in range(15):
        victim = rng.choice(sorted(parts))
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w") as archive:
            for one, data in parts.items():
                archive.writestr(one, damaged(rng, data) if one == victim else data)
        source = make_source(name, out.getvalue())
        Spreadsheets().sniff(source)
        try:
            batches = read(source)
        except SourceUnreadableError:
            refused += 1
            continue
        assert [fault for batch in batches for fault in batch_faults(batch)] == []
        assert any(isinstance(batch, Grid) for batch in batches)
    assert refused < 15

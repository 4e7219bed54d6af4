"""The spreadsheets importer: encodings, line ends, separators, workbooks good and bad."""

from __future__ import annotations

import csv
import io
import os
import time
import zipfile
from pathlib import Path

import openpyxl
import polars as pl
import psutil
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partmuster.model import Grid, NotData, SourceUnreadableError
from partmuster_plugins.spreadsheets import sheet_scan, zipped
from partmuster_plugins.spreadsheets.colours import Colours
from partmuster_plugins.spreadsheets.importer import Spreadsheets
from partmuster_plugins.spreadsheets.separated import cells_of, read_quoted

TABLE = [["Part", "Qty", "Note"], ["Kühler", "1", "½ left"], ["Hinge", "2", "£3"]]
MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def read(source):
    return list(Spreadsheets().read(source))


def rows_of(batch):
    assert isinstance(batch, Grid)
    return [list(row[1:]) for row in batch.cells.rows()]


def grid(source):
    [batch] = read(source)
    return rows_of(batch)


@pytest.fixture
def make_workbook(make_source):
    """Make a workbook of one sheet with the XML given, its other parts openpyxl's."""

    def make(sheet_data, name="made.xlsx", prefix=""):
        plain = io.BytesIO()
        openpyxl.Workbook().save(plain)
        out = io.BytesIO()
        with zipfile.ZipFile(plain) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
            for info in old.infolist():
                data = old.read(info)
                if info.filename == "xl/worksheets/sheet1.xml":
                    space = MAIN.replace("xmlns=", f"xmlns:{prefix[:-1]}=") if prefix else MAIN
                    data = (f"<{prefix}worksheet {space}>{sheet_data}</{prefix}worksheet>").encode()
                new.writestr(info.filename, data)
        return make_source(name, out.getvalue())

    return make


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"]
)
@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("sign", [",", ";", "\t", "|"])
def test_every_encoding_line_end_and_separator(make_source, encoding, ends, sign):
    text = ends.join(sign.join(row) for row in TABLE) + ends
    source = make_source("list.csv", text.encode(encoding))
    assert Spreadsheets().sniff(source).strength == 0.9
    assert grid(source) == TABLE


def test_utf_16_big_endian_with_its_mark(make_source):
    text = "\n".join(",".join(row) for row in TABLE)
    assert grid(make_source("list.csv", b"\xfe\xff" + text.encode("utf-16-be"))) == TABLE


def test_bytes_the_windows_page_leaves_undefined_are_still_read(make_source):
    assert grid(make_source("list.csv", b"Part,Qty\nB\x8fcher,1\n"))[1] == ["Bècher", "1"]


def test_a_decimal_comma_does_not_hide_semicolons(make_source):
    text = "Part;Price;Weight\nHinge;1,50;2,5\nLamp;3,25;1,0\n"
    assert grid(make_source("list.csv", text))[1] == ["Hinge", "1,50", "2,5"]


def test_one_column_is_read_whole(make_source):
    assert grid(make_source("list.csv", "Hinge\nBolt\n\nLamp\n")) == [
        ["Hinge"],
        ["Bolt"],
        [None],
        ["Lamp"],
    ]


def test_rows_keep_their_numbers(make_source):
    [batch] = read(make_source("list.csv", '\n\nPart,Qty\n"two\nlines",1\n\nLamp,2\n\n\n'))
    filled = batch.cells.filter(pl.col("1").is_not_null())
    assert filled["row"].to_list() == [3, 4, 6]
    assert batch.cells.height == 6


@pytest.mark.parametrize("content", [b"", b"\n\n\r\n", b"\xef\xbb\xbf", b",,,\n,,,\n", b"   \n"])
def test_a_file_without_cells_says_so_or_shows_its_blanks(make_source, content):
    [batch] = read(make_source("list.csv", content))
    if content == b"   \n":
        assert rows_of(batch) == [["   "]]
    else:
        assert isinstance(batch, NotData)


def test_an_open_quotation_mark_is_refused_with_its_row(make_source):
    source = make_source("list.csv", 'Part,Qty\nHinge,1\n"Lamp,2\nHorn,3\n')
    with pytest.raises(SourceUnreadableError, match="opened in row 3"):
        read(source)


def test_text_cut_inside_a_character_is_refused(make_source):
    with pytest.raises(SourceUnreadableError, match="damaged or incomplete"):
        read(make_source("list.csv", "Part,Qty\n".encode("utf-16")[:-1]))


@pytest.mark.parametrize(
    ("name", "content", "claimed"),
    [
        ("list.txt", "Part\tQty\nHinge\t1\nLamp\t2\n", True),
        (
            "letter.txt",
            "Dear Bert,\n\nI saw a hulk at the farm, it had both hinges.\nYours, Al\n",
            False,
        ),
        ("page.html", "<table><tr><td>a,b</td></tr></table>", False),
        ("data.json", '{"a": 1, "b": 2}', False),
        ("fake.csv", "<html><body>Sign in, please</body></html>", False),
        ("picture.csv", b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(32)) * 40, False),
    ],
)
def test_what_is_claimed(make_source, name, content, claimed):
    assert (Spreadsheets().sniff(make_source(name, content)) is not None) == claimed


cell_text = st.text(alphabet='ab",;\n é', max_size=6)


@settings(deadline=None)  # other work on the machine must not fail it
@given(st.lists(st.lists(cell_text, min_size=1, max_size=4), min_size=1, max_size=8))
def test_well_formed_text_comes_back(rows):
    out = io.StringIO()
    csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL).writerows(rows)
    width = max(len(row) for row in rows)
    frame = cells_of(out.getvalue(), ",").drop("row")
    got = [[cell or "" for cell in row] + [""] * (width - len(row)) for row in frame.rows()]
    assert got == [row + [""] * (width - len(row)) for row in rows]


@settings(deadline=None)  # other work on the machine must not fail it
@given(
    st.lists(st.lists(st.text(alphabet="ab é'/", max_size=5), min_size=1, max_size=4), min_size=1)
)
def test_the_quick_and_the_careful_reader_agree(rows):
    text = "\n".join(",".join(row) for row in rows) + "\n"
    careful = read_quoted(text, ",")
    quick = cells_of(text, ",").drop("row")
    assert [[cell or None for cell in row[: quick.width]] for row in careful.rows()] == [
        list(row) for row in quick.rows()
    ]


REAL = Path(os.environ.get("PARTMUSTER_REAL_ITEMS", "real-items"))


@pytest.mark.skipif(not REAL.is_dir(), reason="the real lists lie where PARTMUSTER_REAL_ITEMS says")
def test_real_lists_have_the_cells_another_reader_finds(make_source):
    paths = sorted(REAL.glob("*.csv"))
    assert paths
    for path in paths:
        with path.open(newline="", encoding="cp1252") as stream:
            expected = [[cell or None for cell in row] for row in csv.reader(stream)]
        got = grid(make_source(path.name, path.read_bytes()))
        assert len(got) == len(expected), path.name
        for row, (one, other) in enumerate(zip(got, expected, strict=True), start=1):
            assert one == other + [None] * (len(one) - len(other)), f"{path.name} row {row}"


def test_a_million_rows_are_read_in_seconds(tmp_path, make_source):
    line = b'1001,"Bolt, hex",LH,7/8 BSF,4,2026-03-05,B4,some words\n'
    source = make_source("large.csv", line * 1_000_000)
    before, start = psutil.Process().memory_info().rss, time.perf_counter()
    [batch] = read(source)
    took = time.perf_counter() - start
    assert batch.cells.shape == (1_000_000, 9)
    assert took < 15  # 2 s idle; the machine may be busy
    assert psutil.Process().memory_info().rss - before < 1.5e9


def test_a_cell_in_the_farthest_corner_is_refused_in_words(make_workbook):
    source = make_workbook(
        '<sheetData><row r="1"><c r="A1"><v>1</v></c></row>'
        "<row r='1048576'><c s='0' r='XFD1048576'><v>2</v></c></row></sheetData>"
    )
    with pytest.raises(SourceUnreadableError, match=r"row 1,048,576, column 16,384, with 2 cells"):
        read(source)


def test_a_corner_reached_without_addresses_is_refused_too(make_workbook):
    cells = "<c><v>1</v></c>" * 30
    source = make_workbook(
        f'<sheetData><row r="1048576">{cells}<c r="AZ1"><v>1</v></c></row></sheetData>'
    )
    with pytest.raises(SourceUnreadableError, match="places are laid out"):
        read(source)


def test_a_wrong_dimension_and_far_blank_styles_do_no_harm(make_workbook):
    source = make_workbook(
        '<dimension ref="A1:XFD1048576"/><sheetData><row r="2"><c r="B2"><v>7</v></c></row>'
        '<row r="1048576"><c r="XFD1048576" s="0"/></row></sheetData>'
    )
    [batch] = read(source)
    assert batch.cells.columns == ["row", "2"]
    assert batch.cells.rows() == [(1, None), (2, "7")]


@pytest.mark.parametrize(
    ("first", "column"),
    [
        ('<c r="B2"><f>1+1</f></c>', "3"),
        ('<c r="B2"><v></v></c>', "3"),
        ('<c r="B2" t="str"><v></v></c>', "3"),
        ('<c r="B2" t="inlineStr"><is><t>x</t></is></c>', "2"),
        ('<c r="B2" t="e"><v>#N/A</v></c>', "2"),
        ('<c r="B2" t="b"><v>1</v></c>', "2"),
    ],
)
def test_columns_keep_their_numbers(make_workbook, first, column):
    [batch] = read(
        make_workbook(
            f'<sheetData><row r="2">{first}</row>'
            '<row r="4"><c r="C4"><v>5</v></c></row></sheetData>'
        )
    )
    cells = batch.cells
    assert cells.filter(pl.col("row") == 4)["3"].to_list() == ["5"]
    filled = [name for name in cells.columns[1:] if cells[name].null_count() < cells.height]
    assert filled[0] == column


def test_cells_without_addresses_and_a_prefix(make_workbook):
    data = (
        "<x:sheetData><x:row><x:c/><x:c><x:v>1</x:v></x:c></x:row>"
        '<x:row r="3" hidden="1"><x:c r="B3" t="b"><x:v>0</x:v></x:c></x:row></x:sheetData>'
    )
    [batch] = read(make_workbook(data, prefix="x:"))
    assert batch.cells.rows() == [(1, "1"), (2, None), (3, "FALSE")]
    assert batch.cells.columns == ["row", "2"]
    assert batch.marks.rows() == [(3, None, "hidden", "row")]


def test_pieces_give_what_the_whole_gives(monkeypatch):
    rows = "".join(
        f'<row r="{n}"{" hidden=" + chr(34) + "1" + chr(34) if n % 7 == 0 else ""}>'
        f'<c r="A{n}" s="{n % 3}"><v>{n}</v></c><c r="D{n}" t="e"><v>#N/A</v></c></row>'
        for n in range(1, 200)
    )
    xml = f"<worksheet><sheetData>{rows}</sheetData></worksheet>".encode()
    wanted = sheet_scan.Wanted(frozenset({2}), {}, Colours(None, None))
    whole = sheet_scan.scan_sheet(io.BytesIO(xml), wanted)
    monkeypatch.setattr(sheet_scan, "_CHUNK", 97)
    assert sheet_scan.scan_sheet(io.BytesIO(xml), wanted) == whole
    assert whole.filled == 398
    assert len(whole.styled) == 66
    assert len(whole.signs) == 199


def workbook_bytes():
    out = io.BytesIO()
    book = openpyxl.Workbook()
    book.active["A1"] = "Part"
    book.save(out)
    return out.getvalue()


def test_a_cut_workbook_is_claimed_and_refused(make_source):
    source = make_source("cut.xlsx", workbook_bytes()[:3000])
    assert Spreadsheets().sniff(source) is not None
    with pytest.raises(SourceUnreadableError, match="damaged or incomplete"):
        read(source)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "save it as .xlsx"),
        (
            "locked.xlsx",
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
            + bytes(600)
            + "EncryptedPackage".encode("utf-16-le"),
            "locked with a password",
        ),
        ("page.xlsx", "<html><table></table></html>", "is none"),
        ("text.xlsx", "Part,Qty\nHinge,1\n", "rename it to .csv"),
    ],
)
def test_files_that_are_no_workbook_are_claimed_weakly_and_refused(
    make_source, name, content, words
):
    source = make_source(name, content)
    assert Spreadsheets().sniff(source).strength == 0.1
    with pytest.raises(SourceUnreadableError, match=words):
        read(source)


def test_a_letter_named_like_a_workbook_is_refused(make_source):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        archive.writestr("word/document.xml", "<document/>")
    source = make_source("letter.xlsx", out.getvalue())
    with pytest.raises(SourceUnreadableError, match="no workbook"):
        read(source)
    assert Spreadsheets().sniff(make_source("letter.docx", out.getvalue())) is None


def test_a_workbook_of_another_name_is_read(make_source):
    source = make_source("stock.csv", workbook_bytes())
    assert Spreadsheets().sniff(source).strength == 0.8
    assert grid(source) == [["Part"]]


def test_a_damaged_sheet_is_refused(make_workbook):
    with pytest.raises(SourceUnreadableError, match="damaged"):
        read(make_workbook('<sheetData><row r="1"><c r="A1"><v>1</v></row>'))


def test_what_unpacks_beyond_the_limit_is_refused(make_workbook, monkeypatch):
    monkeypatch.setattr(zipped, "MOST_UNPACKED", 100_000)
    source = make_workbook("<sheetData/>" + " " * 200_000)
    with pytest.raises(SourceUnreadableError, match="unpacks to more"):
        read(source)


def test_a_size_stated_too_small_does_not_hide_the_real_one(
    make_workbook, make_source, monkeypatch
):
    data = make_workbook("<sheetData/>" + " " * 200_000).path.read_bytes()
    at = data.rindex(b"xl/worksheets/sheet1.xml") - 46 + 24
    assert data[at - 24 : at - 20] == b"PK\x01\x02"
    source = make_source("lies.xlsx", data[:at] + (50).to_bytes(4, "little") + data[at + 4 :])
    monkeypatch.setattr(zipped, "MOST_UNPACKED", 100_000)
    with pytest.raises(SourceUnreadableError, match="unpacks to more"):
        read(source)

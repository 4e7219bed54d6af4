"""Files that are broken, locked, huge or malicious: read or refused in words, the good one loaded.

Each is imported with one good file beside it, within limits of time and memory. That a package
which lies about its size is counted as it unpacks is tested with the reader.
"""

from __future__ import annotations

import csv
import io
import json
import resource
import struct
import time
import zipfile

import pytest
from click.testing import CliRunner

from partmuster.cli import main
from partmuster.host import source_file
from partmuster.reading_apart.worker import ReadingApart

GOOD = "What,Qty,Whose\nDynamo,2,Bob Birch\n"
HEADINGS = ("What", "Qty", "Whose")
ASKED = (("holders", "horn"), ("questions",), ("mending",), ("sources",))
#: Most that one bad file may take: seconds, and memory of this process and of the reading one.
SECONDS, HERE_MB, APART_MB = 30, 1000, 4500  # of processor time, so that others do not count

_TYPES = (
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" '
    'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/>'
    '<Override PartName="/xl/workbook.xml" ContentType='
    '"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>'
    '<Override PartName="/xl/worksheets/sheet1.xml" ContentType='
    '"application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>'
)
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_RELS = "http://schemas.openxmlformats.org/package/2006/relationships"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def rels(*links):
    inside = "".join(
        f'<Relationship Id="rId{n}" Type="{_OFFICE}/{kind}" Target="{target}"{more}/>'
        for n, (kind, target, more) in enumerate(links, start=1)
    )
    return f'<Relationships xmlns="{_RELS}">{inside}</Relationships>'


def letters(number):
    name = ""
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(65 + rest) + name
    return name


def cell(row, column, text):
    if isinstance(text, int):
        return f'<c r="{letters(column)}{row}"><v>{text}</v></c>'
    safe = text.replace("&", "&amp;").replace("<", "&lt;")
    return f'<c r="{letters(column)}{row}" t="inlineStr"><is><t>{safe}</t></is></c>'


def sheet_xml(rows, start="", end=""):
    """Return a sheet: rows as a list of lists, or finished XML."""
    if not isinstance(rows, str):
        rows = "".join(
            f'<row r="{r}">{"".join(cell(r, c, text) for c, text in enumerate(row, 1))}</row>'
            for r, row in enumerate(rows, 1)
        )
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{start}<worksheet xmlns="{_MAIN}" '
        f'xmlns:r="{_OFFICE}"><sheetData>{rows}</sheetData>{end}</worksheet>'
    )


def workbook(sheet, parts=None, links=()):
    """Return the bytes of a workbook of one sheet, given as XML, with more parts if wanted."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as archive:
        archive.writestr("[Content_Types].xml", _TYPES)
        archive.writestr("_rels/.rels", rels(("officeDocument", "xl/workbook.xml", "")))
        archive.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><sheets>'
            '<sheet name="Spares" sheetId="1" r:id="rId1"/></sheets></workbook>',
        )
        archive.writestr(
            "xl/_rels/workbook.xml.rels", rels(("worksheet", "worksheets/sheet1.xml", ""), *links)
        )
        archive.writestr("xl/worksheets/sheet1.xml", sheet)
        for name, content in (parts or {}).items():
            archive.writestr(name, content)
    return out.getvalue()


ROWS = [list(HEADINGS), ["Horn", 1, "Cy Clay"], ["Winch", 3, "Ann Alder"]]


@pytest.fixture
def bad(small):
    """Import a bad file with the good one beside it; return what became of the bad one."""

    def load(name, content):
        small.write(name, content)
        small.write("good.csv", GOOD)
        began, before = time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        report = small.load()
        took = time.process_time() - began
        grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
        assert took < SECONDS
        assert grown / 1024 < HERE_MB
        assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024 < APART_MB
        files = {file.name: file for file in report.files}
        good, found = files["good.csv"], files[name]
        assert (good.outcome, good.loaded, good.not_data) == ("new", 1, 1)
        assert found.adds_up
        refused = found.outcome in ("failed", "not claimed", "asks", "partial")
        assert report.failed == refused, "the exit code tells the truth"
        if refused:
            assert name in found.message
            assert len(found.message) < 600
        else:
            stored = small.rows(
                "SELECT count(*) FROM raw_line WHERE source_id = ?", found.source_id
            )
            assert stored == [(found.read,)]
        return found, report, small

    return load


def words(small, found):
    """Return the words that the club holds of a source's raw lines."""
    return [
        text for (text,) in small.rows(
            "SELECT words FROM raw_line WHERE source_id = ? ORDER BY raw_number", found.source_id
        )
    ]  # fmt: skip


def asked(small, *arguments):
    done = CliRunner().invoke(main, ["--club", str(small.club.folder), *arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


def test_an_empty_file_is_told_and_never_passed_over(bad):
    found, report, _ = bad("nothing.csv", b"")
    assert found.outcome == "new"
    assert found.not_data + len([p for p in report.problems if p.file == "nothing.csv"]) > 0


def ole(*names):
    """Return a compound file of the old kind whose directory names some streams."""
    header = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(16)
    header += struct.pack("<HHHHH", 0x3E, 3, 0xFFFE, 9, 6) + bytes(6)
    header += struct.pack("<IIIIIIIII", 0, 1, 1, 0, 4096, 0xFFFFFFFE, 0, 0xFFFFFFFE, 0)
    header += struct.pack("<I", 0) + b"\xff" * (512 - 80)
    fat = struct.pack("<II", 0xFFFFFFFD, 0xFFFFFFFE) + b"\xff" * 504
    entries = b""
    for name in ("Root Entry", *names):
        text = name.encode("utf-16-le")
        kind = 5 if name == "Root Entry" else 2
        entries += text.ljust(64, b"\0") + struct.pack("<HBB", len(text) + 2, kind, 1)
        entries += b"\xff" * 12 + bytes(48)
    return header + fat + entries.ljust(1024, b"\0") + bytes(4096)


def test_a_workbook_with_a_password_is_refused_with_what_to_do(bad):
    found, _, _ = bad("locked.xlsx", ole("EncryptionInfo", "EncryptedPackage"))
    assert found.outcome == "failed"
    assert "password" in found.message


@pytest.mark.parametrize("share", [0.3, 0.7, 0.97])
def test_a_workbook_that_is_cut_off_is_refused(bad, share):
    whole = workbook(sheet_xml(ROWS * 50))
    found, _, _ = bad("cut.xlsx", whole[: int(len(whole) * share)])
    assert found.outcome == "failed"
    assert "damaged" in found.message


PDF = b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n<</Type/Catalog>>\nendobj\n" + bytes(range(256)) * 40


@pytest.mark.parametrize("name", ["list.xlsx", "list.csv", "list.txt", "list"])
def test_a_document_of_another_kind_by_a_wrong_name_is_refused(bad, name):
    found, _, _ = bad(name, PDF)
    assert found.outcome in ("failed", "not claimed")


LAST = 1_048_576


def test_a_sheet_formatted_to_the_last_possible_row_is_read_with_what_stands_there(bad):
    rows = "".join(
        f'<row r="{r}" ht="15">{"".join(cell(r, c, text) for c, text in enumerate(ROWS[r - 1], 1))}'
        "</row>"
        for r in range(1, 4)
    )
    rows += "".join([f'<row r="{r}" ht="15"/>' for r in range(4, LAST)])
    rows += f'<row r="{LAST}">{cell(LAST, 1, "Idler")}{cell(LAST, 2, 1)}</row>'
    found, _, small = bad("formatted.xlsx", workbook(sheet_xml(rows)))
    assert (found.outcome, found.read) == ("new", 4)
    assert small.rows("SELECT row FROM raw_line WHERE words LIKE '%Idler%'") == [(LAST,)]


def test_all_possible_rows_are_read_within_the_limits(small):
    filled = "".join([f'<row r="{r}"><c r="A{r}"><v>{r}</v></c></row>' for r in range(1, LAST + 1)])
    path = small.write("all.xlsx", workbook(sheet_xml(filled)))
    with ReadingApart() as apart:
        [grid] = apart.read(small.host.importers[0], source_file(path)).batches
    assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024 < APART_MB
    assert grid.cells.height == LAST
    assert grid.cells.row(-1) == (LAST, str(LAST))


def test_one_cell_in_the_last_row_and_column_does_not_fill_the_memory(bad):
    rows = sheet_xml(ROWS).replace(
        "</sheetData>", f'<row r="{LAST}">{cell(LAST, 16384, "stray")}</row></sheetData>'
    )
    found, _, small = bad("stray.xlsx", workbook(rows))
    if found.outcome == "failed":
        assert "1,048,576" in found.message
    else:
        assert found.read >= 4
        assert any("stray" in text for text in words(small, found))


def test_a_workbook_that_unpacks_far_beyond_its_size_is_refused(bad):
    blanks = sheet_xml(ROWS).replace("<sheetData>", "<sheetData>" + " " * 150_000_000)
    found, _, _ = bad("bomb.xlsx", workbook(blanks))
    assert found.outcome == "failed"
    assert "unpacks" in found.message


def test_three_hundred_columns_are_read_with_every_row(bad):
    wide = [[*HEADINGS, *(f"Remark {n}" for n in range(297))]]
    wide += [
        ["Horn", str(n), f"Cy Clay {n}", *(f"r{n}.{m}" for m in range(297))] for n in range(20)
    ]
    text = "".join(",".join(row) + "\n" for row in wide)
    found, _, small = bad("wide.csv", text)
    assert found.outcome == "new"
    assert found.read == 21
    assert "r19.296" in words(small, found)[-1]


FORMULAS = ['=HYPERLINK("http://example.invalid","Horn")', "+1+1", "-2+3", "@SUM(A1:A9)"]


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_text_that_looks_like_a_formula_stays_text_and_goes_out_harmless(bad, kind):
    rows = [["What", "Qty", "Whose", "Remarks"]]
    rows += [["Horn", str(n), f"Cy Clay {n}", text] for n, text in enumerate(FORMULAS, 1)]
    rows += [[text, "1", text, "plain"] for text in FORMULAS]
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    found, _, small = bad(
        f"f.{kind}", text.getvalue() if kind == "csv" else workbook(sheet_xml(rows))
    )
    assert found.outcome == "new"
    for formula, line in zip(FORMULAS, words(small, found)[1:5], strict=True):
        assert formula in line
    shown = 0
    raw = [("trace", f"{found.source_id}.1.{number}") for number in range(1, 10)]
    for question in (*ASKED, *raw):
        for row in csv.reader(io.StringIO(asked(small, *question, "--format", "csv").stdout)):
            for value in row:
                shown += value.startswith("'")
                assert not value.startswith(("=", "@")), value
                assert value not in FORMULAS
    assert shown >= len(FORMULAS), "the raw lines that begin like formulas were on their way out"


def test_macros_are_left_alone_and_the_sheet_is_read(bad):
    macros = {"xl/vbaProject.bin": ole("VBA", "AutoOpen")}
    found, _, _ = bad("macros.xlsm", workbook(sheet_xml(ROWS), macros))
    assert (found.outcome, found.read, found.loaded) == ("new", 3, 2)


def test_links_to_other_files_are_never_followed(bad):
    link = (
        f'<externalLink xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><externalBook r:id="rId1"/>'
        "</externalLink>"
    )
    outside = rels(
        ("externalLinkPath", "http://example.invalid/prices.xlsx", ' TargetMode="External"')
    )
    rows = sheet_xml(ROWS).replace("<v>3</v>", "<f>[1]Prices!A1</f><v>3</v>")
    parts = {
        "xl/externalLinks/externalLink1.xml": link,
        "xl/externalLinks/_rels/externalLink1.xml.rels": outside,
    }
    links = [("externalLink", "externalLinks/externalLink1.xml", "")]
    found, _, small = bad("links.xlsx", workbook(rows, parts, links))
    assert (found.outcome, found.read, found.loaded) == ("new", 3, 2)
    assert small.rows("SELECT quantity_text FROM holding WHERE description = 'Winch'") == [("3",)]


LAUGHS = "<!DOCTYPE worksheet [" + '<!ENTITY l0 "ha">' + "".join(
    f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10)
) + "]>"  # fmt: skip


@pytest.mark.parametrize("part", ["sheet", "styles", "strings"])
def test_entities_that_grow_without_end_are_refused_or_left_out(bad, part):
    rows = sheet_xml(ROWS)
    laughing = f"<sst xmlns='{_MAIN}'><si><t>&l9;</t></si></sst>"
    if part == "sheet":
        book = workbook(sheet_xml(ROWS, LAUGHS).replace(">Horn<", ">&l9;<"))
    elif part == "strings":
        book = workbook(
            rows.replace('t="inlineStr"><is><t>Horn</t></is>', 't="s"><v>0</v>'),
            {"xl/sharedStrings.xml": LAUGHS.replace("worksheet", "sst") + laughing},
            [("sharedStrings", "sharedStrings.xml", "")],
        )
    else:
        style = (
            LAUGHS.replace("worksheet", "styleSheet")
            + f"<styleSheet xmlns='{_MAIN}'>&l9;</styleSheet>"
        )
        book = workbook(rows, {"xl/styles.xml": style}, [("styles", "styles.xml", "")])
    found, _, small = bad("laughs.xlsx", book)
    if found.outcome != "failed":
        assert all(len(text) < 1000 for text in words(small, found))


def test_a_file_named_by_an_entity_is_never_read(bad, tmp_path):
    secret = tmp_path / "secret.txt"
    secret.write_text("the gate code is 4711")
    doctype = f'<!DOCTYPE worksheet [<!ENTITY secret SYSTEM "{secret.as_uri()}">]>'
    book = workbook(sheet_xml(ROWS, doctype).replace(">Horn<", ">&secret;<"))
    found, report, small = bad("entity.xlsx", book)
    known = small.rows("SELECT words FROM raw_line")
    assert "4711" not in str(known) + str(report)
    assert found.outcome == "failed"
    assert "document type" in found.message


def test_null_bytes_do_not_cut_a_file_short(bad):
    text = b"What,Qty,Whose\nHo\0rn,1,Cy\0 Clay\nWinch,2,Ann Alder\n\0\nIdler,3,Cy Clay\n"
    found, _, small = bad("nulls.csv", text)
    assert found.outcome == "new"
    assert any("Idler" in line for line in words(small, found))
    assert found.read >= 4


CONTROLS = "Horn \x1b[2J\x1b]0;owned\x07 \u202egnip\u202c \x9b31m \u2066x"


@pytest.mark.parametrize("name", ["controls.csv", "con\x1b[2Jtrols\u202e.csv"])
def test_controls_in_cells_and_names_never_reach_a_terminal(bad, name):
    rows = [f"{CONTROLS},1,Cy {CONTROLS},שלום {CONTROLS}"]
    rows += [f"Winch with a handle,{n},Ann Alder,a plain remark of some length" for n in range(40)]
    found, _, small = bad(name, "What,Qty,Whose,Remarks\n" + "".join(f"{row}\n" for row in rows))
    assert found.outcome == "new"
    signs = set(CONTROLS + name) & set("\x1b\x07\x9b\u202e\u202c\u2066")
    shown = ""
    for question in (
        *ASKED, ("trace", f"{found.source_id}.1.2"), ("layout", found.source_id),
        ("import", "--again", str(small.sheets)),
    ):  # fmt: skip
        told = asked(small, *question)
        assert signs & set(told.output) == set(), question
        shown += told.output
        told = asked(small, *question, "--format", "json")
        assert set("\x1b\x07\x9b") & set(told.output) == set(), question
        json.loads(told.stdout)
    # of a name a control's picture is shown; in cells a control is a blank from the start
    assert ("␛[2J" if "\x1b" in name else "[2J") in shown
    assert "שלום" in shown


def test_line_ends_of_every_kind_in_one_file_end_lines(bad):
    found, _, _ = bad(
        "ends.csv", b"What,Qty,Whose\r\nHorn,1,Cy Clay\nWinch,2,Ann Alder\rIdler,3,Cy Clay\r\n"
    )
    assert (found.outcome, found.read, found.loaded) == ("new", 4, 3)


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_cell_of_ten_million_letters_is_read_or_refused(bad, kind):
    rows = [[*HEADINGS, "Remarks"], ["Horn", "1", "Cy Clay", "x" * 10_000_000]]
    rows += [["Winch", "2", "Ann Alder", ""]]
    text = "".join(",".join(f'"{value}"' for value in row) + "\n" for row in rows)
    found, _, small = bad(f"long.{kind}", text if kind == "csv" else workbook(sheet_xml(rows)))
    if found.outcome == "failed":
        assert "cell" in found.message
    else:
        assert found.read == 3
        assert len(asked(small, "holders", "horn").output) < 100_000


@pytest.mark.parametrize("text", [
    "What,How many\n\x1b[31mDynamo\x1b[0m,1\n", "Dynamo\x07,1\n", "What\x0bqty,No\x1f\nHorn,1\n",
])  # fmt: skip
def test_a_short_table_with_a_few_signs_of_control_is_read(bad, text):
    found, _, _ = bad("short.csv", text)
    assert found.outcome == "new"
    assert found.read == text.count("\n")


@pytest.mark.parametrize(
    "data", [b"\x01\x02\x03\x04Dynamo\x05\x06\x07\x0e", b"\x7fELF\x01\x01\x02\x03"]
)
def test_a_few_bytes_of_a_program_are_no_table(bad, data):
    found, _, _ = bad("short.csv", data)
    assert found.outcome in ("failed", "not claimed")


def test_what_nobody_reads_is_not_called_unchanged_by_another_name(small):
    for name in ("a.csv", "b.xlsx", "good.csv"):
        small.write(name, GOOD if name == "good.csv" else "%PDF-1.4\n" + "\x01\x02" * 500)
    outcomes = {file.name: file.outcome for file in small.load().files}
    assert outcomes == {"a.csv": "not claimed", "b.xlsx": "failed", "good.csv": "new"}


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_a_cell_of_very_many_words_in_the_column_of_names_is_read_in_time(bad, kind):
    """Such a cell was once looked through for each run of words that might be a heading."""
    many = "Horn " * (20_000 if kind == "csv" else 6_000)  # no cell of a workbook holds more
    rows = [list(HEADINGS), [many, "1", "Bob Birch"]]
    text = "".join(",".join(row) + "\n" for row in rows)
    content = workbook(sheet_xml(rows)) if kind == "xlsx" else text
    found, _report, _small = bad(f"long.{kind}", content)
    assert (found.outcome, found.read) == ("new", 2)


def test_headings_that_stand_twice_lose_neither_column(bad):
    found, _, small = bad(
        "twice.csv", "What,Qty,Qty,Whose\nHorn,1,2,Cy Clay\nWinch,3,4,Ann Alder\n"
    )
    assert found.outcome == "new"
    assert found.read == 3
    for value in ("1", "2", "3", "4"):
        assert any(value in line for line in words(small, found)[1:])


def test_a_sheet_of_pictures_only_is_said_to_hold_no_table(bad):
    drawing = {
        "xl/drawings/drawing1.xml": "<d/>",
        "xl/media/image1.png": b"\x89PNG\r\n\x1a\n" + bytes(2000),
        "xl/worksheets/_rels/sheet1.xml.rels": rels(("drawing", "../drawings/drawing1.xml", "")),
    }
    sheet = sheet_xml("", end='<drawing r:id="rId1"/>')
    found, _, small = bad("pictures.xlsx", workbook(sheet, drawing))
    assert (found.outcome, found.loaded) == ("new", 0)
    assert (found.read, found.not_data) == (1, 1)
    [(reason,)] = small.rows("SELECT reason FROM raw_line WHERE source_id = ?", found.source_id)
    assert "empty" in reason or "picture" in reason

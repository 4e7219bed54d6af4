"""The workbook of a document: read back by two readers that had no part in writing it."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from xml.etree import ElementTree as ET

import fastexcel
import openpyxl
import polars as pl
import pytest

from partmuster_plugins.publishers.workbook import Workbook, sheet
from tests.publishing.hard_views import (
    HARD_TEXTS,
    LONGEST,
    TablesView,
    column,
    hard_view,
    table,
)
from tests.publishing.sample_views import SampleView

HEAD = 4  # the row of headings, counted from 1


def published(view, folder):
    [path] = Workbook().publish(view, folder)
    return path


@pytest.fixture(scope="module")
def view():
    return SampleView("registrar", 40)


@pytest.fixture(scope="module")
def path(view, tmp_path_factory):
    return published(view, tmp_path_factory.mktemp("book"))


@pytest.fixture(scope="module")
def book(path):
    return openpyxl.load_workbook(path)


@pytest.fixture(scope="module")
def hard(tmp_path_factory):
    return published(hard_view(), tmp_path_factory.mktemp("hard"))


def sheet_of(book, section):
    return book[section.name.replace("_", " ").replace("-", " ").capitalize()]


def cells(sheet):
    return [
        value for row in sheet.iter_rows(values_only=True) for value in row if value is not None
    ]


def expected(value):
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value


def as_read(value):
    return value.date() if isinstance(value, dt.datetime) else value


def test_a_cover_comes_first_then_a_sheet_a_section(book, view):
    names = book.sheetnames
    assert names[0] == "Cover"
    sections = [sheet_of(book, one).title for one in view.sections()]
    assert [name for name in names if name in sections] == sections
    assert {one.sheet_state for one in book.worksheets} == {"visible"}


def test_the_cover_tells_what_it_is_for_whom_and_where_everything_is(book, view):
    cover = book["Cover"]
    told = cells(cover)
    words = "\n".join(map(str, told))
    for one in (view.club, view.title, "registrar", "31 October 2026", *view.head):
        assert one in words
    links = {
        (cell.value, cell.hyperlink.location)
        for row in cover.iter_rows()
        for cell in row
        if cell.hyperlink
    }
    for section in view.sections():
        name = sheet_of(book, section).title
        assert (name, f"'{name}'!A1") in links
        assert section.title in told
    assert told.count(40) == len(view.sections())


def test_each_sheet_carries_title_lead_and_its_rows_with_their_types(book, view):
    for section in view.sections():
        one = sheet_of(book, section)
        assert one["A1"].value == section.title
        assert one["A2"].value == section.lead
        rows = list(one.iter_rows(min_row=HEAD, values_only=True))
        assert list(rows[0]) == [about.heading for about in section.columns]
        frame = view.ask(section.name)
        assert len(rows) - 1 == frame.height
        for read, given in zip(rows[1:], frame.iter_rows(), strict=True):
            assert [as_read(value) for value in read] == [expected(value) for value in given]


def test_another_reader_finds_the_same_values(path, view):
    reader = fastexcel.read_excel(path)
    assert reader.sheet_names[0] == "Cover"
    for section in view.sections():
        name = section.name.replace("_", " ").replace("-", " ").capitalize()
        read = reader.load_sheet(name, header_row=HEAD - 1).to_polars()
        assert read.columns == [about.heading for about in section.columns]
        frame = view.ask(section.name)
        for about in section.columns:
            values = read[about.heading].to_list()
            if about.kind == "day":
                values = [as_read(value) for value in values]
            assert values == [expected(value) for value in frame[about.name]], about


def test_heads_stay_in_sight_and_rows_can_be_filtered(book, view):
    for section in view.sections():
        one = sheet_of(book, section)
        last = openpyxl.utils.get_column_letter(len(section.columns))
        assert re.fullmatch(rf"[AB]{HEAD + 1}", one.freeze_panes)
        assert one.auto_filter.ref == f"A{HEAD}:{last}{HEAD + 40}"


def test_every_sheet_prints_on_a4_with_heads_pages_and_audience(book, view):
    for one in book.worksheets:
        assert one.page_setup.paperSize == "9" or int(one.page_setup.paperSize) == 9
        footer = "".join(part.text or "" for part in (one.oddFooter.left, one.oddFooter.center,
                                                      one.oddFooter.right))  # fmt: skip
        assert "registrar" in footer
        assert "&P" in footer
        assert "&N" in footer
    for section in view.sections():
        one = sheet_of(book, section)
        assert one.page_setup.orientation == "landscape"
        assert one.sheet_properties.pageSetUpPr.fitToPage
        assert int(one.page_setup.fitToWidth or 1) == 1
        assert int(one.page_setup.fitToHeight) == 0
        assert one.print_title_rows in (f"${HEAD}:${HEAD}", f"{HEAD}:{HEAD}")


def test_a_printed_page_is_not_shrunk_until_nobody_can_read_it(book, view):
    for section in view.sections():
        one = sheet_of(book, section)
        last = re.findall(r"\$([A-Z]+)\$", one.print_area)[-1]
        printed = range(1, openpyxl.utils.column_index_from_string(last) + 1)
        wide = {}
        for dimension in one.column_dimensions.values():
            for n in range(dimension.min, dimension.max + 1):
                wide[n] = dimension.width
        assert sum(wide[n] for n in printed) <= 255, section.name
        assert all(wide[n] >= 5 for n in printed)


def test_numbers_shares_and_days_have_their_formats(book, view):
    for section in view.sections():
        one = sheet_of(book, section)
        for n, about in enumerate(section.columns, 1):
            shown = one.cell(HEAD + 1, n).number_format
            if about.kind == "day":
                assert shown == "yyyy-mm-dd"
            if about.kind == "share":
                assert shown == "0%"


def test_long_words_are_wrapped(book, view):
    section = next(one for one in view.sections() if one.name == "waiting")
    at = [about.name for about in section.columns].index("question") + 1
    assert sheet_of(book, section).cell(HEAD + 1, at).alignment.wrap_text


def test_the_properties_tell_the_club_and_no_clock(book, path, view):
    about = book.properties
    assert about.creator == about.lastModifiedBy == view.club
    assert about.title == view.title
    assert about.created.date() == about.modified.date() == view.as_of
    assert not about.keywords
    assert not about.description
    with zipfile.ZipFile(path) as parts:
        assert {one.date_time for one in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_the_same_view_gives_the_same_bytes(path, view, tmp_path):
    assert published(view, tmp_path).read_bytes() == path.read_bytes()
    assert [one.name for one in tmp_path.iterdir()] == [f"{view.file_name}.xlsx"]


def rules(sheet):
    return [
        (str(found.sqref), rule)
        for found in sheet.conditional_formatting
        for rule in found.rules
    ]  # fmt: skip


def test_what_to_look_at_is_marked_by_a_sign_and_the_cover_explains_it(tmp_path):
    days = [dt.date(2026, 10, 1), dt.date(2025, 10, 30), None]
    frame = pl.DataFrame({
        "part": ["a", "b", "c"], "state": ["new", "not looked at", "missing"],
        "new": [True, False, None], "low": [0.25, 1.0, None], "seen_on": days,
        "caution": ["asbestos", None, None],
    })  # fmt: skip
    shown = table(
        "lacks", frame, column("part"), column("state"), column("new", "yes-no"),
        column("low", "share"), column("seen_on", "day"), column("caution"),
    )  # fmt: skip
    book = openpyxl.load_workbook(published(TablesView((shown,)), tmp_path))
    found = rules(book["Lacks"])
    signs = {
        (place.split(":")[0][0], rule.dxf.numFmt.formatCode)
        for place, rule in found
        if rule.dxf and rule.dxf.numFmt
    }
    assert signs == {
        ("B", '"+ "@'), ("B", '"? "@'), ("C", '"+ "@'), ("E", 'yyyy-mm-dd" old"'), ("F", '"! "@'),
    }  # fmt: skip
    [(place, bar)] = [(place, rule.dataBar) for place, rule in found if rule.type == "dataBar"]
    assert place == "D5:D7"
    assert [(end.type, end.val) for end in bar.cfvo] == [("num", 0), ("num", 1)]
    assert (bar.minLength, bar.maxLength) == (0, 100)
    legend = "\n".join(str(value) for value in cells(book["Cover"]))
    for sign in ("! ", "+ ", "? ", " old", "bar"):
        assert sign in legend


def test_a_legend_explains_only_marks_that_there_are(tmp_path):
    shown = table("parts", pl.DataFrame({"part": ["a"]}), column("part"))
    book = openpyxl.load_workbook(published(TablesView((shown,)), tmp_path))
    assert not [
        value for value in cells(book["Cover"]) if str(value).startswith(("! ", "+ ", "? "))
    ]
    assert rules(book["Parts"]) == []


def test_every_section_with_a_chart_is_drawn_from_its_own_cells(book, view):
    drawn = [chart for one in book.worksheets for chart in one._charts]
    with_chart = [one for one in view.sections() if one.chart]
    assert len(drawn) == len(with_chart) > 0
    for chart, section in zip(drawn, with_chart, strict=True):
        names = [about.name for about in section.columns]
        title = sheet_of(book, section).title
        places = {
            openpyxl.utils.get_column_letter(names.index(name) + 1) for name in section.chart[1:]
        }
        said = {re.fullmatch(r"'?(.+?)'?!\$([A-Z]+)\$5:\$[A-Z]+\$\d+", one.val.numRef.f).groups()
                for one in chart.series}  # fmt: skip
        assert said == {(title, place) for place in places}


def test_a_picture_is_told_in_words_too(path):
    with zipfile.ZipFile(path) as parts:
        drawings = [n for n in parts.namelist() if re.match(r"xl/drawings/drawing\d+\.xml", n)]
        told = re.findall(r'descr="([^"]*)"', "".join(parts.read(n).decode() for n in drawings))
    assert len(told) == len([one for one in SampleView().sections() if one.chart])
    assert all(len(words) > 20 for words in told)


@pytest.mark.parametrize("audience", ["registrar", "members", "circulated"])
def test_sections_without_rows_say_what_that_means(audience, tmp_path):
    view = SampleView(audience, 0)
    book = openpyxl.load_workbook(published(view, tmp_path))
    for section in view.sections():
        one = sheet_of(book, section)
        assert section.if_empty in cells(one)
        assert not one._charts
    assert audience in "".join(str(value) for value in cells(book["Cover"]))


def test_a_document_without_sections_is_its_cover(tmp_path):
    book = openpyxl.load_workbook(published(TablesView(()), tmp_path))
    assert book.sheetnames[0] == "Cover"
    assert "Yard list, 31 October 2026" in cells(book["Cover"])


def as_shown(text):
    """What may stand in a cell of a text: line ends alike, controls as a mark, not too long."""
    if text is None:
        return None
    text = re.sub("\r\n?", "\n", text).replace("\t", " ")
    text = re.sub("[\x00-\x08\x0b-\x1f\ufffe\uffff]", "\ufffd", text)
    return text or None


def test_hard_texts_stay_text(hard):
    book = openpyxl.load_workbook(hard)
    one = book[book.sheetnames[1]]
    assert one["A1"].value == "=1+1"
    assert one["A1"].data_type == "s"
    for n, text in enumerate(HARD_TEXTS):
        for cell in (one.cell(HEAD + 1 + n, 1), one.cell(HEAD + 1 + n, 2)):
            assert cell.data_type in ("s", "inlineStr", "n")
            read = cell.value
            if text in (LONGEST, "😀" * 17000):
                assert text.startswith(read[:15000])
                assert 30_000 < len(read.encode("utf-16-le")) // 2 <= 32_767
                assert "cut" in read[-60:]
            elif text == "_x0041_ stays":
                # the format's own way to write what only looks like an escaped sign
                assert read.replace("_x005F_", "_") == text
            else:
                assert read == as_shown(text)


def test_what_looks_like_a_formula_stays_text_when_it_is_edited(hard):
    book = openpyxl.load_workbook(hard)
    one = book[book.sheetnames[1]]
    prefixed = {one.cell(HEAD + 1 + n, 1).quotePrefix for n in range(4)}
    assert prefixed == {True}
    assert not one.cell(HEAD + 1 + HARD_TEXTS.index("漢字"), 1).quotePrefix


def test_no_cell_of_a_hard_document_is_a_formula_or_an_unwanted_link(hard):
    with zipfile.ZipFile(hard) as parts:
        for name in parts.namelist():
            text = parts.read(name).decode("utf-8")
            ET.fromstring(text)  # well-formed
            assert "<f>" not in text
            assert "<f " not in text
            assert 'TargetMode="External"' not in text


def test_names_of_sheets_are_such_as_spreadsheet_programs_take(hard):
    names = openpyxl.load_workbook(hard).sheetnames
    assert len({name.casefold() for name in names}) == len(names)
    for name in names:
        assert 0 < len(name) <= 31
        assert not re.search(r"[\[\]:*?/\\']", name)
        assert name.casefold() != "history"


def test_what_stays_in_sight_leaves_room_for_rows(hard):
    one = openpyxl.load_workbook(hard).worksheets[1]
    assert sum(one.row_dimensions[row].height or 15 for row in range(1, HEAD + 1)) < 250


def test_footers_are_no_longer_than_the_format_takes(tmp_path):
    view = TablesView((), club="&" * 300, audience="& of all" * 20)
    with zipfile.ZipFile(published(view, tmp_path)) as parts:
        sheet = ET.fromstring(parts.read("xl/worksheets/sheet1.xml"))
    [footer] = [one.text for one in sheet.iter() if one.tag.endswith("oddFooter")]
    assert len(footer) <= 255
    assert footer.startswith("&L&&&&")
    assert footer.endswith("page &P of &N")


def test_hard_documents_are_read_by_the_other_reader(hard):
    reader = fastexcel.read_excel(hard)
    read = reader.load_sheet(1, header_row=HEAD - 1).to_polars()
    assert read.columns[0] == "=HYPERLINK(1)"
    assert read.height == len(HARD_TEXTS) - 2  # the last two say nothing


def test_days_and_numbers_that_a_workbook_cannot_hold_are_told_in_words(tmp_path):
    frame = pl.DataFrame({
        "built": [dt.date(1850, 5, 1), dt.date(1900, 2, 28), dt.date(1943, 2, 28)],
        "count": [float("nan"), float("inf"), 2.5],
        "big": [2**60, 1, None],
        "when": [dt.datetime(2026, 1, 2, 3, 4), None, None],  # noqa: DTZ001 - as frames hold them
        "many": ["1-3", "10+", None],
    })  # fmt: skip
    shown = table(
        "odd", frame, column("built", "day"), column("count", "number"), column("big", "number"),
        column("when", "day"), column("many", "number"),
    )  # fmt: skip
    one = openpyxl.load_workbook(published(TablesView((shown,)), tmp_path))["Odd"]
    rows = [[as_read(value) for value in row]
            for row in one.iter_rows(min_row=HEAD + 1, values_only=True)]  # fmt: skip
    assert rows == [
        ["1850-05-01", "not a number", str(2**60), dt.date(2026, 1, 2), "1-3"],
        ["1900-02-28", "not a number", 1, None, "10+"],
        [dt.date(1943, 2, 28), 2.5, None, None, None],
    ]


def test_more_rows_than_a_sheet_holds_go_on_in_the_next(tmp_path, monkeypatch):
    monkeypatch.setattr(sheet, "MOST_ROWS", 3)
    frame = pl.DataFrame({"part": [f"part {n}" for n in range(7)], "count": range(7)})
    shown = table(
        "parts", frame, column("part"), column("count", "number"), chart=("part", "count")
    )  # fmt: skip
    book = openpyxl.load_workbook(published(TablesView((shown,)), tmp_path))
    assert len([chart for one in book.worksheets for chart in one._charts]) == 1
    names = [name for name in book.sheetnames if name.startswith("Parts")]
    read = [book[name].cell(row, 1).value for name in names for row in range(HEAD + 1, HEAD + 4)]
    assert len(names) == 3
    assert [value for value in read if value] == frame["part"].to_list()


def test_what_a_column_means_is_told(book, view):
    told = cells(book["Columns"])
    for section in view.sections():
        for about in section.columns:
            assert about.meaning in told


def test_a_view_is_asked_once_for_each_section(tmp_path):
    view = hard_view()
    published(view, tmp_path)
    assert view.asked == [section.name for section in view.sections()]


def test_what_is_to_be_written_has_room_for_a_pen(tmp_path):
    words = column("remark", meaning="to be written: what was found")
    frame = pl.DataFrame({"part": ["a"], "remark": [None]}, schema_overrides={"remark": pl.String})
    shown = table("take", frame, column("part"), words)
    book = openpyxl.load_workbook(published(TablesView((shown,)), tmp_path))
    assert "(box)" in cells(book["Cover"])
    one = book["Take"]
    cell = one.cell(HEAD + 1, 2)
    assert one.column_dimensions["B"].width >= 20
    assert one.row_dimensions[HEAD + 1].height >= 28
    assert cell.border.left.style == cell.border.right.style == "thin"
    assert cell.number_format == "@"


#: The order in which the format wants the parts of a sheet; programs refuse any other.
ORDER = (
    "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "autoFilter",
    "mergeCells", "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions",
    "pageMargins", "pageSetup", "headerFooter", "rowBreaks", "ignoredErrors", "drawing",
)  # fmt: skip


@pytest.mark.parametrize("which", ["path", "hard"])
def test_sheets_keep_what_programs_refuse_to_open_otherwise(which, request):
    main = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
    with zipfile.ZipFile(request.getfixturevalue(which)) as parts:
        names = [name for name in parts.namelist() if name.startswith("xl/worksheets/sheet")]
        sheets = [ET.fromstring(parts.read(name)) for name in names]
    for one in sheets:
        places = [ORDER.index(part.tag.removeprefix(main)) for part in one]
        assert places == sorted(places)
        rows = one.findall(f"{main}sheetData/{main}row")
        numbers = [int(row.get("r")) for row in rows]
        assert numbers == sorted(set(numbers))
        for row in rows:
            assert float(row.get("ht", "15")) <= 409
            at = [openpyxl.utils.cell.coordinate_from_string(cell.get("r")) for cell in row]
            columns = [openpyxl.utils.column_index_from_string(letters) for letters, _ in at]
            assert columns == sorted(set(columns))
            assert {number for _, number in at} <= {int(row.get("r"))}
        for hint in one.iter(f"{main}dataValidation"):
            assert len(hint.get("promptTitle")) <= 32
            assert len(hint.get("prompt")) <= 255

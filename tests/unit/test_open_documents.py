"""Open documents (.ods): values, marks, and what is laid out of what is only said to repeat."""

from __future__ import annotations

import random

import fastexcel
import pytest

from partmuster.model import Grid, NotData, SourceUnreadableError
from partmuster_plugins.spreadsheets import open_sheet, zipped
from partmuster_plugins.spreadsheets.importer import Spreadsheets

from .sheet_files import document, marks_of, only_grid, read


def table(*rows, columns="<table:table-column/>", name="Stock"):
    return f'<table:table table:name="{name}">{columns}{"".join(rows)}</table:table>'


def row(*cells, more=""):
    return f"<table:table-row {more}>{''.join(cells)}</table:table-row>"


def words(text, more=""):
    return f'<table:table-cell office:value-type="string" {more}><text:p>{text}</text:p></table:table-cell>'  # noqa: E501 - one cell


def value(kind, said, shown="shown"):
    name = "value" if kind in {"float", "percentage", "currency"} else f"{kind}-value"
    return (
        f'<table:table-cell office:value-type="{kind}" office:{name}="{said}">'
        f"<text:p>{shown}</text:p></table:table-cell>"
    )


def style(name, properties="", parent="Default", family="table-cell"):
    return (
        f'<style:style style:name="{name}" style:family="{family}" '
        f'style:parent-style-name="{parent}">{properties}</style:style>'
    )


def fill(colour):
    return f'<style:table-cell-properties fo:background-color="{colour}"/>'


STRUCK = '<style:text-properties style:text-line-through-type="single"/>'
TWO_COLUMNS = '<table:table-column table:number-columns-repeated="2"/>'
EMPTY = "<table:table-cell/>"


@pytest.fixture
def ods(make_source):
    def make(tables, name="made.ods", **more):
        return make_source(name, document(tables, **more))

    return make


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        (value("float", "3"), "3"),
        (value("float", "3.0"), "3"),
        (value("float", "0.1"), "0.1"),
        (value("float", "9427000739421"), "9427000739421"),
        (value("percentage", "0.5"), "0.5"),
        (value("currency", "12.5"), "12.5"),
        (value("date", "2026-03-05"), "2026-03-05"),
        (value("date", "2026-03-05T00:00:00"), "2026-03-05"),
        (value("date", "2026-03-05T14:30:00.123"), "2026-03-05 14:30:00"),
        (value("time", "PT09H05M00S"), "09:05:00"),
        (value("time", "PT00H00M01,5S"), "00:00:01"),
        (value("boolean", "false"), "FALSE"),
        (words("00123"), "00123"),
        (words("#REF!", 'table:formula="of:=[.#REF!]"'), "#REF!"),
        ('<table:table-cell office:value-type="string" office:string-value="said"/>', "said"),
        ("<table:table-cell><text:p>untyped</text:p></table:table-cell>", "untyped"),
        (words('a<text:s text:c="3"/>b<text:tab/>c<text:line-break/>d'), "a   b\tc\nd"),
        (words("\n   one\n   line <text:span> of</text:span> words"), "one line of words"),
        (words("one</text:p><text:p>two"), "one\ntwo"),
        (words('<text:a xlink:href="mailto:x">ask</text:a> Al &amp; Bert'), "ask Al & Bert"),
        ("<table:covered-table-cell><text:p>under</text:p></table:covered-table-cell>", "under"),
    ],
)  # fmt: skip
def test_values_of_every_kind(ods, cell, text):
    grid = only_grid(ods(table(row(cell))))
    assert grid.cells.rows() == [(1, text)]
    assert marks_of(ods(table(row(cell)))) == []


def test_a_table_within_a_cell_is_words_of_that_cell(ods):
    inner = f"<table:table>{row(words('left'), words('right'))}</table:table>"
    cell = f"<table:table-cell><text:p>both</text:p>{inner}</table:table-cell>"
    assert only_grid(ods(table(row(cell, words("next"))))).cells.rows() == [
        (1, "both\nleft\nright", "next")
    ]


def test_looks_come_from_cell_row_column_and_parents(ods):
    styles = (
        style("base", fill("#ffff00"))
        + style("child", STRUCK, parent="base")
        + style("clear", fill("transparent"), parent="child")
        + style("green", fill("#00FF00"))
        + style("loop", parent="loop2")
        + style("loop2", parent="loop")
    )
    columns = (
        '<table:table-column table:default-cell-style-name="green"/>'
        '<table:table-column table:number-columns-repeated="3"/>'
    )
    sheet = table(
        row(words("a"), words("b"), words("c")),
        row(words("a", 'table:style-name="base"'), words("b", 'table:style-name="child"')),
        row(words("a", 'table:style-name="clear"'), words("b", 'table:style-name="loop"')),
        row(words("a"), words("b"), more='table:default-cell-style-name="base"'),
        row(EMPTY, words("b")),
        columns=columns,
    )
    assert marks_of(ods(sheet, styles=styles)) == [
        (2, 2, "struck", None),
        (3, 1, "struck", None),
        (2, None, "fill", "ffff00"),
        (4, None, "fill", "ffff00"),
        (1, 1, "fill", "00ff00"),
        (5, 1, "fill", "00ff00"),
    ]


def test_styles_shared_by_the_document_count(ods):
    shared = (
        '<office:document-styles xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
        'xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" '
        'xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0">'
        '<style:default-style style:family="table-cell">'
        '<style:text-properties fo:color="#ff0000"/></style:default-style>'
        f"{style('Gone', STRUCK)}</office:document-styles>"
    )
    source = ods(
        table(row(words("a", 'table:style-name="Gone"'), words("b")), columns=TWO_COLUMNS),
        **{"styles.xml": shared},
    )
    assert marks_of(source) == [(1, 1, "struck", None), (1, None, "ink", "ff0000")]


def test_runs_inherit_from_what_they_stand_in(ods):
    styles = (
        style("gone", STRUCK)
        + style("kept", '<style:text-properties style:text-line-through-style="none"/>',
                parent="", family="text")
        + style("cut", STRUCK, parent="", family="text")
        + style("red", '<style:text-properties fo:color="#ff0000"/>', parent="", family="text")
    )  # fmt: skip
    span = '<text:span text:style-name="{}">{}</text:span>'.format
    sheet = table(
        row(words(f"2 {span('kept', '1')}", 'table:style-name="gone"')),
        row(words(span("cut", f"old {span('red', 'paint')}"))),
        row(words(span("red", "all of it"))),
        row(words(f"a {span('cut', 'b')} c{span('nowhere', ' d')}")),
    )
    assert marks_of(ods(sheet, styles=styles)) == [
        (2, 1, "struck", None),
        (2, None, "struck", "row"),
        (1, 1, "partly-struck", "1"),
        (4, 1, "partly-struck", "a  c d"),
        (3, None, "ink", "ff0000"),
    ]


def test_repeated_cells_and_rows_are_laid_out_as_far_as_there_are_words(ods):
    styles = style("y", fill("#ffff00"))
    endless = 'table:number-columns-repeated="16384" table:style-name="y"'
    sheet = table(
        row(EMPTY, more='table:number-rows-repeated="2"'),
        row(words("x", 'table:number-columns-repeated="2"'), EMPTY, words("y"),
            more='table:number-rows-repeated="2" table:visibility="filter"'),
        row(EMPTY, f"<table:table-cell {endless}/>"),
        row(words("end")),
        row(f"<table:table-cell {endless}/>",
            more='table:number-rows-repeated="1048570" table:visibility="collapse"'),
        columns='<table:table-column table:number-columns-repeated="3"/><table:table-column '
        'table:visibility="collapse" table:number-columns-repeated="16381"/>',
    )  # fmt: skip
    grid = only_grid(ods(sheet, styles=styles))
    assert grid.cells.rows() == [
        (1, None, None, None, None),
        (2, None, None, None, None),
        (3, "x", "x", None, "y"),
        (4, "x", "x", None, "y"),
        (5, None, None, None, None),
        (6, "end", None, None, None),
    ]
    assert grid.marks.rows() == [
        (None, 4, "hidden", "column"),
        (3, None, "hidden", "row"),
        (4, None, "hidden", "row"),
        (5, 2, "fill", "ffff00"),
        (5, 3, "fill", "ffff00"),
        (5, 4, "fill", "ffff00"),
    ]


@pytest.mark.parametrize(
    "sheet",
    [
        table(row(words("x", 'table:number-columns-repeated="16384"'),
                  more='table:number-rows-repeated="1048576"')),
        table(row(words("x")), row(EMPTY, more='table:number-rows-repeated="1048574"'),
              row('<table:table-cell table:number-columns-repeated="16383"/>', words("y"))),
        table(*[row(words("x", 'table:number-columns-repeated="99999999"'),
                    more='table:number-rows-repeated="2000"')] * 3),
    ],
)  # fmt: skip
def test_what_repeats_beyond_all_measure_is_refused(ods, sheet):
    with pytest.raises(SourceUnreadableError, match="places are laid out"):
        read(ods(sheet))


def test_a_column_filled_to_the_end_is_read(ods):
    grid = only_grid(ods(table(row(words("Y"), more='table:number-rows-repeated="1048576"'))))
    assert grid.cells.height == 1_048_576


def test_many_coloured_empty_cells_are_decoration(ods, monkeypatch):
    sheet = table(
        row(
            words("a"), '<table:table-cell table:number-columns-repeated="9" table:style-name="y"/>'
        ),
        row(*[EMPTY] * 9, words("b")),
    )
    source = ods(sheet, styles=style("y", fill("#ffff00")))
    assert len(marks_of(source)) == 9
    monkeypatch.setattr(open_sheet, "MOST_EMPTY_FILLS", 8)
    assert marks_of(source) == []


def test_drawings_comments_and_sheets_of_other_files(ods):
    chart = '<draw:frame><draw:object xlink:href="./Object 1"/><draw:image/></draw:frame>'
    shape = "<draw:custom-shape><text:p>Row 3</text:p></draw:custom-shape><draw:line/>"
    note = (
        "<office:annotation><dc:creator>Al</dc:creator><text:p>seen</text:p><text:p>1987</text:p>"
        "</office:annotation>"
    )
    batches = read(
        ods(
            table(row(f"<table:table-cell>{note}</table:table-cell>"), name="Notes only")
            + table(
                f"<table:shapes>{shape}</table:shapes>",
                row(f"<table:table-cell>{chart}<text:p>Lamp</text:p></table:table-cell>"),
            )
            + table(row(words("secret")), name="'file:///other.ods'#$Sheet1")
        )
    )
    empty, grid, drawn, outside = batches
    assert empty == NotData("the sheet is empty", sheet="Notes only", words="seen\n1987")
    assert isinstance(grid, Grid)
    assert grid.cells.rows() == [(1, "Lamp")]
    assert drawn.reason.endswith("not read: 1 chart, 1 text box, 1 shape")
    assert drawn.words == "Row 3"
    assert outside == NotData(
        "a copy of another file's sheet, kept for links", sheet="'file:///other.ods'#$Sheet1"
    )


def test_stored_and_missing_values_of_formulas(ods):
    sheet = table(
        row('<table:table-cell table:formula="of:=1+1"/>', words("", 'table:formula="of:=&quot;"'),
            value("float", "2").replace(" office", ' table:formula="of:=1+1" office', 1))
    )  # fmt: skip
    grid = only_grid(ods(sheet))
    assert grid.cells.rows() == [(1, "2")]
    assert grid.cells.columns == ["row", "3"]
    assert grid.marks.rows() == [(1, 1, "formula", "=1+1")]


def test_what_is_no_whole_open_spreadsheet_is_refused(make_source, ods):
    letter = "application/vnd.oasis.opendocument.text"
    source = ods("", kind=letter, **{"content.xml": "<x/>"})
    assert Spreadsheets().sniff(source).strength == 0.1
    with pytest.raises(SourceUnreadableError, match="another sort of document"):
        read(source)
    assert Spreadsheets().sniff(ods("", name="letter.odt", kind=letter)) is None
    whole = document(table(row(words("a"))))
    with pytest.raises(SourceUnreadableError, match="cut off"):
        read(make_source("cut.ods", whole[:-50]))
    with pytest.raises(SourceUnreadableError, match=r"content\.xml"):
        read(ods("", **{"content.xml": "<office:x>"}))
    locked = (
        '<m:manifest xmlns:m="urn:m"><m:file-entry><m:encryption-data/></m:file-entry></m:manifest>'
    )
    with pytest.raises(SourceUnreadableError, match="locked with a password"):
        read(ods("", **{"META-INF/manifest.xml": locked}))


@pytest.mark.parametrize("part", ["content.xml", "styles.xml", "meta.xml"])
def test_a_document_type_of_its_own_is_refused(ods, part):
    bomb = (
        '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
        '<!ENTITY c SYSTEM "file:///etc/hostname">]><x>&b;&c;</x>'
    )
    with pytest.raises(SourceUnreadableError, match="document type"):
        read(ods(table(row(words("a"))), **{part: bomb}))


def test_what_unpacks_beyond_the_limit_is_refused(ods, monkeypatch):
    monkeypatch.setattr(zipped, "MOST_UNPACKED", 100_000)
    with pytest.raises(SourceUnreadableError, match="unpacks to more"):
        read(ods(table(row(words("x" * 200_000)))))


@pytest.mark.parametrize("seed", range(20))
def test_no_cell_is_lost_against_another_reader(ods, seed):
    rng = random.Random(seed)
    kinds = [
        lambda: words(rng.choice(["Lamp", "Hinge, LH", "½ set", "a  b".replace("  ", " ")])),
        lambda: value("float", rng.choice(["3", "2.5", "-7", "1234567"])),
        lambda: value("date", rng.choice(["2026-03-05", "1987-12-31"])),
        lambda: words("same", f'table:number-columns-repeated="{rng.randrange(1, 4)}"'),
        lambda: f'<table:table-cell table:number-columns-repeated="{rng.randrange(1, 4)}"/>',
    ]
    rows = [
        row(
            *(rng.choice(kinds)() for _ in range(rng.randrange(1, 7))),
            more=f'table:number-rows-repeated="{rng.choice([1, 1, 1, 2, 3])}"',
        )
        for _ in range(rng.randrange(1, 20))
    ]
    source = ods(table(row(EMPTY, words("Part")), *rows))
    grid = only_grid(source)
    other = fastexcel.read_excel(source.path)
    frame = other.load_sheet(0, header_row=None, skip_rows=0, dtypes="string").to_polars()
    first = int(grid.cells.columns[1])
    shift = 0 if frame.width == grid.cells.width - 1 else first - 1
    for number, line in enumerate(frame.rows()):
        for place, text in enumerate(line[shift:]):
            if text:
                assert grid.cells.row(number)[1 + place] == text.removesuffix(" 00:00:00")
    filled = sum(text is not None for line in grid.cells.rows() for text in line[1:])
    assert filled == sum(bool(text) for line in frame.rows() for text in line)

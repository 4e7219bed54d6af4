"""What stands beside the words of a workbook's cells; expectations worked out by hand."""

from __future__ import annotations

import polars as pl
import pytest
from openpyxl.styles.colors import COLOR_INDEX

from partmuster.model import NotData
from partmuster_plugins.spreadsheets import rich_texts
from partmuster_plugins.spreadsheets.colours import INDEXED, tinted
from partmuster_plugins.spreadsheets.looks import Look, Run, look_of_runs
from partmuster_plugins.spreadsheets.sheet_marks import SheetMarks, marks_frame

from .sheet_files import MAIN, SHEET_LINKS, links, marks_of, only_grid, read, workbook


def text(address, words, more=""):
    return f'<c r="{address}" {more} t="inlineStr"><is><t>{words}</t></is></c>'


SOLID = '<fill><patternFill patternType="solid"><fgColor {}/></patternFill></fill>'


def styles(fonts="<font/>", fills="<fill/>", forms="<xf/>", colours=""):
    return (
        f"<styleSheet {MAIN}><fonts>{fonts}</fonts><fills>{fills}</fills>"
        f"<cellXfs>{forms}</cellXfs>{colours}</styleSheet>"
    )


# --- colours -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("base", "tint", "shown"),
    [
        ("4f81bd", 0.79998168889431442, "dce6f1"),  # "Lighter 80 %" of 2007's first accent
        ("4f81bd", 0.59999389629810485, "b8cce4"),
        ("4f81bd", 0.39997558519241921, "95b3d7"),
        ("4f81bd", -0.249977111117893, "366092"),
        ("4f81bd", -0.499984740745262, "244062"),
        ("ffffff", -0.14999847407452621, "d9d9d9"),
        ("ffffff", -0.499984740745262, "808080"),
        ("000000", 0.499984740745262, "808080"),
    ],
)
def test_tints_are_the_colours_that_programs_show(base, tint, shown):
    """Values as office programs show them in their colour dialogues (FROM-MEMORY); +-1 each."""
    got = tinted(base, tint)
    for at in (0, 2, 4):
        assert abs(int(got[at : at + 2], 16) - int(shown[at : at + 2], 16)) <= 1, got


def test_the_palette_is_the_one_another_reader_has():
    assert [one[-6:].lower() for one in COLOR_INDEX[:64]] == list(INDEXED)


@pytest.mark.parametrize(
    ("colour", "marked"),
    [
        ('rgb="FF92D050"', "92d050"),
        ('rgb="0092D050"', "92d050"),
        ('rgb="FFFFFFFF"', None),
        ('rgb="FF000000"', None),
        ('indexed="13"', "ffff00"),
        ('indexed="64"', None),
        ('theme="0"', None),
        ('theme="1"', None),
        ('theme="4"', "112233"),
        ('theme="10"', "445566"),
        ('theme="99"', None),
        ('auto="1"', None),
        ('rgb="nonsense"', None),
    ],
)
def test_colours_of_every_sort(make_source, colour, marked):
    accent = '<a:accent1><a:srgbClr val="112233"/></a:accent1>'
    theme = (
        '<a:theme xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main">'
        '<a:themeElements><a:clrScheme><a:dk1><a:sysClr val="windowText" lastClr="000000"/></a:dk1>'
        f'<a:lt1><a:sysClr val="window" lastClr="FFFFFF"/></a:lt1>{accent}'
        '<a:hlink><a:srgbClr val="445566"/></a:hlink></a:clrScheme></a:themeElements></a:theme>'
    )
    made = styles(
        fonts=f"<font/><font><color {colour}/></font>",
        fills=f"<fill/>{SOLID.format(colour)}",
        forms='<xf/><xf fillId="1"/><xf fontId="1"/>',
    )
    data = (
        f'<sheetData><row r="1">{text("A1", "a", "s=" + chr(34) + "1" + chr(34))}'
        f"{text('B1', 'b', 's=' + chr(34) + '2' + chr(34))}</row></sheetData>"
    )
    source = make_source("made.xlsx", workbook(data, styles=made, theme1=theme))
    expected = [(1, 1, "fill", marked), (1, 2, "ink", marked)] if marked else []
    assert marks_of(source) == expected


def test_a_palette_of_its_own_counts_and_patterns_have_their_foremost_colour(make_source):
    made = styles(
        colours="<colors><indexedColors>"
        + '<rgbColor rgb="00abcdef"/>' * 10
        + "</indexedColors></colors>",
        fills=f"<fill/>{SOLID.format('indexed=' + chr(34) + '9' + chr(34))}"
        "<fill><patternFill patternType='lightUp'><fgColor auto='1'/><bgColor rgb='FF00FF00'/>"
        "</patternFill></fill>"
        "<fill><patternFill patternType='none'><fgColor rgb='FF00FF00'/></patternFill></fill>"
        "<fill><gradientFill><stop position='0'><color rgb='FFFFFFFF'/></stop>"
        "<stop position='1'><color rgb='FF123456'/></stop></gradientFill></fill>",
        forms="<xf/>" + "".join(f"<xf fillId='{number}'/>" for number in (1, 2, 3, 4)),
    )
    cells = "".join(
        text(f"{letter}1", "x", f"s='{number}'") for number, letter in enumerate("ABCDE")
    )
    data = f'<sheetData><row r="1">{cells}</row></sheetData>'
    assert marks_of(make_source("made.xlsx", workbook(data, styles=made))) == [
        (1, 2, "fill", "abcdef"),
        (1, 3, "fill", "00ff00"),
        (1, 5, "fill", "123456"),
    ]


# --- looks to marks ------------------------------------------------------------------------------


def frame(*rows):
    columns = {str(at): list(cells) for at, cells in enumerate(zip(*rows, strict=True), start=1)}
    numbers = pl.Series("row", range(1, len(rows) + 1), dtype=pl.Int32)
    return pl.DataFrame(columns, dict.fromkeys(columns, pl.String)).insert_column(0, numbers)


def marked(cells, styled, looks, **more):
    spots = pl.DataFrame(
        styled, {"row": pl.Int32, "column": pl.Int32, "look": pl.Int32}, orient="row"
    )
    return marks_frame(SheetMarks(styled=spots, looks=looks, **more), cells).rows()


YELLOW, GREEN = Look(fill="ffff00"), Look(fill="00ff00")


def test_a_row_whose_words_all_have_one_fill_has_one_mark():
    cells = frame(["a", None, "b", None], ["c", "d", "e", None])
    spots = [(1, 1, 1), (1, 2, 1), (1, 3, 1), (2, 1, 1), (2, 2, 1)]
    assert marked(cells, spots, {1: YELLOW}) == [
        (1, None, "fill", "ffff00"),
        (2, 1, "fill", "ffff00"),
        (2, 2, "fill", "ffff00"),
    ]


def test_an_empty_cell_of_another_colour_keeps_its_mark_in_the_table_only():
    cells = frame(["a", None, "b"], [None, None, "c"])
    spots = [(1, 1, 1), (1, 2, 2), (1, 3, 1), (1, 4, 2), (2, 1, 2), (3, 1, 2), (9, 9, 1)]
    assert marked(cells, spots, {1: YELLOW, 2: GREEN}) == [
        (1, None, "fill", "ffff00"),
        (1, 2, "fill", "00ff00"),
        (2, 1, "fill", "00ff00"),
    ]


def test_what_is_merged_away_has_no_fill_of_its_own():
    cells = frame(["a", None, "x"], [None, None, None], ["z", "y", "x"])
    spots = [(1, 1, 1), (1, 2, 2), (2, 1, 2), (2, 2, 2), (2, 3, 2)]
    found = marked(cells, spots, {1: YELLOW, 2: GREEN}, merged=[(1, 1, 2, 2), (3, 3, 1, 1)])
    assert found == [
        (1, 1, "fill", "ffff00"),
        (2, 3, "fill", "00ff00"),
        (1, 1, "merged", "2x2"),
    ]


def test_ink_and_strokes_need_words():
    cells = frame(["a", None], ["b", "c"])
    look = Look(struck=True, ink="ff0000")
    assert marked(cells, [(1, 1, 1), (1, 2, 1), (2, 1, 1)], {1: look}) == [
        (1, 1, "struck", None),
        (2, 1, "struck", None),
        (1, None, "struck", "row"),
        (1, None, "ink", "ff0000"),
        (2, 1, "ink", "ff0000"),
    ]


def test_fills_of_endless_empty_cells_are_decoration(monkeypatch):
    from partmuster_plugins.spreadsheets import sheet_marks

    cells = frame(["a", None, None], [None, None, "b"])
    spots = [(1, 1, 1), (1, 2, 2), (1, 3, 2), (2, 1, 2)]
    assert len(marked(cells, spots, {1: YELLOW, 2: GREEN})) == 4
    monkeypatch.setattr(sheet_marks, "MOST_EMPTY_FILLS", 2)
    assert marked(cells, spots, {1: YELLOW, 2: GREEN}) == [(1, None, "fill", "ffff00")]


# --- texts in runs -------------------------------------------------------------------------------


RED = Run("a", struck=False, ink="ff0000")


@pytest.mark.parametrize(
    ("runs", "style", "look", "left"),
    [
        ([Run("2", struck=True), Run(" 1", struck=False)], Look(), Look(), "1"),
        ([Run("a", struck=True), Run("  ", struck=False)], Look(), Look(struck=True), None),
        ([Run("a"), Run("b", struck=False)], Look(struck=True), Look(), "b"),
        ([Run("a", struck=False)], Look(struck=True), Look(), None),
        ([Run("a"), Run("b", struck=True)], Look(struck=True), Look(struck=True), None),
        ([RED, RED], Look(), Look(ink="ff0000"), None),
        ([RED, Run("b")], Look(), Look(), None),
        ([RED, Run("b")], Look(ink="ff0000"), Look(ink="ff0000"), None),
        ([Run(" ")], Look(fill="ffff00"), Look(fill="ffff00"), None),
    ],
)  # fmt: skip
def test_what_runs_make_of_a_cell(runs, style, look, left):
    assert look_of_runs(runs, style) == (look, left)


SHARED = [
    "<si><t>plain</t></si>",
    "<si/>",
    '<si><r><t xml:space="preserve">old </t></r><r><rPr><strike/></rPr><t>gone</t></r></si>',
    '<si><r><rPr><b/></rPr><t>bold</t></r><rPh sb="0" eb="1"><t>read aloud</t></rPh></si>',
    '<si><r><rPr><strike val="0"/><color indexed="10"/></rPr><t>red</t></r></si>',
    "<si><r><rPr><strike/></rPr><t>all &amp; gone</t></r></si>",
]


@pytest.mark.parametrize("prefix", ["", "x:"])
@pytest.mark.parametrize("chunk", [1 << 22, 150])
def test_shared_texts_in_runs(monkeypatch, make_source, prefix, chunk):
    monkeypatch.setattr(rich_texts, "_CHUNK", chunk)
    inner = "".join(SHARED)
    if prefix:
        inner = inner.replace("</", "</\0").replace("<", "<x:").replace("<x:/\0", "</x:")
    space = MAIN.replace("xmlns=", "xmlns:x=") if prefix else MAIN
    rows = "".join(
        f'<row r="{n}"><c r="A{n}" t="s"><v>{n - 1}</v></c></row>'
        for n in range(1, len(SHARED) + 1)
    )
    source = make_source(
        "made.xlsx",
        workbook(
            f"<sheetData>{rows}</sheetData>",
            **{"xl/sharedStrings.xml": f"<{prefix}sst {space}>{inner}</{prefix}sst>"},
        ),
    )
    found = only_grid(source)
    assert found.cells["1"].to_list() == ["plain", None, "old gone", "bold", "red", "all & gone"]
    assert found.marks.rows() == [
        (6, 1, "struck", None),
        (6, None, "struck", "row"),
        (3, 1, "partly-struck", "old"),
        (5, None, "ink", "ff0000"),
    ]


# --- comments, formulas, drawings ----------------------------------------------------------------

COMMENTS = (
    f"<comments {MAIN}><authors><author>Bert</author><author/></authors><commentList>"
    '<comment ref="A1" authorId="0"><text><r><rPr><b/></rPr><t>Bert:</t></r>'
    '<r><t xml:space="preserve">\n one left</t></r></text></comment>'
    '<comment ref="D9" authorId="1"><text><t>Bert: is asked</t></text></comment>'
    '<comment ref="B1" authorId="0"><text><t>[Threaded comment]\n\nYour version ... \n\nComment:\n'
    "    shorter words</t></text></comment>"
    '<comment ref="C1" authorId="0"><text><t>[Threaded comment]\n\nYour version ... \n\nComment:\n'
    "    only here</t></text></comment>"
    "</commentList></comments>"
)
THREADS = (
    '<ThreadedComments xmlns="http://schemas.microsoft.com/office/spreadsheetml/2018/threadedcomments">'
    '<threadedComment ref="B1" id="1"><text>sold?</text></threadedComment>'
    '<threadedComment ref="B1" id="2" parentId="1"><text>not yet</text></threadedComment>'
    "</ThreadedComments>"
)


def with_comments(sheet_data):
    return workbook(
        sheet_data,
        **{
            SHEET_LINKS: links(
                comments="../comments1.xml", threadedComment="../threadedComments/t1.xml"
            ),
            "xl/comments1.xml": COMMENTS,
            "xl/threadedComments/t1.xml": THREADS,
        },
    )


def test_comments_without_their_authors_and_with_their_answers(make_source):
    data = f'<sheetData><row r="1">{text("A1", "Lamp")}</row></sheetData>'
    assert marks_of(make_source("made.xlsx", with_comments(data))) == [
        (1, 1, "comment", "one left"),
        (1, 2, "comment", "sold?\nnot yet"),
        (1, 3, "comment", "only here"),
        (9, 4, "comment", "Bert: is asked"),
    ]


def test_comments_of_a_sheet_without_cells_are_told(make_source):
    [batch] = read(make_source("made.xlsx", with_comments("<sheetData/>")))
    assert isinstance(batch, NotData)
    assert batch.words == "one left\nsold?\nnot yet\nonly here\nBert: is asked"


def test_formulas_without_a_value_and_those_with_one(make_source):
    data = (
        '<sheetData><row r="1"><c r="A1"><f>1+1</f><v>2</v></c><c r="B1"><f>A1&amp;"x"</f></c>'
        '<c r="C1" t="str"><f>""</f><v></v></c>'
        '<c r="D1" s="0"><f t="array" ref="D1">A1:A2</f><v/></c>'
        '<c r="E1"><f t="shared" ref="E1:E2" si="0">A1*$B$1</f></c></row>'
        '<row r="2"><c r="E2"><f t="shared" si="0"/><v> </v></c>'
        '<c r="F2" t="e"><f>1/0</f><v>#DIV/0!</v></c></row></sheetData>'
    )
    source = make_source("made.xlsx", workbook(data))
    assert only_grid(source).cells.row(1)[-1] == "#DIV/0!"
    assert marks_of(source) == [
        (1, 2, "formula", '=A1&"x"'),
        (1, 4, "formula", "=A1:A2"),
        (1, 5, "formula", "=A1*$B$1"),
        (2, 5, "formula", "=A2*$B$1"),
    ]


def test_a_shared_formula_that_is_none_is_shown_as_it_stands(make_source):
    data = (
        '<sheetData><row r="1"><c r="A1"><f t="shared" si="0">IF("</f></c><c r="B1"><v>1</v></c>'
        '</row><row r="2"><c r="A2"><f t="shared" si="0"/></c></row></sheetData>'
    )
    assert marks_of(make_source("made.xlsx", workbook(data))) == [
        (1, 1, "formula", '=IF("'),
        (2, 1, "formula", '=IF("'),
    ]


def test_drawings_are_counted_once_and_their_words_kept(make_source):
    space = (
        'xmlns:x="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" '
        'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main" '
        'xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006"'
    )
    box = "<x:sp><x:txBody><a:p><a:r><a:t>{}</a:t></a:r></a:p></x:txBody></x:sp>"
    drawing = (
        f"<x:wsDr {space}><x:a><mc:AlternateContent><mc:Choice>{box.format('Key: x = missing')}"
        f"</mc:Choice><mc:Fallback>{box.format('Key')}</mc:Fallback></mc:AlternateContent></x:a>"
        "<x:a><x:graphicFrame/></x:a><x:a><x:grpSp><x:pic/><x:sp/><x:cxnSp/></x:grpSp></x:a></x:wsDr>"
    )
    data = workbook(
        f'<sheetData><row r="1">{text("A1", "Lamp")}</row></sheetData>',
        **{SHEET_LINKS: links(drawing="/xl/drawings/d.xml"), "xl/drawings/d.xml": drawing},
    )
    _, told = read(make_source("made.xlsx", data))
    assert told == NotData(
        "pictures and drawings are not read: 1 picture, 1 chart, 1 text box, 2 shapes",
        sheet="Sheet",
        words="Key: x = missing",
    )


def test_cells_without_addresses_have_their_marks(make_source):
    made = styles(fonts="<font/><font><strike/></font>", forms='<xf/><xf fontId="1"/>')
    data = (
        "<sheetData><row><c t='inlineStr'><is><t>a</t></is></c>"
        "<c s='1' t='inlineStr'><is><t>b</t></is></c></row><row><c/><c><f>1+1</f></c></row>"
        "<row r='5'><c s='1' t='inlineStr'><is><t>c</t></is></c></row></sheetData>"
    )
    assert marks_of(make_source("made.xlsx", workbook(data, styles=made))) == [
        (1, 2, "struck", None),
        (5, 1, "struck", None),
        (5, None, "struck", "row"),
        (2, 2, "formula", "=1+1"),
    ]

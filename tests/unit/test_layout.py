"""Layout: people's answers, marks on cells, prose, and that no row is ever lost."""

import datetime as dt

import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partmuster.model import Grid, Lines, NotData
from partmuster.stages.layout import lay_out
from partmuster.tables.assemblies import read_section
from partmuster.tables.headings import meanings_of
from partmuster.tables.marks import read_legend
from partmuster.tables.titles import stated_in
from partmuster.tables.told import told_by
from partmuster_schemas.text_lines import FIELDS
from partmuster_trade.headings import fold_heading, heading_meanings, title_kinds
from tests.long import examples


def grid(*rows, sheet=None, marks=None, start=1, **more):
    width = max(len(row) for row in rows)
    data = {"row": pl.Series(range(start, start + len(rows)), dtype=pl.Int32)}
    for at in range(width):
        cells = [row[at] if at < len(row) else None for row in rows]
        data[str(at + 1)] = pl.Series(cells, dtype=pl.String)
    if marks is not None:
        schema = {"row": pl.Int32, "column": pl.Int32, "mark": pl.String, "value": pl.String}
        marks = pl.DataFrame(marks, schema=schema, orient="row")
    return Grid(cells=pl.DataFrame(data), sheet=sheet, marks=marks, **more)


HOLDINGS = (
    ("What", "How many", "Where is it"),
    ("Dynamo", "1", "Shed"),
    ("Sump", "2", "Loft"),
    ("Horn", "1", "Loft"),
)


def test_a_person_names_the_kind_and_a_column():
    rows = (("Thing", "Puzzle"), ("Dynamo", "3 off"), ("Sump", "1 off"))
    asked = lay_out([grid(*rows)])
    assert asked.questions["subject"].to_list() == ["|kind"]
    assert asked.lines["kind"].null_count() == 2
    told = told_by([("layout", "|kind", "want"), ("layout", "|column: Puzzle", "quantity")])
    settled = lay_out([grid(*rows)], told)
    assert settled.questions.is_empty()
    assert settled.lines.select("kind", "description", "quantity").rows() == [
        ("want", "Dynamo", "3 off"), ("want", "Sump", "1 off")]  # fmt: skip


def test_a_column_told_to_be_a_remark_is_one():
    told = told_by([("layout", "Shed|column: Where is it", "remark")])
    lines = lay_out([grid(*HOLDINGS, sheet="Shed")], told).lines
    assert lines["place"].null_count() == 3
    assert lines["remark"].to_list()[0] == "Where is it: Shed"


def test_kind_told_without_a_column_for_the_part_asks_about_the_columns():
    rows = (("Colour", "Width"), ("12", "14"), ("13", "15"))
    out = lay_out([grid(*rows, sheet="S")], told_by([("layout", "S|kind", "want")]))
    assert out.lines["kind"].null_count() == out.lines.height
    assert out.questions["subject"].str.starts_with("S|column: ").all()


def test_holder_told_fills_rows_that_name_none():
    rows = (("Part", "Qty", "Held by"), ("Dynamo", "1", None), ("Sump", "1", "A. Crane"))
    out = lay_out([grid(*rows)], told_by([("layout", "|holder", "B. Hale")]))
    assert out.lines["holder"].to_list() == ["B. Hale", "A. Crane"]


def test_a_file_name_stands_for_a_missing_sheet_name():
    rows = (("Part", "Otter 1", "Otter 2"), ("Dynamo", "Y", "N"))
    out = lay_out([grid(*rows)], name="club/survey.csv")
    assert sorted(out.questions["subject"]) == ["survey.csv|N", "survey.csv|Y"]
    told = told_by([("marks", "survey.csv|N", "missing"), ("marks", "|Y", "fitted")])
    settled = lay_out([grid(*rows)], told, name="club/survey.csv")
    assert settled.lines["presence"].to_list() == ["fitted", "missing"]
    assert settled.questions.is_empty()


def test_words_beside_an_open_mark_wait_for_its_meaning():
    rows = (("Part", "Otter 1", "Otter 2"), ("Dynamo", "N", "N (bracket rusty)"), ("Horn", "N", ""))
    asked = lay_out([grid(*rows)])
    assert asked.lines["presence"].to_list() == ["N", "N", "N", None]
    assert asked.questions["lines"].to_list() == [3]
    told = lay_out([grid(*rows)], told_by([("marks", "|N", "missing")]))
    assert told.lines["presence"].to_list()[:2] == ["missing", "missing (bracket rusty)"]


def test_a_survey_of_no_vehicle_asks_which():
    rows = (("Survey",), ("Part", "State"), ("Dynamo", "missing"))
    out = lay_out([grid(*rows)])
    assert out.questions.select("subject", "lines").rows() == [("|vehicle", 1)]
    told = lay_out([grid(*rows)], told_by([("layout", "|vehicle", "Otter 1")]))
    assert told.lines.select("kind", "vehicle").rows() == [("survey", "Otter 1")]


def test_struck_and_hidden_rows_and_comments():
    marks = [
        (2, None, "struck", None), (3, 1, "struck", None), (4, 2, "struck", None),
        (4, None, "hidden", None), (3, 2, "comment", "ask first"), (3, 1, "box", "10,20,30,40"),
        (3, 2, "box", "35,18,60,41"),
    ]  # fmt: skip
    out = lay_out([grid(*HOLDINGS, marks=marks)])
    assert out.lines["struck"].to_list() == [True, True, False]
    assert out.lines["hidden"].to_list() == [False, False, True]
    assert out.lines["remark"].to_list() == [None, "comment: ask first", "struck through: 1"]
    assert out.lines["box"].to_list() == [None, "10,18,60,41", None]
    assert out.raw.filter(pl.col("row") == 3)["box"].to_list() == ["10,18,60,41"]


def test_a_struck_cell_of_a_matrix_strikes_its_line_only():
    rows = (("Part", "Otter 1", "Otter 2"), ("Dynamo", "ok", "ok"), ("Horn", "ok", "ok"))
    out = lay_out([grid(*rows, marks=[(2, 3, "struck", None), (None, 2, "hidden", None)])])
    assert out.lines["struck"].to_list() == [False, True, False, False]
    assert out.lines["hidden"].to_list() == [True, False, True, False]


def test_prose_and_what_is_no_data_are_counted_on():
    said = pl.DataFrame({
        "kind": ["holding", "holding", "lead"], "words": ["two dynamos, one seized"] * 2 + ["x"],
        "description": ["dynamo", "dynamo", "turret"], "raw_number": [7, 7, 9],
    })  # fmt: skip
    batches = [NotData("a picture", page=1), Lines(said), grid(*HOLDINGS, sheet="S")]
    out = lay_out(batches)
    assert out.raw["raw_number"].to_list() == list(range(1, 8))
    assert out.raw["reason"].to_list()[0] == "a picture"
    assert out.lines["raw_number"].to_list() == [2, 2, 3, 5, 6, 7]


def test_prose_without_numbers_is_a_statement_a_line():
    said = pl.DataFrame({"kind": ["lead"] * 2, "words": ["same", "same"]})
    assert lay_out([Lines(said)]).lines["raw_number"].to_list() == [1, 2]


def test_nothing_gives_nothing():
    empty = Grid(cells=pl.DataFrame({"row": pl.Series([1], dtype=pl.Int32), "1": ["  "]}))
    for batches in ([], [empty]):
        out = lay_out(batches)
        assert out.raw.is_empty()
        assert out.lines.is_empty()


@pytest.mark.parametrize("rows", [
    (("Dynamo", "2"), ("Track link", "several"), ("Sump", "1")),
    (("Dynamo", "2", "3"), ("Sump", "1", "4"), ("Horn", "5", "1")),
    (("Part", "LH", "RH"), ("Door", "1", "1")),
    (("Part", "Qty", "Cleaned", "Painted"), ("Door", "1", "Y", "N")),
])  # fmt: skip
def test_figures_sides_and_ticks_are_no_vehicles(rows):
    assert "survey" not in lay_out([grid(*rows)]).lines["kind"].to_list()


def test_vehicles_down_and_parts_across():
    rows = (("Vehicle", "Dynamo", "Horn"), ("Otter 1", "ok", "missing"), ("Otter 2", '"', "ok"))
    lines = lay_out([grid(*rows)]).lines
    assert lines.select("vehicle", "description", "presence").rows() == [
        ("Otter 1", "Dynamo", "ok"), ("Otter 1", "Horn", "missing"),
        ("Otter 2", "Dynamo", "ok"), ("Otter 2", "Horn", "ok")]  # fmt: skip


def test_row_numbers_of_the_file_are_kept():
    out = lay_out([grid(*HOLDINGS, start=40)])
    assert out.lines["row"].to_list() == [41, 42, 43]


def test_full_rows_above_the_headings_are_no_titles():
    rows = (("Dynamo", "2", "good"), ("Part", "Qty", "Condition"), ("Horn", "1", "fair"))
    out = lay_out([grid(*rows)])
    assert out.lines["description"].to_list() == ["Dynamo", "Horn"]


def test_a_bare_part_in_a_list_of_holdings_stays_a_line():
    rows = (*HOLDINGS[:2], ("Rear hub",), *HOLDINGS[2:])
    out = lay_out([grid(*rows)])
    assert "Rear hub" in out.lines["description"].to_list()


def test_a_figure_alone_below_is_a_total_and_amid_the_lines_is_not():
    rows = (*HOLDINGS[:2], (None, "9"), *HOLDINGS[2:], (None, "4"))
    raw = lay_out([grid(*rows)]).raw
    assert raw.filter(pl.col("words") == "9")["outcome"].to_list() == ["line"]
    assert raw.filter(pl.col("words") == "4")["reason"].str.starts_with("total").all()


CELLS = st.one_of(
    st.none(),
    st.sampled_from(
        ["What", "Qty", "Part No.", "Vehicle", "State", "Otter 1", "Otter 2", "Y", "N", "ok",
         "missing", "Dynamo", "Mudguard LH", "TOTAL", "do.", '"', "do. RH", "ENGINE BAY",
         "Group 3", "12", "OT-12-3",
         "Key: N = missing", "2026-03-03", "Mk 1", "Notes", "----", "Left side", "=", "x", "  "]
    ),
    st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=12),
)  # fmt: skip


@settings(max_examples=examples(150), deadline=None)
@given(st.lists(st.lists(CELLS, min_size=4, max_size=4), min_size=1, max_size=14))
def test_every_row_comes_out_exactly_once(rows):
    out = lay_out([grid(*rows, sheet="S")])
    filled = {at for at, row in enumerate(rows, 1) if any((cell or "").strip() for cell in row)}
    assert set(out.raw["row"]) == filled
    assert not out.raw.select("row", "column").is_duplicated().any()
    # Of tables side by side one may have a line where the other has none.
    lines = out.raw.filter(pl.col("outcome") == "line")
    assert lines["raw_number"].to_list() == out.lines["raw_number"].unique().sort().to_list()
    assert (out.raw.filter(pl.col("outcome") == "not-data")["reason"].str.len_chars() > 0).all()


@pytest.mark.parametrize(("title", "family"), [
    ("OTTER CARRIER - PARTS LIST", "Otter"),
    ("OTTER CARRIER PARTS LIST", "Otter"),
    ("Otter Carrier Mk 1 - Parts List", "Otter"),
    ("OTTER CARRIER MK 1 SPARE PARTS LIST", "Otter"),
    ("otter_carrier_parts_list.pdf", "Otter"),
    ("Otter tracked carrier fit notes", "Otter"),
    ("BRAMBLE LIGHT TRACTOR ILLUSTRATED PARTS CATALOGUE", "Bramble"),
    ("Parts list for the Otter carrier", "Otter"),
    ("Parts list of light tractor Bramble", "Bramble"),
    ("Armoured Carrier Otter - spare parts list", "Otter"),
    ("CARRIER, OTTER - PARTS LIST", "Otter"),
    ("TRUCK, CARGO, BRAMBLE: ILLUSTRATED PARTS LIST", "Bramble"),
    ("Ashmere club, Otter carrier parts list", "Otter"),
    ("Universal Carrier parts list", None),
    ("Carrier parts list", None),
    ("Parts list for Carrier", None),
    ("Parts list of the tracked vehicles", None),
    ("Otter and Bramble parts list", None),
    ("Parts list for Otter & Bramble", None),
])  # fmt: skip
def test_no_sort_of_vehicle_is_a_family(title, family):
    assert stated_in([title]).family == family


@pytest.mark.parametrize(("title", "holder", "family", "vehicle"), [
    ("Spares held by B. Hale", "B. Hale", None, None),
    ("Spares held by Bert Hale, as at 3 March 2026", "Bert Hale", None, None),
    ("Bert's shed", "Bert", None, None),
    ("Stock - A. Crane", "A. Crane", None, None),
    ("Otter parts list", None, "Otter", None),
    ("BRAMBLE PARTS LIST", None, "Bramble", None),
    ("Parts list for the Otter", None, "Otter", None),
    ("OTTER CARRIER - PARTS LIST, copied", None, "Otter", None),
    ("Spare parts list", None, None, None),
    ("Illustrated parts list", None, None, None),
    ("Survey of Otter 3", None, None, "Otter 3"),
    ("Survey of Otter 3 as at 2 May 2026", None, None, "Otter 3"),
    ("Survey of the Otters, 2 May 2026", None, None, None),
    ("Otter 2 stowage check list", None, None, "Otter 2"),
    ("Otter 3", None, None, "Otter 3"),
    ("Shed 2", None, None, None),
    ("Sheet1", None, None, None),
])  # fmt: skip
def test_titles(title, holder, family, vehicle):
    stated = stated_in([title])
    assert (stated.holder, stated.family, stated.vehicle) == (holder, family, vehicle)


@pytest.mark.parametrize(("title", "date"), [
    ("as at 3 March 2026", dt.date(2026, 3, 3)),
    ("Register, 1 February 2026", dt.date(2026, 2, 1)),
    ("Otters built 1943", None),
    ("Spares", None),
])  # fmt: skip
def test_dates_in_titles(title, date):
    assert stated_in([title]).date == date


@pytest.mark.parametrize(("text", "assembly", "side", "position"), [
    ("ENGINE BAY", "engine", None, None),
    ("Group 3 - Final drive", "final-drive", None, None),
    ("Section 4: Running gear (contd)", "running-gear", None, None),
    ("Left side", None, "left", None),
    ("LEFT HAND SIDE", None, "left", None),
    ("Front", None, None, "front"),
    ("Front axle", "front-axle", None, None),
    ("Steering and brakes", None, None, None),
    ("Odds and ends", None, None, None),
])  # fmt: skip
def test_section_rows(text, assembly, side, position):
    section = read_section(text)
    assert (section.assembly, section.side, section.position) == (assembly, side, position)


@pytest.mark.parametrize(("text", "legend"), [
    ("N = not there", {"N": "not there"}),
    ("Key: x missing, Y fitted", {"x": "missing", "Y": "fitted"}),
    ("Y - fitted; N - missing", {"Y": "fitted", "N": "missing"}),
    ("Notes: painted green", {}),
    ("Mudguard, left = bent", {}),
])  # fmt: skip
def test_legends(text, legend):
    assert read_legend(text) == legend


def test_heading_data_is_sound():
    known = {
        field for meanings in heading_meanings().values() for field in (m.field for m in meanings)
    }
    assert known <= set(FIELDS)
    for heading, meanings in heading_meanings().items():
        pairs = [(m.field, m.kinds) for m in meanings]
        assert len(pairs) == len(set(pairs)), heading
    assert "holding" in title_kinds().values()


def test_fields_with_no_heading_are_known():
    """Fields no heading gives come from prose, titles or people; the list is kept short."""
    known = {m.field for meanings in heading_meanings().values() for m in meanings}
    assert set(FIELDS) - known == set()


@pytest.mark.parametrize(("heading", "field"), [
    ("Qty", "quantity"), ("No. off", "quantity"), ("Pt. No", "part_number"), ("ui", "unit"),
    ("item_name", "description"), ("Desig.", "description"), ("Descripton", "description"),
    ("Hull no", "hull_serial"),
    ("Eng. no", "engine_serial"), ("Who's got it", "holder"), ("For sale?", "availability"),
])  # fmt: skip
def test_headings(heading, field):
    assert meanings_of(heading)[0][0].field == field


@pytest.mark.parametrize("heading", ["Otters", "Bin colour", "Fit-out", "Bramble 2"])
def test_headings_that_only_look_like_known_ones(heading):
    assert meanings_of(heading) == ((), 0.0)


def test_folding_headings():
    assert fold_heading("Pt. No.") == fold_heading("pt_no") == "pt no"
    assert fold_heading("Part#") == "part no"


def test_survey_words_that_nobody_understands_are_asked_about():
    laid_out = lay_out([grid(("Part", "State"), ("Dynamo", "purple"), ("Horn", "fitted"),
                             ("Sump", "purple"), title="Survey of Otter 4")])  # fmt: skip
    asked = laid_out.questions.select("subject", "lines").rows()
    assert asked == [("|purple", 2)]
    told = told_by([("marks", "|purple", "missing")])
    laid_out = lay_out([grid(("Part", "State"), ("Dynamo", "purple"), ("Horn", "fitted"),
                             title="Survey of Otter 4")], told)  # fmt: skip
    assert laid_out.lines["presence"].to_list() == ["missing", "fitted"]
    assert laid_out.questions.height == 0


def test_a_figure_merged_over_several_rows_is_not_taken_for_each():
    rows = (("Part", "Qty"), ("Dynamo", "4"), ("Sump", None), ("Horn", "1"))
    laid_out = lay_out([grid(*rows, marks=[(2, 2, "merged", "2x1")])])
    assert laid_out.lines["quantity"].to_list() == [
        "4 (one figure for 2 rows)", "4 (one figure for 2 rows)", "1"
    ]  # fmt: skip

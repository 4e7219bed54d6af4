"""The rules of forms and of putting values in, each on its own."""

from __future__ import annotations

import datetime as dt
import zipfile

import openpyxl
import polars as pl
import pytest
from click.testing import CliRunner

from partmuster.cli import main
from partmuster.forms.choices import choices_for
from partmuster.forms.kinds import FormRow, Stamp, column_letter
from partmuster.forms.known import KNOWN_FORMS
from partmuster.forms.mending import MENDING, MendingAnswer, understand
from partmuster.forms.reading import read_form
from partmuster.forms.recognising import is_form
from partmuster.forms.writing import write_form
from partmuster.model import PartmusterError
from partmuster.running.mended import faults_in_words, mend, slimmed
from partmuster.stages.layout import LaidOut
from partmuster.stages.normalising.columns import FAULT_SCHEMA
from partmuster.store.decisions import Standing
from partmuster.store.mended import LEAVE_OUT, NOTHING, mending_subject
from partmuster_schemas.text_lines import as_text_lines

STAMP = Stamp("mending", 1, "club-1", "Vale of Ashmere | Vehicles")


@pytest.fixture
def form(tmp_path):
    """Return a form with rows of the given cells, filled in by a function of sheet and columns."""

    def make(rows, filled=None):
        path = tmp_path / "form.xlsx"
        write_form(path, MENDING, rows, STAMP)
        if filled is not None:
            book = openpyxl.load_workbook(path)
            sheet = book["Mending"]
            columns = {cell.value: cell.column_letter for cell in sheet[5]}
            filled(sheet, columns["Put instead"], columns["Leave it out"])
            book.save(path)
        return path

    return make


@pytest.mark.parametrize(
    ("number", "letters"), [(1, "A"), (26, "Z"), (27, "AA"), (52, "AZ"), (703, "AAA")]
)
def test_columns_are_named_as_spreadsheet_programs_do(number, letters):
    assert column_letter(number) == letters


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (3, "3"), (3.0, "3"), (2.5, "2.5"), (0.1 + 0.2, "0.3"), (True, "yes"),
        ("  two  off ", "two off"),
        (dt.datetime(2026, 3, 1), "2026-03-01"), (dt.date(2026, 3, 1), "2026-03-01"),  # noqa: DTZ001 - as in a cell
        (dt.datetime(2026, 3, 1, 14, 30), "2026-03-01 14:30"), (dt.time(14, 30), "14:30:00"),  # noqa: DTZ001
        ("'=1", "'=1"), ("10+", "10+"),
    ],
)  # fmt: skip
def test_what_is_typed_is_taken_as_a_person_would_write_it(form, value, text):
    def filled(sheet, put, _leave):
        sheet[f"{put}6"] = value

    [row] = read_form(form([FormRow("s|quantity|1", {})], filled), "f.xlsx", KNOWN_FORMS).rows
    assert row.entries["put"].text == text


def test_a_form_says_what_it_is(form):
    found = read_form(form([FormRow("s|quantity|1", {})]), "f.xlsx", KNOWN_FORMS)
    assert (found.stamp, found.filled_by, found.rows) == (STAMP, None, ())


def test_controls_and_long_texts_can_be_written(form):
    path = form([FormRow("s|quantity|1", {"words": "a\x07b" + "x" * 50_000, "stood": "#N/A"})])
    sheet = openpyxl.load_workbook(path)["Mending"]
    assert sheet["F6"].value.startswith("a\ufffdbxxx")
    assert len(sheet["F6"].value) < 2100
    assert (sheet["G6"].value, sheet["G6"].data_type) == ("#N/A", "s")


def test_choices_too_long_for_a_rule_stand_on_the_hidden_sheet(form):
    choices = tuple(f"choice number {number}" for number in range(40))
    path = form([FormRow("s|unit|1", {}, {"put": choices})])
    book = openpyxl.load_workbook(path)
    [rule] = [one for one in book["Mending"].data_validations.dataValidation
              if str(one.sqref).startswith("J")]  # fmt: skip
    name, cells = rule.formula1.split("!")
    assert [row[0].value for row in book[name.strip("'")][cells.replace("$", "")]] == list(choices)


def test_every_choice_that_is_offered_can_be_read():
    from partmuster.reading.presence import read_presence
    from partmuster.reading.roles import read_aim, read_grade, read_role
    from partmuster.reading.sides import read_side
    from partmuster_schemas.words import STAGES
    from partmuster_trade import units

    readers = {
        "presence": lambda word: read_presence(word).presence or read_presence(word).service,
        "condition": lambda word: read_presence(word).presence or read_presence(word).service,
        "role": lambda word: read_role(word).role,
        "aim": lambda word: read_aim(word).aim,
        "fit_grade": lambda word: read_grade(word).grade.replace("unknown", ""),
        "side": lambda word: read_side(word, "GB").side,
        "to_side": lambda word: read_side(word, "GB").side,
        "stage": lambda word: word if word in STAGES else None,
        "unit": units.unit_id,
    }
    for field, reader in readers.items():
        assert choices_for(field), field
        assert [word for word in choices_for(field) if not reader(word)] == [], field
    assert choices_for("quantity") == ()


@pytest.mark.parametrize(
    "content",
    [b"", b"Part,Qty\n", b"PK\x03\x04", b"PK\x03\x04 and no zip at all", b"\xd0\xcf\x11\xe0"],
)
def test_other_and_damaged_files_are_no_forms(tmp_path, content):
    path = tmp_path / "file.xlsx"
    path.write_bytes(content)
    assert not is_form(path)
    assert not is_form(tmp_path / "none.xlsx")


def test_a_cut_off_form_or_a_plain_workbook_is_no_form(tmp_path, form):
    path = form([FormRow("s|quantity|1", {})])
    assert is_form(path)
    path.write_bytes(path.read_bytes()[:-200])
    assert not is_form(path)
    book = openpyxl.Workbook()
    book.active["A1"] = "partmuster-form"
    book.save(tmp_path / "plain.xlsx")
    assert not is_form(tmp_path / "plain.xlsx")


def test_a_form_saved_in_another_format_says_what_to_do(tmp_path):
    path = tmp_path / "form.ods"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("meta.xml", '<meta:user-defined meta:name="partmuster-form">x</meta>')
        archive.writestr("content.xml", "<x/>")
    assert is_form(path)
    with pytest.raises(PartmusterError, match=r"save it as \.xlsx"):
        read_form(path, "form.ods", KNOWN_FORMS)


def test_a_form_whose_headings_are_gone_says_so(form):
    def filled(sheet, put, _leave):
        sheet[f"{put}5"] = "Better"

    with pytest.raises(PartmusterError, match="headings of the form are gone"):
        read_form(form([FormRow("s|quantity|1", {})], filled), "f.xlsx", KNOWN_FORMS)


def test_the_name_may_stand_behind_its_label_or_beside_it(form):
    def behind(sheet, _put, _leave):
        sheet["A3"] = "Your name: Ann Ash"

    def beside(sheet, _put, _leave):
        sheet["B3"] = "  Bob  Birch "

    for filled, name in ((behind, "Ann Ash"), (beside, "Bob Birch")):
        path = form([FormRow("s|quantity|1", {})], filled)
        assert read_form(path, "f.xlsx", KNOWN_FORMS).filled_by == name


def test_rows_of_one_form_that_disagree_are_both_named(form):
    def filled(sheet, put, leave):
        sheet[f"{put}6"], sheet[f"{put}7"], sheet[f"{leave}8"] = "3", "4", "x"

    rows = [FormRow("s|quantity|1", {}), FormRow("s|quantity|1", {}), FormRow("s|quantity|2", {})]
    answers, problems = understand("f.xlsx", read_form(form(rows, filled), "f.xlsx", KNOWN_FORMS))
    assert answers == [MendingAnswer("s|quantity|2", "K8", 8, None)]
    assert [(one.column, one.value, one.code) for one in problems] == [
        ("J6", "3", "said-otherwise"), ("J7", "4", "said-otherwise")
    ]  # fmt: skip


def laid_out(*lines):
    """Return a source of (raw number, words, quantity)."""
    text = pl.DataFrame(
        [(number, "holding", words, quantity) for number, words, quantity in lines],
        schema={"raw_number": pl.Int64, "kind": pl.String, "words": pl.String,
                "quantity": pl.String}, orient="row",
    )  # fmt: skip
    raw = text.select("raw_number", "words", outcome=pl.lit("line"), reason=pl.lit(None, pl.String))
    return LaidOut(as_text_lines(text), raw.unique(maintain_order=True), pl.DataFrame(),
                   pl.DataFrame())  # fmt: skip


def decided(*answers):
    """Return what stands: (words, what stood, answers ...), each answer by Ann."""
    return {
        mending_subject("s", "quantity", words, stood): Standing(
            tuple(sorted(said)), "Ann", tuple((one, "Ann", "f.xlsx") for one in said)
        )
        for words, stood, *said in answers
    }


def quantities(mended):
    return mended.laid_out.lines.get_column("quantity").to_list()


def test_what_was_put_in_may_be_mended_in_its_turn_and_ends():
    source = laid_out((1, "horn | lots", "lots"), (2, "lamp | lots", "lots"))
    said = decided(("horn | lots", "lots", "heaps"), ("horn | lots", "heaps", "5"),
                   ("horn | lots", "5", "lots"))  # fmt: skip
    mended = mend("s", source, said)
    assert quantities(mended) == ["lots", "lots"]  # round in a circle, each decision once
    del said[mending_subject("s", "quantity", "horn | lots", "5")]
    mended = mend("s", source, said)
    assert quantities(mended) == ["5", "lots"]
    assert mended.put_in.select("stood", "put").rows() == [("lots", "heaps"), ("heaps", "5")]
    assert mended.laid_out.raw.equals(source.raw)


def test_empty_fields_are_filled_and_full_ones_cleared():
    source = laid_out((1, "horn", None), (2, "lamp | ?", "?"))
    mended = mend("s", source, decided(("horn", None, "2"), ("lamp | ?", "?", NOTHING)))
    assert quantities(mended) == ["2", None]


def test_a_line_left_out_goes_whole_and_says_who_left_it_out():
    source = laid_out((1, "horn | lots", "lots"), (1, "horn | lots", "2"), (2, "lamp | 1", "1"))
    mended = mend("s", source, decided(("horn | lots", "lots", LEAVE_OUT)))
    assert quantities(mended) == ["1"]
    assert mended.laid_out.raw.select("outcome", "reason").rows() == [
        ("not-data", "left out by Ann"), ("line", None)
    ]  # fmt: skip


def test_contradictory_words_apply_to_nothing_and_are_named():
    source = laid_out((1, "horn | lots", "lots"))
    mended = mend("s", source, decided(("horn | lots", "lots", "3", "4")))
    assert quantities(mended) == ["lots"]
    faults = pl.DataFrame(
        [(1, "holding", "quantity", "lots", "quantity-not-read", "not a quantity", "write one")],
        schema=FAULT_SCHEMA, orient="row",
    )  # fmt: skip
    [fault] = faults_in_words(faults, slimmed(mended, [faults])).to_dicts()
    assert "'3' (Ann, f.xlsx), '4' (Ann, f.xlsx)" in fault["problem"]


def test_a_fault_is_told_by_the_words_in_the_sheet_not_by_what_was_read_of_them():
    lines = as_text_lines(
        pl.DataFrame({"raw_number": [1], "kind": ["vehicle"], "words": ["Otter | None"],
                      "hull_serial": ["None"]})
    )  # fmt: skip
    raw = pl.DataFrame({"raw_number": [1], "words": ["Otter | None"], "outcome": ["line"],
                        "reason": [None]})  # fmt: skip
    mended = mend("s", LaidOut(lines, raw, pl.DataFrame(), pl.DataFrame()), {})
    faults = pl.DataFrame(
        [(1, "vehicle", "_serial", "none", "serial-not-read", "no number", "write it")],
        schema=FAULT_SCHEMA, orient="row",
    )  # fmt: skip
    for known in (None, [faults]):
        [fault] = faults_in_words(faults, slimmed(mended, known)).to_dicts()
        assert (fault["field"], fault["value"]) == ("hull_serial", "None")


def test_equal_lines_share_a_row(small, tmp_path):
    small.write("spares.csv", "What,How many,Whose\nHorn,lots of them,Al\nDynamo,1,Al\n"
                              "Horn,lots of them,Al\n")  # fmt: skip
    small.load()
    path = tmp_path / "mend.xlsx"
    words = ("mending", "--workbook", str(path))
    assert CliRunner().invoke(main, ["--club", str(small.club.folder), *words]).exit_code == 0
    sheet = openpyxl.load_workbook(path)["Mending"]
    [row] = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=6, max_col=8)]
    assert (row[0], row[2], row[3], row[6]) == ("spares.csv", 2, "B2", "lots of them")
    assert row[7].endswith("(also in row 4)")

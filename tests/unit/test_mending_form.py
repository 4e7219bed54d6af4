"""The workbook in which people put right what could not be read, filled in and imported again.

What each test expects was worked out by hand from the sheets below.
"""

from __future__ import annotations

import datetime as dt
import json
import shutil

import openpyxl
import pytest
from click.testing import CliRunner

from partmuster.cli import main

SHEETS = {
    "register.csv": (
        "Vehicle,Family,Mark,Owner,Role,Aim,Hull No\n"
        "Otter 1,Otter,Mk 1,Ann Ash,under restoration,runner,H 12\n"
        "Otter 2,Otter,Mk 1,Ann Ash,dreaming,runner,on the frame\n"
    ),
    "parts.csv": (
        "Otter parts list\nPart No,Description,No off,Used on\n"
        "OT1,DYNAMO,1,\nOT2,HORN,umpteen,\nOT3,RADIATOR,1,from 200 to 100\n"
    ),
    "spares.csv": (
        "What,How many,Whose,Last seen,Remarks\n"
        "Dynamo,lots of them,Ann Ash,3 March 2026,\n"
        "Horn,1,Bob Birch,31 Feb 2026,\n"
        "Radiator,2,Ann Ash,,\n"
        ",1,Cy Clay,,\n"
        "=Horn bracket,@home,Ann Ash,,\n"
    ),
    "seen.csv": (
        "Survey of 4 March 2026\nVehicle,Part,State\nOtter 1,Dynamo,fitted\nOtter 1,Horn,missing\n"
    ),
    "promises.csv": (
        "Promises\nPart,From,To vehicle,Stage,Qty\nHorn,Bob Birch,Otter 1,Pondering,1\n"
    ),
}
#: File, row, cell, heading of the column, what stands there; in this order.
FAULTS = [
    ("parts.csv", 4, "C4", "No off", "umpteen"),
    ("parts.csv", 5, "D5", "Used on", "from 200 to 100"),
    ("promises.csv", 3, "D3", "Stage", "Pondering"),
    ("register.csv", 3, "E3", "Role", "dreaming"),
    ("register.csv", 3, "G3", "Hull No", "on the frame"),
    ("spares.csv", 2, "B2", "How many", "lots of them"),
    ("spares.csv", 3, "D3", "Last seen", "31 Feb 2026"),
    ("spares.csv", 5, "A5", "What", None),
    ("spares.csv", 6, "B6", "How many", "@home"),
]
#: What is put in by hand, by file and cell: as text, as a number, as a date.
RIGHT = {
    "parts.csv C4": "2", "parts.csv D5": "all", "register.csv E3": "hulk",
    "register.csv G3": "H 14", "promises.csv D3": "agreed", "spares.csv B2": 3,
    "spares.csv D3": dt.datetime(2026, 3, 1),  # noqa: DTZ001 - as in a cell
    "spares.csv A5": "leave out", "spares.csv B6": 2,
}  # fmt: skip


class Desk:
    """A club at which somebody works with commands and a spreadsheet program."""

    def __init__(self, folder):
        self.folder, self.club, self.sheets = folder, folder / "club", folder / "sheets"

    def call(self, *words):
        done = CliRunner().invoke(main, ["--club", str(self.club), *map(str, words)])
        assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
        return done.exit_code, done.output

    def rows(self, *words):
        done = CliRunner().invoke(main, ["--club", str(self.club), *words, "--format", "json"])
        assert done.exit_code == 0, done.output
        return json.loads(done.stdout)

    def form(self, name="mend.xlsx", *words):
        path = self.folder / name
        code, output = self.call("mending", "--workbook", path, *words)
        assert code == 0, output
        return path

    def blank(self, name="mend.xlsx"):
        """Return the form of what needs mending before anything was mended."""
        return shutil.copyfile(self.folder / "blank.xlsx", self.folder / name)

    def mending(self):
        return {f"{row['file']} {row['row']} {row['value'] or ''}" for row in self.rows("mending")}

    def spares(self):
        return {row["holder"]: row["at_least"] for row in self.rows("holders", "dynamo")}


def heading_row(sheet):
    [found] = [row for row in sheet.iter_rows() if "Put instead" in [cell.value for cell in row]]
    return {cell.value: cell.column for cell in found}, found[0].row


def lines(sheet):
    """Return the rows of a form: what stands under each heading, and the row's number."""
    columns, top = heading_row(sheet)
    return [
        {"at": row, **{name: sheet.cell(row, number).value for name, number in columns.items()}}
        for row in range(top + 1, sheet.max_row + 1)
    ]


def fill(path, values, name="Ann Ash", to=None):
    """Fill a form in: ``values`` by file and cell; "leave out" goes into its own column."""
    book = openpyxl.load_workbook(path)
    sheet = book["Mending"]
    columns, _ = heading_row(sheet)
    left = dict(values)
    for line in lines(sheet):
        value = left.pop(f"{line['File']} {line['Cell']}", None)
        if value == "leave out":
            sheet.cell(line["at"], columns["Leave it out"]).value = "yes"
        elif value is not None:
            sheet.cell(line["at"], columns["Put instead"]).value = value
    assert not left, left
    [label] = [c for row in sheet.iter_rows() for c in row if str(c.value).startswith("Your name")]
    sheet.cell(label.row, label.column + 1).value = name
    to = to or path
    book.save(to)
    return to


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    desk = Desk(tmp_path_factory.mktemp("mending"))
    desk.sheets.mkdir()
    for name, text in SHEETS.items():
        (desk.sheets / name).write_text(text, encoding="utf-8")
    desk.call("init", "--country", "GB", "--name", "Vale of Ashmere")
    assert desk.call("import", desk.sheets)[0] == 0
    desk.form("blank.xlsx")
    return desk.folder


@pytest.fixture
def desk(tmp_path, imported):
    return Desk(shutil.copytree(imported, tmp_path, dirs_exist_ok=True))


@pytest.fixture(scope="module")
def mended(imported, tmp_path_factory):
    """A club with every fault mended by Cy Clay, and what the import printed; only to look at."""
    folder = tmp_path_factory.mktemp("mended") / "all"
    desk = Desk(shutil.copytree(imported, folder))
    code, output = desk.call("import", fill(desk.blank(), RIGHT, name="Cy Clay"))
    return desk, code, output


def test_each_fault_has_a_row_that_says_where_what_and_what_to_do(desk):
    found = lines(openpyxl.load_workbook(desk.blank())["Mending"])
    shown = ("File", "Row", "Cell", "Column", "What stands there")
    assert [tuple(line[name] for name in shown) for line in found] == FAULTS
    assert all(line["What is wrong"] and line["What to do"] for line in found)
    assert {line["Put instead"] for line in found} == {line["Leave it out"] for line in found}
    words = {
        line["Cell"]: line["The line's words"] for line in found if line["File"] == "spares.csv"
    }
    assert words["B2"] == "Dynamo | lots of them | Ann Ash | 3 March 2026"


def test_only_the_source_asked_for_is_in_the_form(desk):
    found = lines(openpyxl.load_workbook(desk.form("s.xlsx", "--source", "parts.csv"))["Mending"])
    assert {line["File"] for line in found} == {"parts.csv"}


def test_it_is_made_to_be_printed_and_filled_in(desk):
    book = openpyxl.load_workbook(desk.blank())
    sheet = book["Mending"]
    columns, top = heading_row(sheet)
    assert sheet.freeze_panes == f"A{top + 1}"
    assert (sheet.page_setup.orientation, str(sheet.page_setup.paperSize)) == ("landscape", "9")
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 0)
    assert sheet.print_title_rows == f"${top}:${top}"
    assert sheet.cell(top + 1, columns["The line's words"]).alignment.wrap_text
    hidden = [letter for letter, wide in sheet.column_dimensions.items() if wide.hidden]
    assert len(hidden) == 1
    choices = {}
    for rule in sheet.data_validations.dataValidation:
        for part in rule.sqref.ranges:
            for row, column in part.cells:
                choices[sheet.cell(row, column).coordinate] = rule
    put = openpyxl.utils.get_column_letter(columns["Put instead"])
    at = {f"{line['File']} {line['Cell']}": line["at"] for line in lines(sheet)}
    assert "hulk" in choices[f"{put}{at['register.csv E3']}"].formula1
    assert "agreed" in choices[f"{put}{at['promises.csv D3']}"].formula1
    assert f"{put}{at['spares.csv B2']}" not in choices
    [legend] = [name for name in book.sheetnames
                if name != "Mending" and book[name].sheet_state == "visible"]  # fmt: skip
    text = " ".join(str(c.value) for row in book[legend].iter_rows() for c in row if c.value)
    for told in ("Put instead", "Leave it out", "Your name", "import", "yes"):
        assert told in text


def test_words_that_look_like_formulas_are_written_as_text(desk):
    sheet = openpyxl.load_workbook(desk.blank())["Mending"]
    _, top = heading_row(sheet)
    cells = [cell for row in sheet.iter_rows(min_row=top + 1) for cell in row if cell.value]
    assert any(str(cell.value).startswith("=Horn bracket") for cell in cells)
    assert "f" not in {cell.data_type for cell in cells}
    for cell in cells:
        assert cell.quotePrefix == str(cell.value).startswith(("=", "+", "-", "@")), cell.value


def test_a_form_filled_in_mends_every_line(imported, mended):
    before = Desk(imported).rows("sources")
    assert Desk(imported).rows("lacks", "Otter 1") == []
    desk, code, output = mended
    assert "mending form: 8 mended, 1 left out\n" in output
    assert code == 0, output
    assert desk.rows("mending") == []
    assert desk.spares() == {"Ann Ash": 3.0}
    [horn] = [row for row in desk.rows("holders", "horn") if row["holder"] == "Bob Birch"]
    assert horn["said_on"] == "2026-03-01"
    assert [(row["part"], row["state"]) for row in desk.rows("lacks", "Otter 1")] == [
        ("radiator", "not-looked-at")
    ]
    after = {row["name"]: row for row in desk.rows("sources")}
    assert {row["name"]: row["lines_read"] for row in before} == {
        name: row["lines_read"] for name, row in after.items()
    }
    for row in after.values():
        parts = ("lines_loaded", "lines_decision", "lines_mending", "lines_not_data")
        assert row["lines_read"] == sum(row[name] for name in parts)
    not_data = {row["name"]: row["lines_not_data"] for row in before}
    assert after["spares.csv"]["lines_not_data"] == not_data["spares.csv"] + 1


def test_each_filled_row_is_a_decision_of_who_filled_it_in(mended):
    desk, _, _ = mended
    decided = desk.rows("decisions")
    assert len(decided) == 9
    assert {row["decided_by"] for row in decided} == {"Cy Clay"}
    assert {row["note"] for row in decided} == {"mend.xlsx"}
    assert sorted(row["answer"] for row in decided) == sorted(
        ["2", "all", "hulk", "H 14", "agreed", "3", "2026-03-01", "leave out", "2"]
    )
    assert any("lots of them" in row["question"] for row in decided)


def test_a_form_filled_in_by_half_mends_that_half(desk):
    some = {name: RIGHT[name] for name in ("spares.csv B2", "register.csv E3")}
    code, output = desk.call("import", fill(desk.blank(), some))
    assert (code, "mending form: 2 mended\n" in output) == (0, True), output
    # the register's line has a second fault, and waits for that
    assert desk.mending() == {
        f"{file} {row} {value or ''}" for file, row, _, _, value in FAULTS
        if value not in ("lots of them", "dreaming")
    }  # fmt: skip
    assert desk.spares() == {"Ann Ash": 3.0}


def test_an_empty_form_changes_nothing(desk):
    form = desk.blank()
    before = desk.rows("sources")
    code, output = desk.call("import", form)
    assert (code, "nothing is filled in" in output) == (0, True), output
    assert (desk.rows("sources"), desk.rows("decisions")) == (before, [])


def test_a_form_imported_twice_changes_nothing(mended):
    desk, _, _ = mended
    before = desk.rows("sources"), desk.rows("decisions")
    code, output = desk.call("import", desk.folder / "mend.xlsx")
    assert (code, "mending form: 9 as before\n" in output) == (0, True), output
    assert (desk.rows("sources"), desk.rows("decisions")) == before


def test_a_form_is_found_among_sheets_in_a_folder_whatever_its_name(desk):
    fill(desk.blank(), {"spares.csv B2": 3}, to=desk.sheets / "Copy of list (2).xlsx")
    (desk.sheets / "more.csv").write_text(
        "What,How many,Whose\nDynamo,several dozens or so,Bob Birch\nHorn,1,Cy Clay\n",
        encoding="utf-8",
    )
    code, output = desk.call("import", desk.sheets)
    assert (code, "Copy of list (2).xlsx: mending form: 1 mended\n" in output) == (0, True), output
    assert desk.spares()["Ann Ash"] == 3.0
    assert {row["name"] for row in desk.rows("sources")} == {*SHEETS, "more.csv"}


def test_rows_may_be_sorted_and_deleted(desk):
    path = desk.blank()
    book = openpyxl.load_workbook(path)
    sheet = book["Mending"]
    _, top = heading_row(sheet)
    body = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=top + 1)]
    sheet.delete_rows(top + 1, len(body))
    for row in reversed(body[1:]):
        sheet.append(row)
    book.save(path)
    code, output = desk.call("import", fill(path, {"spares.csv B2": 3, "register.csv E3": "hulk"}))
    assert (code, "mending form: 2 mended\n" in output) == (0, True), output
    assert desk.spares() == {"Ann Ash": 3.0}


def test_two_forms_that_disagree_apply_neither_and_are_both_named(desk):
    form = desk.blank()
    one = fill(form, {"spares.csv B2": 3}, "Ann Ash", desk.folder / "a.xlsx")
    two = fill(form, {"spares.csv B2": 4}, "Bob Birch", desk.folder / "b.xlsx")
    desk.call("import", one)
    code, output = desk.call("import", two)
    assert code == 1
    assert "contradict" in output
    [fault] = [row for row in desk.rows("mending") if row["value"] == "lots of them"]
    for word in ("3", "Ann Ash", "4", "Bob Birch"):
        assert word in fault["problem"]
    assert "undo" in fault["what_to_do"]
    assert desk.spares() == {}
    [second] = [row for row in desk.rows("decisions") if row["decided_by"] == "Bob Birch"]
    assert desk.call("undo", second["decision_id"], "--by", "Bob Birch")[0] == 0
    assert desk.spares() == {"Ann Ash": 3.0}


def test_two_forms_that_disagree_in_one_import(desk):
    form = desk.blank()
    both = desk.folder / "both"
    both.mkdir()
    fill(form, {"spares.csv B2": 3}, "Ann Ash", both / "a.xlsx")
    fill(form, {"spares.csv B2": 4, "promises.csv D3": "agreed"}, "Bob Birch", both / "b.xlsx")
    assert desk.call("import", both)[0] == 1
    assert "spares.csv 2 lots of them" in desk.mending()
    assert "promises.csv 3 Pondering" not in desk.mending()


def test_a_mending_taken_back_leaves_the_line_as_it_stood(desk):
    before = desk.mending()
    desk.call("import", fill(desk.blank(), {"spares.csv B2": 3, "spares.csv A5": "leave out"}))
    assert len(desk.mending()) == len(before) - 2
    for row in desk.rows("decisions"):
        assert desk.call("undo", row["decision_id"], "--by", "Ann Ash")[0] == 0
    assert desk.mending() == before
    assert desk.spares() == {}


def test_a_newer_version_with_the_same_words_is_mended_too(desk):
    desk.call("import", fill(desk.blank(), {"spares.csv B2": 3, "spares.csv A5": "leave out"}))
    more = "What,How many,Whose,Last seen,Remarks\nStarter,1,Cy Clay,,\n"
    text = SHEETS["spares.csv"].partition("\n")[2]
    (desk.sheets / "spares.csv").write_text(more + text, encoding="utf-8")
    desk.call("import", desk.sheets / "spares.csv")
    assert desk.spares() == {"Ann Ash": 3.0}
    assert {one for one in desk.mending() if one.startswith("spares")} == {
        "spares.csv 4 31 Feb 2026", "spares.csv 7 @home"
    }  # fmt: skip


def test_a_newer_version_with_other_words_is_not_mended(desk):
    form = fill(desk.blank(), {"spares.csv B2": 3})
    text = SHEETS["spares.csv"].replace("lots of them", "plenty of those")
    (desk.sheets / "spares.csv").write_text(text, encoding="utf-8")
    desk.call("import", desk.sheets / "spares.csv")
    code, output = desk.call("import", form)
    assert code == 1
    assert "1 not understood" in output
    assert "no longer" in output
    assert "spares.csv 2 plenty of those" in desk.mending()
    assert desk.rows("decisions") == []


def test_what_still_cannot_be_read_comes_back_named(desk):
    form = fill(desk.blank(), {"spares.csv B2": "rather many", "parts.csv C4": 2})
    code, output = desk.call("import", form)
    assert code == 1
    assert "mending form: 1 mended, 1 not understood\n" in output
    put = openpyxl.utils.get_column_letter(
        heading_row(openpyxl.load_workbook(form)["Mending"])[0]["Put instead"]
    )
    [at] = [line["at"] for line in lines(openpyxl.load_workbook(form)["Mending"])
            if line["Put instead"] == "rather many"]  # fmt: skip
    assert f"{put}{at}" in output
    [fault] = [row for row in desk.rows("mending") if row["file"] == "spares.csv"
               and row["row"] == 2]  # fmt: skip
    assert fault["value"] == "rather many"
    for word in ("Ann Ash", "lots of them"):
        assert word in fault["problem"]
    # put right once more, by a newer form
    assert desk.call("import", fill(desk.form("2.xlsx"), {"spares.csv B2": 5}))[0] == 0
    assert desk.spares() == {"Ann Ash": 5.0}


def test_good_rows_apply_and_bad_rows_are_named_by_their_cell(desk):
    path = fill(desk.blank(), {"spares.csv B2": 3, "parts.csv C4": 2})
    book = openpyxl.load_workbook(path)
    sheet = book["Mending"]
    columns, _ = heading_row(sheet)
    at = {f"{line['File']} {line['Cell']}": line["at"] for line in lines(sheet)}
    letter = {name: openpyxl.utils.get_column_letter(number) for name, number in columns.items()}
    [id_letter] = [name for name, wide in sheet.column_dimensions.items() if wide.hidden]
    bad = {
        f"{letter['Leave it out']}{at['parts.csv C4']}": "yes",  # beside "2"
        f"{letter['Put instead']}{at['promises.csv D3']}": "=1+1",
        f"{letter['Leave it out']}{at['register.csv E3']}": "perhaps",
    }
    for cell, value in bad.items():
        sheet[cell] = value
    sheet[f"{letter['Put instead']}{at['parts.csv D5']}"] = "all"
    sheet[f"{id_letter}{at['parts.csv D5']}"] = None
    book.save(path)
    code, output = desk.call("import", path)
    assert code == 1
    assert "mending form: 1 mended, 4 not understood\n" in output
    for cell in (*bad, f"{letter['Put instead']}{at['parts.csv D5']}"):
        assert f"{cell}:" in output, (cell, output)
    assert len(desk.rows("decisions")) == 1
    assert desk.spares() == {"Ann Ash": 3.0}


def test_a_form_without_a_name_waits_for_one(desk):
    form = fill(desk.blank(), {"spares.csv B2": 3}, name=None)
    code, output = desk.call("import", form)
    assert (code, "--by" in output) == (1, True)
    assert desk.rows("decisions") == []
    code, output = desk.call("import", form, "--by", "Cy Clay", "--format", "json")
    assert code == 0
    assert [(row["file"], row["outcome"], row["message"]) for row in json.loads(output)] == [
        ("spares.csv", "new version", ""), ("mend.xlsx", "form", "1 mended")
    ]  # fmt: skip
    assert [row["decided_by"] for row in desk.rows("decisions")] == ["Cy Clay"]


def test_a_form_of_another_club_is_refused(desk, tmp_path):
    form = fill(desk.blank(), RIGHT)
    other = Desk(tmp_path)
    other.club = tmp_path / "other"
    other.call("init", "--country", "GB", "--name", "Hill Club")
    other.call("import", desk.sheets)
    code, output = other.call("import", form)
    assert (code, "another club" in output, "Vale of Ashmere" in output) == (1, True, True), output
    assert other.rows("decisions") == []
    assert len(other.rows("mending")) == len(FAULTS)


@pytest.mark.parametrize("left", ["property", "sheet"])
def test_a_form_is_known_by_its_property_or_its_hidden_sheet(desk, left):
    form = fill(desk.blank(), {"spares.csv B2": 3})
    book = openpyxl.load_workbook(form)
    if left == "property":
        [hidden] = [name for name in book.sheetnames if book[name].sheet_state != "visible"]
        del book[hidden]
    else:
        for name in list(book.custom_doc_props.names):
            del book.custom_doc_props[name]
    book.save(form)
    code, output = desk.call("import", form)
    assert (code, "mending form: 1 mended\n" in output) == (0, True), output


def test_a_form_of_a_later_make_is_refused(desk):
    form = fill(desk.blank(), {"spares.csv B2": 3})
    book = openpyxl.load_workbook(form)
    [hidden] = [name for name in book.sheetnames if book[name].sheet_state != "visible"]
    told = {row[0].value: row[1] for row in book[hidden].iter_rows(max_col=2)}
    told["version"].value = 99
    for name in list(book.custom_doc_props.names):
        del book.custom_doc_props[name]
    book.save(form)
    code, output = desk.call("import", form)
    assert (code, "newer" in output) == (1, True), output
    assert desk.rows("decisions") == []


def test_a_line_tells_who_put_a_value_in_and_what_stood_there(desk):
    desk.call("import", fill(desk.blank(), {"spares.csv B2": 3, "spares.csv A5": "leave out"}))
    [dynamo] = desk.rows("holders", "dynamo")
    told = desk.rows("trace", dynamo["trace"])
    assert {row["words"] for row in told} == {"Dynamo | lots of them | Ann Ash | 3 March 2026"}
    [put] = [row for row in told if row["names"] == "quantity"]
    assert put["meaning"] == "3"
    assert put["method"] == "decision"
    assert "lots of them" in put["reasons"]
    assert put["decided_by"].startswith("Ann Ash")
    source = next(row for row in desk.rows("sources") if row["name"] == "spares.csv")
    raw = desk.rows("trace", f"{source['source_id']}.{source['version']}.5")
    assert ["left out by Ann Ash" in row["reasons"] for row in raw] == [True]


def test_a_value_may_be_cleared(desk):
    code, output = desk.call("import", fill(desk.blank(), {"spares.csv D3": "(nothing)"}))
    assert code == 0, output
    assert "spares.csv 3 31 Feb 2026" not in desk.mending()
    assert [row["holder"] for row in desk.rows("holders", "horn")].count("Bob Birch") == 1


def test_mending_ends_nothing_that_a_newer_list_only_seems_to_leave_out(desk):
    names = ("Dynamo", "Horn", "Radiator", "Starter", "Carburettor", "Magneto", "Fuel pump")
    rows = [f"{name},{number + 1},Dan Dale\n" for number, name in enumerate(names)]
    path = desk.sheets / "dan.csv"
    path.write_text("What,How many,Whose\n" + "".join(rows), encoding="utf-8")
    desk.call("import", path)
    path.write_text("What,How many,Whose\nDynamo,1,Dan Dale\nBattery,umpteen,Dan Dale\n", "utf-8")
    desk.call("import", path)
    held = [row["holder"] for row in desk.rows("holders", "radiator")]
    assert "Dan Dale" in held
    [at] = [f"dan.csv B{row['row']}" for row in desk.rows("mending") if row["file"] == "dan.csv"]
    desk.call("import", fill(desk.form(), {at: 2}))
    assert [row["holder"] for row in desk.rows("holders", "radiator")] == held
    assert "Dan Dale" in {row["holder"] for row in desk.rows("holders", "battery")}


def test_a_form_already_there_is_not_written_over(desk):
    form = fill(desk.blank(), {"spares.csv B2": 3})
    before = form.read_bytes()
    code, output = desk.call("mending", "--workbook", form)
    assert (code, "there is already" in output) == (1, True)
    assert form.read_bytes() == before
    assert desk.call("mending", "--workbook", desk.folder / "mend.csv")[0] == 2


def test_with_nothing_to_mend_no_form_is_written(mended):
    desk, _, _ = mended
    code, output = desk.call("mending", "--workbook", desk.folder / "none.xlsx")
    assert (code, "nothing needs mending" in output) == (0, True)
    assert not (desk.folder / "none.xlsx").exists()

"""What people should settle, most valuable first, asked one by one or in a form that is mailed.

What each test expects was worked out by hand from the sheets below.
"""

from __future__ import annotations

import json
import shutil

import openpyxl
import pytest
from click.testing import CliRunner

from partmuster.cli import main

SHEETS = {
    "members.csv": "Name,Town\nAnn Ash,Millbeck\nBob Birch,Millbeck\nCy Clay,Millbeck\n",
    "stock.csv": (
        "What,Qty,Whose\nHumming pot,1,Bob Birch\nHumming pots,2,Cy Clay\n"
        "humming pott LH,1,Ann Ash\nHumming pot 2 in,1,Ann Ash\nRoad wheel,4,Bob Birch\n"
        "Road wheel,2,Cy Clay\nWobble iron,1,Bob Birch\nHorn,1,Bob Birch\n"
    ),
    "wants.csv": "Wanted\nWhat,Qty,Who wants it\nWobble iron,1,Ann Ash\nWobble iron,2,Cy Clay\n",
}
#: Words, lines that one answer settles, and wants among them: each counts once more.
WORTH = [("Wobble iron", 3, 2), ("Humming pot", 3, 0), ("Road wheel", 2, 0),
         ("Humming pot 2 in", 1, 0)]  # fmt: skip


class Desk:
    """A club at which somebody settles doubts."""

    def __init__(self, folder):
        self.folder, self.club, self.sheets = folder, folder / "club", folder / "sheets"

    def call(self, *words, typed=None, code=0):
        done = CliRunner().invoke(main, ["--club", str(self.club), *map(str, words)], input=typed)
        assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
        assert done.exit_code == code, done.output
        return done.output

    def rows(self, *words):
        done = CliRunner().invoke(main, ["--club", str(self.club), *words, "--format", "json"])
        assert done.exit_code == 0, done.output
        return json.loads(done.stdout)

    def question(self, words):
        [found] = [row for row in self.rows("review") if row["words"] == words]
        return found["question_id"]

    def asked(self):
        """Return the words that are asked about; whether two lines are one thing is left out."""
        return [row["words"] for row in self.rows("review") if not row["topic"].startswith("same-")]

    def holders(self, part):
        return {row["holder"] for row in self.rows("holders", part) if row["part"] == part}

    def lines_of(self, words):
        """Return the ids of the lines of an open question, with their file."""
        rows = self.rows("trace", self.question(words))
        return {(row["file"], row["row"]): row["id"] for row in rows}

    def add(self, name, text):
        (self.sheets / name).write_text(text, encoding="utf-8")
        return self.call("import", self.sheets / name)

    def form(self, name="review.xlsx", *words):
        self.call("review", "--workbook", self.folder / name, *words)
        return self.folder / name


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    desk = Desk(tmp_path_factory.mktemp("review"))
    desk.sheets.mkdir()
    for name, text in SHEETS.items():
        (desk.sheets / name).write_text(text, encoding="utf-8")
    desk.call("init", "--country", "GB")
    desk.call("import", desk.sheets)
    desk.form("blank.xlsx")
    return desk


@pytest.fixture
def desk(imported, tmp_path):
    return Desk(shutil.copytree(imported.folder, tmp_path, dirs_exist_ok=True))


def fill(path, answers, name="Ann Ash", to=None, column="Answer"):
    """Write answers by the words asked about; return the row of each."""
    book = openpyxl.load_workbook(path)
    sheet = book["Review"]
    [top] = [row for row in sheet.iter_rows() if "Answer" in [cell.value for cell in row]]
    at = {cell.value: cell.column for cell in top}
    rows = {}
    for row in range(top[0].row + 1, sheet.max_row + 1):
        words = sheet.cell(row, at["Words"]).value
        if words in answers:
            rows[words] = row
            sheet.cell(row, at[column]).value = answers[words]
    assert rows.keys() == answers.keys()
    if name:
        sheet["B3"].value = name
    book.save(to or path)
    return rows


# What is asked, and in what order


def test_what_settles_most_lines_and_wants_is_asked_first(imported):
    rows = imported.rows("review")
    assert [(row["words"], row["lines"], row["wants"]) for row in rows] == WORTH
    assert [row["value"] for row in rows] == [lines + wants for _, lines, wants in WORTH]
    assert rows[1]["also"] == "Humming pots; humming pott LH"
    assert rows[2]["choices"] == "road-wheel-tracked;road-wheel-wheeled"


def test_a_table_names_the_candidates_and_what_to_do(imported, monkeypatch):
    monkeypatch.setenv("COLUMNS", "200")  # a narrow table breaks words
    output = imported.call("review", "--limit", "2")
    assert "Wobble iron" in output
    assert "Road wheel" not in output
    assert "2 more" in output
    assert "--by" in output


def test_one_topic_alone(imported):
    assert [row["words"] for row in imported.rows("review", "--topic", "unknown")] == [
        "Wobble iron", "Humming pot", "Humming pot 2 in",
    ]  # fmt: skip
    assert [row["words"] for row in imported.rows("review", "--topic", "part")] == ["Road wheel"]
    assert "there is no topic 'parts'" in imported.call("review", "--topic", "parts", code=1)


# Answers


def test_one_answer_settles_what_is_alike_and_each_hand_is_the_lines_own(desk):
    desk.call("answer", desk.question("Humming pot"), "dynamo", "--by", "Ann", "--alike")
    assert desk.asked() == ["Wobble iron", "Road wheel", "Humming pot 2 in"]
    assert desk.holders("dynamo") == {"Ann Ash", "Bob Birch", "Cy Clay"}
    assert {row["holder"]: row["hand"] for row in desk.rows("holders", "dynamo")} == {
        "Ann Ash": None, "Bob Birch": None, "Cy Clay": None,
    }  # fmt: skip


def test_without_alike_only_the_words_themselves_are_settled(desk):
    desk.call("answer", desk.question("Humming pot"), "dynamo", "--by", "Ann")
    assert desk.holders("dynamo") == {"Bob Birch"}


def test_an_answer_narrowed_to_a_source_holds_there_and_for_its_later_lines(desk):
    question = desk.question("Wobble iron")
    desk.call("answer", question, "horn", "--by", "Ann", "--source", "stock.csv")
    assert desk.holders("horn") == {"Bob Birch"}
    [left] = [row for row in desk.rows("review") if row["words"] == "Wobble iron"]
    assert (left["lines"], left["wants"]) == (2, 2)
    desk.add("stock.csv", SHEETS["stock.csv"] + "Wobble iron,3,Cy Clay\n")
    assert desk.holders("horn") == {"Bob Birch", "Cy Clay"}
    desk.add("other.csv", "What,Qty,Whose\nWobble iron,1,Ann Ash\n")
    assert desk.holders("horn") == {"Bob Birch", "Cy Clay"}
    [decision] = desk.rows("decisions")
    desk.call("undo", decision["decision_id"], "--by", "Ann")
    [left] = [row for row in desk.rows("review") if row["words"] == "Wobble iron"]
    assert left["lines"] == 5


def test_an_answer_about_one_line_outranks_what_its_words_mean(desk):
    lines = desk.lines_of("Road wheel")
    question = desk.question("Road wheel")
    desk.call("answer", question, "road-wheel-wheeled", "--by", "Ann")
    desk.call("answer", question, "road-wheel-tracked", "--by", "Bob",
              "--line", lines["stock.csv", 7])  # fmt: skip
    assert desk.holders("road-wheel-wheeled") == {"Bob Birch"}
    assert desk.holders("road-wheel-tracked") == {"Cy Clay"}


def test_two_who_disagree_about_one_line_are_asked_again_and_nothing_counts(desk):
    line = desk.lines_of("Road wheel")["stock.csv", 7]
    question = desk.question("Road wheel")
    desk.call("answer", question, "road-wheel-wheeled", "--by", "Ann")
    for part, who in (("horn", "Bob"), ("dynamo", "Cy")):
        output = desk.call("answer", question, part, "--by", who, "--line", line)
    assert "None of them counts" in output
    assert desk.holders("horn") == {"Bob Birch"}
    assert desk.holders("dynamo") == desk.holders("road-wheel-tracked") == set()
    [again] = [row for row in desk.rows("review") if row["words"] == "Road wheel"]
    assert (again["choices"], again["lines"]) == ("dynamo;horn", 1)


def test_a_line_that_was_matched_by_itself_can_be_put_right(desk):
    [row] = desk.rows("holders", "horn")
    line = row["trace"]
    desk.call("answer", line, "dynamo", "--by", "Ann", "--line", line)
    assert (desk.holders("horn"), desk.holders("dynamo")) == (set(), {"Bob Birch"})


def test_a_new_part_goes_into_the_clubs_own_words(desk):
    desk.call("answer", desk.question("Humming pot"), "new: Humming pot, electrical, same",
              "--by", "Ann", "--alike")  # fmt: skip
    assert desk.holders("humming-pot") == {"Ann Ash", "Bob Birch", "Cy Clay"}
    desk.add("more.csv", "What,Qty,Whose\nHumming pot,1,Ann Ash\nPot humming,1,Cy Clay\n")
    # the name is known now, and "2 in" says nothing against it
    assert desk.asked() == ["Wobble iron", "Road wheel"]


@pytest.mark.parametrize(
    ("answer", "told"),
    [("new: Humming pot", "ASSEMBLY"), ("new: Humming pot, moon, same", "moon"),
     ("new: Humming pot, electrical, often", "often"), ("new: Horn, electrical, same", "Horn")],
)  # fmt: skip
def test_a_new_part_that_cannot_be_is_told_and_nothing_is_written(desk, answer, told):
    before = sorted((desk.club / "vocabulary").rglob("*"))
    output = desk.call("answer", desk.question("Humming pot"), answer, "--by", "Ann", code=1)
    assert told in output
    assert sorted((desk.club / "vocabulary").rglob("*")) == before
    assert desk.rows("decisions") == []


# One by one


def test_asked_one_by_one_by_number_skip_none_and_quit(desk):
    output = desk.call("review", "--by", "Ann", typed="skip\nnone\n2\nq\n")
    assert "2 settled" in output
    assert desk.asked() == ["Wobble iron", "Humming pot 2 in"]
    assert desk.holders("road-wheel-wheeled") == {"Bob Birch", "Cy Clay"}


def test_a_typed_answer_that_cannot_be_is_asked_again_and_the_end_of_the_file_quits(desk):
    output = desk.call("review", "--by", "Ann", typed="9\nzzz\nhorn\n")
    assert "'zzz' is no part" in output
    assert "1 settled" in output
    assert desk.holders("horn") == {"Bob Birch"}


# What came of decisions


def test_a_decision_is_traced_to_the_lines_it_changed(desk):
    desk.call("answer", desk.question("Wobble iron"), "horn", "--by", "Ann")
    [decision] = desk.rows("decisions", "--effects")
    assert (decision["lines"], decision["standing"]) == (3, "counts")
    assert (decision["before"], decision["now"]) == (None, "horn")
    traced = desk.rows("trace", decision["decision_id"][:8])
    assert {(row["file"], row["row"]) for row in traced} == {
        ("stock.csv", 8), ("wants.csv", 3), ("wants.csv", 4),
    }  # fmt: skip
    assert {row["decided_by"][:3] for row in traced if row["meaning"] == "horn"} == {"Ann"}
    desk.call("undo", decision["decision_id"], "--by", "Ann")
    effects = {row["decision_id"]: row for row in desk.rows("decisions", "--effects")}
    assert effects[decision["decision_id"]]["standing"] == "taken back"


def test_decisions_survive_export_and_rebuild(desk):
    stock, question = "stock.csv", desk.question("Wobble iron")
    desk.call("answer", desk.question("Humming pot"), "new: Humming pot, electrical, same",
              "--by", "Ann", "--alike")  # fmt: skip
    desk.call("answer", question, "horn", "--by", "Ann", "--source", stock)
    asked = desk.asked()
    desk.call("export", desk.folder / "out")
    again = Desk(desk.folder)
    again.club = desk.folder / "again"
    again.call("rebuild", desk.folder / "out")
    assert again.asked() == asked
    assert again.rows("decisions") == desk.rows("decisions")
    again.add("stock.csv", SHEETS["stock.csv"] + "Wobble iron,3,Cy Clay\nHumming pots,9,Ann Ash\n")
    assert again.holders("horn") == {"Bob Birch", "Cy Clay"}
    assert again.asked() == asked


# The form


def test_a_form_is_filled_in_by_drop_downs_and_imported(desk):
    path = desk.folder / "blank.xlsx"
    sheet = openpyxl.load_workbook(path)["Review"]
    assert sheet.data_validations.count > 0
    fill(path, {"Wobble iron": "horn", "Road wheel": "none of these", "Humming pot": "do not know"})
    output = desk.call("import", path)
    assert "2 settled" in output
    assert "1 not known" in output
    assert desk.asked() == ["Humming pot", "Humming pot 2 in"]
    assert {(row["answer"], row["decided_by"]) for row in desk.rows("decisions")} == {
        ("horn", "Ann Ash"), ("none", "Ann Ash"),
    }  # fmt: skip
    assert "2 as before" in desk.call("import", path)
    assert len(desk.rows("decisions")) == 2


def test_a_form_settles_a_whole_group(desk):
    path = desk.folder / "blank.xlsx"
    fill(path, {"Humming pot": "dynamo"})
    desk.call("import", path)
    assert desk.holders("dynamo") == {"Ann Ash", "Bob Birch", "Cy Clay"}


def test_two_forms_that_disagree_apply_to_nothing_and_the_question_comes_back(desk):
    path = desk.folder / "blank.xlsx"
    fill(path, {"Wobble iron": "horn"}, to=desk.folder / "one.xlsx")
    rows = fill(path, {"Wobble iron": "dynamo"}, name="Bob Birch", to=desk.folder / "two.xlsx")
    desk.call("import", desk.folder / "one.xlsx")
    output = desk.call("import", desk.folder / "two.xlsx", code=1)
    assert "'horn' (Ann Ash" in output
    assert "'dynamo' (Bob Birch" in output
    assert f"row {rows['Wobble iron']}" in output
    assert "Wobble iron" in desk.asked()
    assert "Bob Birch" not in desk.holders("dynamo")


def test_each_row_may_name_who_says_so(desk):
    path = desk.folder / "blank.xlsx"
    fill(path, {"Wobble iron": "horn", "Road wheel": "none of these"}, name=None)
    fill(path, {"Wobble iron": "Cy Clay"}, name=None, column="Who says so")
    output = desk.call("import", path, code=1)
    assert "nobody's name" in output
    assert [row["decided_by"] for row in desk.rows("decisions")] == ["Cy Clay"]


def test_stale_and_senseless_answers_are_told_with_sheet_and_row(desk):
    path = desk.folder / "blank.xlsx"
    rows = fill(path, {"Wobble iron": "flibber", "Humming pot 2 in": "horn", "Road wheel": "horn"})
    desk.add("stock.csv", SHEETS["stock.csv"].replace("Humming pot 2 in,1,Ann Ash\n", ""))
    output = desk.call("import", path, code=1)
    assert f"sheet 'Review', row {rows['Wobble iron']}" in output
    assert "'flibber' is no part" in output
    assert f"sheet 'Review', row {rows['Humming pot 2 in']}" in output
    assert "no longer asked" in output
    assert [row["answer"] for row in desk.rows("decisions")] == ["horn"]


def test_what_was_settled_is_not_asked_again_of_later_lines(desk):
    path = desk.folder / "blank.xlsx"
    fill(path, {"Wobble iron": "horn", "Humming pot": "dynamo", "Humming pot 2 in": "none of these",
                "Road wheel": "road-wheel-wheeled"})  # fmt: skip
    desk.call("import", path)
    assert desk.rows("review") == desk.rows("questions") == []
    output = desk.add("later.csv", "What,Qty,Whose\nHUMMING POTS,1,Ann Ash\nwobble iron,7,Cy Clay\n"
                      "Road Wheel,1,Ann Ash\n")  # fmt: skip
    assert "need a decision" not in output.split("lines read")[0]
    assert desk.asked() == []

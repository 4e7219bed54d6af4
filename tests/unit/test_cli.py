"""The command line on a small club: exit codes, formats, and words for what is wrong."""

from __future__ import annotations

import csv
import errno
import io
import json
import os
import shutil

import pytest
from click.testing import CliRunner

from partmuster.cli import main
from partmuster.store.club import Club
from partmuster_schemas.answers import ANSWERS

SHEETS = {
    "register.csv": (
        "Register as at 1 March 2026\nVehicle,Family,Mark,Phase,Owner,Kept by,Where,Role,Aim\n"
        "Otter 1,Otter,Mk 1,early,Ann Lee,Ann Lee,North Shed,under restoration,runner\n"
        "Otter 2,Otter,Mk 2,late,Bo Marsh,Bo Marsh,South Barn,breaking,\n"
    ),
    "list.csv": (
        "Parts list as at 1 March 2026\nLine,Part No.,Description,No. off,Used on\nENGINE,,,,\n"
        "1,OT1,Dynamo,1,\n2,OT2,Magneto,1,\nCOOLING,,,,\n3,OT3,Radiator,1,\n4,OT4,Water pump,1,\n"
    ),
    "survey.csv": (
        "Survey of 3 March 2026\nPart,Otter 1,Otter 2\n"
        "Dynamo,N,Y\nMagneto,N,Y\nRadiator,Y,Y\nWater pump,Y,N\n"
    ),
    "spares.csv": (
        "What,How many,Bay,Part no,When\nDynamo,1,Rack 4,OT1,1 April 2026\n"
        "Thingummy with two ears,1,Rack 5,,\nSteering wheel,1,Rack 6,,31/02/2026\n"
    ),
}


class Told:
    """What a call printed and how it ended."""

    def __init__(self, result):
        self.code, self.out, self.err = result.exit_code, result.stdout, result.stderr
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        assert "Traceback" not in self.out + self.err

    def rows(self):
        return list(csv.DictReader(io.StringIO(self.out)))


def call(club, *words, env=None):
    return Told(CliRunner(env=env).invoke(main, ["--club", str(club), *words]))


@pytest.fixture
def sheets(tmp_path):
    folder = tmp_path / "sheets"
    folder.mkdir()
    for name, text in SHEETS.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    """A club with the sheets imported and nothing settled, to be copied."""
    folder = tmp_path_factory.mktemp("imported")
    sheets, club = folder / "sheets", folder / "club"
    sheets.mkdir()
    for name, text in SHEETS.items():
        (sheets / name).write_text(text, encoding="utf-8")
    assert call(club, "init", "--name", "Small", "--country", "gb").code == 0
    assert call(club, "import", str(sheets)).code == 0
    return club


@pytest.fixture
def fresh(tmp_path, sheets, imported):
    """A club with the sheets imported and nothing settled."""
    return shutil.copytree(imported, tmp_path / "club")


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """A club in which the registrar has said what the sheets leave open; only read from."""
    folder = tmp_path_factory.mktemp("told")
    club = folder / "club"
    for name, text in SHEETS.items():
        (folder / name).write_text(text, encoding="utf-8")
    paths = [str(folder / name) for name in SHEETS]
    assert call(club, "init", "--country", "GB").code == 0
    assert call(club, "import", *paths).code == 0
    for words in (
        ("layout", "list.csv", "--family", "Otter", "--by", "Reg"),
        ("layout", "survey.csv", "--mark", "N=missing", "--mark", "Y=fitted", "--by", "Reg"),
        ("layout", "spares.csv", "--holder", "Cy Dunn", "--by", "Reg"),
    ):
        assert call(club, *words).code == 0
    return club


ASKED = {
    "lacks": ("lacks", "Otter 1"),
    "holders": ("holders", "dynamo"),
    "donors": ("donors", "Otter 1"),
}


@pytest.mark.parametrize("name", ASKED)
@pytest.mark.parametrize("more", [(), ("--as-of", "2026-06-30", "--known-now")])
def test_csv_and_json_carry_the_documented_columns(told, name, more):
    columns = list(ANSWERS[name].to_schema().columns)
    as_csv = call(told, *ASKED[name], "--format", "csv", *more)
    as_json = call(told, *ASKED[name], "--format", "json", *more)
    assert (as_csv.code, as_json.code) == (0, 0)
    assert as_csv.out.splitlines()[0].split(",") == columns
    objects = json.loads(as_json.out)
    assert [list(one) for one in objects] == [columns] * len(as_csv.rows())
    assert len(objects) >= 2
    day = objects[0].get("seen_on") or objects[0].get("said_on")
    assert day in (None, "2026-03-03", "2026-04-01")


def test_a_trace_has_the_documented_columns(told):
    [row] = [one for one in call(told, *ASKED["lacks"], "--format", "csv").rows()
             if one["part"] == "dynamo"]  # fmt: skip
    answer = call(told, "trace", row["trace"], "--format", "csv")
    assert answer.out.splitlines()[0].split(",") == list(ANSWERS["trace"].to_schema().columns)
    stands = {(one["file"], one["row"], one["words"]) for one in answer.rows()}
    assert ("list.csv", "4", "1 | OT1 | Dynamo | 1") in stands
    assert ("survey.csv", "3", "Dynamo | Otter 1: N") in stands


def test_a_table_shows_plain_names_and_ids_that_trace_takes(told):
    table = call(told, "lacks", "Otter 2", env={"COLUMNS": "100"}).out
    assert "water pump" in table
    assert "water-pump" not in table
    short = next(word for word in table.split() if word.startswith("survey-"))
    assert len(short) == len("survey-01234567.1")
    shown = call(
        told, "trace", *(w for w in table.split() if w.startswith(("survey-", "requirement-")))
    )
    assert shown.code == 0
    assert "Water pump | Otter 2: N" in shown.out
    assert "survey.csv" in shown.out
    assert "list.csv" in shown.out


@pytest.mark.parametrize("words", [*ASKED.values(), ("lacks",), ("sources",), ("mending",)])
@pytest.mark.parametrize("width", [80, 100, 120])
def test_tables_fit_the_terminal(told, words, width):
    answer = call(told, *words, env={"COLUMNS": str(width)})
    assert answer.code == 0
    table = answer.out.splitlines()
    assert max(map(len, table)) <= width
    assert len(table) > 3


def test_an_id_that_begins_several_is_not_guessed(told):
    with Club.open(told).reading() as con:
        found = con.execute("SELECT DISTINCT line_id FROM said_survey").fetchall()
    firsts = [line_id[: len("survey-0")] for (line_id,) in found]
    # eight lines; should their first digits all differ, the kind alone is no id
    shared = next((one for one in firsts if firsts.count(one) > 1), "survey-")
    answer = call(told, "trace", shared)
    assert answer.code == 1
    assert shared == "survey-" or "several ids begin with" in answer.err


def test_the_answers_follow_the_sheets(told):
    lacking = {
        (one["vehicle"], one["part"]) for one in call(told, "lacks", "--format", "csv").rows()
    }
    assert lacking == {("Otter 1", "dynamo"), ("Otter 1", "magneto"), ("Otter 2", "water-pump")}
    rows = call(told, "donors", "Otter 1", "--format", "csv").rows()
    found = [(one["part"], one["source"], one["standing"]) for one in rows]
    # a part is only ever offered from its own place: the hulk's magneto is no dynamo
    assert len(found) == len(set(found)) == 3
    assert ("dynamo", "Cy Dunn", "ask first") in found
    assert {one[1] for one in found if one[0] == "magneto"} == {"Otter 2"}
    only = call(told, "donors", "Otter 1", "magneto", "--format", "csv").rows()
    assert [one["part"] for one in only] == ["magneto"]


def test_donors_of_a_part_for_all_vehicles(told):
    rows = call(told, "donors", "magneto", "--format", "csv").rows()
    assert {(one["vehicle"], one["part"]) for one in rows} == {("Otter 1", "magneto")}
    assert call(told, "donors", "Oter 1", "magneto").code == 1


def test_a_day_before_anything_was_said_has_no_lacks(told):
    assert (
        call(told, "lacks", "--as-of", "2020-01-01", "--known-now", "--format", "csv").rows() == []
    )
    # recorded today: without --known-now nothing was in the records on that day
    assert call(told, "lacks", "--as-of", "2026-03-31", "--format", "csv").rows() == []


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("lacks", "Oter 1"), 1, "otter 1"),
        (("donors", "Otter 9"), 1, "otter"),
        (("holders", "zzqx"), 1, "zzqx"),
        (("donors", "Otter 1", "zzqx"), 1, "zzqx"),
        (("lacks", "--as-of", "31/02/2026"), 2, "31/02/2026"),
        (("lacks", "--as-of", "soon"), 2, "soon"),
        (("lacks", "--format", "xml"), 2, "xml"),
        (("lacks", "--bogus"), 2, "--bogus"),
        (("bogus",), 2, "bogus"),
        (("holders",), 2, "WORDS"),
        (("trace",), 2, "ID"),
        (("trace", "zz"), 1, "'zz'"),
        (("layout", "nope.csv"), 1, "nope.csv"),
        (("layout", "list.csv", "--kind", "rubbish", "--by", "R"), 2, "rubbish"),
        (("layout", "list.csv", "--kind", "want"), 2, "--by"),
        (("layout", "list.csv", "--field", "Nope=quantity", "--by", "R"), 2, "No. off"),
        (("layout", "list.csv", "--field", "No. off=quanity", "--by", "R"), 2, "quantity"),
        (("layout", "list.csv", "--field", "No. off", "--by", "R"), 2, "NAME=MEANING"),
        (("layout", "list.csv", "--sheet", "Two", "--kind", "want", "--by", "R"), 2, "Two"),
        (("layout", "survey.csv", "--mark", "N=perhaps so", "--by", "R"), 1, "perhaps so"),
        (("mending", "--source", "nope"), 1, "nope"),
        (("questions", "--topic", "weather"), 2, "weather"),
        (("answer", "ffff", "yes", "--by", "R"), 1, "ffff"),
        (("answer", "ffff", "yes"), 2, "--by"),
        (("undo", "ffff", "--by", "R"), 1, "ffff"),
        (("settings", "colour"), 1, "colour"),
        (("settings", "country", "Britain"), 1, "Britain"),
        (("import", "no-such-folder"), 1, "no-such-folder"),
    ],
)
def test_what_is_wrong_is_said_in_plain_words(told, words, code, said):
    answer = call(told, *words)
    assert answer.code == code
    assert said.casefold() in (answer.err + answer.out).casefold()


@pytest.mark.parametrize(
    "command", ["lacks", "questions", "sources", "decisions", "mending", "rematch"]
)
def test_a_folder_without_a_club_is_said_to_have_none(tmp_path, command):
    answer = call(tmp_path, command)
    assert answer.code == 1
    assert "no club" in answer.err
    assert list(tmp_path.iterdir()) == []


def test_a_club_file_of_rubbish_is_left_as_it_is(tmp_path):
    file = tmp_path / "club.duckdb"
    file.write_bytes(b"rubbish" * 1000)
    answer = call(tmp_path, "lacks")
    assert answer.code == 1
    assert "damaged" in answer.err
    assert file.read_bytes() == b"rubbish" * 1000


def test_a_club_folder_that_is_a_file_is_a_wrong_call(tmp_path):
    file = tmp_path / "letter.txt"
    file.write_text("dear all")
    assert call(file, "lacks").code == 2


def test_a_write_protected_folder_can_be_asked_and_is_named(fresh, sheets, monkeypatch):
    (sheets / "more.csv").write_text("What,How many\nDynamo,1\n")
    really_open = os.open

    def protected(path, flags, *more, **named):
        if str(fresh) in str(path) and flags & (os.O_RDWR | os.O_WRONLY | os.O_CREAT):
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return really_open(path, flags, *more, **named)

    monkeypatch.setattr(os, "open", protected)
    answer = call(fresh, "import", str(sheets))
    assert answer.code == 1
    assert "may be read but not written" in answer.err
    assert call(fresh, "sources").code == 0


def test_the_environment_names_the_club(told):
    answer = Told(CliRunner(env={"PARTMUSTER_CLUB": str(told)}).invoke(main, ["sources"]))
    assert answer.code == 0
    assert "register.csv" in answer.out


def test_an_import_prints_a_line_a_file_and_the_sum(tmp_path, sheets):
    answer = call(tmp_path / "club", "import", str(sheets))
    lines = answer.out.splitlines()
    assert answer.code == 0
    assert {line.split(":")[0] for line in lines[:4]} == set(SHEETS)
    words = lines[4].split()
    numbers = [int(word) for word in words if word.isdigit()]
    # counted by hand: 4 + 8 rows, 2 rows + 8 cells, 4 rows
    assert numbers[0] == sum(numbers[1:]) == 26
    assert "spares.csv" in lines[5]
    assert "31/02/2026" in lines[5]
    again = call(tmp_path / "club", "import", str(sheets), "--format", "csv").rows()
    assert {row["outcome"] for row in again} == {"unchanged"}


def test_a_file_that_cannot_be_read_fails_alone(tmp_path, sheets):
    (sheets / "broken.xlsx").write_bytes(b"PK\x03\x04 no workbook")
    answer = call(tmp_path / "club", "import", str(sheets), "--format", "json")
    outcomes = {row["file"]: row["outcome"] for row in json.loads(answer.out)}
    assert answer.code == 1
    assert outcomes.pop("broken.xlsx") == "failed"
    assert set(outcomes.values()) == {"new"}


def test_mending_says_where_what_and_what_to_do(fresh):
    [row] = call(fresh, "mending", "--format", "csv").rows()
    assert (row["file"], row["row"], row["field"], row["value"]) == (
        "spares.csv", "4", "date", "31/02/2026",
    )  # fmt: skip
    assert row["code"] == "impossible-date"
    assert row["what_to_do"]
    assert call(fresh, "mending", "--source", "list.csv", "--format", "csv").rows() == []
    traced = call(fresh, "trace", row["trace"])
    assert "Steering wheel" in traced.out


def test_sources_add_up(fresh):
    rows = call(fresh, "sources", "--format", "csv").rows()
    assert {row["name"] for row in rows} == set(SHEETS)
    for row in rows:
        parts = ("lines_loaded", "lines_decision", "lines_mending", "lines_not_data")
        assert int(row["lines_read"]) == sum(int(row[part]) for part in parts)


def test_settings_are_checked_and_kept(fresh):
    assert call(fresh, "settings", "club-name", "Another").code == 0
    rows = call(fresh, "settings", "--format", "csv").rows()
    values = {row["name"]: row["value"] for row in rows}
    assert values == {"club-name": "Another", "country": "GB", "match-error": ""}


@pytest.mark.parametrize(
    ("said", "kept"), [("1 in 100", "0.01"), ("0.5 %", "0.005"), ("0.002", "0.002"), ("0", "0")]
)
def test_the_share_of_matches_that_may_be_wrong_is_set_in_any_way_of_writing_it(fresh, said, kept):
    assert call(fresh, "settings", "match-error", said).code == 0
    rows = call(fresh, "settings", "match-error", "--format", "csv").rows()
    assert [row["value"] for row in rows] == [kept]


@pytest.mark.parametrize("said", ["often", "1 in 2", "50 %", "-1", "1 in 0", "nan"])
def test_a_share_that_is_none_or_too_large_is_refused_in_words(fresh, said):
    told = call(fresh, "settings", "--", "match-error", said)
    assert told.code != 0
    assert "1 in 200" in told.err


def test_words_are_matched_to_parts_with_a_reason(told):
    [row] = call(told, "match", "mudguard", "lh", "front", "--format", "csv").rows()
    assert (row["part_id"], row["side"], row["position"]) == ("mudguard", "left", "front")
    assert "mudguard" in row["reasons"]
    assert call(told, "match", "zzqx").code == 0

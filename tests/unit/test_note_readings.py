"""What an importer alone reads of a note, as facts to be scored."""

from __future__ import annotations

import json

import pytest

from tests.bench.note_readings import ByRules, notes_of, roster
from tests.bench.note_scores import score_note
from tests.unit.told_notes import ToldNotes


@pytest.fixture(scope="module")
def read(vocabulary, tmp_path_factory):
    reader = ByRules(ToldNotes(), roster(), vocabulary)
    folder = tmp_path_factory.mktemp("notes")

    def facts(*lines, name="2026-03-14 note"):
        rows = [{"raw_number": at, "words": f"statement {at}", **line}
                for at, line in enumerate(lines, 1)]  # fmt: skip
        path = folder / f"{name}.told"
        path.write_text(json.dumps(rows), encoding="utf-8")
        return reader.facts(path)

    return facts


MISSING = {"kind": "survey", "description": "dynamo", "presence": "missing"}


def test_names_stand_for_those_who_bear_them(read):
    [one] = read({**MISSING, "vehicle": "the Nettle", "rule": "no X"})
    assert (one.vehicle, one.presence, one.asked, one.rule) == ("bramble-9", "missing", "", "no X")
    [one] = read({"kind": "holding", "holder": "Mrs Crane", "description": "carb"})
    assert (one.holder, one.part) == ("hester-crane", "carb")


def test_sides_are_those_of_the_country_and_the_day_is_that_of_the_name(read):
    [one] = read({**MISSING, "vehicle": "Otter 2", "side": "n/s", "description": "headlamp"})
    assert (one.side, one.date) == ("left", "2026-03-14")


def test_of_readings_the_one_whose_names_are_known_counts(read):
    names = ("Quill Barn", "Nettle", "Hester")
    lines = [{**MISSING, "raw_number": 1, "vehicle": name, "choice": name} for name in names]
    [one] = read(*lines)
    assert (one.vehicle, one.asked) == ("bramble-9", "")


@pytest.mark.parametrize(("name", "known"), [("Nettle", "bramble-9"), ("Snacks", "otter-4")])
def test_a_reading_of_last_resort_holds_only_where_no_other_can(read, name, known):
    lines = [
        {**MISSING, "raw_number": 1, "vehicle": name, "choice": "1"},
        {**MISSING, "raw_number": 1, "vehicle": "Duchess", "choice": "else 1"},
    ]
    [one] = read(*lines)
    assert (one.vehicle, one.asked) == (known, "")


def test_what_no_name_settles_is_asked_about(read):
    readings = ({**MISSING, "raw_number": 1, "vehicle": "Edna", "choice": "1"},
                {"kind": "want", "raw_number": 1, "holder": "Edna", "description": "dynamo",
                 "choice": "2"})  # fmt: skip
    found = read(*readings)
    assert found
    assert all(one.asked for one in found)
    scores = score_note([], found)
    assert scores.invented == 0


def test_a_vehicle_that_nobody_knows_is_asked_about(read):
    [one] = read({**MISSING, "vehicle": "the Stoat"})
    assert "vehicle" in one.asked


def test_what_cannot_be_read_is_asked_about(read):
    [one] = read(
        {"kind": "want", "holder": "Ivo", "description": "dynamo", "quantity": "umpteenish"}
    )
    assert one.asked


def test_true_lines_are_read_with_the_ids_of_their_names(tmp_path):
    (tmp_path / "a.txt").write_text("Otter 2 has no dynamo.", encoding="utf-8")
    (tmp_path / "a.facts.csv").write_text(
        "kind,vehicle,holder,part\nsurvey,Otter 2,,dynamo\nsurvey,the Stoat?,,seat\n",
        encoding="utf-8",
    )
    [note] = notes_of(tmp_path, roster())
    assert note.path.name == "a.txt"
    assert [one.vehicle for one in note.true] == ["otter-2", "the Stoat?"]

"""What a clause leaves to be understood from the one before it, or from its order."""

from __future__ import annotations

import pytest

from partmuster_plugins.hand_notes.documents import Note, Paragraph
from partmuster_plugins.hand_notes.note import read_note
from tests.unit.told_surveys import surveys


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The bonnet is there, and the windscreen frame.", [
            "bonnet: fitted", "windscreen frame: fitted"]),
        ("The radiator isn't on her, nor the cowl.", ["radiator: missing", "cowl: missing"]),
        ("The horn is still fitted, as is the ammeter.", ["horn: fitted", "ammeter: fitted"]),
        ("The dynamo has gone, and with it the coil.", ["dynamo: missing", "coil: missing"]),
        ("The starter is seized, and so is the clutch", [
            "starter: fitted bad", "clutch: fitted bad"]),
    ],
)  # fmt: skip
def test_a_part_named_behind_a_state_shares_it(text, expected):
    assert sorted(surveys(text)) == sorted(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Of the two extinguishers I saw none.", ["2 extinguishers: missing"]),
        ("Of the engine deck nothing is left.", ["engine deck: missing"]),
        ("There should be a fan belt, of which there is no trace", ["fan belt: missing"]),
        ("Of the horn not a sign, but the dynamo is in place", [
            "horn: missing", "dynamo: fitted"]),
    ],
)  # fmt: skip
def test_of_something_there_is_none(text, expected):
    assert sorted(surveys(text)) == sorted(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The traverse handle a bicycle pedal", ["traverse handle: stand-in adapted"]),
        ("Radiator cap a jam jar lid with a washer", ["radiator cap: stand-in adapted"]),
        ("Battery tray: biscuit tin", ["battery tray: stand-in adapted"]),
    ],
)  # fmt: skip
def test_a_household_thing_behind_a_part_stands_in_for_it(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The winch was uncovered at last and was unusable.", ["winch: fitted bad"]),
        ("The fan cowl, which is dented, is seized on its studs", ["fan cowl: fitted bad"]),
        ("The horn that should sit there has been replaced by a brass bulb", [
            "horn: stand-in adapted"]),
    ],
)  # fmt: skip
def test_a_state_holds_for_the_subject_of_its_clause(text, expected):
    assert [one.removesuffix(" (?)") for one in surveys(text)] == expected


@pytest.mark.parametrize(
    "text",
    [
        "The bonnet is there, and the windscreen frame I shall look for on Sunday",
        "The bonnet is there, and a windscreen frame would be welcome",
        "The horn is seized, and the bracket I shall paint",
        "Of the dynamo I can say that it came from the mill",
        "A dynamo and a tin of paint were in the boot of my car",
        "The gearbox, a heavy brute, took four of us to lift",
    ],
)
def test_what_is_told_of_one_part_is_not_told_of_the_next(text):
    parts = ("windscreen frame", "bracket", "dynamo", "gearbox")
    assert not [one for one in surveys(text) if one.split(": ")[0].endswith(parts)]


def test_a_table_without_known_heads_is_read_by_its_rows():
    cells = [("Check", "Result"), ("layshaft", "seized"), ("drain plug", "absent")]
    paragraphs = [Paragraph("Otter 1", "line 1", 1, heading=True)] + [
        Paragraph(" | ".join(row), f"line {at}", at, table_row=row)
        for at, row in enumerate(cells, 2)
    ]
    stated, _ = read_note(Note(None, None, tuple(paragraphs)), "note.md")
    said = [(one.statement.fields["description"], one.statement.fields["presence"])
            for one in stated if one.statement.kind == "survey"]  # fmt: skip
    assert said == [("layshaft", "fitted"), ("drain plug", "missing")]
    assert stated[1].statement.words == "drain plug | absent"

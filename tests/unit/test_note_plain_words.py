"""Which statements of a note count by themselves, and which wait until a person says yes."""

from __future__ import annotations

import pytest

from partmuster.host import source_file
from partmuster.plugin_api import Lines
from partmuster_plugins.hand_notes.importer import HandNotes

PLAIN = ("No dynamo.", "The radiator is missing.", "Horn there, but seized.",
         "Both track guards are there.")  # fmt: skip
ASKED = (
    "I think the dynamo is missing.",
    "Ivo says the dynamo is missing.",
    "I have a spare dynamo, for sale.",
    "Looking for a starter motor.",
    "The rear plate is riveted.",
    "The dynamo is missing, as all who ever looked under the deck could have told you.",
)


def lines_of(folder, words):
    """Return the lines of a note about Otter 2, each statement once."""
    path = folder / "note.txt"
    path.write_text(f"Otter 2, 12 April 2025\n\n{words}\n", "utf-8")
    rows = [row for batch in HandNotes().read(source_file(path)) if isinstance(batch, Lines)
            for row in batch.frame.to_dicts()]  # fmt: skip
    return list({row["raw_number"]: row for row in rows}.values())


@pytest.mark.parametrize("words", PLAIN)
def test_a_plain_short_sentence_about_a_vehicle_counts(tmp_path, words):
    rows = lines_of(tmp_path, words)
    assert [row["kind"] for row in rows] == ["survey"]
    assert rows[0]["doubt"] is None


@pytest.mark.parametrize("words", ASKED)
def test_what_is_often_read_wrongly_is_asked_about(tmp_path, words):
    rows = lines_of(tmp_path, words)
    assert rows
    assert all("is this what they say?" in row["doubt"] for row in rows)


def test_what_is_told_of_the_past_counts_as_told(tmp_path):
    rows = lines_of(tmp_path, "She came from the brickworks in 1968.")
    assert [(row["kind"], row["doubt"]) for row in rows] == [("history", None)]


@pytest.mark.parametrize(
    "words",
    ["I lent no dynamo to anybody.", "The dynamo.\n\nSeized.", "She wintered badly."],
)
def test_what_does_not_plainly_say_it_of_its_part_waits(tmp_path, words):
    rows = lines_of(tmp_path, words)
    assert all("is this what they say?" in (row["doubt"] or "") for row in rows)

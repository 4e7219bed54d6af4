"""What members tell of a vehicle's past: a clause a line, in their words, no doings of today."""

from __future__ import annotations

import pytest

from .told_by_notes import stated

HEAD = "Otter 3, 5 May 2025\n\n"


def told(tmp_path, text, vehicle="Otter 3"):
    """Return what a note on Otter 3 tells of the past, with hedge, hearsay and another vehicle."""
    found = []
    for one in stated(tmp_path, HEAD + text):
        if one.statement.kind != "history":
            continue
        words = one.statement.fields["statement"]
        words += " / unsure" * (not one.statement.sure)
        words += " / heard" * (not one.statement.first_hand)
        about = one.statement.vehicles[:1]
        words += f" / {about[0]}" if about and about[0] != vehicle else ""
        found.append(words)
    return found


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("She was sold to a quarry at Hob End in 1957.",
         ["She was sold to a quarry at Hob End in 1957"]),
        ("It belonged to the gas board before the club had it.",
         ["It belonged to the gas board before the club had it"]),
        ("She spent the war at the gunnery school.", ["She spent the war at the gunnery school"]),
        ("Otter 5 came here from a fairground in 1962.",
         ["Otter 5 came here from a fairground in 1962 / Otter 5"]),
        ("She started life as a recovery tractor.", ["She started life as a recovery tractor"]),
        ("Sold off in 1955 to a timber merchant.", ["Sold off in 1955 to a timber merchant"]),
        ("She was painted sand colour until 1948.", ["She was painted sand colour until 1948"]),
        ("She came off the coal board in sixty two.", ["She came off the coal board in sixty two"]),
        ("My uncle drove her for the county council.",
         ["My uncle drove her for the county council"]),
        ("They pulled her out of the river with two horses in '47.",
         ["They pulled her out of the river with two horses in '47"]),
        ("She was sold in 1959 to a farm at Lorn and stood in a field there till 1980.",
         ["She was sold in 1959 to a farm at Lorn", "stood in a field there till 1980"]),
        ("The old girl was used as a target on the ranges.",
         ["The old girl was used as a target on the ranges"]),
        ("Before that she was with the engineers.", ["Before that she was with the engineers"]),
        ("She was rebuilt at Torford in 1951, and in 1960 she went to a breaker.",
         ["She was rebuilt at Torford in 1951", "in 1960 she went to a breaker"]),
        ("Mr Sand says she pulled a plough at Low Fell.",
         ["she pulled a plough at Low Fell / heard"]),
        ("I think she was at the trials in 1944.", ["she was at the trials in 1944 / unsure"]),
        ("She was bought in 1973 by a scrap man.", ["She was bought in 1973 by a scrap man"]),
        ("Converted to a crane carrier about 1950.", ["Converted to a crane carrier about 1950"]),
    ],
)  # fmt: skip
def test_tells_the_past_in_the_notes_own_words(tmp_path, text, expected):
    assert told(tmp_path, text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "She was towed to the shed on Sunday and she runs well.",
        "I went to the sale at the old barracks and bought a cake.",
        "The dynamo came off a lorry.",
        "The radiator came from the breaker's in March.",
        "Was she sold to the army in 1950?",
        "She will go to the museum next year.",
        "We took her out of the shed and put her back.",
        "It was cold in the club house and it rained until four.",
        "He came from Torford with his dog in 1990.",
        "She ran for four minutes this morning.",
        "Sold the spare horn to a dealer.",
        "The door was painted grey by Ivo.",
        "The engine was rebuilt in 1960 and is seized.",
        "She must go to the painter before the show.",
        "Gwen was in the army and she is 81.",
    ],
)
def test_tells_nothing_of_today_of_parts_and_of_people(tmp_path, text):
    assert told(tmp_path, text) == []


def test_keeps_the_conclusion_and_the_year_apart(tmp_path):
    [one] = [
        one.statement
        for one in stated(
            tmp_path,
            HEAD + "The guards are straight, so she must have been a training vehicle.",
        )
        if one.statement.kind == "history"
    ]  # fmt: skip
    assert "must have been a training vehicle" in one.fields["conclusion"]
    assert not one.sure
    [year] = [
        one.statement
        for one in stated(tmp_path, HEAD + "She was sold to a quarry at Hob End in 1957.")
        if one.statement.kind == "history"
    ]  # fmt: skip
    assert year.fields["happened_on"] == "1957"
    assert "conclusion" not in year.fields

"""More ways in which members tell of a vehicle's past."""

from __future__ import annotations

import pytest

from .test_note_history import told
from .told_by_notes import stated


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # what they did with her
        ("We had her pulling stumps out of the top wood.",
         ["We had her pulling stumps out of the top wood"]),
        ("One winter young Albert put her through the barn wall.",
         ["One winter young Albert put her through the barn wall"]),
        ("My father traded two cows for her in 1958.",
         ["My father traded two cows for her in 1958"]),
        ("The sawmill bought her afterwards.", ["The sawmill bought her afterwards"]),
        ("The navy painted her blue for one summer for a film.",
         ["The navy painted her blue for one summer for a film"]),
        ("After that they gave her to the pioneers.", ["After that they gave her to the pioneers"]),
        ("It was my aunt who called her Griselda.", ["It was my aunt who called her Griselda"]),
        ("Grandad drove her from the spring of 1951 until they were disbanded.",
         ["Grandad drove her from the spring of 1951 until they were disbanded"]),
        ("In 1964 my cousin saw her hauling slate at Dunmore.",
         ["In 1964 my cousin saw her hauling slate at Dunmore"]),
        ("They changed her engine in 1961.", ["They changed her engine in 1961"]),
        # what became of her
        ("She came to Hob Farm in the spring of 1957 upon a low loader.",
         ["She came to Hob Farm in the spring of 1957 upon a low loader"]),
        ("She was the signals lorry then, with a mast on the back.",
         ["She was the signals lorry then, with a mast on the back"]),
        ("In the floods she brought out nine people and a goat.",
         ["In the floods she brought out nine people and a goat"]),
        ("It was bought as a hen house.", ["It was bought as a hen house"]),
        ("It was an ambulance before that.", ["It was an ambulance before that"]),
        ("It gritted the pass every winter up to 1964.",
         ["It gritted the pass every winter up to 1964"]),
        ("She never turned a wheel after the jubilee.",
         ["She never turned a wheel after the jubilee"]),
        ("She'd been used before that to tow boats up a slip.",
         ["She had been used before that to tow boats up a slip"]),
        ("She was used by the part-timers.", ["She was used by the part-timers"]),
        ('In those days she was "Number Four".', ['In those days she was "Number Four"']),
        ("Was in the carnival at Lorn in 1986.", ["Was in the carnival at Lorn in 1986"]),
        # as a register or a log has it
        ("First entered 3 May 1957 to the Lorn Drainage Board.",
         ["First entered 3 May 1957 to the Lorn Drainage Board"]),
        ("Transferred in 1966 to a Mr Pask, showman.",
         ["Transferred in 1966 to a Mr Pask, showman"]),
        ("3 yrs with the training wing.", ["3 yrs with the training wing"]),
        # a part changed long ago
        ("The engine was changed in 1962 by a garage at Lorn.",
         ["The engine was changed in 1962 by a garage at Lorn"]),
        ("I regard the gearbox as a replacement fitted in service.",
         ["I regard the gearbox as a replacement fitted in service"]),
    ],
)  # fmt: skip
def test_tells_the_past_in_more_words(tmp_path, text, expected):
    assert told(tmp_path, text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "A dealer called Dunn had a differential, 140 pounds, and five hub caps.",
        "Total spent 61 pounds of 60.",
        "They gave her the minutes to read.",
        "We had her running by four o'clock.",
        "I saw her at the meeting in March.",
        "The brake shoes were changed last week.",
        "Two hours with the grinder.",
        "My aunt called her on the telephone.",
        "She brought out a tray of tea and a cake.",
        "I put her in the shed out of the rain.",
        "It was a wet day before that.",
        "She was the first to the bar.",
        "The engine was changed over to paraffin on Sunday.",
    ],
)
def test_tells_nothing_of_dealings_and_of_the_day(tmp_path, text):
    assert told(tmp_path, text) == []


def test_asks_of_which_vehicle_a_past_is_told_where_none_is_named(tmp_path):
    text = "Thank you for the tea.\n\nGrandad drove her from 1951 until they were disbanded.\n"
    found = [one.statement for one in stated(tmp_path, text)]
    assert [(one.kind, one.vehicles) for one in found] == [("history", ())]

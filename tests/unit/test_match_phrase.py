"""Which words of a description name the thing, which say what it is for, and which only remark."""

from __future__ import annotations

import pytest

from partmuster.stages.matching.trust_phrase import other_things, phrase_of


@pytest.mark.parametrize(
    ("text", "head", "behind"),
    [
        ("gasket for thermostat housing, torn", "gasket", {"thermostat", "housing"}),
        ("engine cover bolts", "bolt", set()),
        ("carb off the heron, seized", "carb", {"heron"}),
        ("exhaust pipe flattened", "pipe", set()),
        ("half a set of spanners", "spanner", set()),
        ("water pump w/o pulley", "pump", {"pulley"}),
        ("drawing of front axle", "drawing", {"axle"}),
    ],
)
def test_the_head_is_what_the_thing_is(text, head, behind):
    phrase = phrase_of(text)
    assert phrase.head.rstrip("s") == head
    assert behind <= phrase.behind
    assert not behind & set(phrase.core)


def test_a_description_that_is_turned_round_names_the_thing_first():
    phrase = phrase_of("plug, drain, gearbox")
    assert phrase.turned
    assert phrase.head == "plug"
    assert {"plug", "drain", "gearbox"} <= set(phrase.core)


def test_two_things_in_one_line_are_told_from_one():
    assert phrase_of("dynamo and starter motor").joined
    assert not phrase_of("starter motor").joined


def test_a_text_without_a_word_names_nothing():
    for text in ("", "12 / 4", "...", ","):
        assert phrase_of(text).head == ""


def test_tools_and_papers_are_things_of_their_own():
    assert {"sharpener", "drawing"} <= other_things()

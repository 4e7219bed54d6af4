"""What a clause says of a part where no saying has its form."""

from __future__ import annotations

import pytest

from tests.unit.told_surveys import surveys


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The bonnet is on. She has been relieved of the horn.", [
            "bonnet: fitted", "horn: missing"]),
        ("Somebody has helped themselves to the periscope.", ["periscope: missing"]),
        ("I could find neither silencer nor any trace of the fuel pump.", [
            "silencer: missing", "fuel pump: missing"]),
        ("Persons unknown made off with the carburettor and the magneto", [
            "carburettor: missing", "magneto: missing"]),
        ("The dynamo is in. There's no vestige of a starter", [
            "dynamo: fitted", "starter: missing"]),
        ("She is devoid of headlamps", ["headlamps: missing"]),
    ],
)  # fmt: skip
def test_words_before_a_part_say_that_it_is_missing(text, expected):
    assert sorted(surveys(text)) == sorted(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("She has kept her horn.", ["horn: fitted"]),
        ("Otter 1 still boasts an ammeter", ["ammeter: fitted"]),
        ("It came with a starter and still carries its tool box", [
            "starter: fitted", "tool box: fitted"]),
        ("Dynamo and horn, and no starter.", [
            "dynamo: fitted", "horn: fitted", "starter: missing"]),
        ("Otter 1 has a left headlamp but no glass.", [
            "left headlamp: fitted", "glass: missing"]),
        ("The tool locker has a lid.", ["lid: fitted"]),
        ("There's the engine, and there's a coil but no plug leads", [
            "engine: fitted", "coil: fitted", "plug leads: missing"]),
        ("All four brake drums, zero brake shoes", [
            "4 brake drums: fitted", "brake shoes: missing"]),
    ],
)  # fmt: skip
def test_words_before_a_part_say_that_it_is_there(text, expected):
    assert sorted(surveys(text)) == sorted(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The water pump however is shot", ["water pump: fitted bad"]),
        ("The dynamo up at the front end of her is seized", ["dynamo: fitted bad"]),
        ("The horn Bert bolted on last year is gone", ["horn: missing"]),
        ("The fuel pump was found, on closer inspection, to be seized", ["fuel pump: fitted bad"]),
        ("The radiator, I regret to say, has perished beyond redemption", [
            "radiator: fitted bad"]),
    ],
)  # fmt: skip
def test_words_of_state_may_stand_further_behind(text, expected):
    assert sorted(surveys(text)) == sorted(expected)


@pytest.mark.parametrize(
    "text",
    [
        "Has anybody helped themselves to the periscope?",
        "I shall see that nobody makes off with the carburettor",
        "If she has kept her horn I will be glad",
        "He told me all about the dynamo and then his kettle was broken",
        "She has a starter to collect on Monday",
        "He has a dynamo in his shed and the shed is dry",
        "There's a dynamo at the farm",
        "We talked about the gearbox and then the pub was shut",
        "A starter and a cup of tea, that is all I want from life",
        "The dynamo ought to be seized by now",
    ],
)
def test_other_clauses_say_nothing_of_a_part(text):
    assert surveys(text) == []

"""Descriptions that name nothing, put together so that one answer settles them all."""

from __future__ import annotations

import random

import pytest

from partmuster.running.alike import Described, groups_of


def grouped(*words):
    groups = groups_of([Described(text, 1) for text in words])
    return [[one.words for one in group] for group in groups]


@pytest.mark.parametrize(
    "other",
    ["Humming pots", "humming pott", "POT, HUMMING", "humming pot LH", "Humming pot (r/h)",
     "huming pot", "the humming pot"],
)  # fmt: skip
def test_the_same_thing_in_other_spelling_is_one(other):
    assert len(grouped("Humming pot", other)) == 1


@pytest.mark.parametrize(
    "other",
    ["Humming pot 2 in", "Humming pot, front", "Humming pot bracket for the cab heater",
     "Wobble iron", "Thumping post", "not a humming pot", "Humming pot B"],
)  # fmt: skip
def test_what_may_be_another_thing_is_apart(other):
    assert len(grouped("Humming pot", other)) == 2


def test_sizes_must_be_the_same():
    groups = grouped("wibble 3/8 pin", "wibble pin 3/8", "wibble 1/2 pin")
    assert sorted(groups) == [["wibble 1/2 pin"], ["wibble 3/8 pin", "wibble pin 3/8"]]


def test_one_context_is_kept_apart_from_another():
    described = [Described("odd cover", 1, ("engine",)), Described("odd cover", 1, ("gearbox",))]
    assert len(groups_of(described)) == 2


def test_the_words_of_most_lines_lead_and_no_chain_joins_what_is_unlike():
    steps = ["wabbling bracket", "wabblinx bracket", "wobblinx bracket", "wobblixx brackyt"]
    described = [Described(words, 9 - at) for at, words in enumerate(steps)]
    groups = groups_of(described)
    assert groups[0][0].words == steps[0]
    assert steps[3] not in [one.words for one in groups[0]]


def test_the_order_of_what_is_asked_makes_no_difference():
    described = [Described(f"{a} {b}", 1) for a in ("wibble", "wobble", "woble", "wibbles")
                 for b in ("pot", "pots", "iron", "irons", "iorn")]  # fmt: skip
    before = groups_of(described)
    random.Random(7).shuffle(described)
    assert groups_of(described) == before


def test_a_group_stays_small_enough_to_be_looked_through():
    groups = groups_of([Described("humming pot", 1, (), f"q{number:04}") for number in range(250)])
    assert sum(map(len, groups)) == 250
    assert max(map(len, groups)) == 100


def test_many_descriptions_are_grouped_in_bounded_time():
    rng = random.Random(3)
    heads = ["".join(rng.choices("abcdefghijklmnoprstu", k=6)) for _ in range(400)]
    described = [Described(f"{rng.choice(heads)} {rng.choice(heads)} bracket", 1, (), str(number))
                 for number in range(6000)]  # fmt: skip
    compared = []
    groups_of(described, heard=lambda: compared.append(1))
    assert len(compared) < 200 * len(described)

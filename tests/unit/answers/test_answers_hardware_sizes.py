"""Sizes of one piece of standard hardware are items of their own: worked by hand."""

from __future__ import annotations

import pytest

SMALL, LARGE = "bolt 3/8 UNF", "bolt 1/2 UNF"


def required(club, words, quantity, part_id="bolt", *clauses, source="parts list", **more):
    club.name("part", words, part_id)
    line = club.say(
        "requirement", source=source, family="Otter", description=words, item_key=words,
        at_least=quantity, at_most=quantity, all_builds=not clauses, **more,
    )  # fmt: skip
    club.clauses(line, *clauses)
    return line


def seen(club, words, presence="missing", quantity=None, part_id="bolt", vehicle="Otter 1"):
    club.name("part", words, part_id)
    return club.say(
        "survey", source="survey", vehicle=vehicle, vehicle_key=vehicle.lower(),
        description=words, item_key=words, presence=presence, at_least=quantity,
        at_most=quantity, quantified=quantity is not None, service="unknown", making="unknown",
    )  # fmt: skip


def held(club, holder, words, part_id="bolt"):
    club.name("part", words, part_id)
    return club.say(
        "holding", source=f"{holder}'s sheet", description=words, item_key=words, at_least=10,
        at_most=10, quantity_text="10", availability="offered", service="unknown",
        making="unknown", grade="good", **club.person(holder),
    )  # fmt: skip


@pytest.fixture
def otter(club):
    club.vehicle("Otter 1", mark="Mk 1", aim="full-original")
    return club


@pytest.fixture
def two_sizes(otter):
    required(otter, SMALL, 4)
    required(otter, LARGE, 6)
    return otter


@pytest.fixture
def with_lengths(otter):
    required(otter, "bolt 3/8 UNF x 1", 4)
    required(otter, "bolt 1/2 UNF x 2", 6)
    return otter


SMALL_SIZE, LARGE_SIZE = "3/8 in UNF x 1 in", "1/2 in UNF x 2 in"


def test_two_sizes_in_one_list_are_two_items(two_sizes):
    seen(two_sizes, "3/8 UNF bolts")
    seen(two_sizes, "bolts 1/2 UNF", quantity=2)
    assert two_sizes.lacks() == {
        ("bolt", "3/8 in UNF", "missing"): 4,
        ("bolt", "1/2 in UNF", "missing"): 2,
        ("bolt", "1/2 in UNF", "not-looked-at"): 4,
    }


def test_of_all_vehicles_it_is_told_alike(two_sizes):
    seen(two_sizes, "3/8 UNF bolts")
    assert two_sizes.lacks(None) == two_sizes.lacks()
    assert two_sizes.lacks(None)["bolt", "3/8 in UNF", "missing"] == 4


def test_bolts_of_which_no_size_is_said_are_all_of_them(two_sizes):
    seen(two_sizes, "bolts")
    assert two_sizes.lacks() == {
        ("bolt", "3/8 in UNF", "missing"): 4,
        ("bolt", "1/2 in UNF", "missing"): 6,
    }


def test_so_many_bolts_of_which_no_size_is_said_are_asked_about(two_sizes):
    line = seen(two_sizes, "bolts", quantity=3)
    rows = {(row["position"], row["state"]): row for row in two_sizes.lack_rows()}
    assert rows["3/8 in UNF", "not-looked-at"]["quantity"] == 4
    assert rows["1/2 in UNF", "not-looked-at"]["quantity"] == 6
    for size in ("3/8 in UNF", "1/2 in UNF"):
        told = rows[size, "not-looked-at"]["disagrees"]
        assert "size not stated: ask" in told
        assert line in told


def test_a_size_that_no_list_has_is_none_of_theirs(two_sizes):
    seen(two_sizes, "bolt 5/16 UNF", "fitted", 2)
    assert two_sizes.lacks() == {
        ("bolt", "3/8 in UNF", "not-looked-at"): 4, ("bolt", "1/2 in UNF", "not-looked-at"): 6,
    }  # fmt: skip


def test_an_offer_goes_to_the_size_it_is(with_lengths):
    seen(with_lengths, "bolts")
    held(with_lengths, "Hester", "1/2 UNF bolts 2in")
    rows = {row["position"]: row for row in with_lengths.donors()}
    assert (rows[LARGE_SIZE]["fit"], rows[LARGE_SIZE]["standing"]) == ("as-is", "offered")
    assert (rows[SMALL_SIZE]["fit"], rows[SMALL_SIZE]["standing"]) == ("never", "not offered")
    assert (rows[LARGE_SIZE]["lacking"], rows[SMALL_SIZE]["lacking"]) == (6, 4)


def test_what_is_on_a_hulk_is_offered_for_its_size(with_lengths):
    with_lengths.vehicle("Hulk", mark="Mk 1", role="breaking")
    seen(with_lengths, "bolts")
    seen(with_lengths, "bolt 1/2 UNF 2in", "fitted", 5, vehicle="Hulk")
    fits = {row["position"]: (row["fit"], row["quantity"])
            for row in with_lengths.donors("Otter 1")}  # fmt: skip
    assert fits == {LARGE_SIZE: ("as-is", "5"), SMALL_SIZE: ("never", "5")}


def test_lengths_tell_items_apart_too(otter):
    required(otter, "bolt 3/8 UNF x 1", 4)
    required(otter, "bolt 3/8 UNF x 2", 6)
    seen(otter, "bolts 3/8 UNF 2in")
    seen(otter, "bolts 3/8 UNF x 1", "fitted")
    assert otter.lacks() == {("bolt", "3/8 in UNF x 2 in", "missing"): 6}


def test_a_length_that_is_not_said_is_of_all_that_it_may_be(otter):
    required(otter, "bolt 3/8 UNF x 1", 4)
    required(otter, "bolt 3/8 UNF x 2", 6)
    required(otter, "bolt 1/2 UNF x 2", 8)
    seen(otter, "bolts 3/8 UNF")
    assert otter.lacks() == {
        ("bolt", "3/8 in UNF x 1 in", "missing"): 4,
        ("bolt", "3/8 in UNF x 2 in", "missing"): 6,
        ("bolt", "1/2 in UNF x 2 in", "not-looked-at"): 8,
    }


def test_lines_of_one_size_add_up_in_whatever_words(two_sizes):
    required(two_sizes, "BOLT, 3/8 IN UNF", 3)
    assert two_sizes.lacks() == {
        ("bolt", "3/8 in UNF", "not-looked-at"): 7, ("bolt", "1/2 in UNF", "not-looked-at"): 6,
    }  # fmt: skip


def test_of_two_lists_one_size_counts_once(two_sizes):
    required(two_sizes, "3/8 UNF bolt x 1 1/4", 4, source="another list")
    assert two_sizes.lacks() == {
        ("bolt", "3/8 in UNF x 1 1/4 in", "not-looked-at"): 4,
        ("bolt", "1/2 in UNF", "not-looked-at"): 6,
    }


def test_sizes_for_other_builds_are_no_items_of_this_one(otter):
    required(otter, SMALL, 4, "bolt", {"mark": "Mk 1"})
    required(otter, LARGE, 6, "bolt", {"mark": "Mk 2"})
    seen(otter, "bolts")
    assert otter.lacks() == {("bolt", "3/8 in UNF", "missing"): 4}


def test_one_size_alone_is_no_item_of_its_own(otter):
    required(otter, SMALL, 4)
    required(otter, "road wheel", 1, "road-wheel")
    seen(otter, "bolts")
    assert otter.lacks()["bolt", "missing"] == 4


def test_hardware_with_a_name_of_its_own_has_sizes_too(otter):
    required(otter, "sprocket bolt 5/8 UNF x 2", 8, "sprocket-bolt")
    required(otter, "sprocket bolt 5/8 UNF x 3", 2, "sprocket-bolt")
    assert otter.lacks() == {
        ("sprocket-bolt", "5/8 in UNF x 2 in", "not-looked-at"): 8,
        ("sprocket-bolt", "5/8 in UNF x 3 in", "not-looked-at"): 2,
    }


def test_explain_tells_of_each_size(with_lengths):
    seen(with_lengths, "bolts")
    held(with_lengths, "Hester", "1/2 UNF bolts 2in")
    said = {row["position"]: row["verdict"] for row in with_lengths.explain("bolt")}
    assert said == {LARGE_SIZE: "as-is", SMALL_SIZE: "never"}

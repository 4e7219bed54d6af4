"""A part number read from a page is held against the pattern of its neighbours."""

from __future__ import annotations

import pytest

from partmuster_plugins.parts_lists.numbers import (
    Doubted,
    Repaired,
    against_neighbours,
    places_of_one_kind,
)

LETTER_FIRST = ["A-84-9", "B-229-1", "C-102-9", "B-980-4", "A-60-4", "E-439-3", "K-845-3"]
FIGURES_ONLY = ["79807", "93419", "35578", "39719", "43970", "68619"]
MIXED = [
    "192-6718C", "856-8418", "74161", "367-3859A", "C-376-6", "K-718-8", "K-444-3", "4B.5740",
    "A-927-5", "CF173/2", "F-766-5", "4N.6272", "3E.7027", "23392",
]  # fmt: skip


@pytest.mark.parametrize(
    ("column", "read", "meant"),
    [
        (LETTER_FIRST, "6-404-8", "G-404-8"),
        (LETTER_FIRST, "8-404-8", "B-404-8"),
        (LETTER_FIRST, "5-72-1", "S-72-1"),
        (LETTER_FIRST, "E-4O4-8", "E-404-8"),
        (LETTER_FIRST, "E-l04-8", "E-104-8"),
        (LETTER_FIRST, "6-4O4-8", "G-404-8"),
        (FIGURES_ONLY, "I3798", "13798"),
        (FIGURES_ONLY, "1B79S", "18795"),
    ],
)
def test_a_slip_of_print_with_one_way_to_mend_it_is_mended(
    column: list[str], read: str, meant: str
) -> None:
    assert against_neighbours([*column, read]) == {len(column): Repaired(meant)}


def test_several_slips_of_one_hand_are_mended_each() -> None:
    found = against_neighbours([*LETTER_FIRST * 2, "6-39-3", "6-212-5"])
    assert found == {14: Repaired("G-39-3"), 15: Repaired("G-212-5")}


@pytest.mark.parametrize(
    "read",
    [
        "0-404-8",  # O, D or Q
        "9-404-8",  # like no letter
        "F404-8",  # a sign is lost
        "6-404B",
    ],
)
def test_a_number_of_a_pattern_of_its_own_without_one_way_to_mend_it_is_doubted(read: str) -> None:
    assert against_neighbours([*LETTER_FIRST, read]) == {len(LETTER_FIRST): Doubted()}


def test_numbers_in_which_each_1_may_be_a_stroke_are_doubted() -> None:
    column = [*MIXED, "CB802116", "EG35113"]
    assert against_neighbours(column) == dict.fromkeys(range(14, 16), Doubted())


def test_three_numbers_all_with_a_1_where_another_has_a_stroke_have_strokes() -> None:
    column = [*MIXED, "CB802116", "LA265111", "EG35113"]
    assert against_neighbours(column) == {
        14: Repaired("CB802/16"), 15: Repaired("LA265/11"), 16: Repaired("EG351/3")
    }  # fmt: skip


def test_a_stroke_that_may_stand_in_two_places_is_doubted() -> None:
    column = [*MIXED, "CF17/34", "CB812116", "LA215111", "EG31113"]
    assert against_neighbours(column) == dict.fromkeys(range(15, 18), Doubted())


def test_a_1_is_no_stroke_where_others_of_the_pattern_have_another_figure_there() -> None:
    column = ["RB30421", "RB30712", "RB30118", "RB30455", "RB304/2", "RB309/1", "RB311/4"]
    assert against_neighbours(column) == {}


@pytest.mark.parametrize(
    "column",
    [
        MIXED,
        LETTER_FIRST,
        FIGURES_ONLY,
        # Of a list of many makers a pattern that stands once tells nothing.
        ["95785", "78055", "71493", "56285", "2A.5116", "9D.8794", "1A.2231", "RC520/15",
         "881-3005B", "765-3050C", "752-2399B", "180-8185", "M-56-6"],
        # Words, dittos and dashes are no numbers.
        [*LETTER_FIRST, "NP", '"', "-", "see item 4", "BSO", None],
        # Sizes, quantities, codes and items are none either.
        ["1", "2", "3", "4", "I", "5A", "6"],
        ["1/4", "3/8", "5/16", "3/4", "B"],
        ["NUT, castle, 1/2 in.", "BOLT, hexagon", "BOX, steering", "ARM, drop", "8-404-8"],
        [],
        [None, None],
    ],
)  # fmt: skip
def test_what_is_right_is_left_alone(column: list[str | None]) -> None:
    assert against_neighbours(column) == {}


TWO_LETTERS = ["AG144/12", "HC444/15", "LA950/11", "BB765/11", "AE965/11", "KC806/11", "CE422/2"]


def test_one_figure_where_neighbours_have_a_letter_like_it_is_that_letter_in_all_of_them() -> None:
    # a hand that draws G and 6 alike
    column = [*TWO_LETTERS, "B6398/1", "L6883/2", "H6204/9"]
    assert against_neighbours(column) == {
        7: Repaired("BG398/1"), 8: Repaired("LG883/2"), 9: Repaired("HG204/9")
    }  # fmt: skip


def test_various_figures_where_neighbours_have_a_letter_are_a_pattern_of_their_own() -> None:
    assert against_neighbours([*TWO_LETTERS, "B6398/1", "L5883/2", "H8204/9"]) == {}


@pytest.mark.parametrize(
    "read",
    [
        "7H1890",  # a sign is lost
        "H.1890",  # the first figure is
        ".4904",
        "3A.4904-",
    ],
)
def test_a_number_that_lacks_a_part_of_a_neighbours_pattern_is_doubted(read: str) -> None:
    several = ["95785", "78055", "2A.5116", "9D.8794", "1A.2231", "RC520/15", "LA950/11",
               "CB802/16", "M-56-6", "A-927-5", "C-376-6"]  # fmt: skip
    assert against_neighbours([*several, read]) == {len(several): Doubted()}


@pytest.mark.parametrize("read", ["3723", "317233"])
def test_a_number_of_another_length_than_all_others_of_its_pattern_is_doubted(read: str) -> None:
    assert against_neighbours([*FIGURES_ONLY, read]) == {len(FIGURES_ONLY): Doubted()}


def test_the_length_of_numbers_that_differ_in_it_says_nothing() -> None:
    assert against_neighbours([*LETTER_FIRST, "E-9-3", "E-1394-3"]) == {}


def test_places_where_neighbours_all_have_a_letter_or_all_a_figure() -> None:
    assert places_of_one_kind([*FIGURES_ONLY, "13798"])[6] == {0, 1, 2, 3, 4}
    # a last letter may be one figure more, where others have none
    ending = ["351-9312A", "204-1073C", "482-1661B", "714-4181", "559-5258", "734-6729A"]
    assert places_of_one_kind([*ending, "768-2727C"])[6] == {0, 1, 2, 4, 5, 6, 7, 8}
    assert places_of_one_kind([*ending, "768-27270"])[6] == set()
    assert 6 not in places_of_one_kind([*ending, "768-2727c"])


def test_a_number_that_is_doubted_itself_does_not_put_its_neighbours_in_doubt() -> None:
    column = ["4H.6065", "6H.2072", "1E.1414", "6N.5034", "2A.5116", "9D.8794", "51.5128"]
    places = places_of_one_kind(column)
    assert 6 not in places
    assert places[0] == {0, 1, 3, 4, 5, 6}


@pytest.mark.parametrize("read", ["z404-8", "Do-503-1", "Al-180-2"])
def test_a_small_letter_among_capitals_is_doubted(read: str) -> None:
    verdicts = against_neighbours([*LETTER_FIRST, "AB-11-2", "CD-31-2", "EF-36-1", read])
    assert verdicts == {10: Doubted()}


def test_small_letters_are_themselves_where_neighbours_have_them_too() -> None:
    assert against_neighbours(["12-345a", "12-346b", "13-771a", "13-812c", "15-411b"]) == {}


def test_numbers_that_all_have_a_letter_where_more_have_a_figure_like_it_are_doubted() -> None:
    # "B5614": a hand that draws S and 5 alike; or "BS" is how they begin
    column = ["B7705", "S2258", "Z9282", "B7199", "O7799", "S1300", "BS614", "BS471", "BS953"]
    assert against_neighbours(column) == dict.fromkeys(range(6, 9), Doubted())


def test_numbers_that_all_have_a_1_in_one_place_may_have_a_stroke_there() -> None:
    # no other number of the column has a stroke
    column = ["95785", "3E.9228", "M-56-6", "74161", "EB113116", "EG34619", "BC332120", "AG48718"]
    assert against_neighbours(column) == dict.fromkeys(range(4, 8), Doubted())


@pytest.mark.parametrize(
    "column",
    [
        ["RB30121", "RB30112", "RB30118", "RB30155", "RB30167"],  # a series
        ["EB11316", "EG34619", "BC33220", "AG48618", "LC56318"],  # one has none
        ["H-101-2", "H-211-2", "H-313-1", "H-418-6", "H-514-3"],  # too short
    ],
)
def test_a_1_that_numbers_share_is_one_in_a_series_and_in_short_numbers(column: list[str]) -> None:
    assert against_neighbours(column) == {}

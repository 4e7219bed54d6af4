"""Which things are one by what people said of pairs: whatever the order, and never against a no."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from partmuster.store.decided_pairs import groups_of, pair_of, subject_of

_THINGS = st.sampled_from("abcdefg")
_PAIRS = st.lists(st.tuples(_THINGS, _THINGS).filter(lambda pair: pair[0] != pair[1]), max_size=8)


def test_three_that_are_one_two_by_two_are_one():
    assert groups_of([("b", "c"), ("a", "b"), ("x", "y")]) == [["a", "b", "c"], ["x", "y"]]


def test_a_group_that_holds_two_said_to_be_two_is_none():
    assert groups_of([("a", "b"), ("b", "c"), ("x", "y")], [("a", "c")]) == [["x", "y"]]


def test_a_subject_is_the_same_whichever_is_named_first():
    assert subject_of("b", "a") == subject_of("a", "b") == "a|b"
    assert pair_of("b|a") == ("a", "b")


@given(_PAIRS, _PAIRS, st.randoms())
def test_the_order_in_which_people_decide_does_not_matter(pairs, apart, chance):
    mixed = [pair[:: chance.choice((1, -1))] for pair in pairs]
    chance.shuffle(mixed)
    assert groups_of(mixed, reversed(apart)) == groups_of(pairs, apart)


@given(_PAIRS, _PAIRS)
def test_what_was_said_to_be_two_is_never_one(pairs, apart):
    for group in groups_of(pairs, apart):
        assert len(group) > 1
        assert not any(one in group and other in group for one, other in apart)

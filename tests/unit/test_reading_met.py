"""Which words beside a want close it, which leave so many, and which are asked about."""

from __future__ import annotations

import pytest

from partmuster.reading.held_cells import read_held
from partmuster.reading.met import read_met


@pytest.mark.parametrize(("words", "quantity"), [
    ("both found now", 2), ("found & fitted", 1), ("have it", 1), ("Got! 14.6.26", 1),
    ("no longer required (sold Otter 3)", 1), ("bought new, so not needed", 1),
    ("all found", 4), ("bought off Ivo 3/26", 1), ("Cancelled 12/9/26", 2),
])  # fmt: skip
def test_plain_words_close_a_want(words, quantity):
    assert read_met(words, quantity, day_first=True).closed


@pytest.mark.parametrize(("words", "quantity"), [
    ("LH found", 2), ("found one", 2), ("found, awaiting collection", 1), ("now need only 1", 3),
    ("Found a repro - still after original", 1), ("got the bonnet but hinges still wanted", 1),
    ("not needed unless cheap", 1),
])  # fmt: skip
def test_what_may_be_met_in_part_is_asked_about(words, quantity):
    reading = read_met(words, quantity)
    assert reading.asks
    assert not reading.closed


@pytest.mark.parametrize("words", [
    "may have found one", "found one but no good", "not found yet", "got to be the late type",
    "found on early ones only", "one promised by Bert", "Ordered", "made one up",
    "not the plated sort", "needed by June", "must not be rusty",
])  # fmt: skip
def test_hedged_words_and_other_matters_leave_it_open_unasked(words):
    reading = read_met(words, 1)
    assert not reading.closed
    assert not reading.asks


@pytest.mark.parametrize(("words", "left"), [
    ("got 1, need 1 more", 1), ("found 1, still need 1", 1), ("1 of 2 found, 1 to go", 1),
])  # fmt: skip
def test_what_is_left_is_wanted(words, left):
    assert read_met(words, 2).wanted == left


@pytest.mark.parametrize(("words", "wanted", "quantity", "remark"), [
    ("two more", True, "two", None), ("1 (for Otter 3)", False, "1", "for Otter 3"),
    ("1 in bay 2", False, "1", "in bay 2"), ("yes - 2", True, "2", None),
])  # fmt: skip
def test_what_stands_beside_a_count_is_a_remark(words, wanted, quantity, remark):
    cell = read_held(words, wanted=wanted)
    assert (cell.says, cell.quantity, cell.remark) == ("some", quantity, remark)

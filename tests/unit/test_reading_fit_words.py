"""Fits in whole sentences: read whole or not at all."""

from __future__ import annotations

import pytest

from partmuster.reading.fit_words import read_fit


@pytest.mark.parametrize(
    ("text", "grade", "thing", "place"),
    [
        ("Mk1 dynamo interchangeable with Mk 2", "as-is", "Mk 1", "Mk 2"),
        ("Mk 2 dynamo fits Mk 1, straight swap", "as-is", "Mk 2", "Mk 1"),
        ("Mk 2 dynamo replaces Mk 1 but not vice versa", "one-way", "Mk 2", "Mk 1"),
        ("Mk 2 dynamo goes on Mk 1 if redrilled", "with-work", "Mk 2", "Mk 1"),
        ("Don't put a Mk 2 dynamo on a Mk 1 because the boss fouls", "never", "Mk 2", "Mk 1"),
        ("Mk 2 dynamo does not fit Mk 1", "never", "Mk 2", "Mk 1"),
        ("Mk 2 dynamo fits Mk 1", "unknown", "Mk 2", "Mk 1"),
        ("Mk 1 and Mk 2 dynamos are the same", "as-is", "Mk 1", "Mk 2"),
    ],
)
def test_one_statement(text, grade, thing, place):
    (one,) = read_fit(text)
    assert (one.grade, one.mark, one.to_mark) == (grade, thing, place)


@pytest.mark.parametrize(
    "text",
    [
        "Late guard goes on early with no drilling",
        "Mk 2 dynamo used on Mk 1 only",
        "Mk 2 dynamo fits Mk 1 and Mk 3",
        "Late guards fit early ones and the other way",
        "Use late pins on early links only if matched",
        "Mk 1 dynamo replaces nothing",
        "Silencers are funny between marks",
        "",
    ],
)
def test_what_cannot_be_told_safely_is_not_read(text):
    assert read_fit(text) == ()


def test_one_way_with_work_says_that_the_other_way_does_not_go():
    there, back = read_fit("Late guard goes on early with two holes redrilled, not the other way")
    assert (there.grade, there.work, there.phase) == ("with-work", "two holes redrilled", "late")
    assert (back.grade, back.phase, back.to_phase) == ("never", "early", "late")


def test_a_side_goes_on_the_other_only_where_it_is_said():
    (same,) = read_fit("LH late guard goes on early if drilled")
    assert (same.side, same.to_side) == ("LH", "LH")
    (other,) = read_fit("LH late guard goes on RH early if drilled")
    assert (other.side, other.to_side) == ("LH", "RH")

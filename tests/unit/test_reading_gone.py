"""Words that say what has gone, how far a promise is, and words that only seem to."""

from __future__ import annotations

import pytest

from partmuster.reading.availability import read_availability
from partmuster.reading.gone import read_gone, read_gone_answer, title_says_gone
from partmuster.reading.stages import read_stage


@pytest.mark.parametrize(
    "remark",
    ["bagged and tagged", "carbon deposit", "pending repair", "paid for £20", "paint letting go",
     "allocated shelf 4", "withdrawn from service 1958", "claimed to be new"],
)  # fmt: skip
def test_words_that_mean_other_things_in_a_remark_say_nothing_of_an_offer(remark):
    assert read_availability(remark, in_passing=True).availability == "unknown"


@pytest.mark.parametrize(
    ("text", "gone", "when"),
    [
        ("Sold to Kit Rowe for £40 on 3 May 2026", True, "3 May 2026"),
        ("2 good; scrapped", True, None),
        ("gone to be plated", False, None),
        ("sold as a pair", False, None),
        ("paint gone", False, None),
    ],
)
def test_a_remark_says_that_a_thing_has_gone_or_not(text, gone, when):
    reading = read_gone(text)
    assert (reading.gone, reading.when, reading.unclear) == (gone, when, False)


@pytest.mark.parametrize("text", ["sold?", "I think sold", "was sold, came back", "Ivo has it now"])
def test_what_may_have_gone_is_unclear(text):
    reading = read_gone(text)
    assert reading.unclear
    assert not reading.gone


@pytest.mark.parametrize(("cell", "gone"), [("Bert 3/26", True), ("not yet", False), ("4", False)])
def test_an_answer_to_sold(cell, gone):
    assert read_gone_answer(cell).gone is gone


@pytest.mark.parametrize(
    ("title", "says"),
    [("Sold 2025", True), ("Not sold yet", False), ("Used parts", None), ("Stock", None)],
)
def test_a_title_says_that_all_below_has_gone(title, says):
    assert title_says_gone(title) is says


@pytest.mark.parametrize(
    ("words", "stage"),
    [("shaken on it", "agreed"), ("collected by Kit", "collected"), ("fell through", "lapsed"),
     ("may be collected", None), ("not collected yet", None), ("reserved?", None)],
)  # fmt: skip
def test_how_far_a_promise_is(words, stage):
    assert read_stage(words) == stage

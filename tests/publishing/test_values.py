"""How values are set in words, in every form that people read."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from partmuster_plugins.publishers.values import shown


@pytest.mark.parametrize(
    ("value", "kind", "words"),
    [
        (None, "text", ""),
        (None, "share", ""),
        (3.0, "number", "3"),
        (12345, "number", "12,345"),
        (0.5, "number", "0.5"),
        (1 / 3, "number", "0.333"),
        (-2.0, "number", "−2"),
        (-0.0, "number", "0"),
        (0.0004, "number", "0.0004"),
        (3.2e-16, "number", "0"),  # what is left when figures are subtracted
        (math.nan, "number", "not a number"),
        (math.inf, "number", "not a number"),
        (0.456, "share", "46 %"),
        (0.0, "share", "0 %"),
        (1.0, "share", "100 %"),
        (-0.05, "share", "−5 %"),
        (dt.date(2026, 3, 1), "day", "1 Mar 2026"),
        (True, "yes-no", "yes"),
        (False, "yes-no", "no"),
        ("two\nlines", "text", "two\nlines"),
        ("a\tb\r\nc", "text", "a b\nc"),
        ("a\x00b\ud800", "text", "a\ufffdb\ufffd"),
        ("said in words", "number", "said in words"),
    ],
)
def test_a_value_in_words(value, kind, words):
    assert shown(value, kind) == words


def test_a_share_is_not_rounded_to_all_or_nothing():
    # what nearly has all its parts is not whole, and what has one is not without
    assert shown(0.9999, "share") == "over 99 %"
    assert shown(0.0001, "share") == "under 1 %"


def test_of_many_ids_the_first_are_shown_and_the_others_counted():
    ids = ";".join(f"holding-{n:016x}.1" for n in range(5))
    assert shown(ids, "ids") == (
        "holding-0000000000000000.1; holding-0000000000000001.1; holding-0000000000000002.1; "
        "and 2 more"
    )
    assert shown("holding-1.1;holding-2.1", "ids") == "holding-1.1; holding-2.1"

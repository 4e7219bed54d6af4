"""A text that is too long to be a part's name is no name, and is not weighed word by word."""

from __future__ import annotations

import time

from .match_frames import items, leading, matched, numbers

WORDS = "gasket and two bolts for the exhaust, left one bent, see Ivo about it; "


def test_a_letter_of_pages_names_no_part_and_takes_no_time():
    began = time.monotonic()
    found = leading(matched(items({"description": f"Dynamo, {WORDS * 20_000}"})))
    assert time.monotonic() - began < 20
    assert not any(row["accepted"] for row in found.values())


def test_a_known_number_beside_such_a_text_waits_for_a_person():
    known = numbers(("AB12", None, "dynamo", None, None))
    row = {"description": WORDS * 200, "part_number": "AB 12", "part_number_normal": "AB12"}
    [said] = leading(matched(items(row), known)).values()
    assert (said["target"], said["accepted"]) == ("dynamo", False)
    assert "too long" in said["reasons"]


def test_a_full_catalogue_line_is_read():
    text = "Dynamo (" + "kept dry in its box, " * 20 + "by the door)"
    [said] = leading(matched(items({"description": text}))).values()
    assert said["target"] == "dynamo"

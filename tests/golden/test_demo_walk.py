"""The walk through the demo club, as a person sees it."""

from __future__ import annotations

import subprocess
import sys


def test_the_demo_walks_through_its_questions_and_says_what_next(walked):
    assert walked.code == 0, walked.told
    for words in ("partmuster lacks 'Otter 2'", "partmuster holders", "partmuster donors 'Otter 1'",
                  "partmuster builds 'Otter 7'", "partmuster explain 'fan cowl' 'Otter 1'",
                  "the hole is two inches lower", "partmuster trace survey-", "Next:"):  # fmt: skip
        assert words in walked.shown, words
    assert "Gwen Saddler" in walked.shown.split("donors 'Otter 1'")[1]
    answers = walked.shown.split("1. What does")[1].split("6. Three months")[0]
    assert max(map(len, answers.splitlines())) <= 120
    assert "Compared with 30 September 2026." in walked.shown
    assert "2026-10:wants:found" in walked.shown


def test_the_demo_says_that_pages_are_read_and_how_to_look_at_them(walked):
    before, after = walked.shown.split("$ partmuster import samples/ashmere\n")
    assert "takes some seconds" in before.splitlines()[-1]
    assert "otter_works_list.tif: new (38 requirement); 37 loaded, 20 not data" in after
    assert "partmuster proof otter_works_list.tif" in after
    step, shown = after.split("$ partmuster trace requirement-")[1].split("\n", 1)
    assert step
    assert "otter_works_list.tif" in shown
    assert "EYE,TOWING" in shown.replace(" ", "")


def test_a_folder_that_holds_something_takes_no_demo(walked):
    again = subprocess.run(
        [sys.executable, "-m", "partmuster", "demo", "--keep", walked.club],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert again.returncode == 1
    assert "not empty" in again.stderr

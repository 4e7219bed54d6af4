"""Keys to the letters of a survey, as members write them."""

from __future__ import annotations

import pytest

from partmuster.tables.marks import read_legend

BOTH = {"F": "fitted", "M": "missing"}


@pytest.mark.parametrize(
    "text",
    ["F = fitted, M = missing", "F=fitted M=missing", "F - fitted; M - missing",
     "F: fitted / M: missing", "(F) fitted, (M) missing", "Codes used: F fitted, M missing",
     "F fitted, M missing", "F for fitted, M for missing", "F=fitted | M=missing",
     "'F' = fitted, 'M' = missing", "F stands for fitted; M stands for missing",
     "Key: F fitted M missing", "Key to letters: F = fitted, M = missing"],
)  # fmt: skip
def test_a_key_is_read_however_it_is_written(text):
    assert read_legend(text) == BOTH


def test_letters_with_single_spaces_between_do_not_run_together():
    assert read_legend("Key: F fitted M missing S stand-in U unserviceable") == {
        **BOTH, "S": "stand-in", "U": "unserviceable"}  # fmt: skip


def test_marks_of_three_letters_are_read():
    assert read_legend("F = fitted; N/L = not looked at") == {
        "F": "fitted", "N/L": "not looked at"}  # fmt: skip


@pytest.mark.parametrize(
    "text", ["Bracket fitted, horn missing", "See note 3, and the photo", "A frame, B missing"]
)
def test_other_sentences_are_no_key(text):
    assert read_legend(text) == {}

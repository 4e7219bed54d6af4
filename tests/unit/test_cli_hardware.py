"""Asking on the command line whether one piece of standard hardware serves for another."""

from __future__ import annotations

import json

import pytest

from .test_cli_deciding import call


@pytest.fixture
def nowhere(tmp_path):
    """No club is needed: a specification is the same for everybody."""
    return tmp_path / "none"


def test_two_threads_are_compared_with_the_reason(nowhere):
    found = call(nowhere, "fits", "3/8 BSF bolt 1 1/4", "--with", "3/8 UNF bolt 1 1/4")
    assert found.exit_code == 0
    assert "never" in found.stdout
    assert "55 and 60 degree forms" in " ".join(found.stdout.split())


def test_the_duty_is_asked_for_its_grade(nowhere):
    words = ("fits", "3/8 BSF bolt 1 1/4", "--with", "3/8 BSF x 1 1/4 bolt", "--format", "json")
    (row,) = json.loads(call(nowhere, *words).stdout)
    assert (row["fit"], row["reason"]) == ("as-is", "same specification")
    (row,) = json.loads(call(nowhere, *words, "--duty", "lifting").stdout)
    assert row["fit"] == "unknown"
    assert "lifting: never on size alone" in row["reason"]
    assert "nobody under a load" in row["caution"]


def test_one_of_the_two_questions_is_asked(nowhere):
    for wrong in ([], ["--on", "Otter Mk 1", "--with", "nut"]):
        found = call(nowhere, "fits", "bolt", *wrong)
        assert found.exit_code == 2
        assert "--on" in found.stderr
        assert "--with" in found.stderr

"""What is said of a part in its own place, where chains lead back to it: worked by hand."""

from __future__ import annotations

import pytest

from .test_answers_fits import goes, lack, offers, one


def any_goes_back(club):
    """Say that any Otter's goes on any Bramble and back, for two marks of Otter alike."""
    club.vehicle("Otter A", "Otter", "Mk 1")
    club.vehicle("Otter B", "Otter", "Mk 2")
    goes(club, "Otter", "Bramble")


@pytest.mark.parametrize("grade", ["with-work", "unknown"])
def test_a_chain_that_leads_back_hides_nothing_that_is_said_of_the_part_itself(club, grade):
    any_goes_back(club)
    line = goes(club, "Otter", "Otter", grade, sure=False, words="any one, with some filing")
    itself = one(club, "Otter Mk 1")
    assert (itself["fit"], itself["derived"], itself["trace"]) == (grade, False, line)
    # of the other mark the chain by the Bramble is surer
    assert one(club, "Otter")["fit"] == "as-is"
    assert one(club, "Otter")["derived"]


def test_a_sure_statement_about_the_part_itself_stands_for_all_of_the_range(club):
    any_goes_back(club)
    goes(club, "Otter", "Otter", "with-work", words="any one, with some filing")
    rows = {row["build"]: row["fit"] for row in club.fits("magneto", "Otter Mk 1")}
    assert rows == {"Otter": "with-work", "Bramble": "as-is"}


def test_an_offer_of_the_same_build_is_graded_as_is_said_of_it(club):
    any_goes_back(club)
    lack(club)
    goes(club, "Otter", "Otter", "with-work", sure=False, work="file the flange")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1")
    club.holding("Bob", "magneto", family="Otter", mark="Mk 2")
    found = offers(club)
    assert (found["Ann"]["fit"], found["Ann"]["work"]) == ("with-work", "file the flange")
    assert found["Bob"]["fit"] == "as-is"

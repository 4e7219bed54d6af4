"""A maker's number stands for that maker's alone, along chains too: worked by hand."""

from __future__ import annotations

from .test_answers_fits import lack, offers


def later(club, number, by, maker=None, mark="Mk 7"):
    """Say of a magneto of another mark that its number is superseded."""
    club.requirement("magneto", 1, {"mark": mark}, number=number, superseded_by=by, maker=maker)


def test_the_later_number_of_another_maker_is_another_part(club):
    lack(club, number="OT100", superseded_by="OT200", maker="Acme")
    club.holding("Ann", "magneto", number="OT200", maker="Acme")
    club.holding("Bob", "magneto", number="OT200", maker="Brook")
    club.holding("Cas", "magneto", number="OT200")
    found = offers(club)
    assert found["Ann"]["fit"] == "one-way"
    assert "doubt" not in found["Ann"]["reason"]
    assert (found["Bob"]["fit"], found["Bob"]["reason"]) == ("unknown", "build not stated")
    assert found["Cas"]["fit"] == "one-way"
    assert "said with doubt" in found["Cas"]["reason"]


def test_a_maker_that_is_not_stated_leaves_a_chain_unknown(club):
    lack(club, number="OT100", superseded_by="OT200", maker="Acme")
    later(club, "OT200", "OT300", "Acme")
    club.holding("Ann", "magneto", number="OT300", maker="Acme")
    club.holding("Bob", "magneto", number="OT300", maker="Brook")
    club.holding("Cas", "magneto", number="OT300")
    found = offers(club)
    assert found["Ann"]["fit"] == "one-way"
    assert "OT300 (Acme) > OT200 (Acme) > OT100 (Acme)" in found["Ann"]["reason"]
    assert found["Bob"]["reason"] == "build not stated"
    assert found["Cas"]["fit"] == "unknown"
    assert "OT300" in found["Cas"]["reason"]


def test_a_chain_does_not_lead_from_one_makers_number_to_anothers(club):
    lack(club, number="OT100", superseded_by="OT200", maker="Acme")
    later(club, "OT200", "OT300", "Brook")
    club.holding("Ann", "magneto", number="OT300", maker="Brook")
    assert offers(club)["Ann"]["reason"] == "build not stated"


def test_the_earlier_number_is_refused_of_that_maker_only(club):
    lack(club, number="OT200", maker="Acme")
    later(club, "OT100", "OT200", "Acme")
    club.holding("Ann", "magneto", number="OT100", maker="Acme")
    club.holding("Bob", "magneto", number="OT100", maker="Brook")
    club.holding("Cas", "magneto", number="OT100")
    found = offers(club)
    assert found["Ann"]["fit"] == "never"
    assert found["Bob"]["fit"] == "unknown"
    # it may be that number: asked, not refused
    assert found["Cas"]["fit"] == "unknown"
    assert "superseded" in found["Cas"]["reason"]


def test_a_statement_about_a_makers_number_is_about_that_maker(club):
    lack(club, number="OT100")
    club.fit("magneto", "one-way", part_number="OT 200", part_number_normal="OT200", maker="Acme",
             to_part="magneto", to_part_number="OT100")  # fmt: skip
    club.holding("Ann", "magneto", number="OT200", maker="Acme")
    club.holding("Bob", "magneto", number="OT200", maker="Brook")
    found = offers(club)
    assert found["Ann"]["fit"] == "one-way"
    assert found["Bob"]["reason"] == "build not stated"


def test_a_makers_number_and_a_build_meet_where_the_list_gives_that_makers(club):
    lack(club, number="OT100", superseded_by="OT200", maker="Acme")
    club.requirement("magneto", 1, {"mark": "Mk 2"}, number="OT200", maker="Acme")
    club.requirement("magneto", 1, {"mark": "Mk 3"}, number="OT200", maker="Brook")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2")
    club.holding("Bob", "magneto", family="Otter", mark="Mk 3")
    found = offers(club)
    assert found["Ann"]["fit"] == "one-way"
    assert (found["Bob"]["fit"], found["Bob"]["reason"]) == ("unknown", "nobody has said")

"""Rulings on what sheets leave open: hands, positions, promises, holders and parts not named."""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.answers.parts import UnknownPartError

from .test_answers_donors import asked, brief, lack
from .test_answers_holders import reads_as, who

MAY = dt.date(2026, 5, 16)
LATER = dt.date(2026, 5, 20)
NOTHING = reads_as()


# hands and positions


def test_a_lack_that_names_no_hand_takes_either_and_none(club):
    lack(club, "track-guard")
    for holder, side in (("Ann", "left"), ("Bea", "right"), ("Col", None)):
        club.holding(holder, "track-guard", side=side, family="Otter", mark="Mk 1")
    assert brief(asked(club), "source", "fit", "correctness", "reason") == [
        (holder, "as-is", "correct", "one parts-list line covers both")
        for holder in ("Ann", "Bea", "Col")
    ]


def test_a_lack_that_names_a_hand_asks_of_what_names_none(club):
    lack(club, "track-guard", side="left")
    club.holding("Ann", "track-guard", family="Otter", mark="Mk 1")
    (row,) = asked(club)
    assert row["fit"] == "unknown"
    assert row["reason"].startswith("hand not stated: ask")


def test_front_is_never_offered_for_rear_and_an_unstated_position_is_asked_about(club):
    lack(club, "mudguard", side="left", position="front")
    club.holding("Ann", "mudguard", side="left", position="rear")
    club.holding("Bea", "mudguard", side="left", position="front", family="Otter", mark="Mk 1")
    club.holding("Col", "mudguard", side="left", family="Otter", mark="Mk 1")
    club.vehicle("Otter 9", role="breaking", mark="Mk 1")
    club.survey("Otter 9", "mudguard", "fitted", side="left", position="rear", said_on=MAY)
    club.survey("Otter 9", "mudguard", "fitted", side="left", position="front", said_on=MAY)
    rows = asked(club)
    assert brief(rows, "source", "fit") == [
        ("Bea", "as-is"), ("Otter 9", "as-is"), ("Col", "unknown"),
    ]  # fmt: skip
    assert rows[2]["reason"].startswith("position not stated: ask")


def test_a_lack_that_names_no_position_takes_any(club):
    lack(club, "mudguard", side="left")
    club.holding("Ann", "mudguard", side="left", position="rear", family="Otter", mark="Mk 1")
    assert brief(asked(club), "source", "fit") == [("Ann", "as-is")]


def test_a_survey_without_the_hand_that_the_list_names_is_shown_to_ask_about(club):
    club.vehicle("Otter 1", mark="Mk 1", aim="full-original")
    for side in ("left", "right"):
        club.requirement("track-guard", side=side)
    line = club.survey("Otter 1", "track-guard", "missing", words="track guard missing")
    rows = club.lack_rows()
    assert brief(rows, "hand", "state") == [("left", "not-looked-at"), ("right", "not-looked-at")]
    asks = f"hand not stated: ask: track guard missing (2026-03-03, {line})"
    assert brief(rows, "disagrees") == [(asks,), (asks,)]


# as found


def test_as_found_a_stand_in_that_took_a_place_is_lacking_and_one_from_the_first_is_not(club):
    club.vehicle("Otter 1", aim="as-found")
    club.survey("Otter 1", "tray", "fitted")
    club.survey("Otter 1", "tray", "stand-in", said_on=MAY, source="survey of May")
    club.survey("Otter 1", "radiator", "stand-in")
    club.survey("Otter 1", "radiator", "stand-in", said_on=MAY, source="survey of May")
    assert club.lacks() == {("tray", "stand-in"): 1}


# promises


@pytest.mark.parametrize("stage", ["offered", "agreed", "collected", "fitted"])
def test_what_is_promised_to_another_vehicle_is_not_offered(club, stage):
    lack(club)
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1")
    club.promise("Ann", "magneto", "Otter 2", stage)
    (row,) = asked(club)
    assert row["standing"] == "not offered"
    assert "1 promised to Otter 2" in row["reason"]
    assert brief(club.holders("magneto"), "holder", "availability") == [("Ann", "promised")]


@pytest.mark.parametrize("stage", ["withdrawn", "lapsed", "broken"])
def test_a_promise_that_is_over_binds_nothing(club, stage):
    lack(club)
    club.holding("Ann", "magneto")
    club.promise("Ann", "magneto", "Otter 2", "agreed")
    club.promise("Ann", "magneto", "Otter 2", stage, said_on=LATER, source="later")
    assert brief(asked(club), "standing") == [("offered",)]
    assert brief(club.holders("magneto"), "availability") == [("offered",)]


def test_what_is_promised_to_the_vehicle_itself_is_kept_for_it(club):
    lack(club)
    club.holding("Ann", "magneto", availability="promised")
    club.promise("Ann", "magneto", "Otter 1")
    (row,) = asked(club)
    assert row["standing"] == "offered"
    assert "1 promised to it" in row["reason"]


def test_what_is_left_over_from_a_promise_stays_offered(club):
    lack(club)
    club.holding("Ann", "magneto", 3)
    club.promise("Ann", "magneto", "Otter 2", quantity=2)
    (row,) = asked(club)
    assert row["standing"] == "offered"
    assert "2 promised to Otter 2" in row["reason"]


def test_a_promise_binds_line_after_line_until_its_number_is_reached(club):
    lack(club)
    for number in range(3):
        club.holding("Ann", "magneto", source=f"shelf {number}")
    club.promise("Ann", "magneto", "Otter 2")
    club.promise("Ann", "magneto", "Otter 3")
    club.holding("Bea", "magneto")
    assert brief(asked(club), "source", "standing") == [
        ("Ann", "offered"), ("Bea", "offered"), ("Ann", "not offered"), ("Ann", "not offered"),
    ]  # fmt: skip


def test_a_promise_may_name_the_line_it_binds(club):
    lack(club)
    club.holding("Ann", "magneto", source="shelf 1")
    bound = club.holding("Ann", "magneto", source="shelf 2")
    club.promise("Ann", "magneto", "Otter 2", holding_line_id=bound)
    rows = asked(club)
    assert [row["standing"] for row in rows] == ["offered", "not offered"]
    assert bound in rows[1]["trace"]


# what nobody named


def test_a_holder_who_is_not_named_is_called_by_the_list(club):
    lack(club)
    club.holding(None, "magneto", source="a1b2")
    club.add("source_version", {"source_id": "a1b2", "version": 1, "name": "shed.csv"})
    club.add("source_version", {"source_id": "a1b2", "version": 2, "name": "shed 2.csv"})
    assert who(club.holders("magneto")) == ["not named (list shed 2.csv)"]
    assert brief(asked(club), "source") == [("not named (list shed 2.csv)",)]


def unidentified(club, holder, description, **numbers):
    """Say a holding whose words nothing and nobody has identified."""
    key = f"key of {description} {numbers}"
    club.add("item_key", {"item_key": key, "description": description} | {
        name: value for name, value in numbers.items() if name != "part_number"})  # fmt: skip
    return club.say("holding", description=description, item_key=key, availability="offered",
                    at_least=1, at_most=1, quantity_text="1", grade="good", words=description,
                    source=f"{holder}'s sheet", **numbers, **club.person(holder))  # fmt: skip


def test_a_number_finds_what_nobody_has_identified(club):
    unidentified(club, "Ann", "bracket, odd", part_number_normal="ZK4711", part_number="ZK 47/11")
    unidentified(club, "Bea", "casting", casting_number="zk.4711")
    unidentified(club, "Col", "thing", stock_number="ZK4712")
    rows = club.holders("zk 47-11", NOTHING)
    assert who(rows) == ["Ann", "Bea"]
    assert {row["part"] for row in rows} == {None}
    assert all(row["match"] < 0.5 for row in rows)
    assert rows[0]["match_reason"] == "not identified; the number agrees: bracket, odd"


def test_words_find_what_contains_them_all(club):
    unidentified(club, "Ann", "Winch-drum Gùide, bent")
    unidentified(club, "Bea", "guide for something else")
    rows = club.holders("guide winch", NOTHING)
    assert who(rows) == ["Ann"]
    assert rows[0]["match"] < 0.5
    assert rows[0]["match_reason"].startswith("not identified; the words agree")


def test_what_is_identified_or_decided_is_not_found_by_its_words(club):
    club.add("item_key", {"item_key": "lamp", "description": "winch guide"})
    club.holding("Ann", "lamp")
    line = unidentified(club, "Bea", "winch guide")
    club.name("part", f"line:{line}", None)
    with pytest.raises(UnknownPartError):
        club.holders("winch guide", NOTHING)


def test_words_that_nothing_contains_are_an_error_still(club):
    unidentified(club, "Ann", "winch drum")
    with pytest.raises(UnknownPartError):
        club.holders("winch guide", NOTHING)
    with pytest.raises(UnknownPartError):
        club.holders("?!", NOTHING)

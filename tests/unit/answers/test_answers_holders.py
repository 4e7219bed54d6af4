"""Who has a part: worked by hand."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from partmuster.answers.parts import UnknownPartError


def reads_as(*readings, side=None, position=None):
    """Return a stand-in for the match stage that always reads words so."""
    frame = pl.DataFrame(
        [
            {"part_id": part, "probability": probability, "accepted": accepted, "side": side,
             "position": position}
            for part, probability, accepted in readings
        ],
        schema={"part_id": pl.String, "probability": pl.Float64, "accepted": pl.Boolean,
                "side": pl.String, "position": pl.String},
    )  # fmt: skip
    return lambda _words: frame


def who(rows):
    return [row["holder"] for row in rows]


def test_offers_come_first_then_swaps_unknown_promised_and_kept(club):
    for holder, availability in (
        ("Ann", "kept"), ("Bea", "promised"), ("Col", "unknown"), ("Dee", "swap"),
        ("Eve", "offered"),
    ):  # fmt: skip
        club.holding(holder, "lamp", availability=availability)
    assert who(club.holders("lamp")) == ["Eve", "Dee", "Col", "Bea", "Ann"]


def test_among_offers_the_better_state_comes_first_and_what_does_not_work_last(club):
    club.holding("Ann", "lamp", grade="good", service="unserviceable")
    for holder, grade in (
        ("Bea", "unknown"), ("Col", "scrap"), ("Dee", "poor"), ("Eve", "fair"), ("Flo", "good"),
        ("Gus", "new"), ("Hal", "new-old-stock"), ("Abe", "good"),
    ):  # fmt: skip
        club.holding(holder, "lamp", grade=grade)
    rows = club.holders("lamp")
    assert who(rows) == ["Hal", "Gus", "Abe", "Flo", "Eve", "Dee", "Col", "Bea", "Ann"]
    assert rows[-1]["condition"] == "unserviceable"


def test_an_unsure_reading_comes_below_marked_and_an_improbable_one_not_at_all(club):
    club.holding("Ann", "lamp", reading=("lamp", 0.5))
    club.holding("Bea", "lamp", availability="kept")
    club.holding("Col", "tray", reading=("tray", 0.49))
    rows = club.holders("lamp")
    assert who(rows) == ["Bea", "Ann"]
    assert rows[1]["match"] == 0.5
    assert rows[1]["match_reason"].startswith("unsure")
    assert club.holders("tray") == []


def test_a_side_that_is_asked_for_is_never_crossed(club):
    club.holding("Ann", "track-guard", side="left")
    club.holding("Bea", "track-guard", side="right")
    club.holding("Col", "track-guard")
    rows = club.holders("guard lh", reads_as(("track-guard", 1.0, True), side="left"))
    assert who(rows) == ["Ann", "Col"]
    assert "hand not stated: ask" in rows[1]["match_reason"]
    assert len(club.holders("track-guard")) == 3


def test_a_side_asked_for_means_nothing_on_a_part_without_hands(club):
    club.holding("Ann", "lamp", side="right")
    (row,) = club.holders("lamp lh", reads_as(("lamp", 1.0, True), side="left"))
    assert row["hand"] is None


def test_a_position_is_asked_for_too(club):
    club.holding("Ann", "mudguard", side="left", position="front")
    club.holding("Bea", "mudguard", side="left", position="rear")
    club.holding("Col", "mudguard", side="left")
    rows = club.holders(
        "mudguard lh front", reads_as(("mudguard", 1.0, True), side="left", position="front")
    )
    assert who(rows) == ["Ann", "Col"]
    assert "position not stated: ask" in rows[1]["match_reason"]


def test_hulks_and_vehicles_being_broken_are_listed_after_loose_parts(club):
    for name, role in (("Otter 5", "breaking"), ("Otter 6", "hulk"), ("Otter 7", "kept-whole")):
        club.vehicle(name, role=role, keeper="Ivo")
        club.survey(name, "lamp", "fitted", 2)
    club.vehicle("Otter 8", role="hulk", keeper="Ivo")
    club.survey("Otter 8", "lamp", "missing")
    club.holding("Ann", "lamp", availability="kept")
    rows = club.holders("lamp")
    assert [(r["holder"], r["availability"], r["at_least"]) for r in rows] == [
        ("Ann", "kept", 1),
        ("Ivo", "on vehicle Otter 5", 2),
        ("Ivo", "on vehicle Otter 6", 2),
    ]


def test_what_is_sold_or_none_is_not_listed_and_an_unknown_number_is(club):
    club.holding("Ann", "lamp", gone=True)
    club.holding("Bea", "lamp", 0)
    club.holding("Col", "lamp", (0, None))
    rows = club.holders("lamp")
    assert [(r["holder"], r["at_least"]) for r in rows] == [("Col", 0)]


def test_a_person_is_shown_by_the_name_in_the_members_list(club):
    club.holding("Ann", "lamp")
    club.name("holder", "a. aster", "ann")
    club.say("holder", holder="A. Aster", holder_key="a. aster")
    assert who(club.holders("lamp")) == ["A. Aster"]


def test_builds_are_shown_as_said(club):
    club.holding("Ann", "lamp", family="Otter", mark="Mk 1", phase="late")
    club.holding("Bea", "lamp", effectivity_text="Mk 1 & 2", mark="Mk 1")
    assert [r["builds"] for r in club.holders("lamp")] == ["Otter Mk 1 late", "Mk 1 & 2"]


def test_words_that_may_mean_several_parts_list_them_all(club):
    club.holding("Ann", "lamp")
    club.holding("Bea", "tray")
    rows = club.holders("thing", reads_as(("lamp", 0.6, False), ("tray", 0.5, False)))
    assert sorted(who(rows)) == ["Ann", "Bea"]
    accepted = reads_as(("lamp", 0.9, True), ("tray", 0.8, False))
    assert who(club.holders("thing", accepted)) == ["Ann"]


def test_words_that_name_nothing_are_an_error_that_names_what_came_near(club):
    with pytest.raises(UnknownPartError, match="lamp"):
        club.holders("lmpp", reads_as(("lamp", 0.2, False)))


def test_what_was_said_later_is_not_known_before(club):
    club.holding("Ann", "lamp", said_on=dt.date(2026, 5, 1))
    assert club.holders("lamp", as_of=dt.date(2026, 4, 30)) == []
    assert who(club.holders("lamp", as_of=dt.date(2026, 5, 1))) == ["Ann"]

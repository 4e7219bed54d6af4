"""A missing assembly is one line that opens into its parts: small clubs, worked by hand."""

from __future__ import annotations

import datetime as dt

import pytest

MARCH = dt.date(2026, 3, 3)
MAY = dt.date(2026, 5, 16)
CHILDREN = ("magneto", "crankcase", "sump")


def otter(club, aim="full-original", listed=("engine", *CHILDREN)):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim=aim)
    for name in listed:
        club.requirement(name)


def opened(club):
    return {row["part"]: row["opens_into"] for row in club.lack_rows() if row["opens_into"]}


def test_a_missing_engine_is_one_line_that_opens_into_its_parts(club):
    otter(club)
    seen = club.survey("Otter 1", "engine", "missing")
    (row,) = club.lack_rows()
    assert (row["part"], row["state"], row["quantity"]) == ("engine", "missing", 1)
    assert (row["opens_into"], row["seen_on"]) == (3, MARCH)
    rows = {row["part"]: row for row in club.lack_rows(opened="engine")}
    assert {name: row["state"] for name, row in rows.items()} == dict.fromkeys(
        ("engine", *CHILDREN), "missing"
    )
    assert seen in rows["magneto"]["trace"]
    assert club.complete() == (0, 0)


def test_what_was_said_of_a_part_itself_counts_as_said(club):
    otter(club, listed=("engine", *CHILDREN, "adapter-plate"))
    club.survey("Otter 1", "magneto", "off-and-kept", said_on=dt.date(2025, 1, 1), source="bench")
    club.survey("Otter 1", "engine", "missing")
    club.survey("Otter 1", "crankcase", "fitted")
    club.survey("Otter 1", "sump", "fitted", service="unserviceable", said_on=MAY, source="b")
    assert club.lacks() == {("engine", "missing"): 1, ("sump", "unserviceable"): 1}
    assert opened(club) == {"engine": 1}
    assert club.lacks(include_all=True) == {
        ("engine", "missing"): 1, ("sump", "unserviceable"): 1,
        ("magneto", "off-and-kept"): 1, ("crankcase", "fitted"): 1,
    }  # fmt: skip
    assert club.complete() == pytest.approx((2 / 5, 2 / 5))


def test_what_was_fitted_before_the_engine_was_gone_went_with_it(club):
    otter(club)
    club.survey("Otter 1", "magneto", "fitted", words="magneto on it")
    club.survey("Otter 1", "engine", "missing", said_on=MAY, source="b")
    assert club.lacks() == {("engine", "missing"): 1}
    assert opened(club) == {"engine": 3}
    assert club.complete() == (0, 0)
    rows = {row["part"]: row for row in club.lack_rows(opened="engine")}
    assert rows["magneto"]["state"] == "missing"
    assert "magneto on it (2026-03-03" in rows["magneto"]["disagrees"]


def test_parts_seen_missing_one_by_one_are_in_the_line_too(club):
    otter(club)
    for name in ("engine", *CHILDREN):
        club.survey("Otter 1", name, "missing")
    assert club.lacks() == {("engine", "missing"): 1}
    assert opened(club) == {"engine": 3}


def test_an_engine_that_no_list_names_is_missing_all_the_same(club):
    otter(club, listed=CHILDREN)
    club.survey("Otter 1", "engine", "missing")
    (row,) = club.lack_rows()
    assert (row["part"], row["state"], row["required"], row["opens_into"]) == (
        "engine", "missing", 1, 3,
    )  # fmt: skip
    assert club.complete() == (0, 0)


def test_without_any_parts_of_it_a_missing_engine_is_a_lack_like_any_other(club):
    otter(club, listed=("engine", "lamp"))
    club.survey("Otter 1", "engine", "missing")
    assert club.lacks() == {("engine", "missing"): 1, ("lamp", "not-looked-at"): 1}
    assert opened(club) == {}


@pytest.mark.parametrize("state", ["away-for-repair", "off-and-kept"])
def test_of_an_engine_that_is_away_what_was_not_looked_at_is_one_line(club, state):
    otter(club)
    club.survey("Otter 1", "engine", state)
    club.survey("Otter 1", "sump", "missing")
    (row, sump) = club.lack_rows()
    assert (row["part"], row["state"], row["opens_into"]) == ("engine", "not-looked-at", 2)
    assert (sump["part"], sump["state"]) == ("sump", "missing")
    assert club.complete() == (1 / 4, 3 / 4)


def test_the_aim_decides_what_the_line_opens_into(club):
    otter(club, "runner")
    club.survey("Otter 1", "engine", "missing")
    assert opened(club) == {"engine": 2}  # the sump counts for a full original only


def test_a_part_of_the_list_opens_into_what_belongs_under_it(club):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original")
    club.requirement("tray", level=1, number="OT 7")
    club.requirement("lamp", 2, level=2, parent_words="TRAY")
    club.requirement("clip", 4, level=3, parent_words="lamp")
    club.requirement("dynamo", level=2, parent_words="OT 7")
    club.requirement("magneto", level=1)
    club.survey("Otter 1", "tray", "missing")
    assert club.lacks() == {("tray", "missing"): 1, ("magneto", "not-looked-at"): 1}
    assert opened(club) == {"tray": 3}
    assert {row["part"]: row["quantity"] for row in club.lack_rows(opened="tray")} == {
        "tray": 1, "lamp": 2, "clip": 4, "dynamo": 1,
    }  # fmt: skip


def test_what_belongs_under_a_part_that_was_kept_is_not_gone(club):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original")
    club.requirement("engine")
    club.requirement("crankcase", parent_words="engine")
    club.requirement("magneto", parent_words="engine")
    club.requirement("clip", parent_words="magneto")
    club.survey("Otter 1", "engine", "missing")
    club.survey("Otter 1", "magneto", "off-and-kept")
    assert club.lacks() == {("engine", "missing"): 1, ("clip", "not-looked-at"): 1}
    assert opened(club) == {"engine": 1}


def test_a_stand_in_for_a_mere_part_takes_nothing_with_it(club):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original")
    club.requirement("tray")
    club.requirement("clip", parent_words="tray")
    club.survey("Otter 1", "tray", "stand-in")
    assert club.lacks() == {("tray", "stand-in"): 1, ("clip", "not-looked-at"): 1}


def test_one_of_two_final_drives_opens_into_the_parts_of_its_own_hand(club):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original")
    for hand in ("left", "right"):
        club.requirement("final-drive", side=hand)
        club.requirement("final-drive-casing", side=hand)
    club.requirement("final-drive-gear", 2)
    club.survey("Otter 1", "final-drive", "missing", side="left")
    assert club.lacks() == {
        ("final-drive", "left", "missing"): 1,
        ("final-drive", "right", "not-looked-at"): 1,
        ("final-drive-casing", "right", "not-looked-at"): 1,
        ("final-drive-gear", "not-looked-at"): 2,
    }
    club.survey("Otter 1", "final-drive", "missing", side="right")
    assert club.lacks() == {
        ("final-drive", "left", "missing"): 1,
        ("final-drive", "right", "missing"): 1,
    }


def test_what_depends_on_the_build_of_a_missing_engine_is_in_its_line(club):
    otter(club, listed=("engine",))
    club.requirement("magneto", 1, {"mark": "Mk 1", "phase": "late"})
    club.survey("Otter 1", "engine", "missing")
    assert club.lacks() == {("engine", "missing"): 1}
    assert club.lacks(opened="engine") == {
        ("engine", "missing"): 1, ("magneto", "build-not-known"): 1,
    }  # fmt: skip


@pytest.mark.parametrize(("items", "rows"), [(12, 12), (13, 1), (14, 1)])
def test_an_assembly_of_which_nothing_was_looked_at_is_one_line(club, items, rows):
    otter(club, listed=[f"valve-{number}" for number in range(items)])
    found = club.lack_rows()
    assert len(found) == rows
    if rows == 1:
        assert (found[0]["assembly"], found[0]["part"]) == ("radio", None)
        assert (found[0]["state"], found[0]["opens_into"]) == ("not-looked-at", items)
        assert (found[0]["required"], found[0]["quantity"]) == (1, 1)
        assert len(club.lack_rows(opened="radio")) == items
    assert club.complete() == (0, 1)
    club.survey("Otter 1", "valve-0", "fitted")
    assert len(club.lack_rows()) == items - 1


def test_only_what_is_opened_is_listed_and_by_any_of_its_names(club):
    otter(club, listed=("engine", *CHILDREN, "lamp"))
    club.survey("Otter 1", "engine", "missing")
    for words in ("engine", "Engine", "ENGINE"):
        assert len(club.lack_rows(opened=words)) == 4
    assert club.lacks(opened="electrics") == {("lamp", "not-looked-at"): 1}


def test_donors_are_looked_for_the_engine_and_not_for_all_that_went_with_it(club):
    otter(club)
    club.survey("Otter 1", "engine", "missing")
    club.survey("Otter 1", "sump", "missing")
    for name in ("engine", "magneto", "sump"):
        club.holding("Ann", name)
    assert {row["part"] for row in club.donors()} == {"engine", "sump"}

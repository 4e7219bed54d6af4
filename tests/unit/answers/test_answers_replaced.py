"""A whole assembly of another make, and later changes: small clubs, worked by hand."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from partmuster.answers.lacks import lacks
from partmuster_trade.vocabulary import Vocabulary

from .conftest import ASSEMBLIES, PARTS

MARCH = dt.date(2026, 3, 3)
MAY = dt.date(2026, 5, 16)
SAYS = {"stand-in": {"presence": "stand-in"},
        "other make": {"presence": "fitted", "making": "other-original"}}  # fmt: skip


def otter(club, aim="full-original", listed=("engine", "magneto", "crankcase", "sump"), **more):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim=aim, **more)
    for name in listed:
        club.requirement(name)


# an engine of another make


@pytest.mark.parametrize("said", SAYS)
def test_a_truck_engine_lets_a_runner_run(club, said):
    otter(club, "runner")
    club.survey("Otter 1", "engine", **SAYS[said])
    assert club.lacks() == {}
    (row,) = club.lack_rows(include_all=True)
    assert (row["part"], row["state"], row["opens_into"]) == ("engine", "stand-in serves", 2)
    # what the original's magneto and crankcase do for it nobody looked at
    assert club.complete() == (1 / 3, 1)


@pytest.mark.parametrize("said", SAYS)
def test_it_never_closes_the_want_for_a_full_original(club, said):
    otter(club)
    club.survey("Otter 1", "engine", **SAYS[said])
    (row,) = club.lack_rows()
    assert (row["part"], row["state"], row["opens_into"]) == ("engine", "stand-in", 3)
    assert club.complete() == (0, 0)


def test_one_that_does_not_work_does_not(club):
    otter(club, "runner")
    club.survey("Otter 1", "engine", "stand-in", service="unserviceable")
    assert club.lacks() == {("engine", "stand-in"): 1}
    assert club.complete() == (0, 0)


def test_what_is_wrong_with_it_is_said_all_the_same(club):
    otter(club, "runner")
    club.survey("Otter 1", "engine", "stand-in")
    club.survey("Otter 1", "magneto", "fitted", service="unserviceable")
    assert club.lacks() == {("magneto", "unserviceable"): 1}


def test_without_an_aim_it_is_lacking_for_all_but_a_runner(club):
    otter(club, None)
    club.survey("Otter 1", "engine", "stand-in")
    (row,) = club.lack_rows()
    assert row["needed_for"] == "static-display;full-original"
    assert club.complete(aim="runner") == (1 / 3, 1)
    assert club.complete(aim="full-original") == (0, 0)


def test_the_original_that_comes_back_closes_it(club):
    otter(club)
    club.survey("Otter 1", "engine", "stand-in")
    club.survey("Otter 1", "engine", "fitted", said_on=MAY, source="b")
    assert club.lacks() == {
        ("magneto", "not-looked-at"): 1, ("crankcase", "not-looked-at"): 1,
        ("sump", "not-looked-at"): 1,
    }  # fmt: skip


def test_what_was_adapted_for_it_comes_free_when_the_original_returns(club):
    otter(club)
    club.survey("Otter 1", "engine", "stand-in", words="lorry engine")
    club.survey("Otter 1", "adapter-plate", "fitted", making="adapted", assembly="engine")
    club.survey("Otter 1", "clip", "fitted", making="new-made", assembly="brakes",
                remark="made for the lorry engine")  # fmt: skip
    club.survey("Otter 1", "mudguard", "fitted", making="new-made", assembly="hull")
    (row,) = club.lack_rows()
    assert row["comes_free"] == (
        "when the original returns: adapter-plate (adapted), clip (new-made)"
    )


@pytest.mark.parametrize("by", ["set", "stated"])
def test_a_replacement_approved_as_a_build_is_a_build(club, by):
    otter(club, listed=("engine",))
    club.survey("Otter 1", "engine", "fitted", making="other-original")
    assert club.lacks() == {("engine", "stand-in"): 1}
    if by == "set":
        club.add("decision", {
            "decision_id": "d1", "topic": "build", "subject": "otter 1|engine", "answer": "Mk 3",
            "decided_by": "Ann", "decided_at": dt.datetime.combine(MAY, dt.time(12)),
        })  # fmt: skip
    else:
        club.build("Otter 1", "engine", "Mk 3", said_on=MAY)
    assert club.lacks() == {}
    assert club.lacks(include_all=True) == {("engine", "fitted"): 1}


def test_a_build_stated_before_it_was_replaced_approves_nothing(club):
    otter(club, listed=("engine",))
    club.build("Otter 1", "engine", "Mk 1", said_on=dt.date(2020, 1, 1))
    club.survey("Otter 1", "engine", "fitted", making="other-original")
    assert club.lacks() == {("engine", "stand-in"): 1}


def test_a_part_of_another_make_is_had_as_before(club):
    otter(club, listed=("magneto",))
    club.survey("Otter 1", "magneto", "fitted", making="other-original")
    assert club.lacks() == {}


# later changes


def changed(club, stays, *, aim="full-original", target=None, when="1952", displaced="dynamo"):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim=aim, aim_target=target)
    club.requirement("dynamo")
    club.survey("Otter 1", "lorry-radiator", "fitted", later_change=True, displaced=displaced,
                change_by="Hester", change_when=when, change_stays=stays)  # fmt: skip


@pytest.mark.parametrize(
    ("stays", "target", "state"),
    [
        ("kept", "as served 1944", "later change serves"),
        ("kept", "with the lorry radiator", "later change serves"),
        ("kept", "1955", "later change serves"),
        ("kept", "1944", "missing"),
        ("kept", "works condition", "missing"),
        ("kept", None, "missing"),
        ("undecided", "as served", "missing"),
        ("undecided", None, "missing"),
        ("reversed", "as served", "not-looked-at"),
    ],
)
def test_a_part_displaced_by_a_later_change_is_lacking_as_the_target_says(
    club, stays, target, state
):
    changed(club, stays, target=target)
    rows = [row for row in club.lack_rows(include_all=True) if row["part"] == "dynamo"]
    assert [row["state"] for row in rows] == [state]
    assert club.lacks() == ({} if state == "later change serves" else {("dynamo", state): 1})
    assert club.complete() == ((1, 1) if state == "later change serves" else
                               (0, 1) if state == "not-looked-at" else (0, 0))  # fmt: skip


@pytest.mark.parametrize(
    ("stays", "said"),
    [
        ("kept", "kept: lacking to works condition, not as served"),
        ("undecided", "undecided: lacking to works condition, not as served"),
    ],
)
def test_both_are_said_where_it_is_not_settled(club, stays, said):
    changed(club, stays)
    (row,) = club.lack_rows()
    assert row["later_change"] == f"displaced by lorry-radiator (Hester, 1952), {said}"


def test_what_was_reversed_is_said_and_changes_nothing(club):
    changed(club, "reversed")
    (row,) = club.lack_rows()
    assert row["later_change"] == "displaced by lorry-radiator (Hester, 1952), reversed"


@pytest.mark.parametrize("aim", ["runner", "static-display"])
def test_a_later_change_serves_a_runner_whatever_the_target(club, aim):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim=aim)
    club.requirement("lamp")
    club.survey("Otter 1", "lorry-radiator", "fitted", later_change=True, displaced="Lamp",
                change_stays="undecided")  # fmt: skip
    assert club.lacks() == {}
    assert club.complete() == (1, 1)


def test_without_an_aim_what_was_displaced_is_lacking_for_a_full_original_only(club):
    changed(club, "kept", aim=None)
    (row,) = club.lack_rows()
    assert (row["state"], row["needed_for"]) == ("missing", "full-original")
    assert club.complete(aim="runner") == (1, 1)
    assert club.complete(aim="full-original") == (0, 0)


def test_a_displaced_part_that_was_kept_is_had(club):
    changed(club, "kept", target="works")
    club.survey("Otter 1", "dynamo", "off-and-kept")
    assert club.lacks() == {}


def test_a_later_one_in_place_of_the_first_is_a_stand_in_to_works_condition(club):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original", aim_target="works")
    club.requirement("dynamo")
    club.survey("Otter 1", "dynamo", "fitted", later_change=True, displaced="DYNAMO",
                change_stays="kept")  # fmt: skip
    assert club.lacks() == {("dynamo", "stand-in"): 1}


def test_what_a_later_change_only_added_takes_nothing_away(club):
    club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original")
    club.requirement("lamp")
    club.survey("Otter 1", "lamp", "fitted", later_change=True, change_stays="undecided")
    assert club.lacks() == {}


@pytest.mark.parametrize(
    ("displaced", "state"),
    [
        ("generator", "missing"),
        ("the original generator and its lamp", "missing"),
        ("Dynamos", "missing"),
        # may mean two parts: left open
        ("lighting set", "not-looked-at"),
    ],
)
def test_a_displaced_part_is_known_by_any_of_its_names(club, displaced, state):
    changed(club, "kept", target="works", displaced=displaced)
    others = {"dynamo": ("generator", "lighting set"), "lamp": ("lighting set",)}
    named = Vocabulary(
        tuple(replace(part, names_any=others.get(part.part_id, ())) for part in PARTS), ASSEMBLIES
    )
    rows = lacks(club.connect(), named, "Otter 1").rows.to_dicts()
    assert [row["state"] for row in rows if row["part"] == "dynamo"] == [state]

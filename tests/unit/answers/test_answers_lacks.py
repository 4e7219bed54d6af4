"""What a vehicle lacks: one small club for each rule, worked by hand."""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.answers.vehicles import UnknownVehicleError

MARCH = dt.date(2026, 3, 3)
MAY = dt.date(2026, 5, 16)


def otter(club, aim="full-original", mark="Mk 1", phase=None, **more):
    club.vehicle("Otter 1", "Otter", mark, phase, aim=aim, **more)


# which requirements hold


def test_a_line_for_all_builds_holds_for_the_family_only(club):
    otter(club)
    club.requirement("magneto")
    club.requirement("dynamo", family="Bramble")
    assert club.lacks() == {("magneto", "not-looked-at"): 1}


def test_families_agree_whatever_their_capitals(club):
    otter(club)
    club.requirement("magneto", family="OTTER")
    assert club.lacks() == {("magneto", "not-looked-at"): 1}


def test_a_hybrid_takes_each_assembly_by_its_own_build(club):
    otter(club, mark="Mk 1", phase="early")
    club.build("Otter 1", "engine", "Mk 2")
    club.requirement("magneto", 1, {"mark": "Mk 1"})
    club.requirement("magneto", 2, {"mark": "Mk 2"})
    club.requirement("dynamo", 1, {"mark": "Mk 1", "phase": "early"})
    club.requirement("lamp", 1, {"mark": "Mk 2"})
    rows = {row["part"]: row for row in club.lack_rows()}
    assert {name: row["quantity"] for name, row in rows.items()} == {"magneto": 2, "dynamo": 1}
    assert rows["magneto"]["build"] == "Mk 2"
    assert rows["dynamo"]["build"] == "Mk 1 early (taken from the vehicle's mark)"


def test_a_phase_alone_takes_the_mark_of_the_vehicle(club):
    otter(club, mark="Mk 1", phase="early")
    club.build("Otter 1", "engine", None, "late")
    club.requirement("magneto", 1, {"mark": "Mk 1", "phase": "late"})
    assert club.lacks() == {("magneto", "not-looked-at"): 1}


@pytest.mark.parametrize(
    ("serial", "quantity"), [(1250, 6), (1251, 8), (1001, 6), (1000, None), (None, "unknown")]
)
def test_a_serial_interval_holds_at_both_its_ends(club, serial, quantity):
    otter(club)
    if serial:
        club.serial("Otter 1", "hull", serial)
    club.requirement("road-wheel", 6, {"series": "hull", "first_serial": 1001,
                                       "last_serial": 1250})  # fmt: skip
    club.requirement("road-wheel", 8, {"series": "hull", "first_serial": 1251})
    wanted = {
        None: {},
        "unknown": {("road-wheel", "build-not-known"): 8},
    }.get(quantity, {("road-wheel", "not-looked-at"): quantity})
    assert club.lacks() == wanted


def test_the_serial_of_an_assembly_is_the_series_of_its_name(club):
    otter(club)
    club.build("Otter 1", "engine", "Mk 1", serial="77", serial_value=77)
    club.requirement("magneto", 1, {"last_serial": 80})
    club.requirement("magneto", 2, {"first_serial": 81})
    assert club.lacks() == {("magneto", "not-looked-at"): 1}


def test_a_build_and_an_interval_in_one_line_must_both_hold(club):
    otter(club, mark="Mk 1")
    club.serial("Otter 1", "hull", 1100)
    both = {"series": "hull", "first_serial": 1001, "last_serial": 1250}
    club.requirement("magneto", 1, {"mark": "Mk 2"}, both)
    club.requirement("lamp", 1, {"mark": "Mk 1"}, both)
    assert club.lacks() == {("lamp", "not-looked-at"): 1}


def test_any_clause_does_and_every_named_assembly_must(club):
    otter(club, mark="Mk 1")
    club.build("Otter 1", "engine", "Mk 2", "late")
    club.requirement("tray", 1, {"mark": "Mk 1"}, {"mark": "Mk 3"})
    club.requirement(
        "lamp", 1, {"assembly": "hull", "mark": "Mk 1"}, {"assembly": "engine", "phase": "late"}
    )
    club.requirement(
        "dynamo", 1, {"assembly": "hull", "mark": "Mk 1"}, {"assembly": "engine", "mark": "Mk 1"}
    )
    assert club.lacks() == {("tray", "not-looked-at"): 1, ("lamp", "not-looked-at"): 1}


def test_an_unknown_build_is_listed_apart_and_not_in_completeness(club):
    otter(club, mark=None)
    club.requirement("magneto", 1, {"mark": "Mk 1"})
    club.requirement("magneto", 2, {"mark": "Mk 2"})
    club.requirement("dynamo")
    club.survey("Otter 1", "dynamo", "fitted")
    assert club.lacks() == {("magneto", "build-not-known"): 2}
    assert club.complete() == (1, 1)
    assert club.lack_rows()[0]["build"] == "not known"


def test_a_known_mark_rules_out_what_an_unknown_phase_leaves_open(club):
    otter(club, mark="Mk 1")
    club.requirement("magneto", 1, {"mark": "Mk 1", "phase": "late"})
    club.requirement("lamp", 1, {"mark": "Mk 2", "phase": "late"})
    assert club.lacks() == {("magneto", "build-not-known"): 1}


def test_lines_of_one_source_add_and_those_of_another_do_not(club):
    otter(club)
    club.requirement("road-wheel", 4)
    club.requirement("road-wheel", 2)
    club.requirement("road-wheel", 5, source="another list", sure=False)
    (row,) = club.lack_rows()
    assert row["quantity"] == 6
    assert "another list says 5" in row["disagrees"]


def test_the_later_list_counts_and_equal_lists_do_not_disagree(club):
    otter(club)
    club.requirement("road-wheel", 4, source="a", said_on=MARCH)
    club.requirement("road-wheel", 6, source="b", said_on=MAY)
    club.requirement("road-wheel", 6, source="c", said_on=dt.date(2020, 1, 1))
    (row,) = club.lack_rows()
    assert row["quantity"] == 6
    assert row["disagrees"].count("another list") == 1


def test_a_reference_counts_nothing_and_as_required_counts_one(club):
    otter(club)
    club.requirement("lamp", 1, quantity_special="reference")
    club.requirement("clip", None, quantity_special="as-required")
    assert club.lacks() == {("clip", "not-looked-at"): 1}


# aims


def said_missing(club, *parts):
    for name in parts:
        club.requirement(name)
        club.survey("Otter 1", name, "missing")


@pytest.mark.parametrize(
    ("aim", "lacking"),
    [
        ("static-display", {"tray", "lamp"}),
        ("runner", {"magneto", "lamp"}),
        ("full-original", {"tray", "lamp", "magneto", "clip"}),
        (None, {"tray", "lamp", "magneto", "clip"}),
        ("as-found", set()),
    ],
)
def test_the_aim_decides_what_is_lacking(club, aim, lacking):
    otter(club, aim)
    said_missing(club, "tray", "lamp", "magneto", "clip")
    assert {row["part"] for row in club.lack_rows()} == lacking


def test_the_list_overrides_what_the_vocabulary_says_it_is_needed_for(club):
    otter(club, "runner")
    club.requirement("tray", needed_for="runner")
    club.requirement("magneto", needed_for="static-display")
    assert club.lacks() == {("tray", "not-looked-at"): 1}


def test_without_an_aim_each_row_says_for_which_it_counts(club):
    otter(club, None)
    said_missing(club, "tray", "clip")
    club.requirement("lamp")
    club.survey("Otter 1", "lamp", "fitted", service="unserviceable")
    assert {row["part"]: row["needed_for"] for row in club.lack_rows()} == {
        "tray": "static-display;full-original",
        "clip": "full-original",
        "lamp": "runner;full-original",
    }
    assert club.complete(aim="static-display") == (0.5, 0.5)  # the lamp of tray and lamp
    assert club.complete(aim="runner") == (0, 0)


@pytest.mark.parametrize(
    ("aim", "lacking"), [("runner", 1), ("full-original", 1), ("static-display", 0)]
)
def test_what_does_not_work_is_lacking_for_all_but_a_static_display(club, aim, lacking):
    otter(club, aim)
    club.requirement("lamp")
    club.survey("Otter 1", "lamp", "fitted", service="unserviceable")
    assert club.lacks() == ({("lamp", "unserviceable"): 1} if lacking else {})
    assert club.complete()[0] == 1 - lacking


def test_as_found_lacks_what_was_taken_since_and_nothing_else(club):
    otter(club, "as-found")
    for name in ("lamp", "tray", "clip", "dynamo"):
        club.requirement(name)
    club.survey("Otter 1", "lamp", "fitted")
    club.survey("Otter 1", "lamp", "missing", source="later", said_on=MAY)
    club.survey("Otter 1", "tray", "missing")  # was missing when found
    club.survey("Otter 1", "clip", "fitted")
    club.survey("Otter 1", "dynamo", "fitted", service="unserviceable")
    (row,) = club.lack_rows()
    assert (row["part"], row["state"], row["needed_for"]) == ("lamp", "missing", "as-found")
    assert "2026-03-03" in row["disagrees"]
    low, high = club.complete()
    assert low == high == pytest.approx((1 * 1 + 1 * 0.5) / 2)  # stowage 1 of 1, electrics 1 of 2


def test_as_found_needs_no_parts_list(club):
    otter(club, "as-found")
    club.survey("Otter 1", "lamp", "fitted", 2)
    club.survey("Otter 1", "lamp", "missing", 1, source="later", said_on=MAY)
    assert club.lacks() == {("lamp", "missing"): 1}


# what surveys say


def test_a_general_statement_covers_all(club):
    otter(club)
    club.requirement("road-wheel", 8)
    club.survey("Otter 1", "road-wheel", "missing")
    assert club.lacks() == {("road-wheel", "missing"): 8}


def test_a_place_covers_one_and_the_rest_was_not_looked_at(club):
    otter(club)
    club.requirement("road-wheel", 8)
    club.survey("Otter 1", "road-wheel", "missing", location="station 3", side="left")
    assert club.lacks() == {("road-wheel", "missing"): 1, ("road-wheel", "not-looked-at"): 7}


def test_a_later_place_changes_one_of_an_earlier_general_statement(club):
    otter(club)
    club.requirement("road-wheel", 8)
    club.survey("Otter 1", "road-wheel", "fitted")
    club.survey("Otter 1", "road-wheel", "missing", location="station 3", said_on=MAY, source="b")
    assert club.lacks() == {("road-wheel", "missing"): 1}
    assert club.complete() == (7 / 8, 7 / 8)


def test_an_earlier_place_gives_way_to_a_later_general_statement(club):
    otter(club)
    club.requirement("road-wheel", 8)
    club.survey("Otter 1", "road-wheel", "missing", location="station 3")
    club.survey("Otter 1", "road-wheel", "fitted", said_on=MAY, source="b")
    assert club.lacks() == {}
    (row,) = club.lack_rows(include_all=True)
    assert (row["state"], row["quantity"]) == ("fitted", 8)
    assert "survey-003" in row["disagrees"]


def test_two_later_places_both_change_the_general_statement_but_one_place_counts_once(club):
    otter(club)
    club.requirement("road-wheel", 8)
    club.survey("Otter 1", "road-wheel", "fitted", said_on=dt.date(2025, 1, 1))
    club.survey("Otter 1", "road-wheel", "missing", location="3", said_on=MARCH, source="b")
    club.survey("Otter 1", "road-wheel", "missing", location="4", said_on=MAY, source="c")
    club.survey("Otter 1", "road-wheel", "missing", location="3", said_on=MAY, source="c")
    assert club.lacks() == {("road-wheel", "missing"): 2}


def test_lines_of_one_day_add_by_state(club):
    otter(club)
    club.requirement("road-wheel", 10)
    club.survey("Otter 1", "road-wheel", "fitted", 8)
    club.survey("Otter 1", "road-wheel", "missing", 1)
    assert club.lacks() == {("road-wheel", "missing"): 1, ("road-wheel", "not-looked-at"): 1}
    assert club.complete() == (0.8, 0.9)


def test_the_lower_end_of_a_range_counts(club):
    otter(club)
    club.requirement("road-wheel", 8)
    club.survey("Otter 1", "road-wheel", "fitted", (2, None))
    assert club.lacks() == {("road-wheel", "not-looked-at"): 6}
    assert club.complete() == (0.25, 1)


def test_some_of_a_total_says_that_the_others_are_missing(club):
    otter(club)
    club.requirement("road-wheel", 8)
    club.survey("Otter 1", "road-wheel", "fitted", 5, of_total=8)
    assert club.lacks() == {("road-wheel", "missing"): 3}


def test_more_than_is_required_is_believed_of_the_lacks_first(club):
    otter(club)
    club.requirement("lamp", 2)
    club.survey("Otter 1", "lamp", "fitted", 2)
    club.survey("Otter 1", "lamp", "missing", 1)
    assert club.lacks() == {("lamp", "missing"): 1}


@pytest.mark.parametrize(
    ("weaker", "better"),
    [
        ({"said_on": MARCH}, {"said_on": MAY}),
        ({"said_on": MAY, "sure": False}, {"said_on": MARCH}),
        ({"said_on": MAY, "first_hand": False}, {"said_on": MARCH}),
        ({"said_on": MAY, "basis": "import"}, {"said_on": MARCH}),
        ({"first_hand": True, "sure": False}, {"first_hand": False}),
    ],
)
def test_the_better_survey_counts_and_the_other_is_shown(club, weaker, better):
    otter(club)
    club.requirement("lamp")
    club.survey("Otter 1", "lamp", "fitted", source="z", words="thought fitted", **weaker)
    club.survey("Otter 1", "lamp", "missing", source="a", words="gone", **better)
    (row,) = club.lack_rows()
    assert (row["state"], row["seen_on"]) == ("missing", better.get("said_on", MARCH))
    assert row["disagrees"].startswith("thought fitted")


def test_the_order_in_which_lines_came_makes_no_difference(make_club):
    def told(order):
        club = make_club()
        otter(club)
        club.requirement("lamp", 2)
        for state, source in order:
            club.survey("Otter 1", "lamp", state, source=source)
        return club.lacks()

    lines = [("fitted", "a"), ("missing", "b")]
    assert told(lines) == told(lines[::-1])


def test_not_looked_at_does_not_undo_what_was_seen(club):
    otter(club)
    club.requirement("lamp")
    club.requirement("tray")
    club.survey("Otter 1", "lamp", "fitted")
    club.survey("Otter 1", "lamp", "could-not-be-seen", source="b", said_on=MAY)
    club.survey("Otter 1", "tray", "not-looked-at")
    assert club.lacks() == {("tray", "not-looked-at"): 1}


@pytest.mark.parametrize("state", ["off-and-kept", "away-for-repair"])
def test_what_is_off_but_kept_or_away_is_had(club, state):
    otter(club)
    club.requirement("lamp")
    club.survey("Otter 1", "lamp", state)
    assert club.lacks() == {}
    assert club.lacks(include_all=True) == {("lamp", state): 1}
    assert club.complete() == (1, 1)


@pytest.mark.parametrize("aim", ["static-display", "runner", "full-original", None])
def test_a_stand_in_is_lacking_for_every_aim_unless_the_owner_accepts_it(club, aim):
    otter(club, aim)
    club.requirement("lamp")
    club.requirement("radiator")
    club.survey("Otter 1", "radiator", "stand-in")
    club.survey("Otter 1", "lamp", "stand-in", accepted_stand_in=True)
    assert club.lacks() == {("radiator", "stand-in"): 1}
    assert club.lacks(include_all=True) == {
        ("radiator", "stand-in"): 1,
        ("lamp", "stand-in accepted"): 1,
    }


def test_what_was_never_there_is_not_required(club):
    otter(club)
    club.requirement("lamp", 2)
    club.requirement("dynamo")
    club.survey("Otter 1", "lamp", "not-there-to-be-fitted")
    club.survey("Otter 1", "dynamo", "fitted")
    assert club.lacks() == {}
    assert ("lamp", "not-there-to-be-fitted") in club.lacks(include_all=True)
    assert club.complete() == (1, 1)


# hands and positions


def test_a_side_is_never_crossed(club):
    otter(club)
    club.requirement("track-guard", 1, side="left")
    club.requirement("track-guard", 1, side="right")
    club.survey("Otter 1", "track-guard", "fitted", side="left")
    assert club.lacks() == {("track-guard", "right", "not-looked-at"): 1}


def test_a_survey_without_a_hand_confirms_neither(club):
    otter(club)
    club.requirement("track-guard", 1, side="left")
    club.requirement("track-guard", 1, side="right")
    club.survey("Otter 1", "track-guard", "fitted")
    assert club.lacks() == {
        ("track-guard", "left", "not-looked-at"): 1,
        ("track-guard", "right", "not-looked-at"): 1,
    }


def test_a_survey_with_a_hand_tells_of_one_where_the_list_states_none(club):
    otter(club)
    club.requirement("track-guard", 2)
    club.survey("Otter 1", "track-guard", "missing", side="left")
    assert club.lacks() == {("track-guard", "missing"): 1, ("track-guard", "not-looked-at"): 1}


def test_positions_tell_items_apart_only_where_the_part_has_them(club):
    otter(club)
    club.requirement("mudguard", 1, side="left", position="front")
    club.requirement("mudguard", 1, side="left", position="rear upper")
    club.requirement("lamp", 2, position="rear")
    club.survey("Otter 1", "mudguard", "fitted", side="left", position="front")
    club.survey("Otter 1", "lamp", "fitted", position="front")
    assert club.lacks() == {
        ("mudguard", "left", "rear", "not-looked-at"): 1,
        ("lamp", "not-looked-at"): 1,
    }


def test_near_and_off_are_no_hand(club):
    otter(club)
    club.requirement("track-guard", 1, side="left")
    club.survey("Otter 1", "track-guard", "fitted", side="near")
    assert club.lacks() == {("track-guard", "left", "not-looked-at"): 1}


# completeness, names, identifications


def test_completeness_weighs_assemblies_and_keeps_sorts_apart(club):
    otter(club)
    club.requirement("magneto", 2)
    club.requirement("dynamo", 4)
    club.requirement("lining", 4)
    club.survey("Otter 1", "magneto", "fitted", 1)
    club.survey("Otter 1", "magneto", "missing", 1)
    club.survey("Otter 1", "dynamo", "fitted", 3)
    assert club.complete(assembly_id="engine") == (0.5, 0.5)
    assert club.complete(assembly_id="electrics") == (0.75, 1)
    low, high = club.complete()
    assert low == pytest.approx((3 * 0.5 + 1 * 0.75) / 4)
    assert high == pytest.approx((3 * 0.5 + 1 * 1) / 4)
    assert club.complete(sort="consumable") == (0, 1)


@pytest.mark.parametrize("words", ["otter 1", "OTTER 1", "OT1", "otter ot1", " 12 ab 34"])
def test_a_vehicle_is_known_by_any_of_its_names(club, words):
    otter(club, club_number="OT1", service_number="12 AB 34")
    club.requirement("lamp")
    assert club.lacks(words) == {("lamp", "not-looked-at"): 1}


def test_an_unknown_vehicle_is_an_error_that_names_near_ones(club):
    otter(club)
    with pytest.raises(UnknownVehicleError, match="otter 1"):
        club.lacks("Oter 1")


def test_a_number_on_two_vehicles_is_asked_about(club):
    club.vehicle("Otter 1", civil_number="X1")
    club.vehicle("Otter 2", civil_number="X1")
    with pytest.raises(UnknownVehicleError, match="otter 1, otter 2"):
        club.lacks("X1")


def test_every_vehicle_is_listed_when_none_is_named(club):
    otter(club)
    club.vehicle("Otter 2", role="hulk")
    club.requirement("lamp")
    assert [row["vehicle"] for row in club.lack_rows(None)] == ["Otter 1", "Otter 2"]


def test_an_unsure_reading_counts_for_nothing(club):
    otter(club)
    club.say(
        "requirement", family="Otter", all_builds=True, at_least=1.0, at_most=1.0,
        description="lmp", item_key=club.item("lamp", reading=("lamp", 0.9)),
    )  # fmt: skip
    assert club.lacks() == {}


def test_a_replaced_part_counts_as_the_one_in_its_place(club):
    otter(club)
    club.requirement("old-magneto")
    club.survey("Otter 1", "magneto", "missing")
    assert club.lacks() == {("magneto", "missing"): 1}


def test_a_decision_on_one_line_rules_over_its_words(club):
    otter(club)
    line = club.requirement("lamp")
    club.requirement("lamp", 2)
    club.name("part", f"line:{line}", "dynamo")
    assert club.lacks() == {("dynamo", "not-looked-at"): 1, ("lamp", "not-looked-at"): 2}


def test_the_basis_names_file_row_and_words_and_the_trace_the_lines(club):
    otter(club)
    line = club.requirement("lamp")
    seen = club.survey("Otter 1", "lamp", "missing")
    club.add("source_version", {"source_id": "parts list", "version": 1, "name": "otter.csv"})
    club.add("line_origin", {"line_id": line, "source_id": "parts list", "source_version": 1,
                             "raw_number": 7})  # fmt: skip
    club.add("raw_line", {"source_id": "parts list", "source_version": 1, "raw_number": 7,
                          "row": 12, "words": "LAMP | 1", "outcome": "loaded"})  # fmt: skip
    (row,) = club.lack_rows()
    assert row["basis"] == "otter.csv, row 12: LAMP | 1"
    assert row["trace"] == f"{line};{seen}"


# days


def test_a_survey_of_may_is_not_known_in_april(club):
    otter(club)
    club.requirement("lamp")
    club.survey("Otter 1", "lamp", "fitted")
    club.survey("Otter 1", "lamp", "missing", source="b", said_on=MAY)
    april = dt.date(2026, 4, 30)
    assert club.lacks(as_of=april) == {}
    assert club.lacks(as_of=dt.date(2026, 6, 30)) == {("lamp", "missing"): 1}


def test_what_was_said_early_but_recorded_late_counts_with_known_now_only(club):
    otter(club)
    club.requirement("lamp")
    club.survey(
        "Otter 1", "lamp", "missing", recorded=dt.datetime.combine(dt.date(2026, 9, 1), dt.time())
    )
    april = dt.date(2026, 4, 30)
    assert club.lacks(as_of=april) == {("lamp", "not-looked-at"): 1}
    assert club.lacks(as_of=april, known_now=True) == {("lamp", "missing"): 1}

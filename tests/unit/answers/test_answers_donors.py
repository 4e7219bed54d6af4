"""Where lacking items could come from, and whether they fit: worked by hand."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from partmuster.answers.parts import UnknownPartError

MARCH = dt.date(2026, 3, 3)
JUNE = dt.date(2026, 6, 1)


def lack(club, part="magneto", mark="Mk 1", phase=None, *, aim="full-original", vehicle="Otter 1",
         clauses=(), quantity=1, **more):  # fmt: skip
    """Say a vehicle that lacks one part, seen missing; return the requirement."""
    place = more.pop("place", None)
    club.vehicle(vehicle, "Otter", mark, phase, aim=aim, place=place)
    number = more.pop("number", None)
    line = club.requirement(part, quantity, *clauses, number=number, maker=more.pop("maker", None),
                            **more)  # fmt: skip
    club.survey(vehicle, part, "missing", **{k: v for k, v in more.items() if k != "source"})
    return line


def brief(rows, *names):
    return [tuple(row[name] for name in names) for row in rows]


def asked(club, **more):
    return club.donors(as_of=JUNE, **more)


# the rules of fit, in their order


def test_rule_1_a_sure_never_rules_over_the_same_part_number(club):
    lack(club, number="OT1")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2", number="OT1")
    club.fit("magneto", "never", mark="Mk 2", to_mark="Mk 1", reason="flange has six bolts")
    (row,) = asked(club)
    assert (row["fit"], row["standing"], row["correctness"]) == ("never", "not offered", "unknown")
    assert "flange has six bolts" in row["reason"]


def test_rule_1_a_never_holds_in_its_own_direction_and_scope_only(club):
    lack(club, clauses=({"mark": "Mk 1"},))
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2")
    club.holding("Bea", "magneto", family="Otter", mark="Mk 3")
    club.fit("magneto", "never", mark="Mk 1", to_mark="Mk 2")
    club.fit("magneto", "never", mark="Mk 3", to_mark="Mk 2")
    assert brief(asked(club), "fit", "reason") == [("unknown", "nobody has said")] * 2


def test_rule_1_a_hedged_never_marks_a_dispute(club):
    lack(club)
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2")
    club.fit("magneto", "never", mark="Mk 2", to_mark="Mk 1", sure=False, reason="or so I heard")
    club.fit("magneto", "as-is", mark="Mk 2", to_mark="Mk 1", source="other")
    (row,) = asked(club)
    assert (row["fit"], row["standing"]) == ("unknown", "offered")
    assert row["reason"].startswith("disputed: or so I heard")


@pytest.mark.parametrize(
    ("grade", "forward", "back"),
    [
        ("as-is", ("as-is", "correct"), ("as-is", "correct")),
        ("one-way", ("one-way", "goes on, not correct for it"), ("never", "unknown")),
        ("with-work", ("with-work", "goes on, not correct for it"), ("unknown", "unknown")),
        ("only-as-a-set", ("only-as-a-set", "unknown"), ("unknown", "unknown")),
        ("unknown", ("unknown", "unknown"), ("unknown", "unknown")),
    ],
)
def test_rule_2_a_statement_holds_in_the_direction_it_is_said_for(make_club, grade, forward, back):
    for have, want, expected in (("Mk 2", "Mk 1", forward), ("Mk 1", "Mk 2", back)):
        club = make_club()
        lack(club, mark=want, clauses=({"mark": want},))
        club.holding("Ann", "magneto", family="Otter", mark=have)
        club.fit("magneto", grade, mark="Mk 2", to_mark="Mk 1", work="drill two holes",
                 companions_text="with its bracket")  # fmt: skip
        (row,) = asked(club)
        assert (row["fit"], row["correctness"]) == expected
        if have == "Mk 2":
            assert row["work"] == "drill two holes"
            assert "with its bracket" in row["companions"]


def test_rule_2_with_work_on_the_same_build_is_correct(club):
    lack(club, mark="Mk 1")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1")
    club.fit("magneto", "with-work", mark="Mk 1", to_mark="Mk 1", work="ream")
    (row,) = asked(club)
    assert (row["fit"], row["correctness"]) == ("with-work", "correct")


def test_rule_2_another_part_may_take_its_place_if_somebody_says_so(club):
    lack(club, "radiator")
    club.holding("Ann", "lorry-radiator")
    club.holding("Bea", "lamp")
    club.fit("lorry-radiator", "with-work", to_part="radiator", work="new brackets")
    assert brief(asked(club), "source", "fit") == [("Ann", "with-work")]


def test_rule_2_a_hedged_grade_is_shown_with_its_doubt(club):
    lack(club)
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2")
    club.fit("magneto", "as-is", mark="Mk 2", to_mark="Mk 1", sure=False)
    (row,) = asked(club)
    assert row["fit"] == "as-is"
    assert "said with doubt" in row["reason"]


@pytest.mark.parametrize(
    ("number", "maker", "fit"),
    [("OT1", None, "as-is"), ("OT1", "Acorn", "as-is"), ("OT1", "Birch", "unknown"),
     ("OT2", "Acorn", "unknown")],
)  # fmt: skip
def test_rule_3_the_same_part_number_of_the_same_maker(club, number, maker, fit):
    lack(club, number="OT1", maker="Acorn")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2", number=number, maker=maker,
                 effectivity_text="Mk 2")  # fmt: skip
    club.clauses("requirement-002", {"mark": "Mk 1"})
    club.rows["said_requirement"][0]["all_builds"] = False
    (row,) = asked(club)
    assert row["fit"] == fit
    if fit == "as-is":
        assert (row["reason"], row["correctness"]) == ("same part number", "correct")


def test_rule_4_one_line_for_both_builds(club):
    lack(club, mark="Mk 1", clauses=({"mark": "Mk 1"}, {"mark": "Mk 2", "phase": "early"}))
    club.holding("Ann", "magneto", family="Otter", mark="Mk 2", phase="early")
    club.holding("Bea", "magneto", family="Otter", mark="Mk 2", phase="late")
    club.holding("Col", "magneto", family="Bramble", mark="Mk 1")
    assert brief(asked(club), "source", "fit", "reason") == [
        ("Ann", "as-is", "one parts-list line covers both"),
        ("Bea", "unknown", "nobody has said"),
        ("Col", "unknown", "nobody has said"),
    ]


def test_rule_4_on_a_vehicle_the_line_holds_for_its_own_serial(club):
    interval = {"series": "hull", "first_serial": 1251, "last_serial": 1400}
    lack(club, clauses=(interval,))
    club.serial("Otter 1", "hull", 1302)
    for name, serial in (("Otter 5", 1288), ("Otter 6", 1100)):
        club.vehicle(name, mark="Mk 2", role="breaking")
        club.serial(name, "hull", serial)
        club.survey(name, "magneto", "fitted")
    rows = asked(club)
    assert brief(rows, "source", "fit", "reason") == [
        ("Otter 5", "as-is", "one parts-list line covers both"),
        ("Otter 6", "unknown", "nobody has said"),
    ]


def test_rule_4_a_loose_part_has_no_serial_so_rule_5_counts(club):
    interval = {"series": "hull", "first_serial": 1251}
    lack(club, mark="Mk 1", phase="late", clauses=(interval,))
    club.serial("Otter 1", "hull", 1302)
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1", phase="late")
    (row,) = asked(club)
    assert (row["fit"], row["reason"], row["correctness"]) == ("as-is", "same build", "correct")


def test_rule_5_needs_mark_phase_and_family(club):
    interval = {"series": "hull", "first_serial": 1251}
    lack(club, mark="Mk 1", phase="late", clauses=(interval,))
    club.serial("Otter 1", "hull", 1302)
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1", phase="early")
    club.holding("Bea", "magneto", family="Otter", mark="Mk 1")
    club.holding("Col", "magneto", mark="Mk 1", phase="late")
    assert {row["fit"] for row in asked(club)} == {"unknown"}


def test_a_holding_for_several_builds_fits_where_one_of_them_does(club):
    lack(club, mark="Mk 2", clauses=({"mark": "Mk 2"},))
    line = club.holding("Ann", "magneto", family="Otter", effectivity_text="Mk 1, Mk 2")
    club.clauses(line, {"mark": "Mk 1"}, {"mark": "Mk 2"})
    (row,) = asked(club)
    assert (row["fit"], row["reason"]) == ("as-is", "one parts-list line covers both")


@pytest.mark.parametrize(
    ("family", "clauses", "fit", "reason"),
    [
        ("Otter", (), "as-is", "the list gives one part for all builds"),
        (None, (), "unknown", "build not stated"),
        ("Bramble", (), "unknown", "build not stated"),
        ("Otter", ({"mark": "Mk 1"},), "unknown", "build not stated"),
    ],
)
def test_a_part_without_a_build_fits_only_where_one_part_is_for_all(
    club, family, clauses, fit, reason
):
    lack(club, clauses=clauses)
    club.holding("Ann", "magneto", family=family)
    (row,) = asked(club)
    assert (row["fit"], row["reason"]) == (fit, reason)


def test_a_statement_for_any_build_holds_for_a_part_without_one(club):
    lack(club, clauses=({"mark": "Mk 1"},))
    club.holding("Ann", "magneto")
    club.fit("magneto", "as-is", to_family="Otter")
    (row,) = asked(club)
    assert row["fit"] == "as-is"


# hands


def test_the_other_hand_is_no_candidate_and_an_unstated_one_is_asked_about(club):
    lack(club, "track-guard", side="left")
    club.holding("Ann", "track-guard", side="right", family="Otter", mark="Mk 1")
    club.holding("Bea", "track-guard", family="Otter", mark="Mk 1")
    (row,) = asked(club)
    assert (row["source"], row["fit"], row["standing"]) == ("Bea", "unknown", "offered")
    assert row["reason"].startswith("hand not stated: ask")


def test_the_other_hand_is_a_candidate_if_a_statement_says_so(club):
    lack(club, "track-guard", side="left")
    club.holding("Ann", "track-guard", side="right", family="Otter", mark="Mk 1")
    club.fit("track-guard", "with-work", side="right", to_side="left", work="turn about")
    (row,) = asked(club)
    assert (row["source"], row["fit"]) == ("Ann", "with-work")


def test_the_other_position_is_no_candidate(club):
    lack(club, "mudguard", side="left", position="front")
    club.holding("Ann", "mudguard", side="left", position="rear", family="Otter")
    (row,) = asked(club)
    assert row["rank"] is None


# where from, standing


def test_where_from_decides_among_equals_and_has_its_standing(club):
    lack(club)
    club.holding("Ann", "magneto", family="Otter", grade="unknown", availability="unknown")
    club.holding("Bea", "magneto", family="Otter", grade="unknown", surplus=True)
    club.holding("Col", "magneto", family="Otter", grade="unknown", availability="swap")
    club.holding("Dee", "magneto", family="Otter", grade="unknown", availability="kept")
    club.holding("Eve", "magneto", family="Otter", grade="unknown", availability="promised")
    club.holding("Flo", "magneto", (0, None), family="Otter", grade="unknown")
    club.vehicle("Otter 5", mark="Mk 1", role="breaking")
    club.vehicle("Otter 6", mark="Mk 1", role="hulk")
    club.vehicle("Otter 7", mark="Mk 1", role="hulk", owner_agrees=False)
    club.vehicle("Otter 8", mark="Mk 1", role="hulk", owner_agrees=True)
    for number in (5, 6, 7, 8):
        club.survey(f"Otter {number}", "magneto", "fitted")
    assert brief(asked(club), "rank", "source", "standing", "from") == [
        (1, "Col", "offered", "loose spare offered"),
        (2, "Flo", "ask first", "loose spare offered"),
        (3, "Bea", "offered", "surplus left over by a restoration"),
        (4, "Otter 5", "offered", "hulk being broken"),
        (5, "Otter 6", "ask first", "incomplete hulk, if its owner agrees"),
        (6, "Otter 8", "ask first", "incomplete hulk, if its owner agrees"),
        (7, "Ann", "ask first", "loose, not known to be offered"),
        (8, "Otter 7", "not offered", "incomplete hulk, if its owner agrees"),
        (9, "Dee", "not offered", "loose, not known to be offered"),
        (10, "Eve", "not offered", "loose, not known to be offered"),
    ]


@pytest.mark.parametrize("role", ["kept-whole", "under-restoration", "on-loan", None])
def test_nothing_is_taken_from_a_vehicle_that_is_kept(club, role):
    lack(club)
    club.vehicle("Otter 4", mark="Mk 1", role=role)
    club.survey("Otter 4", "magneto", "fitted")
    (row,) = asked(club)
    assert (row["rank"], row["reason"]) == (None, "nobody in the club is known to have one")
    (row,) = asked(club, include_all=True)
    assert (row["rank"], row["source"], row["standing"]) == (1, "Otter 4", "not offered")
    assert (row["fit"], row["correctness"]) == ("as-is", "correct")


def test_unless_its_owner_says_so(club):
    lack(club)
    club.vehicle("Otter 4", mark="Mk 1", role="under-restoration", owner_agrees=True)
    club.survey("Otter 4", "magneto", "fitted")
    (row,) = asked(club)
    assert (row["source"], row["standing"]) == ("Otter 4", "ask first")


def test_a_vehicle_gives_nothing_to_itself_and_only_what_was_seen_on_it(club):
    lack(club, quantity=2)
    club.vehicle("Otter 1", mark="Mk 1", role="breaking", source="b")
    club.survey("Otter 1", "magneto", "fitted", 1, source="c", said_on=dt.date(2026, 5, 1))
    club.vehicle("Otter 5", mark="Mk 1", role="breaking")
    (row,) = asked(club)
    assert (row["lacking"], row["rank"]) == (1, None)


@pytest.mark.parametrize(
    ("seen", "standing"),
    [(dt.date(2025, 6, 1), "offered"), (dt.date(2025, 5, 31), "ask first")],
)
def test_after_a_year_without_a_sighting_it_says_so(club, seen, standing):
    lack(club)
    club.vehicle("Otter 5", mark="Mk 1", role="breaking")
    club.survey("Otter 5", "magneto", "fitted", said_on=seen)
    (row,) = asked(club)
    assert row["standing"] == standing
    assert ("sight before travelling" in row["reason"]) == (standing == "ask first")


def test_a_hulk_offers_what_is_off_and_kept_for_it(club):
    lack(club, quantity=2)
    club.vehicle("Otter 5", mark="Mk 1", role="breaking")
    club.survey("Otter 5", "magneto", "off-and-kept", 2)
    (row,) = asked(club)
    assert (row["source"], row["quantity"]) == ("Otter 5", "2")


# order


def test_order_is_by_correctness_then_fit_then_condition(club):
    lack(club, number="OT1", clauses=({"mark": "Mk 1"},))
    club.holding("Ann", "magneto", family="Otter", mark="Mk 3", grade="new-old-stock")
    club.holding("Bea", "magneto", family="Otter", mark="Mk 2", grade="new")
    club.holding("Col", "magneto", family="Otter", mark="Mk 1", service="unserviceable")
    club.holding("Dee", "magneto", family="Otter", mark="Mk 1", grade="poor")
    club.holding("Eve", "magneto", family="Otter", mark="Mk 1", grade="fair")
    club.holding("Flo", "magneto", family="Otter", mark="Mk 4", grade="new")
    club.fit("magneto", "with-work", mark="Mk 2", to_mark="Mk 1")
    club.fit("magneto", "one-way", mark="Mk 4", to_mark="Mk 1")
    assert brief(asked(club), "source", "fit") == [
        ("Eve", "as-is"), ("Dee", "as-is"), ("Col", "as-is"), ("Flo", "one-way"),
        ("Bea", "with-work"), ("Ann", "unknown"),
    ]  # fmt: skip


def test_the_nearer_comes_first_and_an_unknown_place_last(club):
    lack(club, place="Home")
    club.place("Home", 0.0, 0.0)
    club.place("Near", 0.0, 1.0)
    club.place("Far", 0.0, 2.0)
    for holder, place in (("Ann", None), ("Bea", "Far"), ("Col", "Near")):
        club.holding(holder, "magneto", family="Otter", place=place)
    rows = asked(club)
    assert brief(rows, "source", "place") == [("Col", "Near"), ("Bea", "Far"), ("Ann", None)]
    assert rows[0]["distance_km"] == pytest.approx(111.195, abs=0.001)  # a degree of 6371.0088 km
    assert rows[2]["distance_km"] is None


# what is asked


def test_only_what_was_seen_to_be_lacking_is_looked_for(club):
    lack(club)
    club.requirement("lamp")
    club.holding("Ann", "lamp", family="Otter")
    assert brief(asked(club), "part", "rank") == [("magneto", None)]


@pytest.mark.parametrize("state", ["stand-in", "fitted"])
def test_stand_ins_and_what_does_not_work_are_looked_for(club, state):
    club.vehicle("Otter 1", mark="Mk 1", aim="runner")
    club.requirement("magneto")
    club.survey("Otter 1", "magneto", state, service="unserviceable")
    club.holding("Ann", "magneto", family="Otter")
    (row,) = asked(club)
    assert row["state"] == {"stand-in": "stand-in", "fitted": "unserviceable"}[state]
    assert row["source"] == "Ann"


def test_what_carries_an_identity_is_never_offered(club):
    lack(club, "data-plate")
    club.holding("Ann", "data-plate", family="Otter", mark="Mk 1")
    (row,) = asked(club)
    assert row["rank"] is None
    assert "identity" in row["reason"]


def test_old_stock_of_a_consumable_says_what_it_is(club):
    lack(club, "lining")
    club.holding("Ann", "lining", family="Otter", grade="new-old-stock")
    (row,) = asked(club)
    assert row["caution"] == "old stock is not thereby serviceable"


def test_an_unsure_reading_is_no_candidate(club):
    lack(club)
    club.holding("Ann", "magneto", reading=("magneto", 0.99), family="Otter")
    assert brief(asked(club), "rank") == [(None,)]


def test_without_a_vehicle_nobody_looks_for_parts_for_what_is_broken(club):
    lack(club)
    club.vehicle("Otter 5", mark="Mk 1", role="breaking")
    club.vehicle("Otter 6", mark="Mk 1", role="hulk")
    club.vehicle("Otter 7", mark="Mk 1", role="hulk", aim="runner")
    for number in (5, 6, 7):
        club.survey(f"Otter {number}", "magneto", "missing")
    assert [row["vehicle"] for row in asked(club, vehicle=None)] == ["Otter 1", "Otter 7"]
    assert [row["vehicle"] for row in asked(club, vehicle="Otter 6")] == ["Otter 6"]


def test_a_part_limits_the_question(club):
    lack(club)
    club.requirement("lamp")
    club.survey("Otter 1", "lamp", "missing")
    assert brief(asked(club, part_id="lamp"), "part") == [("lamp",)]
    with pytest.raises(UnknownPartError):
        asked(club, part_id="no such part")


def test_a_side_limits_the_question(club):
    lack(club, "track-guard", side="left")
    club.requirement("track-guard", 1, side="right")
    club.survey("Otter 1", "track-guard", "missing", side="right")
    reading = pl.DataFrame(
        {"part_id": ["track-guard"], "probability": [1.0], "accepted": [True], "side": ["right"],
         "position": [None]},
    )  # fmt: skip
    rows = asked(club, part_id="guard rh", identify=lambda _words: reading)
    assert brief(rows, "hand") == [("right",)]


def test_the_trace_leads_to_requirement_survey_holding_and_fit(club):
    requirement = lack(club)
    holding = club.holding("Ann", "magneto", family="Otter", mark="Mk 2")
    fit = club.fit("magneto", "as-is", mark="Mk 2", to_mark="Mk 1")
    (row,) = asked(club)
    assert row["trace"].split(";") == [requirement, "survey-003", holding, fit]

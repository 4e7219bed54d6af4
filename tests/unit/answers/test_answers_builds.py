"""What each assembly was built to: worked out by hand from the constants of the model.

Seen and usual 0.95 * 0.95 + 0.05 * 0.05 = 0.905, seen and unlikely 0.095, seen and possible or not
stated 0.5. Of two builds each has 0.475 before anything is seen, "none of these" 0.05.
"""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.answers.builds import builds
from partmuster_schemas.answers import ANSWERS

from .conftest import LONG_AGO, MAY, VOCABULARY

NONE = "none of these, or converted"
USUAL, UNLIKELY = "usual", "unlikely"


def file_says(club, assembly, feature, likelihoods, *, family="Otter", **more):
    """Say for each build ('Mk 1 early') how usual a feature is."""
    for build, likelihood in likelihoods.items():
        mark, phase = (build.split(" ")[:2], build.split(" ")[2:])
        club.say("build", source="family file", family=family, assembly=assembly,
                 mark=" ".join(mark), phase=phase[0] if phase else None, feature=feature,
                 likelihood=likelihood, **more)  # fmt: skip


def numbers(club, assembly, build, first, last, series=None):
    mark, phase = (build.split(" ")[:2], build.split(" ")[2:])
    club.say("build", source="numbers", family="Otter", assembly=assembly, mark=" ".join(mark),
             phase=phase[0] if phase else None, series=series or assembly, first_serial=first,
             last_serial=last)  # fmt: skip


def seen(club, assembly, feature, *, vehicle="Otter 1", seen=True, **more):
    more = {"source": "walk round"} | more
    return club.say("feature", vehicle=vehicle, vehicle_key=vehicle.lower(), assembly=assembly,
                    feature=feature, seen=seen, **more)  # fmt: skip


def decide(club, subject, answer, *, day=LONG_AGO, undoes=None, number="d1"):
    club.add("decision", {"decision_id": number, "topic": "build", "subject": subject,
                          "answer": answer, "decided_by": "Ada Finch", "decided_at": day,
                          "undoes": undoes})  # fmt: skip


def told(club, vehicle="Otter 1", assembly=None, **more):
    """Return {candidate: (probability, standing)} of the one assembly that is told."""
    rows = builds(club.connect(), VOCABULARY, vehicle, assembly, **more).rows.to_dicts()
    assert len({row["assembly"] for row in rows}) <= 1, rows
    return {row["build"]: (row["probability"], row["standing"]) for row in rows}


def probabilities(club, *args, **more):
    return {name: found for name, (found, _) in told(club, *args, **more).items()}


def macro(club, assembly=None, day="NULL", known_now="false"):
    """Return the rows of assembly_builds_as_of of an assembly: build, told by."""
    return club.connect().execute(
        f"SELECT build_words(mark, phase), told_by FROM assembly_builds_as_of({day}, {known_now}) "
        "WHERE ? IS NULL OR assembly = ? ORDER BY probability DESC, 1", [assembly, assembly],
    ).fetchall()  # fmt: skip


@pytest.fixture
def engines(club):
    """Two builds of engine, told by a magneto drive and by exhaust outlets."""
    club.vehicle("Otter 1")
    file_says(club, "engine", "Magneto drive", {"Mk 1": USUAL, "Mk 2": UNLIKELY})
    file_says(club, "engine", "Two exhaust outlets", {"Mk 1": UNLIKELY, "Mk 2": USUAL})
    return club


def test_two_features_against_each_other_leave_both_and_say_so(engines):
    seen(engines, "engine", "Magneto drive")
    seen(engines, "engine", "two  exhaust outlets")
    # each build 0.475 * 0.905 * 0.095 = 0.040838, none 0.05 * 0.5 * 0.5 = 0.0125
    assert probabilities(engines) == pytest.approx(
        {"Mk 1": 0.43363, "Mk 2": 0.43363, NONE: 0.13273}, abs=5e-5
    )
    assert [told_by for _, told_by in macro(engines)] == ["not settled"] * 3
    row = builds(engines.connect(), VOCABULARY, "Otter 1").rows.to_dicts()[0]
    assert row["contradiction"].startswith("for Mk 1 and not Mk 2: Magneto drive: seen")
    assert "but for Mk 2: Two exhaust outlets: seen" in row["contradiction"]


def test_a_feature_looked_for_and_not_there_counts_the_other_way(engines):
    seen(engines, "engine", "Magneto drive", seen=False)
    # Mk 2: 0.475 * 0.905 = 0.429875, Mk 1: 0.475 * 0.095 = 0.045125, none 0.025
    assert probabilities(engines) == pytest.approx(
        {"Mk 2": 0.85975, "Mk 1": 0.09025, NONE: 0.05}, abs=5e-6
    )


def test_features_that_come_together_are_one_observation(club):
    club.vehicle("Otter 1")
    group = {"feature_group": "side joints"}
    file_says(club, "hull", "riveted", {"Mk 1": USUAL, "Mk 2": UNLIKELY}, **group)
    file_says(club, "hull", "welded", {"Mk 1": UNLIKELY, "Mk 2": USUAL}, **group)
    seen(club, "hull", "riveted")
    seen(club, "hull", "welded", seen=False)
    assert probabilities(club) == pytest.approx(
        {"Mk 1": 0.85975, "Mk 2": 0.09025, NONE: 0.05}, abs=5e-6
    )


@pytest.mark.parametrize("how", [{"sure": False}, {"first_hand": False}])
def test_what_is_hedged_or_hearsay_is_more_often_wrong(engines, how):
    seen(engines, "engine", "Magneto drive", **how)
    # wrong in one of five: 0.8 * 0.95 + 0.2 * 0.05 = 0.77, and 0.23
    assert probabilities(engines) == pytest.approx(
        {"Mk 1": 0.73150, "Mk 2": 0.21850, NONE: 0.05}, abs=5e-6
    )


def test_what_can_be_changed_later_tells_less(club):
    club.vehicle("Otter 1")
    file_says(club, "hull", "bin bracket", {"Mk 1": UNLIKELY, "Mk 2": USUAL}, changeable=True)
    seen(club, "hull", "bin bracket")
    # 0.7 * 0.905 + 0.15 = 0.7835, 0.7 * 0.095 + 0.15 = 0.2165
    assert probabilities(club) == pytest.approx(
        {"Mk 2": 0.744325, "Mk 1": 0.205675, NONE: 0.05}, abs=5e-6
    )


@pytest.mark.parametrize("remark", [
    "rough welds, a later change and not the works'", "added later", "owner's own",
    "fitted at a depot in 1952, so a later change", "perhaps a later change", "not original",
])  # fmt: skip
def test_a_later_change_is_shown_and_does_not_count(engines, remark):
    seen(engines, "engine", "Magneto drive")
    line = seen(engines, "engine", "Two exhaust outlets", remark=remark)
    assert probabilities(engines)["Mk 1"] == pytest.approx(0.85975, abs=5e-6)
    shown = builds(engines.connect(), VOCABULARY, "Otter 1").evidence.to_dicts()
    [shown] = [one for one in shown if one["trace"] == line]
    assert shown["not_counted"] == "a later change"


@pytest.mark.parametrize("remark", ["not a later change", "original, never changed", "by the gate"])
def test_what_is_no_later_change_counts(engines, remark):
    seen(engines, "engine", "Magneto drive", remark=remark)
    assert probabilities(engines)["Mk 1"] == pytest.approx(0.85975, abs=5e-6)


def test_a_survey_that_calls_it_a_later_change_takes_it_out(engines):
    seen(engines, "engine", "Magneto drive")
    seen(engines, "engine", "Two exhaust outlets")
    engines.survey("Otter 1", "Two exhaust outlets", "fitted", assembly="engine", later_change=True)
    assert probabilities(engines)["Mk 1"] == pytest.approx(0.85975, abs=5e-6)


def test_a_later_change_alone_leaves_the_assembly_as_it_was(engines):
    seen(engines, "engine", "Magneto drive", remark="a later change")
    assert macro(engines) == []


def test_number_mark_and_feature_together_settle_a_hull(club):
    builds_of_hull = ("Mk 1 early", "Mk 1 late", "Mk 2 early", "Mk 2 late")
    club.vehicle("Otter 1", mark="Mk 1", phase="early")
    riveted = {name: USUAL if name == "Mk 1 early" else UNLIKELY for name in builds_of_hull}
    file_says(club, "hull", "Side joints riveted", riveted)
    blocks = ((1001, 1310), (1251, 1999), (2000, 2299), (2300, None))
    for name, (first, last) in zip(builds_of_hull, blocks, strict=True):
        numbers(club, "hull", name, first, last)
    club.serial("Otter 1", "hull", 1288)
    seen(club, "hull", "Side joints riveted")
    # of four: a number that agrees 0.95 + 0.05 / 4 = 0.9625, or 0.0125; the register's mark
    # 0.5 + 0.5 / 4 = 0.625, or 0.125; none of these 0.25 for each, and 0.5 for the joints
    early = 0.2375 * 0.905 * 0.9625 * 0.625  # 0.129299
    late = 0.2375 * 0.095 * 0.9625 * 0.125  # 0.002715
    mk_2 = 0.2375 * 0.095 * 0.0125 * 0.125  # 0.0000353, twice
    none = 0.05 * 0.5 * 0.25 * 0.25  # 0.0015625
    whole = early + late + 2 * mk_2 + none
    found = told(club)
    assert found["Mk 1 early"] == (pytest.approx(early / whole, abs=1e-6), "told by features")
    assert early / whole == pytest.approx(0.9675, abs=5e-4)
    assert macro(club) == [("Mk 1 early", "told by features")]
    settled = club.connect().execute("FROM stated_builds_as_of(NULL, false)").fetchall()
    assert settled == [("otter 1", "hull", {"mark": "Mk 1", "phase": "early"})]


def test_the_vehicles_own_mark_holds_while_nothing_explains_better_what_was_seen(engines):
    engines.vehicle("Otter 1", mark="Mk 1")
    seen(engines, "engine", "Magneto drive", sure=False)
    assert macro(engines) == []
    assert told(engines)["Mk 1"][1] == "by the vehicle's mark"
    seen(engines, "engine", "Two exhaust outlets", said_on=MAY)
    assert {told_by for _, told_by in macro(engines)} == {"not settled"}


def test_a_vehicle_with_features_of_no_known_build(club):
    club.vehicle("Otter 1")
    for feature in ("timber frame", "flat doors", "angle iron", "three pieces"):
        file_says(club, "hull", feature, {"Mk 1": USUAL, "Mk 2": UNLIKELY})
        seen(club, "hull", feature, seen=False)
    for feature in ("pressed doors", "rain gutter", "tubular pillars", "one pressing"):
        file_says(club, "hull", feature, {"Mk 1": UNLIKELY, "Mk 2": USUAL})
        seen(club, "hull", feature, seen=False)
    line = seen(club, "hull", "plywood on angle")
    # each build 0.475 * (0.905 * 0.095) ** 4 = 0.475 * 0.00005464, none 0.05 * 0.5 ** 8
    assert probabilities(club)[NONE] == pytest.approx(0.79004, abs=5e-5)
    shown = builds(club.connect(), VOCABULARY, "Otter 1").evidence.to_dicts()
    [shown] = [one for one in shown if one["trace"] == line]
    assert shown["not_counted"] == "no list says which builds it tells"


def test_the_better_statement_about_a_feature_counts_and_the_other_is_shown(engines):
    seen(engines, "engine", "Magneto drive", said_on=MAY)
    line = seen(engines, "engine", "Magneto drive", seen=False)
    assert probabilities(engines)["Mk 1"] == pytest.approx(0.85975, abs=5e-6)
    answer = builds(engines.connect(), VOCABULARY, "Otter 1")
    [shown] = [one for one in answer.evidence.to_dicts() if one["trace"] == line]
    assert shown["not_counted"] == "a better statement says otherwise"
    assert "Magneto drive" in answer.rows.to_dicts()[0]["contradiction"]


def test_features_are_known_by_what_they_were_taken_to_mean(engines):
    engines.name("feature", "otter|engine|mag drive on the case", "Magneto drive")
    seen(engines, "engine", "Mag drive on the case")
    assert probabilities(engines)["Mk 1"] == pytest.approx(0.85975, abs=5e-6)


def test_a_plate_may_have_travelled(engines):
    seen(engines, "engine", "maker's plate", feature_value="Mk 2", evidence="plate")
    # 0.9 + 0.1 / 2 = 0.95 against 0.05, none of these 0.5
    assert probabilities(engines) == pytest.approx(
        {"Mk 2": 0.9025, "Mk 1": 0.0475, NONE: 0.05}, abs=5e-6
    )


def test_a_number_seen_dates_the_part_and_does_not_settle_the_assembly(engines):
    seen(engines, "engine", "Magneto drive", sure=False)
    engines.requirement("magneto", 1, {"mark": "Mk 1"}, assembly="engine", number="OT2210")
    seen(engines, "engine", "number on the magneto", feature_value="OT 2210",
         evidence="part number")  # fmt: skip
    # 0.3 + 0.7 / 2 = 0.65 and 0.35, none 0.5: 0.475 * 0.77 * 0.65 = 0.237738, 0.475 * 0.23 * 0.35 =
    # 0.038238, 0.05 * 0.5 * 0.5 = 0.0125
    assert probabilities(engines) == pytest.approx(
        {"Mk 1": 0.82412, "Mk 2": 0.13255, NONE: 0.04333}, abs=5e-5
    )
    assert macro(engines, "engine")[0] == ("Mk 1", "not settled")


def test_what_was_concluded_of_an_assembly_counts(engines):
    seen(engines, "engine", "Magneto drive", sure=False)
    engines.say("history", vehicle="Otter 1", vehicle_key="otter 1", assembly="engine",
                statement="block has the old stamping",
                conclusion="so it is a Mk 1 engine")  # fmt: skip
    before = 0.7315
    assert probabilities(engines)["Mk 1"] > before + 0.05


@pytest.mark.parametrize(("answer", "build"), [("Mk 2", "Mk 2"), ("Mk 1 early", "Mk 1 early")])
def test_what_the_registrar_set_holds_and_the_evidence_is_compared(engines, answer, build):
    seen(engines, "engine", "Magneto drive")
    decide(engines, "otter 1|engine", answer)
    assert macro(engines) == [(build, "set by the registrar")]
    rows = builds(engines.connect(), VOCABULARY, "Otter 1").rows.to_dicts()
    row = next(row for row in rows if row["standing"] == "set by the registrar")
    assert row["build"] == build
    agrees = build.startswith("Mk 1")
    assert row["agrees"].startswith("the evidence agrees" if agrees else "the evidence is against")


def test_a_decision_holds_from_the_day_it_was_made_until_it_is_taken_back(engines):
    day = dt.datetime.combine(dt.date(2026, 4, 1), dt.time(9))
    decide(engines, "otter 1|engine", "Mk 2", day=day)
    taken_back = dt.datetime.combine(dt.date(2026, 5, 1), dt.time(9))
    decide(engines, "otter 1|engine", None, day=taken_back, undoes="d1",
           number="d2")  # fmt: skip
    assert macro(engines, day="DATE '2026-03-31'") == []
    assert macro(engines, day="DATE '2026-04-01'") == [("Mk 2", "set by the registrar")]
    assert macro(engines, day="DATE '2026-05-01'") == []
    assert macro(engines, day="DATE '2026-04-01'", known_now="true") == []


def test_two_decisions_that_differ_settle_nothing(engines):
    decide(engines, "otter 1|engine", "Mk 2")
    decide(engines, "otter 1|engine", "Mk 1", number="d2")
    assert macro(engines) == []


def test_what_a_line_states_of_the_assembly_goes_before_features(engines):
    seen(engines, "engine", "Magneto drive")
    engines.build("Otter 1", "engine", "Mk 2")
    assert macro(engines) == [("Mk 2", "stated")]
    row = builds(engines.connect(), VOCABULARY, "Otter 1").rows.to_dicts()[0]
    assert (row["build"], row["standing"]) == ("Mk 2", "stated")
    assert row["agrees"].startswith("the evidence is against")


def test_what_to_look_at_next_tells_most_of_what_is_left(club):
    club.vehicle("Otter 1")
    three = ("Mk 1", "Mk 2", "Mk 3")
    file_says(club, "hull", "riveted", dict(zip(three, (USUAL, USUAL, UNLIKELY), strict=True)))
    file_says(club, "hull", "doublers", dict(zip(three, (USUAL, UNLIKELY, UNLIKELY), strict=True)))
    file_says(club, "hull", "eyes", dict(zip(three, ("possible", "possible", USUAL), strict=True)))
    seen(club, "hull", "riveted")
    row = builds(club.connect(), VOCABULARY, "Otter 1").rows.to_dicts()[0]
    # riveted leaves Mk 1 and Mk 2 with 0.9 between them, which only the doublers tell apart
    assert row["look_at"].startswith("doublers")
    assert "riveted" not in row["look_at"]


def test_a_general_line_of_a_file_speaks_of_its_narrower_builds(club):
    club.vehicle("Otter 1")
    file_says(club, "hull", "welded", {"Mk 2": USUAL, "Mk 1": UNLIKELY})
    file_says(club, "hull", "louvres", {"Mk 2 early": UNLIKELY, "Mk 2 late": USUAL})
    seen(club, "hull", "welded")
    found = probabilities(club)
    assert set(found) == {"Mk 1", "Mk 2 early", "Mk 2 late", NONE}
    assert found["Mk 2 early"] == pytest.approx(found["Mk 2 late"])
    assert found["Mk 2 early"] > 4 * found["Mk 1"]


def test_assemblies_that_disagree_make_a_hybrid(engines):
    engines.vehicle("Otter 1", mark="Mk 1")
    engines.build("Otter 1", "hull", "Mk 1")
    assert builds(engines.connect(), VOCABULARY, "Otter 1").hybrid is None
    engines.build("Otter 1", "engine", "Mk 2")
    assert builds(engines.connect(), VOCABULARY, "Otter 1").hybrid == (
        "hybrid: engine Mk 2, hull Mk 1, the rest Mk 1"
    )
    engines.say("build", source="family file", family="Otter", assembly="engine", mark="Mk 2",
                with_assembly="hull", with_mark="Mk 1")  # fmt: skip
    assert builds(engines.connect(), VOCABULARY, "Otter 1").hybrid == (
        "hybrid from the works: engine Mk 2, hull Mk 1, the rest Mk 1"
    )


def test_an_engine_that_came_since_does_not_hide_what_the_works_delivered(engines):
    engines.vehicle("Otter 1", mark="Mk 1", phase="early")
    engines.build("Otter 1", "hull", "Mk 2", "early")
    engines.build("Otter 1", "engine", "Mk 2", "late")
    engines.say("build", source="family file", family="Otter", assembly="hull", mark="Mk 2",
                phase="early", with_assembly="running-gear", with_mark="Mk 1",
                with_phase="early")  # fmt: skip
    assert builds(engines.connect(), VOCABULARY, "Otter 1").hybrid == (
        "hybrid: engine Mk 2 late, hull Mk 2 early, the rest Mk 1 early; of that the works "
        "delivered hull Mk 2 early with running gear Mk 1 early"
    )


def test_a_mark_of_the_vehicle_that_differs_is_no_contradiction_of_the_evidence(engines):
    engines.vehicle("Otter 1", mark="Mk 2")
    seen(engines, "engine", "Magneto drive")
    row = builds(engines.connect(), VOCABULARY, "Otter 1").rows.to_dicts()[0]
    assert (row["build"], row["contradiction"]) == ("Mk 1", None)
    assert "Mk 2, said of the vehicle" in row["evidence_against"]


def test_the_answer_has_the_columns_it_says(engines):
    engines.vehicle("Otter 1", mark="Mk 2")
    seen(engines, "engine", "Magneto drive")
    seen(engines, "hull", "something else")
    answer = builds(engines.connect(), VOCABULARY, "Otter 1")
    assert ANSWERS["builds"].validate(answer.rows).height == 3
    assert ANSWERS["build_evidence"].validate(answer.evidence).height == 7


def test_a_club_without_family_files_is_as_it_was(club):
    club.vehicle("Otter 1", mark="Mk 1")
    club.serial("Otter 1", "hull", 12)
    seen(club, "hull", "riveted")
    assert macro(club) == []
    assert told(club) == {}

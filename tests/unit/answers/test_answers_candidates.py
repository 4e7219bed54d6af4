"""What a vehicle lacks where the build of an assembly is not settled: what each candidate needs."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.long import examples

from .conftest import empty_club

LATE, EARLY = ("engine", "Mk 1", "late", 0.62), ("engine", "Mk 1", "early", 0.38)
IF_LATE = "needed if the engine is Mk 1 late (62 %), not if Mk 1 early (38 %)"


@pytest.fixture
def told(club):
    """Tell what the builds of Otter 1 are, in place of what evidence would tell."""
    con = empty_club()
    macros = dict(con.execute(
        "SELECT function_name, macro_definition FROM duckdb_functions() "
        "WHERE function_name IN ('assembly_builds_as_of', 'builds_settled_as_of')"
    ).fetchall())  # fmt: skip

    def make(rows):
        for macro, of in rows.items():
            con.execute(f"CREATE OR REPLACE MACRO {macro}(day, known_now) AS TABLE {of}")

    def tell(*builds, told_by="not settled"):
        club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original")
        rows = ", ".join(
            f"('otter 1', '{assembly}', {word(mark)}, {word(phase)}, {share}, '{told_by}')"
            for assembly, mark, phase, share in builds
        )
        make(dict.fromkeys(
            macros,
            "SELECT * REPLACE (probability::DOUBLE AS probability) FROM "
            f"(VALUES {rows}) t(vehicle_id, assembly, mark, phase, probability, told_by)",
        ))  # fmt: skip

    yield tell
    make(macros)


def word(text):
    return "NULL" if text is None else f"'{text}'"


def clause(mark, phase=None, **more):
    return {"mark": mark, "phase": phase, **more}


def test_what_every_candidate_needs_is_lacking_and_the_rest_says_on_what_it_depends(club, told):
    told(LATE, EARLY)
    club.requirement("magneto", 1, clause("Mk 1", "late"))
    club.requirement("crankcase", 1, clause("Mk 1"))
    club.requirement("sump", 1, clause("Mk 2"))
    rows = {row["part"]: row for row in club.lack_rows()}
    assert {name: row["state"] for name, row in rows.items()} == {
        "magneto": "build-not-known",
        "crankcase": "not-looked-at",
    }
    assert rows["magneto"]["depends_on"] == IF_LATE
    assert rows["crankcase"]["depends_on"] is None
    assert {row["build"] for row in rows.values()} == {"Mk 1 late (62 %) or Mk 1 early (38 %)"}
    assert club.complete() == (0, 1)  # of the crankcase alone


def test_none_of_these_is_named_and_neither_adds_nor_removes_anything(club, told):
    told(("engine", "Mk 1", "late", 0.9), ("engine", None, None, 0.1))
    club.requirement("magneto", 1, clause("Mk 1", "late"))
    club.requirement("crankcase", 1, clause("Mk 1", "early"))
    (row,) = club.lack_rows()
    assert (row["part"], row["state"]) == ("magneto", "not-looked-at")
    assert row["build"] == "Mk 1 late (90 %) or none of these, or converted (10 %)"


def test_where_only_none_of_these_remains_nothing_is_told_of_any_build(club, told):
    told(("engine", None, None, 0.97), told_by="told by features")
    club.requirement("magneto", 1, clause("Mk 1"))
    club.requirement("crankcase")
    rows = {row["part"]: row for row in club.lack_rows()}
    assert rows["magneto"]["state"] == "build-not-known"
    assert rows["magneto"]["depends_on"] == "the build of the engine is not known"
    assert rows["crankcase"]["state"] == "not-looked-at"
    assert rows["magneto"]["build"] == "none of these, or converted (told by features)"


@pytest.mark.parametrize("told_by", ["told by features", "set by the registrar"])
def test_a_settled_build_says_what_settled_it(club, told, told_by):
    told(("engine", "Mk 2", "early", 0.97), told_by=told_by)
    club.requirement("magneto", 1, clause("Mk 2", "early"))
    club.requirement("crankcase", 1, clause("Mk 1"))
    (row,) = club.lack_rows()
    assert (row["part"], row["build"]) == ("magneto", f"Mk 2 early ({told_by})")


def test_a_stated_build_reads_as_before(club, told):
    told(("engine", "Mk 2", None, 1), told_by="stated")
    club.requirement("magneto", 1, clause("Mk 2"))
    (row,) = club.lack_rows()
    assert row["build"] == "Mk 2"


def test_exceptions_are_put_to_each_candidate_together(club, told):
    told(("engine", "Mk 1", None, 0.5), ("engine", "Mk 2", None, 0.5))
    club.requirement("magneto", 1, clause("Mk 1", reach="except"), clause("Mk 2", reach="except"))
    club.requirement("sump", 1, clause("Mk 1", reach="except"))
    (row,) = club.lack_rows()
    assert (row["part"], row["state"]) == ("sump", "build-not-known")
    assert row["depends_on"] == "needed if the engine is Mk 2 (50 %), not if Mk 1 (50 %)"


def test_a_candidate_of_which_it_cannot_be_told_is_named_as_such(club, told):
    told(("engine", "Mk 2A", None, 0.7), ("engine", "Mk 1", None, 0.3))
    club.requirement("magneto", 1, clause("Mk 2", reach="up-to"))
    (row,) = club.lack_rows()
    assert row["state"] == "build-not-known"
    assert row["depends_on"] == (
        "needed if the engine is Mk 1 (30 %), not to be told if Mk 2A (70 %)"
    )


def test_a_joint_part_depends_on_both_builds(club, told):
    told(LATE, EARLY, ("hull", "Mk 1", "mid", 0.7), ("hull", "Mk 1", "late", 0.3))
    hull, engine = clause("Mk 1", "mid", assembly="hull"), clause("Mk 1", "late", assembly="engine")
    club.requirement("lamp", 1, hull, engine)
    club.requirement("tray", 1, hull, clause("Mk 2", assembly="engine"))
    club.requirement("clip", 1, hull, clause("Mk 1", assembly="engine"))
    rows = {row["part"]: row["depends_on"] for row in club.lack_rows()}
    of_hull = "needed if the hull is Mk 1 mid (70 %), not if Mk 1 late (30 %)"
    assert rows == {
        "lamp": IF_LATE + "; and " + of_hull,
        "clip": of_hull,
    }


def test_of_an_item_that_each_candidate_needs_the_least_is_lacking(club, told):
    told(("running-gear", "Mk 1", "late", 0.62), ("running-gear", "Mk 1", "early", 0.38))
    club.requirement("road-wheel", 8, clause("Mk 1", "late"))
    club.requirement("road-wheel", 6, clause("Mk 1", "early"))
    assert club.lacks() == {
        ("road-wheel", "not-looked-at"): 6,
        ("road-wheel", "build-not-known"): 2,
    }
    assert {row["depends_on"] for row in club.lack_rows()} == {
        "8 if the running-gear is Mk 1 late (62 %), 6 if Mk 1 early (38 %)"
    }
    club.survey("Otter 1", "road-wheel", "missing", 2)
    club.survey("Otter 1", "road-wheel", "fitted", 4)
    assert club.lacks() == {("road-wheel", "missing"): 2, ("road-wheel", "build-not-known"): 2}
    assert club.complete() == (4 / 6, 4 / 6)


def test_an_item_needed_either_way_is_lacking_and_says_which_one_it_is(club, told):
    told(LATE, EARLY)
    club.requirement("magneto", 1, clause("Mk 1", "late"), number="OT2")
    club.requirement("magneto", 1, clause("Mk 1", "early"), number="OT1")
    club.survey("Otter 1", "magneto", "missing")
    (row,) = club.lack_rows()
    assert (row["state"], row["quantity"]) == ("missing", 1)
    assert row["depends_on"] == "OT2 if the engine is Mk 1 late (62 %), OT1 if Mk 1 early (38 %)"


def test_an_offer_is_not_taken_for_the_right_number_while_the_build_is_not_settled(club, told):
    told(LATE, EARLY)
    club.requirement("magneto", 1, clause("Mk 1", "late"), number="OT2")
    club.requirement("magneto", 1, clause("Mk 1", "early"), number="OT1")
    club.survey("Otter 1", "magneto", "missing")
    club.holding("Ann", "magneto", number="OT2")
    (row,) = club.donors()
    assert (row["fit"], row["correctness"]) == ("unknown", "unknown")


@settings(
    max_examples=examples(8), deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
@given(
    st.lists(st.tuples(st.sampled_from(("magneto", "crankcase", "sump")),
                       st.sampled_from(("fitted", "missing", "stand-in"))), max_size=3),
    st.sampled_from(("magneto", "crankcase", "sump")),
)  # fmt: skip
def test_finding_a_part_never_makes_the_lower_end_fall(make_club, told, lines, part):
    told(LATE, EARLY)

    def share(lines):
        club = make_club()
        club.vehicle("Otter 1", "Otter", "Mk 1", aim="full-original")
        club.requirement("magneto", 1, clause("Mk 1", "late"))
        club.requirement("crankcase", 2, clause("Mk 1", "late"))
        club.requirement("crankcase", 1, clause("Mk 1", "early"))
        club.requirement("sump", 1)
        for day, (name, state) in enumerate(lines, 1):
            club.survey("Otter 1", name, state, said_on=dt.date(2026, 1, day), source=str(day))
        return club.complete()[0]

    assert share([*lines, (part, "fitted")]) >= share(lines) - 1e-9


def test_a_build_or_serial_of_which_nothing_is_known_is_said(club):
    club.vehicle("Otter 1", "Otter", aim="full-original")
    club.requirement("magneto", 1, clause("Mk 1"))
    club.requirement("lamp", 1, {"series": "hull", "first_serial": 100})
    rows = {row["part"]: row["depends_on"] for row in club.lack_rows()}
    assert rows == {
        "magneto": "the build of the engine is not known",
        "lamp": "the number in the series hull is not known",
    }

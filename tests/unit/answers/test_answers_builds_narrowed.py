"""A build stated by its mark alone, and features that tell its phase: worked out by hand.

Two features, each usual of one phase and unlikely of the other: 0.905 * 0.905 = 0.819 beside
0.095 * 0.095 = 0.009, so 0.989 of the mark is the first.
"""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.answers.builds import builds

from .conftest import VOCABULARY
from .test_answers_builds import UNLIKELY, USUAL, decide, file_says, seen

PHASES = ("Mk 1 early", "Mk 1 late", "Mk 2 early", "Mk 2 late")
DAY = dt.datetime.combine(dt.date(2026, 1, 2), dt.time(9))


@pytest.fixture
def hull(club):
    """An Otter Mk 2 with two features that come late; on a Mk 1 they come early."""
    club.vehicle("Otter 1", "Otter", "Mk 2", aim="full-original")
    for feature in ("welded", "doubled"):
        file_says(club, "hull", feature,
                  dict(zip(PHASES, (USUAL, UNLIKELY, UNLIKELY, USUAL), strict=True)))  # fmt: skip
    return club


def build_of_hull(club):
    found = club.connect().execute(
        "SELECT mark, phase, round(probability, 3), told_by FROM assembly_builds_as_of(NULL, false)"
    )
    return found.fetchall()


def both_seen(club):
    seen(club, "hull", "welded")
    seen(club, "hull", "doubled")


def test_features_tell_the_phase_of_a_stated_mark(hull):
    hull.build("Otter 1", "hull", "Mk 2")
    both_seen(hull)
    assert build_of_hull(hull) == [("Mk 2", "late", 0.989, "stated, phase told by features")]


def test_the_mark_that_was_stated_is_never_contradicted(hull):
    hull.build("Otter 1", "hull", "Mk 1")
    both_seen(hull)
    assert build_of_hull(hull)[0][:2] == ("Mk 1", "early")


def test_one_feature_is_not_enough(hull):
    hull.build("Otter 1", "hull", "Mk 2")
    seen(hull, "hull", "welded")
    assert build_of_hull(hull) == [("Mk 2", None, 1.0, "stated")]


def test_a_phase_that_was_stated_stays(hull):
    hull.build("Otter 1", "hull", "Mk 2", "early")
    both_seen(hull)
    assert build_of_hull(hull) == [("Mk 2", "early", 1.0, "stated")]


def test_a_mark_of_which_one_phase_is_known_is_not_thereby_that_phase(club):
    club.vehicle("Otter 1", "Otter", "Mk 2")
    club.build("Otter 1", "hull", "Mk 2")
    file_says(club, "hull", "welded", {"Mk 1 early": UNLIKELY, "Mk 2 late": USUAL})
    seen(club, "hull", "welded")
    assert build_of_hull(club) == [("Mk 2", None, 1.0, "stated")]


def test_a_mark_set_by_the_registrar_is_narrowed_too(hull):
    decide(hull, "otter 1|hull", "Mk 2", day=DAY)
    both_seen(hull)
    (row,) = build_of_hull(hull)
    assert row == ("Mk 2", "late", 0.989, "set by the registrar, phase told by features")


def test_lacks_goes_by_the_phase_that_was_told(hull):
    hull.build("Otter 1", "hull", "Mk 2")
    both_seen(hull)
    hull.requirement("tray", 1, {"mark": "Mk 2", "phase": "late", "assembly": "hull"})
    hull.requirement("lamp", 1, {"mark": "Mk 2", "phase": "early", "assembly": "hull"})
    hull.requirement("track-guard", 1, {"mark": "Mk 2", "phase": "late"})
    rows = {row["part"]: row for row in hull.lack_rows()}
    assert set(rows) == {"tray", "track-guard"}
    assert rows["track-guard"]["state"] == "not-looked-at"
    assert rows["track-guard"]["build"] == "Mk 2 late (stated, phase told by features)"


def test_builds_says_which_phase_of_it_is_told(hull):
    hull.build("Otter 1", "hull", "Mk 2")
    both_seen(hull)
    rows = builds(hull.connect(), VOCABULARY, "Otter 1").rows.to_dicts()
    standing = {row["build"]: row["standing"] for row in rows}
    assert standing["Mk 2"] == "stated"
    assert standing["Mk 2 late"] == "told by features"
    assert standing["Mk 2 early"] == "unlikely"
    assert standing["Mk 1 early"] == "settled otherwise"

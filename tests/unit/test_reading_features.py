"""Words about features, about work and about later changes, and the family that titles tell of."""

from __future__ import annotations

import pytest

from partmuster.reading.features import (
    evidence_in,
    read_changeable,
    read_likelihood,
    read_seen,
)
from partmuster.reading.fit_cells import read_fit_cell
from partmuster.reading.fit_words import read_fit
from partmuster.reading.fit_work import read_work
from partmuster.reading.hybrids import read_assembly_build, read_hybrid
from partmuster.reading.later_changes import read_later_change, read_stays
from partmuster.tables.families import assembly_told, family_told


@pytest.mark.parametrize(
    ("words", "likelihood"),
    [
        ("always", "usual"), ("Std", "usual"), ("nearly all", "usual"), ("90 %", "usual"),
        ("11 of 12", "usual"), ("x", "usual"), ("mostly (from 1943)", "usual"),
        ("sometimes", "possible"), ("seen", "possible"), ("about half", "possible"),
        ("not always", "possible"), ("30%", "possible"), ("late ones only", "possible"),
        ("hardly ever", "unlikely"), ("not seen", "unlikely"), ("-", "unlikely"),
        ("one known", "unlikely"), ("1 in 20", "unlikely"),
    ],
)  # fmt: skip
def test_how_usual_a_feature_is(words, likelihood):
    assert read_likelihood(words).likelihood == likelihood


@pytest.mark.parametrize("words", ["", "?", "n/k", "not known", "to be checked"])
def test_nothing_is_said_of_how_usual_it_is(words):
    read = read_likelihood(words)
    assert (read.likelihood, read.problem) == (None, None)


@pytest.mark.parametrize(
    "words", ["wibble", "never on late ones", "never say always", "usual on Mk 2", "150%"]
)
def test_likelihoods_that_cannot_be_read_are_not_guessed(words):
    read = read_likelihood(words)
    assert read.likelihood is None
    assert read.problem


@pytest.mark.parametrize(
    ("words", "seen", "value"),
    [
        ("Y", True, None), ("present", True, None), ("GB 204", True, "GB 204"),
        ("6 mm", True, "6 mm"), ("absent", False, None), ("no - later change", False, None),
        ("not looked at", None, None), ("painted over", None, None), ("?", None, None),
    ],
)  # fmt: skip
def test_whether_a_feature_was_there(words, seen, value):
    read = read_seen(words)
    assert (read.seen, read.value, read.problem) == (seen, value, False)


def test_words_that_do_not_say_whether_it_was_there_are_no_yes():
    read = read_seen("cast")
    assert (read.seen, read.problem) == (None, True)


def test_a_plate_of_steel_is_no_data_plate():
    assert evidence_in("Nose plate welded") is None
    assert evidence_in("maker's plate on the dash") == "plate"
    assert evidence_in("plate", column=True) == "plate"
    assert read_changeable("no, welded in")[0] is False
    assert read_changeable("easily swapped")[0] is True


@pytest.mark.parametrize(
    ("work", "alters", "undone"),
    [
        ("drill the hull", "vehicle", False), ("cut the floor", "vehicle", False),
        ("weld a bracket to the chassis", "vehicle", False),
        ("drill two holes in the bracket", "part", False), ("ream the bush", "part", False),
        ("drill the bracket to suit the hull", "part", False),
        ("file the lug and drill the floor", "both", False),
        ("a longer strap", "neither", True), ("2 mm of shims", "neither", True),
        ("bolt-on adaptor", "neither", True), ("sing to it", None, None),
        ("shims, then sing to it", None, None), ("without drilling", None, None),
    ],
)  # fmt: skip
def test_what_work_alters(work, alters, undone):
    read = read_work(work)
    assert (read.alters, read.can_be_undone) == (alters, undone)


@pytest.mark.parametrize(
    ("words", "number", "place", "grade"),
    [
        ("OT 1010 replaces OT 1008", "OT 1010", "OT 1008", "one-way"),
        ("OT 1008 was superseded by OT 1010", "OT 1010", "OT 1008", "one-way"),
        ("OT-2201 is the same as OT-2204", "OT-2201", "OT-2204", "as-is"),
        ("OT 2201 does not fit in place of OT 2204", "OT 2201", "OT 2204", "never"),
    ],
)
def test_numbers_that_take_the_place_of_others(words, number, place, grade):
    (one,) = read_fit(words)
    assert (one.part_number, one.to_part_number, one.grade) == (number, place, grade)


def test_a_whole_range_is_the_build_itself():
    (one,) = read_fit("Any late track guard goes on any early one if drilled")
    assert (one.description, one.phase, one.to_phase, one.work) == (
        "track guard", "late", "early", "drilled",
    )  # fmt: skip
    (alike,) = read_fit("All Mk 1 horns are the same")
    assert (alike.mark, alike.to_mark, alike.grade) == ("Mk 1", "Mk 1", "as-is")


def test_what_left_the_works_with_what():
    hull = read_assembly_build("a late Mk 1 hull")
    assert hull is not None
    assert (hull.assembly, hull.mark, hull.phase) == ("hull", "Mk 1", "late")
    assert read_assembly_build("something else") is None
    found = read_hybrid("Some Mk 2 early bodies left the works with Mk 1 chassis")
    assert found is not None
    assert [one.assembly for one in found] == ["body", "chassis"]


def test_a_later_change_in_words():
    read = read_later_change(
        "depot modification of 1951, took the place of the cast one, will be reversed"
    )
    assert (read.later, read.by, read.when) == (True, "depot", "1951")
    assert (read.displaced, read.stays) == ("the cast one", "reversed")


@pytest.mark.parametrize(
    "words", ["may be a later change", "kept in the shed", "later type of lamp"]
)
def test_what_is_not_surely_a_later_change_is_left_open(words):
    assert read_later_change(words).later is None


def test_a_denied_change_and_what_becomes_of_one():
    assert read_later_change("not a later change").later is False
    assert read_later_change("as built", column=True).later is False
    assert [read_stays(words) for words in ("to be kept", "not to be kept", "tbd", "wibble")] == [
        "kept", "reversed", "undecided", None,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("title", "family", "assembly"),
    [
        ("Otter hulls: how to tell them apart", "Otter", "hull"),
        ("How to tell the builds of the Heron", "Heron", None),
        ("Telling Otters apart", "Otter", None),
        ("TARN - PRODUCTION CHANGES", "Tarn", None),
        ("Otter hull and engine numbers", "Otter", None),
        ("Features by build", None, None),
        ("Gwen Saddler - hulls", None, "hull"),
        ("Maud Pettifer, as at 4 July 2026", None, None),
    ],
)
def test_of_which_family_a_title_tells_builds(title, family, assembly):
    assert (family_told([title]), assembly_told([title])) == (family, assembly)


def test_a_doubt_before_a_grade_leaves_the_grade_in_doubt():
    read = read_fit_cell("possibly with trimming")
    assert (read.grade, read.work, read.hedged, read.asked) == (
        "with-work",
        "trimming",
        True,
        False,
    )
    assert read_fit_cell("probably").asked

"""Words about features, about work and about later changes, and the family that titles tell of."""

from __future__ import annotations

import pytest

from partmuster.reading.absent import read_absence
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
from partmuster.reading.works_hybrids import read_works_hybrid
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


@pytest.mark.parametrize(
    ("words", "feature"),
    [
        ("no oil filler on the left", "oil filler on the left"),
        ("No grab rail", "grab rail"),
        ("without grab rail", "grab rail"),
        ("has no rear bin", "rear bin"),
        ("there is no rear bin", "rear bin"),
        ("lacks the second vision slot", "second vision slot"),
        ("lacking a towing eye", "towing eye"),
        ("never had the towing eye", "towing eye"),
        ("not fitted with a rear bin", "rear bin"),
        ("does not have a rear bin", "rear bin"),
        ("hasn't got a rear bin", "rear bin"),
        ("no sign of a rear bin", "rear bin"),
        ("oil filler on the left not fitted", "oil filler on the left"),
        ("oil filler on the left: none", "oil filler on the left"),
        ("oil filler on the left - absent", "oil filler on the left"),
        ("rear bin missing", "rear bin"),
        ("absence of vision slot", "vision slot"),
        ("minus the rear bin", "rear bin"),
    ],
)
def test_a_feature_that_is_told_not_to_be_there(words, feature):
    assert read_absence(words) == (False, feature)


@pytest.mark.parametrize(
    "words",
    ["oil filler on the left", "no. 4 casting on nose", "No 4 plate", "non-slip plate",
     "nose plate", "lifting eyes", "note plate", "door that has no. 12 stamped",
     "plate with no paint"],
)  # fmt: skip
def test_a_feature_that_is_told_of_without_denying_it(words):
    assert read_absence(words) == (True, None)


@pytest.mark.parametrize(
    "words",
    ["perhaps no lamp bracket", "no longer has the guard rail", "not all rivets are flush",
     "no oil filler on the left but one on the right", "hatch hinge not welded",
     "nothing on the left where the filler would be", "no bin, no rail", "no rear bin?",
     "neither rail nor bin", "not without a rear bin", "no more than four bolts",
     "without doubt the early nose", "could not see the filler", "never without a rail",
     "no two bolts alike", "not sure of the filler", "no doubt late", "hardly any rivets",
     "no filler that I could see", "looks as if it never had a bin", "not the early filler"],
)  # fmt: skip
def test_what_may_or_may_not_deny_a_feature_is_not_guessed(words):
    assert read_absence(words) == (None, None)


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


@pytest.mark.parametrize(
    ("words", "one", "other", "serials"),
    [
        ("Otters 1201 to 1260 left the works with the Mk 2 superstructure on Mk 1 hulls",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", None), (1201, 1260)),
        ("Otters 1261-1300 left the works with late Mk 1 turrets on early Mk 2 hulls.",
         ("turret", "Mk 1", "late"), ("hull", "Mk 2", "early"), (1261, 1300)),
        ("Hull nos 1201 to 1260 were built with Mk 2 superstructures on Mk 1 hulls at the works",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", None), (1201, 1260)),
        ("The Mk 2 superstructure was fitted at the works to Mk 1 late hulls",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", "late"), None),
        ("At the works Mk 2 superstructures were put on early Mk 1 hulls",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", "early"), None),
        ("Mk 1 hulls 1201 to 1260 left the works with Mk 2 superstructures",
         ("hull", "Mk 1", None), ("superstructure", "Mk 2", None), (1201, 1260)),
        ("Mk 2 superstructures left the works on Mk 1 hulls 1201-1260",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", None), (1201, 1260)),
        ("From 1201 to 1260 the factory put Mk 2 superstructures on Mk 1 hulls",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", None), (1201, 1260)),
        ("Late Mk 1 hull finished at the factory with a Mk 2 turret",
         ("hull", "Mk 1", "late"), ("turret", "Mk 2", None), None),
        ("Otter 1244 came out of the factory with a Mk 2 superstructure on a Mk 1 hull",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", None), (1244, 1244)),
        ("Otters from 1201 up left the works with Mk 2 superstructures on Mk 1 hulls",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", None), (1201, None)),
        ("Otters 1201 to 1260 left the works with Mk 2 superstructure and Mk 1 hull",
         ("superstructure", "Mk 2", None), ("hull", "Mk 1", None), (1201, 1260)),
    ],
)  # fmt: skip
def test_a_hybrid_from_the_works_in_a_sentence(words, one, other, serials):
    found = read_works_hybrid(words)
    assert found is not None
    said = [(each.assembly, each.mark, each.phase) for each in (found.one, found.other)]
    assert said == [one, other]
    assert found.serials == serials
    assert found.series == ("hull" if serials else None)
    assert found.family == ("Otter" if words.startswith("Otter") else None)


@pytest.mark.parametrize(
    "words",
    ["Perhaps a few Mk 1 turrets went on Mk 2 hulls", "Mk 2 turret on a Mk 1 hull",
     "Otters 1201 to 1260 left the works with the Mk 2 superstructure",
     "Otters 1201 to 1260 may have left the works with Mk 2 superstructures on Mk 1 hulls",
     "Otters 1201 to 1260 never left the works with Mk 2 superstructures on Mk 1 hulls",
     "Otters 1201-60 left the works with Mk 2 superstructures on Mk 1 hulls",
     "No Mk 2 superstructure left the works on a Mk 1 hull",
     "Otters 1201 to 1260 left the works with Mk 2 superstructures on Mk 1 hulls except 1233",
     "Otters 1201 to 1260 left the works with Mk 2 or Mk 3 superstructures on Mk 1 hulls",
     "Otters 1201 to 1260 left the works with Mk 2 gearboxes on Mk 1 engines",
     "Owners fitted Mk 2 turrets to Mk 1 hulls", "Mk 2 turrets were fitted to Mk 1 hulls",
     "Mk 2 turrets were fitted to Mk 1 hulls at the depot",
     "Mk 2 turrets were fitted to Mk 1 turrets at the works",
     "1201 to 1260 Otters left the works with wibble Mk 2 turrets on Mk 1 hulls",
     "Hull 1201 left the works with Mk 2 turret on Mk 1 hull 1250",
     "Otters 1201 to 1260 left the works with Mk 2 superstructures on Mk 1 hulls?"],
)  # fmt: skip
def test_a_hybrid_of_which_a_piece_is_not_understood_is_asked_about(words):
    assert read_works_hybrid(words) is None


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

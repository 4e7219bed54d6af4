"""Marks, phases, and which builds or serials a line holds for."""

from __future__ import annotations

import pytest

from partmuster.reading.builds import (
    Clause,
    SerialInterval,
    read_build,
    read_effectivity,
)
from partmuster.reading.builds_in_words import effectivity_text

BUILDS = {
    "Mk 2 late": ("Mk 2", "late"),
    "Mk.II (early)": ("Mk 2", "early"),
    "Mark 2": ("Mk 2", None),
    "MARK TWO": ("Mk 2", None),
    "II": ("Mk 2", None),
    "2": ("Mk 2", None),
    "2 late": ("Mk 2", "late"),
    "late Mk1": ("Mk 1", "late"),
    "Mk-3": ("Mk 3", None),
    "MkIV": ("Mk 4", None),
    "Mk 1A": ("Mk 1A", None),
    "mk iia": ("Mk 2A", None),
    "Mk 2*": ("Mk 2*", None),
    "Mk 2 mid": ("Mk 2", "mid"),
    "Mk 2, middle": ("Mk 2", "mid"),
    "early": (None, "early"),
    "late production Mk 2": ("Mk 2", "late"),
    "Mk 11": ("Mk 11", None),
    "": (None, None),
    "?": (None, None),
    "unknown": (None, None),
}


@pytest.mark.parametrize(("text", "expected"), BUILDS.items())
def test_build(text, expected):
    got = read_build(text)
    assert (got.mark, got.phase) == expected
    assert got.problem is None


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("mk1/2", "several-marks"),
        ("Mk 1 or 2", "several-marks"),
        ("Mk 1 & Mk 2", "several-marks"),
        ("Mk 1 early/mid", "several-phases"),
        ("Mk ?", "unsure-build"),
        ("x", "unsure-build"),
        ("V", "unsure-build"),
        ("Mk 2?", "unsure-build"),
        ("Mk ll", "words-not-read"),
        ("Otter Mk 2", "words-not-read"),
        ("hybrid", "words-not-read"),
        ("post-war", "words-not-read"),
    ],
)
def test_build_problems(text, problem):
    assert read_build(text).problem == problem


def test_words_beside_a_build_are_kept():
    got = read_build("Otter Mk 2 late")
    assert (got.mark, got.phase, got.rest) == ("Mk 2", "late", "otter")


@pytest.mark.parametrize("text", ["", "all", "All marks", "any", "all builds", "ALL"])
def test_all(text):
    got = read_effectivity(text)
    assert (got.all, got.clauses, got.intervals, got.problem) == (True, (), (), None)


def mk(mark, phase=None, assembly=None):
    return Clause(assembly, mark, phase)


CLAUSES = {
    "Mk 2": (mk("Mk 2"),),
    "Mk 1 & 2": (mk("Mk 1"), mk("Mk 2")),
    "Mks 1 and 2": (mk("Mk 1"), mk("Mk 2")),
    "Mk 1, 2": (mk("Mk 1"), mk("Mk 2")),
    "mk1/2": (mk("Mk 1"), mk("Mk 2")),
    "Mk I & II": (mk("Mk 1"), mk("Mk 2")),
    "Mk 1-3": (mk("Mk 1"), mk("Mk 2"), mk("Mk 3")),
    "Mk 1, Mk 2 early": (mk("Mk 1"), mk("Mk 2", "early")),
    "all late": (mk(None, "late"),),
    "late only": (mk(None, "late"),),
    "Mk 2 late only": (mk("Mk 2", "late"),),
    "late Mk 2": (mk("Mk 2", "late"),),
    "Mk 2 early & mid": (mk("Mk 2", "early"), mk("Mk 2", "mid")),
    "all Mk 2": (mk("Mk 2"),),
    "1 & 2": (mk("Mk 1"), mk("Mk 2")),
    "II only": (mk("Mk 2"),),
    "hull Mk 1; final drive late": (mk("Mk 1", None, "hull"), mk(None, "late", "final-drive")),
    "hull Mk 1 & 2": (mk("Mk 1", None, "hull"), mk("Mk 2", None, "hull")),
    "Mk 2 hull": (mk("Mk 2", None, "hull"),),
    "gearbox: Mk 1 late": (mk("Mk 1", "late", "gearbox"),),
    "Used on Mk 2": (mk("Mk 2"),),
}


@pytest.mark.parametrize(("text", "clauses"), CLAUSES.items())
def test_clauses(text, clauses):
    got = read_effectivity(text)
    assert (got.clauses, got.problem) == (clauses, None)
    assert not got.all
    assert got.intervals == ()


INTERVALS = {
    "SN 5, 7, 9": tuple(SerialInterval(None, one, one) for one in (5, 7, 9)),
    "Serial nos. 5, 7 & 9 only": tuple(SerialInterval(None, one, one) for one in (5, 7, 9)),
    "SN 5,7": (SerialInterval(None, 5, 5), SerialInterval(None, 7, 7)),
    "SN 5-9 and 12": (SerialInterval(None, 5, 9), SerialInterval(None, 12, 12)),
    "S/N 12, 5 to 9": (SerialInterval(None, 12, 12), SerialInterval(None, 5, 9)),
    "SN H5, H7": (SerialInterval(None, 5, 5, "H"), SerialInterval(None, 7, 7, "H")),
    "SN 5-9, 11-15 & 20 on": (
        SerialInterval(None, 5, 9), SerialInterval(None, 11, 15), SerialInterval(None, 20, None),
    ),
    "hull nos 1-40, 55, 60 & subs": (
        SerialInterval("hull", 1, 40), SerialInterval("hull", 55, 55),
        SerialInterval("hull", 60, None),
    ),
    "Serial range: 1-40": (SerialInterval(None, 1, 40),),
    "veh. 1251 & on": (SerialInterval(None, 1251, None),),
    "veh 1251 on": (SerialInterval(None, 1251, None),),
    "from veh. 1251": (SerialInterval(None, 1251, None),),
    "vehicles up to 1250": (SerialInterval(None, None, 1250),),
    "vehicles 1 to 40": (SerialInterval(None, 1, 40),),
    "Vehicle Nos 5, 7": (SerialInterval(None, 5, 5), SerialInterval(None, 7, 7)),
    "from chassis 1251": (SerialInterval("chassis", 1251, None),),
    "up to chassis 1250": (SerialInterval("chassis", None, 1250),),
    "up to & incl. chassis 1250": (SerialInterval("chassis", None, 1250),),
    "hull nos 1001-1450": (SerialInterval("hull", 1001, 1450),),
    "hull nos. 1001 to 1450 incl.": (SerialInterval("hull", 1001, 1450),),
    "1001-1450": (SerialInterval(None, 1001, 1450),),
    "up to 1250": (SerialInterval(None, None, 1250),),
    "before 1250": (SerialInterval(None, None, 1249),),
    "1251 & subsequent": (SerialInterval(None, 1251, None),),
    "1251 and subs.": (SerialInterval(None, 1251, None),),
    "1251 onwards": (SerialInterval(None, 1251, None),),
    "1251+": (SerialInterval(None, 1251, None),),
    "after 1250": (SerialInterval(None, 1251, None),),
    "from eng. no 500": (SerialInterval("engine", 500, None),),
    "from engine no. 500 to 650": (SerialInterval("engine", 500, 650),),
    "S/N 1-1250, 1251 & SUBQ": (
        SerialInterval(None, 1, 1250), SerialInterval(None, 1251, None),
    ),
    "S/N 77": (SerialInterval(None, 77, 77),),
    "hull no. 1234 only": (SerialInterval("hull", 1234, 1234),),
    "chassis A1001-A1450": (SerialInterval("chassis", 1001, 1450, "A"),),
    "chassis A1001-1450": (SerialInterval("chassis", 1001, 1450, "A"),),
    **dict.fromkeys(
        ("1001/1250", "1001 / 1250", "1001\u20131250", "1001 to 1250 incl.", "1001 to 1250 inc",
         "1001-1250 inc.", "1001-1250 (incl)", "between 1001 and 1250", "1001..1250",
         "1001\u20261250", "1001 until 1250", "1001 thro' 1250", "1001 through to 1250",
         "#1001-#1250", "No. 1001 to No. 1250", "from 1001 up to 1250"),
        (SerialInterval(None, 1001, 1250),),
    ),
    **dict.fromkeys(
        ("from 1251 up", "1251 up", "1251 and up", "1251 or later", "1251 to end", "1251 - end",
         "1251 to date", "all from 1251", "1251 to last", "1251 & above"),
        (SerialInterval(None, 1251, None),),
    ),
    **dict.fromkeys(
        ("upto 1250", "till 1250", "all before 1251", "1250 or before", "1250 and under",
         "start to 1250", "first to 1250", "all up to 1250"),
        (SerialInterval(None, None, 1250),),
    ),
    **dict.fromkeys(
        ("1001, 1003, 1007", "1001; 1003; 1007", "1001, 1003 and 1007", "1001 & 1003 & 1007"),
        tuple(SerialInterval(None, one, one) for one in (1001, 1003, 1007)),
    ),
    "hull 1001/1250": (SerialInterval("hull", 1001, 1250),),
    "hull nos 1001/1050 & 1101/1150": (
        SerialInterval("hull", 1001, 1050), SerialInterval("hull", 1101, 1150),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("text", "intervals"), INTERVALS.items())
def test_intervals(text, intervals):
    got = read_effectivity(text)
    assert (got.intervals, got.problem) == (intervals, None)
    assert not got.all
    assert got.clauses == ()


@pytest.mark.parametrize("text", ["SN 5/7/9", "vehs 5, 7", "vehicle 5", "vehicles with heater",
                                  "SN 1251-60", "SN 5 7 9", "1001-50", "1001/50", "1250/1001",
                                  "1001/1003/1007", "-1250", "1001-", "ca 1251 on", "1001-1250?",
                                  "first 250", "about 1001 to 1250", "between 1001 and 50",
                                  "1001 or so to 1250"])  # fmt: skip
def test_serials_that_may_be_something_else_are_not_read(text):
    got = read_effectivity(text)
    assert got.problem is not None
    assert (got.all, got.clauses, got.intervals) == (False, (), ())


def test_marks_before_and_after_serials_stay_marks():
    got = read_effectivity("SN 5, 7, Mk 2")
    assert got.clauses == (mk("Mk 2"),)
    assert got.intervals == (SerialInterval(None, 5, 5), SerialInterval(None, 7, 7))
    got = read_effectivity("Mk 2 SN 5, 7")
    assert got.clauses == (mk("Mk 2"),)
    assert got.intervals == (SerialInterval(None, 5, 5), SerialInterval(None, 7, 7))
    assert read_effectivity("5, 7").clauses == (mk("Mk 5"), mk("Mk 7"))


def test_mark_and_serials_together():
    got = read_effectivity("Mk 2 from hull no. 1251")
    assert got.clauses == (mk("Mk 2"),)
    assert got.intervals == (SerialInterval("hull", 1251, None),)


@pytest.mark.parametrize(
    ("text", "clause"),
    [
        ("Mk 2 onwards", Clause(None, "Mk 2", None, "onwards")),
        ("mk II and later", Clause(None, "Mk 2", None, "onwards")),
        ("Mk 2+", Clause(None, "Mk 2", None, "onwards")),
        ("gearbox Mk 2 on", Clause("gearbox", "Mk 2", None, "onwards")),
        ("up to Mk 2", Clause(None, "Mk 2", None, "up-to")),
        ("Mk 2 and earlier", Clause(None, "Mk 2", None, "up-to")),
        ("all except Mk 1", Clause(None, "Mk 1", None, "except")),
        ("not Mk 1", Clause(None, "Mk 1", None, "except")),
    ],
)
def test_marks_from_to_and_without_one(text, clause):
    got = read_effectivity(text)
    assert (got.problem, got.doubt, got.clauses) == (None, None, (clause,))
    assert read_effectivity(effectivity_text(got)).clauses == got.clauses


def besides(*marks, assembly=None):
    return tuple(Clause(assembly, mark, None, "except") for mark in marks)


#: Exceptions hold together: "before Mk 2" is up to Mk 2, and not Mk 2.
SEVERAL = {
    "except Mk 1 and Mk 2": besides("Mk 1", "Mk 2"),
    "all except Mk 1, 2 & 4": besides("Mk 1", "Mk 2", "Mk 4"),
    "not Mk 1 or 2": besides("Mk 1", "Mk 2"),
    "not on Mk 1 or on Mk 2": besides("Mk 1", "Mk 2"),
    "not fitted to Mk 3": besides("Mk 3"),
    "all but the Mk 1": besides("Mk 1"),
    "all marks bar Mks 1 to 3": besides("Mk 1", "Mk 2", "Mk 3"),
    "gearbox not Mk 1 & 2": besides("Mk 1", "Mk 2", assembly="gearbox"),
    "before Mk 2": (Clause(None, "Mk 2", None, "up-to"), *besides("Mk 2")),
    "pre-Mk 3": (Clause(None, "Mk 3", None, "up-to"), *besides("Mk 3")),
    "earlier than Mk 3 only": (Clause(None, "Mk 3", None, "up-to"), *besides("Mk 3")),
    "prior to the Mk II": (Clause(None, "Mk 2", None, "up-to"), *besides("Mk 2")),
    "after Mk 1": (Clause(None, "Mk 1", None, "onwards"), *besides("Mk 1")),
    "later than Mk 2": (Clause(None, "Mk 2", None, "onwards"), *besides("Mk 2")),
    "post Mk 1": (Clause(None, "Mk 1", None, "onwards"), *besides("Mk 1")),
    "from Mk 2 on": (Clause(None, "Mk 2", None, "onwards"),),
    "Mk 2 onwards only": (Clause(None, "Mk 2", None, "onwards"),),
    "from the Mk 2 onwards": (Clause(None, "Mk 2", None, "onwards"),),
    "Mk 2 and above": (Clause(None, "Mk 2", None, "onwards"),),
    "Mk 3 and below": (Clause(None, "Mk 3", None, "up-to"),),
    "Mk 1 up to Mk 3": (mk("Mk 1"), mk("Mk 2"), mk("Mk 3")),
    "Mk 1 to Mk 3": (mk("Mk 1"), mk("Mk 2"), mk("Mk 3")),
    "from Mk 1 to Mk 3 inclusive": (mk("Mk 1"), mk("Mk 2"), mk("Mk 3")),
    "both Mk 1 and Mk 2": (mk("Mk 1"), mk("Mk 2")),
}


@pytest.mark.parametrize(("text", "clauses"), SEVERAL.items())
def test_marks_before_after_between_and_without_several(text, clauses):
    got = read_effectivity(text)
    assert (got.problem, got.doubt, got.clauses, got.intervals) == (None, None, clauses, ())
    assert read_effectivity(effectivity_text(got)).clauses == got.clauses


@pytest.mark.parametrize(
    ("text", "reaches"),
    [
        ("Mk 1 & 2 late", ["unsettled", None]),
        ("Mk 1, 2 & 3 late", ["unsettled", "unsettled", None]),
        ("late Mk 1 & 2", [None, "unsettled"]),
    ],
)
def test_a_phase_that_may_be_of_all_marks_or_one_is_asked_about(text, reaches):
    got = read_effectivity(text)
    assert got.problem is None
    assert got.doubt
    assert [clause.reach for clause in got.clauses] == reaches
    assert {clause.phase for clause in got.clauses} == {"late"}
    assert read_effectivity(effectivity_text(got)).clauses == got.clauses


@pytest.mark.parametrize(
    "text",
    ["rubbish", "Mk 1 and the odd one", "all except some", "all except Mk 1 late and Mk 2",
     "Mk 2 late onwards", "before Mk 1", "Mk 1 & 2 early and late", "1-3", "x",
     "Mk 1, not Mk 2", "before Mk 2 or Mk 4", "neither", "not late", "except Mk 3-1",
     "1450-1001", "A1001-B1450", "1,250 & subsequent", "?", "Mk 2?",
     "Mk ll", "hull", "Mk 3-1"],
)  # fmt: skip
def test_effectivity_problems(text):
    got = read_effectivity(text)
    assert got.problem is not None
    assert not got.all
    assert (got.clauses, got.intervals) == ((), ())


@pytest.mark.parametrize("text", [*CLAUSES, *INTERVALS, "Mk 2 from hull no. 1251", "all"])
def test_effectivity_text_reads_back(text):
    first = read_effectivity(text)
    again = read_effectivity(effectivity_text(first))
    assert (again.all, again.clauses, again.intervals, again.problem) == (
        first.all, first.clauses, first.intervals, None,
    )  # fmt: skip

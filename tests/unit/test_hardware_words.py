"""What words for standard hardware are read to say; what is not understood stays unread."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import pytest

from partmuster_trade.hardware import read_hardware
from partmuster_trade.measures import plain_number


def said(words):
    """Return what the words say, as short texts; nothing for what they do not say."""
    spec = read_hardware(words)
    found = {}
    for field in dataclasses.fields(spec):
        value = getattr(spec, field.name)
        if isinstance(value, tuple):
            value = " x ".join(str(one) for one in value)
        if isinstance(value, Fraction):
            value = plain_number(value)
        if value:
            found[field.name] = value if value is True else str(value)
    return found


def thread(series, size, kind="bolt", **more):
    return {"kind": kind, "series": series, "size": size} | more


LONG_BOLT = thread("BSF", "3/8 in", style="hexagon", length="1 1/4 in")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        # one bolt in the wordings of several people
        ("3/8 BSF x 1 1/4 hex bolt", LONG_BOLT),
        ('3/8" BSF x 1 1/4" hex. bolt', LONG_BOLT),
        ("hexagon bolt, 3/8in. B.S.F. by 1-1/4in. long", LONG_BOLT),
        ("Hex head bolt 3/8BSF × 1¼", LONG_BOLT),
        ("BOLT, HEXAGON HEAD, BSF 3/8 X 1.25", LONG_BOLT),
        ('BOLT, HEX, 3/8"-20 BSF X 1.1/4', LONG_BOLT | {"tpi": "20"}),
        ("hex bolts 3/8 BSF 20 tpi x 1 1/4 inch lg", LONG_BOLT | {"tpi": "20"}),
        ("BOLT, HEX, 3/8\"-20 BSF X 1.1/4, 'S'", LONG_BOLT | {"tpi": "20", "grade": "S"}),
        ("3/8 BSF x 1 1/4 hex bolt grade S", LONG_BOLT | {"grade": "S"}),
        ('Hex. bolt 3/8" x 1 1/4" BSF', LONG_BOLT),  # the series behind the length
        ("1 1/4 x 3/8 BSF hex bolts (4 off)", LONG_BOLT),  # length first, and how many
        ("3/8 BSF bolt 1 1/4", thread("BSF", "3/8 in", length="1 1/4 in")),
        # other series
        ("1/2in. Whit nut", thread("BSW", "1/2 in", "nut")),
        ("Nut, 1/2 Whitworth", thread("BSW", "1/2 in", "nut")),
        ("5/16 UNC setscrew 1in", thread("UNC", "5/16 in", "setscrew", length="1 in")),
        ("bolt 7/16-20 UNF x 2", thread("UNF", "7/16 in", tpi="20", length="2 in")),
        ("1/2-13UNC-2A x 3 bolt",
         thread("UNC", "1/2 in", tpi="13", length="3 in", fit_class="2A")),
        ("2BA x 1/2 cheese head screw, brass",
         thread("BA", "2 BA", "screw", style="cheese head", length="1/2 in", material="brass")),
        ("No. 2 B.A. nut", thread("BA", "2 BA", "nut")),
        ("#10-32 UNF x 1/2 screw", thread("UNF", "#10", "screw", tpi="32", length="1/2 in")),
        ("10-24 UNC nut", thread("UNC", "#10", "nut", tpi="24")),
        ("1/4 x 26 cycle thread nut", thread("BSC", "1/4 in", "nut", tpi="26")),
        # metric
        ("M10x1.25x40 8.8",
         {"series": "M", "size": "10 mm", "pitch": "1.25", "length": "40 mm", "grade": "8.8"}),
        ("M10 x 40 bolt", thread("M", "10 mm", length="40 mm")),
        ("bolt M8 x 1.25 x 30 10.9",
         thread("M", "8 mm", pitch="1.25", length="30 mm", grade="10.9")),
        ("M10 fine nut", thread("M", "10 mm", "nut", unread="fine")),
        # studs, pins, washers
        ("stud 5/16 BSF x 2 1/2", thread("BSF", "5/16 in", "stud", length="2 1/2 in")),
        ("split pin 1/8 x 1 1/2", {"kind": "split pin", "size": "1/8 in", "length": "1 1/2 in"}),
        ("PIN, SPLIT, 3mm x 40mm", {"kind": "split pin", "size": "3 mm", "length": "40 mm"}),
        ("spring washer 3/8", {"kind": "washer", "style": "spring", "size": "3/8 in"}),
        ("castle nut 1/2 UNF LH thread",
         thread("UNF", "1/2 in", "nut", style="castle", left_hand=True)),
        ("Nuts, 3/8 BSF, thin", thread("BSF", "3/8 in", "nut", style="thin")),
        ("nyloc nut M8", thread("M", "8 mm", "nut", style="self-locking")),
        ("3/8 BSF bolt x 1 1/4 drilled head, cad plated",
         thread("BSF", "3/8 in", length="1 1/4 in", drilled="head", finish="cadmium")),
        ("bolt 3/8 BSF x 2 drilled shank HT",
         thread("BSF", "3/8 in", length="2 in", drilled="shank", grade="high tensile")),
        # bearings and seals
        ("6205-C3", {"kind": "bearing", "number": "6205", "clearance": "C3"}),
        ("bearing 6205", {"kind": "bearing", "number": "6205"}),
        ("ball race 6205 2RS C3",
         {"kind": "bearing", "style": "ball", "number": "6205", "closure": "sealed both sides",
          "clearance": "C3"}),
        ("6304ZZ bearing",
         {"kind": "bearing", "number": "6304", "closure": "shielded both sides"}),
        ("ball bearing 25 x 52 x 15",
         {"kind": "bearing", "style": "ball", "sizes": "25 mm x 52 mm x 15 mm"}),
        ("bearing 1 x 2 1/4 x 5/8",
         {"kind": "bearing", "sizes": "1 in x 2 1/4 in x 5/8 in"}),
        ("taper roller bearing 30205",
         {"kind": "bearing", "style": "taper roller", "number": "30205"}),
        ("oil seal 40x62x10 nitrile",
         {"kind": "oil seal", "sizes": "40 mm x 62 mm x 10 mm", "material": "nitrile"}),
        ("SEAL, OIL, 40 x 62 x 10mm leather",
         {"kind": "oil seal", "sizes": "40 mm x 62 mm x 10 mm", "material": "leather"}),
        ("oil seal 1 1/2 x 2 1/4 x 3/8",
         {"kind": "oil seal", "sizes": "1 1/2 in x 2 1/4 in x 3/8 in"}),
        ("oil seal 1.500 x 2.250 x 0.375",  # no seal is as small in millimetres
         {"kind": "oil seal", "sizes": "1 1/2 in x 2 1/4 in x 3/8 in"}),
        ("62052RS", {"kind": "bearing", "number": "6205", "closure": "sealed both sides"}),
        # pipes
        ("1/4 BSP union", thread("BSP", "1/4 in", "union")),
        ('elbow 3/8" BSPT male', thread("BSPT", "3/8 in", "elbow", gender="male")),
        ("pipe plug 1/2 NPT", thread("NPT", "1/2 in", "plug")),
        ("grease nipple 1/8 BSP 45 degree",
         thread("BSP", "1/8 in", "grease nipple", style="45 degree")),
        ("union nut for 5/16 pipe", {"kind": "union nut", "tube": "5/16 in"}),
    ],
)  # fmt: skip
def test_what_words_say(words, expected):
    assert said(words) == expected


@pytest.mark.parametrize(
    ("words", "unread"),
    [
        ("3/8 BSF bolt x 2", "2"),  # two inches, or two of them
        ("bolt 3/8 BSF x 20", "20"),  # no length of a bolt in inches; a count, or threads
        ("bolt 3/8 BSF with dooberry 2 long", "with dooberry 2 long"),
        ("M10 x 4 bolt", "4"),  # no pitch and hardly a length
        ("oil seal 62 x 40 x 10", "62 40 10"),  # the shaft is not the larger
        ("dynamo pulley", "dynamo pulley"),
        ("6205", "6205"),  # a bearing, or any part's number
    ],
)
def test_what_is_not_understood_stays_unread(words, unread):
    spec = read_hardware(words)
    assert " ".join(spec.unread) == unread
    assert spec.length is None
    assert spec.sizes == ()
    assert spec.number == ""


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        ("3/8-16 BSF bolt x 1", "3/8 BSF has 20 threads to the inch, not 16"),
        ("stud 5/16 BSF/UNF", "more than one thread is named: BSF, UNF"),
        ("nut or bolt 3/8 BSF", "more than one thing is named: bolt, nut"),
        ("2 3/8 BSF bolt", "2 3/8 may be 2 of 3/8"),
        ("1/2 x 3/8 BSF setscrew", "the diameter may be 1/2 or 3/8"),
        ("1 UNF nut", "1 may be 1 in or #1"),
        ("M10x1.2 bolt", "M10 has no pitch of 1.2 mm"),
    ],
)
def test_what_contradicts_itself_is_named(words, problem):
    assert problem in read_hardware(words).problems


def test_a_spanner_size_is_no_diameter():
    spec = read_hardware("nut 5/16 UNF 1/2 AF")
    assert (str(spec.size), str(spec.across_flats)) == ("5/16 in", "1/2 in")


def test_where_a_fastener_goes_is_kept_with_what_it_is():
    spec = read_hardware("steering arm bolt 3/8 BSF x 1 1/4")
    assert (spec.duty, spec.kind, str(spec.length)) == ("steering", "bolt", "1 1/4 in")
    assert read_hardware("bolt 3/8 BSF x 1 1/4 for brake drum").duty == "brakes"
    assert read_hardware("lifting eye bolt 3/4 BSW").duty == "lifting"

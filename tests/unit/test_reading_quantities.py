"""What club members type in a quantity cell, and what it must be read as."""

from __future__ import annotations

import pytest

from partmuster.reading.quantities import read_quantity

PLAIN = {
    "1": (1, 1, None),
    " 2 ": (2, 2, None),
    "2.0": (2, 2, None),
    "02": (2, 2, None),
    "2.": (2, 2, None),
    "2.5": (2.5, 2.5, None),
    "0.125": (0.125, 0.125, None),
    "\u00bd": (0.5, 0.5, None),
    "1/2": (0.5, 0.5, None),
    "1\u00bd": (1.5, 1.5, None),
    "1 1/2": (1.5, 1.5, None),
    "(2)": (2, 2, None),
    "one": (1, 1, None),
    "Two": (2, 2, None),
    "twenty-four": (24, 24, None),
    "two (2)": (2, 2, None),
    "a couple": (2, 2, None),
    "couple of": (2, 2, None),
    "x2": (2, 2, None),
    "x 2": (2, 2, None),
    "2x": (2, 2, None),
    "\u00d72": (2, 2, None),
    "2 off": (2, 2, "each"),
    "2-off": (2, 2, "each"),
    "2off": (2, 2, "each"),
    "2 No.": (2, 2, "each"),
    "2no": (2, 2, "each"),
    "2 nos": (2, 2, "each"),
    "2 pcs": (2, 2, "each"),
    "1 ea.": (1, 1, "each"),
    "EA 4": (4, 4, "each"),
    "qty 2": (2, 2, None),
    "Qty: 12": (12, 12, None),
    "2 spare": (2, 2, None),
    "only 1": (1, 1, None),
    "2 required": (2, 2, None),
    "2 left over": (2, 2, None),
    "1 pr": (2, 2, "pair"),
    "2 prs": (4, 4, "pair"),
    "pair": (2, 2, "pair"),
    "a pair": (2, 2, "pair"),
    "1 pair (2)": (2, 2, "pair"),
    "4 (2 pairs)": (4, 4, "pair"),
    "1\u00bd pairs": (3, 3, "pair"),
    "1 set": (1, 1, "set"),
    "set": (1, 1, "set"),
    "full set": (1, 1, "set"),
    "part set": (0, 1, "set"),
    "set of 4": (4, 4, "set"),
    "1 set (4)": (4, 4, "set"),
    "4 (1 set)": (4, 4, "set"),
    "2 sets of 4": (8, 8, "set"),
    "2 sets of four": (8, 8, "set"),
    "dozen": (12, 12, "dozen"),
    "a dozen": (12, 12, "dozen"),
    "3 doz": (36, 36, "dozen"),
    "half a dozen": (6, 6, None),
    "1 gross": (144, 144, "gross"),
    "box of 50": (50, 50, "box"),
    "2 boxes": (2, 2, "box"),
    "3 m": (3, 3, "metre"),
    "3 metres": (3, 3, "metre"),
    "10 ft": (10, 10, "foot"),
    "6 ft 6 in": (6.5, 6.5, "foot"),
    "6'6\"": (6.5, 6.5, "foot"),
    '12"': (12, 12, "inch"),
    "3/4 pint": (0.75, 0.75, "pint"),
    "1 kit": (1, 1, "kit"),
    "2 litres": (2, 2, "litre"),
    "2-3": (2, 3, None),
    "2 \u2013 3": (2, 3, None),
    "2 to 3": (2, 3, None),
    "2 or 3": (2, 3, None),
    "two or three": (2, 3, None),
    "one or two": (1, 2, None),
    "between 2 and 4": (2, 4, None),
    "1-2 pairs": (2, 4, "pair"),
    "10+": (10, None, None),
    "10 or more": (10, None, None),
    "10 plus": (10, None, None),
    "at least 3": (3, None, None),
    "min 3": (3, None, None),
    ">2": (3, None, None),
    ">= 2": (2, None, None),
    "more than 2": (3, None, None),
    "over 20": (21, None, None),
    "up to 4": (0, 4, None),
    "max 4": (0, 4, None),
    "<5": (0, 4, None),
    "several": (2, None, None),
    "a few": (2, None, None),
    "some": (1, None, None),
    "lots": (3, None, None),
    "Loads!": (3, None, None),
    "many": (3, None, None),
    "hundreds": (3, None, None),
    "?": (0, None, None),
    "": (0, None, None),
    "   ": (0, None, None),
    "unknown": (0, None, None),
    "tbc": (0, None, None),
    "2?": (0, None, None),
    "maybe 2": (0, None, None),
    "2 I think": (0, None, None),
    "~5": (1, None, None),
    "approx 5": (1, None, None),
    "c.5": (1, None, None),
    "c. 5": (1, None, None),
    "5ish": (1, None, None),
    "5 or so": (1, None, None),
    "about a dozen": (1, None, "dozen"),
    "about 1": (0, None, None),
    "none": (0, 0, None),
    "nil": (0, 0, None),
    "-": (0, 0, None),
    "\u2014": (0, 0, None),
    "0": (0, 0, None),
    "zero": (0, 0, None),
    "both": (2, 2, None),
    "all 4": (4, 4, None),
    "2 + 1": (3, 3, None),
    "2 plus 1 spare": (3, 3, None),
}


@pytest.mark.parametrize(("text", "expected"), PLAIN.items())
def test_plain(text, expected):
    got = read_quantity(text)
    assert (got.at_least, got.at_most, got.unit) == expected
    assert got.problem is None
    assert got.text == text


@pytest.mark.parametrize(
    ("text", "special", "at_least", "at_most"),
    [
        ("AR", "as-required", 0, None),
        ("A/R", "as-required", 0, None),
        ("as reqd", "as-required", 0, None),
        ("as required", "as-required", 0, None),
        ("REF", "reference", 0, 0),
        ("rf", "reference", 0, 0),
        ("V", "variable", 0, None),
        ("NP", "not-procurable", 0, None),
        ("(NP)", "not-procurable", 0, None),
        ("all", "all", 0, None),
    ],
)
def test_special(text, special, at_least, at_most):
    got = read_quantity(text)
    assert (got.special, got.at_least, got.at_most, got.problem) == (
        special, at_least, at_most, None,
    )  # fmt: skip


SIDED = {
    "1 LH 1 RH": (("left", 1, 1), ("right", 1, 1)),
    "1LH, 1RH": (("left", 1, 1), ("right", 1, 1)),
    "1 L/H + 2 R/H": (("left", 1, 1), ("right", 2, 2)),
    "LH 1 RH 2": (("left", 1, 1), ("right", 2, 2)),
    "LH: 1, RH: 0": (("left", 1, 1), ("right", 0, 0)),
    "L1 R1": (("left", 1, 1), ("right", 1, 1)),
    "1L 1R": (("left", 1, 1), ("right", 1, 1)),
    "1 x LH & 1 x RH": (("left", 1, 1), ("right", 1, 1)),
    "1 left, 2 right": (("left", 1, 1), ("right", 2, 2)),
    "one left hand and one right hand": (("left", 1, 1), ("right", 1, 1)),
    "1 n/s 1 o/s": (("near", 1, 1), ("off", 1, 1)),
    "2 (1 LH, 1 RH)": (("left", 1, 1), ("right", 1, 1)),
    "pair (LH & RH)": (("left", 1, 1), ("right", 1, 1)),
    "handed pair": (("left", 1, 1), ("right", 1, 1)),
    "1 each side": (("left", 1, 1), ("right", 1, 1)),
    "2 per side": (("left", 2, 2), ("right", 2, 2)),
    "one each hand": (("left", 1, 1), ("right", 1, 1)),
    "1 each LH & RH": (("left", 1, 1), ("right", 1, 1)),
    "LH & RH": (("left", 1, 1), ("right", 1, 1)),
    "L+R": (("left", 1, 1), ("right", 1, 1)),
    "both sides": (("left", 1, 1), ("right", 1, 1)),
    "2 LH": (("left", 2, 2),),
    "1 RH": (("right", 1, 1),),
    "2+ LH, 1-2 RH": (("left", 2, None), ("right", 1, 2)),
}


@pytest.mark.parametrize(("text", "per_side"), SIDED.items())
def test_per_side(text, per_side):
    got = read_quantity(text)
    assert got.per_side == per_side
    assert got.problem is None
    assert got.at_least == sum(low for _, low, _ in per_side)
    highs = [high for *_, high in per_side]
    assert got.at_most == (None if None in highs else sum(highs))


@pytest.mark.parametrize(
    ("text", "at_least", "unserviceable"),
    [
        ("3 (1 u/s)", 3, 1),
        ("3, 1 u/s", 3, 1),
        ("3 of which 1 u/s", 3, 1),
        ("3 inc. 1 cracked", 3, 1),
        ("3 (one broken)", 3, 1),
        ("3 (all seized)", 3, 3),
        ("2 u/s", 2, 2),
        ("2 good 1 bad", 3, 1),
        ("2 + 1 u/s", 3, 1),
    ],
)
def test_unserviceable(text, at_least, unserviceable):
    got = read_quantity(text)
    assert (got.at_least, got.unserviceable, got.problem) == (at_least, unserviceable, None)


@pytest.mark.parametrize("text", ["2 of 4", "2 out of 4", "two of four", "2 of the 4"])
def test_of_total(text):
    got = read_quantity(text)
    assert (got.at_least, got.at_most, got.of_total, got.problem) == (2, 2, 4, None)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("1,000", "ambiguous-number"),
        ("1.000", "ambiguous-number"),
        ("2,5", "ambiguous-number"),
        ("2/3", "ambiguous-number"),
        ("2/4", "ambiguous-number"),
        ("2 x 4", "ambiguous-number"),
        ("No. 2", "ambiguous-number"),
        ("1e3", "not-a-quantity"),
        ("-1", "negative-quantity"),
        ("\u22122", "negative-quantity"),
        ("minus 1", "negative-quantity"),
        ("3 Mar", "date-in-quantity"),
        ("02-Mar", "date-in-quantity"),
        ("Mar-03", "date-in-quantity"),
        ("2024-03-01 00:00:00", "date-in-quantity"),
        ("01/02/2024", "date-in-quantity"),
        ("1.2.24", "date-in-quantity"),
        ("B-704-9", "part-number-in-quantity"),
        ("EB700/3", "part-number-in-quantity"),
        ("4H.5274", "part-number-in-quantity"),
        ("2530-99-812-3456", "part-number-in-quantity"),
        ("12345678901234567890", "too-many-digits"),
        ("9" * 5000, "too-many-digits"),
        ("2 L", "ambiguous-unit"),
        ("2 gr", "ambiguous-unit"),
        ("1 left", "ambiguous-side"),
        ("3-2", "range-reversed"),
        ("2 (1 LH, 2 RH)", "numbers-disagree"),
        ("1 pair (3)", "numbers-disagree"),
        ("5 of 4", "numbers-disagree"),
        ("3 (4 u/s)", "numbers-disagree"),
        ("each", "unit-without-number"),
        ("LH", "side-without-number"),
        ("ditto", "ditto"),
        ('"', "ditto"),
        ("\u2713", "mark-without-number"),
        ("yes", "mark-without-number"),
        ("#REF!", "not-a-quantity"),
        ("#N/A", "not-a-quantity"),
        ("nan", "not-a-quantity"),
        ("O", "not-a-quantity"),
        ("2nd", "not-a-quantity"),
        ("see note", "not-a-quantity"),
        ("n/a", "not-a-quantity"),
        ("2 in the shed", "words-not-read"),
        ("1 LH, RH missing", "words-not-read"),
        ("4 per wheel", "words-not-read"),
        ("\u00a35", "not-a-quantity"),
        ("\u0662", "not-a-quantity"),
        ("\u2460", "not-a-quantity"),
    ],
)
def test_problems_count_nothing(text, problem):
    got = read_quantity(text)
    assert (got.problem, got.at_least, got.at_most) == (problem, 0, None)
    assert got.per_side == ()


@pytest.mark.parametrize(
    ("text", "at_least", "per_side", "problem"),
    [
        ("1 pr LH & RH", 2, (("left", 1, 1), ("right", 1, 1)), None),
        ("2 (LH)", 2, (("left", 2, 2),), None),
        ("a few?", 0, (), None),
        ("pairs", 0, (), "unit-without-number"),
        ("79807", 0, (), "part-number-in-quantity"),
        ("1 LH u/s", 0, (), "words-not-read"),
        ("2\u00b2", 0, (), "not-a-quantity"),
    ],
)
def test_doubtful_forms(text, at_least, per_side, problem):
    got = read_quantity(text)
    assert (got.at_least, got.per_side, got.problem) == (at_least, per_side, problem)


@pytest.mark.parametrize(
    ("text", "count"),
    [("2 + 1 poor", 3), ("3 (2 good)", 3), ("2 good, 1 poor", 3), ("2 good", 2), ("3, 1 good", 3),
     ("6 ea side", 12)],
)  # fmt: skip
def test_counts_that_say_how_good_some_are(text, count):
    got = read_quantity(text)
    assert (got.problem, got.at_least, got.at_most) == (None, count, count)


@pytest.mark.parametrize("text", ["2 good (1 poor)", "2 new, 1 u/s"])
def test_a_count_that_may_hold_the_other_is_not_read(text):
    assert read_quantity(text).problem == "words-not-read"

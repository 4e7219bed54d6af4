"""Folding and tokens."""

from __future__ import annotations

import pytest

from partmuster.reading.text import fold, tokens


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("  Mudguard,\u00a0 FRONT ", "mudguard, front"),
        ("Driver\u2019s seat", "driver's seat"),
        ("3 \u2013 4", "3 - 4"),
        ("\u2212 1", "- 1"),
        ("1\u00bd in", "1 1/2 in"),
        ("\u00bd\u2033 UNF", '1/2" unf'),
        ("1/2'' UNF", '1/2" unf'),
        ("soft\u00adhyphen zero\u200bwidth", "softhyphen zerowidth"),
        ("a\x00b\tc\nd", "ab c d"),
        ("\uff2d\uff4b 2", "mk 2"),
        ("No \u2116 4", "no no 4"),
        ("2 \u00d7 4", "2 x 4"),
        ("", ""),
    ],
)
def test_fold(text, folded):
    assert fold(text) == folded


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Mudguard L/H", ("mudguard", "l/h")),
        ('bolt 3/8 x 1/2"', ("bolt", "3/8", "x", '1/2"')),
        ("No.2 axle", ("no.2", "axle")),
        ("STUD, steering box, .010 o/s", ("stud", "steering", "box", ".010", "o/s")),
        ("ROD B-704-9 / 4H.5274", ("rod", "b-704-9", "4h.5274")),
        ("EB700/3", ("eb700/3",)),
        ("half-shaft front/rear", ("half", "shaft", "front", "rear")),
        ("U-bolt", ("u-bolt",)),
        ("driver's door", ("driver's", "door")),
        ("LH/RH", ("lh", "rh")),
        ("...", ()),
    ],
)
def test_tokens(text, expected):
    assert tokens(text) == expected

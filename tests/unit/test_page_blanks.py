"""A narrow blank behind a comma is easily lost by a scan; it is put back between words."""

from __future__ import annotations

import pytest

from partmuster_plugins.parts_lists.spelling import with_blanks


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        ("ROLLER,RETURN", "ROLLER, RETURN"),
        ("Roller, return,lower", "Roller, return, lower"),
        ("1,200", "1,200"),
        ("OT1010,2", "OT1010,2"),
        ("A,B", "A,B"),
    ],
)
def test_words_stand_apart_behind_a_comma(read: str, meant: str) -> None:
    assert with_blanks(read) == meant

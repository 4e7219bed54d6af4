"""The short way through texts that say nothing of a side must see all that the long way sees."""

from __future__ import annotations

import pytest

from partmuster.reading import sides
from partmuster_trade import load_vocabulary


def _long_way(text, monkeypatch):
    with monkeypatch.context() as patch:
        patch.setattr(sides, "_DIGIT", sides.re.compile(""))
        patch.setattr(sides, "_SIDE_LAST", sides.re.compile("(?!)"))
        return sides._read_side.__wrapped__(text)


NAMES = sorted({entry.name for entry in load_vocabulary().names()})
AROUND = (
    "{}", "{} LH", "l/h {}", "{}, pair", "{} (both)", "{} bank A", "remaining {}", "{}, L/H",
    "not {} LH", "{} right hand", "{} only RH", "spare {}, n/s", "LINK, {}, RH", "{} thread LH",
    "{} LH RH", "{},LH", "{} one left", "second {}", "{} L/R", "{} N/S/F", "R.H. {}",
    "{} each side",
)  # fmt: skip


@pytest.mark.parametrize("around", AROUND)
def test_both_ways_read_the_same(around, monkeypatch):
    for name in NAMES[:: 1 if around == "{}" else 29]:
        text = around.format(name)
        assert sides._read_side.__wrapped__(text) == _long_way(text, monkeypatch), text

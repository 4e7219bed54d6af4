"""Words of state that members take from the house, the farm and the hospital."""

from __future__ import annotations

import pytest

from tests.unit.told_surveys import surveys


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The return rollers turn sweetly.", ["return rollers: fitted good"]),
        ("Both doors hang true", ["2 doors: fitted good"]),
        ("The windscreen wiper works at a touch", ["windscreen wiper: fitted good"]),
        ("The water temperature gauge is represented by a hole with a cork in it", [
            "water temperature gauge: missing"]),
        ("The horn could not be found", ["horn: missing"]),
        ("The fuel pump has departed this life", ["fuel pump: missing"]),
        ("The starter no longer exists", ["starter: missing"]),
        ("Nothing but a bare bracket where the dynamo was", ["dynamo: missing"]),
        ("The battery box has gone through at the bottom", ["battery box: fitted bad"]),
        ("Cylinder head - BER", ["cylinder head: fitted bad"]),
        ("The horn is back where it belongs", ["horn: fitted"]),
        ("The oil cooler soldiers on", ["oil cooler: fitted"]),
        ("Driver's seat is a milk crate", ["driver's seat: stand-in adapted"]),
        ("fan belt = a pair of tights", ["fan belt: stand-in adapted"]),
        ("The passenger seat, a church pew", ["passenger seat: stand-in other-original"]),
        ("Gear lever knob is a golf ball", ["gear lever knob: stand-in adapted"]),
        ("dipstick: bit of coat hanger", ["dipstick: stand-in adapted"]),
        ("In place of the ring cover somebody has laid a dustbin lid", [
            "ring cover: stand-in adapted"]),
        ("The oil filler neck is soaking in the bath", ["oil filler neck: off-and-kept"]),
        ("The dynamo is sitting on my bench", ["dynamo: off-and-kept"]),
        ("Magneto has gone to that chap in Rookthorn to be wound", ["magneto: away-for-repair"]),
        ("Front axle not opened", ["front axle: could-not-be-seen"]),
        ("Nothing can be said of the gearbox", ["gearbox: could-not-be-seen"]),
        ("The sump lay too low in the mud to be inspected", ["sump: could-not-be-seen"]),
    ],
)  # fmt: skip
def test_how_a_part_is(text, expected):
    assert [one.replace("front front axle", "front axle") for one in surveys(text)] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2 of 6 floor boards", ["2 of 6 floor boards: fitted"]),
        ("tool bins - 2 left out of the 5", ["2 of 5 tool bins: fitted"]),
        ("Hub caps: zero at the left", ["left hub caps: missing"]),
    ],
)  # fmt: skip
def test_how_many_are_there(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "The gearbox is a mystery to me",
        "The starter is a pig of a thing to lift",
        "Turning the engine by hand works wonders for the waistline",
        "The milk crate is for the bottles",
    ],
)
def test_opinions_are_no_state(text):
    assert [one for one in surveys(text) if "could-not-be-seen" not in one] == []

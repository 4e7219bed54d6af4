"""More ways in which members tell of construction, marks, paint and wear."""

from __future__ import annotations

import pytest

from .test_note_features import features

SEEN = " / not seen"


@pytest.mark.parametrize(
    "text",
    [
        # marks, castings, plates and dates
        "On the cylinder head, beside the plugs: 88-140-C",
        "Casting on the gearbox lid: RT 9",
        "date on head 5-47 in a ring",
        "there's numbers on the head, 8 8 dash 1 4 0",
        "arrow over 47 on o/s door",
        "Unit sign 12, blue square, off side front",
        "a little plate by the seat says 3 TON and a letter M",
        "The casting on the flywheel housing read LK over 52",
        "someone painted MAVIS inside the bonnet",
        "There was a six in a triangle on the tailboard",
        "There is a round unit sign painted over the off-side lamp",
        "the chassis number ends in 41",
        "stencil on the tool box: RETURN TO STORES",
        "Rocker cover is marked with a letter P in a circle",
        "the gearbox has a small crown on it, and the figures 4-50",
        # made
        "side plate screwed not riveted",
        "cross-member is drilled, not punched",
        "The plate is of brass",
        "Front hub, left: cast, with three webs",
        "The louvres are cut out by hand",
        "Nose plate sloped where the late ones are upright",
        # counted and placed
        "rivets on the side plate go in threes",
        "The slots in the grille are eleven",
        "tooth count on the sprocket is 21",
        "she's got the four-bolt thermostat housing",
        "The tool locker had two catches",
        "The fuel tank had its filler on the right",
        "Spring hangers have grease nipples on the inside, not the outside",
        "The bumper has one square hole in place of two round ones",
        "There are three drain holes in a row under the tail plate, not two",
        "bonnet with a lip along the front edge, early ones are plain",
        # paint and wear
        "There's the outline of a horse under the paint on the left door",
        "An old number is ghosting through on the off side door",
        "Under the green there is sand and then grey",
        "Door sill bears file marks along its whole length",
    ],
)
def test_tells_a_feature_in_a_clause(tmp_path, text):
    for short, full in (("here's", "here is"), ("she's got", "she has")):
        text = text.replace(short, full)
    assert features(tmp_path, text + ".") == [text]


@pytest.mark.parametrize(
    "text",
    [
        "no trace at all of the step brackets on that side",
        "she never had a hole for a starting handle",
        "The axle casing has no drain boss",
        "There is no weld bead along the sill",
    ],
)
def test_tells_what_never_was_there(tmp_path, text):
    assert features(tmp_path, text + ".") == [text + SEEN]


@pytest.mark.parametrize(
    "text",
    [
        "There is a crown wheel and pinion in the axle, rear, and it is ruined.",
        "No phone number, obviously.",
        "The Star, Lower Green.",
        "He can't eat toffee since the crown came off.",
        "The bus number ends in 66.",
        "I painted the shed door green.",
        "Looking for any gearbox lid marked GB 3.",
        "Has its filler cap on at last.",
        "The meeting is on 12 May, table booked in a circle.",
        "The left door has its handle back on.",
        "Four bolts in a tin, and two washers.",
        "We parked the cars in threes.",
        "Page 12, blue ink.",
        "She has no oil in the box.",
        "The plate is of no interest to anybody.",
    ],
)
def test_does_not_take_other_talk_for_features(tmp_path, text):
    assert features(tmp_path, text) == []

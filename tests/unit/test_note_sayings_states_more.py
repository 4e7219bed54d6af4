"""More ways in which members tell the state of parts: lists, letters, dictation, pocket books."""

from __future__ import annotations

import pytest

from tests.unit.told_surveys import surveys


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("dynamo/starter/coil all gone", [
            "dynamo: missing", "starter: missing", "coil: missing"]),
        ("Not there: horn, both wing mirrors, fire extinguisher", [
            "horn: missing", "2 wing mirrors: missing", "fire extinguisher: missing"]),
        ("Could not find the tool box or the jack", ["tool box: missing", "jack: missing"]),
        ("The exhaust manifold has long since disappeared.", ["exhaust manifold: missing"]),
        ("There never was a heater in this one", ["heater: missing"]),
        ("radiator grille: nowhere to be found", ["radiator grille: missing"]),
        ("battery box, empty hole", ["battery box: missing"]),
        ("We could find neither the dipstick nor the oil filler cap.", [
            "dipstick: missing", "oil filler cap: missing"]),
        ("no trace of the pintle hook", ["pintle hook: missing"]),
        ("It's lost its bonnet somewhere along the line", ["bonnet: missing"]),
        ("The seats have all been stripped out.", ["seats: missing"]),
        ("Only the brackets are left of the headlamps.", ["brackets: fitted"]),
        ("headlamps x 0", ["headlamps: missing"]),
    ],
)  # fmt: skip
def test_missing_in_other_words(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The gearbox turns over by hand and feels sweet.", ["gearbox: fitted good"]),
        ("Magneto throws a fat spark", ["magneto: fitted good"]),
        ("brakes - bind a bit but they work", ["brakes: fitted good"]),
        ("wiper arm snapped off short", ["wiper arm: missing"]),
        ("Fuel pump: diaphragm perished", ["diaphragm: fitted bad"]),
        ("the silencer has more holes than metal", ["silencer: fitted bad"]),
        ("Clutch slips", ["clutch: fitted"]),
        ("Radiator core rotted out", ["radiator core: fitted bad"]),
        ("carb's on but gummed up solid", ["carb: fitted bad"]),
        ("Starter jammed, engine turns", ["starter: fitted bad", "engine: fitted good"]),
        ("tyres perished all round", ["tyres: fitted bad"]),
        ("speedo reads, fuel gauge doesn't", ["speedo: fitted good", "fuel gauge: fitted bad"]),
        ("Front axle, original and straight", ["front axle: fitted good original"]),
        ("bonnet ok (few dents)", ["bonnet: fitted good"]),
        ("The hull floor? Like a colander.", ["hull floor: fitted bad"]),
        ("Steering box: leaks, otherwise fine", ["steering box: fitted good"]),
    ],
)  # fmt: skip
def test_condition_in_other_words(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The dash is a piece of plywood painted green.", ["dash: stand-in adapted"]),
        ("Some previous owner fitted a combine radiator", ["radiator: stand-in other-original"]),
        ("The seats are out of a bus.", ["seats: stand-in other-original"]),
        ("carb: off some tractor or other", ["carb: stand-in other-original"]),
        ("Dad fabricated a new battery tray", ["battery tray: stand-in new-made"]),
        ("tool box lid - home-made", ["tool box lid: stand-in new-made"]),
        ("exhaust is a length of drainpipe", ["exhaust: stand-in adapted"]),
        ("mirrors are off the shelf modern ones", ["mirrors: fitted other-original"]),
        ("Where the horn should be there's a bulb horn off a bicycle", ["horn: stand-in adapted"]),
    ],
)  # fmt: skip
def test_stand_ins_in_other_words(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The starter is off for the winter, safe in the airing cupboard.", [
            "starter: off-and-kept"]),
        ("doors off, leaning against the barn wall, to go back on after painting", [
            "doors: off-and-kept"]),
        ("carburettor indoors", ["carburettor: off-and-kept"]),
        ("Radiator out being flushed, back in by Easter", ["radiator: off-and-kept"]),
        ("magneto - sent off for a rewind", ["magneto: away-for-repair"]),
        ("The seats are with an upholsterer in Quillhaven", ["seats: away-for-repair"]),
        ("cylinder head at the engineers, having a skim", ["cylinder head: away-for-repair"]),
        ("Dynamo came back from the rewinder and is on again", ["dynamo: fitted"]),
    ],
)  # fmt: skip
def test_off_and_away_in_other_words(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("I couldn't see whether the torsion bars are in", ["torsion bars: could-not-be-seen"]),
        ("Clutch not checked", ["clutch: could-not-be-seen"]),
        ("no way of seeing the oil pump", ["oil pump: could-not-be-seen"]),
        ("Final drives hidden by brambles", ["final drives: could-not-be-seen"]),
        ("The back axle's buried, can't say", ["back axle: could-not-be-seen"]),
        ("bell housing - out of reach", ["bell housing: could-not-be-seen"]),
        ("Didn't have time to look at the brakes.", ["brakes: could-not-be-seen"]),
        ("didn't check the batteries", ["batteries: could-not-be-seen"]),
    ],
)  # fmt: skip
def test_not_seen_in_other_words(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("N/S headlamp there, O/S gone", ["near headlamp: fitted", "off headlamp: missing"]),
        ("Mirrors: one only, the left", ["left 1 mirrors: fitted"]),
        ("Left sprocket fine, right sprocket hooked", [
            "left sprocket: fitted good", "right sprocket: fitted bad"]),
        ("The nearside door's gone and the offside one is hanging by a thread", [
            "near door: missing", "off door: fitted"]),
        ("Both idlers are seized", ["2 idlers: fitted bad"]),
        ("front mudguards ok both sides", [
            "left front mudguards: fitted good", "right front mudguards: fitted good"]),
        ("rear lamp, offside, smashed", ["off rear lamp: fitted bad"]),
        ("The right-hand final drive leaks, the left does not", [
            "right final drive: fitted", "left final drive: fitted"]),
        ("Bumper: front yes, rear no", ["front bumper: fitted", "rear bumper: missing"]),
        ("bogies all there on the near side, off side two missing", [
            "near bogies: fitted", "off 2 bogies: missing"]),
        ("Six of the eight bogies remain.", ["6 of 8 bogies: fitted"]),
        ("There are only three road wheels on her", ["3 road wheels: fitted"]),
        ("ten track links missing", ["10 track links: missing"]),
        ("2 out of 3 periscopes cracked", ["2 of 3 periscopes: fitted bad"]),
        ("wheel nuts: 17 of 20", ["17 of 20 wheel nuts: fitted"]),
        ("Everything there on the dash except the clock", []),
        ("All the gauges work but the ammeter", ["gauges: fitted good", "ammeter: fitted bad"]),
        ("all four doors on, though the rear left won't shut", ["4 doors: fitted"]),
    ],
)  # fmt: skip
def test_sides_and_counts_in_other_words(text, expected):
    assert surveys(text)[: len(expected) or None] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The engine came out of Otter 5 and is now in Otter 2.", [
            "engine: missing", "engine: fitted"]),
        ("Dynamo fitted. Starter likewise. Coil ditto.", [
            "dynamo: fitted", "starter: fitted", "coil: fitted"]),
        ("The tank isn't rotten, it's sound as a bell", ["tank: fitted good"]),
        ("I said the fan was missing - sorry, it is there behind the cowl.", ["fan: fitted"]),
        ("Water pump there (seized)", ["water pump: fitted bad"]),
        ("Radiator: present. Holds water.", ["radiator: fitted good"]),
    ],
)  # fmt: skip
def test_changes_and_corrections_in_other_words(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "We talked about the radiator for an hour and got nowhere.",
        "Does the starter turn?",
        "If only the gearbox was in one piece!",
        "He asked me whether the carb was any good.",
        "Tomorrow I'll have the engine out and look at the clutch.",
        "Bert's lorry was off the road, its clutch gone.",
        "The handbook says the dynamo is on the left.",
        "Good luck with the engine.",
        "The kettle was on and the cake was gone.",
        "Nobody was there, the gate was locked.",
        "I was dead tired and my boots were rotten.",
        "Cylinder head gaskets are hard to find these days.",
        "To get the gearbox out you need the floor plates off.",
        "Mind the step, it's broken.",
    ],
)
def test_more_talk_that_says_nothing_of_a_part(text):
    assert surveys(text) == []

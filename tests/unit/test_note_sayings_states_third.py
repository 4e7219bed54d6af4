"""The state of parts as letters, walks round, messages and cards tell it."""

from __future__ import annotations

import pytest

from tests.unit.told_surveys import surveys


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("I regret to say that the gearbox is no longer with us.", ["gearbox: missing"]),
        ("Her radiator, alas, was sold for scrap before my time.", ["radiator: missing"]),
        ("You will be sorry to hear the dynamo has been stolen.", ["dynamo: missing"]),
        ("the fuel pump and both carburettors have walked", [
            "fuel pump: missing", "2 carburettors: missing"]),
        ("Wing mirror arm: bare bracket only", ["wing mirror arm: missing"]),
        ("nowt where the battery box was", ["battery box: missing"]),
        ("She is minus a propshaft.", ["propshaft: missing"]),
        ("There isn't a number plate lamp.", ["number plate lamp: missing"]),
        ("not a single seat cushion left in her", ["1 seat cushion: missing"]),
        ("periscopes 0/3", ["0 of 3 periscopes: fitted"]),
        ("I see the commander's hatch has gone since last year", ["commander's hatch: missing"]),
        ("exhaust: stolen?", ["exhaust: missing (?)"]),
        ("The tool lockers hold no tools, but the lockers are sound.", [
            "tools: missing", "lockers: fitted good"]),
        ("Didn't find any headlamps.", ["headlamps: missing"]),
        ("no spare wheel but its carrier is there", [
            "spare wheel: missing", "carrier: fitted"]),
    ],
)  # fmt: skip
def test_what_is_not_there(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The engine, to my surprise, turned over at the first pull.", ["engine: fitted good"]),
        ("Gearbox selects all gears.", ["gearbox: fitted good"]),
        ("Handbrake holds on the hill", ["handbrake: fitted good"]),
        ("clutch pedal goes down like a stone, useless", ["clutch pedal: fitted bad"]),
        ("wiring all perished and chewed", ["wiring: fitted bad"]),
        ("Tracks are on and look all right", ["tracks: fitted good"]),
        ("sump cracked by frost - scrap", ["sump: fitted bad"]),
        ("Magneto: dead as a doornail", ["magneto: fitted bad"]),
        ("fan belt frayed but on", ["fan belt: fitted"]),
        ("Headlamps both light", ["2 headlamps: fitted good"]),
        ("The starter just clicks, it is finished", ["starter: fitted bad"]),
        ("Water pump leaks like a sieve", ["water pump: fitted bad"]),
        ("ammeter needle stuck", ["ammeter needle: fitted bad"]),
        ("bonnet catches: all present, two stiff", ["bonnet catches: fitted"]),
        ("choke cable snapped, no use", ["choke cable: fitted bad"]),
        ("The oil cooler is there. It is rotten through.", ["oil cooler: fitted bad"]),
        ("batteries flat but sound", ["batteries: fitted good"]),
        ("speedo works, odometer stuck at 4411", ["speedo: fitted good", "odometer: fitted bad"]),
        ("wheels all turn", ["wheels: fitted good"]),
        ("Prop shaft UJ worn out", ["prop shaft uj: fitted bad"]),
    ],
)  # fmt: skip
def test_what_state_it_is_in(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The driver's seat is really a deck chair.", ["driver's seat: stand-in adapted"]),
        ("Alternator from a car in place of the dynamo", ["dynamo: stand-in other-original"]),
        ("Somebody has put a van radiator in", ["radiator: stand-in other-original"]),
        ("The steering wheel came off a bus", ["steering wheel: stand-in other-original"]),
        ("headlamps: motorcycle ones", ["headlamps: stand-in other-original"]),
        ("tailboard made up from scaffold planks", ["tailboard: stand-in new-made"]),
        ("I've rigged up a wooden seat base till the real one turns up", [
            "seat base: stand-in new-made"]),
        ("hinge pins replaced with bolts", ["hinge pins: stand-in adapted"]),
        ("The carburettor is the later pattern", ["carburettor: fitted other-original"]),
        ("mirrors repro", ["mirrors: fitted new-made"]),
        ("Air cleaner is the original, with its plate", ["air cleaner: fitted original"]),
    ],
)  # fmt: skip
def test_what_stands_in(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The magneto is in my airing cupboard keeping dry", ["magneto: off-and-kept"]),
        ("seats out for now, stored in the loft", ["seats: off-and-kept"]),
        ("Front mudguards: off, in the paint shop till June", ["front mudguards: off-and-kept"]),
        ("Radiator gone to be recored at Pym's", ["radiator: away-for-repair"]),
        ("dynamo - Ted has it for rewinding", ["dynamo: away-for-repair"]),
        ("The brake shoes have been sent away for relining.", ["brake shoes: away-for-repair"]),
        ("windscreen at the glass people", ["windscreen: away-for-repair"]),
        ("Cylinder block is away being sleeved", ["cylinder block: away-for-repair"]),
        ("Starter: overhauled and back on", ["starter: fitted good"]),
        ("The tow rope is not back from the saddler yet.", ["tow rope: away-for-repair"]),
        ("instrument panel off n sat on the dresser", ["instrument panel: off-and-kept"]),
    ],
)  # fmt: skip
def test_what_is_off(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("As to the clutch, I have no idea.", ["clutch: could-not-be-seen"]),
        ("We never got the engine cover up so nothing on the magneto", [
            "magneto: could-not-be-seen"]),
        ("brakes n/k", ["brakes: could-not-be-seen"]),
        ("Torsion bars unknown (sat in a puddle)", ["torsion bars: could-not-be-seen"]),
        ("The fuel tank I was unable to inspect.", ["fuel tank: could-not-be-seen"]),
        ("rear axle under two foot of nettles", ["rear axle: could-not-be-seen"]),
        ("turret ring not looked at", ["turret ring: could-not-be-seen"]),
        ("I did not have the gearbox open.", ["gearbox: could-not-be-seen"]),
        ("tried to get at the water pump, no joy", ["water pump: could-not-be-seen"]),
    ],
)  # fmt: skip
def test_what_was_not_seen(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Track guards: o/s ok, n/s front torn off, n/s rear ok", [
            "off track guards: fitted good", "near front track guards: missing",
            "near rear track guards: fitted good"]),
        ("Left idler fine and so is the right", [
            "left idler: fitted good", "right idler: fitted good"]),
        ("Right mirror broken off, the left is fine", [
            "right mirror: missing", "left mirror: fitted good"]),
        ("one of the two batteries is dead", ["1 of 2 batteries: fitted bad"]),
        ("half the bolts are missing", ["bolts: missing"]),
        ("front springs good, rear springs cracked", [
            "front springs: fitted good", "rear springs: fitted bad"]),
        ("mudguards front and rear, all four rotten", [
            "front mudguards: fitted bad", "rear mudguards: fitted bad"]),
        ("the other headlamp is smashed", ["headlamp: fitted bad"]),
        ("rear lights present x2", ["2 rear lights: fitted"]),
        ("bogie tyres - 6 good, 2 scrap", [
            "6 bogie tyres: fitted good", "2 bogie tyres: fitted bad"]),
        ("Near side: sprocket on, idler off", [
            "near sprocket: fitted", "near idler: missing"]),
        ("Idler, offside, gone; nearside still there", [
            "off idler: missing", "near idler: fitted"]),
    ],
)  # fmt: skip
def test_which_side_and_how_many(text, expected):
    assert surveys(text)[: len(expected) or None] == expected


@pytest.mark.parametrize(
    "text",
    [
        "I have been told to look after my knees.",
        "The gearbox on Maud's car is making a noise.",
        "We must do something about the brakes before the rally.",
        "When the dynamo is back on I will ring you.",
        "Please bring the spare fan belt.",
        "Did you say the radiator leaked?",
        "The trailer lights failed on the way home.",
        "I would love to see a working speedo.",
        "Is there a dipstick?",
        "The engine shed was cold and the tea was cold.",
        "He talked about his lost radiator all evening.",
        "Rupert is in the engine bay, up to his elbows.",
    ],
)
def test_talk(text):
    assert surveys(text) == []

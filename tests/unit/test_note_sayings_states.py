"""What members' sentences say of the state of parts on a vehicle, each family in its own words."""

from __future__ import annotations

import pytest

from tests.unit.told_surveys import surveys


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("No dynamo.", ["dynamo: missing"]),
        ("There's no starter in her", ["starter: missing"]),
        ("no fan belt, water pump or thermostat", [
            "fan belt: missing", "water pump: missing", "thermostat: missing"]),
        ("Dynamo isn't there.", ["dynamo: missing"]),
        ("Radiator has gone walkabout", ["radiator: missing"]),
        ("Somebody has had the carburettor off it.", ["carburettor: missing"]),
        ("some so-and-so's pinched the horn", ["horn: missing"]),
        ("The ammeter was robbed years ago", ["ammeter: missing"]),
        ("Not a sign of the tool box.", ["tool box: missing"]),
        ("She has lost her exhaust.", ["exhaust: missing"]),
        ("Still without a fuel pump", ["fuel pump: missing"]),
        ("The periscope has been taken out and never put back", ["periscope: missing"]),
        ("speedo - gone", ["speedo: missing"]),
        ("speedo: none", ["speedo: missing"]),
        ("clock, no", ["clock: missing"]),
        ("Missing: dynamo, starter, fan belt", [
            "dynamo: missing", "starter: missing", "fan belt: missing"]),
        ("What she hasn't got: a horn, a mirror", ["horn: missing", "mirror: missing"]),
    ],
)  # fmt: skip
def test_what_is_missing(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Gearbox is in.", ["gearbox: fitted"]),
        ("Bonnet there", ["bonnet: fitted"]),
        ("radiator - yes", ["radiator: fitted"]),
        ("Side lamps yes. Stop lamp no.", ["side lamps: fitted", "stop lamp: missing"]),
        ("The horn works!", ["horn: fitted good"]),
        ("starter seized solid", ["starter: fitted bad"]),
        ("The gearbox isn't seized", ["gearbox: fitted"]),
        ("Wiper motor doesn't work", ["wiper motor: fitted bad"]),
        ("Fuel tank is rotted through at the bottom", ["fuel tank: fitted bad"]),
        ("mudguard bent but there", ["mudguard: fitted"]),
        ("mag on, orig., sparks well", ["mag: fitted good original"]),
        ("The block is cracked right through", ["block: fitted bad"]),
        ("the radiator weeps a bit", ["radiator: fitted"]),
        ("dynamo ✓\nstarter ✗\nhorn ✓", ["dynamo: fitted", "starter: missing", "horn: fitted"]),
        ("[x] dynamo\n[ ] starter", ["dynamo: fitted", "starter: missing"]),
        ("Present and correct: bonnet, fan cowl", [
            "bonnet: fitted good", "fan cowl: fitted good"]),
        ("Bonnet, fan cowl and grille are all there", [
            "bonnet: fitted", "fan cowl: fitted", "grille: fitted"]),
        ("The clutch is shot, the brakes are fine", ["clutch: fitted bad", "brakes: fitted good"]),
        ("brake drums worn out / shoes ok", ["brake drums: fitted bad", "shoes: fitted good"]),
    ],
)  # fmt: skip
def test_what_is_there_and_whether_it_works(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Radiator is off a lorry", ["radiator: stand-in other-original"]),
        ("rad - from a tractor", ["rad: stand-in other-original"]),
        ("The seat is a bus one", ["seat: stand-in other-original"]),
        ("The driver's seat is an old kitchen chair", ["driver's seat: stand-in adapted"]),
        ("Battery box knocked up out of ply", ["battery box: stand-in new-made"]),
        ("The drop arm is a fabrication", ["drop arm: stand-in new-made"]),
        ("fuel cap is a rag in a jam jar lid", ["fuel cap: stand-in adapted"]),
        ("Folded up a tool tray to get us through the season.", ["tool tray: stand-in new-made"]),
        ("I made a new dipstick", ["dipstick: stand-in new-made"]),
        ("A tractor radiator stands in for the real one", [
            "radiator: stand-in other-original"]),
        ("The ammeter is a later one, 24 volt", ["ammeter: fitted other-original"]),
        ("carb not original", ["carb: fitted other-original"]),
    ],
)  # fmt: skip
def test_stand_ins_and_later_changes(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Dynamo is on the bench, going back next month", ["dynamo: off-and-kept"]),
        ("carbs off and in the shed", ["carbs: off-and-kept"]),
        ("Windscreen is out, it's in Maud's loft", ["windscreen: off-and-kept"]),
        ("Tool box lid off for painting", ["tool box lid: off-and-kept"]),
        ("I've taken the magneto off to clean it", ["magneto: off-and-kept"]),
        ("Magneto is at the rewinder's", ["magneto: away-for-repair"]),
        ("radiator away being recored", ["radiator: away-for-repair"]),
        ("The dynamo has gone off to be rewound", ["dynamo: away-for-repair"]),
        ("Seat cushions with the trimmer", ["seat cushions: away-for-repair"]),
        ("The radiator's back from the recorers and in", ["radiator: fitted"]),
    ],
)  # fmt: skip
def test_off_and_away(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Couldn't get at the gearbox", ["gearbox: could-not-be-seen"]),
        ("final drives: not seen, too much mud", ["final drives: could-not-be-seen"]),
        ("Torsion bars, no idea, under water", ["torsion bars: could-not-be-seen"]),
        ("I didn't get as far as the rear axle", ["rear axle: could-not-be-seen"]),
        ("transmission - can't see it", ["transmission: could-not-be-seen"]),
        ("The starter I could not reach", ["starter: could-not-be-seen"]),
        ("prop shaft ?", ["prop shaft: could-not-be-seen"]),
        ("Engine: didn't look", ["engine: could-not-be-seen"]),
    ],
)  # fmt: skip
def test_what_could_not_be_seen(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Both track guards there, nearside rotten", [
            "off track guards: fitted", "near track guards: fitted bad"]),
        ("LH headlamp ok, RH missing", ["left headlamp: fitted good", "right headlamp: missing"]),
        ("final drives: left there, right gone", [
            "left final drives: fitted", "right final drives: missing"]),
        ("Idlers - n/s fitted, o/s not", ["near idlers: fitted", "off idlers: missing"]),
        ("Door handle missing on the left, same on the other side", [
            "left door handle: missing", "right door handle: missing"]),
        ("Nearside sprocket worn out. Same on the other side.", [
            "near sprocket: fitted bad", "off sprocket: fitted bad"]),
        ("front and rear mudguards LH both gone", [
            "left front mudguards: missing", "left rear mudguards: missing"]),
        ("Steering levers L & R both there", [
            "left steering levers: fitted", "right steering levers: fitted"]),
        ("The left idler turns, the right one is seized", [
            "left idler: fitted good", "right idler: fitted bad"]),
        ("One headlamp gone, the other smashed", [
            "1 headlamp: missing", "1 headlamp: fitted bad"]),
    ],
)  # fmt: skip
def test_sides(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("3 of 8 bogie wheels left", ["3 of 8 bogie wheels: fitted"]),
        ("bogies: 3 of 4", ["3 of 4 bogies: fitted"]),
        ("Two of the four return rollers are missing", ["2 of 4 return rollers: missing"]),
        ("four out of six road springs are in it", ["4 of 6 road springs: fitted"]),
        ("Of the five wheels I found three", ["3 of 5 wheels: fitted"]),
        ("road wheels 4/6", ["4 of 6 road wheels: fitted"]),
        ('bogies n/s 4 of 4\n  "   o/s 3 of 4', [
            "near 4 of 4 bogies: fitted", "off 3 of 4 bogies: fitted"]),
        ("Track links, two short", ["2 track links: missing"]),
        ("All four wheels on", ["4 wheels: fitted"]),
        ("6 bolts missing from the cover", ["6 bolts: missing"]),
    ],
)  # fmt: skip
def test_counts(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("all hatches there except the driver's", [
            "hatches: fitted", "driver's hatch: missing"]),
        ("Road wheels all there bar two", ["road wheels: fitted", "2 road wheels: missing"]),
        ("every gauge gone apart from the ammeter", ["gauge: missing", "ammeter: fitted"]),
        ("no seats, but the frames are there", ["seats: missing", "frames: fitted"]),
        ("Dynamo there but no starter", ["dynamo: fitted", "starter: missing"]),
        ("Headlamp there but it has no glass", ["headlamp: fitted", "glass: missing"]),
        ("neither mirror is there", ["mirror: missing"]),
        ("Speedo and its cable both missing", ["speedo: missing", "cable: missing"]),
        ("dyno - gone\nstarter - ditto", ["dyno: missing", "starter: missing"]),
        ("Carb missing, likewise the air cleaner", ["carb: missing", "air cleaner: missing"]),
        ("Dynamo missing. No, scrub that, it's there.", ["dynamo: fitted"]),
        ("Fan there. It spins.", ["fan: fitted good"]),
    ],
)  # fmt: skip
def test_exceptions_negation_and_corrections(text, expected):
    assert surveys(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("trk gds both on. n/s rotted thro", ["off trk gds: fitted", "near trk gds: fitted bad"]),
        ("g/box ok, w/pump u/s, amm. no", [
            "g/box: fitted good", "w/pump: fitted bad", "amm: missing"]),
        ("exh manfld cracked, scrap", ["exh manfld: fitted bad"]),
        ("radaitor missing", ["radaitor: missing"]),
        ("carburetter gone", ["carburetter: missing"]),
        ("s/mtr seized", ["s/mtr: fitted bad"]),
        ("flibber - gone\ndynamo ok", ["flibber: missing", "dynamo: fitted good"]),
    ],
)  # fmt: skip
def test_short_and_misspelt_words(text, expected):
    assert [line.replace(".", "") for line in surveys(text)] == expected


@pytest.mark.parametrize(
    "text",
    [
        "Is the sump off?",
        "Has anyone seen a dynamo?",
        "I must get the dynamo off next week.",
        "If the gearbox is seized we'll have to scrap it",
        "The weather was rotten and the tea was gone",
        "Wilf is on the bench, worn out.",
        "Maud's car is off the road.",
        "The shed door was locked so I went home.",
        "We left at six and got back at eight.",
        "Lunch was good, the beer was off.",
        "My knees are shot.",
        "I wish she had a dynamo",
        "Lovely day, the road was dry.",
        "Sold the old tractor to Bert.",
    ],
)
def test_talk_that_says_nothing_of_a_part(text):
    assert surveys(text) == []

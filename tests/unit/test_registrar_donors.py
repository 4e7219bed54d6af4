"""Where parts could come from, from sheets to the answer; worked out by hand beforehand.

Otters: standing, condition, numbers, hands and where a part is taken from. Brambles: what people
say of fits, each grade in both directions.
"""

from __future__ import annotations

import re

import pytest

from tests.unit.conftest import SmallClub

SHEETS = {
    "register.csv": """Vehicle,Family,Mark,Phase,Owner,Kept by,Where,Role,Aim,Owner agrees
Alpha,Otter,Mk 1,early,Ann Ash,Ann Ash,Shed A,under restoration,full original,
Beta,Otter,Mk 1,late,Bob Birch,Bob Birch,Shed B,being broken,,
Gamma,Otter,Mk 2,late,Bob Birch,Bob Birch,Shed B,hulk,,yes
Delta,Otter,Mk 1,early,Cy Clay,Cy Clay,Shed C,kept whole,,
Echo,Otter,Mk 1,early,Cy Clay,Cy Clay,Shed C,on loan,,
Foxtrot,Otter,Mk 1,early,Cy Clay,Cy Clay,Shed C,hulk,,no
Golf,Otter,Mk 1,late,Cy Clay,Cy Clay,Shed C,hulk,,
Rose,Bramble,Mk 1,early,Ann Ash,Ann Ash,Shed A,under restoration,full original,
Lily,Bramble,Mk 1,late,Ann Ash,Ann Ash,Shed A,under restoration,full original,
Iris,Bramble,Mk 2,late,Ann Ash,Ann Ash,Shed A,under restoration,full original,
""",
    "places.csv": """Place,Latitude,Longitude
Shed A,52.0,-1.0
Shed B,52.5,-1.0
Shed C,53.0,-1.0
Barn D,52.1,-1.0
""",
    "otter_list.csv": """Otter parts list
Part No,Maker,Description,No off,Used on
ELECTRICAL,,,,
OT1,Lumen,DYNAMO,1,Mk 1
OT2,Lumen,DYNAMO,1,Mk 2
OT3,,HORN,1,
COOLING,,,,
OT4,,RADIATOR,1,Mk 1
OT5,,RADIATOR,1,Mk 2
OT6,,"PUMP, WATER",1,Mk 1 early
OT7,,"PUMP, WATER",1,Mk 1 late
OT8,,"PUMP, WATER",1,Mk 2
HULL,,,,
OT9,,"GUARD, TRACK, LH",1,Mk 1 early
OT10,,"GUARD, TRACK, RH",1,Mk 1 early
OT11,,"PLATE, DATA",1,
EXHAUST,,,,
OT12,,SILENCER,1,
ENGINE,,,,
OT13,,MAGNETO,1,
OT14,,"PLUG, SPARKING",6,
""",
    "bramble_list.csv": """Bramble parts list
Part No,Description,No off,Used on
HULL,,,
BR1,"GUARD, TRACK, LH",1,Mk 1 early
BR2,"GUARD, TRACK, RH",1,Mk 1 early
BR3,"GUARD, TRACK, LH",1,Mk 1 late
BR4,"GUARD, TRACK, RH",1,Mk 1 late
BR5,"GUARD, TRACK, LH",1,Mk 2
BR6,"GUARD, TRACK, RH",1,Mk 2
COOLING,,,
BR7,RADIATOR,1,Mk 1
BR8,RADIATOR,1,Mk 2
BR9,"PUMP, WATER",1,Mk 1
BR10,"PUMP, WATER",1,Mk 2
ELECTRICAL,,,
BR11,DYNAMO,1,Mk 1
BR12,DYNAMO,1,Mk 2
BR13,HORN,1,Mk 1
BR14,HORN,1,Mk 2
""",
    "seen.csv": """Vehicle,Part,State,Date
Alpha,Dynamo,missing,01/11/2026
Alpha,Horn,missing,01/11/2026
Alpha,Radiator,missing,01/11/2026
Alpha,Water pump,missing,01/11/2026
Alpha,Track guard LH,missing,01/11/2026
Alpha,Data plate,missing,01/11/2026
Alpha,Silencer,missing,01/11/2026
Alpha,Magneto,missing,01/11/2026
Alpha,Sparking plug,missing,01/11/2026
Beta,Dynamo,fitted,01/10/2026
Beta,Magneto,"fitted, seized",01/10/2026
Beta,Data plate,fitted,01/10/2026
Beta,Track guard RH,fitted,01/10/2026
Gamma,Magneto,fitted,01/06/2025
Gamma,Radiator,fitted,01/10/2026
Delta,Magneto,fitted,01/10/2026
Echo,Magneto,fitted,01/10/2026
Foxtrot,Magneto,fitted,01/10/2026
Golf,Magneto,fitted,01/10/2026
""",
    "seen_brambles.csv": "Vehicle,Part,State,Date\n"
    + "".join(
        f"{vehicle},{part},missing,01/11/2026\n"
        for vehicle in ("Rose", "Lily", "Iris")
        for part in ("Track guard LH", "Track guard RH", "Radiator", "Water pump", "Dynamo", "Horn")
    ),
    "stock.csv": """What,Qty,State,Fits,Part No,Maker,Casting no,Availability,Where,Whose,Notes
Dynamo,1,good,,OT1,Lumen,,for sale,Shed B,Bob Birch,
Dynamo,1,good,,OT1,Volta,,for sale,Barn D,Dee Dale,
Dynamo,1,good,,OT1,,,swap,Barn D,Eli Elm,
Dynamo,1,poor,Otter Mk 2,,,,for sale,Shed C,Cy Clay,
Horn,?,good,Otter,,,,for sale,Shed B,Bob Birch,
Horn,1,good,Otter,,,,keeping,Shed C,Cy Clay,
Horn,1,good,Otter,,,,promised,Barn D,Dee Dale,
Horn,several,good,Otter,,,,,Barn D,Eli Elm,
Horn,1,good,,,,,for sale,Barn D,Flo Fern,
Radiator,1,good,Otter Mk 1 late,,,,for sale,Shed B,Bob Birch,surplus from restoration
Radiator,1,fair,Otter Mk 2,,,,for sale,Shed C,Cy Clay,
Water pump,1,good,Otter Mk 1 late,,,,for sale,Shed B,Bob Birch,
Water pump,1,good,Otter Mk 2,,,,for sale,Shed C,Cy Clay,
Track guard,1,good,Otter Mk 1 early,,,C77,for sale,Shed B,Bob Birch,
Track guard RH,1,good,Otter Mk 1 early,,,C77,for sale,Shed C,Cy Clay,
Track guard LH,1,fair,Otter Mk 1 early,,,C77,for sale,Barn D,Dee Dale,
Data plate,1,good,Otter,,,,for sale,Barn D,Dee Dale,
Silencer,1,seized,Otter,,,,for sale,Barn D,Dee Dale,
Silencer,1,poor,Otter,,,,for sale,Shed B,Bob Birch,
Sparking plugs,6,NOS,Otter,,,,for sale,Barn D,Dee Dale,
""",
    "bramble_stock.csv": """What,Qty,State,Fits,Availability,Whose
Track guard LH,1,good,Bramble Mk 1 late,for sale,H1
Track guard LH,1,good,Bramble Mk 2 late,for sale,H2
Track guard RH,1,good,Bramble Mk 1 early,for sale,H3
Radiator,1,good,Bramble Mk 1 early,for sale,H4
Radiator,1,good,Bramble Mk 2 early,for sale,H5
Water pump,1,good,Bramble Mk 1,for sale,H6
Water pump,1,good,Bramble Mk 2,for sale,H7
Dynamo,1,good,Bramble Mk 1,for sale,H8
Dynamo,1,good,Bramble Mk 2,for sale,H9
Horn,1,good,Bramble Mk 1,for sale,H10
Horn,1,good,Bramble Mk 2,for sale,H11
""",
    "fits.csv": """From part,From build,To part,To build,Grade,Work,With,Why,Who says,Date
Water pump,Otter Mk 1 late,Water pump,Otter Mk 1 early,one way,,,later boss,Ann Ash,2026-01-01
Water pump,Otter Mk 2,Water pump,Otter Mk 1,probably never,,,looks wrong,Ann Ash,2026-01-01
Dynamo,Otter Mk 2,Dynamo,Otter Mk 1,never,,,shaft too long,Ann Ash,2026-01-01
Radiator,Otter Mk 2,Radiator,Otter Mk 1,with work,move the stays,,stays,Ann Ash,2026-01-01
Track guard LH,Bramble late,Track guard LH,Bramble Mk 1 early,as is,,,any late,Ann Ash,2026-01-01
Radiator,Bramble Mk 1,Radiator,Bramble Mk 2,as is,,,same core,Ann Ash,2026-01-01
Water pump,Bramble Mk 2,Water pump,Bramble Mk 1,only as a set,,fan cowl,blades,Ann Ash,2026-01-01
Dynamo,Bramble Mk 1,Dynamo,Bramble Mk 2,as is,,,I swapped one,Ann Ash,2026-01-01
Dynamo,Bramble Mk 1,Dynamo,Bramble Mk 2,never,,,shaft,Bob Birch,2025-01-01
Horn,Bramble Mk 2,Horn,Bramble Mk 1,with work,drill,,holes,Ann Ash,2026-01-01
""",
}

#: (vehicle, part): source, standing, fit, correctness, in order; of the vehicle's own family, for
#: whose stock the holders are called H1, H2 ... where it is the Brambles.
BY_HAND = {
    # another maker's number is not the same number; the nearer of two equals comes first
    ("Alpha", "dynamo"): [
        "Eli Elm offered as-is correct", "Bob Birch offered as-is correct",
        "Beta offered as-is correct", "Dee Dale offered unknown unknown",
        "Cy Clay not offered never unknown",
    ],
    # "?" may be none; unknown availability asks; promised and kept are shown and not offered
    ("Alpha", "horn"): [
        "Bob Birch ask first as-is correct", "Eli Elm ask first as-is correct",
        "Flo Fern offered unknown unknown", "Dee Dale not offered as-is correct",
        "Cy Clay not offered as-is correct",
    ],
    ("Alpha", "radiator"): [
        "Bob Birch offered as-is correct", "Cy Clay offered with-work goes on, not correct for it",
        "Gamma ask first with-work goes on, not correct for it",
    ],
    ("Alpha", "water pump"): [
        "Bob Birch offered one-way goes on, not correct for it", "Cy Clay offered unknown unknown",
    ],
    # the casting number is on both hands: the right one is no candidate, the unstated one asks
    ("Alpha", "track guard lh"): [
        "Dee Dale offered as-is correct", "Bob Birch offered unknown unknown",
    ],
    ("Alpha", "data plate"): ["None None None None"],
    ("Alpha", "silencer"): ["Bob Birch offered as-is correct", "Dee Dale offered as-is correct"],
    # kept whole and on loan are not shown; what does not work comes after what may
    ("Alpha", "magneto"): [
        "Gamma ask first as-is correct", "Golf ask first as-is correct",
        "Beta offered as-is correct", "Foxtrot not offered as-is correct",
    ],
    ("Alpha", "sparking plug"): ["Dee Dale offered as-is correct"],
    # "late" without a mark is any late one; one late one goes for another by way of the early
    ("Rose", "track guard lh"): ["H1 offered as-is correct", "H2 offered as-is correct"],
    ("Rose", "track guard rh"): ["H3 offered as-is correct"],
    ("Lily", "track guard lh"): ["H1 offered as-is correct", "H2 offered as-is correct"],
    ("Lily", "track guard rh"): ["H3 offered unknown unknown"],
    ("Iris", "track guard lh"): ["H1 offered as-is correct", "H2 offered as-is correct"],
    # as is holds both ways; one list line covers early and late
    ("Rose", "radiator"): ["H4 offered as-is correct", "H5 offered as-is correct"],
    ("Iris", "radiator"): ["H4 offered as-is correct", "H5 offered as-is correct"],
    ("Rose", "water pump"): ["H6 offered as-is correct", "H7 offered only-as-a-set unknown"],
    ("Iris", "water pump"): ["H7 offered as-is correct", "H6 offered unknown unknown"],
    # a sure never rules over a later "as is" in its own direction
    ("Rose", "dynamo"): ["H8 offered as-is correct", "H9 offered as-is correct"],
    ("Iris", "dynamo"): ["H9 offered as-is correct", "H8 not offered never unknown"],
    ("Rose", "horn"): [
        "H10 offered as-is correct", "H11 offered with-work goes on, not correct for it",
    ],
    ("Iris", "horn"): ["H11 offered as-is correct", "H10 offered unknown unknown"],
}  # fmt: skip


@pytest.fixture(scope="module")
def told(tmp_path_factory, vocabulary):
    club = SmallClub(tmp_path_factory.mktemp("donors"), vocabulary)
    for name, text in SHEETS.items():
        club.write(name, text)
    report = club.load()
    assert (report.failed, report.total("decision"), report.total("mending")) == (False, 0, 0)
    return club


@pytest.mark.parametrize(("vehicle", "part"), BY_HAND)
def test_a_lack_is_supplied_as_was_worked_out_by_hand(told, vehicle, part):
    rows = told.donors(vehicle, part).to_dicts()
    bramble = vehicle in ("Rose", "Lily", "Iris")
    own = [r for r in rows if bool(re.fullmatch(r"H\d+", r["source"] or "")) == bramble]
    said = [f"{r['source']} {r['standing']} {r['fit']} {r['correctness']}" for r in own]
    assert said == BY_HAND[vehicle, part]
    # nobody has said anything of one family's parts on the other, and no list covers both
    assert {r["fit"] for r in rows if r not in own} <= {"unknown"}


def reasons(told, part):
    return {row["source"]: row for row in told.donors("Alpha", part).to_dicts()}


def test_what_is_to_be_asked_or_known_is_said(told):
    assert "quantity not known" in reasons(told, "horn")["Bob Birch"]["reason"]
    assert "sight before travelling" in reasons(told, "magneto")["Gamma"]["reason"]
    assert "owner does not agree" in reasons(told, "magneto")["Foxtrot"]["reason"]
    assert "hand not stated: ask" in reasons(told, "track guard lh")["Bob Birch"]["reason"]
    assert "disputed" in reasons(told, "water pump")["Cy Clay"]["reason"]
    assert "old stock" in reasons(told, "sparking plug")["Dee Dale"]["caution"]
    assert reasons(told, "radiator")["Bob Birch"]["from"].startswith("surplus")
    assert reasons(told, "radiator")["Cy Clay"]["work"] == "move the stays"
    assert "identity" in reasons(told, "data plate")[None]["reason"]


def test_distance_is_along_the_great_circle(told):
    # 0.1, 0.5 and 1 degree of a meridian: 6371.0088 km x pi / 180 a degree
    found = {r["source"]: r["distance_km"] for r in told.donors("Alpha", "dynamo").to_dicts()}
    assert found["Eli Elm"] == pytest.approx(11.1195, abs=0.001)
    assert found["Bob Birch"] == pytest.approx(55.5975, abs=0.001)
    assert found["Cy Clay"] == pytest.approx(111.195, abs=0.001)


def test_all_shows_vehicles_that_nothing_is_taken_from_and_offers_none(told):
    rows = told.donors("Alpha", "magneto", include_all=True).to_dicts()
    kept = {row["source"]: row["standing"] for row in rows if row["source"] in ("Delta", "Echo")}
    assert kept == {"Delta": "not offered", "Echo": "not offered"}


def test_holders_come_by_availability_and_say_what_to_ask(told):
    rows = told.holders("track guard lh").to_dicts()
    assert {row["hand"] for row in rows} == {"left", None}
    otters = [row for row in rows if row["holder"] in ("Dee Dale", "Bob Birch", "Cy Clay")]
    assert [row["holder"] for row in otters] == ["Dee Dale", "Bob Birch"]
    assert "ask" in otters[1]["match_reason"]
    horns = told.holders("horn").get_column("availability").to_list()
    order = ["offered", "swap", "unknown", "promised", "kept"]
    assert horns == sorted(horns, key=order.index)
    builds = {row["holder"]: row["builds"] for row in told.holders("OT2").to_dicts()}
    assert builds["Cy Clay"] == "Otter Mk 2"

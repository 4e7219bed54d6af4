"""What vehicles lack, from sheets to the answer; worked out by hand before the tool was asked.

Otters: hybrids, serial intervals of named series, joint parts, aims, builds that are not known.
Brambles: surveys that are counted, located, hedged, later or contradicted; two parts lists.
"""

from __future__ import annotations

import csv
import re

import pytest

from partmuster.answers.trace import trace
from tests.unit.conftest import SmallClub

SHEETS = {
    "register.csv": """Vehicle,Family,Mark,Phase,Hull no,Engine no,Owner,Role,Aim
Alpha,Otter,Mk 1,early,1100,,Ann Ash,under restoration,full original
Beta,Otter,Mk 1,late,1500,700,Ann Ash,under restoration,runner
Gamma,Otter,Mk 2,,,499,Bob Birch,under restoration,static display
Delta,Otter,,,1450,500,Bob Birch,under restoration,
Echo,Otter,Mk 1,early,1001,1,Bob Birch,kept whole,as found
Rose,Bramble,Mk 1,,,,Ann Ash,under restoration,full original
Lily,Bramble,Mk 1,,,,Ann Ash,under restoration,runner
Iris,Bramble,Mk 1,,,,Bob Birch,under restoration,static display
Fern,Bramble,Mk 1,,,,Bob Birch,under restoration,
Moss,Bramble,Mk 1,,,,Bob Birch,kept whole,as found
""",
    "builds.csv": """Vehicle,Assembly,Mark,Phase
Alpha,Engine,Mk 2,early
Alpha,Final drive,Mk 1,late
Beta,Hull,Mk 2,late
""",
    "otter_list.csv": """Otter parts list
Part No,Description,No off,Used on,Needed for
ENGINE,,,,
OT1,MAGNETO,1,Mk 1,runner
OT2,DISTRIBUTOR,1,Mk 2,runner
OT3,"CLEANER, AIR",1,engine nos 1-499,all
OT4,"CLEANER, AIR, OIL BATH",1,from engine no 500,all
FINAL DRIVE,,,,
OT5,"SPROCKET, DRIVE",2,hull Mk 1; final drive late,all
HULL,,,,
OT6,"PLATE, GLACIS",1,hull nos 1001-1450,display
OT7,"EYE, TOWING",4,,all
OT8,"HATCH, ESCAPE",1,Mk 2 late,display
""",
    "bramble_list.csv": """Bramble parts list 2020-01-01
Part No,Description,No off,Used on,Needed for
ELECTRICAL,,,,
BR1,DYNAMO,1,,runner
BR2,"LAMP, TAIL",2,,all
INSTRUMENTS,,,,
BR3,SPEEDOMETER,1,,all
COOLING,,,,
BR4,RADIATOR,1,,all
BR5,"COWL, FAN",1,,runner
HULL,,,,
BR6,"GUARD, TRACK, LH",1,,display
BR7,"GUARD, TRACK, RH",1,,display
RUNNING GEAR,,,,
BR8,"WHEEL, BOGIE",8,,all
BR9,"ROLLER, RETURN",6,,all
STOWAGE,,,,
BR10,"BOX, BLANKET",1,,display
""",
    "bramble_lamps.csv": """Bramble parts list 2024-06-01
Part No,Description,No off,Needed for
BR2,"LAMP, TAIL",3,all
""",
    "seen_march.csv": """Vehicle,Part,State,How many,Date,Remark
Rose,Dynamo,fitted u/s,,01/03/2026,
Rose,Tail lamp,fitted,1,01/03/2026,
Rose,Speedometer,stand-in,,01/03/2026,not hunting
Rose,Radiator,stand-in,,01/03/2026,off a lorry
Rose,Bogie wheel,fitted,,01/03/2026,
Rose,Return roller,3 of 6,,01/03/2026,
Rose,Track guard LH,missing,,01/03/2026,
Rose,Blanket box,fitted?,,05/03/2026,
Rose,Blanket box,missing,,01/03/2026,
Lily,Dynamo,fitted u/s,,01/03/2026,
Lily,Tail lamp,fitted,several,01/03/2026,
Lily,Speedometer,"fitted, u/s",,01/03/2026,
Lily,Bogie wheel,fitted,10+,01/03/2026,
Lily,Return roller,fitted,?,01/03/2026,
Iris,Dynamo,missing,,01/03/2026,
Iris,Speedometer,"fitted, u/s",,01/03/2026,
Iris,Track guard,missing,,01/03/2026,
Iris,Bogie wheel,missing,1,01/03/2026,
Moss,Blanket box,fitted,,01/03/2026,
Moss,Dynamo,missing,,01/03/2026,
Moss,Bogie wheel,fitted,8,01/03/2026,
""",
    "seen_may.csv": """Vehicle,Part,State,How many,Where on vehicle,Date
Rose,Bogie wheel LH station 3,missing,,,10/05/2026
Rose,Bogie wheel,missing,1,RH 2,11/05/2026
Moss,Blanket box,missing,,,10/05/2026
Moss,Bogie wheel,missing,2,,10/05/2026
Fern,Track guard RH,away for repair,,,10/05/2026
Fern,Track guard LH,off and kept,,,10/05/2026
Fern,Radiator,n/a,,,10/05/2026
Fern,Dynamo,could not see,,,10/05/2026
""",
}

BY_HAND = {
    # engine Mk 2 early without a number, final drive Mk 1 late, hull by the vehicle's mark
    "Alpha": """distributor not-looked-at 1; air-cleaner build-not-known 1;
        air-cleaner-oil-bath build-not-known 1; drive-sprocket not-looked-at 2;
        glacis-plate not-looked-at 1; towing-eye not-looked-at 4""",
    # engine 700, Mk 1; hull Mk 2, so no sprocket of the joint; display parts do not count
    "Beta": """magneto not-looked-at 1; air-cleaner-oil-bath not-looked-at 1;
        towing-eye not-looked-at 4""",
    # no phase and no hull number
    "Gamma": """air-cleaner not-looked-at 1; glacis-plate build-not-known 1;
        towing-eye not-looked-at 4; escape-hatch build-not-known 1""",
    # no mark; hull 1450 and engine 500 are the last and the first of their intervals
    "Delta": """magneto build-not-known 1; distributor build-not-known 1;
        air-cleaner-oil-bath not-looked-at 1; glacis-plate not-looked-at 1;
        towing-eye not-looked-at 4; escape-hatch build-not-known 1;
        drive-sprocket build-not-known 2""",
    "Echo": "",
    # the later list wants 3 lamps; two wheels went since March; a hedged word does not count
    "Rose": """dynamo unserviceable 1; rear-lamp not-looked-at 2; radiator stand-in 1;
        fan-cowl not-looked-at 1; road-wheel-tracked missing 2; return-roller missing 3;
        track-guard left missing 1; track-guard right not-looked-at 1; blanket-box missing 1""",
    "Lily": """dynamo unserviceable 1; rear-lamp not-looked-at 1; speedometer unserviceable 1;
        radiator not-looked-at 1; fan-cowl not-looked-at 1; return-roller not-looked-at 6""",
    # a static display needs no dynamo and no working speedometer; a guard without a hand is none
    "Iris": """rear-lamp not-looked-at 3; radiator not-looked-at 1; road-wheel-tracked missing 1;
        road-wheel-tracked not-looked-at 7; return-roller not-looked-at 6;
        track-guard left not-looked-at 1; track-guard right not-looked-at 1;
        blanket-box not-looked-at 1""",
    "Fern": """dynamo not-looked-at 1; rear-lamp not-looked-at 3; speedometer not-looked-at 1;
        fan-cowl not-looked-at 1; road-wheel-tracked not-looked-at 8;
        return-roller not-looked-at 6; blanket-box not-looked-at 1""",
    "Moss": "blanket-box missing 1; road-wheel-tracked missing 2",
}  # fmt: skip


@pytest.fixture(scope="module")
def told(tmp_path_factory, vocabulary):
    club = SmallClub(tmp_path_factory.mktemp("lacks"), vocabulary)
    for name, text in SHEETS.items():
        club.write(name, text)
    report = club.load()
    assert (report.failed, report.total("decision"), report.total("mending")) == (False, 0, 0)
    return club


def words_of(row):
    return " ".join(
        str(row[name])
        for name in ("part", "hand", "position", "state")
        if row[name] is not None
    ) + f" {row['quantity']:g}"  # fmt: skip


@pytest.mark.parametrize("vehicle", BY_HAND)
def test_a_vehicle_lacks_what_was_worked_out_by_hand(told, vehicle):
    expected = sorted(" ".join(one.split()) for one in BY_HAND[vehicle].split(";") if one.strip())
    assert sorted(words_of(row) for row in told.lacks(vehicle).rows.to_dicts()) == expected


def test_a_count_of_all_before_some_went_says_that_the_others_are_there(told):
    whole = told.lacks("Moss").completeness.to_dicts()
    (gear,) = (row for row in whole if row["assembly"] == "running-gear")
    assert (gear["required"], gear["had"], gear["not_looked_at"]) == (8, 6, 0)


def test_completeness_leaves_out_what_was_never_there_and_counts_what_is_away(told):
    rows = told.lacks("Fern").completeness.to_dicts()
    whole = {row["aim"]: (row["required"], row["had"]) for row in rows if row["assembly"] is None}
    assert whole == {"static-display": (21, 2), "runner": (20, 0), "full-original": (23, 2)}


def test_another_list_and_a_weaker_word_are_shown_as_disagreeing(told):
    told_of = {row["part"]: row["disagrees"] for row in told.lacks("Rose").rows.to_dicts()}
    assert "fitted?" in told_of["blanket-box"]
    assert "another list says 2" in told_of["rear-lamp"]


def test_every_id_in_an_answer_leads_to_file_row_and_words(told):
    rows = told.lacks(include_all=True).rows
    ids = set(rows.get_column("trace").str.split(";").explode().drop_nulls()) - {""}
    for text in rows.get_column("disagrees").drop_nulls():
        ids |= set(re.findall(r"[a-z]+-[0-9a-f]{16}\.\d+", text))
    lines = {name: text.splitlines() for name, text in SHEETS.items()}
    with told.club.reading() as con:
        found = trace(con, " ".join(sorted(ids))).to_dicts()
    assert {row["id"] for row in found} == ids
    for row in found:
        cells = next(csv.reader([lines[row["file"]][row["row"] - 1]]))
        assert [cell for cell in cells if cell and cell not in row["words"]] == []


def test_the_order_of_imports_changes_no_answer(told, tmp_path, vocabulary):
    other = SmallClub(tmp_path, vocabulary)
    for name in sorted(SHEETS, reverse=True):
        other.write(name, SHEETS[name])
        other.load(name)
    for include_all in (False, True):
        one, two = (club.lacks(include_all=include_all) for club in (told, other))
        assert one.rows.rows() == two.rows.rows()
        assert one.completeness.rows() == two.completeness.rows()

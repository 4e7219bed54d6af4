"""Columns of a parts list that say from which serial to which a part is used."""

from __future__ import annotations

import pytest

from .test_layout_golden import grid_of


def effects_of(headings, cells, above=""):
    from partmuster.stages.layout import lay_out

    text = f"Otter parts list\n{above}Part No | Description | Qty | {headings}\n"
    parts = zip(("DYNAMO", "HORN", "IDLER", "FAN"), cells, strict=False)
    text += "".join(f"OT {at} | {name} | 1 | {row}\n" for at, (name, row) in enumerate(parts))
    lines = lay_out([grid_of(text, None, None)], name="otter parts list.csv").lines
    assert set(lines["kind"]) == {"requirement"}
    return lines["effectivity"].to_list()


@pytest.mark.parametrize(
    ("headings", "first", "second"),
    [
        ("Serial from | Serial to", "SN 1 to 1250", "SN 1251 on"),
        ("From S/N | To S/N", "SN 1 to 1250", "SN 1251 on"),
        ("First Ser. No. | Last Ser. No.", "SN 1 to 1250", "SN 1251 on"),
        ("From | Up to", "SN 1 to 1250", "SN 1251 on"),
        ("Start | Finish", "SN 1 to 1250", "SN 1251 on"),
        ("Introduced | Discontinued", "SN 1 to 1250", "SN 1251 on"),
        ("Eff from | Eff to", "SN 1 to 1250", "SN 1251 on"),
        ("Effective from | Effective to", "SN 1 to 1250", "SN 1251 on"),
        ("Vehicle from | Vehicle to", "vehicle nos 1 to 1250", "vehicle nos 1251 on"),
        ("Chassis no from | Chassis no to", "chassis no 1 to 1250", "chassis no 1251 on"),
        ("First engine no | Last engine no", "engine no 1 to 1250", "engine no 1251 on"),
        ("Hull first | Hull last", "hull no 1 to 1250", "hull no 1251 on"),
    ],
)
def test_headings_of_two_ends(headings, first, second):
    assert effects_of(headings, ["1 | 1250", "1251 | ", " | "]) == [first, second, None]


@pytest.mark.parametrize(
    ("heading", "first"),
    [
        ("Serial", "SN 1-1250"),
        ("Serial(s)", "SN 1-1250"),
        ("Ser. Nos", "SN 1-1250"),
        ("Serial range", "SN 1-1250"),
        ("Vehicle serials", "vehicle nos 1-1250"),
        ("Chassis", "chassis no 1-1250"),
        ("Chassis Nos", "chassis no 1-1250"),
        ("Engine No", "engine no 1-1250"),
    ],
)
def test_headings_of_one_column(heading, first):
    series = first.removesuffix(" 1-1250")
    found = effects_of(heading, ["1-1250", "1251 & on", "", "all"])
    assert found == [first, f"{series} 1251 & on", None, "all"]


@pytest.mark.parametrize(
    ("above", "series"),
    [("Serial numbers", "SN"), ("Chassis numbers", "chassis no"), ("Effective", "SN")],
)
def test_from_and_to_below_a_heading(above, series):
    over = f" |  |  | {above} | \n"
    found = effects_of("From | To", ["1 | 1250", "1251 | ", " | "], over)
    assert found == [f"{series} 1 to 1250", f"{series} 1251 on", None]


def test_both_headings_in_two_rows():
    from partmuster.stages.layout import lay_out

    text = (
        "Otter parts list\nPart No | Description | Qty | Engine No |\n | | | From | To\n"
        "OT 1 | DYNAMO | 1 | 1 | 1250\nOT 2 | HORN | 1 | 1251 |\n"
    )
    lines = lay_out([grid_of(text, None, None)], name="otter parts list.csv").lines
    assert lines["effectivity"].to_list() == ["engine no 1 to 1250", "engine no 1251 on"]


def test_a_vehicle_has_what_is_listed_for_its_serial(small):
    small.write("fleet.csv", "Vehicle,Family,Hull serial\nOtter 3,Otter,1300\n")
    small.write(
        "otter parts list.csv",
        "Otter parts list\nPart No,Description,Qty,First serial,Last serial\n"
        "OT 1,Dynamo,1,1,1250\nOT 2,Horn,1,1251,\nOT 3,Idler,2,,\n",
    )
    small.load()
    stated = small.rows("SELECT first_serial, last_serial FROM effectivity ORDER BY ALL")
    assert stated == [(1, 1250), (1251, None)]


def test_places_from_and_to_are_no_serials():
    found = effects_of("From", ["Stores", "Yard", "Stores"])
    assert found == [None, None, None]


CODED = "UOC | Serial from | Serial to"
CODED_ROWS = ["A | 1 | 1250", "B | 1251 | ", " | | ", "A | | ", "A, B | 1251 | "]


def test_codes_of_a_key_stand_beside_the_serials_of_their_row():
    found = effects_of(CODED, CODED_ROWS, "Key: A = Mk 1, B = Mk 2 late\n")
    assert found == ["Mk 1, SN 1 to 1250", "Mk 2 late, SN 1251 on", None, "Mk 1"]


def test_several_codes_have_the_same_serials():
    found = effects_of(CODED, CODED_ROWS[-1:], "Key: A = Mk 1, B = Mk 2 late\n")
    assert found == ["Mk 1; Mk 2 late, SN 1251 on"]


def test_a_code_without_a_key_is_asked_about_beside_serials_too():
    from partmuster.stages.layout import lay_out

    text = (
        f"Otter parts list\nPart No | Description | Qty | {CODED}\nOT 1 | HORN | 1 | A | 1 | 99\n"
    )
    out = lay_out([grid_of(text, None, None)], name="otter parts list.csv")
    assert out.lines.select("effectivity", "remark").rows() == [
        (None, "usable-on code A, SN 1 to 99")
    ]
    assert out.questions["subject"].to_list() == ["|code A"]

"""Whom and what a short name means: concluded with its reason, or asked about, never guessed."""

from __future__ import annotations

import pytest

REGISTER = """No.,Vehicle,Family,Mark,Registration,Owner,Kept by,Where
1,Otter 1,Otter,Mk 1,,Wilfred Tansley,Wilfred Tansley,North Shed
2,Otter 2,Otter,Mk 1,,Hester Crane,Hester Crane,Quill Barn
4,Duchess,Otter,Mk 1,AVC 404,Maud Pettifer,Maud Pettifer,Club Compound
5,Otter 5,Otter,Mk 1,,Ivo Larch,Ivo Larch,Larch Farm
6,Otter 6,Otter,Mk 2,,Ivo Larch,Ivo Larch,Larch Farm
7,Bramble 1,Bramble,Mk 1,AVC 701,Gwen Saddler,Gwen Saddler,Saddler Works
9,Nettle,Bramble,Mk 2,AVC 903,Maud Pettifer,Hester Crane,Quill Barn
12,Old Patience,Bramble,Mk 1,,Nell Hathersage,Nell Hathersage,Skellmoor Barn
"""
MEMBERS = """Name,Code,Region,Known as
Wilfred Tansley,AV01,North,Wilf
Hester Crane,AV02,East,
Maud Pettifer,AV05,West,
Ivo Larch,AV06,West,
Gwen Saddler,AV07,North,
Nell Hathersage,AV09,North,
Piers Crowe,AV10,South,
Piers Wendover,AV11,South,
Olive Kerr,AV12,South,
"""


def meanings(small, role, names):
    """Return what each name is taken to mean: accepted target, or those offered; and why."""
    if role == "vehicle":
        sheet = "Vehicle,Part,Seen\n" + "".join(f'"{name}",Dynamo,missing\n' for name in names)
    else:
        sheet = "Holder,Part,Qty\n" + "".join(f'"{name}",Dynamo,1\n' for name in names)
    small.write("register.csv", REGISTER)
    small.write("members.csv", MEMBERS)
    small.write(f"a {role} sheet.csv", sheet)
    small.load()
    from partmuster.stages.normalising.identity import name_key

    found = {}
    for name in names:
        rows = small.rows(
            "SELECT target, accepted, reasons FROM identification_now WHERE role = ? AND key = ? "
            "ORDER BY rank",
            role, name_key(name),
        )  # fmt: skip
        assert rows, name
        taken = [target for target, accepted, _ in rows if accepted]
        offered = [target for target, accepted, _ in rows if not accepted and target]
        found[name] = (taken[0] if taken else None, offered, rows[0][2])
    return found


PEOPLE = {
    "Hester": ("hester-crane", "first name"),
    "Wilf": ("wilfred-tansley", "other name"),
    "Wilfred": ("wilfred-tansley", "first name"),
    "Wilf Tansley": ("wilfred-tansley", "first name and surname"),
    "Crane": ("hester-crane", "surname"),
    "Mrs Crane": ("hester-crane", "surname"),
    "H. Crane": ("hester-crane", "initial"),
    "Hester C.": ("hester-crane", "initial"),
    "HC": ("hester-crane", "initials"),
    "H.C.": ("hester-crane", "initials"),
    "Crane, Hester": ("hester-crane", "surname first"),
    "AV07": ("gwen-saddler", "code"),
}
STRANGERS = ["Hester Brown", "B. Crane", "Mrs Marlow", "Edna", "Hester and Ivo", "XC", "OK"]


def test_a_member_is_known_by_a_short_name_that_nobody_else_has(small):
    found = meanings(small, "holder", PEOPLE)
    for name, (who, why) in PEOPLE.items():
        assert found[name][0] == who, name
        assert why in found[name][2], name


def test_a_stranger_stays_a_stranger(small):
    members = {who for who, _ in PEOPLE.values()} | {"olive-kerr"}
    for name, (who, offered, _) in meanings(small, "holder", STRANGERS).items():
        assert who not in members, name
        assert not members & set(offered), name


def test_a_first_name_of_two_members_is_asked_about(small):
    found = meanings(small, "holder", ["Piers", "Piers W"])
    assert found["Piers"][:2] == (None, ["piers-crowe", "piers-wendover"])
    assert found["Piers W"][0] == "piers-wendover"
    assert ("holder", "piers", "piers-crowe;piers-wendover") in small.rows(
        "SELECT topic, subject, choices FROM open_question"
    )


VEHICLES = {
    "the Nettle": ("bramble-9", "its name"),
    "No. 7": ("bramble-7", "club number"),
    "Otter no 2": ("otter-2", "its name"),
    "Otter number two": ("otter-2", "its name"),
    "AVC404": ("otter-4", "civil number"),
    "avc 404": ("otter-4", "civil number"),
    "Hester's Otter": ("otter-2", "the only Otter that Hester Crane owns or keeps"),
    "Hester's Bramble": ("bramble-9", "the only Bramble that Hester Crane owns or keeps"),
    "Mrs Crane's Otter": ("otter-2", "the only Otter that Hester Crane owns or keeps"),
    "Wilf's Mk 1 Otter": ("otter-1", "the only Mk 1 Otter that Wilfred Tansley owns or keeps"),
    "Ivo's Mk 2 Otter": ("otter-6", "the only Mk 2 Otter that Ivo Larch owns or keeps"),
    "Maud's Duchess": ("otter-4", "name"),
    "the Nettle at Quill Barn": ("bramble-9", "its name stands in it"),
    "Patience": ("bramble-12", "last word of its name"),
    "B1": ("bramble-7", "initial and number"),
    "O.2": ("otter-2", "initial and number"),
    "O 6": ("otter-6", "initial and number"),
    "O.P.": ("bramble-12", "initials"),
    "Old P.": ("bramble-12", "first word and initial"),
    "Hester's": ("otter-2", "the only vehicle that Hester Crane owns"),
    "OTTER2": ("otter-2", "its name"),
    "Otter-2": ("otter-2", "its name"),
    "Gwen's": ("bramble-7", "the only vehicle that Gwen Saddler owns or keeps"),
}
#: What may be meant, to choose from; nothing is accepted.
ASKED = {
    "Ivo's Otter": ["otter-5", "otter-6"],
    "Maud's Otter 2": ["otter-2"],
    "Nettle's sister": ["bramble-9"],
    "the Duchess of Oxtarn": ["otter-4"],
    "Otter 1 and Otter 2": ["otter-1", "otter-2"],
    "Edna's Otter": [],
    "Otter 3": [],
    "B3": [],
    "N": [],
    "OK": [],
    "Wilf's Bramble": [],
}


def test_a_vehicle_is_known_by_a_phrase_that_names_no_other(small):
    found = meanings(small, "vehicle", VEHICLES)
    for name, (which, why) in VEHICLES.items():
        assert found[name][0] == which, (name, found[name])
        assert why in found[name][2], name


@pytest.mark.parametrize("name", ASKED)
def test_a_phrase_that_may_mean_others_is_asked_about(small, name):
    taken, offered, _ = meanings(small, "vehicle", [name])[name]
    assert (taken, sorted(offered)) == (None, ASKED[name])


def test_a_family_alone_is_its_only_vehicle_or_asked_about(small):
    small.write("one more.csv", "No.,Vehicle,Family\n40,Stoat 1,Stoat\n")
    found = meanings(small, "vehicle", ["the Stoat", "the Bramble"])
    assert found["the Stoat"][0] == "stoat-40"
    assert "the only Stoat" in found["the Stoat"][2]
    assert found["the Bramble"][0] is None
    assert sorted(found["the Bramble"][1]) == ["bramble-12", "bramble-7", "bramble-9"]

"""Two parts lists about one vehicle: what both say counts once, and where they differ both show."""

from __future__ import annotations

import pytest

from .conftest import SmallClub

FLEET = "Vehicle,Family,Mark\nOtter 1,Otter,Mk 1\nOtter 2,Otter,Mk 2\nBramble 1,Bramble,Mk 1\n"
HEADINGS = "Part No,Description,No. off,Used on\n"

#: Part, what the works' list says, what the club's list says, a later one.
LINES = {
    "dynamo": ("OT 1,Dynamo,2,Mk 2", "OT 1,Dynamo,2,Mk 2"),
    "horn": ("OT 2,Horn,2,", "OT 2,Horn,4,"),
    "headlamp": ("OT 3,Headlamp,2,\nOT 3,Headlamp,1,", "OT 3,Headlamp,4,"),
    "radiator": ("OT 4,Radiator,1,Mk 1", "OT 4,Radiator,1,"),
    "thermostat": (",Thermostat,1,Mk 1", ",Thermostat,1,all"),
    "magneto": ("OT 76,Magneto,1,", "OT 6,Magneto,1,"),
    "ammeter": ("OT 7,Ammeter,1,", "OT 7,Ammeter,1,Mk 1"),
    "distributor": (
        "OT 78,Distributor,1,Mk 1",
        "OT 8,Distributor,1,Mk 2\nOT 78,Distributor,1,Mk 1",
    ),
    "crankcase": (",Crankcase,1,Mk 1", ",Crankcase,1,Mk 1\n,Crankcase,1,Mk 2"),
    "sump": ("", "OT 10,Sump,1,"),
    "flywheel": (",Flywheel,1,", "OT 11,Flywheel,1,"),
    "track-guard": ("OT 12,Track guard,2,", "OT 12,Track guard LH,1,\nOT 13,Track guard RH,1,"),
    "running-board": (
        "OT 14,Running board LH,1,\nOT 15,Running board RH,1,",
        "OT 14,Running board,4,",
    ),
    "mudguard": ("OT 16,Mudguard,2,", "OT 16,Mudguard,2,\nOT 17,Front mudguard LH,1,"),
}
#: The same lists about another family, under the headings of assemblies.
WORKS_PLACES = """ENGINE
BR 1,Radiator,1,
,Thermostat,1,
BR 3,Fan belt,2,
COOLING
BR 3,Fan belt,2,
"""
CLUB_PLACES = """COOLING
BR 1,Radiator,1,
,Thermostat,1,
BR 3,Fan belt,2,
ENGINE
BR 3,Fan belt,2,
"""
#: Pages of one list as files of their own.
FIGURES = {
    "figure 1": "COOLING\nBR 9,Hose clip,8,\n",
    "figure 2": "FUEL SYSTEM\nBR 9,Hose clip,4,\n",
}
WORKS, CLUB = "otter works.csv", "otter club.csv"


@pytest.fixture(scope="module")
def lacking(tmp_path_factory, vocabulary):
    """What every vehicle lacks, by vehicle, part, assembly and hand."""
    small = SmallClub(tmp_path_factory.mktemp("two_lists"), vocabulary)
    small.write("fleet.csv", FLEET)
    old, new = ("\n".join(one for one in side if one) for side in zip(*LINES.values(), strict=True))
    for name, title, body in (
        (WORKS, "Otter parts list as at 1 May 1952", old),
        (CLUB, "Otter parts list as at 12 January 2026", new),
        ("bramble works.csv", "Bramble parts list as at 1 May 1952", WORKS_PLACES),
        ("bramble club.csv", "Bramble parts list as at 12 January 2026", CLUB_PLACES),
        *((f"bramble {n}.csv", "Bramble parts list", body) for n, body in FIGURES.items()),
    ):
        small.write(name, f"{title}\n{HEADINGS}{body}\n")
    report = small.load()
    assert not report.failed, report.problems
    rows = small.lacks().rows.to_dicts()
    return {(row["vehicle"], row["part"], row["assembly"], row["hand"]): row for row in rows}


@pytest.fixture
def otter(lacking):
    """Return what Otter 2, a Mk 2, lacks of a part."""

    def otter(part):
        [row] = [row for key, row in lacking.items() if key[:2] == ("Otter 2", part)]
        return row

    return otter


def row_of(part, side):
    """Return the row at which a part stands first in one of the lists."""
    lines = "\n".join(said[side] for said in LINES.values() if said[side]).split("\n")
    return 3 + lines.index(LINES[part][side].split("\n")[0])


def test_what_two_lists_say_alike_counts_once_and_both_are_the_basis(otter):
    lack = otter("dynamo")
    assert (lack["required"], lack["disagrees"]) == (2, None)
    assert f"{WORKS}, row 3: OT 1" in lack["basis"]
    assert f"{CLUB}, row 3: OT 1" in lack["basis"]
    assert len(lack["trace"].split(";")) == 2


@pytest.mark.parametrize(
    ("part", "required", "told"),
    [
        ("horn", 4, "another list says 2"),
        ("headlamp", 4, "another list says 3"),
        ("radiator", 1, "another list has it for other builds"),
        ("thermostat", 1, "another list has it for other builds"),
        ("magneto", 1, "another list gives another number"),
    ],
)
def test_where_they_differ_the_later_counts_and_the_other_shows_with_its_place(
    otter, part, required, told
):
    lack = otter(part)
    assert lack["required"] == required
    assert CLUB in lack["basis"]
    assert WORKS not in lack["basis"]
    assert lack["disagrees"].startswith(f"{told}: {WORKS}, row {row_of(part, 0)}: ")
    assert "requirement-" in lack["disagrees"]


def test_a_part_that_only_the_older_list_has_for_a_build_shows_the_newer_one(otter):
    lack = otter("ammeter")
    assert WORKS in lack["basis"]
    told = f"another list has it for other builds: {CLUB}, row {row_of('ammeter', 1)}: "
    assert lack["disagrees"].startswith(told)


@pytest.mark.parametrize("part", ["distributor", "crankcase", "sump", "flywheel"])
def test_what_does_not_differ_is_not_shown(otter, part):
    """Another number for another build, lists without numbers, a part in one list only."""
    assert (otter(part)["required"], otter(part)["disagrees"]) == (1, None)


@pytest.mark.parametrize(
    ("part", "told"),
    [("track-guard", None), ("running-board", "another list says 4, hand not stated: ")],
)
def test_a_list_that_names_no_hand_asks_for_no_third_part(lacking, part, told):
    found = {row["hand"]: row for key, row in lacking.items() if key[:2] == ("Otter 2", part)}
    assert found.keys() == {"left", "right"}
    for lack in found.values():
        assert lack["required"] == 1
        if told is None:
            assert lack["disagrees"] is None
            assert WORKS in lack["basis"]
            assert CLUB in lack["basis"]
        else:
            assert lack["disagrees"].startswith(f"{told}{CLUB}, row ")


def test_a_list_that_has_a_part_with_and_without_its_hand_has_two_parts(lacking):
    found = [row for key, row in lacking.items() if key[:2] == ("Otter 2", "mudguard")]
    assert sorted((row["hand"] or "", row["required"]) for row in found) == [("", 2), ("left", 1)]


@pytest.mark.parametrize("part", ["radiator", "thermostat"])
def test_a_part_under_another_assembly_in_another_list_is_not_needed_twice(lacking, part):
    [lack] = [row for key, row in lacking.items() if key[:2] == ("Bramble 1", part)]
    assert (lack["assembly"], lack["required"]) == ("cooling", 1)
    assert lack["disagrees"].startswith("another list has it under engine: bramble works.csv, row ")


def test_the_same_part_in_two_places_of_both_lists_is_needed_in_both(lacking):
    found = [lacking["Bramble 1", "fan-belt", place, None] for place in ("cooling", "engine")]
    assert [(lack["required"], lack["disagrees"]) for lack in found] == [(2, None), (2, None)]


def test_pages_that_are_files_of_their_own_add(lacking):
    """The clips of each figure are other clips."""
    found = [lacking["Bramble 1", "hose-clip", place, None] for place in ("cooling", "fuel-system")]
    assert [(lack["required"], lack["disagrees"]) for lack in found] == [(8, None), (4, None)]

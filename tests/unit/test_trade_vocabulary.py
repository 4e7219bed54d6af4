"""The vocabulary holds together: ids, names, areas, and what a club adds."""

from __future__ import annotations

from itertools import combinations

import pytest

from partmuster_trade import (
    NameEntry,
    VocabularyError,
    assembly_id,
    load_assemblies,
    load_parts,
    load_vocabulary,
    name_key,
)
from partmuster_trade.assemblies import whole_parts
from partmuster_trade.cautions import all_cautions
from partmuster_trade.false_friends import all_false_friends, false_friend_readings
from partmuster_trade.part import HANDED, NEEDS, POSITIONS, SORTS
from partmuster_trade.supply_classes import supply_classes
from partmuster_trade.tables import bundled_part_files, bundled_rows
from partmuster_trade.units import all_units

AREAS = [
    "hull_and_body",
    "superstructure",
    "turret_and_mounts",
    "engine",
    "fuel",
    "cooling",
    "exhaust",
    "lubrication",
    "clutch_gearbox_transfer",
    "final_drive",
    "steering_and_brakes",
    "tracks_and_running_gear",
    "axles_wheels_suspension",
    "electrics",
    "instruments",
    "stowage_and_tools",
    "radio_fittings",
    "doors_hatches_vision",
    "lifting_and_recovery",
    "standard_hardware",
    "body_fittings_and_trim",
]
ASSEMBLIES = [
    "hull",
    "superstructure",
    "turret",
    "engine",
    "fuel-system",
    "cooling",
    "exhaust",
    "electrics",
    "instruments",
    "clutch",
    "gearbox",
    "transfer-box",
    "final-drive",
    "steering",
    "brakes",
    "running-gear",
    "tracks",
    "front-axle",
    "rear-axle",
    "suspension",
    "wheels",
    "chassis",
    "body",
    "cab",
    "stowage",
    "tools",
    "radio",
    "vision",
    "armament-mounts",
    "recovery",
    "hardware",
]


def test_there_are_enough_parts_and_every_area_has_some():
    assert len(load_parts()) >= 1200
    for area in AREAS:
        assert len(bundled_rows(f"parts/{area}.csv")) >= 15, area
    assert sorted(f"parts/{area}.csv" for area in AREAS) == list(bundled_part_files())


def test_every_id_named_by_a_part_exists():
    parts = {part.part_id: part for part in load_parts()}
    assemblies = {assembly.assembly_id for assembly in load_assemblies()}
    for part in parts.values():
        assert part.assembly in assemblies, part
        assert part.supply_class in supply_classes(), part
        assert part.unit in all_units(), part
        assert set(part.caution) <= set(all_cautions()), part
        assert {*part.mated_with, *part.companions} <= set(parts) - {part.part_id}, part
        assert part.replaced_by is None or part.replaced_by in parts, part


def test_closed_words_are_within_their_lists():
    for part in load_parts():
        assert part.handed in HANDED
        assert part.sort in SORTS
        assert set(part.needed_for) <= set(NEEDS)
        assert set(part.positions) <= set(POSITIONS)
        assert part.source


def test_no_cell_of_the_part_files_is_lost_on_the_way():
    rows = [row for name in bundled_part_files() for row in bundled_rows(name)]
    parts = {part.part_id: part for part in load_parts()}
    assert len(rows) == len(parts)
    for row in rows:
        part = parts[row["part_id"]]
        for column in ("positions", "needed_for", "names_any", "names_us", "caution", "mated_with"):
            said = {item for item in row[column].split(";") if item}
            assert said == set(getattr(part, column)), (part.part_id, column)


def test_parts_worked_together_say_so_of_each_other():
    parts = {part.part_id: part for part in load_parts()}
    one_sided = [
        (part.part_id, other)
        for part in parts.values()
        for other in part.mated_with
        if part.part_id not in parts[other].mated_with
    ]
    assert [pair for pair in one_sided if pair[0] != "bearing-taper-roller"] == []


def clashes(entries):
    """Yield the name and part ids where one name means two parts to somebody in one region."""
    meant = {}
    for entry in entries:
        meant.setdefault(name_key(entry.name), []).append(entry)
    for key, named in meant.items():
        for one, other in combinations(named, 2):
            met = one.region == other.region or "any" in {one.region, other.region}
            if met and one.part_id != other.part_id:
                yield key, *sorted((one.part_id, other.part_id))


def test_a_name_means_one_part_unless_listed_as_a_false_friend():
    double = {(name_key(friend.word), friend.part_id) for friend in all_false_friends()}
    unlisted = [
        (key, one, other)
        for key, one, other in clashes(load_vocabulary().names())
        if not {(key, one), (key, other)} <= double
    ]
    assert unlisted == []


def test_within_one_assembly_only_these_words_mean_two_parts():
    vocabulary = load_vocabulary()
    same_assembly = {
        clash
        for clash in clashes(vocabulary.names())
        if vocabulary.by_id(clash[1]).assembly == vocabulary.by_id(clash[2]).assembly
    }
    assert same_assembly == {
        ("floor plate", "belly-plate", "crew-floor-plate"),
        ("squab", "seat-cushion", "seat-squab"),
        ("pressure plate", "clutch-cover", "clutch-pressure-plate"),
        ("step", "running-board", "step"),
        ("cap screw", "bolt-hexagon", "setscrew"),
        ("setscrew", "grub-screw", "setscrew"),
        ("stowage box", "blanket-box", "stowage-bin"),
        ("gun shield", "gun-shield", "mantlet"),
    }


@pytest.mark.parametrize(
    ("name", "region", "found"),
    [
        ("Road Spring", "any", True),  # understood everywhere, so it meets every region
        ("road spring", "UK", True),
        ("muffler", "UK", False),  # silencer is a muffler in US and AU only
        ("MUFFLER", "AU", True),
        ("gennie", "any", False),
    ],
)
def test_a_planted_clash_is_found_where_regions_meet(name, region, found):
    planted = NameEntry(name, region, "dynamo", "synonym")
    named = {clash[0] for clash in clashes([*load_vocabulary().names(), planted])
             if "dynamo" in clash[1:]}  # fmt: skip
    assert (name_key(name) in named) is found


def test_a_clash_in_a_clubs_file_is_refused_naming_both_parts(tmp_path):
    club = tmp_path / "club.csv"
    club.write_text(
        "part_id,names_uk\ndynamo,road spring\naxle-casing,voltmeter\n", encoding="utf-8"
    )
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary([club])
    told = {(p.file, p.row, p.column, p.message.split(" (")[0]) for p in caught.value.problems}
    assert told == {  # at the club's row, whichever of the two parts stands first in the package
        ("club.csv", 3, "names_uk", "'voltmeter' already means 'voltmeter'"),
        ("club.csv", 2, "names_uk", "'road spring' already means 'leaf-spring'"),
    }


def test_every_reading_of_a_false_friend_is_a_name_of_its_part_there():
    vocabulary = load_vocabulary()
    for friend in all_false_friends():
        assert friend.region in {"any", "UK", "US", "AU"}
        if friend.part_id is None:
            assert friend.note
            continue
        names = {
            (name_key(entry.name), entry.region)
            for entry in vocabulary.by_id(friend.part_id).names()
        }
        key = name_key(friend.word)
        assert {(key, friend.region), (key, "any")} & names, friend


def test_no_name_is_given_twice_to_a_part():
    for part in load_parts():
        entries = [(name_key(e.name), e.region) for e in part.names() if e.style != "noun-first"]
        assert len(entries) == len(set(entries)), part.part_id


@pytest.mark.parametrize(
    ("name", "region", "part_id"),
    [
        ("hood", "UK", "soft-top"),
        ("hood", "US", "bonnet"),
        ("drive shaft", "UK", "half-shaft"),
        ("drive shaft", "US", "propeller-shaft"),
        ("cotter pin", "UK", "cotter"),
        ("cotter pin", "US", "split-pin"),
        ("set screw", "UK", "setscrew"),
        ("set screw", "US", "grub-screw"),
        ("ring gear", "US", "crown-wheel"),
        ("ring gear", "UK", "flywheel-ring-gear"),
        ("fender", "UK", "bumper"),
        ("lock nut", "US", "nut-self-locking"),
        ("tailshaft", "AU", "propeller-shaft"),
        ("bottle screw", "UK", "turnbuckle"),
        ("antenna tip", "US", "aerial-tip"),
        ("boom stay", "US", "jib-stay"),
    ],
)
def test_the_region_settles_a_false_friend(name, region, part_id):
    assert [part.part_id for part in load_vocabulary().named(name, region)] == [part_id]


@pytest.mark.parametrize(
    ("name", "part_ids"),
    [
        ("hood", {"soft-top", "bonnet"}),
        ("shackle", {"spring-shackle", "d-shackle"}),
        ("road wheel", {"road-wheel-tracked", "road-wheel-wheeled"}),
        ("boot", {"dust-boot", "luggage-boot"}),
    ],
)
def test_without_a_region_all_readings_come_back(name, part_ids):
    assert {part.part_id for part in load_vocabulary().named(name)} == part_ids


def test_a_word_may_be_no_part_at_all_somewhere():
    assert [f.part_id for f in false_friend_readings("paraffin", "US")] == [None]
    assert [f.part_id for f in false_friend_readings("Paraffin", "UK")] == ["paraffin"]
    assert false_friend_readings("mudguard") == ()


@pytest.mark.parametrize(
    ("name", "part_id"),
    [
        ("LINK, TRACK", "track-link"),
        ("PUMP, FUEL LIFT", "fuel-lift-pump"),
        ("Carb", "carburettor"),
        ("prop shaft", "propeller-shaft"),
        ("Diff", "differential"),
        ("dizzy", "distributor"),
        ("speedo", "speedometer"),
        ("windshield", "windscreen"),
        ("driver's visor", "driving-visor"),
        ("drivers visor", "driving-visor"),
        ("muffler", "silencer"),
    ],
)
def test_names_people_write_find_their_part(name, part_id):
    assert [part.part_id for part in load_vocabulary().named(name)] == [part_id]


def test_hand_positions_and_needs_of_known_parts():
    vocabulary = load_vocabulary()
    mudguard = vocabulary.by_id("mudguard")
    assert (mudguard.handed, mudguard.positions) == ("handed", ("front", "rear"))
    assert vocabulary.by_id("road-wheel-tracked").needed_for == ("static-display", "runner")
    assert vocabulary.by_id("data-plate").identity_bearing
    assert vocabulary.by_id("crown-wheel").mated_with == ("bevel-pinion",)
    assert "asbestos" in vocabulary.by_id("brake-lining").caution
    assert vocabulary.by_id("brake-lining").sort == "consumable"


def test_an_unknown_id_is_an_error():
    with pytest.raises(KeyError):
        load_vocabulary().by_id("flux-capacitor")
    assert "flux-capacitor" not in load_vocabulary()


def test_assemblies_are_all_there_and_their_names_distinct():
    assemblies = load_assemblies()
    assert {assembly.assembly_id for assembly in assemblies} >= set(ASSEMBLIES)
    names = [name_key(n) for a in assemblies for n in {name_key(a.name), *map(name_key, a.names)}]
    assert len(names) == len(set(names))
    assert {assembly.area for assembly in assemblies} <= set(AREAS)
    assert all(assembly.weight >= 0 for assembly in assemblies)
    used = {part.assembly for part in load_parts()}
    assert used == {assembly.assembly_id for assembly in assemblies}


def test_a_section_heading_names_its_assembly():
    assert assembly_id("ENGINE BAY") == "engine"
    assert assembly_id("Running gear") == "running-gear"
    assert assembly_id("final-drive") == "final-drive"
    assert assembly_id("knitting") is None


def test_a_club_adds_names_and_parts(tmp_path):
    club = tmp_path / "club.csv"
    club.write_text(
        "part_id,name,assembly,handed,sort,names_any,names_uk,positions\n"
        "mudguard,,,,,mudwing,,\n"
        "map-drawer,map drawer,stowage,same,part,chart drawer,plan drawer,\n",
        encoding="utf-8-sig",
    )
    vocabulary = load_vocabulary([club])
    assert [p.part_id for p in vocabulary.named("MudWing")] == ["mudguard"]
    assert "wing" in vocabulary.by_id("mudguard").names_uk
    drawer = vocabulary.by_id("map-drawer")
    assert (drawer.noun_first, drawer.unit, drawer.names_uk) == (
        "DRAWER, MAP",
        "each",
        ("plan drawer",),
    )
    assert len(vocabulary.parts) == len(load_parts()) + 1
    assert load_vocabulary().named("mudwing") == ()


def test_a_club_may_restate_what_is_known_but_not_change_it(tmp_path):
    club = tmp_path / "club.csv"
    club.write_text("part_id,handed,sort\nmudguard,handed,part\n", encoding="utf-8")
    assert load_vocabulary([club]).by_id("mudguard").handed == "handed"
    club.write_text("part_id,handed,sort\nmudguard,same,part\n", encoding="utf-8")
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary([club])
    assert [(p.file, p.row, p.column, p.code) for p in caught.value.problems] == [
        ("club.csv", 2, "handed", "cannot-change")
    ]


def test_a_second_club_file_adds_to_the_first(tmp_path):
    one, two = tmp_path / "a.csv", tmp_path / "b.csv"
    head = "part_id,name,assembly,handed,sort,names_any\n"
    one.write_text(f"{head}map-drawer,map drawer,stowage,same,part,\n", encoding="utf-8")
    two.write_text(f"{head}map-drawer,,,,,chart drawer\n", encoding="utf-8")
    vocabulary = load_vocabulary([one, two])
    assert [p.part_id for p in vocabulary.named("chart drawer")] == ["map-drawer"]


def test_all_faults_of_all_club_files_are_told_at_once(tmp_path):
    head = (
        "part_id,name,assembly,handed,sort,supply_class,unit,caution,companions,mated_with,"
        "replaced_by,names_any,positions,needed_for\n"
    )
    bad = tmp_path / "bad.csv"
    bad.write_text(
        head
        + "Map Drawer,map drawer,stowage,same,part,,,,,,,,,\n"
        + "a-one,,stowage,left,part,,,,,,,,middle,parade\n"
        + "b-one,bee one,attic,same,part,9999,bushel,boredom,nothing,no-part,,,,\n"
        + "c-one,cee one,stowage,same,part,,,,,,d-one,,,\n"
        + "d-one,dee one,stowage,same,part,,,,,,c-one,,,\n"
        + "e-one,ee one,stowage,same,part,,,,e-one,,nobody,bonnet,,\n"
        + "f-one,eff one,stowage,same,part,,,,,,,,,,too,many\n",
        encoding="utf-8",
    )
    odd = tmp_path / "odd.csv"
    odd.write_text("drawer,colour\nmap drawer,green\n", encoding="utf-8")
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary([bad, odd])
    found = {(p.file, p.row, p.column, p.code) for p in caught.value.problems}
    assert found == {
        ("bad.csv", 2, "part_id", "bad-id"),
        ("bad.csv", 3, "name", "empty-cell"),
        ("bad.csv", 3, "handed", "unknown-word"),
        ("bad.csv", 3, "positions", "unknown-word"),
        ("bad.csv", 3, "needed_for", "unknown-word"),
        ("bad.csv", 4, "assembly", "unknown-assembly"),
        ("bad.csv", 4, "supply_class", "unknown-supply-class"),
        ("bad.csv", 4, "unit", "unknown-unit"),
        ("bad.csv", 4, "caution", "unknown-caution"),
        ("bad.csv", 4, "companions", "unknown-part"),
        ("bad.csv", 4, "mated_with", "unknown-part"),
        ("bad.csv", 5, "replaced_by", "circular"),
        ("bad.csv", 7, "companions", "names-itself"),
        ("bad.csv", 7, "replaced_by", "unknown-part"),
        ("bad.csv", 7, "names_any", "name-taken"),
        ("bad.csv", 8, "", "too-many-cells"),
        ("odd.csv", 1, "colour", "unknown-column"),
        ("odd.csv", 1, "drawer", "unknown-column"),
        ("odd.csv", 1, "Part", "missing-column"),
    }
    text = str(caught.value)
    assert "bad.csv, row 3, column handed: 'left' is not one of handed, same, reversible" in text


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "empty-file"),
        (b"part_id,name\nx,\xff\xfe\n", "not-utf-8"),
        (b'part_id,name\nx,"open\n', "not-csv"),
        (b"part_id,part_id\nx,y\n", "column-twice"),
    ],
)
def test_a_file_that_cannot_be_read_is_named(tmp_path, content, code):
    club = tmp_path / "club.csv"
    club.write_bytes(content)
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary([club])
    assert [(p.file, p.code) for p in caught.value.problems] == [("club.csv", code)]


def test_a_missing_file_is_a_problem_not_a_crash(tmp_path):
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary([tmp_path / "nowhere.csv"])
    assert caught.value.problems[0].code == "unreadable-file"


def test_a_part_replaced_by_another_leads_to_it(tmp_path):
    club = tmp_path / "club.csv"
    club.write_text(
        "part_id,name,assembly,handed,sort,replaced_by\n"
        "old-drawer,old drawer,stowage,same,part,map-drawer\n"
        "map-drawer,map drawer,stowage,same,part,\n",
        encoding="utf-8",
    )
    vocabulary = load_vocabulary([club])
    assert vocabulary.in_force("old-drawer").part_id == "map-drawer"
    assert vocabulary.by_id("old-drawer").part_id == "old-drawer"


def test_the_whole_of_an_assembly_is_a_part_of_that_assembly():
    parts = {part.part_id: part.assembly for part in load_parts()}
    assert {whole: parts[whole] for whole in whole_parts().values()} == {
        whole: assembly for assembly, whole in whole_parts().items()
    }

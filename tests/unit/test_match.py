"""The match stage on the labelled lines, and on each rule of reading names."""

import csv
import runpy
from pathlib import Path
from types import SimpleNamespace

import polars as pl
import pytest
from rapidfuzz.distance import OSA, JaroWinkler

from partmuster.stages.match import match, no_numbers
from partmuster.stages.matching.asides import set_apart
from partmuster.stages.matching.exact import sides_apart
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.tokens import singular, word_form
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Identification
from partmuster_trade import load_vocabulary

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("match_frames.py"))))
VOCABULARY = made.VOCABULARY
items = made.items
decided = made.decided
matched = made.matched
leading = made.leading
one = made.one
CASES = Path(__file__).parents[1] / "bench" / "cases" / "match_lines.csv"


@pytest.fixture(scope="module")
def labelled():
    with CASES.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    columns = ("description", "side", "position", "assembly", "region")
    keys = items(
        *(
            {"item_key": f"{number:04}", **{name: row[name] or None for name in columns}}
            for number, row in enumerate(rows)
        )
    )
    return rows, keys, matched(keys, region=None)


def test_every_labelled_line_gets_its_part_and_is_accepted_only_where_it_should(labelled):
    rows, _, found = labelled
    first = leading(found)
    assert len(rows) >= 150
    wrong = [
        (row, first[f"{number:04}"])
        for number, row in enumerate(rows)
        if first[f"{number:04}"]["accepted"] != (row["accepted"] == "yes")
        or row["part_id"] not in {"*", first[f"{number:04}"]["target"] or ""}
    ]
    assert wrong == []


def test_the_order_of_the_keys_does_not_matter(labelled):
    _, keys, found = labelled
    again = matched(keys.sample(fraction=1.0, shuffle=True, seed=7), region=None)
    assert again.equals(found)


def test_rows_are_identifications_with_one_to_three_ranks_and_at_most_one_accepted(labelled):
    _, keys, found = labelled
    expected = [c for c in polars_schema(Identification) if not c.startswith("recorded_")]
    assert found.columns == expected
    per_key = found.group_by("key").agg(
        pl.col("rank").sort(), pl.col("accepted").sum().alias("accepted"),
        pl.col("target").n_unique().alias("targets"), pl.len().alias("rows"),
    )  # fmt: skip
    assert per_key.height == keys.height
    assert all(ranks == list(range(1, len(ranks) + 1)) for ranks in per_key["rank"].to_list())
    assert per_key["rows"].max() <= 3
    assert per_key["accepted"].max() == 1
    assert per_key.filter(pl.col("targets") != pl.col("rows")).is_empty()
    assert found.filter(~pl.col("probability").is_between(0, 1)).is_empty()
    assert found.filter(pl.col("accepted") & (pl.col("method") == "fuzzy")).is_empty()
    assert found.filter(pl.col("accepted") & (pl.col("rank") > 1)).is_empty()


def test_every_name_of_the_vocabulary_leads_to_its_part_in_its_region():
    entries = [
        entry for entry in VOCABULARY.names() if VOCABULARY.by_id(entry.part_id).replaced_by is None
    ]
    keys = items(
        *(
            {"item_key": str(number), "description": entry.name,
             "region": None if entry.region == "any" else entry.region}
            for number, entry in enumerate(entries)
        )
    )  # fmt: skip
    found = matched(keys, region=None)
    targets = found.group_by("key").agg("target", pl.col("accepted").any())
    by_key = {key: (set(names), accepted) for key, names, accepted in targets.iter_rows()}
    missed = [e for n, e in enumerate(entries) if e.part_id not in by_key[str(n)][0]]
    assert missed == []
    wrongly = leading(found.filter(pl.col("accepted")))
    assert [
        (e.name, wrongly[str(n)]["target"])
        for n, e in enumerate(entries)
        if str(n) in wrongly and wrongly[str(n)]["target"] != e.part_id
    ] == []
    accepted = sum(accepted for _, accepted in by_key.values())
    assert accepted > 0.95 * len(entries)


# Region and context


def test_a_false_friend_is_settled_by_the_lines_region_before_the_clubs():
    assert one("hood")["target"] == "soft-top"
    assert one("hood", region="US")["target"] == "bonnet"
    open_ = one("hood", options={"region": None})
    assert not open_["accepted"]
    assert "UK: soft top" in open_["reasons"]
    assert "US: bonnet" in open_["reasons"]


def test_the_assembly_settles_between_namesakes_and_is_named_in_the_reasons():
    found = one("fender", region="US", assembly="body")
    assert (found["target"], found["accepted"]) == ("mudguard", True)
    assert "body" in found["reasons"]


def test_the_familys_own_lists_settle_between_namesakes():
    lists = pl.DataFrame({"family": ["Bramble"], "part_id": ["mudguard"]})
    found = one("fender", region="US", family="Bramble", options={"family_parts": lists})
    assert (found["target"], found["accepted"]) == ("mudguard", True)
    other = one("fender", region="US", family="Otter", options={"family_parts": lists})
    assert not other["accepted"]


def test_an_assembly_that_disagrees_lowers_the_probability_of_a_unique_name():
    plain, under = one("dynamo"), one("dynamo", assembly="brakes")
    assert under["accepted"]
    assert under["probability"] < plain["probability"]
    assert "brakes" in under["reasons"]


def test_an_assembly_that_speaks_for_another_regions_reading_keeps_the_word_open():
    abroad = VOCABULARY.by_id("propeller-shaft").assembly
    assert abroad != VOCABULARY.by_id("half-shaft").assembly
    assert one("drive shaft", region="UK")["accepted"]
    found = one("drive shaft", region="UK", assembly=abroad)
    assert not found["accepted"]
    assert "propeller shaft" in found["reasons"]


# Sides, positions, sizes


def test_a_position_word_of_a_name_is_part_of_it_and_no_other_lamp_is_accepted():
    assert one("rear lamp")["target"] == "rear-lamp"
    assert one("lamp", position="rear")["target"] == "rear-lamp"
    for words in ("front lamp", "lamp front", "upper rear mudguard"):
        assert not one(words)["accepted"], words


def test_location_never_speaks_against_a_part_that_is_the_same_everywhere():
    for words in ("headlamp LH", "LH headlamp, front", "road wheel station 3"):
        found = one(words, side="left" if "LH" in words else None, assembly="running-gear"
                    if "wheel" in words else None)  # fmt: skip
        assert found["accepted"], (words, found["reasons"])


def test_a_position_the_part_does_not_have_is_not_accepted_and_the_reason_says_so():
    found = one("mudguard", position="lower")
    assert (found["target"], found["accepted"]) == ("mudguard", False)
    assert "lower" in found["reasons"]


def test_opposite_positions_in_words_and_column_are_not_accepted():
    assert one("front mudguard", position="front")["accepted"]
    assert not one("front mudguard", position="rear")["accepted"]
    assert not one("rear lamp", position="front")["accepted"]


def test_sizes_that_disagree_are_not_accepted(tmp_path):
    club = tmp_path / "club.csv"
    club.write_text(
        "part_id,name,noun_first,assembly,handed,unit,sort,names_any\n"
        'gnome-lamp,gnome lamp 6 volt,"LAMP, GNOME, 6 VOLT",electrics,same,each,part,gnome lamp\n',
        encoding="utf-8",
    )
    vocabulary = load_vocabulary([club])
    keys = items(*({"description": words} for words in ("gnome lamp 6v", "gnome lamp 12v")))
    found = leading(match(keys, vocabulary, no_numbers(), decided()))
    assert found["gnome lamp 6v"]["accepted"]
    other = found["gnome lamp 12v"]
    assert (other["target"], other["accepted"]) == ("gnome-lamp", False)
    assert "'12' (volt)" in other["reasons"]


def test_sizes_marks_counts_and_company_are_set_apart():
    read = set_apart("dynamo 24 volt mk 2 late (needs brushes) c/w pulley x 2")
    assert read.sizes == (("volt", "24"),)
    assert read.notes == ("needs brushes",)
    assert [cut.head for cut in read.cuts] == ["dynamo"]
    assert set_apart('bolt 3/8 bsf x 1"').sizes == (("thread", "3/8bsf"), ("inch", "1"))


def test_words_in_brackets_that_name_another_part_keep_a_line_waiting():
    assert one("headlamp (dented)")["accepted"]
    assert not one("headlamp (bracket only)")["accepted"]


def test_what_comes_with_an_item_is_left_aside_but_not_what_it_is_of():
    assert one("radiator c/w cap and hoses")["target"] == "radiator"
    assert one("dynamo off Otter 3")["accepted"]
    assert not one("bolt off track guard")["accepted"]
    # "with" may belong to a name: the longest name counts
    assert one("quick release pin with chain c/w bolts")["target"] == "pin-chain"


def test_filler_words_that_make_a_name_are_left_out_last():
    for words in ("spare wheel NOS complete", "WHEEL, SPARE old for Otter", "spare wheel assy"):
        assert one(words)["target"] == "spare-wheel", words
    assert one("spare dynamo assy, complete")["target"] == "dynamo"


# Words


@pytest.mark.parametrize(
    ("plural", "word"),
    [
        ("brushes", "brush"), ("bushes", "bush"), ("glasses", "glass"), ("axles", "axle"),
        ("boxes", "box"), ("batteries", "battery"), ("pulleys", "pulley"), ("hoses", "hose"),
        ("brass", "brass"), ("chassis", "chassis"), ("class", "class"), ("lens", "lens"),
        ("lenses", "lens"), ("gas", "gas"), ("boss", "boss"), ("bus", "bus"), ("valves", "valve"),
    ],
)  # fmt: skip
def test_plurals_are_read_trade_safe(plural, word):
    assert singular(plural) == word


def test_possessives_stops_and_spellings_do_not_count():
    assert word_form("driver's") == word_form("drivers'") == "driver"
    assert word_form("gage") == word_form("gauge")
    assert word_form("assy.") == "assy"


def test_likeness_agrees_with_published_values():
    # jellyfish testdata jaro_winkler.csv (MIT), SOURCE-SEEN, to three places
    for first, second, published in (
        ("dixon", "dicksonx", 0.813), ("martha", "marhta", 0.961), ("dwayne", "duane", 0.84),
        ("", "foo", 0.0), ("abc", "xyz", 0.0), ("aaaa", "aaaaa", 0.96), ("jaz", "jal", 0.822),
        ("012abc", "013abcd", 0.879), ("a1bc", "a1be", 0.883),
    ):  # fmt: skip
        assert round(JaroWinkler.similarity(first, second), 3) == pytest.approx(published, abs=1e-9)
    # Two letters changed over are one slip (the definition of optimal string alignment).
    assert OSA.distance("mudgaurd", "mudguard") == 1


def test_reasons_tell_what_was_read():
    assert "'mudgaurd' read as mudguard" in one("mudgaurd")["reasons"]
    assert "cut short" in one("GAUGE, OIL PRESSU")["reasons"]
    unknown = one("grand piano")
    assert unknown["reasons"] == "names nothing in the vocabulary"
    assert unknown["target"] is None


def test_the_reader_of_sides_is_left_out_only_where_it_finds_nothing():
    from partmuster.reading.sides import read_side

    for name in index_of(VOCABULARY).names:
        rest, positions = sides_apart(name.text)
        reading = read_side(name.text)
        assert positions == reading.positions, name.text
        if reading.side is None and not reading.positions and reading.station is None:
            assert rest.strip(" ,.") == reading.rest.strip(" ,."), name.text

"""The match stage on the labelled lines, and on each rule by itself."""

import csv
import datetime as dt
from pathlib import Path

import polars as pl
import pytest
from rapidfuzz.distance import OSA, JaroWinkler

from partmuster.stages.match import learn_numbers, match, no_numbers
from partmuster.stages.matching.asides import set_apart
from partmuster.stages.matching.exact import sides_apart
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.tokens import singular, word_form
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Decision, Identification, ItemKey
from partmuster_trade import load_vocabulary

KEYS = polars_schema(ItemKey)
DECISIONS = polars_schema(Decision)
VOCABULARY = load_vocabulary()
CASES = Path(__file__).parents[1] / "bench" / "cases" / "match_lines.csv"


def items(*rows):
    full = [
        {**dict.fromkeys(KEYS), "item_key": row.get("description") or "none", **row} for row in rows
    ]
    return pl.DataFrame(full, schema=KEYS)


def decided(*rows):
    full = [
        {
            **dict.fromkeys(DECISIONS), "decision_id": f"d{number}", "topic": "part",
            "decided_by": "Gwen", **row,
            "decided_at": dt.datetime.fromisoformat(f"2026-03-{number:02}"),
        }
        for number, row in enumerate(rows, 1)
    ]  # fmt: skip
    return pl.DataFrame(full, schema=DECISIONS)


def numbers(*rows):
    return pl.DataFrame(rows, schema=no_numbers().schema, orient="row")


def matched(keys, known=None, decisions=None, **options):
    options.setdefault("region", "GB")
    options.setdefault("families", ["Otter", "Bramble"])
    known = no_numbers() if known is None else known
    decisions = decided() if decisions is None else decisions
    return match(keys, VOCABULARY, known, decisions, **options)


def leading(found):
    first = found.filter(pl.col("rank") == 1)
    return {row["key"]: row for row in first.iter_rows(named=True)}


def one(description, known=None, decisions=None, options=None, **columns):
    found = matched(items({"description": description, "item_key": "k", **columns}), known,
                    decisions, **(options or {}))  # fmt: skip
    return leading(found)["k"]


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
    from partmuster.reading.sides import read_side  # noqa: PLC0415 - only compared with here

    for name in index_of(VOCABULARY).names:
        rest, positions = sides_apart(name.text)
        reading = read_side(name.text)
        assert positions == reading.positions, name.text
        if reading.side is None and not reading.positions and reading.station is None:
            assert rest.strip(" ,.") == reading.rest.strip(" ,."), name.text


# Numbers


LEFT = ("OT1010", None, "track-guard", "left", None)
DYNAMO = ("OT6001", "Ashmere", "dynamo", None, None)


def test_a_known_number_alone_is_accepted_where_maker_and_hand_agree():
    found = one(None, numbers(DYNAMO), part_number_normal="OT6001")
    assert (found["target"], found["accepted"], found["method"]) == ("dynamo", True, "number")
    assert one(None, numbers(DYNAMO), part_number_normal="OT6001", maker="ASHMERE")["accepted"]
    assert not one(None, numbers(DYNAMO), part_number_normal="OT6001", maker="Other")["accepted"]
    assert one(None, numbers(LEFT), part_number_normal="OT1010", side="left")["accepted"]


@pytest.mark.parametrize("side", ["right", "near", "off"])
@pytest.mark.parametrize("words", [None, "bits"])
def test_a_number_of_one_hand_is_never_accepted_for_another_side(side, words):
    found = one(words, numbers(LEFT), part_number_normal="OT1010", side=side)
    assert found["target"] == "track-guard"
    assert not found["accepted"]
    assert "left-hand" in found["reasons"]


def test_a_name_whose_number_is_the_other_hand_is_not_accepted():
    found = one("track guard RH", numbers(LEFT), part_number_normal="OT1010", side="right")
    assert (found["target"], found["accepted"]) == ("track-guard", False)
    assert one("track guard LH", numbers(LEFT), part_number_normal="OT1010", side="left")[
        "accepted"
    ]


def test_name_and_number_that_disagree_are_both_offered_and_neither_accepted():
    keys = items({"item_key": "k", "description": "radiator", "part_number_normal": "OT6001"})
    found = matched(keys, numbers(DYNAMO))
    assert set(found["target"].to_list()) == {"radiator", "dynamo"}
    assert not found["accepted"].any()
    assert all("disagree" in reasons for reasons in found["reasons"].to_list())


def test_a_misspelt_name_of_another_part_keeps_a_number_waiting():
    assert not one("raditor", numbers(DYNAMO), part_number_normal="OT6001")["accepted"]
    assert one("dynmo", numbers(DYNAMO), part_number_normal="OT6001")["accepted"]


FENDER = ("BR1101", None, "mudguard", "left", "front")
HOOD = ("BR1107", None, "bonnet", None, None)


def test_a_known_number_says_which_namesake_is_meant():
    in_us = one("fender lh front", numbers(FENDER), region="US", side="left", position="front",
                part_number_normal="BR1101")  # fmt: skip
    assert (in_us["target"], in_us["accepted"], in_us["method"]) == ("mudguard", True, "number")
    # No region is stated, the club's says soft top, the number says bonnet.
    found = one("hood", numbers(HOOD), part_number_normal="BR1107")
    assert (found["target"], found["accepted"]) == ("bonnet", True)
    # The line's own region is not overruled by a number.
    assert not one("hood", numbers(HOOD), part_number_normal="BR1107", region="UK")["accepted"]


def test_a_number_never_overrules_a_side_or_position_that_disagrees():
    for columns in ({"side": "right", "position": "front"}, {"side": "left", "position": "rear"},
                    {"side": "left", "position": "lower"}):  # fmt: skip
        for words in ("fender", "mudguard", "thing", None):
            found = one(words, numbers(FENDER), region="US", part_number_normal="BR1101", **columns)
            assert not found["accepted"], (words, columns, found)


def test_short_numbers_shared_numbers_and_casting_numbers_only_suggest():
    assert not one(None, numbers(("A12", None, "dynamo", None, None)),
                   part_number_normal="A12")["accepted"]  # fmt: skip
    assert not one(None, numbers(("ABCDE", None, "dynamo", None, None)),
                   part_number_normal="ABCDE")["accepted"]  # fmt: skip
    two = numbers(("X1000", None, "dynamo", None, None), ("X1000", None, "magneto", None, None))
    assert not one(None, two, part_number_normal="X1000")["accepted"]
    casting = one(None, numbers(DYNAMO), casting_number="OT6001")
    assert (casting["target"], casting["accepted"]) == ("dynamo", False)


def test_numbers_are_learned_only_where_all_lines_accepted_by_name_agree():
    keys = items(
        {"description": "track guard", "side": "left", "item_key": "left"},
        {"description": "track guard", "side": "right", "item_key": "right"},
        {"description": "dynamo", "item_key": "dynamo"},
        {"description": "magneto", "item_key": "magneto"},
        {"description": "raditor", "item_key": "misspelt"},
    )
    found = matched(keys)
    lines = pl.DataFrame(
        [
            ("left", "OT1010", None, "left"), ("left", "OT1010", "Ashmere", "left"),
            ("left", "CAST9", None, "left"), ("right", "CAST9", None, "right"),
            ("dynamo", "OT6001", None, None), ("dynamo", "SAME1", None, None),
            ("magneto", "SAME1", None, None), ("misspelt", "OT3001", None, None),
        ],
        schema=["item_key", "part_number_normal", "maker", "side"], orient="row",
    ).with_columns(pl.lit(None, dtype=pl.String).alias("position"))  # fmt: skip
    learned = learn_numbers(lines, found, VOCABULARY)
    told = {(row["number"], row["maker"]): row for row in learned.iter_rows(named=True)}
    assert set(told) == {("OT1010", None), ("OT1010", "ashmere"), ("OT6001", None)}
    assert told["OT1010", None]["hand"] == "left"
    assert told["OT6001", None]["part_id"] == "dynamo"
    assert one(None, learned, part_number_normal="OT1010", side="left")["accepted"]


# Decisions and other matchers


def test_a_decision_rules_over_name_and_number():
    ruled = one("radiator", decisions=decided({"subject": "k", "answer": "dynamo"}))
    assert (ruled["target"], ruled["accepted"], ruled["method"]) == ("dynamo", True, "decision")
    nothing = one("radiator", decisions=decided({"subject": "k", "answer": "none"}))
    assert (nothing["target"], nothing["accepted"]) == (None, True)


def test_contradictory_decisions_apply_to_nothing_until_one_is_undone():
    both = ({"subject": "k", "answer": "dynamo"}, {"subject": "k", "answer": "magneto"})
    found = one("radiator", decisions=decided(*both))
    assert (found["target"], found["accepted"]) == ("radiator", False)
    assert "decided two ways" in found["reasons"]
    undone = one("radiator", decisions=decided(*both, {"subject": "k", "undoes": "d1"}))
    assert undone["target"] == "magneto"
    again = one("radiator", decisions=decided(*both, {"subject": "k", "undoes": "d1"},
                                              {"subject": "k", "undoes": "d3"}))  # fmt: skip
    assert not again["accepted"]


def test_a_decision_for_an_id_that_is_no_part_is_not_applied():
    found = one("radiator", decisions=decided({"subject": "k", "answer": "no-such-part"}))
    assert (found["target"], found["accepted"]) == ("radiator", False)


class Guesser:
    name = "guesser"
    version = "1"

    def candidates(self, batch, names):
        assert names.columns == ["part_id", "name", "region", "style"]
        return batch.select("item_key").with_columns(
            part_id=pl.lit("dynamo"), probability=pl.lit(1.0), reasons=pl.lit("I am sure")
        )


class Broken:
    name = "broken"
    version = "1"

    def candidates(self, batch, names):
        raise RuntimeError("no model")


def test_a_plugin_matcher_suggests_and_never_accepts():
    failures = []
    found = one("grand piano", options={"other_matchers": [Broken(), Guesser()],
                                        "failures": failures})  # fmt: skip
    assert (found["target"], found["accepted"]) == ("dynamo", False)
    assert "guesser: I am sure" in found["reasons"]
    assert failures == ["matcher 'broken' failed and was left out: no model"]


def test_no_keys_give_no_rows():
    assert matched(items().clear()).is_empty()

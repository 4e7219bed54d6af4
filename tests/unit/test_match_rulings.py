"""The match stage: known numbers, people's decisions, and matchers of plugins."""

import runpy
from pathlib import Path
from types import SimpleNamespace

import polars as pl
import pytest

from partmuster.stages.match import learn_numbers

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("match_frames.py"))))
VOCABULARY = made.VOCABULARY
items = made.items
decided = made.decided
numbers = made.numbers
matched = made.matched
one = made.one


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
    assert failures == ["matcher 'broken' failed and was left out: RuntimeError: no model"]


def test_no_keys_give_no_rows():
    assert matched(items().clear()).is_empty()

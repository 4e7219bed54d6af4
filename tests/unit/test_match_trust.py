"""What is accepted by likeness: from a threshold, never against a side, position, size or mark."""

import runpy
from pathlib import Path
from types import SimpleNamespace

import polars as pl
import pytest

from partmuster.stages.match import match
from partmuster.stages.matching.candidates import Item
from partmuster.stages.matching.confirmed import confirmed_lines
from partmuster.stages.matching.trust import Standard
from partmuster.stages.matching.trust_model import FEATURES, TrustModel, shipped_model
from partmuster.stages.matching.trust_standard import (
    LEAST_CONFIRMED,
    LabelledLine,
    set_standard,
    shipped_lines,
)
from partmuster_trade import load_vocabulary

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("match_frames.py"))))
#: Accepts whatever is likelier than not, so that only a veto can keep a line waiting.
EASY = Standard(shipped_model(), 0.0)
HEADINGS = "part_id,name,noun_first,assembly,handed,unit,sort,names_any\n"


def easily(description, **columns):
    return made.one(description, options={"standard": EASY}, **columns)


@pytest.mark.parametrize("words", ["mudgaurd", "carburator", "speedomter", "gudgon pin"])
def test_likeness_is_accepted_from_a_threshold_and_never_without_one(words):
    assert easily(words)["accepted"]
    assert not made.one(words)["accepted"]
    above = Standard(shipped_model(), 1.0)
    assert not made.one(words, options={"standard": above})["accepted"]


@pytest.mark.parametrize(
    ("words", "columns"),
    [
        ("raer lamp glass", {}), ("reer lamp", {}), ("lamp glas frnot", {}),
        ("mudgaurd", {"position": "lower"}), ("reer lamp", {"position": "front"}),
        ("dynmo rihgt", {}), ("track gaurd lefft", {}), ("uper wishbone arm", {}),
        ("inlt manifold", {}), ("exhuast valve", {}),
    ],
)  # fmt: skip
def test_what_tells_parts_apart_is_never_accepted_put_right_or_against_the_line(words, columns):
    assert not easily(words, **columns)["accepted"]


def own(tmp_path, *rows):
    file = tmp_path / "own.csv"
    lines = [f'{part},{name},"{name.upper()}",electrics,same,each,part,{also}\n'
             for part, name, also in rows]  # fmt: skip
    file.write_text(HEADINGS + "".join(lines), encoding="utf-8")
    vocabulary = load_vocabulary([file])

    def read(*words):
        keys = made.items(*({"description": one} for one in words))
        found = match(keys, vocabulary, made.numbers(), made.decided(), standard=EASY)
        return {row["key"]: row for row in found.filter(pl.col("rank") == 1).iter_rows(named=True)}

    return read


def test_a_size_that_disagrees_or_is_not_said_keeps_a_line_waiting(tmp_path):
    read = own(tmp_path, ("gnome-6", "gnome twizzler 6 volt", ""),
               ("gnome-12", "gnome twizzler 12 volt", ""))  # fmt: skip
    found = read(
        "gnome twizzlr 6 volt", "gnome twizzlr", "gnome twizzlr 24 volt", "gnome twizzlr 6v"
    )
    assert not any(row["accepted"] for words, row in found.items() if "6" not in words)


def test_a_mark_that_disagrees_or_is_not_said_keeps_a_line_waiting(tmp_path):
    read = own(tmp_path, ("gnome-1", "gnome twizzler mk 1", ""),
               ("gnome-2", "gnome twizzler mk 2", "gnome twizzler mk 2 late"))  # fmt: skip
    found = read(
        "gnome twizzlr", "gnome twizzlr mk 3", "gnome twizzler mk 3", "gnome twizzlr mk 2x"
    )
    assert not any(row["accepted"] for row in found.values())


def test_a_part_with_one_mark_is_not_accepted_for_another(tmp_path):
    read = own(tmp_path, ("gnome-2", "gnome twizzler mk 2", "gnome twizzler"))
    found = read("gnome twizzler", "gnome twizzler mk 3", "gnome twizzlr mk 3")
    assert found["gnome twizzler"]["accepted"]
    assert not found["gnome twizzler mk 3"]["accepted"]
    assert not found["gnome twizzlr mk 3"]["accepted"]


def test_words_that_leave_open_which_sibling_is_meant_wait(tmp_path):
    read = own(tmp_path, ("gnome-front", "front gnome twizzler", ""),
               ("gnome-rear", "rear gnome twizzler", ""))  # fmt: skip
    found = read("gnome twizzlr", "gnom twizzler", "frnot gnome twizzler")
    assert not any(row["accepted"] for row in found.values())


class Certain:
    name = "certain"
    version = "1"

    def candidates(self, batch, names):
        return batch.select("item_key").with_columns(
            part_id=pl.lit("dynamo"), probability=pl.lit(1.0), reasons=pl.lit("certain")
        )


def test_a_plugin_however_sure_is_never_accepted_by_itself():
    found = made.one("reer lamp", options={"standard": EASY, "other_matchers": [Certain()]})
    assert not found["accepted"]
    found = made.one("grand piano", options={"standard": EASY, "other_matchers": [Certain()]})
    assert (found["target"], found["accepted"]) == ("dynamo", False)


def test_the_assembly_a_line_stands_under_counts():
    under, elsewhere = (
        made.one("slave cylindr", assembly=assembly) for assembly in ("clutch", "brakes")
    )
    assert under["target"] == elsewhere["target"] == "clutch-slave-cylinder"
    assert under["probability"] > elsewhere["probability"] + 0.1


# The standard

FLAT = TrustModel((0.0,) * len(FEATURES), (0.0, 1.0, 0.0, 0.0))


def lines(count, rank, *, wrong=0, name="line"):
    return [
        LabelledLine(f"{name} {n}", (1.0, rank, 1.0, 0.0), n >= wrong) for n in range(count)
    ]  # fmt: skip


def test_too_few_confirmed_lines_set_no_threshold_however_many_ship():
    tested = set_standard(lines(LEAST_CONFIRMED - 1, 4.0), shipped=lines(500, 4.0, name="s"),
                          model=FLAT)  # fmt: skip
    assert tested.standard.threshold is None
    assert str(LEAST_CONFIRMED) in tested.waits


def test_the_threshold_keeps_to_the_error_and_its_bound_is_told():
    shipped = [*lines(250, 4.0, name="sure"), *lines(60, 1.0, wrong=30, name="unsure")]
    tested = set_standard(lines(60, 4.0), shipped=shipped, model=FLAT)
    threshold = tested.standard.threshold
    assert threshold is not None
    assert FLAT.probability((1.0, 1.0, 1.0, 0.0)) < threshold
    assert (tested.tested, tested.wrong, tested.estimate) == (310, 0, 0.0)
    assert 0.009 < tested.bound < 0.01  # 1 - 0.05 ** (1 / 310)
    assert "0.96 %" in tested.words().replace("%", " %") or "0.96%" in tested.words()


def test_wrong_lines_raise_the_threshold_or_take_it_away():
    shipped = lines(250, 4.0, wrong=20, name="s")
    assert set_standard(lines(60, 4.0), shipped=shipped, model=FLAT).standard.threshold is None
    surer = [*shipped, *lines(400, 8.0, name="surer")]
    found = set_standard(lines(60, 4.0), shipped=surer, model=FLAT)
    assert found.standard.threshold is not None
    assert (found.tested, found.wrong) == (400, 0)


def test_a_smaller_error_needs_more_lines():
    shipped = lines(300, 4.0, name="s")
    assert set_standard(lines(60, 4.0), 1 / 200, shipped, FLAT).standard.threshold is not None
    assert set_standard(lines(60, 4.0), 1 / 2000, shipped, FLAT).standard.threshold is None
    assert set_standard(lines(60, 4.0), 0.0, shipped, FLAT).standard.threshold is None


def test_vetoed_lines_do_not_set_the_threshold_and_words_count_once():
    vetoed = [
        LabelledLine(f"v {n}", (1.0, 4.0, 1.0, 0.0), n > 100, vetoed=True) for n in range(200)
    ]
    same = lines(60, 4.0)
    tested = set_standard(same, shipped=[*lines(300, 4.0, name="s"), *same, *vetoed], model=FLAT)
    assert (tested.tested, tested.wrong) == (360, 0)


def test_a_club_whose_words_are_harder_learns_to_be_less_sure():
    before = FLAT.probability((1.0, 2.0, 1.0, 0.0))
    hard = lines(100, 2.0, wrong=60)
    learned = FLAT.learned([line.about for line in hard], [line.right for line in hard])
    assert learned.probability((1.0, 2.0, 1.0, 0.0)) < before - 0.2
    assert FLAT.learned([], []) == FLAT


def test_what_a_club_decided_is_judged_by_its_words_alone():
    def item(words, **more):
        return Item("k", words, *(more.get(name) for name in (
            "number", "casting", "maker", "supply_class", "side", "position", "family",
            "assembly", "region")))  # fmt: skip

    answers = [(item("mudgaurd", number="OT1"), "mudguard"), (item("carburator"), "dynamo"),
               (item("dynamo"), "dynamo"), (item("grand pianoforte"), "none"),
               (item("raer lamp glass"), "rear-lamp-glass")]  # fmt: skip
    found = {line.words: line for line in confirmed_lines(answers, made.VOCABULARY, "UK")}
    assert found["mudgaurd||"].right
    assert not found["carburator||"].right
    assert "dynamo||" not in found  # a name is no likeness
    assert found["raer lamp glass||"].vetoed


def test_the_lines_that_ship_are_many_and_told_apart():
    shipped = shipped_lines()
    assert len({line.words for line in shipped}) == len(shipped) >= 150
    assert 0.5 < sum(line.right for line in shipped) / len(shipped) < 1

"""Descriptions and vocabularies that are no use: clear words, bounded time, nothing accepted."""

import runpy
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from partmuster.stages.match import match
from partmuster_trade import load_vocabulary
from partmuster_trade.problems import VocabularyError

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).with_name("match_frames.py"))))
HEADINGS = "part_id,name,noun_first,assembly,handed,unit,sort,names_any,replaced_by\n"
SECONDS = 5  # for one line, on a machine that does other things besides


@pytest.fixture(scope="module", autouse=True)
def _vocabulary_loaded():
    made.one("dynamo")


@pytest.mark.parametrize(
    "words",
    [
        "dynamo bracket left " * 5000, "x" * 100_000, "dynamo " + "9" * 99_993, "," * 100_000,
        "1234567890" * 50, "0", "!?;:,.()[]{}" * 80, "(" * 500 + ")" * 400,
        "br " * 300, "a/b/" * 200, "3/8 " * 240, "mk 2/" * 190,
        "gearbox lever clutch pump spring plate cover " * 20, "qzxwv plmok wsxed " * 55,
    ],
    ids=lambda words: f"{words[:12]}*{len(words)}",
)  # fmt: skip
def test_long_or_empty_words_are_settled_in_bounded_time_and_never_accepted(words):
    started = time.perf_counter()
    found = made.one(words)
    assert time.perf_counter() - started < SECONDS
    assert not found["accepted"]
    assert found["reasons"]


@pytest.mark.parametrize(
    "words",
    ["динамо", "dynamo динамо", "d\u0443namo", "dyn\u0430mo", "rear l\u0430mp", "\u202eomanyd",
     "d\u0301y\u0302n\u0303amo", "\u0391\u0392\u0393 pump"],
)  # fmt: skip
def test_letters_of_another_script_are_never_taken_for_a_name(words):
    assert not made.one(words)["accepted"]


def test_controls_and_wide_letters_do_not_hide_a_name():
    assert made.one("dy\x00namo")["target"] == "dynamo"
    assert made.one("\uff44\uff59\uff4e\uff41\uff4d\uff4f")["target"] == "dynamo"


def test_synonyms_taken_twice_and_circles_are_told_by_file_row_and_column(tmp_path):
    file = tmp_path / "own.csv"
    file.write_text(
        HEADINGS
        + 'gnome-lamp,gnome lamp,"LAMP, GNOME",electrics,same,each,part,pixie lamp,pixie-lamp\n'
        + 'pixie-lamp,pixie lamp,"LAMP, PIXIE",electrics,same,each,part,gnome lamp,gnome-lamp\n',
        encoding="utf-8",
    )
    with pytest.raises(VocabularyError) as caught:
        load_vocabulary([file])
    told = str(caught.value)
    assert "own.csv, row 2, column replaced_by: goes in a circle" in told
    assert "own.csv, row 3, column name: 'pixie lamp' already means 'gnome-lamp'" in told
    assert "own.csv, row 3, column names_any: 'gnome lamp' already means 'gnome-lamp'" in told


def test_a_synonym_said_twice_of_one_part_leads_to_it_once(tmp_path):
    file = tmp_path / "own.csv"
    file.write_text(
        HEADINGS
        + 'gnome-lamp,gnome lamp,"LAMP, GNOME",electrics,same,each,part,imp light;IMP LIGHT,\n',
        encoding="utf-8",
    )
    keys = made.items({"description": "imp lights", "item_key": "k"})
    found = match(keys, load_vocabulary([file]), made.numbers(), made.decided())
    assert found.select("target", "accepted").rows() == [("gnome-lamp", True)]

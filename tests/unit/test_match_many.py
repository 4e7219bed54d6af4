"""Descriptions compared many at once come to what each would by itself, however it is spoilt."""

from __future__ import annotations

import numpy as np
import pytest

from partmuster.stages.matching import word_tables
from partmuster.stages.matching.exact import ExactReader
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.near import NearReader
from partmuster.stages.matching.plainly import Seen
from partmuster.stages.matching.tokens import folded
from partmuster.stages.matching.word_tables import Rows
from tests.bench.matching_lines import lines, terms

from .match_frames import VOCABULARY, one

INDEX = index_of(VOCABULARY)


@pytest.fixture(scope="module")
def texts():
    return list(dict.fromkeys(folded(line.text) for line in lines(terms(1500), 700)))


@pytest.fixture(scope="module")
def reader():
    return ExactReader(INDEX, "UK", ("Otter",))


def test_many_texts_and_few_find_the_same_names_with_the_same_sums(monkeypatch):
    postings = word_tables.WordTables(INDEX).by_run
    rng = np.random.default_rng(7)
    features = rng.integers(0, len(postings.starts) - 1, 600).astype(np.int32)
    rows = Rows(np.arange(0, 601, 12, dtype=np.int32), features, rng.random(600))
    few = postings.best(rows, 8)
    monkeypatch.setattr(word_tables, "_WORTH_SPARSE", 1)
    many = postings.best(rows, 8)
    assert len(few[0]) > 300
    for one_way, other in zip(few, many, strict=True):
        assert one_way.tolist() == other.tolist()


def test_what_a_glance_spares_changes_no_reading(reader, texts):
    long_way = ExactReader(INDEX, "UK", ("Otter",))
    long_way._glance.says_no_name = lambda *_: Seen.UNSURE
    spared = 0
    for text in texts:
        quick, whole = reader.read(text), long_way.read(text)
        assert (quick.hits, quick.words, quick.stated) == (whole.hits, whole.words, whole.stated)
        spared += not quick.hits
    assert spared > 100


def test_what_is_near_depends_on_no_other_text(reader, texts):
    read = [described for text in texts[:120] if not (described := reader.read(text)).hits]
    together = NearReader(reader).near(read)
    alone = [NearReader(reader).near([described])[0] for described in read[::9]]
    assert together[::9] == [
        [near_as(found, said) for found, said in zip(row, own, strict=True)]
        for row, own in zip(alone, together[::9], strict=True)
    ]


def near_as(found, said):
    """The same finding, its words made anew by another reader of the same text."""
    assert [meaning.word for meaning in found.said] == [meaning.word for meaning in said.said]
    return found._replace(said=said.said)


@pytest.mark.parametrize(
    ("words", "part"),
    [
        ("mudgaurd", "mudguard"),  # two letters changed over
        ("nudguard", "mudguard"),  # the first letter wrong
        ("rnudguard", "mudguard"),  # read from print
        ("carburett0r", "carburettor"),  # a figure for a letter
        ("crbrttr", "carburettor"),  # without its vowels
        ("distributer capp", "distributor-cap"),  # two words at once
        ("cap distributer", "distributor-cap"),  # and in the other order
    ],
)
def test_slips_misprints_and_short_forms_lead_to_the_part_and_wait(words, part):
    found = one(words)
    assert (found["target"], found["accepted"]) == (part, False)


def test_a_position_that_is_only_likely_is_told_and_never_counts():
    found = one("upqer front plate")
    assert not found["accepted"]
    read = NearReader(ExactReader(INDEX, "UK", ()))
    near = read.near([ExactReader(INDEX, "UK", ()).read("upqer front plate")])[0]
    with_position = [one_ for one_ in near if "upper" in one_.name.words]
    assert with_position
    assert all("something like it" in one_.objection for one_ in with_position)

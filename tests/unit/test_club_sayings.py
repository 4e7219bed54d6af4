"""A club's own sayings: a table in its vocabulary's folder, which importers of prose are handed."""

from __future__ import annotations

import csv

import polars as pl

from partmuster.plugin_api import Claim, Lines
from partmuster.store.own_words import read_own_words
from partmuster_trade import vocabulary_files


class Sayings:
    """Reads a note as one survey line in the words that the club's sayings make of it."""

    name = "sayings"
    version = "1"

    def sniff(self, source):
        return Claim(0.9) if source.suffix == ".said" else None

    def read(self, source):
        words = source.path.read_text(encoding="utf-8").strip()
        path = source.club_words / "sayings.csv"
        rows = csv.DictReader(path.read_text(encoding="utf-8").splitlines())
        means = {row["words"]: row["presence"] for row in rows}
        yield Lines(pl.DataFrame({
            "kind": ["survey"], "words": [words], "vehicle": ["Otter 2"],
            "description": ["dynamo"], "presence": [means.get(words, "not looked at")],
        }))  # fmt: skip


def presence(small):
    return small.rows("SELECT presence FROM survey")


def test_an_importer_is_handed_the_clubs_sayings(small):
    small.host.importers.append(Sayings())
    small.club.vocabulary.mkdir(exist_ok=True)
    sayings = small.club.vocabulary / "sayings.csv"
    sayings.write_text("words,presence\ngone walkabout,missing\n", encoding="utf-8")
    small.write("note.said", "gone walkabout")
    small.load()
    assert presence(small) == [("missing",)]
    sayings.write_text("words,presence\ngone walkabout,fitted\n", encoding="utf-8")
    small.load(later=1)
    assert presence(small) == [("missing",)]
    small.load(later=1, again=True)
    assert presence(small) == [("fitted",)]


def test_sayings_are_no_vocabulary_of_parts(small):
    small.club.vocabulary.mkdir(exist_ok=True)
    (small.club.vocabulary / "sayings.csv").write_text("words,means\na,b\n", encoding="utf-8")
    own = "Part,Assembly,Handed\nTea urn,stowage,no\n"
    (small.club.vocabulary / "parts.csv").write_text(own, encoding="utf-8")
    assert [file.name for file in vocabulary_files(small.club.vocabulary)] == ["parts.csv"]
    _, faults = read_own_words(small.club.vocabulary)
    assert faults is None

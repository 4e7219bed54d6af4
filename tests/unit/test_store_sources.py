import dataclasses
import datetime as dt
import runpy
from pathlib import Path
from types import SimpleNamespace

import polars as pl
import pytest

from partmuster.store.club import Club
from partmuster.store.sources import (
    current_version,
    find_version_by_hash,
    new_source_id,
    omitted_lines,
    shares_with_sources,
)

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).parents[1] / "kill" / "small_club.py")))
LATER = dt.datetime.fromisoformat("2026-03-01 10:00")


def holdings(*names, source_id="s1"):
    return {"holding": made.typed("holding", [{"description": n} for n in names], source_id)}


@pytest.fixture(scope="module")
def con(tmp_path_factory):
    club = Club.open(tmp_path_factory.mktemp("sources") / "club", create=True)
    with club.writing() as con:
        made.put(con, holdings("a", "b"), content_hash="first", name="bert.csv")
        made.put(con, holdings("a", "b", "c", "c"), content_hash="second", version=2,
                 name="bert new.csv", now=LATER)  # fmt: skip
        other = holdings("x", source_id="s2")
        made.put(con, other, content_hash="first", source_id="s2", name="copy.csv")
    with club.reading() as con:
        yield con


def test_a_content_is_found_under_any_name_in_its_newest_use(con):
    found = find_version_by_hash(con, "first")
    assert (found.source_id, found.version, found.newest) == ("s2", 1, True)
    assert find_version_by_hash(con, "second").name == "bert new.csv"
    assert find_version_by_hash(con, "third") is None


def test_a_source_is_found_by_any_of_its_names_and_by_its_id(con):
    for name in ("bert.csv", "bert new.csv", "s1"):
        found = current_version(con, name)
        assert (found.source_id, found.version, found.newest) == ("s1", 2, True)
    assert dataclasses.asdict(current_version(con, "copy.csv"))["source_id"] == "s2"
    assert current_version(con, "nobody.csv") is None


def test_a_new_id_hangs_on_the_name_and_is_not_taken(con):
    first = new_source_id(con, "list.csv")
    assert first == new_source_id(con, "list.csv")
    assert len(first) == 12
    assert new_source_id(con, "other.csv") != first
    assert new_source_id(con, "list.csv", frozenset({first})) != first


def test_equal_lines_are_counted_by_file_and_source(con):
    words = pl.DataFrame({
        "file": [0, 0, 0, 0, 1, 1],
        "words": ["row 1", "row 2", "row 3", "new", "row 3", "other"],
    })  # fmt: skip
    found = shares_with_sources(con, words).rows(named=True)
    assert found == [
        {"file": 0, "source_id": "s1", "name": "bert new.csv", "equal": 3},
        {"file": 0, "source_id": "s2", "name": "copy.csv", "equal": 1},
        {"file": 1, "source_id": "s1", "name": "bert new.csv", "equal": 1},
    ]


def test_a_file_without_lines_is_like_none(con):
    words = pl.DataFrame(schema={"file": pl.UInt32, "words": pl.String})
    assert shares_with_sources(con, words).height == 0


def test_omitted_lines_are_counted_with_their_doubles(con):
    assert omitted_lines(con, "s1", holdings("a", "b", "c", "c", "d")) == (0, 4)
    assert omitted_lines(con, "s1", holdings("a", "c")) == (2, 4)
    assert omitted_lines(con, "s1", {}) == (4, 4)
    assert omitted_lines(con, "unknown", holdings("a")) == (0, 0)

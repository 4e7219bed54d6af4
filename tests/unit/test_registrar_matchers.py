"""Plugins that match: a bad one never stops an import, is named, and the exit code tells."""

from __future__ import annotations

import polars as pl
import pytest
from click.testing import CliRunner

from partmuster import cli


class Panics:
    """Fails as a library in another language does: with no Exception."""

    name = "panics"

    def candidates(self, batch, vocabulary):
        raise SystemExit("out of ideas")


class Guesses:
    """Suggests a dynamo for whatever waits."""

    name = "guesses"

    def candidates(self, batch, vocabulary):
        return batch.select("item_key", part_id=pl.lit("dynamo"), probability=pl.lit(1.0),
                            reasons=pl.lit("it hums"))  # fmt: skip


@pytest.fixture
def stocked(small):
    small.write("stock.csv", "What,Qty,Whose\nhumming pot,1,Bob Birch\nHorn,1,Bob Birch\n")
    small.host.matchers[:] = [Panics(), Guesses()]
    return small


def test_a_matcher_that_fails_is_named_and_the_rest_goes_on(stocked):
    report = stocked.load()
    assert report.failed
    ((_, text),) = report.plugin_failures
    assert "'panics'" in text
    assert "out of ideas" in text
    leading = "SELECT target, accepted FROM identification_now WHERE method = 'fuzzy' AND rank = 1"
    assert stocked.rows(leading) == [("dynamo", False)]


@pytest.mark.parametrize("words", [["rematch"], ["answer", "QUESTION", "horn", "--by", "Ann"]])
def test_matching_again_tells_of_a_failed_matcher(stocked, monkeypatch, words):
    stocked.load()
    stocked.host.failures.clear()
    monkeypatch.setattr(cli, "plugins", lambda **_: stocked.host)
    ((question,),) = stocked.rows("SELECT question_id FROM open_question")
    words = [question if word == "QUESTION" else word for word in words]
    done = CliRunner().invoke(cli.main, ["--club", str(stocked.club.folder), *words])
    assert (done.exit_code, "'panics'" in done.output) == (1, True)

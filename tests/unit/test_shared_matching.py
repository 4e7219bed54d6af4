"""Matching shared among processes gives what one process gives, whatever becomes of the others."""

from __future__ import annotations

import itertools

import polars as pl
import pytest
from polars.testing import assert_frame_equal

from partmuster.running import shared_matching
from partmuster.running.shared_matching import SharedMatching
from partmuster.stages.match import match, no_numbers

from .match_frames import decided, items


@pytest.fixture
def keys(vocabulary, monkeypatch):
    """Some 600 descriptions: names, misspelt names and words that name nothing."""
    monkeypatch.setattr(shared_matching, "WORTH_SHARING", 100)
    monkeypatch.setattr(shared_matching, "_KEYS_AT_ONCE", 50)
    names = sorted({entry.name for entry in vocabulary.names()})[::17]
    said = itertools.chain.from_iterable(
        (name, f"{name} LH", name[:-2], f"thing {number}") for number, name in enumerate(names)
    )
    return items(*({"description": one} for one in dict.fromkeys(itertools.islice(said, 600))))


def shared(vocabulary, keys, *, spoil=lambda _: None):
    with SharedMatching(vocabulary, processes=2) as matching:
        matching.start()
        spoil(matching)
        return matching.match(keys, vocabulary, no_numbers(), decided(), region="GB")


def alone(vocabulary, keys):
    found = match(keys, vocabulary, no_numbers(), decided(), region="GB")
    return found.sort("key", "rank")


def test_two_processes_conclude_what_one_does(vocabulary, keys):
    assert_frame_equal(shared(vocabulary, keys), alone(vocabulary, keys))


def test_a_process_that_dies_costs_no_description(vocabulary, keys):
    def kill(matching):
        matching._started[0].kill()

    assert_frame_equal(shared(vocabulary, keys, spoil=kill), alone(vocabulary, keys))


def test_the_other_process_did_some_of_it_and_ends_with_the_block(vocabulary, keys, monkeypatch):
    answers = []
    real = shared_matching._asked
    monkeypatch.setattr(
        shared_matching, "_asked", lambda *asked: answers.append(real(*asked)) or answers[-1]
    )
    with SharedMatching(vocabulary, processes=2) as matching:
        matching.start()
        for greeting in matching._greetings:
            greeting.join()
        matching.match(keys, vocabulary, no_numbers(), decided())
        (other,) = matching._started
    assert pl.concat(answers).height > 0
    assert other.poll() is not None

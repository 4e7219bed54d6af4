"""Of names from the nearest on the club takes the first it knows, and asks rather than guesses."""

from __future__ import annotations

import polars as pl
import pytest

from partmuster.model import Lines
from partmuster.stages.choosing import choose
from partmuster.stages.layout import lay_out
from tests.bench.note_readings import roster

#: The choices of a statement with the vehicle each names; the vehicle that is taken, or None.
WALKS = {
    "a nearer word that is a name": ({"near 1": "nettle", "1": "Otter 3"}, "nettle"),
    "a nearer word that is none": ({"near 1": "the gate", "1": "Otter 3"}, "Otter 3"),
    "one further off": ({"1": "Lower Deck", "else 1": "Bea", "else 2": "Otter 3"}, "Otter 3"),
    "the nearer of two": ({"1": "Lower Deck", "else 1": "Nettle", "else 2": "Otter 3"}, "Nettle"),
    "a stranger before it": ({"1": "Deck", "stop 1": "Badger 7", "else 2": "Otter 3"}, None),
    "a stranger of a known family": ({"1": "Jorunn's Otter", "else 1": "Otter 3"}, None),
    "of a family the next": ({"1": "Otter", "else 1": "Nettle", "else 2": "Duchess"}, "Duchess"),
    "a nearer family": ({"near 1": "otter", "1": "Nettle"}, None),
    "of two titles that of the file": (
        {"1": "Nettle", "2": "Otter 3", "else 1": "OTTER3"}, "Otter 3"),
    "two titles": ({"1": "Nettle", "2": "Otter 3"}, None),
    "the writer's": ({"1": "Otter", "or 1": "Hester's Otter"}, "Hester's Otter"),
    "one of two writers'": (
        {"1": "Otter", "or 1": "Hester's Otter", "or 2": "Toby's Otter"}, None),
}  # fmt: skip


@pytest.fixture(scope="module")
def names():
    return roster()


@pytest.mark.parametrize("case", WALKS)
def test_the_nearest_that_is_known(names, case):
    choices, taken = WALKS[case]
    rows = [
        {"raw_number": 1, "words": case, "kind": "survey", "description": "dynamo",
         "presence": "missing", "vehicle": vehicle, "choice": choice}
        for choice, vehicle in choices.items()
    ]  # fmt: skip
    [line] = choose(lay_out([Lines(pl.DataFrame(rows))]).lines, names).lines.to_dicts()
    sure = line["kind"] and names.of("vehicle", (line["vehicle"] or "").lower().replace("'", " "))
    assert (line["vehicle"] if sure and sure.state == "known" else None) == taken

"""Holdings that people decided are one: one row, the better statement's fields, never more."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.long import examples

from .conftest import MARCH, MAY, Club

DECIDED = dt.datetime.combine(dt.date(2026, 6, 1), dt.time())


def one_item(club, *lines):
    for line in lines:
        club.name("item", line, min(lines), recorded=DECIDED)


@pytest.fixture
def twice(club):
    """A dynamo in Hester's sheet of March and in a list of May, which has it at Ivo's."""
    club.lines = (
        club.holding("Hester", "dynamo", place="Yard", said_on=MARCH, number="OT6001"),
        club.holding("Ivo", "dynamo", place="Barn", grade="unknown", said_on=MAY,
                     availability="unknown"),
    )  # fmt: skip
    return club


def test_the_later_place_counts_and_what_only_the_earlier_says_is_kept(twice):
    one_item(twice, *twice.lines)
    (row,) = twice.holders("dynamo")
    assert (row["holder"], row["place"], row["condition"]) == ("Ivo", "Barn", "good")
    assert row["part_number"] == "OT6001"
    assert row["trace"].split(";") == [twice.lines[1], twice.lines[0]]
    assert "Hester" in row["match_reason"]


def test_what_one_person_offered_is_no_offer_of_another(twice):
    one_item(twice, *twice.lines)
    assert [row["availability"] for row in twice.holders("dynamo")] == ["unknown"]


def test_a_promise_of_either_holder_binds_it(twice):
    one_item(twice, *twice.lines)
    twice.vehicle("Otter 1")
    twice.promise("Hester", "dynamo", "Otter 1")
    (row,) = twice.holders("dynamo")
    assert row["availability"] == "promised"


def test_a_day_before_the_decision_has_both(twice):
    one_item(twice, *twice.lines)
    assert len(twice.holders("dynamo", as_of=MAY)) == 2
    assert len(twice.holders("dynamo", as_of=MAY, known_now=True)) == 1


def test_where_the_later_has_it_gone_it_is(club):
    one_item(club, club.holding("Hester", "dynamo"),
             club.holding("Hester", "dynamo", gone=True, said_on=MAY, source="later"))  # fmt: skip
    club.holding("Bert", "dynamo")
    assert [row["holder"] for row in club.holders("dynamo")] == ["Bert"]


def test_where_only_the_earlier_has_it_gone_it_came_again(club):
    one_item(club, club.holding("Hester", "dynamo", gone=True),
             club.holding("Hester", "dynamo", said_on=MAY, source="later"))  # fmt: skip
    assert [row["said_on"] for row in club.holders("dynamo")] == [MAY]


_HOLDING = st.tuples(
    st.sampled_from(("dynamo", "lamp")),
    st.sampled_from(("Hester", "Ivo", None)),
    st.sampled_from((0, 1, 2, 5)),
    st.sampled_from((MARCH, MAY)),
    st.booleans(),  # gone
    st.sampled_from((None, 0, 1)),  # which item people say it is
)


@settings(max_examples=examples(15), deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(_HOLDING, min_size=2, max_size=6))
def test_to_be_one_never_makes_more(holdings):
    club, lines = Club(), defaultdict(list)
    for number, (part, who, many, day, gone, item) in enumerate(holdings):
        line = club.holding(who, part, many, said_on=day, gone=gone, source=f"sheet {number}")
        if item is not None:
            lines[item].append(line)
    for group in lines.values():
        if len(group) > 1:
            one_item(club, *group)
    totals = [
        dict(club.connect().execute(
            f"SELECT part_id, sum(at_least) FROM {macro}(NULL, NULL, false) GROUP BY part_id"
        ).fetchall())
        for macro in ("loose_parts", "loose_lines")
    ]  # fmt: skip
    assert all(many <= totals[1][part] for part, many in totals[0].items())
    counted = (
        club.connect()
        .execute(
            "SELECT unnest(string_split(lines, ';')) AS line FROM loose_parts(NULL, NULL, false)"
        )
        .fetchall()
    )
    assert len(counted) == len(set(counted))

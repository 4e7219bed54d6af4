"""Plain SQL gives the same rows as the program: views and macros of the demo club."""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.answers.donors import donors
from partmuster.answers.holders import holders
from partmuster.answers.lacks import lacks
from partmuster.store.frames import worked_out

DAY = dt.date(2026, 6, 30)
MOMENT = f"DATE '{DAY}', true"
VEHICLES = ("Otter 1", "Otter 2")
PARTS = ("dynamo", "mudguard", "windscreen")


@pytest.fixture
def con(demo):
    with demo[0].reading() as con:
        yield con


@pytest.fixture(scope="module")
def listed(demo):
    """What the macro lists for all vehicles: asked whole it takes seconds to plan."""
    with demo[0].reading() as con:
        return worked_out(con, f"FROM lacks_as_of({MOMENT})")


def test_lacks_of_all_vehicles(con, vocabulary, listed):
    answer = lacks(con, vocabulary, as_of=DAY, known_now=True)
    assert answer.rows.equals(listed)
    assert answer.completeness.equals(worked_out(con, f"FROM completeness_as_of({MOMENT})"))
    assert answer.rows.height


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_lacks_and_donors_of_one_vehicle(con, vocabulary, listed, vehicle):
    lacking = lacks(con, vocabulary, vehicle, as_of=DAY, known_now=True).rows
    assert lacking.equals(listed.filter(vehicle=vehicle))
    found = donors(con, vocabulary, vehicle, as_of=DAY, known_now=True)
    ids = con.execute(
        f"SELECT list(vehicle_id) FROM vehicles_as_of({MOMENT}) WHERE vehicle = ?", [vehicle]
    ).fetchall()[0][0]
    parts = found["part"].unique().to_list()
    assert found.equals(worked_out(con, f"FROM donors_as_of(?, ?, {MOMENT})", [ids, parts]))
    assert found.height


@pytest.mark.parametrize("part", PARTS)
def test_holders_of_a_part(con, vocabulary, part):
    rows = holders(con, vocabulary, part, as_of=DAY, known_now=True)
    assert rows.equals(worked_out(con, f"FROM holders_of([?], NULL, NULL, {MOMENT})", [part]))


def test_what_one_question_kept_does_not_colour_the_next(con, vocabulary, listed):
    for vehicle in VEHICLES:
        lacks(con, vocabulary, vehicle, as_of=DAY, known_now=True)
        donors(con, vocabulary, vehicle, as_of=DAY, known_now=True)
    assert worked_out(con, f"FROM lacks_as_of({MOMENT})").equals(listed)
    early = lacks(con, vocabulary, as_of=dt.date(1990, 1, 1), known_now=True).rows
    assert early.height == 0
    assert lacks(con, vocabulary, as_of=DAY, known_now=True).rows.equals(listed)

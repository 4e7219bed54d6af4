"""What must hold of every club: completeness, order, and sums."""

from __future__ import annotations

import datetime as dt

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from partmuster.answers.lacks import lacks
from tests.long import examples

from .conftest import VOCABULARY

PARTS = ("magneto", "lamp", "road-wheel")
STATES = ("fitted", "missing", "stand-in", "off-and-kept", "not-there-to-be-fitted",
          "could-not-be-seen")  # fmt: skip
REQUIRED = {"magneto": 1, "lamp": 2, "road-wheel": 6}

statements = st.lists(
    st.fixed_dictionaries({
        "part": st.sampled_from(PARTS),
        "state": st.sampled_from(STATES),
        "quantity": st.sampled_from((None, 1, 2, (1, None))),
        "location": st.sampled_from((None, None, "station 1", "station 2")),
        "sure": st.booleans(),
        "day": st.integers(1, 4),
    }),
    max_size=5,
)  # fmt: skip
quickly = settings(
    max_examples=examples(12), deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip


def told(make_club, lines, aim="full-original"):
    club = make_club()
    club.vehicle("Otter 1", mark="Mk 1", aim=aim)
    for part, quantity in REQUIRED.items():
        club.requirement(part, quantity)
    for line in lines:
        club.survey(
            "Otter 1", line["part"], line["state"], line["quantity"], location=line["location"],
            sure=line["sure"], said_on=dt.date(2026, 1, line["day"]),
            source=f"{line['day']} {line['sure']}",
        )  # fmt: skip
    return club


@quickly
@given(statements)
def test_the_states_of_an_item_add_up_to_what_is_required(make_club, lines):
    club = told(make_club, lines)
    sums = dict.fromkeys(PARTS, 0)
    for row in club.lack_rows(include_all=True):
        sums[row["part"]] += row["quantity"]
    assert sums == REQUIRED


@quickly
@given(statements, st.sampled_from(PARTS))
def test_finding_a_part_never_makes_the_lower_end_fall(make_club, lines, part):
    """Neither a later sighting of all of it, nor of one in a place, nor a loose one somewhere."""
    before = share_had(told(make_club, lines))
    for found in (
        {"quantity": None, "location": None},
        {"quantity": None, "location": "station 3"},
    ):
        later = {"part": part, "state": "fitted", "sure": True, "day": 20, **found}
        assert share_had(told(make_club, [*lines, later])) >= before - 1e-9
    club = told(make_club, lines)
    club.holding("Ann", part, family="Otter")
    assert share_had(club) == before


WHOLE = ("engine", "magneto", "crankcase", "sump")
of_an_engine = st.lists(
    st.fixed_dictionaries({
        "part": st.sampled_from(("engine", "engine", *WHOLE)),
        "state": st.sampled_from((*STATES, "away-for-repair")),
        "making": st.sampled_from(("unknown", "unknown", "other-original", "adapted")),
        "service": st.sampled_from(("unknown", "unserviceable")),
        "day": st.integers(1, 4),
    }),
    max_size=5,
)  # fmt: skip


def with_an_engine(make_club, lines, aim):
    club = make_club()
    club.vehicle("Otter 1", mark="Mk 1", aim=aim)
    for part in WHOLE:
        club.requirement(part)
    for line in lines:
        club.survey(
            "Otter 1", line["part"], line["state"], making=line["making"],
            service=line["service"], said_on=dt.date(2026, 1, line["day"]),
            source=f"{line['day']}",
        )  # fmt: skip
    return club


@quickly
@given(of_an_engine, st.sampled_from(WHOLE), st.sampled_from(("runner", "full-original")))
def test_nor_where_a_whole_was_gone_or_replaced(make_club, lines, part, aim):
    found = {"part": part, "state": "fitted", "making": "original", "service": "serviceable",
             "day": 20}  # fmt: skip
    before = share_had(with_an_engine(make_club, lines, aim))
    assert share_had(with_an_engine(make_club, [*lines, found], aim)) >= before - 1e-9


@quickly
@given(of_an_engine, st.sampled_from(("runner", "full-original", None)))
def test_a_folded_row_opens_into_as_many_items_as_it_says(make_club, lines, aim):
    club = with_an_engine(make_club, lines, aim)
    for row in club.lack_rows():
        if row["opens_into"]:
            below = {one["part"] for one in club.lack_rows(opened=row["part"])} - {row["part"]}
            listed = {one["part"] for one in club.lack_rows()}
            assert len(below - listed) == row["opens_into"]


@quickly
@given(statements, st.sampled_from(PARTS))
def test_a_glance_that_says_nothing_changes_nothing(make_club, lines, part):
    glance = {"part": part, "state": "could-not-be-seen", "quantity": None, "location": None,
              "sure": True, "day": 20}  # fmt: skip
    before = told(make_club, lines).lacks()
    assert told(make_club, [*lines, glance]).lacks() == before


@quickly
@given(statements)
def test_low_is_at_most_high_and_both_are_shares(make_club, lines):
    club = told(make_club, lines, aim=None)
    for row in lacks(club.connect(), VOCABULARY, "Otter 1").completeness.to_dicts():
        low, high = row["low"], row["high"]
        assert 0 <= low <= high <= 1


def share_had(club):
    """Return the lower end over the whole vehicle, 0 where nothing is required of it."""
    rows = lacks(club.connect(), VOCABULARY, "Otter 1").completeness.to_dicts()
    return next((row["low"] for row in rows if not row["assembly"] and row["sort"] == "part"), 0)

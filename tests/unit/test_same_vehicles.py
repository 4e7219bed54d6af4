"""One vehicle under two names: asked about by its numbers, one when confirmed, and undone."""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.commands.deciding import settle, undo_decision
from partmuster.store.known_names import KnownNames
from partmuster.store.same_vehicles import suspected_vehicles
from tests.unit.conftest import NOW, SmallClub
from tests.unit.test_same_items import BY, asked, copied

REGISTER = """Vehicle,Family,Mark,Works No,Owner,Role,Aim,Place
Otter 1,Otter,Mk 1,1043,Hester Crane,under restoration,runner,Sallowfield Yard
Otter 2,Otter,Mk 2,1077,Ivo Larch,hulk,,Thornwick
"""
#: Another register calls the first one Edna; it has the number in another spelling.
LOG = """Vehicle,Family,Works number,Keeper
Edna,Otter,No. 1043,Hester Crane
"""
PARTS_LIST = """Otter parts list
Part No.,Description,No. off
OT6001,DYNAMO,1
OT6003,WATER PUMP,1
"""
SEEN = """Vehicle,Part,State,Date
Otter 1,Dynamo,missing,2026-05-01
Edna,Water pump,missing,2026-05-02
"""
SHEETS = {"register.csv": REGISTER, "log.csv": LOG, "otter parts.csv": PARTS_LIST, "seen.csv": SEEN}


@pytest.fixture(scope="module")
def loaded(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("vehicles"), vocabulary)
    for name, text in SHEETS.items():
        small.write(name, text)
    small.load()
    return small


@pytest.fixture
def club(loaded, tmp_path):
    return copied(loaded, tmp_path)


def decide(small, what, hours=1):
    (question, *_), = asked(small, "same-vehicle")  # fmt: skip
    settle(small.club.folder, small.host, question, what, BY, None,
           now=NOW + dt.timedelta(hours=hours))  # fmt: skip
    [(decision,)] = small.rows("SELECT decision_id FROM decision ORDER BY decided_at DESC LIMIT 1")
    return decision


def lacking(small, vehicle, **options):
    rows = small.lacks(vehicle, **options).rows.to_dicts()
    return {row["part"] for row in rows if row["state"] == "missing"}


def test_it_is_asked_with_the_number_and_both_names(club):
    (_, question, choices, _), = asked(club, "same-vehicle")  # fmt: skip
    assert "works number 1043" in question
    assert "Otter 1" in question
    assert "Edna" in question
    assert choices == "same;different"


def test_until_it_is_confirmed_they_are_two(club):
    assert lacking(club, "Otter 1") == {"dynamo"}
    assert lacking(club, "Edna") == {"water-pump"}


def test_confirmed_it_is_one_by_either_name(club):
    decide(club, "same")
    for name in ("Otter 1", "Edna"):
        assert lacking(club, name) == {"dynamo", "water-pump"}
    assert asked(club, "same-vehicle") == []
    (row,) = club.rows("SELECT DISTINCT target FROM identification_now WHERE key IN "
                       "('edna', 'otter 1') AND role = 'vehicle'")  # fmt: skip
    assert row == ("otter-1",)


def test_it_counts_from_the_day_it_is_decided(club):
    decide(club, "same", hours=48)
    day = NOW.date()
    assert lacking(club, "Otter 1", as_of=day) == {"dynamo"}
    assert lacking(club, "Otter 1", as_of=day, known_now=True) == {"dynamo", "water-pump"}


def test_taken_back_they_are_two_again(club):
    decision = decide(club, "same")
    undo_decision(club.club.folder, club.host, decision, BY, now=NOW + dt.timedelta(hours=2))
    assert lacking(club, "Otter 1") == {"dynamo"}
    assert len(asked(club, "same-vehicle")) == 1


def test_two_vehicles_with_one_number_stay_reported(club):
    decide(club, "different")
    assert asked(club, "same-vehicle") == []
    (row,) = club.rows("SELECT sort, number, vehicles FROM shared_identity")
    assert row == ("works number", "1043", "Edna; Otter 1")


def test_the_vehicles_that_are_one_share_no_identity(club):
    decide(club, "same")
    assert club.rows("SELECT * FROM shared_identity") == []


def row(vehicle, **more):
    given = dict.fromkeys(("assembly", "family", "club_number", "works_number", "service_number",
                           "civil_number", "mark", "phase", "owner_key", "keeper_key",
                           "place_key"))  # fmt: skip
    return given | {"vehicle_key": vehicle} | more


def suspected(*rows):
    """Return (names, question) of each suspicion."""
    registered = KnownNames(list(rows), [])._registers["vehicle"]
    return [(one.subject, one.question) for one in suspected_vehicles(registered)]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"civil_number": "ABC 123D"}, {"civil_number": "abc123d"}),
        ({"service_number": "04 YR 12"}, {"service_number": "04-YR-12"}),
        ({"works_number": "0143", "family": "Otter"}, {"works_number": "143"}),
        ({"club_number": "7", "family": "otter"}, {"club_number": "07", "family": "otter"}),
    ],
)
def test_a_number_of_one_sort_is_compared_whatever_its_spelling(one, other):
    assert [names for names, _ in suspected(row("edna", **one), row("old faithful", **other))] == [
        "edna|old faithful"
    ]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        # each maker counts its own
        ({"works_number": "143", "family": "otter"}, {"works_number": "143", "family": "bramble"}),
        ({"club_number": "7", "family": "otter"}, {"club_number": "7", "family": "bramble"}),
        ({"club_number": "7"}, {"club_number": "7"}),  # of which family is not said
        ({"works_number": "143"}, {"service_number": "143"}),  # of another sort
        ({"works_number": "unknown"}, {"works_number": "unknown"}),
        ({"civil_number": "?"}, {"civil_number": "?"}),
        ({"works_number": "143"}, {"works_number": "144"}),
    ],
)
def test_what_tells_nothing_is_not_asked_about(one, other):
    assert suspected(row("edna", **one), row("old faithful", **other)) == []


def test_numbers_that_contradict_are_told_with_the_question():
    one = row("edna", family="otter", works_number="143", civil_number="ABC 1")
    other = row("old faithful", family="otter", works_number="143", civil_number="XYZ 2")
    [(_, question)] = suspected(one, other)
    assert "works number 143" in question
    assert "civil number" in question
    assert "differ" in question

import datetime as dt
import runpy
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from partmuster.store.club import Club
from partmuster.store.decisions import record_decision
from partmuster.store.names import identify_names, plain, slug

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).parents[1] / "kill" / "small_club.py")))
NOW = dt.datetime.fromisoformat("2026-02-01 10:00")


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    return Club.open(tmp_path_factory.mktemp("empty") / "club", create=True)


@pytest.fixture
def con(empty, tmp_path):
    with Club(shutil.copytree(empty.folder, tmp_path / "club")).writing() as con:
        yield con


def say(con, source_id="s1", **kinds):
    lines = {kind: made.typed(kind, rows, source_id) for kind, rows in kinds.items()}
    made.put(con, lines, source_id=source_id, name=f"{source_id}.csv")


def meant(con, role, key):
    return con.execute(
        "SELECT target, accepted FROM identification_now WHERE role = ? AND key = ? ORDER BY rank",
        [role, key],
    ).fetchall()


def test_names_are_compared_without_what_tells_nothing():
    assert plain("Otter No. 03") == plain("OTTER-3") == "otter 3"
    assert plain("No") == "no"
    assert slug("Bert's  Shed") == "berts-shed"
    assert slug("?").startswith("unnamed-")
    assert slug("?") != slug("!")


def test_a_vehicle_is_known_by_every_one_of_its_identities(con):
    vehicle = {"vehicle": "Daisy", "family": "Otter", "club_number": "3", "works_number": "W/117",
               "service_number": "T 4452", "civil_number": "ABC 12"}  # fmt: skip
    seen = ["Daisy", "3", "Otter 3", "otter no. 03", "w/117", "T4452", "T 4452", "abc-12"]
    say(con, vehicle=[vehicle],
        survey=[{"description": "idler", "vehicle": name} for name in seen])  # fmt: skip
    for name in seen:
        assert meant(con, "vehicle", name.casefold()) == [("otter-3", True)], name


def test_a_vehicle_without_a_number_is_called_by_its_name(con):
    say(con, vehicle=[{"vehicle": "Big Bramble", "family": "Bramble"}])
    assert meant(con, "vehicle", "big bramble") == [("big-bramble", True)]


def test_a_club_number_with_letters_is_the_id_itself(con):
    say(con, vehicle=[{"vehicle": "Daisy", "family": "Otter", "club_number": "OT-3"}])
    assert meant(con, "vehicle", "daisy") == [("ot-3", True)]


def test_lines_on_assemblies_belong_to_the_vehicle_they_name(con):
    say(con, vehicle=[
        {"vehicle": "Daisy", "family": "Otter", "club_number": "3"},
        {"vehicle": "Otter 3", "assembly": "hull", "mark": "Mk 1"},
        {"vehicle": "Rose", "assembly": "hull", "mark": "Mk 2"},
    ])  # fmt: skip
    assert meant(con, "vehicle", "otter 3") == [("otter-3", True)]
    assert meant(con, "vehicle", "rose") == [("rose", True)]


def test_a_register_that_calls_a_vehicle_by_its_number_means_the_same_vehicle(con):
    say(con, vehicle=[{"vehicle": "Daisy", "family": "Otter", "club_number": "3"}])
    say(con, "s2", vehicle=[{"vehicle": "Otter 3", "civil_number": "ABC 12"}],
        survey=[{"description": "idler", "vehicle": "ABC 12"}])  # fmt: skip
    assert meant(con, "vehicle", "abc 12") == [("otter-3", True)]


def test_one_identity_on_two_vehicles_is_left_to_a_person(con):
    say(con, vehicle=[{"vehicle": "Daisy", "works_number": "W1"},
                      {"vehicle": "Rose", "works_number": "W1"}],
        survey=[{"description": "idler", "vehicle": "W1"}])  # fmt: skip
    assert meant(con, "vehicle", "w1") == [("daisy", False), ("rose", False)]
    assert meant(con, "vehicle", "daisy") == [("daisy", True)]
    asked = con.execute("SELECT subject, choices FROM question WHERE topic = 'vehicle'").fetchall()
    assert asked == [("w1", "daisy;rose")]


def test_two_families_may_use_the_same_number(con):
    say(con, vehicle=[{"vehicle": "Daisy", "family": "Otter", "club_number": "3"},
                      {"vehicle": "Rose", "family": "Bramble", "club_number": "3"}],
        survey=[{"description": "idler", "vehicle": name}
                for name in ("Otter 3", "Bramble 3", "3")])  # fmt: skip
    assert meant(con, "vehicle", "otter 3") == [("otter-3", True)]
    assert meant(con, "vehicle", "bramble 3") == [("bramble-3", True)]
    assert meant(con, "vehicle", "3") == [("bramble-3", False), ("otter-3", False)]


def test_two_names_with_one_number_are_two_vehicles_until_somebody_decides(con):
    say(con, vehicle=[{"vehicle": "Daisy", "family": "Otter", "club_number": "3"}])
    say(con, "s2", vehicle=[{"vehicle": "Rose", "family": "Otter", "club_number": "3"}],
        survey=[{"description": "idler", "vehicle": "Otter 3"}])  # fmt: skip
    assert [accepted for _, accepted in meant(con, "vehicle", "otter 3")] == [False, False]
    record_decision(con, decision_id="d1", topic="vehicle", subject="otter 3", answer="Daisy",
                    decided_by="Ada", decided_at=NOW)  # fmt: skip
    identify_names(con, NOW)
    assert meant(con, "vehicle", "otter 3") == [("otter-3-daisy", True)]


def test_people_go_by_name_code_and_other_names(con):
    say(
        con,
        holder=[{"holder": "Albert Hale", "code": "H1", "known_as": "Bert; B. Hale"}],
        holding=[{"description": "idler", "holder": name} for name in ("Bert", "B Hale", "h1")],
    )
    for name in ("albert hale", "bert", "b hale", "h1"):
        assert meant(con, "holder", name) == [("albert-hale", True)], name


def test_a_name_two_members_go_by_is_left_to_a_person(con):
    say(con, holder=[{"holder": "Albert Hale", "known_as": "Bert"},
                     {"holder": "Bertram Moss", "known_as": "Bert"}],
        holding=[{"description": "idler", "holder": "Bert"}])  # fmt: skip
    assert meant(con, "holder", "bert") == [("albert-hale", False), ("bertram-moss", False)]
    asked = con.execute("SELECT topic, subject FROM question WHERE topic = 'holder'").fetchall()
    assert asked == [("holder", "bert")]


def test_people_and_places_nobody_listed_stand_for_themselves_and_vehicles_do_not(con):
    say(con, holding=[{"description": "idler", "holder": "The Man at the Fair", "place": "Barn"}],
        survey=[{"description": "idler", "vehicle": "Thistle"}])  # fmt: skip
    assert meant(con, "holder", "the man at the fair") == [("the-man-at-the-fair", True)]
    assert meant(con, "place", "barn") == [("barn", True)]
    assert meant(con, "vehicle", "thistle") == [(None, False)]
    reasons = con.execute("SELECT reasons FROM identification WHERE role = 'holder'").fetchall()
    assert reasons == [("not in the members' list",)]


def test_decisions_rule_over_names(con):
    say(con, vehicle=[{"vehicle": "Daisy"}, {"vehicle": "Rose"}],
        survey=[{"description": "idler", "vehicle": name}
                for name in ("Old Girl", "Rose", "the digger", "Both", "Late One")])  # fmt: skip
    told = [("old girl", "daisy"), ("rose", "Daisy"), ("the digger", "none"), ("both", "daisy"),
            ("both", "rose"), ("late one", "not yet registered")]  # fmt: skip
    for number, (subject, answer) in enumerate(told):
        record_decision(con, decision_id=f"d{number}", topic="vehicle", subject=subject,
                        answer=answer, decided_by="Ada", decided_at=NOW)  # fmt: skip
    identify_names(con, NOW)
    assert meant(con, "vehicle", "old girl") == [("daisy", True)]
    assert meant(con, "vehicle", "rose") == [("daisy", True)]
    assert meant(con, "vehicle", "the digger") == [(None, False)]
    assert meant(con, "vehicle", "both") == [(None, False)]
    assert meant(con, "vehicle", "late one") == [(None, False)]
    say(con, "s2", vehicle=[{"vehicle": "Not yet registered"}])
    assert meant(con, "vehicle", "late one") == [("not-yet-registered", True)]
    settled = con.execute("SELECT key FROM settled_name WHERE role = 'vehicle'").fetchall()
    assert ("the digger",) in settled
    assert ("both",) not in settled


def test_working_names_out_again_changes_nothing(con):
    say(con, vehicle=[{"vehicle": "Daisy"}], holding=[{"description": "idler", "holder": "Bert"}])
    before = con.execute("SELECT * FROM identification ORDER BY ALL").fetchall()
    assert identify_names(con, NOW) == 0
    assert con.execute("SELECT * FROM identification ORDER BY ALL").fetchall() == before

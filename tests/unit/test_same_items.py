"""One item in the sheets of two members: asked about, counted once when confirmed, and undone."""

from __future__ import annotations

import csv
import datetime as dt
import io
import itertools
import shutil
from pathlib import Path

import pytest

from partmuster.commands.deciding import settle, undo_decision
from partmuster.model import PartmusterError
from partmuster.moving.export import export_club
from partmuster.moving.rebuild import rebuild_club
from partmuster.runner import import_archived
from partmuster.store.club import Club
from partmuster.store.sources import current_version
from tests.unit.conftest import NOW, SmallClub

MEMBERS = """Name,Code,Region,Country,Town
Hester Crane,A1,East,GB,Sallowfield
Ivo Larch,B2,West,GB,Thornwick
Bert Oakes,C3,North,GB,Millbeck
"""
REGISTER = """Vehicle,Family,Mark,Owner,Role,Aim
Otter 1,Otter,Mk 1,Ivo Larch,under restoration,runner
"""
PARTS_LIST = """Otter parts list
Part No.,Description,No. off
OT6001,DYNAMO,1
OT6003,WATER PUMP,1
"""
SEEN = """Vehicle,Part,State,Date
Otter 1,Dynamo,missing,2026-01-05
Otter 1,Water pump,missing,2026-01-05
"""
#: Hester's own list.
CRANE = """What,How many,State,Where is it,Whose,Available,Date,Notes
Dynamo,1,good,Sallowfield Yard,Hester Crane,for sale,2026-03-01,
Water pump,2,fair,Sallowfield Yard,Hester Crane,for sale,2026-03-01,
Silencer,1,good,Sallowfield Yard,Hester Crane,for sale,2026-03-01,
"""
#: The club's list, written two months later: Hester's dynamo again, worse now; others' parts.
STOCK = """Part,Qty,Condition,Location,Holder,Date
dynamo,1,fair,Sallowfield Yard,Hester Crane,2026-05-10
water pump,1,good,Millbeck,Bert Oakes,2026-05-10
silencer,1,good,Thornwick,Ivo Larch,2026-05-10
"""
SHEETS = {"members.csv": MEMBERS, "register.csv": REGISTER, "otter parts.csv": PARTS_LIST,
          "seen.csv": SEEN, "crane.csv": CRANE, "stock.csv": STOCK}  # fmt: skip
BY = "Registrar"


@pytest.fixture(scope="module")
def loaded(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("items"), vocabulary)
    for name, text in SHEETS.items():
        small.write(name, text)
    small.load()
    return small


@pytest.fixture
def club(loaded, tmp_path):
    return copied(loaded, tmp_path)


def copied(small, folder):
    copy = SmallClub.__new__(SmallClub)
    copy.__dict__ |= vars(small)
    copy.sheets = Path(shutil.copytree(small.sheets, folder / "sheets"))
    copy.club = Club(shutil.copytree(small.club.folder, folder / "club"))
    return copy


def asked(small, topic="same-item"):
    return small.rows(
        "SELECT question_id, question, choices, subject FROM open_question WHERE topic = ? "
        "ORDER BY question", topic)  # fmt: skip


def answer(small, what, topic="same-item", hours=1):
    (question, *_), = asked(small, topic)  # fmt: skip
    now = NOW + dt.timedelta(hours=hours)
    settle(small.club.folder, small.host, question, what, BY, None, now=now)
    [(decision,)] = small.rows("SELECT decision_id FROM decision ORDER BY decided_at DESC LIMIT 1")
    return decision


def dynamos(small, **options):
    return small.holders("dynamo", **options).to_dicts()


def how_many(rows):
    return sum(row["at_least"] for row in rows)


def test_it_is_asked_once_with_both_sheets_the_reasons_and_a_score(club):
    (_, question, choices, _), = asked(club)  # fmt: skip
    assert "crane.csv" in question
    assert "stock.csv" in question
    assert "same holder" in question
    assert "same place" in question
    assert "%" in question
    assert choices == "same;different"


def test_until_it_is_confirmed_both_are_shown(club):
    assert [row["condition"] for row in dynamos(club)] == ["good", "fair"]


def test_confirmed_it_is_one_item_as_it_was_seen_last_with_both_lines(club):
    before = {row["trace"] for row in dynamos(club)}
    answer(club, "same")
    (row,) = dynamos(club)
    assert (row["at_least"], row["condition"], row["holder"]) == (1, "fair", "Hester Crane")
    assert row["availability"] == "offered"  # the later list does not say
    assert set(row["trace"].split(";")) == before
    assert "crane.csv" in row["match_reason"]
    assert "good" in row["match_reason"]  # what was said before is kept
    assert asked(club) == []
    assert len(club.holders("water pump")) == 2


def test_a_lack_has_one_donor_of_it(club):
    assert len(club.donors("Otter 1", "dynamo")) == 2
    answer(club, "same")
    (row,) = club.donors("Otter 1", "dynamo").to_dicts()
    assert (row["standing"], row["condition"]) == ("offered", "fair")
    assert row["trace"].count("holding-") == 2


def test_both_lines_are_traced_with_who_said_they_are_one(club):
    from partmuster.answers.trace import trace

    answer(club, "same")
    (row,) = dynamos(club)
    with club.club.reading() as con:
        rows = trace(con, row["trace"]).to_dicts()
    told = [row for row in rows if row["names"] == "item"]
    assert {row["file"] for row in told} == {"crane.csv", "stock.csv"}
    assert all(BY in row["decided_by"] for row in told)


def test_the_decision_counts_from_the_day_it_is_taken(club):
    answer(club, "same", hours=24 * 5)
    day = (NOW + dt.timedelta(days=2)).date()
    assert how_many(dynamos(club, as_of=day)) == 2
    assert how_many(dynamos(club, as_of=day, known_now=True)) == 1
    assert how_many(dynamos(club, as_of=day + dt.timedelta(days=3))) == 1


def test_before_the_later_sighting_the_earlier_one_counts_alone(club):
    answer(club, "same")
    (row,) = dynamos(club, as_of=dt.date(2026, 4, 1), known_now=True)
    assert (row["condition"], row["trace"].count("holding-")) == ("good", 1)


def test_taken_back_they_are_two_and_asked_about(club):
    decision = answer(club, "same")
    undo_decision(club.club.folder, club.host, decision, BY, now=NOW + dt.timedelta(hours=2))
    assert how_many(dynamos(club)) == 2
    assert len(asked(club)) == 1


def test_two_items_are_never_asked_about_again(club):
    answer(club, "different")
    club.load("crane.csv", later=1, again=True)
    assert asked(club) == []
    assert how_many(dynamos(club)) == 2


def test_people_who_disagree_settle_nothing(club):
    (question, *_), = asked(club)  # fmt: skip
    for hours, what in ((1, "same"), (2, "different")):
        settle(club.club.folder, club.host, question, what, what, None,
               now=NOW + dt.timedelta(hours=hours))  # fmt: skip
    assert how_many(dynamos(club)) == 2
    assert len(asked(club)) == 1


def test_another_word_is_no_answer(club):
    (question, *_), = asked(club)  # fmt: skip
    with pytest.raises(PartmusterError, match="same, different"):
        settle(club.club.folder, club.host, question, "maybe", BY, None)


def test_sold_says_so_of_the_item_whatever_the_older_sheet_has(club):
    answer(club, "same")
    newer = STOCK.replace("Date\n", "Date,Remarks\n").replace("05-10\n", "05-10,\n")
    there = "Hester Crane,2026-05-10,"
    gone = newer.replace(there, "Hester Crane,2026-06-10,scrapped")
    club.write("stock.csv", gone)
    club.load("stock.csv", later=3)
    assert dynamos(club) == []


def test_it_survives_export_and_rebuild(club, tmp_path):
    answer(club, "same")
    before = [dynamos(club, as_of=day) for day in (None, NOW.date() - dt.timedelta(days=1))]
    export_club(club.club, tmp_path / "out")
    rebuild_club(tmp_path / "out", tmp_path / "again")
    club.club = Club(tmp_path / "again")
    assert [dynamos(club, as_of=day) for day in (None, NOW.date() - dt.timedelta(days=1))] == before


def test_the_order_of_import_does_not_matter(club, tmp_path, vocabulary):
    (tmp_path / "other").mkdir()
    other = SmallClub(tmp_path / "other", vocabulary)
    for name, text in reversed(SHEETS.items()):
        other.write(name, text)
        other.load(name)
    assert asked(other) == asked(club)
    for small in (club, other):
        answer(small, "same")
    assert dynamos(other) == dynamos(club)


def test_reading_the_sheets_again_changes_nothing(club):
    answer(club, "same")
    before = dynamos(club)
    with club.club.reading() as con:
        versions = [current_version(con, name) for name in ("crane.csv", "stock.csv")]
    import_archived(club.club, club.host, versions, club.vocabulary, now=NOW + dt.timedelta(days=1))
    assert dynamos(club) == before
    assert asked(club) == []


CASES = Path(__file__).resolve().parents[1] / "bench" / "cases" / "same_items.csv"


def test_of_a_set_of_twins_and_look_alikes_nearly_all_and_hardly_others_are_asked(
    tmp_path, vocabulary
):
    """The set was written, with which lines are one thing, before the rules."""
    small = SmallClub(tmp_path, vocabulary)
    members = MEMBERS + "Gwen Saddler,D4,South,GB,Saddler Works\n"
    small.write("members.csv", members)
    with CASES.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    things, at = {}, {}
    heads = {"what": "What", "qty": "How many", "state": "State", "where": "Where is it",
             "whose": "Whose", "part_no": "Part No", "notes": "Notes", "day": "Date"}  # fmt: skip
    for sheet, lines in itertools.groupby(rows, lambda row: row["sheet"]):
        text = io.StringIO()
        writer = csv.writer(text)
        writer.writerow(heads.values())
        for number, line in enumerate(lines, start=2):
            writer.writerow(line[name] for name in heads)
            at[f"{sheet}.csv", number] = line["thing"]
            things.setdefault(line["thing"], set()).add((f"{sheet}.csv", number))
        small.write(f"{sheet}.csv", text.getvalue())
    small.load()
    where = {
        line: (file, row)
        for line, file, row in small.rows("SELECT line_id, file, row FROM line_address")
    }
    found = {
        frozenset(where[line] for line in subject.split("|"))
        for (subject,) in small.rows("SELECT subject FROM open_question WHERE topic = 'same-item'")
    }
    true = {
        frozenset(pair)
        for places in things.values()
        for pair in itertools.combinations(sorted(places), 2)
    }
    missed = [sorted(pair) for pair in true - found]
    needless = [sorted(pair) for pair in found - true]
    assert len(found & true) / len(true) >= 0.95, missed
    assert len(found & true) / len(found) >= 0.9, needless

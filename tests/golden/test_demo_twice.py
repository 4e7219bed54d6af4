"""Nothing in the demo club is counted twice, also when a second sheet has Hester's parts again."""

from __future__ import annotations

import datetime as dt
import shutil

import partmuster_plugins.spreadsheets
from partmuster.answers.holders import holders
from partmuster.commands.deciding import settle
from partmuster.host import load_plugins
from partmuster.runner import import_files
from partmuster.running.words import identifier_of
from partmuster.store.club import Club

#: Hester's left track guard once more, seen later; and a guard of Bert Oakes', which is another.
STORES = """Part,Qty,Condition,Location,Holder,Date
track guard LH,1,fair,Quill Barn,Hester Crane,2026-07-10
track guard LH,1,fair,Millbeck,Bert Oakes,2026-07-10
"""
IMPORTED = dt.datetime(2026, 11, 21, 12, 0, 0)  # noqa: DTZ001 - a club keeps local time


def held_by_hester(club, vocabulary):
    with club.reading() as con:
        rows = holders(con, vocabulary, "track guard lh", identify=identifier_of(con, vocabulary))
    return [row for row in rows.to_dicts() if row["holder"] == "Hester Crane"]


def test_an_item_of_two_sheets_is_asked_about_and_counts_once(demo, vocabulary, tmp_path):
    club = Club(shutil.copytree(demo[0].folder, tmp_path / "club"))
    before = held_by_hester(club, vocabulary)
    (tmp_path / "stores.csv").write_text(STORES, encoding="utf-8")
    host = load_plugins([partmuster_plugins.spreadsheets], outside=False)
    import_files(club, host, [tmp_path / "stores.csv"], vocabulary, now=IMPORTED)
    assert len(held_by_hester(club, vocabulary)) == len(before) + 1
    with club.reading() as con:
        asked = con.execute(
            "SELECT question_id, question FROM open_question WHERE topic LIKE 'same-%'"
        ).fetchall()
    [(question, words)] = asked
    assert "stores.csv" in words
    assert "crane_spares.csv" in words
    settle(club.folder, host, question, "same", "Registrar", None, now=IMPORTED)
    after = held_by_hester(club, vocabulary)
    assert sum(row["at_least"] for row in after) == sum(row["at_least"] for row in before)
    assert [row["condition"] for row in after if ";" in row["trace"]] == ["fair"]


def test_no_two_lines_of_the_demo_itself_are_one(demo):
    with demo[0].reading() as con:
        assert (
            con.execute("SELECT question FROM open_question WHERE topic LIKE 'same-%'").fetchall()
            == []
        )
        assert con.execute("SELECT * FROM shared_identity").fetchall() == []

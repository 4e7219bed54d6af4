"""A club that has been lived in: two versions of a source, decisions, one undone, a moved part."""

from __future__ import annotations

import datetime as dt

import polars as pl

MEMBERS = """Name,Code,Region,Country,Town,Phone,Email
Hester Crane,A1,East,GB,Sallowfield,01632 960111,hester@ashmere.example
Ivo Larch,B2,West,GB,Thornwick,01632 960222,ivo@ashmere.example
Bert Oakes,C3,North,GB,Millbeck,01632 960333,bert@ashmere.example
"""
REGISTER = """Vehicle,Family,Mark,Owner,Role,Aim,Place
Otter 1,Otter,Mk 1,Hester Crane,under restoration,runner,Sallowfield Yard
Otter 2,Otter,Mk 2,Ivo Larch,hulk,,Thornwick
"""
PARTS_LIST = """Otter parts list
Part No.,Description,No. off
OT6001,DYNAMO,1
OT6002,SILENCER,1
OT6003,WATER PUMP,1
"""
SEEN = """Vehicle,Part,State,Date
Otter 1,Dynamo,missing,2026-05-01
Otter 1,Silencer,fitted,2026-05-01
Otter 2,Water pump,fitted,2026-05-02
"""
SPARES = """What,How many,State,Where is it,Whose,Date,Notes
Dynamo,1,good,Sallowfield Yard,Hester Crane,2026-04-01,=ask Hester
Water pump,2,good,Thornwick,Ivo Larch,2026-04-01,"a ""runner"", he says"
Big round thing,1,fair,Millbeck,Bert Oakes,2026-04-01,
Fan belt,3,NOS,Millbeck,Bert Oakes,2026-04-01,'as new'
Headlamp,1,good,Thornwick,Ivo Larch,31/02/2026,
"""
#: The dynamo has gone to Ivo, a pump was used, the fan belts were sold.
SPARES_NEWER = """What,How many,State,Where is it,Whose,Date,Notes
Dynamo,1,good,Thornwick,Ivo Larch,2026-11-28,
Water pump,1,good,Thornwick,Ivo Larch,2026-04-01,"a ""runner"", he says"
Big round thing,1,fair,Millbeck,Bert Oakes,2026-04-01,
Headlamp,1,good,Thornwick,Ivo Larch,31/02/2026,
"""
#: Before anything was recorded, after the first version, after the second, and now.
DAYS = (dt.date(2026, 6, 30), dt.date(2026, 11, 25), dt.date(2026, 12, 5), None)
#: Each day as it was recorded by then, and as it is known today.
MOMENTS = [(day, known_now) for day in DAYS for known_now in (False, True)][:-1]


def live_in(small):
    """Fill a club (``SmallClub``) as a registrar would in some weeks."""
    from partmuster.commands.deciding import settle, undo_decision

    for name, text in (
        ("members.csv", MEMBERS), ("register.csv", REGISTER), ("otter parts.csv", PARTS_LIST),
        ("seen.csv", SEEN), ("spares.csv", SPARES),
    ):  # fmt: skip
        small.write(name, text)
    small.load()
    (question,) = small.rows(
        "SELECT question_id FROM open_question WHERE question LIKE '%Big round thing%'"
    )[0]
    whom = (small.club.folder, small.host)
    for hour, part in ((1, "radiator"), (3, "dynamo")):
        now = small.now + dt.timedelta(hours=hour)
        settle(*whom, question, part, "Registrar", "seen it myself", now=now)
        if part == "radiator":
            [(decision,)] = small.rows("SELECT decision_id FROM decision")
            undo_decision(*whom, decision, "Registrar", now=now + dt.timedelta(hours=1))
    small.write("spares.csv", SPARES_NEWER)
    small.load(later=10)
    (small.club.vocabulary / "README.txt").write_text("ours", encoding="utf-8")
    return small


def answers(small, day=None, known_now=False):
    """Return the rows of all answers for a day, one asked after the other."""
    from partmuster.answers.donors import donors
    from partmuster.answers.holders import holders
    from partmuster.answers.lacks import lacks
    from partmuster.running.words import identifier_of

    asked = {"as_of": day, "known_now": known_now}
    with small.club.reading() as con:
        whom = (con, small.vocabulary)
        identify = identifier_of(*whom)
        lacking = lacks(*whom, **asked)
        found = {
            "lacks": lacking.rows,
            "completeness": lacking.completeness,
            "donors": donors(*whom, include_all=True, identify=identify, **asked),
            **{
                words: holders(*whom, words, identify=identify, **asked)
                for words in ("dynamo", "water pump", "fan belt")
            },
        }
    return {name: frame.to_dicts() for name, frame in found.items()}


def traces(small):
    """Return where every revision of every line comes from, and what it means."""
    from partmuster.answers.trace import trace

    with small.club.reading() as con:
        ids = con.execute("SELECT DISTINCT line_id FROM line_history ORDER BY 1").fetchall()
        return trace(con, ";".join(line_id for (line_id,) in ids)).to_dicts()


def tables(club):
    """Return every row of every table, in order."""
    with club.reading() as con:
        names = [n for (n,) in con.execute("SELECT table_name FROM duckdb_tables()").fetchall()]
        return {
            name: pl.DataFrame(con.sql(f"SELECT * FROM {name} ORDER BY ALL")).rows()
            for name in names
        }

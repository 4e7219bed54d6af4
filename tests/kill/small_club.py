"""Small lists of holdings for the tests of the store; as a script, a program to be killed.

``python small_club.py load|archive FOLDER`` loads versions into the club in FOLDER, or archives
files there, until it is killed.
"""

import datetime as dt
import hashlib
import sys
from pathlib import Path

import polars as pl

from partmuster.stages.load import ReadyVersion, load
from partmuster.store.club import Club
from partmuster.store.identifications import CONCLUSION_SCHEMA
from partmuster.store.lines import incoming_schema
from partmuster.store.sources import current_version
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import ItemKey

MOMENT = dt.datetime.fromisoformat("2026-01-02 12:00")
DEFAULTS = {
    "sure": True, "first_hand": True, "said_on_basis": "line", "at_least": 1.0, "at_most": 1.0,
    "availability": "unknown", "service": "unknown", "making": "unknown", "grade": "unknown",
    "all_builds": False, "surplus": False, "gone": False, "presence": "fitted",
    "accepted_stand_in": False, "quantified": True, "closed": False, "statement": "told",
}  # fmt: skip


def digest(*parts):
    return hashlib.sha256("|".join(str(part) for part in parts).encode()).hexdigest()[:16]


def item_key(description):
    return "item-" + digest(description)


def typed(kind, rows, source_id="s1", said_on=dt.date(2026, 1, 1)):
    """Return a frame of typed lines; each row a dict of what matters, raw lines counted from 1."""
    schema = incoming_schema(kind)
    full = []
    for number, given in enumerate(rows, start=1):
        row = {name: value for name, value in DEFAULTS.items() if name in schema}
        row |= {"raw_number": number, "said_on": said_on, **given}
        words = row.get("words") or " | ".join(str(value) for value in given.values())
        row["words"] = words
        if row.get("description") and "item_key" in schema:
            row.setdefault("item_key", item_key(row["description"]))
        for name in ("holder", "owner", "keeper", "place", "vehicle"):
            if row.get(name) and f"{name}_key" in schema:
                row.setdefault(f"{name}_key", row[name].casefold())
        subject = [row.get(n) for n in ("description", "vehicle", "holder", "place", "assembly")]
        row.setdefault("line_base", f"{kind}-{digest(source_id, kind, *subject)}")
        values = {n: v for n, v in row.items() if n not in ("raw_number", "words", "line_base")}
        row.setdefault("values_hash", digest(sorted(values.items(), key=str)))
        full.append({name: row.get(name) for name in schema})
    return pl.DataFrame(full, schema=schema)


def ready(lines, source_id="s1", version=1, name="list.csv", said_on=dt.date(2026, 1, 1), **more):
    """Return a version whose raw lines are just those its lines name."""
    numbers = sorted({n for frame in lines.values() for n in frame["raw_number"].to_list()})
    raw = pl.DataFrame(
        {"raw_number": numbers, "row": numbers, "outcome": ["line"] * len(numbers),
         "words": [f"row {number}" for number in numbers]},
        schema={"raw_number": pl.Int64, "row": pl.Int32, "outcome": str, "words": str},
    )  # fmt: skip
    given = {
        "content_hash": hashlib.sha256(f"{source_id} {version}".encode()).hexdigest(),
        "size": 1, "importer": "test", "importer_version": "1", "said_on": said_on,
        "said_on_basis": "file-name", "raw": raw, **more,
    }  # fmt: skip
    return ReadyVersion(source_id=source_id, version=version, name=name, lines=lines, **given)


def keys_of(lines):
    """Return the item keys of frames of lines."""
    found = {}
    for frame in lines.values():
        if "item_key" in frame.columns:
            for row in frame.filter(pl.col("item_key").is_not_null()).iter_rows(named=True):
                found[row["item_key"]] = {
                    "item_key": row["item_key"], "description": row["description"]
                }  # fmt: skip
    return pl.DataFrame(list(found.values()), schema=polars_schema(ItemKey))


def meaning(descriptions):
    """Return accepted conclusions: part id by description; None is not identified."""
    rows = [
        {
            "role": "part", "key": item_key(text), "rank": 1, "target": part,
            "probability": 1.0 if part else 0.1, "method": "exact" if part else "fuzzy",
            "reasons": "test", "accepted": part is not None,
        }
        for text, part in descriptions.items()
    ]  # fmt: skip
    return pl.DataFrame(rows, schema=CONCLUSION_SCHEMA)


def put(con, lines, meanings=None, now=MOMENT, **more):
    """Load lines as a version, with what their descriptions mean."""
    return load(con, ready(lines, **more), meaning(meanings or {}), keys_of(lines), now)


def counted(version, rows=200):
    """Return the holdings of a version: every one says the version's number."""
    return {
        "holding": typed(
            "holding",
            [
                {"description": f"part {row}", "holder": "Bert", "at_least": float(version)}
                for row in range(rows)
            ],
        )
    }


def say(text):
    """Tell the one who will kill this program how far it is."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def load_for_ever(folder):
    say("about to open")
    club = Club.open(folder, create=True, wait=30)
    while True:
        with club.reading() as con:
            known = current_version(con, "list.csv")
        number = known.version + 1 if known else 1
        with club.writing() as con:
            moment = dt.datetime.fromisoformat("2026-01-01") + dt.timedelta(seconds=number)
            put(con, counted(number), version=number, now=moment)
            say("about to commit")


def archive_for_ever(folder):
    club = Club.open(folder, create=True, wait=30)
    number = len(list((folder / "sources").glob("??/*")))
    while True:
        number += 1
        file = folder / "incoming.txt"
        file.write_bytes(str(number).encode() * 200_000)
        say("about to archive")
        club.archive.put(file)


if __name__ == "__main__":
    {"load": load_for_ever, "archive": archive_for_ever}[sys.argv[1]](Path(sys.argv[2]))

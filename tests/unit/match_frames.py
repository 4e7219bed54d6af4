"""Small frames for the tests of the match stage; run by path from the tests themselves."""

import datetime as dt

import polars as pl

from partmuster.stages.match import match, no_numbers
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Decision, ItemKey
from partmuster_trade import load_vocabulary

KEYS = polars_schema(ItemKey)
DECISIONS = polars_schema(Decision)
VOCABULARY = load_vocabulary()


def items(*rows):
    full = [
        {**dict.fromkeys(KEYS), "item_key": row.get("description") or "none", **row} for row in rows
    ]
    return pl.DataFrame(full, schema=KEYS)


def decided(*rows):
    full = [
        {
            **dict.fromkeys(DECISIONS), "decision_id": f"d{number}", "topic": "part",
            "decided_by": "Gwen", **row,
            "decided_at": dt.datetime.fromisoformat(f"2026-03-{number:02}"),
        }
        for number, row in enumerate(rows, 1)
    ]  # fmt: skip
    return pl.DataFrame(full, schema=DECISIONS)


def numbers(*rows):
    return pl.DataFrame(rows, schema=no_numbers().schema, orient="row")


def matched(keys, known=None, decisions=None, **options):
    options.setdefault("region", "GB")
    options.setdefault("families", ["Otter", "Bramble"])
    known = no_numbers() if known is None else known
    decisions = decided() if decisions is None else decisions
    return match(keys, VOCABULARY, known, decisions, **options)


def leading(found):
    first = found.filter(pl.col("rank") == 1)
    return {row["key"]: row for row in first.iter_rows(named=True)}


def one(description, known=None, decisions=None, options=None, **columns):
    found = matched(items({"description": description, "item_key": "k", **columns}), known,
                    decisions, **(options or {}))  # fmt: skip
    return leading(found)["k"]

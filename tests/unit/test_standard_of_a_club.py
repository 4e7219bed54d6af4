"""A club's own standard: set from its decisions, kept, and shown by the command."""

import datetime as dt

import polars as pl

from partmuster.running.standard import keep_standard, standard_anew, standard_in_force
from partmuster.stages.matching.trust_standard import LEAST_CONFIRMED
from partmuster.stages.normalising.identity import with_item_key
from partmuster.store.club import Club
from partmuster.store.decisions import record_decision
from partmuster.store.frames import stage
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import ItemKey
from partmuster_trade import load_vocabulary

KEYS = polars_schema(ItemKey)
VOCABULARY = load_vocabulary()


def misspelt():
    """Return descriptions with one letter left out, and the parts they mean."""
    names = sorted((part.name, part.part_id) for part in VOCABULARY.parts if not part.replaced_by)
    long = [(name, part_id) for name, part_id in names if len(name) > 9 and name[:6].isalpha()]
    return [(name[:3] + name[4:], part_id) for name, part_id in long][: 4 * LEAST_CONFIRMED]


def test_answers_to_likeness_set_a_threshold_that_stays_and_undoing_them_takes_it_away(tmp_path):
    club = Club.open(tmp_path / "club", create=True)
    told = misspelt()
    keys = with_item_key(pl.DataFrame({"description": [words for words, _ in told]}))
    keys = keys.with_columns(
        pl.lit(None, dtype=dtype).alias(name)
        for name, dtype in KEYS.items() if name not in keys.columns
    ).select(list(KEYS))  # fmt: skip
    with club.writing() as con:
        assert standard_anew(con, VOCABULARY)[0].standard.threshold is None
        stage(con, "new_keys", keys)
        con.execute("INSERT INTO item_key BY NAME SELECT * FROM new_keys")
        for number, (key, (_, part_id)) in enumerate(zip(keys["item_key"], told, strict=True)):
            record_decision(con, decision_id=f"d{number:03}", topic="part", subject=key,
                            answer=part_id, decided_by="Gwen",
                            decided_at=dt.datetime(2026, 3, 1)  # noqa: DTZ001 - local time
                           )  # fmt: skip
        tested, otherwise = standard_anew(con, VOCABULARY)
        assert tested.confirmed >= LEAST_CONFIRMED
        assert tested.standard.threshold is not None
        assert otherwise
        keep_standard(con, tested)
        assert standard_in_force(con) == tested
        assert standard_anew(con, VOCABULARY) == (tested, False)
        con.execute("DELETE FROM decision")
        after, otherwise = standard_anew(con, VOCABULARY)
        assert after.standard.threshold is None
        assert otherwise

"""The match stage: what part each distinct description means, how surely, and why.

An item key (``partmuster_schemas.records.ItemKey``) is matched once, however many lines share it.
Accepted are only exact names and known part numbers that nothing speaks against, and what a
person decided; likeness waits for a person, however near.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal

import polars as pl

from partmuster.stages.matching import numbers
from partmuster.stages.matching.candidates import MIXED, Item, Reading
from partmuster.stages.matching.decided import standing
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.numbers import NUMBER_SCHEMA
from partmuster.stages.matching.others import other_readings
from partmuster.stages.matching.weigh import Weighing, ranked
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Identification

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.hooks import Matcher
    from partmuster.stages.matching.trust import Standard
    from partmuster_trade import Vocabulary
    from partmuster_trade.part import Region

__all__ = ["NUMBER_SCHEMA", "learn_numbers", "match", "no_numbers"]

_SCHEMA: Final = {
    name: dtype
    for name, dtype in polars_schema(Identification).items()
    if not name.startswith("recorded_")
}
_KEY_COLUMNS: Final = (
    "item_key", "description", "part_number_normal", "casting_number", "maker", "supply_class",
    "side", "position", "family", "assembly", "region",
)  # fmt: skip
_WORTH: Final = 0.1
#: A club's country or region, as the vocabulary names regions.
_REGIONS: Final[dict[str, Region]] = {
    "gb": "UK", "uk": "UK", "ie": "UK", "us": "US", "usa": "US", "ca": "US",
    "au": "AU", "nz": "AU", "au/nz": "AU",
}  # fmt: skip


def match(
    keys: pl.DataFrame,
    vocabulary: Vocabulary,
    known_numbers: pl.DataFrame,
    decisions: pl.DataFrame,
    other_matchers: Sequence[Matcher] = (),
    region: str | None = None,
    families: Sequence[str] = (),
    failures: list[str] | None = None,
    family_parts: pl.DataFrame | None = None,
    standard: Standard | None = None,
    *,
    exact_only: bool = False,
) -> pl.DataFrame:
    """Return identifications of item keys, ``recorded_*`` left out.

    ``keys``: columns of ``records.ItemKey``; ``known_numbers``: columns of ``NUMBER_SCHEMA``
    (from :func:`learn_numbers`); ``decisions``: columns of ``records.Decision``; ``region``: the
    club's region or country (GB, US, AU ...), where a key states none; ``families``: names of all
    the club's vehicle families, which are no part of a part's name. A plugin matcher that fails
    is left out and named in ``failures``. ``family_parts`` (columns family, part_id): parts that
    a family's own lists name; they settle between namesakes ("fender" of a wheeled family is a
    mudguard). ``standard``: what likeness must reach to be accepted; without one it never is.

    With ``exact_only``, words that are no name are not compared with names that are like them.

    One to three rows a key, rank 1 leading; ``target`` empty = names nothing known. The order of
    the keys does not matter.
    """
    distinct = keys.unique("item_key").sort("item_key")
    index = index_of(vocabulary)
    decided = standing(decisions)
    listed = _listed(family_parts)
    weighing = Weighing(
        index, numbers.by_number(known_numbers), _region(region), families, standard,
        exact_only=exact_only,
    )  # fmt: skip
    items: list[Item] = []
    for row in distinct.select(_KEY_COLUMNS).iter_rows():
        item = Item(*row)
        if item.region or item.family in listed:
            parts = listed.get(item.family, frozenset())
            item = item._replace(region=_region_of_key(item.region), family_parts=parts)
        items.append(item)
    found = dict(zip((item.key for item in items), weighing.readings_of(items), strict=True))
    if other_matchers:
        waiting = distinct.filter(
            pl.col("item_key").is_in(
                [key for key, readings in found.items() if not any(r.accepted for r in readings)]
            )
        )
        offered = other_readings(other_matchers, waiting, vocabulary, failures)
        for key, readings in offered.items():
            # What is hardly near only makes up the ten that are looked at.
            said = {reading.part_id for reading in readings}
            kept = [r for r in found[key] if r.part_id not in said or r.probability >= _WORTH]
            have = {reading.part_id for reading in kept}
            found[key] = kept + [r for r in readings if r.part_id not in have]
    known = set(index.parts)
    return _frame(
        {key: ranked(found[key], decided.get(key), known) for key in found},
        index.successors,
    )


def learn_numbers(
    lines: pl.DataFrame, identifications: pl.DataFrame, vocabulary: Vocabulary
) -> pl.DataFrame:
    """Return the part numbers that lines accepted by name teach (columns of ``NUMBER_SCHEMA``).

    ``lines``: columns item_key, part_number_normal, maker, side, position, one row a line;
    ``identifications``: what :func:`match` returned for their keys. A number counts as known for
    a part only if all lines with it that were accepted by name agree on part and hand.
    """
    handed = {
        part_id for part_id, part in index_of(vocabulary).parts.items() if part.handed == "handed"
    }
    return numbers.learn(lines, identifications, handed)


def no_numbers() -> pl.DataFrame:
    """Return a frame of known numbers with none in it."""
    return pl.DataFrame(schema=NUMBER_SCHEMA)


def _listed(family_parts: pl.DataFrame | None) -> dict[str | None, frozenset[str]]:
    if family_parts is None:
        return {}
    grouped = family_parts.drop_nulls().group_by("family").agg("part_id")
    return {family: frozenset(parts) for family, parts in grouped.iter_rows()}


def _region(text: str | None) -> Region | None:
    return _REGIONS.get(text.strip().lower()) if text else None


def _region_of_key(text: str | None) -> Region | Literal["mixed"] | None:
    return MIXED if text == MIXED else _region(text)


def _frame(found: dict[str, list[Reading]], successors: dict[str, str]) -> pl.DataFrame:
    """Return the readings as rows; a part that was replaced is given as its successor."""
    told = [reading for readings in found.values() for reading in readings]
    columns = {
        "role": pl.repeat("part", len(told), eager=True),
        "key": [key for key, readings in found.items() for _ in readings],
        "rank": [rank for readings in found.values() for rank in range(1, len(readings) + 1)],
        "target": [successors.get(one.part_id or "", one.part_id) for one in told],
        "probability": [round(one.probability, 4) for one in told],
        "method": [one.method for one in told],
        "reasons": [one.text() for one in told],
        "accepted": [one.accepted for one in told],
    }
    return pl.DataFrame(columns, schema=_SCHEMA)

"""Words that mean different parts in different places, one row a reading."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from partmuster_trade.tables import bundled_rows, name_key


@dataclass(frozen=True, slots=True)
class FalseFriend:
    """One reading of a word; `part_id` is None where that reading is no part of the vocabulary."""

    word: str
    region: str
    part_id: str | None
    note: str
    source: str


@functools.cache
def all_false_friends() -> tuple[FalseFriend, ...]:
    """Return all readings of all false friends."""
    return tuple(
        FalseFriend(row["word"], row["region"], row["part_id"] or None, row["note"], row["source"])
        for row in bundled_rows("false_friends.csv")
    )


@functools.cache
def _by_word() -> dict[str, tuple[FalseFriend, ...]]:
    found: dict[str, list[FalseFriend]] = {}
    for friend in all_false_friends():
        found.setdefault(name_key(friend.word), []).append(friend)
    return {word: tuple(friends) for word, friends in found.items()}


def false_friend_readings(word: str, region: str | None = None) -> tuple[FalseFriend, ...]:
    """Return the readings of a word, in a region if one is given; none if it is no false friend.

    With no region every reading is returned. With one, readings of that region come alone if
    there are any, for they outrank the general ones; else the general ones. More than one
    reading means that a person must settle it.
    """
    readings = _by_word().get(name_key(word), ())
    if region is None:
        return readings
    own = tuple(friend for friend in readings if friend.region == region)
    return own or tuple(friend for friend in readings if friend.region == "any")

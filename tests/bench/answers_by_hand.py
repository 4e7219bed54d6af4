"""The answers for a large club, worked out from its facts without the answers' code or database."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from typing import TYPE_CHECKING, Any

import polars as pl

from .big_club import SEEN

if TYPE_CHECKING:
    from collections.abc import Callable

    from .big_club import Facts

ITEM = ("part_id", "hand", "position")
TAKEN_APART = ("hulk", "breaking")


def asked_vehicles(facts: Facts, number: int) -> list[str]:
    """Return vehicles to ask about, of differing aims, spread over the club."""
    looked_for = facts.vehicles.filter(pl.col("role").is_in(["under-restoration", "kept-whole"]))
    return (
        looked_for.gather_every(max(1, looked_for.height // number)).head(number)["name"].to_list()
    )


def applies_to_mark(line: dict[str, Any], vehicle: dict[str, Any]) -> bool:
    """Return whether a requirement line holds for the mark of its assembly on a vehicle."""
    mark = vehicle["mark"]
    if line["assembly"] == "engine" and vehicle["engine_mark"]:
        mark = vehicle["engine_mark"]
    return line["marks"] is None or mark in line["marks"]


def lacks_by_hand(
    facts: Facts,
    name: str,
    applies: Callable[[dict[str, Any], dict[str, Any]], bool] = applies_to_mark,
) -> dict[tuple[Any, ...], float]:
    """Return how many of each item are lacking: (assembly, part, hand, position, state).

    Counts the newer list alone: the older one says the same items. ``applies`` tells whether a
    line holds for a vehicle.
    """
    vehicle = facts.vehicles.row(by_predicate=pl.col("name") == name, named=True)
    wanted = dict(facts.parts.select("part_id", "needed_for").iter_rows())
    lines = facts.requirements.filter(
        (pl.col("family") == vehicle["family"]) & (pl.col("list") == "new")
    )
    required: dict[tuple[Any, ...], float] = defaultdict(float)
    for line in lines.iter_rows(named=True):
        aim = vehicle["aim"]
        counts = aim in (None, "full-original") or aim in wanted[line["part_id"]]
        if counts and applies(line, vehicle):
            required[line["assembly"], *(line[key] for key in ITEM)] += line["quantity"]
    seen, seen_before = _seen_on(facts, vehicle["number"])
    lacking: dict[tuple[Any, ...], float] = {}
    for (assembly, *item), number in required.items():
        for state, quantity in _states(seen.get(tuple(item)), tuple(item) in seen_before, number):
            if state == "unserviceable" and vehicle["aim"] == "static-display":
                continue
            if state and quantity:
                lacking[assembly, *item, state] = quantity
    return lacking


def _seen_on(facts: Facts, number: int) -> tuple[dict[tuple[Any, ...], Any], set[tuple[Any, ...]]]:
    """Return the newest survey line of each item of a vehicle, and the items seen earlier."""
    lines = facts.surveys.filter(pl.col("vehicle") == number)
    newest = lines.filter(pl.col("seen_on") == SEEN)
    before = lines.filter(pl.col("seen_on") < SEEN)
    return (
        {tuple(row[key] for key in ITEM): row for row in newest.iter_rows(named=True)},
        set(before.select(ITEM).iter_rows()),
    )


def _states(
    line: dict[str, Any] | None, seen_before: bool, number: float
) -> list[tuple[str | None, float]]:
    """Return what lacks of so many required; None for what is had."""
    if line is None:
        return [("not-looked-at", number)]
    told = number if line["quantity"] is None else min(number, line["quantity"])
    state = line["presence"]
    if state == "fitted":
        state = "unserviceable" if line["service"] == "unserviceable" else None
    elif state == "off-and-kept":
        state = None
    # What the newer line leaves over was fitted where an older general line says so.
    return [(state, told), (None if seen_before else "not-looked-at", number - told)]


def holders_by_hand(facts: Facts, part_id: str, hand: str) -> int:
    """Return how many holdings and vehicles taken apart have a part of this hand, or of none."""
    of_part = (pl.col("part_id") == part_id) & (pl.col("hand").fill_null(hand) == hand)
    loose = facts.holdings.filter(~pl.col("gone")).join(
        facts.keys.filter(of_part & (pl.col("probability") >= 0.5)), on="key"
    )
    apart = facts.vehicles.filter(pl.col("role").is_in(TAKEN_APART))
    on_vehicles = (
        facts.surveys.filter(
            of_part & (pl.col("seen_on") == SEEN)
            & pl.col("presence").is_in(["fitted", "off-and-kept"])
        )
        .join(apart.select(vehicle="number"), on="vehicle", how="semi")
    )  # fmt: skip
    both_states = on_vehicles.filter(
        (pl.col("service") == "unserviceable") & pl.col("quantity").is_not_null()
    )
    assert both_states.height == 0, "choose a part of which none is partly serviceable"
    return loose.height + on_vehicles.height


def donors_by_hand(facts: Facts, name: str) -> dict[tuple[Any, ...], int]:
    """Return how many loose parts could serve for each lack: (part, hand, position, state)."""
    wanted = {
        (part, hand, position, state)
        for _, part, hand, position, state in lacks_by_hand(facts, name)
        if state in ("missing", "unserviceable", "stand-in")
    }
    keys = facts.keys.filter(
        pl.col("accepted") & pl.col("part_id").is_in(list({item[0] for item in wanted}))
    )
    held = (
        facts.holdings.filter(~pl.col("gone")).join(keys, on="key")
        .group_by(*ITEM).len().iter_rows()
    )  # fmt: skip
    by_part: dict[str, list[tuple[Any, ...]]] = defaultdict(list)
    for part, *rest in held:
        by_part[part].append(tuple(rest))
    return {
        item: sum(
            number for hand, position, number in by_part[item[0]]
            if hand in (None, item[1]) and position in (None, item[2])
        )
        for item in wanted
    }  # fmt: skip


def other_hands(facts: Facts, offers: pl.DataFrame) -> int:
    """Return how many loose donors are of the other hand than the lack, by the facts."""
    handed = facts.keys.filter(pl.col("hand").is_not_null()).select("key", "hand")
    ids = {
        _holding_id(number): hand
        for number, hand in facts.holdings.join(handed, on="key")
        .select("number", "hand")
        .iter_rows()
    }
    rows = offers.filter(pl.col("hand").is_not_null() & (pl.col("standing") != "not offered"))
    return sum(
        any(ids.get(line, hand) != hand for line in trace.split(";"))
        for hand, trace in rows.select("hand", "trace").iter_rows()
    )


def _holding_id(number: int) -> str:
    """Return the id that ``big_club.sql`` gives a holding."""
    digits = hashlib.md5(f"holding {number}".encode(), usedforsecurity=False).hexdigest()
    return f"holding-{digits[:16]}.1"

"""Who has a loose part, where, and whether he parts with it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .around import PRICE_WITHIN, around, in_store
from .leads import lead
from .promises import given, let_have
from .telling import MY, THEIRS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .statement import Statement
    from .telling import Item, Telling

_MAY_HAVE = ("i might have ", "i may have ", "we might have ", "we may have ")


def holdings_of(told: Telling) -> Iterator[Statement]:
    """Yield holdings, and what is wanted for them; a lead where somebody only heard of it."""
    availability, price = _terms(told)
    sure = told.act.sure(told.found.start, told.found.end)
    for item in told.items("things"):
        if _is_let(told):  # "Toby said I might have a pulley"
            yield from let_have(told, item, told.said_by())
            continue
        if not item.named and in_store(item.part.name):
            continue  # "they are for sale", behind "Top shelf: hub bearings"
        person = told.person("person") or told.owner(item) or told.near.person
        if item.end:
            yield from _of_a_list(told, item)
        elif _is_heard_of(told, person, sure=sure):
            place = told.found.saying.means.get("own") == "place"
            yield lead(told, item, "" if place else person)
        elif _has_it(told, item, person, availability):
            yield from _holding(told, item, person, availability, price)
    wants = told.found.saying.means.get("wants") == "yes"
    if (
        wants
        or availability == "swap"
        or any(one.availability == "swap" for one in told.near.avail[:1])
    ):
        yield from _wanted_for_it(told)


def _is_let(told: Telling) -> bool:
    """Tell whether somebody says that the writer may have it."""
    name = told.mention("person")
    low = f" {told.act.view.sentence.text.lower()} "
    return (
        name is not None and name.sort == "writer" and bool(told.said_by())
        and told.hearsay() and any(one in low for one in _MAY_HAVE)
    )  # fmt: skip


def _terms(told: Telling) -> tuple[str, str]:
    """Return whether it is to be had, and for how much."""
    deal = told.deal("avail", "offer")
    price = told.words_in("price") or told.near.price or _price_within(told)
    availability = told.found.saying.means.get("availability") or (
        deal.availability if deal else ""
    )
    return availability or ("offered" if price else ""), price


def _price_within(told: Telling) -> str:
    """Return a price between the parts and what else a saying tells."""
    view, found = told.act.view, told.found
    price = PRICE_WITHIN.search(view.text, found.slot_starts.get("things", 1) - 1, found.end)
    return view.words_of(price.start("price"), price.end()).strip(" ,.") if price else ""


def _is_heard_of(told: Telling, person: str, *, sure: bool) -> bool:
    """Whether a place or a stranger is only heard of, or may have it."""
    if told.found.saying.means.get("own") == "place":
        return told.hearsay() or not sure
    return told.stranger(person) and not sure


def _has_it(told: Telling, item: Item, person: str, availability: str) -> bool:
    """Whether the words tell of a loose part that is his, and not of a vehicle's."""
    near = told.near
    own = told.found.saying.means.get("own", "")
    given_on = near.taker not in {"", "anyone"}
    to_be_had = bool(availability or near.avail or given_on)
    stored = near.stored or in_store(told.place()) or to_be_had
    if own == "place" and not (stored or item.part.spare):
        return False
    whose = item.owner or told.person("person") or item.part.which in MY | THEIRS
    if own == "spare" and not (stored or whose or near.here):
        return False
    if near.at_work and not near.stored:
        return False
    if not (to_be_had or item.part.spare or near.stored) and _is_of_a_vehicle(told):
        return False
    return item.part.which not in MY | {"your"} or person in {"", told.context.writer}


def _is_of_a_vehicle(told: Telling) -> bool:
    """Whether "she has", "we have" or "has it" tells of the vehicle at hand."""
    if "<k" in told.found.slots.get("things", ""):
        return True
    name = told.mention("person")
    if name is None:
        return False
    if name.pronoun and name.sort == "person":
        return bool(told.context.vehicles) and name.text.lower() == "she"
    return name.sort == "writer" and name.text.lower() in {"we", "us"}


def _holding(
    told: Telling, item: Item, person: str, availability: str, price: str
) -> Iterator[Statement]:
    near = told.near
    given_on = near.taker not in {"", "anyone"} and not availability
    if given_on or (person and near.stage in {"agreed", "collected"}):
        yield from given(told, item, person)
        return
    fields = {"availability": availability, "price": price, "place": told.place(),
              "build": item.build or near.build, **near.state}  # fmt: skip
    yield from _shares(told, item, person, fields)


def _of_a_list(told: Telling, item: Item) -> Iterator[Statement]:
    """Yield what a free list says of one of its items, by the words around that."""
    near = around(told.act.view, item.end, told.context)
    told = replace(told, near=near)
    person = told.person("person") or told.owner(item)
    if near.taker not in {"", "anyone"}:
        yield from given(told, item, person)
        return
    availability = told.found.saying.means.get("availability", "")
    fields = {"availability": availability or ("offered" if near.price else ""),
              "price": near.price, "place": near.place, "build": item.build or near.build,
              **near.state}  # fmt: skip
    yield from _shares(told, item, person, fields)


def _shares(told: Telling, item: Item, person: str, fields: dict[str, str]) -> Iterator[Statement]:
    """Yield a holding, or one for each share of it ("one for sale, keeping the other")."""
    if fields["availability"] or not told.near.shares:
        yield told.made("holding", person, item.part, fields)
        return
    for deal, count in told.near.shares:
        part = replace(item.part, count=count or item.part.count)
        yield told.made("holding", person, part, {**fields, "availability": deal})


def _wanted_for_it(told: Telling) -> Iterator[Statement]:
    """Yield what is wanted in exchange; "for a right one" is a part of the same name."""
    wanted = [item.part for item in told.items("want") if item.named or item.part.side]
    wanted = wanted or [part for part in told.near.wanted if not part.pronoun or part.side]
    for part in wanted:
        yield told.made("want", told.person("person") or told.near.person, part, {})

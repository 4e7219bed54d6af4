"""Who lets somebody have a part, for which vehicle, and how far it is."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .expressions import expression
from .telling import MY, THEIRS, head_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .statement import Statement
    from .telling import Item, Telling

#: Sayings that say too little of "it" alone, and those by which nothing is had loose.
_ONLY_NAMED = frozenset({
    "is somebody's if he wants", "takes it away", "hands it over",
})  # fmt: skip
_BY_OFFER = frozenset({"parts with it", "lets it go"})
#: "Told Gwen she could have Albert's old lamp": whoever tells it gives it.
_TELLS = frozenset({"told", "promised", "assured"})
_OF_ANOTHER = expression(r"(?:the|an?|some|my|our) [a-z]")
_IN_A_LIST = "his in a list of promises"
_MODAL = expression(r" (?:can|could|may|might|to|will|would) $")


def promises_of(told: Telling) -> Iterator[Statement]:
    """Yield a promise for each part, and the holding it binds where it is plain he has it."""
    stage = _stage(told)
    if not stage or (told.found.saying.means.get("told") and not told.hearsay()):
        return
    if told.behind().startswith("only if ") or _is_no_promise(told):
        return
    for item in told.items("things"):
        known = told.context.promised.get(head_of(item.part))
        if not item.named and _says_nothing_new(told, stage, known):
            continue
        if not item.named and known is None and _OF_ANOTHER.match(told.behind()):
            continue  # "they come for the biscuits"
        if told.found.saying.rule == _IN_A_LIST and not (item.owner or item.part.which in MY):
            continue
        giver = _giver(told, item, stage, known)
        if not giver:
            return
        yield from _promise(told, item, giver, stage, known)
        if stage in {"offered", "agreed"} and _has_it(told, item):
            yield _bound(told, item, giver)


def _is_no_promise(told: Telling) -> bool:
    """Tell whether a part is off somebody's vehicle, or stands in another list than a promise's."""
    rule, before = told.found.saying.rule, told.act.view.text[: told.found.start]
    if rule == "takes it away":
        return told.behind().startswith("'s ")
    return rule == "list of promises" and "<p" in before


def given(told: Telling, item: Item, giver: str) -> Iterator[Statement]:
    """Yield promise and holding of what is said to be had, and given to somebody with it."""
    stage = told.near.stage or "offered"
    yield from _promise(told, item, giver, stage, None)
    if told.found.saying.rule not in _BY_OFFER and stage != "collected":
        yield _bound(told, item, giver)


def let_have(told: Telling, item: Item, giver: str) -> Iterator[Statement]:
    """Yield the promise of somebody who says that the writer may have it."""
    yield from _promise(told, item, giver, "offered", None)


def _promise(
    told: Telling, item: Item, giver: str, stage: str, known: Statement | None
) -> Iterator[Statement]:
    vehicle = told.name_text(told.found.slots.get("vehicle", "")) or told.near.vehicle
    vehicles = (vehicle,) if vehicle else known.vehicles if known else ()
    one = replace(told.made("promise", giver, item.part, {"stage": stage}), vehicles=vehicles)
    if told.found.saying.means.get("modal") or told.found.saying.kind == "holding":
        one = replace(one, sure=True)
    told.context.promised[head_of(item.part)] = one
    yield one


def _bound(told: Telling, item: Item, giver: str) -> Statement:
    """Return the holding that a promise binds."""
    near = told.near
    fields = {"availability": "promised", "place": near.place, "build": item.build or near.build}
    return told.made("holding", giver, item.part, fields)


def _says_nothing_new(told: Telling, stage: str, known: Statement | None) -> bool:
    if known is None:
        return told.found.saying.rule in _ONLY_NAMED
    return known.fields.get("stage") == stage


def _giver(told: Telling, item: Item, stage: str, known: Statement | None) -> str:
    """Return who lets somebody have it; empty where that may be anybody."""
    if told.found.saying.means.get("giver") == "me":
        return told.context.writer
    if told.act.view.sentence.words[0].low in _TELLS:
        return told.context.writer
    giver = told.person("giver") or told.owner(item)
    if not giver and stage in {"withdrawn", "broken"}:
        giver = told.person("subject")
    if not giver and known is not None:
        giver = next(iter(known.people), "")
    if giver or not _may_be_ours(told, stage):
        return giver
    taker = told.mention("taker")
    if taker is not None and taker.sort == "writer":
        return told.said_by() or told.last_named(told.found.start)
    return told.said_by() or told.ours()


def _may_be_ours(told: Telling, stage: str) -> bool:
    """Whether a promise whose giver is not named can be the writer's or the speaker's."""
    if stage in {"offered", "agreed"} or not told.act.first_hand(told.found.start):
        return True
    taker = told.person("taker", "subject")
    return bool(taker) and taker != told.context.writer and stage in {"withdrawn", "lapsed"}


def _stage(told: Telling) -> str:
    """Return how far the promise is, the later words before the earlier ones."""
    deal = told.deal("stage")
    means = told.found.saying.means
    said = means.get("stage", "")
    if deal and (means.get("by") == "stage" or deal.stage != "collected"):
        said = "offered" if deal.stage == "collected" and _allowed(told) else deal.stage
    if said in {"offered", "agreed"}:
        return told.near.stage or _stage_in_a_list(told) or said
    return said


def _stage_in_a_list(told: Telling) -> str:
    """Return what a word of state says in a list of promises: "on" is fitted, "off" withdrawn."""
    if "list" not in told.found.saying.rule:
        return ""
    if told.near.gone:
        return "withdrawn" if " off" in told.act.view.sentence.text.lower() else "collected"
    return "fitted" if told.near.fitted else ""


def _allowed(told: Telling) -> bool:
    """Whether it may be collected and is not yet: "I can come for it"."""
    text = told.act.view.text
    return bool(_MODAL.search(text[: text.find(told.found.slots["stage"].strip())]))


def _has_it(told: Telling, item: Item) -> bool:
    """Whether the words say that he has it and not only that somebody may have it."""
    deal = told.deal("avail", "bound")
    part = item.part
    return bool(
        part.spare or item.owner or told.near.out_of or part.which in MY | THEIRS
        or (deal and deal.availability == "promised") or told.found.saying.means.get("has")
    )  # fmt: skip

"""Who may have a part somewhere, as somebody else says or as nobody is sure of."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .parts import PartMention
from .telling import MY, Item

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .statement import Statement
    from .telling import Telling


#: With these no words of somebody begin.
_NOBODY = frozenset({"where", "still", "when", "then", "how", "why", "there"})


def leads_of(told: Telling) -> Iterator[Statement]:
    """Yield what somebody may have somewhere; nothing where the writer says so of his own."""
    found = told.found
    means = found.saying.means
    sure = told.act.sure(found.start, found.end)
    if sure and not ({"told", "sure"} & means.keys()) and not told.hearsay():
        return
    behind = {found.start, found.start - 1}
    if means.get("told") == "behind" and told.act.told_from not in behind:
        return
    if re.match(r"<v|<k", found.slots.get("who", "")):
        return
    holder = told.phrase("who") or told.person("person")
    if holder.split(" ")[0].lower() in _NOBODY:
        return
    for item in told.items("things") or _vehicle(told):
        if item.part.which not in MY:
            yield replace(lead(told, item, holder), sure=sure and means.get("sure") != "no")


def lead(told: Telling, item: Item, holder: str) -> Statement:
    """Return a lead to one part, with the clause that tells of it."""
    words = told.act.view.words_of(told.found.start, told.near.end).strip(" ,.;")
    fields = {"statement": words, "place": told.place(), "build": item.build}
    one = told.made("lead", holder, item.part, fields)
    return replace(one, people=(holder,) if holder else (), first_hand=False,
                   said_by=told.said_by())  # fmt: skip


def _vehicle(told: Telling) -> list[Item]:
    """Return a whole vehicle that is heard of, as the thing that somebody may have."""
    name = told.mention("name")
    if name is None or told.found.saying.rule != "a vehicle somewhere":
        return []
    return [Item(PartMention(name.start, name.end, name.text))]

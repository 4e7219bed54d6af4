"""The parts of a survey line: with count, side and position that a saying has slots for."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .amounts import number_of
from .conditions import states_in
from .parts import PartMention, spread
from .places import place_at

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .acts import Act
    from .patterns import Found

#: Slots whose parts the fields of a saying are about.
OWN_PARTS = frozenset({"parts", "part", "list", "again"})
#: More of a thing are its price, or a number of its kind.
_MOST_COUNTED = 24


def seen_parts(
    parts: Sequence[PartMention], found: Found, act: Act, *, own: bool, side: str
) -> list[PartMention]:
    """Return the parts of which a saying tells, each for its side and with its count.

    ``own``: whether the saying is about them; ``side``: the one along which the note goes.
    """
    means = found.saying.means
    where = [
        one
        for mark in re.findall(r"<k\d+>", found.slots.get("where", ""))
        if isinstance(one := act.view.mention(mark), PartMention)
    ]
    if parts and parts[0].which == "neither":
        parts = [replace(one, which="neither") for one in parts]
    told = [each for one in parts for each in spread(placed(one, where, found, side))]
    if own:
        told = [one for one in told if suits(one, parts[0], means)]
        told = [amounted(one, found, act, alone=len(told) == 1) for one in told]
    return [one for one in told if "single" not in means or one.count == "1"]


def suits(part: PartMention, first: PartMention, means: Mapping[str, str]) -> bool:
    """Tell whether a part is one of which a saying with conditions tells."""
    if "neither" in means and first.which != "neither":
        return False
    if ("every" in means and not first.every) or ("total" in means and not first.count):
        return False
    return "donor" not in means or bool(part.donor)


def amounted(part: PartMention, found: Found, act: Act, *, alone: bool) -> PartMention:
    """Return a part with the count that a saying has slots or "both" for."""
    said = act.view.text[found.start : found.end]
    both = " both " in said or any("both" in one.text for one in states_in(said, act))
    if both and alone and not part.count:
        part = replace(part, count="2")
    count = number_of(found.slots.get("count", "").strip())
    of = number_of(found.slots.get("of", "").strip())
    if "times" in found.slots:
        count = found.slots["times"].strip(" x")
    if "fraction" in found.slots:
        count, of = found.slots["fraction"].strip().split("/")
    if not of and count.isdigit() and int(count) > _MOST_COUNTED:
        count = ""
    if "total" in found.saying.means:
        of = part.count
    return replace(part, count=count or part.count, of=of or part.of)


def placed(part: PartMention, where: Sequence[PartMention], found: Found, side: str) -> PartMention:
    """Return a part with side and position of what is said behind its state.

    ``side``: the one along which the note goes.
    """
    position = place_at(found.slots.get("at", "").split() or [""], 0)
    if position:
        part = replace(part, position=part.position or position[2])
    for one in where:
        part = replace(part, side=part.side or one.side, position=part.position or one.position)
    return replace(part, side=part.side or side)

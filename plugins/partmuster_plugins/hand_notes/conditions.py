"""What words of state say of a part: presence, service and making, from one or several of them."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .amounts import number_of
from .places import place_at
from .roles import words_of
from .states import StateMention

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from .acts import Act
    from .parts import PartMention
    from .patterns import Found

#: Of two presences that are said of one thing, the one that tells more stands first.
_TELLING = ("could-not-be-seen", "away-for-repair", "off-and-kept", "stand-in", "missing", "fitted")
_OPPOSITE = {"missing": "fitted", "fitted": "missing"}
#: Words of state that stand before a part ("cracked block").
_BEFORE = words_of("before-part")
#: What has broken off may be there, of no use.
_BROKEN = re.compile(r"^(?:broken|snapped|sheared|cracked)\b.* off\b")
_PLAIN = frozenset({"", "fitted", "missing", "could-not-be-seen"})
_MOST_COUNTED = 24
_SLOTS = ("states", "state", "states_2")


def states_in(text: str, act: Act) -> list[StateMention]:
    """Return the words of state whose marks stand in a piece of a view's text."""
    found = (act.view.mention(mark) for mark in re.findall(r"<s\d+>", text))
    return [one for one in found if isinstance(one, StateMention)]


def said_by(states: Iterable[StateMention]) -> dict[str, str]:
    """Return the fields that words of state say together; of two services the worse."""
    states = list(states)
    presences = {one.presence for one in states if one.presence}
    if (
        "missing" in presences
        and any(_BROKEN.search(one.text) for one in states)
        and any(one.service == "unserviceable" for one in states)
    ):
        presences = presences - {"missing"} | {"fitted"}
    presence = next((one for one in _TELLING if one in presences), "")
    services = {one.service for one in states if one.service}
    service = "unserviceable" if "unserviceable" in services else "".join(services)
    makings = [one.making for one in states if one.making]
    if presence == "stand-in" and "missing" in presences:
        presence = "stand-in"
    if presence not in {"fitted", "stand-in"}:
        service = "" if presence else service
    fields = {"presence": presence, "service": service, "making": makings[-1] if makings else ""}
    return {key: value for key, value in fields.items() if value}


def state_fields(found: Found, act: Act, means: Mapping[str, str]) -> dict[str, str] | None:
    """Return what the words of state of a saying say; None: the saying does not hold for them.

    ``means`` may have ``only``: the presences for which it holds; ``before``: they stand before the part; ``denied``: "no" stands before.
    """
    pieces = [found.slots[slot] for slot in _SLOTS if slot in found.slots]
    if not pieces:
        return {}
    said = said_by(one for piece in pieces for one in states_in(piece, act))
    presence = said.get("presence", "")
    if "only" in means and presence not in means["only"].split("/"):
        return None
    if "back" in means:
        texts = [one.text for piece in pieces for one in states_in(piece, act)]
        back = all(text.startswith("back from") for text in texts)
        return {"presence": "away-for-repair"} if back else None
    if "bad" in means and said.get("service") != "unserviceable" and presence in _PLAIN:
        return None
    if "off" in means:
        return {} if presence == "missing" else None
    if "alone" in means:
        return {}
    if "made" in means and said.get("making") != "new-made":
        return None
    if "before" in means and not all(
        one.text in _BEFORE for piece in pieces for one in states_in(piece, act)
    ):
        return None
    if "denied" in means:
        if presence == "missing":
            return {"presence": "fitted"}
        return {"presence": "missing"} if presence == "fitted" and not said.get("service") else None
    return said


def denial(found: Found, act: Act, fields: Mapping[str, str]) -> dict[str, str]:
    """Return what "not" alone makes, of the next part, of the state that a saying tells."""
    states = [one for slot in _SLOTS for one in states_in(found.slots.get(slot, ""), act)]
    if not states:
        return opposite(fields)
    denied = states[0].denied
    if denied == "unserviceable":
        return {"presence": "fitted", "service": denied}
    return {"presence": denied if denied in {"missing", "fitted"} else "fitted"}


def suits(part: PartMention, first: PartMention, means: Mapping[str, str]) -> bool:
    """Tell whether a part is one of which a saying with conditions tells."""
    if "neither" in means and first.which != "neither":
        return False
    if "every" in means and not first.every:
        return False
    return "donor" not in means or bool(part.donor)


def opposite(fields: Mapping[str, str]) -> dict[str, str]:
    """Return the state of what is excepted from a statement."""
    presence = fields.get("presence", "fitted")
    if fields.get("service") == "serviceable":
        return {"presence": "fitted", "service": "unserviceable"}
    if fields.get("service") == "unserviceable":
        return {"presence": "fitted"}
    return {"presence": _OPPOSITE.get(presence, "fitted")}


def somebodys(found: Found, act: Act, states: Mapping[str, str]) -> bool:
    """Tell whether a part "in the shed" is a loose one that somebody has, or that there is."""
    if states.get("presence") != "off-and-kept" or not found.saying.pattern.startswith("{parts}"):
        return False
    return act.view.text[: found.start].endswith(
        (" has ", " have ", " had ", " is ", " are ", " got ")
    )


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


def adjusted(fields: Mapping[str, str], part: PartMention) -> dict[str, str]:
    """Return the state of a part whose own words change it: "neither mirror", "a bus seat"."""
    if part.which == "neither":
        return {**fields, **opposite(fields)}
    if part.donor and fields.get("presence") in {"fitted", "stand-in"}:
        return {**fields, "presence": "stand-in", "making": "other-original"}
    return dict(fields)

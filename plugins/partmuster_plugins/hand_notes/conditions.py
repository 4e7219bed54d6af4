"""What words of state say of a part: presence, service and making, from one or several of them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .expressions import expression
from .roles import words_of
from .states import StateMention

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from .acts import Act
    from .parts import PartMention
    from .patterns import Found

#: Of two presences that are said of one thing, the one that tells more stands first.
_TELLING = ("could-not-be-seen", "away-for-repair", "off-and-kept", "stand-in", "missing", "fitted")
_OPPOSITE = {"missing": "fitted", "fitted": "missing"}
#: Words of state that stand before a part ("cracked block").
_BEFORE = words_of("before-part")
#: What has broken off may be there, of no use.
_BROKEN = expression(r"^(?:broken|snapped|sheared|cracked)\b.* off\b")
_PLAIN = frozenset({"", "fitted", "missing", "could-not-be-seen"})
#: What makes words of place a statement: a verb, a sign, or that they begin a clause.
_TOLD = expression(r"> (?:[-:,|]|is|are|was|were|'s|has|have|<[ihn]\d+>|[a-z' ]+,) ")
_BEGINS = expression(r"(?:^ |[-:,;|] |(?: and| but| so| now| the| both| all) )$")
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
    if presence not in {"fitted", "stand-in"}:
        service = "" if presence else service
    fields = {"presence": presence, "service": service, "making": makings[-1] if makings else ""}
    return {key: value for key, value in fields.items() if value}


def state_fields(found: Found, act: Act, means: Mapping[str, str]) -> dict[str, str] | None:
    """Return what the words of state of a saying say; None: the saying does not hold for them.

    ``means`` may have conditions (``_holds``) and what becomes of the state: ``denied``: "no"
    stands before; ``back``: "not back from"; ``off``: "removed" by somebody who keeps it;
    ``alone``: it does not matter.
    """
    states = [one for slot in _SLOTS for one in states_in(found.slots.get(slot, ""), act)]
    if not states:
        return {}
    said = said_by(states)
    presence = said.get("presence", "")
    if not _holds(means, states, said):
        return None
    if "back" in means:
        said = {"presence": "away-for-repair"}
    elif means.keys() & {"off", "alone"}:
        said = {}
    elif "denied" in means:
        there = presence == "fitted" and not said.get("service")
        said = {"presence": "missing"} if there else {"presence": "fitted"}
        return said if there or presence == "missing" else None
    return said


def _holds(
    means: Mapping[str, str], states: Sequence[StateMention], said: Mapping[str, str]
) -> bool:
    """Tell whether words of state are such as a saying asks for.

    ``only``: of these presences; ``before``: that stand before a part; ``bad``: that tell more than
    that it is there; ``made``: that it was made.
    """
    presence = said.get("presence", "")
    asked: dict[str, Callable[[], bool]] = {
        "only": lambda: presence in means["only"].split("/"),
        "back": lambda: all(one.text.startswith("back from") for one in states),
        "bad": lambda: said.get("service") == "unserviceable" or presence not in _PLAIN,
        "off": lambda: presence == "missing",
        "made": lambda: said.get("making") == "new-made",
        "before": lambda: all(one.text in _BEFORE for one in states),
    }
    return all(tells() for name, tells in asked.items() if name in means)


def denial(found: Found, act: Act, fields: Mapping[str, str]) -> dict[str, str]:
    """Return what "not" alone makes, of the next part, of the state that a saying tells."""
    states = [one for slot in _SLOTS for one in states_in(found.slots.get(slot, ""), act)]
    if not states:
        return opposite(fields)
    denied = states[0].denied
    if denied == "unserviceable":
        return {"presence": "fitted", "service": denied}
    return {"presence": denied if denied in {"missing", "fitted"} else "fitted"}


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
    before = act.view.text[: found.start]
    told = _TOLD.search(act.view.text[found.start : found.end])
    return before.endswith((" has ", " have ", " had ", " is ", " are ", " got ")) or not (
        told or _BEGINS.search(before)
    )


def adjusted(fields: Mapping[str, str], part: PartMention) -> dict[str, str]:
    """Return the state of a part whose own words change it: "neither mirror", "a bus seat"."""
    if part.which == "neither":
        return {**fields, **opposite(fields)}
    if part.donor and fields.get("presence") in {"fitted", "stand-in"}:
        return {**fields, "presence": "stand-in", "making": "other-original"}
    return dict(fields)

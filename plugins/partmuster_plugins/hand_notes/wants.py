"""Who looks for which part, and for which vehicle."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .around import around
from .expressions import expression
from .telling import MY, THEIRS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .statement import Statement
    from .telling import Telling


#: "magnetos, wanted the earth for them": something else is wanted.
_OF_SOMETHING_ELSE = expression(r"(?:the|a|an|to|too|more|it|<k\d+>|\d+|[£$€]\S+|<p\d+>) ")


def wants_of(told: Telling) -> Iterator[Statement]:
    """Yield what somebody looks for; of a list, one each."""
    near = told.near
    person = told.person("person", "taker")
    if (not person and _is_the_vehicle(told)) or _OF_SOMETHING_ELSE.match(told.behind()):
        return
    vehicle = told.name_text(told.found.slots.get("vehicle", "")) or near.vehicle
    for item in told.items("things"):
        if item.owner or item.part.which in MY | THEIRS | {"your"} or not item.wanted:
            continue
        if item.end:
            near = around(told.act.view, item.end, told.context)
            vehicle = near.vehicle or vehicle
        one = told.made("want", person, item.part, {"build": item.build or near.build})
        if vehicle:
            one = replace(one, vehicles=(vehicle,))
        yield one


def _is_the_vehicle(told: Telling) -> bool:
    """Whether "she" is the vehicle of the note, which lacks what she wants."""
    name = told.mention("person")
    return (
        name is not None
        and name.pronoun
        and name.text.lower() in {"she", "it"}
        and bool(told.context.vehicles)
    )

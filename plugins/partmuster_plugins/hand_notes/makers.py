"""From a saying found in a sentence to statements: one for each part of its lists."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .parts import PartMention
from .statement import Statement
from .states import StateMention

if TYPE_CHECKING:
    from collections.abc import Iterable

    from .acts import Act
    from .context import Context
    from .names import NameMention
    from .patterns import Found
    from .view import View

#: Kinds that are about a vehicle, and kinds that are somebody's.
_OF_VEHICLES = frozenset({"survey", "feature", "history"})
_OF_PEOPLE = frozenset({"holding", "want", "promise", "lead"})
_OPPOSITE = {"missing": "fitted", "fitted": "missing"}


def statements_of(found: Found, act: Act, context: Context) -> list[Statement]:
    """Return what a saying says at one place of a sentence; none where it names nothing."""
    saying = found.saying
    if saying.kind in {"", "nothing"}:
        return []
    means = dict(saying.means)
    sure = act.sure(found.start, found.end) and means.pop("sure", "yes") != "no"
    first_hand = act.first_hand(found.start) and means.pop("first_hand", "yes") != "no"
    base = Statement(
        kind=saying.kind, rule=saying.rule, words=act.view.sentence.text, sure=sure,
        first_hand=first_hand, said_on=context.day,
        said_by="" if first_hand else _person_text(act, act.said_by, context),
        vehicles=_vehicles(found, act, context), people=_people(found, act, context),
    )  # fmt: skip
    fields = {key: value for key, value in means.items() if "." not in key}
    fields |= _state_fields(found, act, "state")
    fields |= _worded(found, act)
    made: list[Statement] = []
    for slot, kind, more in _part_slots(found, base.kind):
        given = fields | more if slot in {"parts", "part"} else {**more, **_prefixed(means, slot)}
        if slot == "not" and "presence" in fields:
            given = {**fields, "presence": _OPPOSITE.get(fields["presence"], fields["presence"])}
        for part in resolved(act.view.parts(found.slots[slot]), act.view, context):
            made.append(replace(base, kind=kind, fields={**part_fields(part), **given}))
    if not made and base.kind in {"feature", "history", "lead", "fit"}:
        made.append(replace(base, fields=fields))
    return [_by_state(one) for one in made]


def _part_slots(found: Found, kind: str) -> list[tuple[str, str, dict[str, str]]]:
    """Return the slots that name parts of lines of their own, with the kind of each."""
    slots: list[tuple[str, str, dict[str, str]]] = []
    for name in found.slots:
        if name in {"parts", "part", "not"}:
            slots.append((name, kind, {}))
        elif name in {"want", "holding", "promise", "survey"}:
            slots.append((name, name, {}))
    return slots


def _prefixed(means: dict[str, str], slot: str) -> dict[str, str]:
    start = f"{slot}."
    return {key[len(start) :]: value for key, value in means.items() if key.startswith(start)}


_OTHER_SIDE = {"left": "right", "right": "left", "near": "off", "off": "near"}


def resolved(parts: Iterable[PartMention], view: View, context: Context) -> list[PartMention]:
    """Return parts, "it" and "the left one" replaced by what they stand for.

    That is what the sentence named before, else the sentence before it.
    """
    found: list[PartMention] = []
    for part in parts:
        if not part.pronoun:
            found.append(part)
            continue
        plain = part.which in {"it", "they", "them"}
        named = [
            one for one in view.mentions
            if isinstance(one, PartMention) and not one.pronoun and one.end <= part.start
        ]  # fmt: skip
        meant = named[-1:] or list(context.parts if part.which != "it" else context.parts[-1:])
        for one in meant if plain else meant[-1:]:
            other = part.build == "other"
            found.append(replace(
                one, side=part.side or (_OTHER_SIDE.get(one.side, "") if other else one.side),
                position=part.position or one.position,
                count=part.count or (one.count if plain else ""), of=one.of if plain else "",
                build=one.build if other or not part.build else part.build,
            ))  # fmt: skip
    return found


def part_fields(part: PartMention) -> dict[str, str]:
    """Return the fields of a text line that a part's own words fill."""
    fields = {"description": part.name, "side": part.side, "position": part.position,
              "quantity": _quantity(part), "build": part.build}  # fmt: skip
    return {key: value for key, value in fields.items() if value}


def _quantity(part: PartMention) -> str:
    if part.of:
        return f"{part.count} of {part.of}"
    return part.count.replace("2+", "several").replace("3+", "lots")


def _state_fields(found: Found, act: Act, slot: str) -> dict[str, str]:
    piece = found.slots.get(slot)
    if not piece:
        return {}
    state = act.view.mention(piece)
    if not isinstance(state, StateMention):
        return {}
    fields = {"presence": state.presence, "service": state.service, "making": state.making}
    return {key: value for key, value in fields.items() if value}


def _worded(found: Found, act: Act) -> dict[str, str]:
    """Return the fields that a slot of words fills: ``{work:words}``, ``{place:words}`` ..."""
    fields: dict[str, str] = {}
    for name, text in found.slots.items():
        start = found.slot_starts[name]
        if name in {
            "work",
            "reason",
            "companions",
            "place",
            "to_description",
            "price",
            "statement",
            "feature",
            "feature_value",
            "conclusion",
            "happened_on",
        }:
            fields[name] = act.view.words_of(start, start + len(text)).strip(" ,.")
        elif name in {"build", "to_build"}:
            fields[name] = act.view.mention(text).text  # type: ignore[union-attr]
        elif name == "to":
            part = next(iter(act.view.parts(text)), None)
            if part is not None:
                fields |= {"to_description": part.name, "to_side": part.side,
                           "to_position": part.position, "to_build": part.build}  # fmt: skip
    if "all" in found.saying.means.get("told", ""):
        fields[found.saying.means.get("field", "statement")] = act.view.sentence.text
    return {key: value for key, value in fields.items() if value}


def _by_state(statement: Statement) -> Statement:
    """Return a statement in whose fields the parts' own words and the state agree."""
    fields = dict(statement.fields)
    fields.pop("told", None)
    fields.pop("field", None)
    if statement.kind == "survey" and fields.get("presence") == "missing":
        fields.pop("service", None)
    return replace(statement, fields=fields)


def _name(act: Act, mark: str) -> NameMention | None:
    marks = re.findall(r"<[vnhi]\d+>", mark)
    return act.view.mention(marks[0]) if marks else None  # type: ignore[return-value]


def _vehicles(found: Found, act: Act, context: Context) -> tuple[str, ...]:
    name = _name(act, found.slots.get("vehicle", ""))
    if name is not None and name.sort != "writer":
        return (name.text,)
    return context.vehicles if found.saying.kind in _OF_VEHICLES else ()


def _people(found: Found, act: Act, context: Context) -> tuple[str, ...]:
    text = _person_text(act, found.slots.get("person", ""), context)
    if text:
        return (text,)
    return (
        context.people[:1] or ((context.writer,) if context.writer else ())
        if (found.saying.kind in _OF_PEOPLE)
        else ()
    )


def _person_text(act: Act, mark: str, context: Context) -> str:
    """Return a person's name as written; "I" is the writer, "he" the last person named."""
    name = _name(act, mark)
    if name is None:
        return ""
    if name.sort == "writer":
        return context.writer
    if name.pronoun:
        return next(iter(context.people), "")
    return name.text

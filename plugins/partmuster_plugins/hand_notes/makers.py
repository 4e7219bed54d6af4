"""From a saying found in a sentence to statements: one for each part of its lists."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .amounts import number_of
from .conditions import adjusted, denial, opposite, somebodys, state_fields
from .expressions import expression
from .follow import side_at_head
from .lexicon import singular
from .parts import PartMention
from .seen_parts import OWN_PARTS, seen_parts
from .statement import Statement

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from .acts import Act
    from .context import Context
    from .names import NameMention
    from .patterns import Found
    from .view import View

#: Kinds that are about a vehicle, and kinds that are somebody's.
_OF_VEHICLES = frozenset({"survey", "feature", "history"})
_OF_PEOPLE = frozenset({"holding", "want", "promise", "lead"})


def statements_of(found: Found, act: Act, context: Context) -> list[Statement]:
    """Return what a saying says at one place of a sentence; none where it names nothing."""
    saying = found.saying
    if saying.kind in {"", "nothing"}:
        return []
    states = _states(found, act, context)
    if states is None:
        return []
    base = _base(found, act, context)
    fields = {
        key: value
        for key, value in saying.means.items()
        if key not in _NO_FIELDS and "." not in key
    }
    fields |= states
    fields |= _worded(found, act)
    made: list[Statement] = []
    for slot, kind, more in _part_slots(found, base.kind):
        given = _given(found, slot, fields, more)
        made += [
            replace(base, kind=kind, fields={**part_fields(part), **adjusted(given, part)})
            for part in _parts_of(found, act, context, slot)
        ]
    if base.kind == "survey":
        made = _seen(made, found, act, context, fields)
    if not made and base.kind in {"feature", "history", "lead", "fit"}:
        made.append(replace(base, fields=fields))
    return [_by_state(one) for one in made if one.kind != "survey" or one.fields.get("presence")]


def _states(found: Found, act: Act, context: Context) -> dict[str, str] | None:
    """Return the state that a saying tells; None: it does not hold here."""
    means = found.saying.means
    states = state_fields(found, act, means)
    if (
        states is None
        or ("going" in means and not context.on_survey)
        or not _about_vehicle(found, act)
        or somebodys(found, act, states)
    ):
        return None
    if "again" not in means:
        return states
    states = said_again(context)
    if not states:
        not_so = means["again"] == "denied" and " is not " in act.view.text[found.start : found.end]
        return {"presence": "missing"} if not_so else None
    if means["again"] == "yes":
        return states
    return opposite(states) if means["again"] == "opposite" else dict(context.denial)


def _base(found: Found, act: Act, context: Context) -> Statement:
    """Return a statement with all that does not depend on a part."""
    saying = found.saying
    first_hand = act.first_hand(found.start) and saying.means.get("first_hand", "yes") != "no"
    return Statement(
        kind=saying.kind, rule=saying.rule, words=act.view.sentence.text,
        sure=act.sure(found.start, found.end) and saying.means.get("sure", "yes") != "no",
        first_hand=first_hand, said_on=context.day,
        said_by="" if first_hand else _person_text(act, act.said_by, context),
        vehicles=_vehicles(found, act, context), people=_people(found, act, context),
    )  # fmt: skip


def _given(found: Found, slot: str, fields: dict[str, str], more: dict[str, str]) -> dict[str, str]:
    """Return the fields that hold for the parts of a slot."""
    if slot == "not":
        other = opposite(fields)
        given = {**fields, **other}
        return given if "service" in other else _without(given, "service")
    return fields | more if slot in OWN_PARTS else {**more, **_prefixed(found.saying.means, slot)}


def _parts_of(found: Found, act: Act, context: Context, slot: str) -> list[PartMention]:
    """Return the parts of a slot, what stands for others resolved."""
    survey = found.saying.kind == "survey"
    parts = resolved(act.view.parts(found.slots[slot]), act.view, context, survey=survey)
    if not survey:
        return parts
    parts = [one for one in parts if not _OF_BUILD.search(one.build)]
    side = context.side or side_at_head(act.view)
    return seen_parts(parts, found, act, own=slot in OWN_PARTS, side=side)


def _seen(
    made: list[Statement], found: Found, act: Act, context: Context, fields: dict[str, str]
) -> list[Statement]:
    """Return the lines of what was seen, with what is excepted or is elsewhere now."""
    if made and "again" not in found.saying.means:
        context.denial = denial(found, act, fields)
    if "excepted" in found.slots and made:
        made = [*made, _excepted(made[0], found)]
    if "onto" in found.slots:
        made = [*made, *(_moved(one, found, act) for one in made)]
    return made


#: What a saying means beside fields of a line.
_NO_FIELDS = frozenset({
    "only", "denied", "again", "before", "total", "plan", "single", "neither", "donor", "every",
    "made", "back", "going", "bad", "off", "alone", "sure", "first_hand",
})  # fmt: skip
_OF_BUILD = expression(r"^(?:mk|mark|early|late)\b", re.IGNORECASE)


def _about_vehicle(found: Found, act: Act) -> bool:
    """Tell whether "she" in a saying is a vehicle, as far as the words can tell."""
    mark = found.slots.get("she", "").strip()
    if not mark:
        return True
    name = act.view.mention(mark)
    return getattr(name, "text", "").lower() == "she"


def _without(fields: dict[str, str], name: str) -> dict[str, str]:
    return {key: value for key, value in fields.items() if key != name}


def _excepted(made: Statement, found: Found) -> Statement:
    """Return the line of "bar two": as many, in the opposite state."""
    fields = _without(_without(dict(made.fields), "service"), "making")
    count = number_of(found.slots["excepted"].strip())
    return replace(made, fields={**fields, **opposite(made.fields), "quantity": count})


def _moved(made: Statement, found: Found, act: Act) -> Statement:
    """Return the line of the vehicle on which a part is now."""
    name = _name(act, found.slots["onto"])
    vehicles = (name.text,) if name is not None else made.vehicles
    return replace(made, vehicles=vehicles, fields={**made.fields, "presence": "fitted"})


def said_again(context: Context) -> dict[str, str]:
    """Return the state that "ditto" repeats: the one said last."""
    last = context.said[-1].fields if context.said else {}
    return {key: last[key] for key in ("presence", "service", "making") if last.get(key)}


def _part_slots(found: Found, kind: str) -> list[tuple[str, str, dict[str, str]]]:
    """Return the slots that name parts of lines of their own, with the kind of each."""
    slots: list[tuple[str, str, dict[str, str]]] = []
    for name in found.slots:
        if name in {"parts", "part", "list", "again", "not"}:
            slots.append((name, kind, {}))
        elif name in {"want", "holding", "promise", "survey"}:
            slots.append((name, name, {}))
    return slots


def _prefixed(means: Mapping[str, str], slot: str) -> dict[str, str]:
    start = f"{slot}."
    return {key[len(start) :]: value for key, value in means.items() if key.startswith(start)}


OTHER_SIDE = {"left": "right", "right": "left", "near": "off", "off": "near"}


def resolved(
    parts: Iterable[PartMention], view: View, context: Context, *, survey: bool = False
) -> list[PartMention]:
    """Return parts, "it" and "the left one" replaced by what they stand for.

    That is what the sentence named before, else the sentence before it; of a ``survey`` only if
    that told of a part's state too.
    """
    found: list[PartMention] = []
    for part in parts:
        if not part.pronoun:
            found.append(part)
            continue
        plain = part.which in {"it", "they", "them", "these", "those", "both"} and not part.side
        named = [
            one for one in view.mentions
            if isinstance(one, PartMention) and not one.pronoun and one.end <= part.start
        ]  # fmt: skip
        if survey and not named and not context.on_survey:
            continue
        last = _last_said(context) if survey else []
        meant = (
            [one for one in named if last and one.name == last[-1].name][-1:]
            or named[-1:]
            or (_of_many(context.told, part, context) if survey else [])
            or ([] if survey else list(context.parts))
        )
        if part.which == "it":
            meant = meant[-1:]
        if part.owner and not named:
            meant = list(context.parts[-1:])
        for one in meant if plain else meant[-1:]:
            other = part.build == "other"
            alone = (
                "1" if other and not (part.side or part.name or _other_side(one, context)) else ""
            )
            name = one.name
            if part.owner:
                name = f"{part.owner} {singular(name.rsplit(' ', 1)[-1])}"
            found.append(replace(
                one, name=name,
                side=part.side or (_other_side(one, context) if other else one.side),
                position=part.position or one.position,
                count=part.count or (one.count if plain else alone),
                of=one.of if plain else "",
                build=one.build if other or not part.build else part.build,
            ))  # fmt: skip
    return found


def _of_many(told: Sequence[PartMention], part: PartMention, context: Context) -> list[PartMention]:
    """Return what was told of; "the nearside one" only of what there are several."""
    if not part.side or context.asked:
        return list(told)
    return [one for one in told if one.side or one.position or one.plural]


def _last_said(context: Context) -> list[PartMention]:
    """Return the parts of which the last survey lines told."""
    return [
        PartMention(0, 0, one.fields.get("description", ""), one.fields.get("side", ""),
                    one.fields.get("position", ""))
        for one in context.said
    ]  # fmt: skip


def _other_side(part: PartMention, context: Context) -> str:
    """Return the side across from a part's, or from the one of which it was said last."""
    side = part.side or (context.said[-1].fields.get("side", "") if context.said else "")
    return OTHER_SIDE.get(side, "")


def part_fields(part: PartMention) -> dict[str, str]:
    """Return the fields of a text line that a part's own words fill."""
    fields = {"description": part.name, "side": part.side, "position": part.position,
              "quantity": _quantity(part), "build": part.build}  # fmt: skip
    return {key: value for key, value in fields.items() if value}


def _quantity(part: PartMention) -> str:
    if part.of:
        return f"{part.count} of {part.of}"
    return part.count.replace("2+", "several").replace("3+", "lots")


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
    sure = statement.sure or (
        statement.kind == "survey" and fields.get("presence") == "could-not-be-seen"
    )
    return replace(statement, fields=fields, sure=sure)


def _name(act: Act, mark: str) -> NameMention | None:
    marks = re.findall(r"<[vnhi]\d+>", mark)
    return act.view.mention(marks[0]) if marks else None  # type: ignore[return-value]


def _vehicles(found: Found, act: Act, context: Context) -> tuple[str, ...]:
    name = _name(act, found.slots.get("vehicle", ""))
    if name is not None and name.sort != "writer" and not name.pronoun:
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

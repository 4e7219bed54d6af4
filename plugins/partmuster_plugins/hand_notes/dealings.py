"""From a saying about who has, wants, promises or may have a part to statements.

Whose it is, for which vehicle, where and for how much: what the saying's slots do not tell is
looked for in the words around it (``around``), then in what the note said before.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .around import around
from .expressions import expression
from .holdings import holdings_of
from .leads import leads_of
from .parts import PartMention
from .promises import promises_of
from .telling import Telling, head_of, last_name
from .wants import wants_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from .acts import Act
    from .context import Context
    from .patterns import Found
    from .statement import Statement

_MAKERS: dict[str, Callable[[Telling], Iterator[Statement]]] = {
    "holding": holdings_of, "want": wants_of, "promise": promises_of, "lead": leads_of,
}  # fmt: skip
KINDS = frozenset(_MAKERS)
_NOT_SO = expression(
    r" (?:not|no longer|never|nor|without|if only|as if|used to|nobody|no one) (?:[^\s<,;]+ ){0,1}$"
)
#: "Lets Gwen have a shackle" is no holding of hers.
_LETS = expression(r" (?:lets?|letting|makes?|helps?) (?:that <s\d+> )?$")
#: "At the pump 7.30" is a time at a place.
_AT = expression(r" (?:at|from|outside|near|by|to) $")
_IF = expression(
    r" (?:if|unless|wish|suppose|supposing|imagine|whether) (?!you |anyone |anybody |<a)[^;]*$"
)


def _is_none(found: Found, before: str) -> bool:
    """Tell whether the words before a saying take from it that anything is dealt with."""
    kind = found.saying.kind
    return bool(
        _NOT_SO.search(before)
        or (kind != "want" and _IF.search(before))
        or (kind == "holding" and _LETS.search(before))
        or (found.saying.rule == "has a price" and _AT.search(before))
    )


def dealings_of(found: Found, act: Act, context: Context) -> list[Statement]:
    """Return what a saying of having, wanting, promising or hearing of a part says."""
    view = act.view
    before = view.text[: found.start]
    if _is_none(found, before):
        return []
    behind = (found.slot_starts[slot] for slot in ("where", "state") if slot in found.slots)
    near = around(view, min(behind, default=found.end), context)
    if near.gone and found.saying.kind in {"holding", "want"}:
        return []
    named = found.slots.get("things", "") + found.slots.get("goods", "")
    if context.dealt[0] is view.sentence and found.start < context.dealt[1] and "<p" not in named:
        return []  # "one of them for sale": said already of what "them" is
    told = Telling(found, act, context, near)
    if not named:
        return list(_of_the_last(told))
    made = list(_MAKERS[found.saying.kind](told))
    context.dealt = (view.sentence, near.reach)
    kept = tuple(one for one in made if one.kind in {"holding", "promise"})
    context.dealings = kept or context.dealings
    return made


def _of_the_last(told: Telling) -> Iterator[Statement]:
    """Yield what is said of the part named last, or of the last holding or promise of it."""
    parts = [one for one in told.act.view.mentions if isinstance(one, PartMention)
             and not one.pronoun]  # fmt: skip
    before = [one for one in parts if one.start < told.word()]
    last = (before or list(told.context.parts))[-1:]
    if not last:
        return
    if told.found.saying.kind == "want":
        if told.behind().startswith("of "):
            return  # "obliged for a pair of trousers"
        yield told.made("want", told.person("person"), replace(last[0], count=""), {})
    elif "want" in told.found.slots:
        yield from _swapped(told, last[0])
    elif not parts:
        yield from _went_on(told, last[0])


def _swapped(told: Telling, part: PartMention) -> Iterator[Statement]:
    """Yield what the part named last is to be swapped for ("I would swap it for a hood")."""
    deal = told.deal("avail")
    if deal is None or deal.availability != "swap":
        return
    person = told.person("person")
    yield told.made("holding", person, part, {"availability": "swap"})
    for item in told.items("want"):
        yield told.made("want", person, item.part, {"build": item.build})


def _went_on(told: Telling, part: PartMention) -> Iterator[Statement]:
    """Yield the last holding or promise of a part as it is now ("He said yes")."""
    kind = told.found.saying.kind
    deal = told.deal("stage", "avail")
    if deal is None:
        return
    spoken = [one for one in told.context.dealings if one.kind == kind and head_of(part)
              == last_name(one.fields["description"])]  # fmt: skip
    if not spoken and kind == "holding" and part in told.context.loose and deal.availability:
        yield told.made("holding", told.person("person"), part, {"availability": deal.availability})
        return
    for one in told.context.dealings:
        alike = head_of(part) == last_name(one.fields["description"])
        known = deal.stage and one.fields.get("stage") == deal.stage
        if one.kind != kind or not alike or known:
            continue
        said = {"stage": deal.stage} if kind == "promise" else {"availability": deal.availability}
        if " the other " in told.act.view.text[: told.found.start + 1]:
            said["quantity"] = "1"
        again = replace(one, rule=told.found.saying.rule, words=told.act.view.sentence.text,
                        fields={**one.fields, **said}, said_on=told.context.day)  # fmt: skip
        if kind == "promise":
            told.context.promised[head_of(part)] = again
        yield again

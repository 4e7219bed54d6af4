"""The vehicles that a statement may be about, with the ways back to those named before it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .expressions import expression
from .nearness import families_of, with_family
from .trail import Near

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .context import Context
    from .sentences import Sentence
    from .statement import Statement
    from .trail import Trail
    from .view import View

PRONOUNS = frozenset({"she", "it", "her", "he", "him"})
#: Kinds that are about a vehicle.
OF_VEHICLES = frozenset({"survey", "feature", "history"})
_SURE = expression(
    r"(?:the )?[A-Za-z]{3,}(?: [A-Za-z]{3,})?(?: [Nn]o\.?)? ?(?:\d{1,4}[a-z]?|[IVX]+)"
    r"|[A-Z]{1,3} ?\d{1,4}[A-Z]?|(?:[Nn]o|[Nn]umber|[Nn]r)\.? ?\d+|[A-Za-z]{3,} [A-Z]"
)
#: These words point back to what was spoken of last.
_BACK = expression(
    r" (?:she|her|hers|him|that one|this one|same one|the old girl) "
    r"|^ (?:and |but |so )?it (?:still |also |now )?"
    r"(?:has|had|'s got|has got|lacks|needs|wants) "
)

#: So many words may only name a vehicle, without one of these.
_FEW_WORDS = 7
_VERB = re.compile(r" (?:is|are|was|were|has|had|have|'s|came|went|goes|go|can|could|will|said) ")


def looks_sure(name: str, context: Context) -> bool:
    """Tell whether a name shows that it is a vehicle's: by its number or its plate."""
    name = re.sub(r" \(.*\)$", "", name)
    small = name[:1].islower() and not context.small
    return bool(_SURE.fullmatch(name)) and (not small or name.casefold().startswith("no"))


def says_no_more(view: View) -> bool:
    """Tell whether a line only names something: few words, no part, no state, no verb."""
    return (
        len(view.sentence.words) <= _FEW_WORDS and not re.search(r"<[pks]\d+>", view.text)
        and not _VERB.search(view.text)
    )  # fmt: skip


def points_back(sentence: Sentence) -> bool:
    """Tell whether a sentence speaks on of what was spoken of last."""
    return bool(_BACK.search(f" {' '.join(word.low for word in sentence.words)} "))


def with_ways_back(
    statement: Statement, context: Context, trail: Trail, here: Sequence[Near], *, topic: bool,
    back: bool,
) -> Statement:  # fmt: skip
    """Return a statement with the vehicles that are meant if the club knows no nearer one.

    ``here``: names in its sentence; ``topic``: the sentence names its vehicle; ``back``: its words
    point back.
    """
    own = statement.vehicles
    if own and own[0].casefold() in PRONOUNS:
        own = context.vehicles
    if statement.kind not in OF_VEHICLES:
        return replace(statement, vehicles=own)
    derived = not own or own == context.vehicles
    last_one = trail.spoken[:1] if back and derived and not topic else []
    said = bool(last_one) and last_one[0].sure
    if said:  # "she" is the last one spoken of
        own = (last_one[0].text,)
    first, rest = (own, ()) if derived else (own[:1], own[1:])
    placed = [one.text for one in here if one.placed] if derived and not topic else []
    placed += trail.turned(first) if derived and not topic and first else []
    placed += [one.text for name in first for one in with_family(name, trail)]
    near = tuple(one for one in dict.fromkeys(placed) if one not in first)
    sure = said or (len(first) == 1 and looks_sure(first[0], context))
    walk, stops = (
        ((), False)
        if sure
        else trail.walk([*_named(rest, context), *here], back=back, but=frozenset(first))
    )
    hosts, whose = families_of([*first, *near], trail, context.writer)
    passed = {*first, *near}
    last = walk[-1:] if stops and walk[-1] not in passed else ()
    others = tuple(one for one in walk if one not in passed and one not in last)
    return replace(
        statement, vehicles=first, near=near, else_of=(*others, *hosts, *last),
        stops=bool(last), or_of=whose,
    )  # fmt: skip


def _named(names: Sequence[str], context: Context) -> list[Near]:
    return [Near(one, looks_sure(one, context)) for one in names]

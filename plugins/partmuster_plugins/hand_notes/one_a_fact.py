"""One line a fact: what is said of one thing in several clauses is put together.

Later words that disagree win ("missing. No, scrub that, it's there"). Of a pair of which one
side is told apart, what was said of both holds for the other ("both there, nearside rotten").
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .lexicon import singular
from .makers import OTHER_SIDE

if TYPE_CHECKING:
    from .note import Stated
    from .statement import Statement

#: So many survey lines back a thing may have been told of.
_BACK = 6
_NOT_THERE = frozenset({"stand-in", "off-and-kept", "away-for-repair"})


def one_a_fact(stated: list[Stated]) -> list[Stated]:
    """Return the lines of a note with those about one thing put together."""
    kept: list[Stated] = []
    for one in stated:
        if not _is_seen(one.statement):
            kept.append(one)
            continue
        near = [at for at, other in enumerate(kept) if _is_seen(other.statement)][-_BACK:]
        at = next((at for at in reversed(near) if _same(kept[at].statement, one.statement)), None)
        if at is None:
            kept.append(one)
        else:
            kept[at] = replace(kept[at], statement=_joined(kept[at].statement, one.statement))
    return _pairs(kept)


def _is_seen(statement: Statement) -> bool:
    return statement.kind == "survey" and bool(statement.fields.get("description"))


def _name(statement: Statement) -> str:
    return " ".join(singular(word) for word in statement.fields["description"].lower().split())


def _same(first: Statement, second: Statement) -> bool:
    """Tell whether two survey lines are about one thing on one vehicle on one day."""
    if (
        first.vehicles != second.vehicles
        or first.said_on != second.said_on
        or _name(first) != _name(second)
        or any(first.fields.get(key) != second.fields.get(key) for key in ("side", "position"))
    ):
        return False
    if " other " in second.words and first.fields.get("quantity") == "1":
        return False
    many, more = first.fields.get("quantity", ""), second.fields.get("quantity", "")
    return not more or many == more or (
        not many
        and first.fields.get("presence") == second.fields.get("presence")
        and not (second.fields.get("service") or second.fields.get("making"))
    )  # fmt: skip


def _joined(first: Statement, second: Statement) -> Statement:
    """Return a line and what a later clause says of the same thing, as one."""
    old, new = first.fields, second.fields
    was, now = old.get("presence", ""), new.get("presence", "")
    judged = new.get("service") or new.get("making")
    if now == "could-not-be-seen":
        return first
    if was == now or (now == "fitted" and was in _NOT_THERE and judged):
        sure = first.sure and second.sure
        if not old.get("quantity"):
            new = {key: value for key, value in new.items() if key != "quantity"}
        return replace(first, fields={**old, **new, "presence": was}, sure=sure)
    amount = {"quantity": old["quantity"]} if old.get("quantity") else {}
    return replace(second, fields={**amount, **new})


def _pairs(stated: list[Stated]) -> list[Stated]:
    """Return lines in which what is said of a pair holds for the side not told apart."""
    kept: list[Stated] = []
    for at, one in enumerate(stated):
        if not _is_seen(one.statement) or not _is_pair(one.statement):
            kept.append(one)
            continue
        sides = {
            other.statement.fields["side"]
            for other in stated[at + 1 : at + 1 + _BACK]
            if _of_pair(one.statement, other.statement)
        }
        if not sides:
            kept.append(one)
        elif len(sides) == 1:
            fields = {
                key: value for key, value in one.statement.fields.items() if key != "quantity"
            }
            fields["side"] = OTHER_SIDE[next(iter(sides))]
            kept.append(replace(one, statement=replace(one.statement, fields=fields)))
    return kept


def _is_pair(statement: Statement) -> bool:
    name = statement.fields["description"].lower().rsplit(" ", 1)[-1]
    many = statement.fields.get("quantity", "")
    return not statement.fields.get("side") and (
        many == "2" or (not many and name != singular(name))
    )


def _of_pair(pair: Statement, one: Statement) -> bool:
    return (
        _is_seen(one)
        and one.fields.get("side") in OTHER_SIDE
        and pair.vehicles == one.vehicles
        and pair.said_on == one.said_on
        and _name(pair) == _name(one)
        and pair.fields.get("position", "") == one.fields.get("position", "")
    )

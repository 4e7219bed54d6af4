"""One line a dealing: what a note says later of a promise, a holding or a want on the same day.

"Nell lets Maud have the windscreen arm. Maud accepted." is one promise, agreed. A promise that came
to an end takes the holding with it that was bound by it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .lexicon import singular

if TYPE_CHECKING:
    from .note import Stated
    from .statement import Statement

#: So many lines back a dealing may have been told of.
_BACK = 12
_OVER = frozenset({"collected", "fitted", "withdrawn", "broken"})


def last_word(stated: list[Stated]) -> list[Stated]:
    """Return the lines of a note, those about one dealing put together by the later words."""
    kept: list[Stated] = []
    for one in stated:
        said = one.statement
        if said.kind not in {"promise", "holding", "want"} or not said.fields.get("description"):
            kept.append(one)
            continue
        if said.kind == "promise" and said.fields.get("stage") in _OVER:
            kept = [other for other in kept if not _bound(other.statement, said)]
        near = range(len(kept) - 1, max(len(kept) - _BACK, 0) - 1, -1)
        at = next((at for at in near if _same(kept[at].statement, said)), None)
        if at is None:
            kept.append(one)
        else:
            kept[at] = replace(one, statement=_joined(kept[at].statement, said))
    return kept


def _bound(holding: Statement, promise: Statement) -> bool:
    """Tell whether a holding is the one that a promise bound."""
    return (
        holding.kind == "holding"
        and holding.fields.get("availability") == "promised"
        and _alike(holding, promise)
    )


def _alike(first: Statement, second: Statement) -> bool:
    return (
        (first.kind == "want" or _day(first) == _day(second))
        and _person(first, second)
        and _one_name(first.fields["description"], second.fields["description"])
        and _agree(first, second, "side")
    )


def _day(statement: Statement) -> tuple[object, object]:
    return statement.said_on, statement.fields.get("date")


def _one_name(first: str, second: str) -> bool:
    """Tell whether one name of a part is the other, or shorter for it."""
    was = [singular(word) for word in first.casefold().split()]
    now = [singular(word) for word in second.casefold().split()]
    return was[-1] == now[-1] and (set(was) <= set(now) or set(now) <= set(was))


def _same(first: Statement, second: Statement) -> bool:
    """Tell whether two lines are about one dealing."""
    if first.kind != second.kind or not _alike(first, second):
        return False
    if first.kind == "promise":
        return True
    deals = {one.fields.get("availability", "") for one in (first, second)} - {"", "promised"}
    counts = first.fields.get("quantity") and second.fields.get("quantity") == "1"
    if len(deals) > 1 and counts:
        return False  # "one of them for sale. The other stays with me"
    return all(_agree(first, second, key) for key in ("quantity", "position", "build")) and (
        first.kind == "want" or first.sure == second.sure
    )


def _agree(first: Statement, second: Statement, key: str) -> bool:
    was, now = first.fields.get(key, ""), second.fields.get(key, "")
    return was == now or not was or not now


def _person(first: Statement, second: Statement) -> bool:
    was, now = next(iter(first.people), ""), next(iter(second.people), "")
    return was == now or was.split(" ")[0] == now.split(" ")[0]


def _joined(first: Statement, second: Statement) -> Statement:
    """Return the later line with what only the earlier one said."""
    name = max((first.fields["description"], second.fields["description"]), key=len)
    return replace(
        second,
        fields={**first.fields, **second.fields, "description": name},
        vehicles=second.vehicles or first.vehicles,
        people=max((first.people, second.people), key=lambda people: len("".join(people[:1]))),
    )

"""What people decided of two things that may be one: which things are one by that."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from .decisions import Standing

SAME_ITEM: Final = "same-item"
SAME_SHEET: Final = "same-sheet"
SAME_VEHICLE: Final = "same-vehicle"
SAME_PERSON: Final = "same-person"
SAME: Final = "same"
DIFFERENT: Final = "different"
#: Of two sheets: not one list, but each of their items may stand in both.
ONE_BY_ONE: Final = "one by one"

Pair = tuple[str, str]


def pair_of(subject: str) -> Pair:
    """Return the two things of a question's subject, in order."""
    one, _, other = subject.partition("|")
    return (one, other) if one <= other else (other, one)


def subject_of(one: str, other: str) -> str:
    """Return the subject of the question whether two things are one."""
    return "|".join(sorted((one, other)))


def decided(standing: Mapping[str, Standing], answer: str) -> dict[Pair, Standing]:
    """Return the pairs for which an answer stands."""
    return {pair_of(key): said for key, said in standing.items() if said.answer == answer}


def groups_of(pairs: Iterable[Pair], apart: Iterable[Pair] = ()) -> list[list[str]]:
    """Return the things that are one by these pairs, each group in order.

    A group that holds two things which are said not to be one contradicts itself: it is none.
    """
    leader: dict[str, str] = {}

    def leading(thing: str) -> str:
        while leader.setdefault(thing, thing) != thing:
            thing = leader[thing]
        return thing

    for one, other in sorted(pairs):
        first, second = sorted((leading(one), leading(other)))
        leader[second] = first
    contradicted = {
        leading(one)
        for one, other in apart
        if one in leader and other in leader and leading(one) == leading(other)
    }
    found: dict[str, list[str]] = {}
    for thing in sorted(leader):
        if leading(thing) not in contradicted:
            found.setdefault(leading(thing), []).append(thing)
    return [found[first] for first in sorted(found)]


def one_by_decision(standing: Mapping[str, Standing]) -> list[list[str]]:
    """Return the things that are one as people decided on a topic."""
    return groups_of(decided(standing, SAME), decided(standing, DIFFERENT))

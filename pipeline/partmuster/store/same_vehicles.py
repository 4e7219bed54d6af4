"""Vehicles that may be one under two names: two of them carry one typed number."""

from __future__ import annotations

import itertools
import re
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from .registered import Entry, Registered

#: Typed numbers, and whether each is counted within a family: by its maker, or by the club.
_SORTS: Final = {"club number": True, "works number": True, "service number": False,
                 "civil number": False}  # fmt: skip
#: A number on more vehicles than this tells of none.
_MOST = 6


@dataclass(frozen=True, slots=True)
class Suspicion:
    """Two vehicles that may be one: names as in the register, and the question in words."""

    subject: str
    question: str


def identity_number(said: str) -> str:
    """Return a typed number as numbers are compared: "No. 0143" is 143."""
    plain = re.sub(r"[^A-Z0-9]", "", said.upper())
    return re.sub(r"^0+(?=\d)", "", re.sub(r"^(?:NUMBER|NO|NR)(?=\d)", "", plain))


def suspected_vehicles(
    registered: Registered, called: Mapping[str, str] | None = None
) -> list[Suspicion]:
    """Return the pairs of registered vehicles that carry the same number of one sort.

    ``called``: names as written, by folded ones.
    """
    carriers: dict[tuple[str, str], list[Entry]] = defaultdict(list)
    for entry in registered.ids.values():
        for sort, number in sorted(set(_numbers(entry))):
            carriers[sort, number].append(entry)
    reasons: dict[str, list[str]] = defaultdict(list)
    pairs: dict[str, tuple[Entry, Entry]] = {}
    for (sort, number), entries in sorted(carriers.items(), key=lambda item: item[0]):
        if len(entries) > _MOST:
            continue
        for one, other in itertools.combinations(sorted(entries, key=lambda e: e.key), 2):
            if _may_be_one(one, other, sort):
                subject = f"{one.key}|{other.key}"
                pairs[subject] = one, other
                reasons[subject].append(f"{sort} {number}")
    return [
        Suspicion(subject, _question(*pairs[subject], said, called or {}))
        for subject, said in sorted(reasons.items())
    ]


def _numbers(entry: Entry) -> Iterator[tuple[str, str]]:
    for text, sort in entry.typed:
        number = identity_number(text)
        if any(sign.isdigit() for sign in number):
            yield sort, number


def _may_be_one(one: Entry, other: Entry, sort: str) -> bool:
    if not _SORTS[sort]:
        return True
    if not one.families or not other.families:
        return sort != "club number"
    return not one.families.isdisjoint(other.families)


def _question(one: Entry, other: Entry, shared: Iterable[str], called: Mapping[str, str]) -> str:
    names = " and ".join(f'"{called.get(entry.name, entry.name)}"' for entry in (one, other))
    differing = [sort for sort in _SORTS if _differ(one, other, sort)]
    if one.families and other.families and one.families.isdisjoint(other.families):
        differing.insert(0, "family")
    said = f"Are {names} one vehicle under two names? Both have {' and '.join(shared)}"
    if differing:
        return f"{said}; but they differ by {', '.join(differing)}: or is one of the sheets wrong?"
    return f"{said}."


def _differ(one: Entry, other: Entry, sort: str) -> bool:
    ours, theirs = (
        {number for its, number in _numbers(entry) if its == sort} for entry in (one, other)
    )
    return bool(ours) and bool(theirs) and ours.isdisjoint(theirs)

"""Short names of members, and phrases that tell a vehicle: who or what each can mean, and why.

A name that stands in a register is no matter for this module. A finding is sure only where no
other member or vehicle can be meant and no word is left over; else it is offered to a person.
"""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .registered import plain

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from .registered import Entry, Registered

#: All common practice, no source.
_TITLES = frozenset({
    "mr", "mrs", "miss", "ms", "mx", "dr", "sir", "dame", "lady", "lord", "rev", "revd", "prof",
    "capt", "captain", "major", "col", "colonel", "sgt", "lt",
})  # fmt: skip
_ARTICLES = frozenset({"the", "a", "an", "our", "club", "clubs", "that", "this"})
#: Words that may stand beside a vehicle's name and tell no other.
_BESIDE = _ARTICLES | {
    "at", "in", "of", "s", "on", "from", "vehicle", "machine", "tractor", "one", "hulk", "wreck",
    "mk", "mark", "registration", "reg", "registered", "plate", "called", "named", "known", "as",
}  # fmt: skip
_NUMBER_WORDS = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
    "twenty",
)  # fmt: skip
_NUMBERS = {word: str(at) for at, word in enumerate(_NUMBER_WORDS, 1)}
#: Everyday words that are nobody's initials.
_NO_INITIALS = frozenset({
    "am", "an", "as", "at", "be", "by", "do", "go", "he", "if", "in", "is", "it", "me", "my", "na",
    "nk", "no", "of", "ok", "on", "or", "so", "to", "up", "us", "we", "all", "any", "for", "him",
    "her", "our", "tba", "tbc", "the", "you",
})  # fmt: skip
_FEWEST_LETTERS = 2  # of a first name or surname that stands alone
_MOST_OFFERED = 8


@dataclass(frozen=True, slots=True)
class Meant:
    """Who or what a name can mean: ids, and why. Sure where there is one and no doubt."""

    ids: tuple[str, ...] = ()
    reason: str = ""
    sure: bool = False


NOBODY = Meant()


def _found(ids: Iterable[str], reason: str, *, sure: bool = True) -> Meant:
    some = tuple(sorted(set(ids)))
    if len(some) > 1:
        return Meant(some[:_MOST_OFFERED], f"{len(some)} may be meant")
    return Meant(some, reason, sure) if some else NOBODY


class People:
    """Members by the short forms of their names."""

    def __init__(self, registered: Registered) -> None:
        self.registered = registered
        self._short: dict[str, dict[str, str]] = defaultdict(dict)
        for entity, entry in registered.ids.items():
            for text, why in _forms(entry).items():
                self._short[text].setdefault(entity, why)

    def named(self, name: str) -> Meant:
        """Return whom a name means that is no member's whole name."""
        words = plain(name).split()
        while words and words[0] in _TITLES:
            words = words[1:]
        if len(words) > 1 and words[-1] == "s":  # "Hester's"
            words = words[:-1]
        short = self._short.get(" ".join(words), {})
        titled = len(words) == 1 and plain(name).split()[0] in _TITLES
        if titled:  # "Mrs Crane" is no first name
            short = {one: why for one, why in short.items() if why == "surname"}
        whole = self.registered.called.get(" ".join(words), {})
        if whole:
            return _found(whole, f"the {next(iter(whole.values()))} of one member only")
        return _found(short, f"{next(iter(short.values()), '')} of one member only")

    def whose(self, name: str) -> frozenset[str]:
        """Return the ids of all whom a name can mean, whole or short."""
        whole = self.registered.called.get(plain(name), {})
        return frozenset(whole or self.named(name).ids)

    def name_of(self, entity: str) -> str:
        """Return a member's name as one writes it."""
        entry = self.registered.ids.get(entity)
        return " ".join(word.capitalize() for word in entry.name.split()) if entry else entity


def _forms(entry: Entry) -> dict[str, str]:
    """Return the short forms of a member's names, and what each is."""
    words = plain(entry.name).split()
    if len(words) < 2:  # noqa: PLR2004 - a first name and a surname
        return {}
    first, surname = words[0], words[-1]
    forms: dict[str, str] = {}
    others = [text.split() for text, sort in entry.identities.items() if sort == "other name"]
    given = {first: "first name"}
    for other in others:
        if other[0] != first and (len(other) == 1 or other[-1] == surname):
            given.setdefault(other[0], "other name")
    for one, why in given.items():
        if len(one) >= _FEWEST_LETTERS:
            forms.setdefault(one, why)
            forms.setdefault(f"{one} {surname}", "first name and surname")
            forms.setdefault(f"{one} {surname[0]}", "first name and initial")
        forms.setdefault(f"{one[0]} {surname}", "initial and surname")
        forms.setdefault(f"{surname} {one}", "surname first, then first name,")
        forms.setdefault(f"{surname} {one[0]}", "surname first, then initial,")
    if len(surname) >= _FEWEST_LETTERS:
        forms.setdefault(surname, "surname")
    initials = [word[0] for word in words]
    for some in ((first[0], surname[0]), tuple(initials)):
        if "".join(some) not in _NO_INITIALS:
            forms.setdefault("".join(some), "initials")
        forms.setdefault(" ".join(some), "initials")
    return forms


class Vehicles:
    """Vehicles by phrases that tell one: an owner's, a name among other words, a family alone."""

    def __init__(self, registered: Registered, people: People) -> None:
        self.registered, self._people = registered, people
        self._of_family: dict[str, list[str]] = defaultdict(list)
        self._by_last_word: dict[str, set[str]] = defaultdict(set)
        self._unspaced: dict[str, set[str]] = defaultdict(set)
        self._whose: dict[str, set[str]] = defaultdict(set)
        self._short: dict[str, dict[str, str]] = defaultdict(dict)
        for entity, entry in registered.ids.items():
            for family in entry.families:
                self._of_family[family].append(entity)
            for text, sort in entry.identities.items():
                if sort == "civil number" or re.search(r"[a-z] ?\d", text):
                    self._unspaced[text.replace(" ", "")].add(entity)
            words = plain(entry.name).split()
            if len(words) > 1 and words[-1].isalpha() and words[-1] not in entry.families:
                self._by_last_word[words[-1]].add(entity)
            for text, why in _short_forms(words).items():
                self._short[text].setdefault(entity, why)
            for key in entry.whose:
                for person in people.whose(key):
                    self._whose[person].add(entity)

    def named(self, name: str) -> Meant:
        """Return what a phrase means that is no vehicle's name as it stands."""
        words = [_NUMBERS.get(word, word) for word in plain(name).split()]
        while len(words) > 1 and words[0] in _ARTICLES:
            words = words[1:]
        text = plain(" ".join(words))  # without a "no" that stood after an article
        words = text.split()
        if whole := self.registered.called.get(text):
            return _found(whole, f"its {next(iter(whole.values()))}")
        if unspaced := self._unspaced.get(text.replace(" ", "")):
            sorts = {
                sort for one in unspaced
                for said, sort in self.registered.ids[one].identities.items()
                if said.replace(" ", "") == text.replace(" ", "")
            }  # fmt: skip
            plate = not sorts & {"name", "family and club number"}
            return _found(unspaced, "its civil number" if plate else "its name, but for blanks")
        for way in (self._owned, self._inside, self._by_last, self._family_alone, self._by_short):
            meant = way(words)
            if meant.ids:
                return meant
        return NOBODY

    def _owned(self, words: list[str]) -> Meant:
        """Read "hester s otter", "mrs crane s mk 1 otter", "hesters": what somebody has."""
        person, rest = self._possessor(words)
        if not person:
            return NOBODY
        theirs = set().union(*(self._whose.get(one, set()) for one in person))
        named = self._names_in(rest)
        if named:
            right = [one for one in named if one in theirs]
            idle = self._are_idle(rest, right)
            return _found(right or named, "its name, and whose it is", sure=bool(right) and idle)
        entries = self.registered.ids
        families = {word for word in rest if word in self._of_family}
        left = [word for word in rest if word not in families and word not in _BESIDE]
        builds = {word for word in left if word.isdigit() or word in {"early", "mid", "late"}}
        fitting = [
            one for one in theirs
            if families <= entries[one].families
            and builds <= {word for build in entries[one].builds for word in build.split()}
        ]  # fmt: skip
        has = "owns or keeps"
        if len(fitting) > 1 and not families:  # what she owns is hers before what she keeps
            owned = [one for one in fitting if self._owned_by(one, person)]
            has = "owns" if len(owned) == 1 else has
            fitting = owned if len(owned) == 1 else fitting
        build = " ".join(
            f"Mk {word}" if word.isdigit() else word for word in left if word in builds
        )
        family = " ".join(word.capitalize() for word in rest if word in families) or "vehicle"
        who = " or ".join(sorted(self._people.name_of(one) for one in person))
        kind = f"{build} {family}".strip()
        return _found(fitting, f"the only {kind} that {who} {has}",
                      sure=not set(left) - builds)  # fmt: skip

    def _owned_by(self, vehicle: str, people: frozenset[str]) -> bool:
        owners = self.registered.ids[vehicle].owners
        return any(self._people.whose(one) & people for one in owners)

    def _possessor(self, words: list[str]) -> tuple[frozenset[str], list[str]]:
        """Return whose a phrase says a vehicle is, and the words that follow."""
        for at, word in enumerate(words):
            if word == "s" and at:
                return self._people.whose(" ".join(words[:at])), words[at + 1 :]
            if at < len(words) - 1 and len(word) > _FEWEST_LETTERS and word.endswith("s"):
                # "Hesters Otter"
                person = self._people.whose(" ".join([*words[:at], word[:-1]]))
                if person:
                    return person, words[at + 1 :]
        return frozenset(), words

    def _names_in(self, words: Sequence[str]) -> list[str]:
        """Return the vehicles whose name, or number with the family, stands among words."""
        found: dict[str, None] = {}
        taken: set[int] = set()
        for size in range(len(words), 0, -1):
            for at in range(len(words) - size + 1):
                if taken & set(range(at, at + size)):
                    continue
                text = " ".join(words[at : at + size])
                meant = {
                    one for one, sort in self.registered.called.get(text, {}).items()
                    if sort != "club number" and not text.isdigit()
                } or self._unspaced.get(text.replace(" ", ""), set())  # fmt: skip
                if meant:
                    found |= dict.fromkeys(sorted(meant))
                    taken |= set(range(at, at + size))
        return list(found)

    def _inside(self, words: list[str]) -> Meant:
        """Find a name among words that say no more than is known of the vehicle anyway."""
        named = self._names_in(words)
        sure = len(named) == 1 and self._are_idle(words, named)
        return _found(named, "its name stands in it" if sure else "its name, among other words",
                      sure=sure)  # fmt: skip

    def _are_idle(self, words: Sequence[str], named: Sequence[str]) -> bool:
        """Tell whether words say nothing of a vehicle but what the register does."""
        if len(named) != 1:
            return False
        entry = self.registered.ids[named[0]]
        known = {*entry.identities, *entry.families, *entry.builds, *entry.places, *entry.whose}
        said = {word for text in known for word in text.split()}
        left = [word for word in words if word not in said and word not in _BESIDE]
        return not left and not ("s" in words and words[-1] != "s" and words[0] in said
                                 and self._possesses_what_follows(words, entry))  # fmt: skip

    def _possesses_what_follows(self, words: Sequence[str], entry: Entry) -> bool:
        """Tell "Nettle's ..." from "Hester's ...": what is a vehicle's is not the vehicle."""
        before = " ".join(words[: list(words).index("s")])
        return before in entry.identities

    def _by_last(self, words: list[str]) -> Meant:
        meant = self._by_last_word.get(words[0], set()) if len(words) == 1 else set()
        return _found(meant, "the last word of its name, and of no other's")

    def _by_short(self, words: list[str]) -> Meant:
        """Read "B1" and "T.L.", which leave out what anybody in the club can tell."""
        short = self._short.get("".join(words), {})
        return _found(short, f"the {next(iter(short.values()), '')} of one vehicle only")

    def _family_alone(self, words: list[str]) -> Meant:
        families = [word for word in words if word in self._of_family]
        if len(families) != 1 or any(
            word not in _BESIDE and word not in families for word in words
        ):
            return NOBODY
        return _found(
            self._of_family[families[0]], f"the only {families[0].capitalize()} in the register"
        )


def _short_forms(words: Sequence[str]) -> dict[str, str]:
    """Return the short forms of a vehicle's name of two words, unspaced, and what each is."""
    if len(words) != 2 or len(words[0]) < _FEWEST_LETTERS:  # noqa: PLR2004 - "Otter 2", "Tin Lizard"
        return {}
    first, last = words
    if last.isdigit():
        return {f"{first[0]}{last}": "initial and number"}
    forms = {f"{first}{last[0]}": "first word and initial"}
    if first[0] + last[0] not in _NO_INITIALS:
        forms[first[0] + last[0]] = "initials"
    return forms


def shortened(registers: Mapping[str, Registered]) -> dict[str, People | Vehicles]:
    """Return by role who tells what short names mean; places have none."""
    people = People(registers["holder"])
    return {"holder": people, "vehicle": Vehicles(registers["vehicle"], people)}

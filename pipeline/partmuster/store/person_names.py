"""What a person's name says: given names, surname, and whether it is a shed named after somebody.

A name may be read in more than one way ("Larch Ivo", "M Ferriby Stokes"); the readings beside the
first are ``loose``: they count for less when people are compared.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from .registered import plain

#: All common practice, no source.
TITLES: Final = frozenset({
    "mr", "mrs", "miss", "ms", "mx", "dr", "sir", "dame", "lady", "lord", "rev", "revd", "prof",
    "capt", "captain", "major", "col", "colonel", "sgt", "lt",
})  # fmt: skip
_YOUNGER: Final = frozenset({"jnr", "jr", "junior", "jun"})
_OLDER: Final = frozenset({"snr", "sr", "senior", "sen"})
#: Places that are called by their owner's name.
_SHEDS: Final = frozenset({
    "shed", "sheds", "barn", "barns", "garage", "garages", "workshop", "workshops", "store",
    "stores", "yard", "farm", "loft", "container", "unit", "attic", "cellar", "lockup", "hangar",
    "shop", "place", "house", "home", "works", "storage", "stock", "spares", "parts", "collection",
    "hoard", "stuff", "stash", "garden", "field", "den", "cave",
})  # fmt: skip
_AFTER_SHED: Final = ("lock up", "lean to")
#: Little words that belong to the surname after them.
_PARTICLES: Final = frozenset({
    "van", "von", "der", "den", "de", "du", "di", "da", "la", "le", "mac", "mc", "o", "st", "ter",
    "ten", "ap", "ab", "d",
})  # fmt: skip
#: Words of names that are no person's.
_NOBODY: Final = frozenset({
    "club", "group", "museum", "ltd", "limited", "trust", "society", "team", "section", "branch",
    "committee", "various", "unknown", "several", "dealer", "auction", "army", "and", "none", "tba",
    "tbc", "member", "members", "registrar", "office", "company", "co", "family",
})  # fmt: skip
_MOST_WORDS: Final = 5


@dataclass(frozen=True, slots=True)
class PersonName:
    """One reading of a name, all in plain letters; what is not said is empty."""

    given: str = ""
    middle: str = ""
    surname: str = ""
    rank: str = ""  # "younger" or "older"
    loose: bool = False
    shed: bool = False


def read_person(name: str) -> tuple[PersonName, ...]:
    """Return the readings of a name, the likeliest first; none where it is no person's."""
    words = plain(name).split()
    words, shed = _without_shed(words)
    titled = bool(words) and words[0] in TITLES
    while words and words[0] in TITLES:
        words = words[1:]
    rank = ""
    if len(words) > 1 and words[-1] in _YOUNGER | _OLDER:
        rank = "younger" if words[-1] in _YOUNGER else "older"
        words = words[:-1]
    if not words or len(words) > _MOST_WORDS or _NOBODY & set(words):
        return ()
    if any(not word.isalpha() for word in words):
        return ()
    found = [replace(one, rank=rank, shed=shed) for one in _read(words, titled=titled, shed=shed)]
    return tuple(dict.fromkeys(found))


def _without_shed(words: list[str]) -> tuple[list[str], bool]:
    """Take away the shed of "wickham s shed" and "tolland barn", and the s of "hester s"."""
    shed = False
    if " ".join(words[-2:]) in _AFTER_SHED:
        words, shed = words[:-2], True
    while len(words) > 1 and words[-1] in _SHEDS:
        words, shed = words[:-1], True
    if len(words) > 1 and words[-1] == "s":
        words = words[:-1]
    elif shed and len(words[-1]) > len("ives") and words[-1].endswith("s"):  # "wickhams shed"
        words = [*words[:-1], words[-1][:-1]]
    return words, shed


def _read(words: list[str], *, titled: bool, shed: bool) -> list[PersonName]:
    if len(words) == 1:
        # A name alone is a surname after a title and before a shed; else it may be either.
        return [PersonName(surname=words[0], loose=not shed)] if titled or shed else []
    first, last = words[0], words[-1]
    if len(first) > 1 and all(len(word) == 1 for word in words[1:]):  # "crane h j"
        return [PersonName(words[1], " ".join(words[2:]), first)]
    at = next((n for n, word in enumerate(words) if n and word in _PARTICLES), len(words) - 1)
    middle, surname = words[1:at], "".join(words[at:])
    found = [PersonName(first, " ".join(middle), surname)]
    if middle:  # "m ferriby stokes" may have two surnames
        found.append(PersonName(first, " ".join(middle[:-1]), middle[-1] + surname, loose=True))
        if len(middle[-1]) > 1:
            found.append(PersonName(first, " ".join(middle[:-1]), middle[-1], loose=True))
    if len(last) > 1 and len(words) <= 3:  # noqa: PLR2004 - "larch ivo", "larch ivo john"
        found.append(PersonName(words[1], " ".join(words[2:]), first, loose=True))
    return found

"""Finding a person's names, contacts and places in any text, and what stands for them instead.

A name is found whatever its case, accents and the signs between its words: "Crane, Hester",
"hester_crane". It is not found within another name: "Hester Cranemore" is somebody else.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from partmuster.reading.text import fold

if TYPE_CHECKING:
    from collections.abc import Iterable

_MARKS = "[\u0300-\u036f]*"
_BETWEEN = r"[\W_]{0,3}"
_LETTER_BEFORE, _LETTER_AFTER = r"(?<![^\W\d_])", r"(?![^\W\d_])"
#: A name of fewer letters is taken for one only where a name stands.
_LETTERS = 5
#: What stands for a telephone number or an address.
REMOVED = "removed"


def name_key(text: str) -> str:
    """Return a name as the columns ``..._key`` have it: folded, signs are spaces."""
    return re.sub(r"[^\w]+", " ", fold(text)).strip()


def _words(text: str) -> str:
    """Return the folded name that stands in a text; there ``_`` stands for a space, as in files."""
    return " ".join(name_key(text).replace("_", " ").split())


@dataclass(slots=True)
class Person:
    """What a person goes by, and what stands for it.

    ``keys``: all folded names, the leading one first; those of one word and ``codes`` count only
    where a name stands. ``also``: words that mean the person wherever they stand. ``contacts``:
    telephone numbers, addresses. ``places``: folded names of places that are theirs alone.
    """

    pseudonym: str
    keys: tuple[str, ...]
    also: tuple[str, ...] = ()
    contacts: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    #: What stands for each name, as it was met: the leading one has the pseudonym itself.
    _stands: dict[str, str] = field(default_factory=dict, init=False)
    _called: re.Pattern[str] = field(init=False)
    _kept: re.Pattern[str] = field(init=False)
    _reached: re.Pattern[str] = field(init=False)

    def __post_init__(self) -> None:
        self.standing(self.keys[0])
        self._called = _any_of(_spelt(words) for words in self.everywhere())
        self._kept = _any_of(_spelt(place) for place in self.places if " " in place)
        self._reached = _any_of(_literally(text) for text in self.contacts)

    def everywhere(self) -> list[str]:
        """Return the names that are looked for in any text, the longest first."""
        names = {key for key in self.keys if " " in key and len(key.replace(" ", "")) >= _LETTERS}
        names |= {" ".join(reversed(name.split())) for name in names if name.count(" ") == 1}
        return sorted({*names, *self.also}, key=lambda name: (-len(name), name))

    def standing(self, key: str) -> str:
        """Return what stands for a folded name: the pseudonym, with a letter for other spellings.

        Different names stay different, so that nothing that was told apart runs together.
        """
        if key not in self._stands:
            number = len(self._stands)
            letters = f" {_letters(number)}" if number else ""
            self._stands[key] = f"{self.pseudonym}{letters}"
        return self._stands[key]

    def is_named(self, text: str) -> bool:
        """Tell whether a text names the person, a place of theirs, or how to reach them."""
        return self.without(text) != text

    def without(self, text: str) -> str:
        """Return a text with the pseudonym for each name in it."""
        plain = unicodedata.normalize("NFD", text)
        changed = self._called.sub(lambda found: self.standing(_words(found.group())), plain)
        changed = self._kept.sub(lambda found: self.place_standing(_words(found.group())), changed)
        changed = self._reached.sub(REMOVED, changed)
        return text if changed == plain else unicodedata.normalize("NFC", changed)

    def name_without(self, text: str) -> str:
        """Return what stands for a text in which a name is written; others stay."""
        key = name_key(text)
        return self.standing(key) if key in self.keys or key in self.also else self.without(text)

    def place_without(self, text: str) -> str:
        """Return what stands for a place's name; the places of others stay."""
        key = name_key(text)
        return self.place_standing(key) if key in self.places else self.without(text)

    def place_standing(self, key: str) -> str:
        """Return what stands for a folded name of a place of theirs."""
        at = self.places.index(key) if key in self.places else len(self.places)
        return f"place {_letters(at)} of {self.pseudonym}"

    def id_without(self, text: str, *, place: bool = False) -> str:
        """Return what stands for a readable id, such as hester-crane."""
        words = text.replace("-", " ")
        changed = self.place_without(words) if place else self.name_without(words)
        return text if changed == words else name_key(changed).replace(" ", "-")


def rough_pattern(person: Person) -> str:
    """Return a pattern for RE2 that fits, without accents, every text that names the person."""
    names = [*person.everywhere(), *(place for place in person.places if " " in place)]
    words = [
        r"[^\pL\pN]{0,3}".join(re.escape(_unaccented(word)) for word in name.split())
        for name in names
    ]
    reached = [
        r"\D{0,2}".join(re.findall(r"\d", text)) if _is_phone(text) else re.escape(text)
        for text in person.contacts
    ]
    return "(?i)(" + "|".join([*words, *reached]) + ")"


def _unaccented(text: str) -> str:
    plain = unicodedata.normalize("NFD", text)
    return unicodedata.normalize("NFC", re.sub(_MARKS[:-1], "", plain))


def _any_of(patterns: Iterable[str]) -> re.Pattern[str]:
    joined = "|".join(patterns)
    return re.compile(joined or r"(?!)", re.IGNORECASE)


def _spelt(words: str) -> str:
    """Return a pattern for a name in any spelling, for text in NFD."""
    spelt = (
        "".join(re.escape(sign) + _MARKS for sign in _unaccented(word)) for word in words.split()
    )
    return f"{_LETTER_BEFORE}(?:{_BETWEEN.join(spelt)}){_LETTER_AFTER}"


def _literally(text: str) -> str:
    """Return a pattern for a telephone number, however it is spaced; else for just the text."""
    if _is_phone(text):
        return r"(?<!\d)" + r"\D{0,2}".join(re.findall(r"\d", text)) + r"(?!\d)"
    return re.escape(unicodedata.normalize("NFD", text))


def _is_phone(text: str) -> bool:
    return re.fullmatch(r"[\d\s()+./-]+", text) is not None


def _letters(number: int) -> str:
    """Return a, b ... z, aa, ab ... for 0, 1 ..."""
    letters = ""
    number += 1
    while number:
        number, left = divmod(number - 1, 26)
        letters = chr(ord("a") + left) + letters
    return letters

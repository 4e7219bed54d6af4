"""Whose list it is, by a person's name in its titles, its sheet's or its file's name."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from partmuster_trade.vocabulary import load_parts
from partmuster_trade.words import load_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_OTHERWISE = re.compile(
    r"\b(?:by|from|for|to|via|ex|off|care of|c/o|attn|cc|editor|secretary|treasurer|chairman|"
    r"registrar|librarian|after|see|ask|contact|was|late|formerly|with|and|&)\s*:?\s*$",
    re.IGNORECASE,
)  # fmt: skip
_PIECES = re.compile(r"\s+[-–—|/]+\s+|\s*[:;,()\[\]|]+\s*|\s+[-–—]\s*|_+-_*|\s{2,}")
_WORD = re.compile(r"[A-Za-z][A-Za-z.'’-]*")
_TITLED = frozenset({"mr", "mrs", "ms", "miss", "dr", "rev", "sir", "capt", "captain", "col"})
#: Words of places that are surnames too, where a first name or initials stand before them.
_SURNAMES_TOO = frozenset({"heath", "hall", "hill", "wood", "lane"})
_SHORTEST = 3
_POSSESSIVE = re.compile(r"^(?P<who>.+?)['’]s?\s+(?P<what>[\w\s-]+)$")


def typed_by(before: str) -> bool:
    """Tell whether the words before a name say that it is no owner's: "compiled by", "from"."""
    return _OTHERWISE.search(before) is not None


def is_first_name(word: str) -> bool:
    """Tell whether a word is a first name that is known."""
    return word.casefold() in _known_names()


def is_part_word(word: str) -> bool:
    """Tell whether a word stands in names of parts, or says what a list is."""
    return word.casefold() in _part_words() or _is_list_word(word)


def owner_in(titles: Sequence[str]) -> str | None:
    """Return the one person whose list titles say it is; of several, or unsure, nobody.

    A name is plain where a known first name, or initials or "Mr", stands before a surname, and all
    else in the title says what the list is: "BARN - Edna Moss", "parts list edna moss".
    """
    found = {name.casefold(): name for title in titles for name in _names_in(title)}
    return next(iter(found.values())) if len(found) == 1 else None


def _names_in(title: str) -> Iterator[str]:
    """Yield the names of a title of which all the rest says what the list is."""
    text = re.sub(r"\.(?:csv|tsv|txt|xlsx?|ods)$", "", title.strip())
    if re.fullmatch(r"[\w.-]+", text):  # a file's name: no blanks
        text = re.sub(r"[_-]+", " ", text)
    text = re.sub(r"\d[\d./-]*(?:st|nd|rd|th)?", " ", text).strip()
    pieces = [piece.strip(" .'") for piece in _PIECES.split(text) if piece.strip(" .'")]
    names = []
    for at, piece in enumerate(pieces):
        name = _name_of(piece, alone=len(pieces) == 1)
        if name is not None:
            names.append(name)
        elif not _tells_of_list(piece, last=at > 0):
            return
    yield from names


def _name_of(piece: str, *, alone: bool) -> str | None:
    """Return the name that a piece of a title is, or is besides words for lists."""
    if (found := _POSSESSIVE.match(piece)) and _all_list(found["what"].split()):
        return _person(found["who"].split(), loosely=True)
    words = piece.split()
    own = [at for at, word in enumerate(words) if not _is_list_word(word)]
    if not own or own[-1] - own[0] + 1 != len(own):
        return None
    before = " ".join(words[: own[0]])
    whose = re.search(r"(?i)\b(?:list|stock|spares|parts|inventory|collection) of$", before)
    if _OTHERWISE.search(before) and not whose:
        return None
    bare = len(own) == len(words)
    return _person([words[at] for at in own], loosely=bare and not alone)


@lru_cache(maxsize=4096)
def _is_list_word(word: str) -> bool:
    bare = word.strip(".,:;'’").casefold()
    return bare == "by" or bare in _title_words("list") | _title_words("filling")


def _all_list(words: Sequence[str]) -> bool:
    return all(_is_list_word(word) for word in words) and _says_list(words)


def _says_list(words: Sequence[str]) -> bool:
    return any(word.strip(".,:;'’").casefold() in _title_words("list") for word in words)


def _tells_of_list(piece: str, *, last: bool) -> bool:
    """Tell whether a piece says what the list is, or is one word after the name: where, "Ohio"."""
    words = piece.split()
    if all(_is_list_word(word) for word in words):
        return True
    known = words[0].casefold() in _known_names()
    return last and len(words) == 1 and words[0][:1].isupper() and not known


def _person(words: Sequence[str], *, loosely: bool) -> str | None:
    """Return words as a person's name, or None; ``loosely``: initials need no points."""
    plain = [word.strip(",;:").rstrip("'’") for word in words]
    if not 2 <= len(plain) <= 4 or not all(_WORD.fullmatch(word) for word in plain):  # noqa: PLR2004 - a name
        return None
    first, last = plain[0].rstrip(".").casefold(), plain[-1].rstrip(".").casefold()
    middle = [word.rstrip(".").casefold() for word in plain[1:-1]]
    no_names = _title_words("no-name")
    if len(last) < _SHORTEST or {first, last, *middle} & (no_names - _SURNAMES_TOO):
        return None
    dotted = all(re.fullmatch(r"(?:[A-Z]\.)+", word) for word in plain[:-1])
    initials = all(re.fullmatch(r"[A-Z]{1,3}", word) for word in plain[:-1])
    known = first in _known_names()
    if known and all(m in _known_names() or len(m) == 1 for m in middle):
        doubtful = _known_names()[first] or last in no_names
        if doubtful and (last in no_names or is_part_word(last)):
            return None
    elif first not in _TITLED:
        plainly = dotted or (initials and loosely and last not in _part_words())
        if not (plain[-1][:1].isupper() and plainly):
            return None
    if all(word.islower() for word in plain) or all(word.isupper() for word in plain):
        return " ".join(w if len(w.rstrip(".")) == 1 else w.capitalize() for w in plain)
    return " ".join(plain)


@cache
def _title_words(what: str) -> frozenset[str]:
    """Return the words of titles that say what a list is, fill it up, or are no names."""
    return frozenset(row.words for row in load_words("title") if row.meanings["what"] == what)


@cache
def _known_names() -> dict[str, bool]:
    """Return first names, and whether each is an ordinary word too."""
    return {row.words: row.meanings["also"] == "yes" for row in load_words("given_name")}


@cache
def _part_words() -> frozenset[str]:
    """Return the words of which names of parts are made."""
    names = (
        name for part in load_parts()
        for name in (part.name, *part.names_any, *part.names_uk, *part.names_us, *part.names_au)
    )  # fmt: skip
    return frozenset(word for name in names for word in re.findall(r"[a-z]+", name.casefold()))

"""The vehicle family of which a title says that it tells builds, or what fits what."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .assemblies import assembly_words
from .owners import is_first_name

if TYPE_CHECKING:
    from collections.abc import Sequence

_CLAUSES = re.compile(r"\s*[,;:()–—|/.]\s*|\s+-+\s+|\s*_-_\s*")
_WORD = re.compile(r"[A-Za-z][A-Za-z'’-]*|\d+")
_LABELLED = re.compile(
    r"(?i)^(?:family|vehicle family|vehicle type|type)\s*[:=–-]\s*(?P<name>[A-Za-z]{3,})$"
)
_OF = re.compile(
    r"(?i)\b(?:of|for|on|about|tell|telling|spot|spotting|date|dating|identify|identifying)\s+"
    r"(?:an?\s+|the\s+|our\s+|your\s+|all\s+|early\s+|late\s+|mid\s+)*(?P<name>[A-Za-z]{3,})\b"
)
_PLURAL = re.compile(r"(?<![sui])s$")
_LEAST = 3


@cache
def _words(table: str, what: str) -> frozenset[str]:
    return frozenset(row.words for row in load_words(table) if row.meanings["what"] == what)


@cache
def _telling() -> frozenset[str]:
    """Return the words by which a title says that it tells builds, or what fits."""
    return _words("family_title", "tells")


@cache
def _no_names() -> frozenset[str]:
    """Return the words of titles that name no family."""
    titles = (_words("title", what) for what in ("list", "filling", "no-name"))
    return frozenset().union(_telling(), _words("family_title", "beside"), _assemblies(), *titles)


@cache
def _assemblies() -> frozenset[str]:
    names = {name for name in assembly_words() if " " not in name}
    return frozenset({*names, *(f"{name}s" for name in names), "bodies", "gearboxes", "chassis",
                      "hulls", "turrets", "engines"})  # fmt: skip


def family_told(titles: Sequence[str]) -> str | None:
    """Return the family of which a title tells builds: "Otter hulls: how to tell them apart".

    The word stands before an assembly's or before a word such as builds, after "of", or alone
    beside a clause that says so; words that may name a person or say what a list is are none.
    """
    for title in titles:
        plain = re.sub(r"_+", " ", title or "").strip()
        if match := _LABELLED.match(plain):
            return _spelt(match["name"])
        clauses = [clause for clause in _CLAUSES.split(plain) if clause]
        found = next(filter(None, map(_before, clauses)), None)
        found = found or next(filter(None, map(_after, clauses)), None)
        if found is None and any(_tells(clause) for clause in clauses):
            alone = [clause for clause in clauses if len(clause.split()) == 1 and _may_be(clause)]
            found = alone[0] if len(alone) == 1 else None
        if found:
            return _spelt(found)
    return None


def assembly_told(titles: Sequence[str]) -> str | None:
    """Return the one assembly that titles name, of which builds are told; None of several."""
    names = assembly_words()
    for title in titles:
        words = [word.casefold() for word in _WORD.findall(title or "")]
        found: set[str] = set()
        for size in (3, 2, 1):
            for at in range(len(words) - size + 1):
                phrase = " ".join(words[at : at + size])
                single = re.sub(r"ies$", "y", phrase) if phrase.endswith("ies") else phrase
                known = (
                    names.get(phrase) or names.get(single) or names.get(single.removesuffix("s"))
                )
                found |= {known} if known else set()
        if found:
            return next(iter(found)) if len(found) == 1 else None
    return None


def _tells(clause: str) -> bool:
    return any(word.casefold() in _telling() for word in _WORD.findall(clause))


def _before(clause: str) -> str | None:
    """Return the word before "builds", or before an assembly's."""
    words: list[str] = _WORD.findall(clause)
    for at, word in enumerate(words):
        folded = word.casefold()
        if folded in _telling() or folded in _assemblies():
            before = [one for one in words[:at] if one.casefold() not in _no_names()]
            if len(before) == 1 and before[0] == words[at - 1] and _may_be(before[0]):
                return before[0]
    return None


def _after(clause: str) -> str | None:
    """Return the word behind "of the", where the clause says that it tells builds."""
    if not _tells(clause):
        return None
    names = [match["name"] for match in _OF.finditer(clause) if _may_be(match["name"])]
    return names[0] if len(names) == 1 else None


def _may_be(word: str) -> bool:
    plain = word.isalpha() and len(word) >= _LEAST
    return plain and word.casefold() not in _no_names() and not is_first_name(word)


def _spelt(word: str) -> str:
    """Return a family's name in the singular, with a capital."""
    single = _PLURAL.sub("", word) if len(word) > _LEAST + 1 else word
    return single.capitalize() if single.isupper() or single.islower() else single

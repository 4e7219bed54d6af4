"""Finding what may be a vehicle or a person in a sentence; the club's names are not known here.

What the words alone settle is said ("Otter 3", "Mrs Crane"); anything else is a name that may be
either, and the core, which knows the club, chooses.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from partmuster_trade.words import load_words

from .lexicon import lexicon, singular
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

Sort = Literal["vehicle", "person", "either", "writer", "build"]

_TITLES = frozenset({"mr", "mrs", "miss", "ms", "dr", "old", "young"})
_NUMBER = re.compile(r"\d{1,5}[a-z]?")
_NUMBERS = frozenset({"no", "number", "nr", "nos"})
#: Words before a number by which it is no vehicle's ("part no. 7").
_OTHER_NUMBERS = words_of("numbered-otherwise")
#: Everyday words, which are no names however they are written.
EVERYDAY = words_of("everyday")
_WRITER = frozenset({"i", "me", "we", "us", "myself"})
_MARK = re.compile(r"(?:mk|mark)?\d{1,2}[a-h]?\*?|(?:i|ii|iii|iv|v|vi)\*?")


@dataclass(frozen=True, slots=True)
class NameMention:
    """A name, from word ``start`` to ``end``, and what it can be; ``text`` as written."""

    start: int
    end: int
    text: str
    sort: Sort
    pronoun: bool = False


@functools.cache
def given_names() -> frozenset[str]:
    """Return given names that are nothing else, folded."""
    return frozenset(row.words.casefold() for row in load_words("given_name")
                     if not row.meanings["also"])  # fmt: skip


def find_names(words: Sequence[Word], taken: Sequence[bool]) -> list[NameMention]:
    """Return the names in a sentence; ``taken``: words that are something else already."""
    shouts = _shouts(words)
    found: list[NameMention] = []
    at = 0
    while at < len(words):
        mention = None if taken[at] else _name_at(words, taken, at, shouts=shouts)
        if mention is None:
            at += 1
            continue
        found.append(mention)
        at = mention.end
    return found


def _shouts(words: Sequence[Word]) -> bool:
    letters = [word.text for word in words if word.text.isalpha() and len(word.text) > 1]
    return len(letters) > 2 and all(text.isupper() for text in letters)


def _name_at(
    words: Sequence[Word], taken: Sequence[bool], at: int, *, shouts: bool
) -> NameMention | None:
    word = words[at]
    if word.low in _WRITER:
        return NameMention(at, at + 1, word.text, "writer", pronoun=True)
    if word.low in {"he", "she"}:
        return NameMention(at, at + 1, word.text, "person", pronoun=True)
    for find in (_build_at, _numbered_at):
        mention = find(words, taken, at)
        if mention:
            return mention
    if word.low in _TITLES and at + 1 < len(words) and _named(words[at + 1], at + 1, shouts=shouts):
        sort: Sort = "either" if word.low in {"old", "young"} else "person"
        if sort == "either" and not word.capital:
            return None
        return NameMention(at, _last_of(words, taken, at + 1, shouts), _text(words, at, _last_of(
            words, taken, at + 1, shouts)), sort)  # fmt: skip
    if not _named(word, at, shouts=shouts):
        return None
    end = _last_of(words, taken, at, shouts)
    text = _text(words, at, end)
    if end + 1 < len(words) and words[end].low == "'s" and not taken[end + 1]:
        owned = _numbered_at(words, taken, end + 1)
        if owned is None and words[end + 1].capital and _named(words[end + 1], end + 1,
                                                               shouts=shouts):  # fmt: skip
            owned = NameMention(end + 1, end + 2, words[end + 1].text, "vehicle")
        if owned:
            return NameMention(at, owned.end, f"{text}'s {owned.text}", "vehicle")
    if word.low in given_names() or (word.text.isupper() and 2 <= len(word.text) <= 3
                                     and word.text.isalpha() and not shouts):  # fmt: skip
        return NameMention(at, end, text, "person")
    if at and words[at - 1].low == "the" and end == at + 1 and word.capital:
        return NameMention(at, end, text, "vehicle")
    return NameMention(at, end, text, "either")


def _text(words: Sequence[Word], start: int, end: int) -> str:
    return " ".join(word.text for word in words[start:end])


def _last_of(words: Sequence[Word], taken: Sequence[bool], at: int, shouts: bool) -> int:
    end = at + 1
    while end < len(words) and not taken[end] and words[end].capital and _named(
        words[end], end, shouts=shouts
    ) and end - at < 3:  # fmt: skip
        end += 1
    return end


def _named(word: Word, at: int, *, shouts: bool) -> bool:
    """Tell whether a word can be a name: a capital, or a given name in small letters."""
    low = word.low
    if not low[:1].isalpha() or low in EVERYDAY:
        return False
    if low in given_names():
        return True
    if not word.capital or shouts:
        return False
    return at > 0 or singular(low) not in lexicon().tokens


def _numbered_at(words: Sequence[Word], taken: Sequence[bool], at: int) -> NameMention | None:
    """Return "Otter 3", "Otter no. 3", "AVC 404" or "No. 7" at ``at``."""
    word = words[at]
    if word.low in _NUMBERS:
        end = at + 2 if at + 1 < len(words) and words[at + 1].text == "." else at + 1
        before = words[at - 1].low if at else ""
        if end < len(words) and _NUMBER.fullmatch(words[end].low) and not taken[end]:
            follows = words[end + 1].low if end + 1 < len(words) else ""
            if before not in _OTHER_NUMBERS and (
                word.low != "no"
                or end > at + 1
                or not follows
                or follows in {"is", "has", ",", ":", "-"}
            ):
                return NameMention(at, end + 1, _text(words, at, end + 1).replace(" .", "."),
                                   "vehicle")  # fmt: skip
        return None
    if not word.low.isalpha() or word.low in EVERYDAY or singular(word.low) in lexicon().tokens:
        return None
    if not word.capital and len(word.low) < 4:
        return None
    end = at + 1
    if end < len(words) and words[end].low in _NUMBERS:
        end += 1
        if end < len(words) and words[end].text == ".":
            end += 1
    if end < len(words) and not taken[end] and _NUMBER.fullmatch(words[end].low):
        text = _text(words, at, end + 1).replace(" .", ".")
        if word.low in given_names():
            return None
        return NameMention(at, end + 1, text, "vehicle")
    return None


def _build_at(words: Sequence[Word], taken: Sequence[bool], at: int) -> NameMention | None:
    """Return "Mk 2 late", "late Mk 1" at ``at``."""
    end = at
    low = words[end].low
    if low in {"early", "late", "mid"} and end + 1 < len(words):
        end += 1
        low = words[end].low
    if low in {"mk", "mark"} and end + 1 < len(words):
        number = end + 2 if words[end + 1].text == "." and end + 2 < len(words) else end + 1
        if not _MARK.fullmatch(words[number].low) or (
            low == "mark" and not words[end].capital and not words[number].low.isdigit()
        ):
            return None
        end = number + 1
    elif re.fullmatch(r"(?:mk|mark)\d[a-h]?", low):
        end += 1
    else:
        return None
    if end < len(words) and words[end].low in {"early", "late", "mid"}:
        end += 1
    if any(taken[at:end]):
        return None
    return NameMention(at, end, _text(words, at, end).replace(" .", ""), "build")

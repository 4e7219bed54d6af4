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

from .expressions import expression
from .lexicon import lexicon, singular
from .roles import words_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

Sort = Literal["vehicle", "person", "either", "writer", "build"]

_TITLES = frozenset({"mr", "mrs", "miss", "ms", "dr", "captain", "capt", "aunt", "uncle", "cousin",
                     "farmer", "old", "young"})  # fmt: skip
_MAY_BE_TITLES = frozenset({"old", "young"})
_NUMBER = expression(r"\d{1,5}[a-z]?")
_NUMBERS = frozenset({"no", "number", "nr", "nos"})
_ROMAN = frozenset({"II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"})
_MONTH_WORDS = words_of("month")
_SPELT = {
    word: str(number)
    for number, word in enumerate(
        "one two three four five six seven eight nine ten eleven twelve".split(),  # noqa: SIM905
        start=1,
    )
}
#: What a vehicle is called by that has no name: "Hulk A".
_HULKS = frozenset({"hulk", "wreck", "vehicle", "carcass", "carcase", "hull", "chassis", "tank",
                    "machine"})  # fmt: skip
#: Words before and behind a vehicle's name that is written small, or its number written out.
_BEFORE_VEHICLES = words_of("before-vehicle")
_AFTER_VEHICLES = words_of("after-vehicle")
#: No sentence has one of these behind a name that begins it: the word is no name.
_NOT_BEHIND_NAMES = words_of("not-behind-name")
#: Words before a number by which it is no vehicle's ("part no. 7").
_OTHER_NUMBERS = words_of("numbered-otherwise")
#: Everyday words, which are no names however they are written.
EVERYDAY = words_of("everyday")
_WRITER = frozenset({"i", "me", "we", "us", "myself"})
#: Words in small letters with which a name, a number or a build may begin.
_SMALL_STARTS = _WRITER | _TITLES | _NUMBERS | {
    "he", "she", "mark", "early", "late", "mid",
}  # fmt: skip
_NEVER_NUMBERED = EVERYDAY | _OTHER_NUMBERS
_MARK = expression(r"(?:mk|mark)?\d{1,2}[a-h]?\*?|(?:i|ii|iii|iv|v|vi)\*?")
_MOST_WORDS = 3
_SHORTEST = 3


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
    return frozenset(
        row.words.casefold() for row in load_words("given_name") if not row.meanings["also"]
    )


@functools.cache
def _all_given_names() -> frozenset[str]:
    return frozenset(row.words.casefold() for row in load_words("given_name"))


def may_be_given(word: str) -> bool:
    """Tell whether a word is a given name, though it may be an ordinary word too."""
    return word.casefold() in _all_given_names()


def find_names(words: Sequence[Word], taken: Sequence[bool]) -> list[NameMention]:
    """Return the names in a sentence; ``taken``: words that are something else already."""
    shouts = _shouts(words)
    found: list[NameMention] = []
    at = 0
    while at < len(words):
        begins = not taken[at] and _may_begin(words, at)
        mention = _name_at(words, taken, at, shouts=shouts) if begins else None
        if mention is None:
            at += 1
            continue
        found.append(mention)
        at = mention.end
    return found


def _may_begin(words: Sequence[Word], at: int) -> bool:
    """Tell cheaply whether a name may begin at a word: most words begin none."""
    word = words[at]
    low = word.low
    if word.capital or low in _SMALL_STARTS or low in given_names() or low.startswith("mk"):
        return True
    follows = words[at + 1].low if at + 1 < len(words) else ""
    return follows[:1].isdigit() or follows in _SPELT or follows in _NUMBERS


def numbered_vehicles(words: Sequence[Word], taken: Sequence[bool]) -> list[tuple[int, int]]:
    """Return where "Otter 3" stands, so that its number is taken for no count of what follows."""
    found: list[tuple[int, int]] = []
    for at, word in enumerate(words[:-1]):
        number = words[at + 1].text
        if not word.capital or word.low in _NUMBERS or not (number.isdigit() or number in _ROMAN):
            continue
        mention = _numbered_at(words, taken, at)
        follows = words[at + 2].low if at + 2 < len(words) else ""
        if mention and follows not in {"of", "x"} and not (
            at == 0 and word.low.endswith(("ed", "ly", "ing"))
        ):  # fmt: skip
            found.append((mention.start, mention.end))
    return found


def _shouts(words: Sequence[Word]) -> bool:
    letters = [word.text for word in words if word.text.isalpha() and len(word.text) > 1]
    return len(letters) > _MOST_WORDS - 1 and all(text.isupper() for text in letters)


def _name_at(
    words: Sequence[Word], taken: Sequence[bool], at: int, *, shouts: bool
) -> NameMention | None:
    word = words[at]
    if word.low in _WRITER or word.low in {"he", "she"}:
        sort: Sort = "writer" if word.low in _WRITER else "person"
        return NameMention(at, at + 1, word.text, sort, pronoun=True)
    for find in (_build_at, _numbered_at, _lettered_at):
        mention = find(words, taken, at)
        if mention:
            return mention
    if titled := _titled_at(words, taken, at, shouts=shouts):
        return titled
    named = word.low not in _MAY_BE_TITLES and (
        _named(word, at, shouts=shouts) or (at == 0 and _trade_begins_name(words, taken))
    )
    return _plain_name(words, taken, at, shouts=shouts) if named else None


def _plain_name(
    words: Sequence[Word], taken: Sequence[bool], at: int, *, shouts: bool
) -> NameMention | None:
    """Return one to three capital words at ``at``, with what they own ("Wilf's Otter")."""
    end = _last_of(words, taken, at, shouts=shouts)
    if at == 0 and (_only_begins(words) if end == 1 else _begins_before_name(words)):
        return None
    text = _text(words, at, end)
    owned = _owned_at(words, taken, end, shouts=shouts)
    if owned:
        return NameMention(at, owned.end, f"{text}'s {owned.text}", owned.sort)
    initials = end == at + 1 and _are_initials(words[at], shouts=shouts)
    sort: Sort = "person" if words[at].low in given_names() or initials else "either"
    return NameMention(at, end, text, sort)


def _only_begins(words: Sequence[Word]) -> bool:
    """Tell whether the first word has its capital only because a sentence begins with it."""
    low = words[0].low
    if low in given_names() or words[0].text.isupper():
        return False
    follows = words[1].low if len(words) > 1 else ""
    return follows in _NOT_BEHIND_NAMES or low.endswith(("ing", "ly", "ed"))


def _trade_begins_name(words: Sequence[Word], taken: Sequence[bool]) -> bool:
    """Tell whether a sentence's first word, one of the trade, begins a name: "Tin Lizard"."""
    if len(words) == 1 or taken[1] or not (words[0].capital and words[1].capital):
        return False
    low = words[1].low
    strange = low.isalpha() and low not in EVERYDAY and singular(low) not in lexicon().tokens
    return strange and low not in given_names() and words[0].low not in EVERYDAY


def _begins_before_name(words: Sequence[Word]) -> bool:
    """Tell whether a sentence's first word only stands before a person's name ("Rang Fred")."""
    return words[0].low not in given_names() and words[1].low in given_names()


def _are_initials(word: Word, *, shouts: bool) -> bool:
    text = word.text
    dotted = bool(re.fullmatch(r"(?:[A-Z]\.){2,3}", text))
    return dotted or (text.isupper() and 2 <= len(text) <= _MOST_WORDS and text.isalpha()  # noqa: PLR2004
                      and not shouts)  # fmt: skip


def _titled_at(
    words: Sequence[Word], taken: Sequence[bool], at: int, *, shouts: bool
) -> NameMention | None:
    """Return "Mrs Crane", "Mr. Hask" or "Old Patience" at ``at``."""
    low = words[at].low
    if low not in _TITLES:
        return None
    name = at + 2 if at + 1 < len(words) and words[at + 1].text == "." else at + 1
    if name >= len(words) or taken[name] or not _named(words[name], name, shouts=shouts):
        return None
    sort: Sort = "person"
    if low in _MAY_BE_TITLES:
        if not words[at].capital or (at == 0 and not words[name].capital):
            return None
        sort = "either"
    elif not words[name].capital:
        return None
    end = _last_of(words, taken, name, shouts=shouts)
    text = _text(words, at, end).replace(" .", ".")
    owned = _owned_at(words, taken, end, shouts=shouts) if sort == "person" else None
    numbered = owned is not None and words[owned.start].low in _NUMBERS  # "Ms Crane's no. 2"
    if owned and not numbered and words[owned.end - 1].low not in words_of("place-name"):
        return NameMention(at, owned.end, f"{text}'s {owned.text}", "vehicle")
    return NameMention(at, end, text, sort)


def _owned_at(
    words: Sequence[Word], taken: Sequence[bool], end: int, *, shouts: bool
) -> NameMention | None:
    """Return the vehicle behind "Wilf's": "Otter 3", or one capital word."""
    at = end + 1
    if at >= len(words) or words[end].low != "'s" or taken[at]:
        return None
    numbered = _numbered_at(words, taken, at)
    if numbered:
        return numbered
    if words[at].capital and _named(words[at], at, shouts=shouts):
        place = words[at].low in words_of("place-name")
        by_name = words[end - 1].low in given_names() and not place
        return NameMention(at, at + 1, words[at].text, "vehicle" if by_name else "either")
    return None


def _text(words: Sequence[Word], start: int, end: int) -> str:
    return " ".join(word.text for word in words[start:end])


def _last_of(words: Sequence[Word], taken: Sequence[bool], at: int, *, shouts: bool) -> int:
    end = at + 1
    while (
        end < len(words) and not taken[end] and words[end].capital and end - at < _MOST_WORDS
        and _named(words[end], end, shouts=shouts) and not _numbered_at(words, taken, end)
    ):  # fmt: skip
        end += 1
    if end < len(words) and not taken[end] and re.fullmatch("[A-Z]", words[end].text) and (
        words[end].text != "I"
    ):  # fmt: skip
        end += 1  # "Gwen S"
    return end


def _named(word: Word, at: int, *, shouts: bool) -> bool:
    """Tell whether a word can be a name: a capital, or a given name in small letters."""
    low = word.low
    if not low[:1].isalpha() or low in EVERYDAY or ("-" in low and re.search(r"\d", low)):
        return False
    if low in given_names():
        return True
    if not word.capital or shouts:
        return False
    initials = len(low) == 2 and word.text.isupper()  # noqa: PLR2004
    return at > 0 or initials or singular(low) not in lexicon().tokens


def _digits(word: Word) -> str:
    """Return a number in figures, or one of a vehicle written out ("Otter Six"), or nothing."""
    if _NUMBER.fullmatch(word.low) or word.text in _ROMAN:
        return word.text
    return _SPELT.get(word.low, "")


def _numbered_at(words: Sequence[Word], taken: Sequence[bool], at: int) -> NameMention | None:
    """Return "Otter 3", "Otter no. 3", "Otter Six", "AVC 404" or "No. 7" at ``at``."""
    word = words[at]
    if word.low in _NUMBERS:
        return _numbered_alone(words, taken, at)
    end = at + 1
    if end < len(words) and words[end].low in _NUMBERS:
        end += 1 + (end + 1 < len(words) and words[end + 1].text == ".")
    if not _may_have_number(words, at) or end >= len(words) or taken[end]:
        return None
    number = _digits(words[end])
    follows = words[end + 1].low if end + 1 < len(words) else ""
    if not number or follows in _MONTH_WORDS:
        return None
    spelt = not words[end].text.startswith(number[0])
    unsaid = not words[end].capital and follows[:1].isalpha() and follows not in _AFTER_VEHICLES
    if spelt and (unsaid or not (word.capital or end > at + 1)):
        return None
    text = f"{_text(words, at, end).replace(' .', '.')} {number}"
    return NameMention(at, end + 1, text, "vehicle")


def _may_have_number(words: Sequence[Word], at: int) -> bool:
    """Tell whether a word can be a vehicle's name before its number: it is no everyday word."""
    word = words[at]
    low = word.low
    if not low.isalpha() or low in _NEVER_NUMBERED or low in given_names():
        return False
    if singular(low) in lexicon().tokens or len(low) < _SHORTEST:
        return False
    led = at == 0 or words[at - 1].low in _BEFORE_VEHICLES
    return word.capital or (led and len(low) > _SHORTEST)


def _numbered_alone(words: Sequence[Word], taken: Sequence[bool], at: int) -> NameMention | None:
    """Return "No. 7" at ``at``, unless it is a part's or some other number."""
    end = at + 2 if at + 1 < len(words) and words[at + 1].text == "." else at + 1
    if end >= len(words) or taken[end] or not _NUMBER.fullmatch(words[end].low):
        return None
    if at and words[at - 1].low in _OTHER_NUMBERS:
        return None
    follows = words[end + 1].low if end + 1 < len(words) else ""
    if words[at].low == "no" and end == at + 1 and follows not in {"", "is", "has", ",", ":", "-"}:
        return None
    return NameMention(at, end + 1, _text(words, at, end + 1).replace(" .", "."), "vehicle")


def _lettered_at(words: Sequence[Word], taken: Sequence[bool], at: int) -> NameMention | None:
    """Return "Hulk A", and "B2" or "O.2" where a word before it or its place tells it a vehicle."""
    word = words[at]
    end = at + 1
    if (
        word.low in _HULKS and word.capital and end < len(words) and not taken[end]
        and re.fullmatch("[A-Z]", words[end].text) and words[end].text != "I"
    ):  # fmt: skip
        return NameMention(at, end + 1, _text(words, at, end + 1), "vehicle")
    short = _short_vehicle(words, at)
    if short is None or any(taken[at:short]):
        return None
    before = words[at - 1].low if at else ""
    follows = words[short].low if short < len(words) else ""
    told = before in _BEFORE_VEHICLES
    if told or (not before and follows in {"", ",", ":", "-", "."}):
        text = "".join(one.text for one in words[at:short])
        return NameMention(at, short, text, "either" if not told else "vehicle")
    return None


def _short_vehicle(words: Sequence[Word], at: int) -> int | None:
    """Return where "B2", "O.2" or "T.L." ends, if one begins at ``at``."""
    text = words[at].text
    if text in {"P.S.", "N.B.", "A.M.", "P.M."}:
        return None
    if re.fullmatch(r"[A-Z]{1,2}\d{1,2}", text) or re.fullmatch(r"[A-Z]\.[A-Z]\.", text):
        return at + 1
    if (
        re.fullmatch("[A-Z]", text) and at + 2 < len(words) and words[at + 1].text == "."
        and words[at + 1].start == words[at].end and words[at + 2].start == words[at + 1].end
        and words[at + 2].text.isdigit()
    ):  # fmt: skip
        return at + 3
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

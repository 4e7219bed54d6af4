"""What is never accepted without a person, however likely: rule 5 of the house.

A side, position, size or mark that disagrees, that was put right from a slip of the pen, or that
is not said where other parts are told from this one by it.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from rapidfuzz.distance import OSA

from .names import mark_objection, size_objection
from .sides_said import position_objection
from .tokens import POSITIONS, plain_words, split_tokens
from .trust_phrase import joined, other_things, phrase_of
from .trust_words import head_of, lead_words, words_beside

if TYPE_CHECKING:
    from .exact import Description
    from .index import Name, VocabularyIndex
    from .trust_words import Aligned

#: Words of sides and positions: an unknown word like one of them may be it.
_HANDS: Final = ("left", "right", "near", "nearside", "offside", "lefthand", "righthand")
_PLACES: Final = (*_HANDS, *sorted(POSITIONS))
_HYPHENED: Final = re.compile(r"\w+(?:-\w+)+")
_LEAST: Final = 4  # letters of a word that may be a side misspelt
_TELLING: Final = frozenset(POSITIONS) | frozenset(
    {"left", "right", "inlet", "exhaust", "male", "female", "short", "long", "large", "small",
     "high", "low", "primary", "secondary", "internal", "external", "vertical", "horizontal"}
)  # fmt: skip


def vetoes(
    index: VocabularyIndex,
    described: Description,
    laid: Aligned,
    fillers: frozenset[str] = frozenset(),
) -> tuple[str, ...]:
    """Return why a part is not accepted by likeness, whatever its probability."""
    found = [
        position_objection(index, laid.name, described.stated) if described.stated else "",
        size_objection(index, laid.name.part_id, described),
        mark_objection(index, laid.name.part_id, described),
        _put_right(laid),
        _may_be_a_side(index, described, laid, fillers),
        _not_said(index, described, laid),
        _figures(index, laid),
        _bracketed(index, described),
        _unknown_thing(described, laid),
        _other_thing(index, described, laid),
        _parted(described, laid),
    ]
    return tuple(dict.fromkeys(text for text in found if text))


def _put_right(laid: Aligned) -> str:
    """Return which word that tells parts apart was not read as it stands."""
    for word, meant, _, how in laid.pairs:
        if how in {"slip", "cut", "bones"} and (meant in _TELLING or _has_digit(meant)):
            return f"'{word}' is only taken for '{meant}'"
    return ""


def _may_be_a_side(
    index: VocabularyIndex, described: Description, laid: Aligned, fillers: frozenset[str]
) -> str:
    """Return an unknown word that may be a side or position misspelt."""
    for one in (*(one.word for one in laid.over), *described.words):
        if one in index.idf or one in words_beside() or one in fillers:
            continue
        if (meant := _like_a_place(one)) and one not in {word for word, *_ in laid.pairs}:
            return f"'{one}' may be '{meant}'"
    return ""


@lru_cache(maxsize=100_000)
def _like_a_place(word: str) -> str:
    if len(word) < _LEAST:
        return ""
    return next((place for place in _PLACES if OSA.distance(word, place, score_cutoff=1) <= 1), "")


def _not_said(index: VocabularyIndex, described: Description, laid: Aligned) -> str:
    """Return a word of the name that the text does not say, where other parts differ by it."""
    stated = {POSITIONS.get(word, word) for word in described.stated}
    for word in laid.lacking:
        if POSITIONS.get(word) in stated:
            continue
        if word in _TELLING or _has_digit(word):
            return f"'{word}' of '{laid.name.text}' is not said"
    if not laid.lacking and laid.name.words:
        for other in siblings(index, laid.name):
            return f"which one is not said: there is '{other}', too"
    for kind, size in laid.name.sizes:
        if (kind, size) not in described.asides.sizes:
            return f"the size {size} ({kind}) of '{laid.name.text}' is not said"
    return ""


@lru_cache(maxsize=100_000)
def siblings(index: VocabularyIndex, name: Name) -> tuple[str, ...]:
    """Return names of two parts or more that are this name with a telling word each.

    "Lamp" where there are a front and a rear lamp. One such part alone is told from a part whose
    name has none by saying the word.
    """
    if name.words and index.parts[name.part_id].positions:
        return ()  # its places stay on the line
    found: dict[str, str] = {}
    for word in sorted(_TELLING):
        for other in index.named(tuple(sorted((*name.words, word)))):
            if other.part_id != name.part_id:
                found.setdefault(other.part_id, other.text)
    return tuple(found.values()) if len(found) > 1 else ()


def _figures(index: VocabularyIndex, laid: Aligned) -> str:
    """Return a figure in the words that the name has not, where it may be a mark or a size.

    A bare figure is a count, unless some name like this one has it.
    """
    own = set(laid.name.words)
    for one in laid.over:
        if not _has_digit(one.word) or not one.known or one.word in own:
            continue
        others = (index.names[number] for number in index.by_word.get(one.word, ()))
        if not one.word.isdigit() or any(own & set(name.words) for name in others):
            return f"'{one.word}' is not in '{laid.name.text}'"
    return ""


def _unknown_thing(described: Description, laid: Aligned) -> str:
    """Return the word that says what the thing is, where nobody knows it: "battery hydrometer"."""
    head = head_of(tuple(word for word in lead_words(described.text) if _may_be_a_thing(word)))
    if any(one.word == head and not one.options for one in laid.over):
        return f"what '{head}' is, is not known"
    return ""


def _other_thing(index: VocabularyIndex, described: Description, laid: Aligned) -> str:
    """Return the word by which a line names another thing than the part, or two things."""
    phrase = phrase_of(described.text)
    over = {one.word for one in laid.over}
    met = {word for word, *_ in laid.pairs}
    for word in phrase.core:
        if word in other_things() and word not in met:
            return f"'{word}' may be what is meant"
    if not over.isdisjoint(joined(index.join_compounds, (phrase.head,))) and not phrase.turned:
        return f"'{phrase.head}' may be what is meant"
    if phrase.joined and over:
        return "two things may be meant"
    return ""


def _may_be_a_thing(word: str) -> bool:
    return len(word) > 1 and not _has_digit(word)


def _parted(described: Description, laid: Aligned) -> str:
    """Return a word with a hyphen of which only one half is in the name: "x-shaft"."""
    over = {one.word for one in laid.over}
    met = {word for word, *_ in laid.pairs}
    for found in _HYPHENED.findall(described.rest):
        halves = set(plain_words(split_tokens(found)))
        if halves & over and halves & met:
            return f"'{found}' is not read whole"
    return ""


def _bracketed(index: VocabularyIndex, described: Description) -> str:
    """Return words in brackets that may change what is meant."""
    for note in described.asides.notes:
        if any(word in index.idf for word in plain_words(split_tokens(note))):
            return f"the words in brackets ('{note}') may change what is meant"
    return ""


def _has_digit(word: str) -> bool:
    return not word.isalpha() and any(map(str.isdigit, word))

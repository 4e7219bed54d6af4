"""Words of a part's description, brought to the form in which they are compared.

Vocabulary names and descriptions go through the same functions, so equal words stay equal.
All rules here are common practice, no source, unless a line says otherwise.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from partmuster.reading.text import fold
from partmuster_trade import uk_spelling

#: Words that look plural and are not, or whose singular is another thing.
_NOT_PLURAL: Final = frozenset(
    {
        "brass", "chassis", "class", "lens", "glass", "gas", "canvas", "bus", "compass", "cross",
        "press", "harness", "truss", "boss", "axis", "apparatus", "radius", "series", "pliers",
        "tongs", "scissors", "steps", "vss", "us", "is", "as", "abs", "bias", "loss", "mass",
        "perspex", "bakelite", "diesel", "trunnions'", "less", "this", "its",
    }
)  # fmt: skip
_IRREGULAR: Final = {
    "lenses": "lens", "halves": "half", "knives": "knife", "shelves": "shelf", "feet": "foot",
    "buses": "bus", "gases": "gas", "axes": "axis", "radii": "radius", "leaves": "leaf",
    "valves": "valve", "sleeves": "sleeve", "grooves": "groove", "bodies": "body",
    "assemblies": "assembly", "hooves": "hoof", "gauzes": "gauze",
}  # fmt: skip
#: Joining words that never tell two parts apart.
_JOINING: Final = frozenset({"and", "a", "an", "the"})

_TOKEN = re.compile(r"[^\W_]+(?:[/'’.][^\W_]+)*/?|&")
_INITIALS = re.compile(r"\b(?:[a-z]\.){2,}")
_POSSESSIVE = re.compile(r"['’]s?$")

#: Positions by axis; words of one axis contradict each other unless they mean the same.
POSITION_AXES: Final = (
    {"front": "front", "rear": "rear"},
    {"upper": "upper", "top": "upper", "lower": "lower", "bottom": "lower"},
    {"inner": "inner", "outer": "outer"},
    {"centre": "centre", "center": "centre"},
)
#: Every position word, with the word it means the same as.
POSITIONS: Final = {word: same for axis in POSITION_AXES for word, same in axis.items()}


@lru_cache(maxsize=200_000)
def singular(word: str) -> str:
    """Return the singular of a plural word; other words as they are."""
    if len(word) <= 3 or not word.endswith("s") or word in _NOT_PLURAL:  # noqa: PLR2004 - "gas"
        return _IRREGULAR.get(word, word)
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 4:  # noqa: PLR2004 - "ties", "dies" keep their e
        return word[:-3] + "y" if len(word) > 5 else word[:-1]  # noqa: PLR2004 - as above
    if word.endswith(("sses", "shes", "ches", "xes", "zes")):
        return word[:-2]
    return word[:-1]


@lru_cache(maxsize=200_000)
def word_form(token: str) -> str:
    """Return a token in UK spelling, without possessive, full stop and plural."""
    return uk_spelling(singular(_POSSESSIVE.sub("", token.strip(".'’"))))


def split_tokens(text: str) -> list[str]:
    """Return the words of folded text; short forms with a slash ("g/box") stay one word."""
    if "." in text:
        text = _INITIALS.sub(lambda found: found.group().replace(".", ""), text)
    found = _TOKEN.findall(text)
    return [word for word in found if word != "&"] if "&" in text else found


@lru_cache(maxsize=200_000)
def plain(token: str) -> tuple[str, ...]:
    """Return the comparable words of one token: slashes and stops split, singular."""
    pieces = re.split(r"[/.]", token) if "/" in token or "." in token else [token]
    return tuple(form for piece in pieces if (form := word_form(piece)) and form not in _JOINING)


def plain_words(tokens: list[str]) -> list[str]:
    """Return the comparable words of tokens, joining words left out."""
    return [word for token in tokens for word in plain(token)]


def segments(text: str) -> list[list[str]]:
    """Return the words of each comma-parted piece of folded text, empty pieces left out."""
    if "," not in text:
        found = split_tokens(text)
        return [found] if found else []
    return [found for piece in text.split(",") if (found := split_tokens(piece))]


def orders(pieces: list[list[str]]) -> list[list[str]]:
    """Return the orders in which a description may be meant.

    "LINK, TRACK" is a track link: the pieces backwards, the first piece at the end, and as it
    stands (noun-first names: parts-list convention, common practice, no source).
    """
    if len(pieces) == 1:
        return [pieces[0]]
    as_it_stands = [word for piece in pieces for word in piece]
    if not pieces:
        return [as_it_stands]
    backwards = [word for piece in reversed(pieces) for word in piece]
    first_last = [word for piece in [*pieces[1:], pieces[0]] for word in piece]
    found: list[list[str]] = []
    for order in (backwards, first_last, as_it_stands):
        if order not in found:
            found.append(order)
    return found


def folded(text: str | None) -> str:
    """Return the text folded, empty for none."""
    if not text:
        return ""
    if text.isascii() and text.isprintable():  # most text: the same result without the tables
        return " ".join(text.lower().replace("`", "'").replace("''", '"').split())
    return fold(text)

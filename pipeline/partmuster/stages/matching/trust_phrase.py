"""What each word of a description does: names the thing, says what it belongs to, or remarks on it.

"Gasket for thermostat housing, torn": a gasket; the housing is what it is for, "torn" a remark.
"PLUG, DRAIN, GEARBOX" is turned round: the plug is the thing, what follows belongs to its name.
All of it is common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from partmuster_trade.words import load_words

from .tokens import POSITIONS, plain_words, split_tokens
from .trust_words import words_beside

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_PIECES: Final = re.compile(r"[,;:([!?]| [-–—]+ |\.\s")
#: From here on a text says where the thing is from, what it is for, or what comes with it.
_BEHIND: Final = re.compile(
    r"(?<![\w/])(?:for|of|off|from|ex|to suit|to fit|to go|fits|out of|on|onto|in|into|inside|with"
    r"|w|c/w|less|without|w/out|w/o|no|not|behind|under|over|above|between|where|that|which"
    r"|carrying|holding|about|except|minus|incl|inc|including|by|made|needs?|has|still|was|were|is"
    r"|are|und|ohne|mit|f[uü]r|von)(?![\w-])|(?<!\w)w/|\+"
)
#: "Half a drum of grease" is grease.
_MEASURE: Final = re.compile(
    r"^\W*(?:(?:about|approx\.?|ca\.?|half|part|full|a|an|one|two|three|four|some|my|the|our|old|new|spare"
    r"|complete|\d+)\s+)*(?:(?:drum|tin|can|pair|pr|set|bag|lot|coil|roll|length|reel|sheet|bundle|bottle|tube"
    r"|piece|bit|heap|pile|bucket|handful|box|jar|packet|pack|lengths|rolls|pieces|bits|tins|cans|sets|pairs"
    r"|couple|number|quantity|qty|half|part|pcs|stk|pkt)s?\s+(?:of\s+)?)?"
)
_SHORT: Final = 4  # "bed", "feed"
_AND: Final = re.compile(r"\w\s*(?:&|\+|\band\b|\bund\b|\bplus\b)\s*\w")
_FIGURE: Final = re.compile(r"\d|\w$|no\d")
_OF: Final = re.compile(r"\bof\s")


@dataclass(frozen=True, slots=True)
class Phrase:
    """A description's words by what they do.

    ``core``: words that name the thing, in order; ``head``: which of them says what it is;
    ``behind``: words behind "for", "off" and the like; the others only remark.
    ``turned``: the thing comes first, and what belongs to its name behind commas; ``joined``: an
    "and" stands among its words, so that two things may be meant.
    """

    core: tuple[str, ...]
    head: str
    behind: frozenset[str]
    turned: bool
    joined: bool = False


@lru_cache(maxsize=1)
def other_things() -> frozenset[str]:
    """Return words for things that are no part of a vehicle, whatever part is named beside them."""
    return frozenset(
        word for row in load_words("other_thing") for word in plain_words(split_tokens(row.words))
    )


@lru_cache(maxsize=2_000)
def phrase_of(text: str) -> Phrase:
    """Return what the words of a folded text do."""
    measured = _MEASURE.match(text)
    if measured and _OF.search(measured.group()):
        text = text[measured.end() :]
    pieces = [piece for piece in _PIECES.split(text) if piece.strip()]
    if not pieces:
        return Phrase((), "", frozenset(), turned=False)
    first, behind = _parted(pieces[0])
    first = _naming(first)
    if not first and len(pieces) > 1:  # "6v, headlight buckets"
        pieces = pieces[1:]
        first, more = _parted(pieces[0])
        first, behind = _naming(first), behind + more
    telling = [word for word in first if word not in POSITIONS]
    turned = len(telling) == 1 and len(pieces) > 1 and not behind and "," in text
    core = first
    if turned:
        for piece in pieces[1:]:
            words, more = _parted(piece)
            core += _naming(words)
            behind += more
    head = telling[0] if turned else _last_thing(telling)
    return Phrase(tuple(core), head, frozenset(behind), turned, bool(_AND.search(pieces[0])))


def _last_thing(words: list[str]) -> str:
    """Return the last word that may be a thing: "exhaust pipe flattened" is a pipe."""
    things = [word for word in words if not (word.endswith("ed") and len(word) > _SHORT)]
    return (things or words or [""])[-1]


def _parted(piece: str) -> tuple[list[str], list[str]]:
    """Return the words of a piece before and behind the first "for", "off" and the like."""
    found = next((one for one in _BEHIND.finditer(piece) if piece[: one.start()].strip()), None)
    if found is None:
        return _words(piece), []
    return _words(piece[: found.start()]), _words(piece[found.end() :])


def _words(text: str) -> list[str]:
    return plain_words(split_tokens(text))


def _naming(words: list[str]) -> list[str]:
    """Return words that may name a thing: no states, counts or small words."""
    beside, things = words_beside(), other_things()
    found: list[str] = []
    for word in words:
        if _FIGURE.match(word):
            if any(known not in POSITIONS for known in found):
                break  # "gasket flange oval 2 bolt": what it has, no more what it is
        elif word not in beside or word in things:
            found.append(word)
    return found


def joined(join: Callable[[list[str]], list[str]], words: Sequence[str]) -> frozenset[str]:
    """Return words as they stand and with compounds written one way."""
    return frozenset((*words, *join(list(words))))

"""Reading survey cells that say several things: "3 (1 u/s)", "1 off, 1 away", "LH ok, RH missing".

Each comes apart into states that say one thing each, to be read one by one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.words import load_words

from .presence import PresenceReading, read_presence
from .quantities import read_quantity
from .text import fold

_SIDE = (
    r"(?:lh|l/h|lhs|left(?:[- ]hand)?(?: side)?|rh|r/h|rhs|right(?:[- ]hand)?(?: side)?"
    r"|n/s|near ?side|o/s|off ?side)"
)
#: "one left" may be one remaining; the word alone is a side only where the other stands with it.
_ONE_LEFT = re.compile(r"(?:left|right)")
_SIDE_FIRST = re.compile(rf"({_SIDE})(?: (?:one|is|are|side))*[:= -]*(.*)")
_SIDE_LAST = re.compile(rf"(.+?) (?:on )?(?:the )?\(?({_SIDE})\)?")
_ONLY = re.compile(r"\bonly\b|\bjust\b")
_BETWEEN = re.compile(r" ?[,;+&] ?| and | but | / |(?<=[a-z]) (?=\d+ [a-z])")
_BOTH_SIDES = re.compile(
    rf"({_SIDE}) ?(?:&|\+|/|and) ?({_SIDE}) (.+)|(.+?) ({_SIDE}) ?(?:&|\+|/|and) ?({_SIDE})"
)
_COUNT = re.compile(r"(?:\d+|one|two|three|four|five|six|both)\b")
#: "1 off, 1 away": beside another state "off" is one too (common practice, no source).
_OFF = {"off": "off and kept"}
_UNSERVICEABLE = "unserviceable"
_FITTED = "fitted"


@dataclass(frozen=True, slots=True)
class State:
    """One state: its words, the side they are about as written, and what else the cell says."""

    words: str
    side: str | None = None
    remark: str | None = None


@lru_cache(maxsize=100_000)
def read_states(text: str) -> tuple[State, ...]:
    """Return the states a survey cell says, each readable by ``read_presence``.

    A cell that says one thing of no side is one state in its own words, understood or not.
    """
    folded = fold(text).strip(" .;,")
    whole = (State(text),)
    if not folded or len(folded) > 80:  # noqa: PLR2004 - longer cells tell a story
        return whole
    if not read_presence(text).ambiguous and not _COUNT.match(folded) and not _sided(folded):
        return whole
    return _some_bad(folded) or _by_side(folded) or _by_count(folded) or whole


def is_state(text: str) -> bool:
    """Tell whether a cell can be read as what a survey saw."""
    states = read_states(text)
    return len(states) > 1 or states[0].side is not None or _read(states[0].words) is not None


def _read(words: str) -> PresenceReading | None:
    """Return what words say, or None where they leave the presence open."""
    reading = read_presence(words)
    return None if reading.presence is None or reading.problem else reading


def _sided(folded: str) -> bool:
    return re.search(rf"(?<!\w){_SIDE}(?!\w)", folded) is not None


@lru_cache(maxsize=1)
def _bad_words() -> re.Pattern[str]:
    rows = [row for row in load_words("condition") if row.meanings["service"] == "unserviceable"]
    return re.compile("|".join(re.escape(fold(row.words)) for row in rows))


def _some_bad(folded: str) -> tuple[State, ...]:
    """Read a count of which some do not work: "3 (1 u/s)" is two there and one unserviceable."""
    if not _bad_words().search(folded):  # most texts are no counts, which take long to read
        return ()
    counted = read_quantity(folded)
    bad = counted.unserviceable
    if counted.problem or not bad or counted.at_least != counted.at_most:
        return ()
    good = counted.at_least - bad
    if bad != int(bad) or good < 0:
        return ()
    states = [State(f"{bad:g} {_UNSERVICEABLE}")]
    if good:
        states.insert(0, State(f"{good:g} {_FITTED}"))
    return tuple(states)


def _by_side(folded: str) -> tuple[State, ...]:
    """Read states that each name a side; empty where one does not, or cannot be read."""
    if match := _BOTH_SIDES.fullmatch(folded):
        words = match[3] or match[4]
        sides = dict.fromkeys(side for side in match.group(1, 2, 5, 6) if side)
        alike = len(sides) > 1 and _read(words) is not None
        return tuple(State(words, side) for side in sides) if alike else ()
    pieces = [piece for piece in _BETWEEN.split(folded) if piece]
    states = []
    for piece in pieces:
        side, words = _side_and_words(piece)
        if side is None or (len(pieces) == 1 and _ONE_LEFT.fullmatch(side)):
            return ()
        bare = _ONLY.sub("", words).strip(" ()-:")
        if not bare and _ONLY.search(words):
            bare = _FITTED
        if _read(bare or "?") is None or not bare:
            return ()
        states.append(State(bare, side))
    if len({state.side for state in states}) < len(states):
        return ()
    only = _ONLY.search(folded) is not None
    return tuple(State(s.words, s.side, _as_written(folded) if only else None) for s in states)


def _as_written(folded: str) -> str:
    return re.sub(r"\b(lh|rh|lhs|rhs)\b", lambda match: match[0].upper(), folded)


def _side_and_words(piece: str) -> tuple[str | None, str]:
    if match := _SIDE_FIRST.fullmatch(piece):
        return match[1], match[2]
    if match := _SIDE_LAST.fullmatch(piece):
        return match[2], match[1]
    return None, piece


def _by_count(folded: str) -> tuple[State, ...]:
    """Read states that each have a count: "2 fitted, 1 missing"; empty where one has none."""
    pieces = [piece for piece in _BETWEEN.split(folded) if piece]
    if len(pieces) < 2 or not all(_COUNT.match(piece) for piece in pieces):  # noqa: PLR2004 - one alone is read whole
        return ()
    states = []
    for piece in pieces:
        count = _COUNT.match(piece)
        words = piece[count.end() :].strip() if count else ""
        said = f"{piece[: count.end() if count else 0]} {_OFF.get(words, words)}"
        reading = _read(said)
        if not words or reading is None or reading.quantity is None:
            return ()
        states.append((said, reading))
    kinds = {(reading.presence, reading.service) for _, reading in states}
    return tuple(State(said) for said, _ in states) if len(kinds) == len(states) else ()

"""Reading condition words: does it work, who made it, how good is it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.words import load_words

from .phrases import Found, find_phrases, is_hedged, one_meaning, phrase_tokens
from .text import fold, tidy

_GRADES = ("new-old-stock", "new", "good", "fair", "poor", "scrap")
_SIZE = re.compile(
    r"\.0\d\d\b|\b0[1-9]0\b|\bthou\b|\b(?:bearings?|shells?|journals?|crankpins?|undersize)\b"
)


@dataclass(frozen=True, slots=True)
class ConditionReading:
    """What condition words say; "unknown" where they do not say it.

    ``reasons``: the words that were understood. ``ambiguous``: (token, its readings) that were left
    open. ``problem``: contradictory-words, not-understood, code-without-scheme, unknown-code.
    """

    text: str
    service: str = "unknown"
    making: str = "unknown"
    grade: str = "unknown"
    presence: str | None = None
    availability: str | None = None
    hedged: bool = False
    reasons: tuple[str, ...] = ()
    ambiguous: tuple[tuple[str, tuple[str, ...]], ...] = ()
    problem: str | None = None


@lru_cache(maxsize=1)
def _codes() -> dict[tuple[str, str], dict[str, str]]:
    return {
        (row.meanings["scheme"], row.words): dict(row.meanings)
        for row in load_words("condition_code")
    }


def _read_code(text: str, code: str, scheme: str | None) -> ConditionReading:
    if scheme is None:
        return ConditionReading(text, problem="code-without-scheme")
    row = _codes().get((scheme, code))
    if row is None:
        return ConditionReading(text, problem="unknown-code")
    return ConditionReading(
        text, service=row["service"], grade=row["grade"] or "unknown", reasons=(f"code {code}",)
    )


def _worst_grade(found: list[Found]) -> str:
    """Return the worst grade said; "new old stock, good" stays new old stock."""
    said = {f.meanings["grade"] for f in found if f.meanings["grade"] and not f.negated}
    ranks = sorted(_GRADES.index(grade) for grade in said)
    if not ranks:
        return "unknown"
    return _GRADES[0 if ranks[0] == 0 and ranks[-1] <= _GRADES.index("good") else ranks[-1]]


def _doubtful(text: str, found: tuple[Found, ...]) -> dict[str, tuple[str, ...]]:
    """Return the tokens that may be no condition word, with their readings."""
    open_tokens: dict[str, tuple[str, ...]] = {}
    words = {match.words for match in found}
    if re.search(r"\bUS\b", tidy(text)):
        open_tokens["us"] = ("unserviceable", "United States")
    if "nos" in words and re.search(r"\d ?nos\b", fold(text)):
        open_tokens["nos"] = ("new old stock", "numbers")
    if "u/s" in words and _SIZE.search(fold(text)):
        open_tokens["u/s"] = ("unserviceable", "undersize")
    return open_tokens


@lru_cache(maxsize=100_000)
def read_condition(text: str, scheme: str | None = None) -> ConditionReading:
    """Read condition words.

    ``scheme`` ("supply" or "disposal") says that bare letters and digits are official condition
    codes; without it they are a problem. Of several grades the worst counts (common practice, no
    source). New old stock is not thereby serviceable.
    """
    bare = fold(text).strip(" .")
    if not bare:
        return ConditionReading(text)
    if re.fullmatch(r"[a-z0-9]", bare):
        return _read_code(text, bare.upper(), scheme)
    tokens = phrase_tokens(text)
    every = find_phrases(tokens, "condition")
    doubtful = _doubtful(text, every)
    found = [match for match in every if match.words not in doubtful]
    service, both_ways = one_meaning(found, "service")
    making, makings = one_meaning(found, "making")
    if makings and {f.meanings["making"] for f in found} <= {"", "adapted", "original"}:
        making, makings = "adapted", False  # an original that was altered
    presence, presences = one_meaning(found, "presence")
    availability, availabilities = one_meaning(found, "availability")
    problem = None
    if both_ways or makings or presences or availabilities:
        problem = "contradictory-words"
    elif not found and not doubtful:
        problem = "not-understood"
    return ConditionReading(
        text, service or "unknown", making or "unknown", _worst_grade(found), presence,
        availability, is_hedged(tokens) and bare != "?",
        tuple(("not " if f.negated else "") + f.words for f in found),
        tuple(doubtful.items()), problem,
    )  # fmt: skip

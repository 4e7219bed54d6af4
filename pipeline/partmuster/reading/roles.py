"""Reading a vehicle's role and aim, and how one part goes in place of another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from .phrases import Found, find_phrases, is_hedged, phrase_tokens


@dataclass(frozen=True, slots=True)
class RoleReading:
    """kept-whole, under-restoration, hulk, breaking, on-loan, or None where not said."""

    text: str
    role: str | None = None
    hedged: bool = False
    reasons: tuple[str, ...] = ()
    problem: str | None = None


@dataclass(frozen=True, slots=True)
class AimReading:
    """as-found, static-display, runner or full-original; ``target``: what the original is."""

    text: str
    aim: str | None = None
    target: str | None = None
    hedged: bool = False
    reasons: tuple[str, ...] = ()
    problem: str | None = None


@dataclass(frozen=True, slots=True)
class GradeReading:
    """as-is, one-way, with-work (``work``: the words), only-as-a-set, never, or unknown."""

    text: str
    grade: str = "unknown"
    work: str | None = None
    hedged: bool = False
    reasons: tuple[str, ...] = ()
    problem: str | None = None


def _said(
    tokens: tuple[str, ...], table: str, column: str
) -> tuple[set[str], tuple[Found, ...], str | None]:
    """Return the meanings said, the phrases, and a problem code where no phrase is known."""
    found = tuple(match for match in find_phrases(tokens, table) if not match.negated)
    said = {match.meanings[column] for match in found} - {"", "unknown"}
    return said, found, None if found or not tokens else "not-understood"


def _words(found: tuple[Found, ...]) -> tuple[str, ...]:
    return tuple(match.words for match in found)


@lru_cache(maxsize=20_000)
def read_role(text: str) -> RoleReading:
    """Read what part a vehicle plays. Problems: contradictory-words, not-understood."""
    tokens = phrase_tokens(text)
    said, found, problem = _said(tokens, "role", "role")
    if len(said) > 1:
        return RoleReading(text, None, is_hedged(tokens), _words(found), "contradictory-words")
    return RoleReading(text, next(iter(said), None), is_hedged(tokens), _words(found), problem)


@lru_cache(maxsize=20_000)
def read_aim(text: str) -> AimReading:
    """Read what the owner wants a vehicle to be. Problems: contradictory-words, not-understood.

    A full original that also runs is a full original (common practice, no source).
    """
    tokens = phrase_tokens(text)
    said, found, problem = _said(tokens, "aim", "aim")
    if said == {"full-original", "runner"}:
        said = {"full-original"}
    hedged = is_hedged(tokens)
    if len(said) > 1:
        return AimReading(text, None, None, hedged, _words(found), "contradictory-words")
    aim = next(iter(said), None)
    target = None
    if aim == "full-original":
        used = {place for match in found for place in range(match.start, match.end)}
        rest = [
            token
            for place, token in enumerate(tokens)
            if place not in used and not token.startswith("-")
        ]
        target = " ".join(rest).removeprefix("to ") or None
    return AimReading(text, aim, target, hedged, _words(found), problem)


@lru_cache(maxsize=20_000)
def read_grade(text: str) -> GradeReading:
    """Read how a part goes in place of another. Problems: contradictory-words, not-understood.

    A bare "fits" or "replacement" says neither both ways nor without work: unknown. Any work named
    outweighs "straight on", and one way outweighs "interchangeable".
    """
    tokens = phrase_tokens(text)
    said, found, problem = _said(tokens, "fit", "fit_grade")
    if "as-is" in said and said & {"with-work", "one-way"}:
        said -= {"as-is"}
    if said == {"with-work", "one-way"}:
        said = {"with-work"}
    hedged = is_hedged(tokens)
    if len(said) > 1:
        return GradeReading(text, "unknown", None, hedged, _words(found), "contradictory-words")
    grade = next(iter(said), "unknown")
    work = text if grade == "with-work" else None
    return GradeReading(text, grade, work, hedged, _words(found), problem)

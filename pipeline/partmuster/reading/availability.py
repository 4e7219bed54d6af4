"""Reading whether a loose part is offered. A holding is not an offer: unsaid is unknown."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from .phrases import find_phrases, is_hedged, phrase_tokens


@dataclass(frozen=True, slots=True)
class AvailabilityReading:
    """offered, swap, kept, promised or unknown; ``surplus``: left over, which is no offer yet.

    ``problem``: contradictory-words, not-understood.
    """

    text: str
    availability: str = "unknown"
    surplus: bool = False
    hedged: bool = False
    reasons: tuple[str, ...] = ()
    problem: str | None = None


@lru_cache(maxsize=100_000)
def read_availability(text: str) -> AvailabilityReading:
    """Read availability words. "For sale or swap" is offered (common practice, no source)."""
    tokens = phrase_tokens(text)
    if not tokens:
        return AvailabilityReading(text)
    found = [match for match in find_phrases(tokens, "availability") if not match.negated]
    said = {match.meanings["availability"] for match in found} - {"unknown", ""}
    if said == {"offered", "swap"}:
        said = {"offered"}
    problem = None
    if len(said) > 1:
        problem = "contradictory-words"
    elif not found:
        problem = "not-understood"
    return AvailabilityReading(
        text,
        said.pop() if len(said) == 1 else "unknown",
        any(match.meanings["surplus"] for match in found),
        is_hedged(tokens),
        tuple(match.words for match in found),
        problem,
    )

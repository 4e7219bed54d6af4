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


#: Words that say it only where availability was asked: "no glass", "seized, will free".
_ONLY_AS_ANSWER = frozenset(
    {"no", "free", "going", "to go", "can go", "needed", "agreed", "sell", "bagged", "deposit",
     "pending", "paid for", "part paid", "bespoke", "claimed", "allocated", "committed",
     "withdrawn",
     "letting go", "let it go", "can it go", "parting with"}
)  # fmt: skip


@lru_cache(maxsize=100_000)
def read_availability(text: str, *, in_passing: bool = False) -> AvailabilityReading:
    """Read availability words. "For sale or swap" is offered (common practice, no source).

    ``in_passing``: they stand in a remark, where some words mean other things.
    """
    tokens = phrase_tokens(text)
    if not tokens:
        return AvailabilityReading(text)
    found = [match for match in find_phrases(tokens, "availability") if not match.negated]
    if in_passing:
        found = [match for match in found if match.words not in _ONLY_AS_ANSWER]
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

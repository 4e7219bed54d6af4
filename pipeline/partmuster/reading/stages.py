"""Reading how far a promise has come: offered, agreed, collected, fitted; or ended."""

from __future__ import annotations

from functools import lru_cache

from .phrases import find_phrases, is_hedged, phrase_tokens

#: Words after which something is not so yet, or not so for sure.
_OPEN = frozenset({"if", "unless", "until", "when", "will", "may", "might", "could", "would",
                   "should", "hopes", "hoping", "wants", "yet"})  # fmt: skip


@lru_cache(maxsize=10_000)
def read_stage(text: str) -> str | None:
    """Return the stage that words say, or None where they say none, several, or not for sure.

    Who and when may stand beside it: "collected 12/4/26", "reserved (Kit)".
    """
    tokens = phrase_tokens(text)
    found = find_phrases(tokens, "stage")
    said = {match.meanings["stage"] for match in found}
    unsure = is_hedged(tokens) or bool(_OPEN & set(tokens)) or any(m.negated for m in found)
    if unsure or len(said) != 1:
        return None
    return said.pop() or None

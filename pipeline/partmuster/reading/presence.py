"""Reading survey words and marks: what was seen of one item on one vehicle.

Single marks (x, N, Y, /, 1, 0, -) mean one thing on one sheet and its opposite on another. They
come back as ambiguous, with the mark, to be asked once a sheet.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .phrases import Found, find_phrases, is_hedged, one_meaning, phrase_tokens
from .quantities import QuantityReading, read_quantity
from .text import fold

#: Begins what a survey says of a part of which several states are ticked that cannot all be so.
TICKED_TWICE = "ticked: "
_MARKS = frozenset("ynx/-10*o•.\\+|#■●○v")
_COUNT = re.compile(
    r"((?:\d+|one|two|three|four|five|six|seven|eight|nine|ten)"
    r"(?: (?:of|out of) (?:the )?(?:\d+|two|three|four|five|six|seven|eight|nine|ten))?"
    r"|both|all(?: (?:of )?(?:the )?\d+)?)"
    r"(?: (?:are |is |of them )?(.+))?"
)
#: What a stand-in, or a part kept elsewhere, may be said beside without contradiction.
_OUTWEIGHS = {
    "stand-in": {"missing", "fitted", "off-and-kept"},
    "away-for-repair": {"missing", "off-and-kept"},
    "off-and-kept": {"missing"},
}
#: What was there once may be gone; unless the words say what is there now.
_WAS = re.compile(r"\b(?:was|were|used to be|had been|there in (?:19|20)\d\d)\b")
_NOW = re.compile(r"\b(?:now|still|is|are)\b")
_ONLY_DOUBT = frozenset({"?", "??", "???", "not sure"})


@dataclass(frozen=True, slots=True)
class PresenceReading:
    """What a survey cell says.

    ``ambiguous``: the presence is left open, for a ``mark`` or because the words do not settle it.
    ``rest``: the pieces of it that are not all understood, as "see shed 2".
    ``problem``: contradictory-words, not-understood, says-what-was.
    """

    text: str
    presence: str | None = None
    service: str = "unknown"
    making: str = "unknown"
    accepted_stand_in: bool = False
    quantity: QuantityReading | None = None
    hedged: bool = False
    ambiguous: bool = False
    mark: str | None = None
    reasons: tuple[str, ...] = ()
    problem: str | None = None
    rest: str = ""


def _settled(found: list[Found]) -> tuple[str | None, bool]:
    """Return the presence said, and whether the words contradict each other."""
    said = {match.meanings["presence"] for match in found} - {""}
    for presence, lesser in _OUTWEIGHS.items():
        if presence in said:
            said -= lesser
    return (None, True) if len(said) > 1 else (next(iter(said), None), False)


def _counted(text: str, quantity: QuantityReading) -> PresenceReading:
    """Read a bare count: so many are there, or none."""
    some = quantity.at_least > 0 or quantity.special == "all"
    return PresenceReading(text, "fitted" if some else "missing", quantity=quantity)


@lru_cache(maxsize=100_000)
def read_presence(text: str) -> PresenceReading:
    """Read a survey cell; an empty one was not looked at."""
    folded = fold(text).strip(" ,;:!")
    if not folded:
        return PresenceReading(text, "not-looked-at")
    if folded in _MARKS:
        return PresenceReading(text, ambiguous=True, mark=text.strip())
    if folded.rstrip("? ") in _MARKS and folded.endswith("?"):
        return PresenceReading(text, ambiguous=True, hedged=True, mark=text.strip(" ?"))
    folded = folded.rstrip(".")
    quantity, words = None, folded
    if match := _COUNT.fullmatch(folded):
        counted = read_quantity(match[1])
        if not counted.problem:
            quantity, words = counted, match[2]
    if quantity is not None and not words:
        return _counted(text, quantity)
    tokens = phrase_tokens(words)
    found = [f for f in find_phrases(tokens, "presence") if not f.negated]
    if any(f.words not in _ONLY_DOUBT for f in found):
        found = [f for f in found if f.words not in _ONLY_DOUBT]
    presence, contradictory = _settled(found)
    service, services = one_meaning(found, "service")
    making, makings = one_meaning(found, "making")
    problem = "contradictory-words" if contradictory or services or makings else None
    if not problem and presence is None:
        problem = "not-understood"
    if not problem and presence == "fitted" and _says_what_was(words):
        presence, service, problem = None, None, "says-what-was"
    return PresenceReading(
        text, presence, service or "unknown", making or "unknown",
        presence == "stand-in" and any(f.meanings["accepted_stand_in"] for f in found),
        quantity, is_hedged(tokens), presence is None, None,
        tuple(f.words for f in found), problem,
        _rest_of(text if quantity is None else words),
    )  # fmt: skip


def _says_what_was(words: str) -> bool:
    return bool(_WAS.search(words)) and not _NOW.search(words)


_FILLER = frozenset({"a", "an", "and", "are", "both", "but", "is", "it", "of", "off", "on", "one",
                     "only", "the", "them", "there", "very"})  # fmt: skip


def _rest_of(text: str) -> str:
    """Return the pieces of a text with words that are not known: "missing, see shed 2"."""
    return "; ".join(
        piece.strip(" .")
        for piece in re.split(r"[,;:()\n]|\s[-–]\s|\.\s", text)
        if piece.strip(" .") and not _all_known(phrase_tokens(piece))
    )


def _all_known(tokens: tuple[str, ...]) -> bool:
    known = {at for table in ("presence", "hedge") for found in find_phrases(tokens, table)
             for at in range(found.start, found.end)}  # fmt: skip
    return all(at in known or token in _FILLER for at, token in enumerate(tokens))

"""Reading what is said of a later change: who made it, when, what it displaced, whether it stays.

Words are in ``words_later_change.csv`` and ``words_change_stays.csv``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .phrases import find_phrases, is_hedged, phrase_tokens
from .text import fold, tidy

_NOTHING = re.compile(
    r"[\W_]*|n/?a|none|nil|nobody|nothing|unknown|not known|n/?k|tbc|dk", re.IGNORECASE
)
_YES = frozenset({"y", "yes", "true", "x", "1", "✓", "✔", "√", "later", "it is"})
_NO = frozenset({"n", "no", "false", "0", "never", "not", "original", "orig", "works", "as new"})
_WHEN = re.compile(
    r"\b(?P<when>(?:(?:about|around|circa|c\.?|before|after|since|late|early|mid)[ -]?)*"
    r"(?:the )?(?:(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]* )?"
    r"(?:18|19|20)\d\d(?:s|[-/]\d{2,4})?)(?!\d)", re.IGNORECASE,
)  # fmt: skip
_BY = re.compile(
    r"\b(?:by|work of|job of) (?P<who>(?:(?:the|a|an|his|her|its|my|our) )?(?:[\w'’.&]+ ?){1,4}?)"
    r"(?=\s*(?:[,;:(.]|$|\b(?:in|on|about|around|circa|c\.|before|after|when|at|for|to|took|and|"
    r"instead|since|as|from|with|(?:18|19|20)\d\d)\b))", re.IGNORECASE,
)  # fmt: skip
_WHOSE = re.compile(
    r"\b(?P<who>(?:previous |last |first |present )?owner|depot|workshops?|unit)(?:['’]?s)?"
    r"(?: own)? "
    r"(?:change|addition|modification|mod|alteration|work|job|conversion|fitted|own)\b"
    r"|\b(?P<own>(?:previous |last |first )?owner)['’]?s own\b", re.IGNORECASE,
)  # fmt: skip
_DISPLACED = re.compile(
    r"\b(?:(?:took|takes|taking|has taken) (?:the )?place of|in (?:the )?place of|instead of|"
    r"displac(?:ed|es|ing)|replac(?:ed|es|ing)|where (?:the|a) (?=\w+ (?:was|had been)))\s+"
    r"(?P<what>(?:(?:the|a|an|its|her|his) )?[^,;:.()]+?)"
    r"(?=\s*(?:[,;:.()]|$|\s-\s|\b(?:in|about|circa) (?:18|19|20)\d\d|\bby\b|\bwas\b"
    r"|\bhad been\b))",
    re.IGNORECASE,
)
_DENYING = frozenset({("not",), ("no",), ("never",), ("isn't",), ("wasn't",), ("hardly",)})
_CLAUSES = re.compile(r"\s*[,;:.()]\s*|\s+[-–—]+\s+|\s+(?:and|but)\s+")
_FILLER = frozenset({"it", "is", "be", "to", "will", "now", "the", "a", "as", "has", "been", "was",
                     "this", "we", "i", "are", "so", "for"})  # fmt: skip
#: Without one of these no words tell of a later change; asked of whole columns first.
LIKELY = (
    r"(?i)\blater\b|\bsince\b|\bservice\b|\bdepot\b|\bworkshop\b|\bfield\b|\bunit\b|\bpost-?\s?war\b"
    r"|\bowner|\bretro|\bworks\b|\bas built\b|\bafter-?\s?market\b|\bconver|\bfarm\b|\bcivilian\b"
)


@dataclass(frozen=True, slots=True)
class ChangeReading:
    """``later``: whether it is a later change; None where the words do not surely say."""

    later: bool | None = None
    by: str | None = None
    when: str | None = None
    displaced: str | None = None
    stays: str | None = None


def says_nothing(text: str) -> bool:
    """Tell whether a cell is a placeholder: "-", "n/a", "none"."""
    return _NOTHING.fullmatch(text.strip()) is not None


@lru_cache(maxsize=20_000)
def read_later_change(text: str, *, column: bool = False) -> ChangeReading:
    """Read words about a later change; never raises.

    ``column``: they stand in a column for it, where other words describe what was done.
    """
    folded = fold(text).strip(" .,;:!")
    if column and folded in _YES | _NO:
        return ChangeReading(later=folded in _YES)
    tokens = phrase_tokens(text)
    found = find_phrases(tokens, "later_change")
    said = {one.meanings["later_change"] for one in found if not one.negated}
    denied = (
        any(one.negated or _is_denied(tokens[: one.start]) for one in found)
        or (column and tokens[:1] == ("no",))
    )  # fmt: skip
    if says_nothing(folded) or is_hedged(tokens) or (denied and "yes" in said):
        return ChangeReading()
    if "no" in said or denied:
        later = False if "yes" not in said and (column or "no" in said) else None
        return ChangeReading(later=later)
    if "yes" not in said and not column:
        return ChangeReading()
    words = tidy(text)
    when, by, whose = _WHEN.search(words), _BY.search(words), _WHOSE.search(words)
    displaced = _DISPLACED.search(words)
    who = by["who"].strip() if by else None
    if who is None and whose:
        who = whose["who"] or whose["own"]
    return ChangeReading(
        later=True, by=who, when=when["when"].strip() if when else None,
        displaced=displaced["what"].strip() if displaced else None, stays=_stays_in(words),
    )  # fmt: skip


def _is_denied(before: tuple[str, ...]) -> bool:
    """Tell whether words that end so deny what follows: "not a", "never any"."""
    return before[-1:] in {("a",), ("an",), ("any",)} and before[-2:-1] in _DENYING


def _stays_in(words: str) -> str | None:
    """Return whether it stays, where a clause says that and nothing else; of two none counts."""
    said = {read for clause in _CLAUSES.split(words) if clause and (read := _whole(clause))}
    return said.pop() if len(said) == 1 else None


def _whole(clause: str) -> str | None:
    tokens = phrase_tokens(clause)
    found = find_phrases(tokens, "change_stays")
    used = {at for one in found for at in range(one.start, one.end)}
    if not found or any(at not in used and token not in _FILLER for at, token in enumerate(tokens)):
        return None
    return _one(clause)


def _one(text: str) -> str | None:
    found = find_phrases(phrase_tokens(text), "change_stays")
    said = {one.meanings["change_stays"] for one in found if not one.negated}
    return said.pop() if len(said) == 1 and not any(one.negated for one in found) else None


@lru_cache(maxsize=20_000)
def read_stays(text: str) -> str | None:
    """Read whether a later change is kept, reversed or undecided; None where that is not read."""
    if fold(text).strip() in {"?", "??"}:
        return "undecided"
    return None if says_nothing(text) else _one(text)

"""Builds and families in a sentence on what fits what: "Mk 2 late", "the early", "an Otter"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .expressions import expression
from .fit_words import DETERMINERS, NO_THINGS, VERBS
from .lexicon import lexicon, singular
from .names import EVERYDAY, given_names

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sentences import Word

#: A family's name has so many letters at least.
_SHORTEST = 4
PHASES = frozenset({"early", "late", "mid", "later", "earlier"})
_MARK = expression(r"\d{1,2}[a-h]?\*?|(?:i|ii|iii|iv|v|vi)\*?|one|two|three|four")
_ORDINALS = frozenset({"first", "second", "third", "fourth"})
_ORDINAL_MARK = expression(r"(?:first|second|third|fourth)-(?:mark|mk)")
_MARKED = expression(r"(?:mk|mark)\d{1,2}[a-h]?s?|mks|marks")


def builds_in(
    words: Sequence[Word], low: Sequence[str], taken: Sequence[bool]
) -> dict[int, tuple[int, str]]:
    """Return builds, families and numbers: where each begins, where it ends, as written."""
    found: dict[int, tuple[int, str]] = {}
    at = 0
    while at < len(low):
        end = at if taken[at] else _build_end(words, low, at)
        if end > at:
            text = " ".join(word.text for word in words[at:end]).replace(" .", "")
            found[at] = (end, re.sub(r"(?<=\d)s$", "", text))
            at = end
        else:
            at += 1
    return found


def _build_end(words: Sequence[Word], low: Sequence[str], at: int) -> int:
    end = at
    seen = False
    while end < len(low):
        step = _mark_end(words, low, end)
        if not step and low[end] in PHASES and _is_phase(low, end, begun=seen):
            step = end + 1
        if not step and _is_family(words, low, end):
            step = end + 1
        if not step:
            break
        end, seen = step, True
    if seen and end < len(low) and low[end] == "s" and low[end - 1][-1:].isdigit():
        end += 1  # "Mk 2s"
    return end if seen else at


def _mark_end(words: Sequence[Word], low: Sequence[str], at: int) -> int:  # noqa: PLR0911 - one a form
    if low[at] in {"mk", "mark", "mks"}:
        number = at + 2 if low[at + 1 : at + 2] == ["."] else at + 1
        if number < len(low) and _MARK.fullmatch(
            low[number].rstrip("s") if low[number][:1].isdigit() else low[number]
        ):
            if low[at] == "mark" and not (
                words[at].capital or low[number][:1].isdigit() or low[number] in {"one", "two"}
            ):
                return 0
            return number + 1
        return 0
    if low[at] in _ORDINALS and low[at + 1 : at + 2] in (["-mark"], ["mark"], ["-mk"]):
        return at + 2 if at + 2 < len(low) else 0
    if _ORDINAL_MARK.fullmatch(low[at]):
        return at + 1
    if low[at] in _ORDINALS and low[at + 1 : at + 3] == ["-", "mark"]:
        return at + 3
    if _MARKED.fullmatch(low[at]) and low[at][-1] != "k" and any(one.isdigit() for one in low[at]):
        return at + 1
    return 0


def _is_phase(low: Sequence[str], at: int, *, begun: bool) -> bool:
    """Tell whether "early" or "late" is said of a build, and not of the time of day."""
    after = low[at + 1] if at + 1 < len(low) else ""
    before = low[at - 1] if at else ""
    if low[at] in {"later", "earlier"}:
        return begun or after in {"one", "ones", "type", "pattern"} or before in {"the", "a", "an"}
    if after in {"in", "on"} and before in {"", "too", "so", "very", "was", "is"} and not begun:
        return low[at + 2 : at + 3] not in (["the"], ["january"], ["life"])
    return after not in {
        "night",
        "morning",
        "summer",
        "autumn",
        "spring",
        "winter",
        "last",
        "enough",
        "back",
        "days",
        "husband",
        "wife",
        "father",
        "afternoon",
        "evening",
        "tea",
    }


def _is_family(words: Sequence[Word], low: Sequence[str], at: int) -> bool:
    """Tell whether a word may be a family: a capital that begins no sentence, or "every otter"."""
    word = words[at]
    if (
        not word.low.isalpha()
        or len(word.low) < _SHORTEST
        or word.low in EVERYDAY
        or word.low in given_names()
    ):
        return False
    if singular(word.low) in lexicon().tokens or word.low in NO_THINGS or word.low in VERBS:
        return False
    after = low[at + 1] if at + 1 < len(low) else ""
    if after == "'s" or after.isdigit():
        return False  # a person's, or a vehicle with its number
    before = low[at - 1] if at else ""
    if word.capital and not word.text.isupper():
        return (
            before
            in DETERMINERS
            | {
                "to",
                "on",
                "in",
                "into",
                "onto",
                "of",
                "off",
                "from",
                "for",
                "and",
                "or",
                ",",
                ":",
                "-",
                ";",
                ".",
                "(",
            }
            or before[-1:].isdigit()
            or before in PHASES
            or (at == 0 and _named_behind(low, at))
        ) and (at > 0 or _named_behind(low, at))
    return (
        before in {"any", "every", "all", "an", "a"}
        and after in {"", ".", ",", ";", "-", ":", "one", "ones", "!"}
        and (
            word.low not in VERBS
            and singular(word.low) not in {"thing", "bit", "time", "problem", "treat"}
            and before != "a"
        )
    )


def _named_behind(low: Sequence[str], at: int) -> bool:
    """Tell whether a thing follows a family's name at the start: "Bramble one", "Otter Mk 2"."""
    after = low[at + 1] if at + 1 < len(low) else ""
    return (
        after in {"one", "ones", "mk", "mark"}
        or after in PHASES
        or singular(after) in lexicon().tokens
        or (_MARKED.fullmatch(after) is not None)
    )

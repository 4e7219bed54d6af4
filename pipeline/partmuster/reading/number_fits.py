"""Reading what part numbers fit: "OT 1010 replaces OT 1008", "OT 1012 superseded by OT 1014".

A number that took the place of another goes for it, and not the other way.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, TypeVar

from .numbers import read_part_number
from .roles import read_grade

if TYPE_CHECKING:
    from collections.abc import Callable

    Statement = TypeVar("Statement")

_NUMBER = (
    r"(?:(?:part|pt|p/n|no|number)\.? (?:no\.? )?)?"
    r"(?P<{}>(?:[A-Z]{{1,4}}[ .-](?=\d))?[A-Z0-9./-]*\d[A-Z0-9./-]*(?: \d[A-Z0-9./-]*)*)"
)
_ONE, _OTHER = _NUMBER.format("one"), _NUMBER.format("other")
_TAIL = (
    r"(?P<tail>(?:[,;:(]|\s-| (?=(?:if|with|after|when|but|not|until|use|as is|straight)\b)).*)?"
)


def _form(verb: str) -> re.Pattern[str]:
    return re.compile(rf"^(?:the )?{_ONE} (?:{verb}) (?:the )?{_OTHER}\s*{_TAIL}$", re.IGNORECASE)


_BY = _form(
    r"(?:is |was |are |has been |been |now )*(?:superseded|superceded|replaced|supsd|supd|repld|"
    r"changed|renumbered)\.? (?:by|to|as|with)"
)
_FOR = _form(
    r"(?:now )?(?:supersedes|supercedes|replaces|took the place of|takes the place of|"
    r"is the replacement for|is a replacement for|is the later number for)"
)
_ALIKE = _form(
    r"(?:is |are )?(?:fully )?(?:interchangeable with|interchanges? with|(?:the )?same as|"
    r"identical (?:to|with)|equals?|=)"
)
_NEVER = _form(
    r"(?:is |are )?(?:not interchangeable with|not the same as|(?:does|do|will|can)(?: not|n't) "
    r"(?:fit|go|be used|replace|interchange)(?: (?:for|in place of|instead of|with|on))?|"
    r"cannot (?:be used|replace|go)(?: (?:for|in place of|instead of|with|on))?|won't (?:fit|go)"
    r"(?: (?:for|in place of|instead of|on))?|never (?:goes|fits|replaces)(?: (?:for|on))?)"
)
_GOES = _form(
    r"(?:will |can |may |might )?(?:go(?:es)?|fits?|be used|used|serves?|does)"
    r"(?: (?:in place of|instead of|for|in lieu of))"
)
_EXHAUST = re.compile(
    r"\b(?:use|used|to be used) (?:up )?(?:old |the old |existing |remaining )?(?:stocks? |one )?"
    r"(?:until|till|first)\b.*|\buntil .*(?:exhausted|used up|gone|finished)\b.*",
    re.IGNORECASE,
)
_BACK = re.compile(
    r"\bnot (?:the )?(?:other way|reverse|vice versa|back|conversely)\b", re.IGNORECASE
)
_DIGITS = 2


def read_numbers_fit(words: str, statement: Callable[..., Statement]) -> tuple[Statement, ...]:
    """Return the one statement about two numbers that words make, whole; none otherwise."""
    for pattern, grade, turned in (
        (_NEVER, "never", False), (_BY, "one-way", True), (_FOR, "one-way", False),
        (_ALIKE, "as-is", False), (_GOES, "unknown", False),
    ):  # fmt: skip
        match = pattern.match(words)
        if match is None or not (_is_number(match["one"]) and _is_number(match["other"])):
            continue
        read = _with_tail(grade, (match["tail"] or "").strip(" ,;:()-"))
        if read is None:
            return ()
        one, other = match["one"].strip(" .,"), match["other"].strip(" .,")
        if turned:
            one, other = other, one
        told, work, reason = read
        return (statement(grade=told, work=work, reason=reason,
                          part_number=one, to_part_number=other),)  # fmt: skip
    return ()


def _is_number(text: str) -> bool:
    normal = read_part_number(text).normal or ""
    return sum(sign.isdigit() for sign in normal) >= _DIGITS and len(normal) > _DIGITS


def _with_tail(  # noqa: PLR0911 - one return a form of words
    grade: str, tail: str
) -> tuple[str, str | None, str | None] | None:
    """Return grade, work and reason with what stands behind the numbers; None if not understood."""
    if not tail:
        return grade, None, None
    if _EXHAUST.match(tail):
        return grade, None, tail
    if _BACK.search(tail):
        return ("one-way" if grade in {"as-is", "unknown", "one-way"} else grade), None, None
    if grade == "never":
        return grade, None, re.sub(r"^(?:because(?: of)?|since|as) ", "", tail)
    read = read_grade(tail)
    if read.grade == "with-work" and grade in {"unknown", "as-is", "one-way"}:
        return "with-work", re.sub(r"^(?:if|with|after|when|once) ", "", tail), None
    if read.grade in {"as-is", "one-way"} and grade in {"unknown", "one-way"}:
        return read.grade, None, None
    return None

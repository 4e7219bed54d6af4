"""Runs of serials in the words of members, put into the few forms that are read."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

_SERIAL = r"[a-z]{0,3}(?:(?<=[a-z])-)?\d{1,9}"
_NOS = r"(?:nos?\.?|numbers?|s/?nos?\.?|s/?n\.?) ?"
_END = r"(?:the )?(?:end(?: of (?:production|series|run))?|last(?: one)?|date|present|finish)\b"
_SLASHED = re.compile(r"(?<![\w/.-])([a-z]{0,3})-?(\d{3,9}) ?/ ?([a-z]{0,3})-?(\d{3,9})(?![\w/-])")


def _from_to(match: re.Match[str]) -> str:
    """Return "1001/1250" as a range: a lower and a higher serial of as many figures."""
    before, first, other, last = match.groups()
    plain = len(first) == len(last) and int(first) < int(last) and other in {"", before}
    return f"{before}{first} to {other}{last}" if plain else match[0]


#: Common practice, no source.
_FORMS: tuple[tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]], ...] = (
    (re.compile(r"#(?=[a-z]{0,3}\d)"), ""),
    (re.compile(r"\bthro'?(?!\w)"), "through"),
    (re.compile(r"\b(?:till|'til)\b"), "until"),
    (re.compile(r"\bupto\b"), "up to"),
    (re.compile(r"(?<=\d),? ?\(?inc(?:l(?:usive)?)?\b\.?\)?(?= ?(?:$|[,;&)]|and\b))"), ""),
    (re.compile(rf"\bbetween (?:{_NOS})?({_SERIAL}) (?:and|&) (?:{_NOS})?({_SERIAL})(?!\w)"),
     r"\1 to \2"),
    (re.compile(r"(?<=\d) ?\.{2,4} ?(?=[a-z]{0,3}\d)"), " to "),
    (re.compile(r"(?<=\d) (?:through to|up to|until) (?=[a-z]{0,3}\d)"), " to "),
    (re.compile(rf"(?<=\d)( ?- ?| (?:to|thru|through) ){_NOS}(?=[a-z]{{0,3}}\d)"), r"\1"),
    (_SLASHED, _from_to),
    (re.compile(rf"(?<=\d) ?(?:-|to|until) ?{_END}"), " on"),
    (re.compile(r"^(?:the )?(?:start|first|beginning) ?(?:-|to|up to|until) ?(?=[a-z]{0,3}\d)"),
     "up to "),
    (re.compile(r"(?<=\d) or (?=(?:later|above|after|over|up|upwards?|before|earlier|under|below)"
                r"\b)"), " and "),
    (re.compile(r"(?<=\d) (and|&) under\b"), r" \1 below"),
    (re.compile(r"^all (?=(?:before|from|up to|after|until|below)\b.*\d)"), ""),
)  # fmt: skip


def plain_runs(folded: str) -> str:
    """Return words about serials, folded, as "1001 to 1250", "1251 on", "up to 1250".

    "1001-50" and "1001/1003/1007" stay as they are: a person must say what is meant.
    """
    if not any(map(str.isdigit, folded)):
        return folded
    for pattern, plain in _FORMS:
        folded = pattern.sub(plain, folded)
    return folded

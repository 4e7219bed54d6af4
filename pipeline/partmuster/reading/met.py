"""Reading whether a want is met or withdrawn: "found one", "bought off Ivo 3/26", "not needed".

Only plain words close a want: hedged and negated ones leave it open, and where some of it may be
met a person is asked. A stand-in ("made one up") closes nothing. Common practice, no source.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from functools import lru_cache

from .amounts import NUMBER_WORDS
from .dates import find_date
from .phrases import is_hedged, phrase_tokens
from .text import fold, tidy

_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_DAY = (
    rf"(?:(?:on |in |c\.? ?|about )?(?:\d[\d./ -]*\d|(?:\d{{1,2}}(?:st|nd|rd|th)? )?{_MONTH}"
    r"(?: '?\d{2,4})?|(?:19|20)\d\d|(?:last|this) (?:week|month|year|spring|summer|autumn|winter|"
    r"weekend)|yesterday|today|recently|now|already|at last|finally|since))"
)
_NUMBERS = "|".join(sorted((w for w in NUMBER_WORDS if " " not in w), key=len, reverse=True))
_COUNT = rf"(?:\d{{1,3}}|{_NUMBERS})"
_VERBS = (
    r"(?:found|got|bought|obtained|acquired|purchased|sourced|supplied|received|secured|"
    r"tracked down|picked up|collected)"
)
_HAVE = rf"(?:{_VERBS}|have|has|had)"
_ALONE = (
    r"(?:found|got|bought|obtained|acquired|purchased|sourced|supplied|received|secured|"
    r"tracked down|sorted(?: out)?|done|closed|satisfied|fulfilled|filled|completed?|met|want met|"
    r"(?:got|found|bought) (?:and|&) fitted|now fitted|fitted now|success)"
)
_IT = (
    r"(?:it|them|this|these|that|mine|some|a good one|one|a (?:nice |new |decent |better )?one|"
    r"both|"
    rf"all(?: of them| {_COUNT})?|the lot|the pair|a pair|pair|the set|{_COUNT})"
)
_NOT_WANTED = (
    r"(?:(?:is |are )?(?:no longer|not|no more|don't|doesn't|do not|does not)(?: now)? "
    r"(?:needed|wanted|required|reqd|looking|searching|need(?: it| them| one)?|"
    r"want(?: it| them| one)?)(?: (?:any ?more|any longer|now|after all))?|"
    r"not (?:needed|wanted|required) (?:any ?more|now)|(?:want |now |this |please )?"
    r"(?:cancelled|canceled|cancel|withdrawn|deleted?|remove|strike|scrub|ignore|forget it|"
    r"disregard)(?: (?:this|it|this one|this line|please))?|changed (?:my|his|her|our|their) mind|"
    r"given up(?: looking)?|stopped looking|gave up(?: looking)?|no need(?: now)?)"
)
_FILLER = (
    r"(?:thanks?|thank you|many thanks|ta|cheers|please|now|update|done|hooray|hurrah|at last|"
    r"finally|ignore(?: this)?|see below|see above|so|all|ok|okay|good|great|yes)"
)
_WHO = r"(?:off|from|through|via|by|thanks to|courtesy of|with thanks to) [^\d,;.()]{2,40}?"
_AT = r"(?:at|in|on) [^\d,;.()]{2,40}?"
_LEAD = (
    r"(?:now |since |already |finally |(?:i|we|he|she)(?: have| has|'ve)? |have |has |just |"
    r"all |yes )*"
)
_CLOSE = re.compile(
    rf"{_LEAD}(?:{_VERBS} {_IT}|{_ALONE}|{_NOT_WANTED})"
    rf"(?: (?:{_WHO}|{_DAY}|now|already|{_FILLER}))*"
)
#: Whatever the reason beside it.
_DROPPED = re.compile(rf"(?:so |now |therefore )*{_NOT_WANTED}")
_ALL_FOUND = re.compile(
    r"(?:both|all|all of them|it|them|the lot|the pair) (?:now |been |is |are |has |have )*"
    r"(?:found|got|bought|obtained|sourced|supplied|received)(?: now)?|"
    r"have (?:it|them|both)(?: now)?"
)
#: Bought at a place is had; found at one may be where it is.
_BOUGHT_AT = re.compile(
    rf"{_LEAD}(?:bought|got|purchased|acquired|obtained|picked up|collected)(?: {_IT})?"
    rf"(?: {_WHO})? {_AT}(?: {_DAY})*"
)
_BESIDE = re.compile(rf"{_FILLER}|{_DAY}|{_WHO}(?: {_DAY})?|(?:mr|mrs)?[a-z' .-]{{0,1}}")
_CLAUSES = re.compile(
    r"\s*[,;:!()\[\]]+\s*|\.\s+|\.$|\s+-+\s*|\s*-+\s+|\s+(?:and|&|so|as|then)\s+(?!fitted)"
)
#: Words that a want may be met, and no more than that.
_ANY_CLOSE = re.compile(
    r"\b(?:found|got|bought|obtained|acquired|purchased|sourced|received|secured|sorted|"
    r"cancel\w*|withdrawn|closed|satisfied|fulfilled|done|ignore|"
    r"no(?:t| longer| more) (?:\w+ ){0,2}(?:needed|wanted|required|looking))\b"
)
_BEGINS = re.compile(
    r"\b(?:lh|rh|l/h|r/h|left|right|n/s|o/s|one|both)(?: \w+)? (?:now )?(?:found|got|bought)\b|"
    rf"(?:^|[,;(.-] ?){_LEAD}(?:found|got|bought|obtained|acquired|sourced|received|sorted|"
    r"cancel\w*|withdrawn|ignore|no longer|not (?:needed|wanted|required))\b"
    r"(?! (?:to|on|only|early|late|with|as)\b)|\b(?:found|got) (?:me|us|him|her|you) "
)
#: Asked in a column of its own, these say it, too.
_ANSWERS = re.compile(r"\b(?:fitted|met|supplied|filled|completed?|collected|success)\b")
_LEFT = re.compile(r"\b(?:still|more|another|to go|to find|to get|short|outstanding|yet|only)\b")
#: The month, which is no doubt.
_MAY = re.compile(
    r"\b(?:in|on|since|until|by|of|last|early|late|mid) may\b|\bmay '?\d|\d(?:st|nd|rd|th)? may\b"
)
_UNMET = re.compile(
    r"\b(?:not (?:yet |been )?(?:found|got|bought|met|done|sorted|received)|never (?:found|got)|"
    r"none|"
    r"can't|cannot|couldn't|haven't|hasn't|no luck|nothing|not sure|no joy|nobody|"
    r"not yet|yet to)\b"
)
_NO_USE = re.compile(
    r"\b(?:but|however|though)\b.*\b(?:no good|not (?:good|right|useable|usable|the right|suitable|"
    r"serviceable|original)|wrong|u/s|unserviceable|useless|scrap|rotten|cracked|broken|bent|worn|"
    r"too (?:dear|expensive|far|poor|big|small)|poor|rough|damaged|missing|seized|it's not|repro)\b"
)
_MORE = re.compile(
    rf"\b(?:still )?(?:need|needs|want|wants|require|looking for|after|short of|to find)s? "
    rf"(?:only |just )?(?P<a>{_COUNT}|another)(?: (?:more|still|other|to go|yet))?\b"
    r"(?! (?:lh|rh|left|right)\b)|"
    rf"\b(?P<b>{_COUNT}) (?:more |still |yet )*"
    r"(?:needed|wanted|required|to find|to go|to get|short|outstanding)\b|"
    rf"\b(?P<c>{_COUNT}) more\b"
)
_SO_MANY = re.compile(
    rf"\b(?:{_HAVE} (?P<a>{_COUNT}(?![./-]?\d|(?:st|nd|rd|th)? {_MONTH})|a pair|both)|"
    rf"(?P<b>{_COUNT})(?: of (?:the )?{_COUNT})? (?:now )?"
    r"(?:found|got|bought|obtained|received|met|supplied|sourced|acquired))\b"
)
_STILL = re.compile(
    r"\b(?:still|need|needs|want|wants|looking for|another|more|except|only|but|bar|other)\b"
)
_ONE_OF_THEM = re.compile(
    rf"(?:{_VERBS} (?:one|a good one|a (?:\w+ )?one|some|{_COUNT}))\b|{_COUNT} (?:now )?{_ALONE}"
)
_ASIDE = re.compile(
    r"(?P<count>.*?[\w?+])\s*(?:[-,;:]\s*|[(\[]\s*|\s)(?P<rest>[^()\[\]]+?)\s*[)\]]?"
)


@dataclass(frozen=True, slots=True)
class MetReading:
    """What words say of a want: ``closed``, how many are ``wanted`` still, or a doubt to ask about.

    ``when``: the day it was met.
    """

    closed: bool = False
    wanted: int | None = None
    asks: bool = False
    when: dt.date | None = None


_OPEN = MetReading()
_LAST_MONTH = 12


#: As a pattern for polars: texts worth reading.
MAY_SAY = (
    r"(?i)\b(?:found|got|bought|obtained|acquired|purchased|sourced|supplied|received|secured|"
    r"tracked|picked up|collected|sorted|done|closed|satisfied|fulfilled|filled|completed?|met|"
    r"fitted|cancel|withdrawn|delete|remove|ignore|forget|disregard|changed|given up|gave up|"
    r"stopped|no longer|not|no more|no need|don.t|doesn.t|do not|have|has|had|success)"
)


@lru_cache(maxsize=20_000)
def read_met(
    text: str, quantity: float | None, *, asked: bool = False, day_first: bool | None = None
) -> MetReading:
    """Read words beside a want of so many (None: not said; infinite: not said exactly).

    ``asked``: they stand in a column of its own, where less plain words will do.
    """
    folded = fold(re.sub(r"(?i)\b(?:struck through|comment): [^;]*", "", text)).strip(" .!;")
    some_left = _MORE.search(folded)
    told = _ANY_CLOSE.search(folded) or _closing(folded) or (asked and _ANSWERS.search(folded))
    if not folded or not (told or some_left) or _says_unmet(folded):
        return _OPEN
    if some_left is not None:
        return _some_left(folded, some_left, quantity) if told or _left(folded) else _OPEN
    clauses = [clause for clause in _CLAUSES.split(folded) if clause]
    if any(_DROPPED.fullmatch(clause) for clause in clauses) and not _STILL.search(folded):
        return MetReading(closed=True, when=_day_in(text, day_first))
    plain = all(_closing(c) or _BESIDE.fullmatch(c) for c in clauses) and any(
        map(_closing, clauses)
    )
    if plain or (asked and not _STILL.search(folded)):
        return _all_or_some(folded, quantity, _day_in(text, day_first))
    return MetReading(asks=True) if asked or _BEGINS.search(folded) else _OPEN


def says_more(text: str) -> bool:
    """Tell whether words say that something is wanted still."""
    return (
        re.search(r"\bstill (?:need|want|look|to )|\bneeds? (?:another|\d)", fold(text)) is not None
    )


def _says_unmet(folded: str) -> bool:
    """Tell whether words deny, doubt or take back what else they say: "may have found one"."""
    return bool(
        _UNMET.search(folded) or _NO_USE.search(folded) or "?" in folded
        or is_hedged(phrase_tokens(_MAY.sub(" ", folded)))
    )  # fmt: skip


def _left(folded: str) -> bool:
    return bool(_LEFT.search(folded) or _SO_MANY.search(folded))


def _closing(clause: str) -> bool:
    return bool(_CLOSE.fullmatch(clause) or _BOUGHT_AT.fullmatch(clause) or (
        _ONE_OF_THEM.fullmatch(clause) or _ALL_FOUND.fullmatch(clause)
    ))  # fmt: skip


def _all_or_some(folded: str, quantity: float | None, when: dt.date | None) -> MetReading:
    """Return the reading of words that say so many are had: all of them, or a part."""
    many = _SO_MANY.search(folded)
    words = (many["a"] or many["b"]) if many else None
    had = {"a pair": 2, "both": 2}.get(words or "") or (_number(words) if words else None)
    one = re.search(rf"\b{_VERBS} (?:a (?:\w+ )?one)\b", folded)
    had = 1 if had is None and one else had
    if re.search(rf"\b{_VERBS} some\b", folded):
        return MetReading(asks=True)
    if had is not None and not re.search(_NOT_WANTED, folded):
        if had >= (1 if quantity is None else quantity):
            return MetReading(closed=True, when=when)
        return MetReading(asks=True)
    return MetReading(closed=True, when=when)


def _some_left(folded: str, still: re.Match[str], quantity: float | None) -> MetReading:
    """Return how many are wanted still, where that agrees with what was wanted."""
    words = still["a"] or still["b"] or still["c"]
    left = 1 if words == "another" else _number(words)
    many = _SO_MANY.search(folded)
    counted = (many["a"] or many["b"]) if many else None
    had = {"a pair": 2, "both": 2}.get(counted or "") or (_number(counted) if counted else None)
    agrees = quantity is None or quantity == left or (had is not None and had + left == quantity)
    return MetReading(wanted=left) if left and agrees else MetReading(asks=True)


def _number(words: str) -> int:
    return int(words) if words.isdigit() else NUMBER_WORDS[words]


def _day_in(text: str, day_first: bool | None) -> dt.date | None:
    """Return the one day a text states, or None."""
    plain = tidy(text)
    month = re.search(r"(?<![\d/.-])(1[0-2]|0?[1-9])[/.](\d{2}|20\d\d)(?![\d/.-])", plain)
    if month and day_first is not False and int(month[2]) > _LAST_MONTH:
        return dt.date(int(month[2]) % 100 + 2000, int(month[1]), 1)
    found = find_date(plain, day_first)
    return found.date if found is not None and not found.problem else None


def count_and_rest(text: str) -> tuple[str | None, str] | None:
    """Return a want's quantity and what is said beside it: "1 (got)", "got"; None if nothing is."""
    folded = fold(text).strip(" .!")
    if not re.search(MAY_SAY, folded):
        return None
    if _closing(folded) or _CLOSE.fullmatch(folded):
        return None, tidy(text)
    match = _ASIDE.fullmatch(tidy(text))
    if match and re.search(MAY_SAY, match["rest"]) and not re.search(MAY_SAY, match["count"]):
        return match["count"], match["rest"]
    return None


_NAMED = re.compile(
    r"(?P<name>.+?)\s*(?:\s[-\u2013]+\s|[,;:]\s|[(\[])\s*(?P<rest>[^()\[\]]+?)\s*[)\]]?"
)


def name_and_rest(text: str) -> tuple[str, str] | None:
    """Return a part's name and the plain words after it that a want is met: "Horn (found one)"."""
    match = _NAMED.fullmatch(tidy(text))
    if match is None or re.search(MAY_SAY, match["name"]):
        return None
    reading = read_met(match["rest"], None)
    return (match["name"], match["rest"]) if reading != _OPEN else None

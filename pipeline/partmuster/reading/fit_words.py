"""Reading what fits what in a club's own words: "late guard goes on early if drilled".

A sentence is read whole or not at all: words that are left over may turn its meaning round.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from .builds import read_build
from .fit_work import read_work
from .number_fits import read_numbers_fit
from .phrases import is_hedged, phrase_tokens
from .roles import read_grade
from .text import tidy

_BUILD_WORDS = (
    r"(?:(?:mk|mark)\.? ?(?:\d{1,2}[a-h]?|[ivx]{1,4})\*?(?: (?:early|mid|late))?"
    r"|(?:early|mid|late)(?: (?:mk|mark)\.? ?(?:\d{1,2}[a-h]?|[ivx]{1,4}))?)(?!\w)"
)
_SIDE = r"(?:lh|rh|left[- ]hand|right[- ]hand|left|right)(?!\w)"
_BUILD = re.compile(_BUILD_WORDS, re.IGNORECASE)
_SIDES = re.compile(rf"(?<!\w){_SIDE}", re.IGNORECASE)
_SMALL = re.compile(
    r"\b(?:the|an?|ones?|off|from|of|type|pattern|on|to|in|vehicles?)\b", re.IGNORECASE
)
_NOT_BACK = re.compile(
    r"[,;]? ?(?:but |and )?(?:not (?:the )?other way(?: (?:round|about|around))?|not vice versa|"
    r"never the other way(?: round)?|not back)\b\.?", re.IGNORECASE,
)  # fmt: skip
_REASON = re.compile(r" (?:[-–] |because (?:of )?|since )(.+)$", re.IGNORECASE)
_NEVER = re.compile(
    r"^(?:do not|don't|dont|never) (?:use|put|fit|try)(?: to put)? (.+?) (?:on|onto|in|into|with) "
    r"(.+)$", re.IGNORECASE,
)  # fmt: skip
_SAME = (
    r"(?:(?:fully )?interchange(?:able)?|(?:are |is )?(?:all )?(?:the same|identical|"
    r"(?:fully )?interchangeable))"
)
_TWO_ALIKE = re.compile(
    rf"^(?:both )?({_BUILD_WORDS}) (?:and|&|/) ({_BUILD_WORDS})(?: (.+?))?,? (?:are |is )?{_SAME}$",
    re.IGNORECASE,
)
_ALL_ALIKE = re.compile(
    rf"^(?:all (?P<part>[^,]+?) (?:are )?{_SAME}|(?P<alone>(?:the )?same (?:on|for) all"
    rf"(?: marks| builds)?|all (?:marks |builds )?(?:the same|interchangeable|alike)))$",
    re.IGNORECASE,
)
_ALIKE = re.compile(
    r"^(.+?) (?:is |are )?(?:probably |possibly |maybe )?(?:fully )?(?:interchangeable with|"
    r"interchanges? with|(?:the )?same as|identical (?:to|with)) (.+)$", re.IGNORECASE,
)  # fmt: skip
_SET = re.compile(
    r",? ?(?:but )?(?:only )?as a (?:set|pair)(?: only)? with (.+)$|"
    r",? ?only (?:together )?with (.+)$|"
    r",? ?(?:together |complete |along |paired )?with ((?:its|their)(?: own| matching)? .+)$",
    re.IGNORECASE,
)
#: "Any late guard", "all Mk 1s", "every early one": a whole range is what is said of it.
_RANGE = re.compile(rf"\b(?:any|every|each|all)(?: of)?(?: the)? (?={_BUILD_WORDS})", re.IGNORECASE)
_PLURAL_MARK = re.compile(r"(?<=\d)['’]?s\b")
_GOES = re.compile(
    r"^(.+?) (?:(?:will|can|does|should|might|may) )?(?:go(?:es)?|fits?|fitted|bolts?|replaces?|"
    r"supersedes?|be used|used|swaps?)(?: straight)?(?: (?:on to|onto|into|on|in|to|for))? (.+)$",
    re.IGNORECASE,
)
_ON = re.compile(
    rf"^({_BUILD_WORDS})(?: ones?)? on(?:to)? (?:an? )?({_BUILD_WORDS})(.*)$", re.IGNORECASE
)
_TAIL = re.compile(
    r"^(.*?)(?:[,;:]| (?=(?:if|with|after|when|once|provided|as is|straight|needs?|without|unless|"
    r"but|yes|no|ok|by)\b)) ?(.*)$", re.IGNORECASE,
)  # fmt: skip
_WORK = re.compile(
    r"^(?:yes,? |ok,? )?(?:but )?(?:only )?(?:if|with|after|once|when|provided|by|needs?)"
    r"(?: you| it is| they are)? (.+)$", re.IGNORECASE,
)  # fmt: skip
_MAY = re.compile(r"\b(?:might|may|should|could)\b", re.IGNORECASE)
_WILL_NOT = re.compile(
    r"^(.+?) (?:does not|doesn't|doesnt|will not|won't|wont|cannot|can't|cant|can not|never) "
    r"(?:go(?:es)?|fits?|interchanges?|be used)(?: (?:on to|onto|into|on|in|to|with))? (.+)$",
    re.IGNORECASE,
)
#: Words that are no part of a part's name, and may turn a sentence round.
_UNREAD = re.compile(
    r"[?\d]|\b(?:not|no|never|or|and|but|some|most|other|only|also|too|well|ok|fine|straight|just|"
    r"directly|if|unless|is|are|was|will|would|goes|fits|than|same|any|both|without|with|nothing|none|anything|everything)\b",
    re.IGNORECASE,
)
_DENIES = re.compile(r"\b(?:no|not|never|none|nothing)\b|n't\b", re.IGNORECASE)
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class FitStatement:
    """One part at a build that goes, or does not go, in place of another; None = not said.

    ``mark`` and ``phase`` of None: any. ``grade``: as-is, one-way, with-work, only-as-a-set,
    never, or unknown where the words do not say how.
    """

    description: str | None = None
    family: str | None = None
    mark: str | None = None
    phase: str | None = None
    side: str | None = None
    to_description: str | None = None
    to_family: str | None = None
    to_mark: str | None = None
    to_phase: str | None = None
    to_side: str | None = None
    grade: str = "unknown"
    work: str | None = None
    companions: str | None = None
    reason: str | None = None
    sure: bool = True
    part_number: str | None = None
    to_part_number: str | None = None


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of a statement: what is put on, or where it is put."""

    description: str | None
    build: bool
    mark: str | None
    phase: str | None
    side: str | None
    family: str | None = None


@lru_cache(maxsize=20_000)
def read_fit(text: str, part: str | None = None) -> tuple[FitStatement, ...]:
    """Read a sentence; ``part``: what it is about where a column of its own says so.

    Returns no statement where it cannot be told safely what goes on what.
    """
    words = " ".join(tidy(text).split()).strip(" .")
    if not words or len(words) > _LONGEST:
        return ()
    words = _PLURAL_MARK.sub("", words)
    if not _ALL_ALIKE.match(words):
        words = _RANGE.sub("", words)
    statements = read_numbers_fit(words, FitStatement) or _read(words, part)
    hedged = is_hedged(phrase_tokens(text)) or _MAY.search(text) is not None
    return tuple(replace(one, sure=not hedged) for one in statements)


def names_builds(text: str) -> bool:
    """Tell whether words about a fit name builds, so that they say more than a grade."""
    return _BUILD.search(text) is not None or _ALL_ALIKE.match(text.strip(" .")) is not None


def _read(words: str, part: str | None) -> tuple[FitStatement, ...]:
    if part is not None:
        clauses = re.split(rf"[,;] (?={_BUILD_WORDS}(?: ones?)? on\b)", words, flags=re.IGNORECASE)
        read = [_clause(clause, part) for clause in clauses]
        if all(read):
            return tuple(one for statements in read for one in statements)
    return _sentence(words, part)


def _clause(clause: str, part: str) -> tuple[FitStatement, ...]:
    """Read "late on early yes if drilled" of a part that is named elsewhere."""
    match = _ON.match(clause)
    if match is None:
        return ()
    thing, place = _side(match[1], part), _side(match[2], part)
    tail = match[3].strip(" ,:;-")
    if re.fullmatch(r"no|never|does not go|won't go", tail, re.IGNORECASE):
        return (_statement(thing, place, "never"),)
    return _graded(thing, place, tail, back=False, reason=None)


def _sentence(words: str, part: str | None) -> tuple[FitStatement, ...]:  # noqa: PLR0911 - one return a form
    if match := _TWO_ALIKE.match(words):
        noun = match[3] or part
        return (_statement(_side(match[1], noun), _side(match[2], noun), "as-is"),) if noun else ()
    if match := _ALL_ALIKE.match(words):
        alike = _side(match["part"], None) if match["part"] else _side("", part)
        return (_statement(alike, alike, "as-is"),) if alike and alike.description else ()
    back = _NOT_BACK.search(words) is not None
    words = _NOT_BACK.sub("", words).strip(" ,;.")
    reason = None
    if match := _REASON.search(words):
        reason, words = match[1], words[: match.start()]
    if match := _NEVER.match(words) or _WILL_NOT.match(words):
        return _never(match[1], match[2], part, reason)
    if match := _ALIKE.match(words):
        return _between(match[1], match[2], part, "as-is", back=back, reason=reason)
    if match := _GOES.match(words):
        return _between(match[1], match[2], part, None, back=back, reason=reason)
    match = _SET.search(words)
    if match and not back:
        thing = _side(words[: match.start()], part)
        if thing is not None and thing.description:
            everywhere = replace(thing, build=False, mark=None, phase=None)
            found = _statement(thing, everywhere, "only-as-a-set", reason=reason)
            return (replace(found, companions=match[1] or match[2] or match[3]),)
    return ()


def _never(
    thing: str, place: str, part: str | None, reason: str | None
) -> tuple[FitStatement, ...]:
    one, other = _side(thing, part), _side(place, None)
    if one is None or other is None or not one.description or not (one.build or other.build):
        return ()
    other = replace(other, description=other.description or one.description)
    return (_statement(one, other, "never", reason=reason),)


def _between(
    thing: str, rest: str, part: str | None, grade: str | None, *, back: bool, reason: str | None
) -> tuple[FitStatement, ...]:  # fmt: skip
    """Read "A goes on B TAIL", of which A and what is after the verb are known."""
    companions = None
    if match := _SET.search(rest):
        companions, rest = match[1] or match[2] or match[3], rest[: match.start()]
    place, tail = rest, ""
    if match := _TAIL.match(rest):
        place, tail = match[1], match[2]
    one, other = _side(thing, part), _side(place, None)
    if one is None or other is None:
        return ()
    one, other = _families(one, other, thing, place)
    if not one.description or not (one.build or other.build or other.family):
        return ()
    other = replace(other, description=other.description or one.description)
    if companions:
        found = _statement(one, other, "only-as-a-set", reason=reason)
        return (replace(found, companions=companions),) if not tail and not back else ()
    if grade and not tail:
        return (_statement(one, other, "one-way" if back else grade, reason=reason),)
    return _graded(one, other, tail, back=back, reason=reason)


def _graded(
    one: _Side | None, other: _Side | None, tail: str, *, back: bool, reason: str | None
) -> tuple[FitStatement, ...]:
    """Return the statements that the words after "A goes on B" make of it."""
    if one is None or other is None or _DENIES.search(tail):  # "with no drilling": which is it?
        return ()
    if not tail:
        return (_statement(one, other, "one-way" if back else "unknown", reason=reason),)
    grade = read_grade(tail).grade
    match = _WORK.match(tail)
    if grade == "unknown" and match and read_work(match[1]).alters is not None:
        grade = "with-work"  # "with a longer strap"
    if grade == "with-work":
        found = _statement(one, other, "with-work", reason=reason)
        found = replace(found, work=match[1] if match else tail)
        if not back:
            return (found,)
        return found, _statement(other, one, "never", reason="not the other way")
    if grade in {"as-is", "one-way", "never"}:
        return (_statement(one, other, "one-way" if back and grade == "as-is" else grade,
                           reason=reason),)  # fmt: skip
    return ()


def _statement(
    one: _Side | None, other: _Side | None, grade: str, reason: str | None = None
) -> FitStatement:
    if one is None or other is None:
        raise ValueError("a fit has two sides")
    return FitStatement(
        one.description, one.family, one.mark, one.phase, one.side, other.description,
        other.family, other.mark, other.phase, other.side or one.side,
        grade, reason=reason,
    )  # fmt: skip


def _side(words: str, part: str | None) -> _Side | None:
    """Return the part, build and side that one side of a statement names; None if not one each."""
    builds = [match[0] for match in _BUILD.finditer(words)]
    sides = [match[0] for match in _SIDES.finditer(words)]
    if len(builds) > 1 or len(sides) > 1:
        return None
    rest = _SIDES.sub(" ", _BUILD.sub(" ", words))
    noun = " ".join(_SMALL.sub(" ", rest).split()).strip(" ,")
    if part is not None and noun:
        return None
    if _UNREAD.search(noun):
        return None
    reading = read_build(builds[0]) if builds else None
    return _Side(
        noun or part, bool(builds), reading.mark if reading else None,
        reading.phase if reading else None, sides[0] if sides else None,
    )  # fmt: skip


def _families(one: _Side, other: _Side, thing: str, place: str) -> tuple[_Side, _Side]:
    """Return both sides with the families that "Bramble horn fits Otter" names."""
    where = (other.description or "").split()
    if len(where) != 1 or not where[0][0].isupper() or other.side:
        return one, other
    if f" {where[0]}" not in f" {place}":
        return one, other
    what = (one.description or "").split()
    family = (
        what[0] if len(what) > 1 and thing.startswith(what[0]) and what[0][0].isupper() else None
    )
    if family is not None:
        one = replace(one, description=" ".join(what[1:]), family=family)
    return one, replace(other, description=None, family=where[0])

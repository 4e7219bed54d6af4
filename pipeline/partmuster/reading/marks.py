"""Marks in words: their numbers and letters, lists of them, and which lie before or after one."""

from __future__ import annotations

import re

_ROMAN = dict(
    zip(
        ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"],
        range(1, 13),
        strict=True,
    )
)
_WORDED = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5,
    "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10,
}  # fmt: skip
MARK_ID = (
    r"(?:(?:\d{1,2}|" + "|".join(sorted(_ROMAN, key=len, reverse=True)) + r")[a-h]?\*?"
    r"|" + "|".join(_WORDED) + r")(?![\w*])"
)
MARK = rf"(?:mks?|marks?)(?:\.|-| )* ?({MARK_ID})"
_BETWEEN = r" ?(?:,(?: ?(?:and|or|&))?|&|\+|/|-|and|or|nor|to) ?"
MARK_LIST = rf"{MARK_ID}(?:{_BETWEEN}{MARK_ID})*"


class RefusedError(Exception):
    """Words of builds that are not read; ``args[0]`` is the problem code."""


def mark_of(word: str) -> str:
    """Return the normal form of a mark: "ii" -> "Mk 2", "iia" -> "Mk 2A", "2*" -> "Mk 2*"."""
    star = "*" if word.endswith("*") else ""
    word = word.rstrip("*")
    if word in _WORDED:
        return f"Mk {_WORDED[word]}{star}"
    if word in _ROMAN:
        return f"Mk {_ROMAN[word]}{star}"
    letter = word[-1].upper() if word[-1].isalpha() else ""
    number = word[:-1] if letter else word
    return f"Mk {_ROMAN.get(number) or int(number)}{letter}{star}"


def marks_of(words: str) -> list[str]:
    """Read a list of marks after "Mk": "1 & 2", "i-iii", "1, 2", "1-3 & 5"."""
    found: list[str] = []
    ends = re.split(r"( ?(?:,|&|\+|/|-|\b(?:and|or|nor|to)\b) ?)", words)
    for at in range(0, len(ends), 2):
        if not (word := re.sub(rf"^(?:{_NAMED})?", "", ends[at].strip())):
            continue  # ", and"
        if at and ends[at - 1].strip() in {"-", "to"}:
            found += _up_to(found[-1], mark_of(word))
        else:
            found.append(mark_of(word))
    return found


def _up_to(first: str, last: str) -> list[str]:
    """Return the marks after one up to another."""
    one, other = first[3:], last[3:]
    if not (one.isdigit() and other.isdigit()):
        raise RefusedError("words-not-read")
    if int(one) >= int(other):
        raise RefusedError("range-reversed")
    return [f"Mk {number}" for number in range(int(one) + 1, int(other) + 1)]


_NAMED = r"(?:(?:on |for |fitted to )?(?:the )?)?(?:mks?|marks?)(?:\.|-| )* ?"
_ONE = rf"(?:the )?(?:mks?|marks?)(?:\.|-| )* ?({MARK_ID})"
_EVERY = r"(?:(?:all|any|every)(?: (?:marks?|mks?|builds?|models?|vehicles))?,? )?"
_ONLY = r"(?: incl(?:usive|\.)?)?(?: only)?"
_ONWARDS = re.compile(
    rf"{_EVERY}(?:from )?{_ONE},? ?(?:\+|(?:(?:and|&|or) )?(?:on|onwards?|upwards?|up|later|newer|"
    rf"above|over|subs\.?|subseq\.?|subsequent)(?: (?:marks|ones|on|models|builds))?){_ONLY}"
)
_UP_TO = re.compile(
    rf"{_EVERY}(?:up to(?: and including)?|until and including) {_ONE}{_ONLY}"
    rf"|{_EVERY}{_ONE},? ?(?:and|&|or) (?:earlier|before|older|below|under)"
    rf"(?: (?:marks|ones|models|builds))?{_ONLY}"
)
_BEFORE = re.compile(
    rf"{_EVERY}(?:before|prior to|earlier than|older than|below|pre|up to but not including)"
    rf"[ -]?{_ONE}{_ONLY}"
)
_AFTER = re.compile(rf"{_EVERY}(?:after|later than|newer than|above|beyond|post)[ -]?{_ONE}{_ONLY}")
_BESIDES = re.compile(
    rf"{_EVERY}(?:except|excepting|excluding|excl\.?|but|bar|but not|not|other than|apart from)"
    rf"(?: for| on| fitted to| fitted on)?(?: the)? "
    rf"({_NAMED}{MARK_ID}(?:{_BETWEEN}(?:{_NAMED})?{MARK_ID})*)(?: only)?"
)
_SPAN = re.compile(
    rf"(?:from )?{_ONE} ?(?:-|to|up to|thru|through)(?: and including)? ?{_ONE}{_ONLY}"
)


def marks_reaching(text: str) -> list[tuple[str, str | None]]:
    """Read "Mk 2 onwards", "before Mk 2", "all except Mk 1 and Mk 2", "Mk 1 up to Mk 3".

    Returns marks with their reach, as clauses have it; none where the text is none of these.
    Exceptions hold together: before Mk 2 is up to Mk 2, and not Mk 2.
    """
    for pattern, reach in ((_ONWARDS, "onwards"), (_UP_TO, "up-to")):
        if match := pattern.fullmatch(text):
            return [(mark_of(next(filter(None, match.groups()))), reach)]
    for pattern, reach in ((_BEFORE, "up-to"), (_AFTER, "onwards")):
        if match := pattern.fullmatch(text):
            mark = mark_of(match[1])
            if mark == "Mk 1" and reach == "up-to":
                raise RefusedError("words-not-read")  # there is none before it
            return [(mark, reach), (mark, "except")]
    if match := _BESIDES.fullmatch(text):
        return [(mark, "except") for mark in marks_of(match[1])]
    if match := _SPAN.fullmatch(text):
        return [(mark, None) for mark in marks_of(f"{match[1]} to {match[2]}")]
    return []

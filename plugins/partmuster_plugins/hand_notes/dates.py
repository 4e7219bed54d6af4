"""Days that a note names: in full, in part, and as told from the day it was written.

A month alone stays a month, and a date whose day and month nothing tells apart stays as written:
the core, which knows the club's country, reads it or asks.
"""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .date_words import (
    DAY,
    FEASTS,
    MONTH,
    MONTH_NAMES,
    MONTHS,
    UNITS,
    WEEKDAY,
    WEEKDAYS,
    YEAR,
    day_number,
    feast,
    year_number,
)  # fmt: skip
from .expressions import expression

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

FIRST_YEAR, LAST_YEAR = 1850, 2199
_DAYS_A_WEEK, _MONTHS_A_YEAR = 7, 12


@dataclass(frozen=True, slots=True)
class Day:
    """A day or a month that a text names, from character ``start`` to ``end``.

    ``date``: the day, or the first of the month; None where day and month are in doubt.
    ``alone``: whether it is a day of the week or a month alone.
    """

    start: int
    end: int
    words: str
    date: dt.date | None
    month: bool = False
    alone: bool = False

    @property
    def text(self) -> str:
        """``2025-04-12``, ``2025-04``, or the words where they leave doubt."""
        if self.date is None:
            return self.words
        return self.date.isoformat()[:7] if self.month else self.date.isoformat()


#: A text without any of these names no day.
_ANY = expression(
    rf"\d{{4}}|\d[-/.]\d|\d ?(?:st|nd|rd|th)?\b.{{0,5}}\b{MONTH}|\b{MONTH_NAMES}|\b{WEEKDAY}\b|"
    r"yesterday|\btoday|\btonight|this (?:morning|afternoon|evening)|last (?:night|month)|\bago\b|"
    rf"\b(?:{FEASTS})\b",
    re.IGNORECASE,
)
#: Words before a day by which nothing was seen or said on it.
_NOT_THEN = expression(
    r"(?:\b(?:next|by|until|till|til|before|since|every|each|coming|after|from|due(?: on)?|"
    r"back (?:in|on)|back|to|for|most|than|dated|stamped|(?<!as )of)|\bsince the)\s+(?:the\s+)?$",
    re.IGNORECASE,
)
_NOT_AFTER = expression(r"s\b|\s+(?:week|fortnight|next|coming|onwards?)\b", re.IGNORECASE)
_WEEK = rf"(?:{WEEKDAY}\.?,?\s+(?:the\s+)?)?"
_OPEN, _SHUT = r"(?<![\w./:-])", r"(?![\w/]|[-.:]\d)"
_OF = r"(?:\s+of)?(?:\s+|[-., ]\s*)"
_TIME = r"(?:T\d\d(?::?\d\d)*(?:[.,]\d+)?(?:Z|[+-]\d\d:?(?:\d\d)?)?)?"


def _form(pattern: str) -> re.Pattern[str]:
    return expression(_OPEN + pattern + _SHUT, re.IGNORECASE)


_ISO_DAY = _form(rf"(\d{{4}})([-/. ])(\d\d?)\2(\d\d?){_TIME}")
_ISO_BASIC = expression(rf"(?<!\d)((?:18|19|20|21)\d\d)(\d\d)(\d\d){_TIME}(?![\d-])")
_ISO_WEEK = _form(rf"(\d{{4}})-?W(\d\d)-?([1-7]){_TIME}")
_ISO_ORDINAL = _form(rf"(\d{{4}})-(\d{{3}}){_TIME}")
_ISO_ORDINAL_BASIC = expression(rf"^((?:19|20)\d\d)(\d{{3}}){_TIME}$")
_ISO_MONTH = _form(r"((?:19|20)\d\d)-(\d\d)")
_NUMERIC = _form(rf"{_WEEK}(\d\d?)([-/.])(\d\d?)\3'?(\d{{4}}|\d\d)")
_DAY_MONTH_YEAR = _form(rf"{_WEEK}{DAY}{_OF}{MONTH}\.?,?[-., ]*'?{YEAR}")
_MONTH_DAY_YEAR = _form(rf"{_WEEK}{MONTH}\.?[- ]\s*{DAY},?[- ]\s*(?:\d\d:\d\d(?::\d\d)? )?'?{YEAR}")
_YEAR_MONTH_DAY = _form(rf"(\d{{4}})[-. ]{MONTH}\.?[-. ](\d\d?)")
_MONTH_YEAR = _form(rf"{MONTH}\.?,?\s+'?{YEAR}(?:\s*\((\d\d?)(?:st|nd|rd|th)\))?")
_DAY_MONTH = _form(rf"(?:on\s+)?{_WEEK}(?:the\s+)?{DAY}{_OF}{MONTH}\b\.?")
_MONTH_DAY = _form(rf"(?:on\s+)?{_WEEK}{MONTH}\.?\s+(?:the\s+)?{DAY}")
_WEEKDAY_ALONE = expression(rf"(?<![\w-])(last\s+)?{WEEKDAY}(?![\w'])", re.IGNORECASE)
_IN_MONTH = expression(rf"\b[Ii]n (?:early |late |mid[- ]|the middle of )?{MONTH}\b")
_FEAST = expression(rf"\b({FEASTS})\b", re.IGNORECASE)
_NEAR_BY = expression(
    rf"\b(the day before yesterday|yesterday|last night|today|tonight|"
    rf"this (?:morning|afternoon|evening)|last month|a fortnight ago|"
    rf"({UNITS}|\d{{1,2}})\s+(day|week|fortnight|month)s?\s+ago)\b",
    re.IGNORECASE,
)
_NEAR_DAYS = {
    "the day before yesterday": 2, "yesterday": 1, "last night": 1, "a fortnight ago": 14,
}  # fmt: skip


def days_in(text: str, near: dt.date | None = None, *, day_first: bool | None = None) -> list[Day]:
    """Return the days a text names, in order; those told in part only where ``near`` is known.

    ``near``: the day the text was written. ``day_first``: how its numeric dates are ordered.
    """
    if not _ANY.search(text):
        return []
    found: list[Day] = []
    taken: list[tuple[int, int]] = []
    for start, end, day in _all(text.replace("_", " "), near, day_first):
        if any(start < last and first < end for first, last in taken):
            continue
        taken.append((start, end))
        if day:
            found.append(day)
    return sorted(found, key=lambda day: day.start)


def _all(
    text: str, near: dt.date | None, day_first: bool | None
) -> Iterator[tuple[int, int, Day | None]]:
    """Yield places and days by form, the fullest first; a day that cannot be is none."""
    for pattern, read in _FORMS:
        for match in pattern.finditer(text):
            day = read(match, day_first)
            # "p. 31. Feb 15 '25": a sentence may have ended before the month
            if day or (pattern is not _MONTH_YEAR and ". " not in match[0]):
                yield match.start(), match.end(), day
    if near is None:
        return
    for pattern, tell in _TOLD:
        for match in pattern.finditer(text):
            if _NOT_THEN.search(text[: match.start()]) or _NOT_AFTER.match(text[match.end() :]):
                continue
            if day := tell(match, near):
                yield day.start, day.end, day


def _made(match: re.Match[str], date: dt.date | None, *, month: bool = False,
          alone: bool = False) -> Day | None:  # fmt: skip
    if date is None or not FIRST_YEAR <= date.year <= LAST_YEAR:
        return None
    return Day(match.start(), match.end(), match[0], date, month, alone)


def _date(year: int | None, month: int, day: int) -> dt.date | None:
    try:
        return dt.date(year or 0, month, day)
    except ValueError:
        return None


def _iso_day(match: re.Match[str], _order: bool | None) -> Day | None:
    return _made(match, _date(int(match[1]), int(match[3]), int(match[4])))


def _iso_basic(match: re.Match[str], _order: bool | None) -> Day | None:
    return _made(match, _date(int(match[1]), int(match[2]), int(match[3])))


def _iso_week(match: re.Match[str], _order: bool | None) -> Day | None:
    try:
        return _made(match, dt.date.fromisocalendar(int(match[1]), int(match[2]), int(match[3])))
    except ValueError:
        return None


def _iso_ordinal(match: re.Match[str], _order: bool | None) -> Day | None:
    number = int(match[2])
    first = _date(int(match[1]), 1, 1)
    found = first + dt.timedelta(days=number - 1) if first and number else None
    return _made(match, found) if found and found.year == int(match[1]) else None


def _iso_month(match: re.Match[str], _order: bool | None) -> Day | None:
    return _made(match, _date(int(match[1]), int(match[2]), 1), month=True)


def _numeric(match: re.Match[str], order: bool | None) -> Day | None:
    """Read 3.5.25: by the day of the week, as the note writes, or where one order alone can be."""
    year = year_number(match[5])
    as_day_first = _date(year, int(match[4]), int(match[2]))
    as_month_first = _date(year, int(match[2]), int(match[4]))
    if as_day_first is None or as_month_first is None or as_day_first == as_month_first:
        return _made(match, as_day_first or as_month_first)
    if match[1]:
        weekday = WEEKDAYS[match[1][:3].lower()]
        fitting = [one for one in (as_day_first, as_month_first) if one.weekday() == weekday]
        if len(fitting) == 1:
            return _made(match, fitting[0])
    if order is not None:
        return _made(match, as_day_first if order else as_month_first)
    words = match[0][match.start(2) - match.start() :]
    return Day(match.start(), match.end(), words, None)


def _worded(day: int, month: int, year: int) -> Callable[[re.Match[str], bool | None], Day | None]:
    """Return what reads a form with day, month and year in these groups."""

    def read(match: re.Match[str], _order: bool | None) -> Day | None:
        number, full = day_number(match[day]), year_number(match[year])
        if number is None or full is None:
            return None
        return _made(match, _date(full, MONTHS[match[month][:3].lower()], number))

    return read


def _month_year(match: re.Match[str], _order: bool | None) -> Day | None:
    full = year_number(match[2])
    if full is None:
        return None
    month = MONTHS[match[1][:3].lower()]
    if match[3]:
        return _made(match, _date(full, month, int(match[3])))
    if len(match[2]) < 4 and "'" not in match[0]:  # noqa: PLR2004 - "Apr 12" is a day
        return None
    return _made(match, _date(full, month, 1), month=True)


_FORMS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], bool | None], Day | None]], ...] = (
    (_ISO_DAY, _iso_day), (_ISO_BASIC, _iso_basic), (_ISO_WEEK, _iso_week),
    (_ISO_ORDINAL, _iso_ordinal), (_ISO_ORDINAL_BASIC, _iso_ordinal), (_NUMERIC, _numeric),
    (_YEAR_MONTH_DAY, _worded(3, 2, 1)), (_DAY_MONTH_YEAR, _worded(2, 3, 4)),
    (_MONTH_DAY_YEAR, _worded(3, 2, 4)), (_MONTH_YEAR, _month_year), (_ISO_MONTH, _iso_month),
)  # fmt: skip


def _last_such(day: int, month: int, near: dt.date) -> dt.date | None:
    """Return the last such day that is not after ``near``."""
    for year in range(near.year, near.year - 5, -1):
        found = _date(year, month, day)
        if found and found <= near:
            return found
    return None


def _day_month(day: int, month: int) -> Callable[[re.Match[str], dt.date], Day | None]:
    def tell(match: re.Match[str], near: dt.date) -> Day | None:
        number = day_number(match[day])
        if number is None:
            return None
        return _made(match, _last_such(number, MONTHS[match[month][:3].lower()], near))

    return tell


def _near_by(match: re.Match[str], near: dt.date) -> Day | None:
    words = " ".join(match[1].lower().split())
    if words == "last month":
        return _months_ago(match, near, 1)
    if not match[3]:
        return _made(match, near - dt.timedelta(days=_NEAR_DAYS.get(words, 0)))
    number, unit = year_number(match[2], units=True) or 0, match[3].lower()
    if unit == "month":
        return _months_ago(match, near, number)
    days = {"day": 1, "week": 7, "fortnight": 14}[unit]
    return _made(match, near - dt.timedelta(days=days * number))


def _months_ago(match: re.Match[str], near: dt.date, number: int) -> Day | None:
    months = near.year * _MONTHS_A_YEAR + near.month - 1 - number
    year, month = divmod(months, _MONTHS_A_YEAR)
    return _made(match, _date(year, month + 1, 1), month=True)


def _weekday(match: re.Match[str], near: dt.date) -> Day | None:
    if _is_other_word(match):
        return None
    days = (near.weekday() - WEEKDAYS[match[2][:3].lower()]) % _DAYS_A_WEEK
    if not days and (
        match[1] or re.search(r"\bon $", match.string[: match.start()], re.IGNORECASE)
    ):
        days = _DAYS_A_WEEK
    return _made(match, near - dt.timedelta(days=days), alone=True)


def _is_other_word(match: re.Match[str]) -> bool:
    """Tell whether "sun" or "sat" is no day: it stands neither alone nor behind "on"."""
    short = not match[2].lower().endswith("day")
    before, after = match.string[: match.start()], match.string[match.end() :]
    led = match[1] or re.search(r"\b(?:on|this|since) $", before, re.IGNORECASE)
    alone = match[2][0].isupper() and not re.match(r"\s+[a-z]", after)
    return short and not led and not alone


def _in_month(match: re.Match[str], near: dt.date) -> Day | None:
    if not match[1][0].isupper():
        return None
    return _made(match, _last_such(1, MONTHS[match[1][:3].lower()], near), month=True)


def _feast(match: re.Match[str], near: dt.date) -> Day | None:
    days = [feast(match[1], year) for year in (near.year, near.year - 1)]
    return _made(match, next((day for day in days if day and day <= near), None))


_TOLD: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], dt.date], Day | None]], ...] = (
    (_DAY_MONTH, _day_month(2, 3)), (_MONTH_DAY, _day_month(3, 2)), (_NEAR_BY, _near_by),
    (_FEAST, _feast), (_WEEKDAY_ALONE, _weekday), (_IN_MONTH, _in_month),
)  # fmt: skip

#: What may stand between an entry's day and its words.
_AFTER_DAY = expression(r"[\].,:;)\-–—\s]*(?:\((?:" + WEEKDAY + r")[^)]{0,30}\)[.,:;\-–—\s]*)?",
                        re.IGNORECASE)  # fmt: skip
_ENTRY_TIME = expression(r"^[,\s]*\d{1,2}[:.]\d\d(?::\d\d)?(?:\s*[ap]m)?\b", re.IGNORECASE)
_ENTRY_LEAD = expression(r"^[\[(*\s]*(?:Good Friday|Easter \w+|Whit \w+)?[,\s]*(?:on the )?")
_MONTH_ALONE = expression(rf"{MONTH}(?:\.|$)\s*(?=[A-Z(]|$)")
_WEEKDAY_ENTRY = expression(rf"(){WEEKDAY}(?:day)?(?=\s*(?:[.,:;-]|$))", re.IGNORECASE)


def entry_day(text: str, last: dt.date | None, *, day_first: bool | None = None
              ) -> tuple[Day, str] | None:  # fmt: skip
    """Return the day with which a paragraph begins, as a diary's does, and the text behind it.

    ``last``: the day of the entry before, or the first day there can be. An entry's day is one of
    the year that follows.
    """
    lead = _ENTRY_LEAD.match(text)
    start = lead.end() if lead else 0
    head = text[start : start + 60]
    found = next((day for day in days_in(head, day_first=day_first) if day.start == 0), None)
    if found is None and last is not None:
        found = _in_part(head, last)
    if found is None:
        return None
    rest = text[start + found.end :]
    rest = _ENTRY_TIME.sub("", rest)
    between = _AFTER_DAY.match(rest)
    after = rest[between.end() :] if between else rest
    gap = rest[: len(rest) - len(after)]
    in_full = found.date is None or bool(re.search(r"\d{4}\W*$|[-/.]\d\d$", found.words))
    ended = bool(gap.strip()) or found.words.endswith(".")
    if after and not in_full and not ended and not after[0].isupper():
        return None
    return found, after


def _in_part(head: str, last: dt.date) -> Day | None:
    """Return the day without a year, or the day of the week, with which a text begins."""
    for pattern, day, month in ((_DAY_MONTH, 2, 3), (_MONTH_DAY, 3, 2)):
        match = pattern.match(head)
        number = day_number(match[day]) if match else None
        if match and number is not None:
            return _made(match, _next_such(number, MONTHS[match[month][:3].lower()], last))
    if match := _MONTH_ALONE.match(head):
        month_number = MONTHS[match[1][:3].lower()]
        return _made(match, _next_such(1, month_number, last.replace(day=1)), month=True)
    if match := _WEEKDAY_ENTRY.match(head):
        days = (WEEKDAYS[match[2][:3].lower()] - last.weekday()) % _DAYS_A_WEEK or _DAYS_A_WEEK
        return _made(match, last + dt.timedelta(days=days), alone=True)
    return None


def _next_such(day: int, month: int, last: dt.date) -> dt.date | None:
    """Return the next such day from some weeks before ``last``: entries may stand out of order."""
    first = last - dt.timedelta(days=92)
    years = (first.year, first.year + 1, first.year + 2)
    return next((one for year in years if (one := _date(year, month, day)) and one >= first), None)


def order_told(texts: Iterable[str]) -> bool | None:
    """Return whether a note writes the day before the month, where its own dates prove it."""
    proved: set[bool] = set()
    for text in texts:
        for match in _NUMERIC.finditer(text):
            first, second = int(match[2]), int(match[4])
            found = _numeric(match, None)
            if found and found.date and first != second:
                proved.add(found.date.day == first)
    return proved.pop() if len(proved) == 1 else None

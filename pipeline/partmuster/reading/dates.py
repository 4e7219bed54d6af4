"""Reading dates as members, spreadsheets and file names write them; never by luck."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from .text import fold

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

#: Two-digit years below this are 20xx, the others 19xx: "44" is 1944 (common practice, no source).
PIVOT = 40
FIRST_YEAR, LAST_YEAR = 1850, 2199

_MONTHS = {
    name: number
    for number in range(1, 13)
    for name in (
        calendar.month_name[number].casefold(), calendar.month_abbr[number].casefold(),
    )
} | {"sept": 9}  # fmt: skip
_ROMAN = dict(
    zip(
        ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"],
        range(1, 13),
        strict=True,
    )
)
_MONTH = "(" + "|".join(sorted(_MONTHS, key=len, reverse=True)) + r")\.?"
_WEEKDAY = re.compile(r"^(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?[., ]+")
_TIME = re.compile(
    r"[ t]\d{1,2}:\d\d(?::\d\d(?:[.,]\d+)?)?(?: ?[ap]\.?m\.?)?(?: ?z| ?[+-]\d\d:?\d\d)?$"
)
_SEP = r" ?[-/. ] ?"
_YEAR = r"(?:'(\d\d)|(\d{4}))"
_ABOUT = re.compile(
    r"^(?:circa |ca?(?![a-z])\.? ?|about |around |approx\.? |approximately |~ ?|est\.? |maybe "
    r"|early |mid[- ]|middle of |late |end of |beginning of |start of |spring |summer |autumn "
    r"|fall |winter |christmas |xmas |easter )(?:of |in )?|\?+$| ?\(\?\)$| approx\.?$"
)
_SEASON = re.compile(r"^(spring|summer|autumn|fall|winter|christmas|xmas|easter) ")
_NOTHING = frozenset(
    {"", "?", "??", "-", "--", "unknown", "n/k", "nk", "not known", "n.d.", "nd", "no date",
     "undated", "tbc", "n/a", "none", "dont know", "don't know"}
)  # fmt: skip
_RELATIVE = re.compile(
    r"yesterday|today|tomorrow|now|recently|last \w+|this \w+|next \w+|\w+ (?:years?|weeks?|months?"
    r"|days?) ago|the other day|ages ago|years ago"
)


@dataclass(frozen=True, slots=True)
class DateReading:
    """A day, or a period from ``date`` to ``until`` inclusive; with a ``problem``, neither.

    ``precision``: day, month or year. ``approximate``: "c. 1998", and seasons, which are read as
    their whole year because they fall differently in north and south. Problem codes:
    impossible-date, ambiguous-date, day-order-disagrees, no-year, relative-date, several-dates,
    not-a-date.
    """

    text: str
    date: dt.date | None = None
    until: dt.date | None = None
    precision: str | None = None
    approximate: bool = False
    problem: str | None = None


def _full_year(digits: str) -> int:
    year = int(digits)
    if len(digits) > 2:  # noqa: PLR2004 - written in full
        return year
    return year + (2000 if year < PIVOT else 1900)


def _refuse(problem: str) -> DateReading:
    return DateReading("", problem=problem)


def _day(year: int, month: int, day: int) -> DateReading:
    try:
        found = dt.date(year, month, day)
    except ValueError:
        return _refuse("impossible-date")
    if not FIRST_YEAR <= year <= LAST_YEAR:
        return _refuse("impossible-date")
    return DateReading("", found, found, "day")


def _months(year: int, first: int, last: int) -> DateReading:
    if not 1 <= first <= last <= 12 or not FIRST_YEAR <= year <= LAST_YEAR:  # noqa: PLR2004 - months
        return _refuse("impossible-date")
    end = dt.date(year, last, calendar.monthrange(year, last)[1])
    return DateReading("", dt.date(year, first, 1), end, "month")


def _years(first: int, last: int) -> DateReading:
    if not FIRST_YEAR <= first <= last <= LAST_YEAR:
        return _refuse("not-a-date")
    return DateReading("", dt.date(first, 1, 1), dt.date(last, 12, 31), "year")


def _numeric(first: int, second: int, year: int, day_first: bool | None) -> DateReading:
    """Read 03/04/2024; where both orders give a date and no order is known, it is ambiguous."""
    as_day_first, as_month_first = _day(year, second, first), _day(year, first, second)
    if day_first is not None:
        chosen, other = as_day_first, as_month_first
        if not day_first:
            chosen, other = other, chosen
        if chosen.problem and not other.problem:
            return _refuse("day-order-disagrees")
        return chosen
    if as_day_first.problem:
        return as_month_first
    if as_month_first.problem or first == second:
        return as_day_first
    return _refuse("ambiguous-date")


def _month_short_year(month: str, digits: str) -> DateReading:
    """Read "Aug-12", which is a day or a year, and "Feb-96", which is a year."""
    if int(digits) == 0 or int(digits) > 31:  # noqa: PLR2004 - no day of a month
        number = _MONTHS[month]
        return _months(_full_year(digits), number, number)
    return _refuse("ambiguous-date")


def _year_range(first: str, last: str) -> DateReading:
    start = int(first)
    return _years(start, int(first[: 4 - len(last)] + last))


_Form = tuple[re.Pattern[str], "Callable[[re.Match[str], bool | None], DateReading]"]


def _form(pattern: str, make: Callable[[re.Match[str], bool | None], DateReading]) -> _Form:
    return re.compile(pattern), make


_DAY = r"(\d{1,2})(?:st|nd|rd|th)?"
_DAY_FORMS: tuple[_Form, ...] = (
    _form(r"(\d{4})([-/. _])(\d{1,2})\2(\d{1,2})",
          lambda m, _: _day(int(m[1]), int(m[3]), int(m[4]))),
    _form(r"((?:18|19|20|21)\d\d)(\d\d)(\d\d)", lambda m, _: _day(int(m[1]), int(m[2]), int(m[3]))),
    _form(r"(\d{1,2})( ?[-/. _] ?)(\d{1,2})\2'?(\d{4}|\d\d)",
          lambda m, order: _numeric(int(m[1]), int(m[3]), _full_year(m[4]), order)),
    _form(rf"{_DAY}(?: of)?[-/., _]*{_MONTH}[-/., _]*'?(\d{{4}}|\d\d)",
          lambda m, _: _day(_full_year(m[3]), _MONTHS[m[2]], int(m[1]))),
    _form(rf"{_MONTH}[-. _]?{_DAY}(?:,? ?| )'?(\d{{4}})",
          lambda m, _: _day(int(m[3]), _MONTHS[m[1]], int(m[2]))),
    _form(rf"(\d{{4}})[-. _]{_MONTH}[-. _]{_DAY}",
          lambda m, _: _day(int(m[1]), _MONTHS[m[2]], int(m[3]))),
)  # fmt: skip
_MONTH_FORMS: tuple[_Form, ...] = (
    _form(rf"{_MONTH}[-/, _]*{_YEAR}",
          lambda m, _: _months(_full_year(m[2] or m[3]), _MONTHS[m[1]], _MONTHS[m[1]])),
    _form(rf"(\d{{4}})[-/, _]*{_MONTH}",
          lambda m, _: _months(int(m[1]), _MONTHS[m[2]], _MONTHS[m[2]])),
    _form(r"(\d{4})[-._](\d\d)", lambda m, _: _months(int(m[1]), int(m[2]), int(m[2]))),
    _form(r"(?:q([1-4])[ -/]?(\d{4}))",
          lambda m, _: _months(int(m[2]), int(m[1]) * 3 - 2, int(m[1]) * 3)),
)  # fmt: skip
_OTHER_FORMS: tuple[_Form, ...] = (
    _form(r"(\d{1,2})[-/. ]?(i{1,3}|iv|vi{0,3}|ix|xi{0,2})[-/. ]?(\d{4}|\d\d)",
          lambda m, _: _day(_full_year(m[3]), _ROMAN[m[2]], int(m[1]))),
    _form(r"(?:[?x]{1,2}|--)[-/.](\d{1,2})[-/.](\d{4})",
          lambda m, _: _months(int(m[2]), int(m[1]), int(m[1]))),
    _form(r"(\d{1,2})[-/.](\d{4})", lambda m, _: _months(int(m[2]), int(m[1]), int(m[1]))),
    _form(rf"{_MONTH}[-/. ]?(\d\d)", lambda m, _: _month_short_year(m[1], m[2])),
    _form(r"(\d{4})", lambda m, _: _years(int(m[1]), int(m[1]))),
    _form(r"'(\d\d)", lambda m, _: _years(_full_year(m[1]), _full_year(m[1]))),
    _form(r"(\d{3}0)'?s", lambda m, _: replace(_years(int(m[1]), int(m[1]) + 9), approximate=True)),
    _form(r"(\d{4}) ?(?:-|to) ?(\d{4})", lambda m, _: _year_range(m[1], m[2])),
    _form(r"(\d{4})/(0[1-9]|1[0-2])", lambda _m, _: _refuse("ambiguous-date")),
    _form(r"(\d{4}) ?[-/] ?(\d\d)", lambda m, _: _year_range(m[1], m[2])),
    _form(rf"{_DAY}(?: of)?[-/., ]*{_MONTH}|{_MONTH}(?: {_DAY})?",
          lambda _m, _: _refuse("no-year")),
)  # fmt: skip


def _valid_month(match: re.Match[str]) -> bool:
    return 1 <= int(match[2]) <= 12  # noqa: PLR2004 - months in a year


def _match(text: str, day_first: bool | None) -> DateReading:
    """Read a folded date that says no more than a date."""
    for pattern, make in (*_DAY_FORMS, *_MONTH_FORMS, *_OTHER_FORMS):
        match = pattern.fullmatch(text)
        if match is None:
            continue
        if pattern is _MONTH_FORMS[2][0] and not _valid_month(match):
            continue  # 1944-45 is two years
        return make(match, day_first)
    return _refuse("relative-date" if _RELATIVE.fullmatch(text) else "not-a-date")


def _read(text: str, day_first: bool | None) -> DateReading:  # noqa: PLR0911 - one a form
    text = _TIME.sub("", _WEEKDAY.sub("", text)).strip(" ,.")
    if match := re.fullmatch(r"(?:pre|before|until)[- ]?(\d{4})", text):
        year = _years(int(match[1]), int(match[1]))
        if year.date is None:
            return year
        return DateReading("", None, year.date - dt.timedelta(days=1), "year")
    if match := re.fullmatch(r"(?:since|from|after|post)[- ](.+)", text):
        start = _read(match[1], day_first)
        after = text.startswith(("after", "post"))
        if start.date is None or start.until is None:
            return start
        first = start.until + dt.timedelta(days=1) if after else start.date
        return replace(start, date=first, until=None)
    season = bool(_SEASON.match(text))
    bare = _ABOUT.sub("", text)
    while bare != text and _ABOUT.search(bare):
        bare = _ABOUT.sub("", bare)
    got = _match(bare.strip(" ,."), day_first)
    if bare == text or got.problem:
        return got
    if season and got.precision != "year":
        return _refuse("not-a-date")
    return replace(got, approximate=True)


@lru_cache(maxsize=100_000)
def read_date(text: str, day_first: bool | None = None) -> DateReading:
    """Read a date cell; never raises. Nothing said ("", "?", "unknown") is no problem.

    ``day_first`` is the order of a numeric date in this column (``infer_day_first``), None where
    not known; 03/04/2024 is then ambiguous, and 8/30/2012 is not.
    """
    folded = fold(text)
    if folded in _NOTHING:
        return DateReading(text)
    if len(folded) > 60 or not folded.isascii():  # noqa: PLR2004 - longer than any date
        return DateReading(text, problem="not-a-date")
    got = replace(_read(folded, day_first), text=text)
    return DateReading(text, problem=got.problem) if got.problem else got


def infer_day_first(texts: Iterable[str]) -> bool | None:
    """Return the day and month order that a column's numeric dates prove, or None."""
    proved: set[bool] = set()
    for text in texts:
        match = re.match(r"\s*(\d{1,2})([-/.])(\d{1,2})\2(?:\d{4}|\d\d)\b", text)
        if match is None:
            continue
        first, second = int(match[1]), int(match[3])
        if max(first, second) <= 31 and (first > 12) != (second > 12):  # noqa: PLR2004 - calendar
            proved.add(first > second)
    return proved.pop() if len(proved) == 1 else None


def _finders() -> tuple[_Form, ...]:
    return tuple(
        (re.compile(rf"(?<![\w./-]){form.pattern}(?![\w/]|[-.]\d)"), make)
        for form, make in (*_DAY_FORMS, *_MONTH_FORMS)
    )


_FINDERS = _finders()
_YEAR_ALONE = re.compile(r"(?<![\w./-])((?:19[7-9]|20[0-4])\d)(?![\w/]|[-.]\d)")


@lru_cache(maxsize=20_000)
def find_date(text: str, day_first: bool | None = None) -> DateReading | None:
    """Find the date in a title or file name; None where there is none.

    Two different dates are a problem (several-dates). A year alone counts only from 1970, and where
    no other number stands beside it: older ones name models (common practice, no source).
    """
    folded = fold(text)
    if ending := re.search(r"\.[a-z]{2,4}$", folded):  # a file name, perhaps with its folders
        folded = folded[: ending.start()].rsplit("/", 1)[-1]
    folded = re.sub(r"(?<=[a-z])[_-]|[_-](?=[a-z])|(?<=\d{8})_", " ", folded)
    found: list[DateReading] = []
    for pattern, make in _FINDERS:
        for match in pattern.finditer(folded):
            got = make(match, day_first)
            if pattern is _FINDERS[len(_DAY_FORMS) + 2][0] and not _valid_month(match):
                continue
            if pattern is _FINDERS[1][0] and got.problem:
                continue  # eight digits that are no date are some number
            found.append(replace(got, text=match[0]))
        folded = pattern.sub(" ", folded)
    if not found and len(re.findall(r"\d+", folded)) == 1 and (alone := _YEAR_ALONE.search(folded)):
        found.append(replace(_years(int(alone[1]), int(alone[1])), text=alone[1]))
    if not found:
        return None
    if len({(got.date, got.until, got.problem) for got in found}) > 1:
        return DateReading(text, problem="several-dates")
    return found[0]

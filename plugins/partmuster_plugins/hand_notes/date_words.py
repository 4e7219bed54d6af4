"""Words of dates: months, days of the week, numbers written out, feasts (common practice)."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from typing import Final

#: Two-digit years below this are 20xx, the others 19xx, as the core has it.
PIVOT: Final = 40
MONTHS: Final = {
    name[:3].lower(): number for number, name in enumerate(calendar.month_name) if number
}
_ALL_MONTHS = [*calendar.month_name[1:], "Sept", *calendar.month_abbr[1:]]
#: Of "may" and "march" a capital must tell that they are months; digits beside them do, too.
MONTH: Final = "(" + "|".join(dict.fromkeys(_ALL_MONTHS)) + r")\b"
MONTH_NAMES: Final = "(?:" + "|".join(dict.fromkeys(_ALL_MONTHS)) + r")\b"
WEEKDAYS: Final = {name[:3].lower(): number for number, name in enumerate(calendar.day_name)}
WEEKDAY: Final = (
    r"((?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)day|mon|tues?|weds?|thurs?|thu|fri|"
    r"sat|sun)"
)
_ONES_WRITTEN = (
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
)
_ONES = _ONES_WRITTEN.split()
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
         "eighty": 80, "ninety": 90}  # fmt: skip
_NUMBERS = {word: number for number, word in enumerate(_ONES, start=1)} | _TENS
_ORDINALS_WRITTEN = (
    "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth "
    "fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth"
)
_ORDINALS = _ORDINALS_WRITTEN.split()
DAY_WORDS: Final = {word: number for number, word in enumerate(_ORDINALS, start=1)} | {
    f"twenty{sign}{word}": 20 + number
    for number, word in enumerate(_ORDINALS[:9], start=1) for sign in " -"
} | {"thirtieth": 30, "thirty first": 31, "thirty-first": 31}  # fmt: skip
DAY: Final = (
    r"((?:0?[1-9]|[12]\d|3[01])(?:st|nd|rd|th)?\b|"
    + "|".join(sorted(DAY_WORDS, key=len, reverse=True))
    + ")"
)
_ONES_WORDS, _TENS_WORDS = "|".join(sorted(_ONES, key=len, reverse=True)), "|".join(_TENS)
_BELOW_HUNDRED = rf"(?:(?:{_TENS_WORDS})(?:[ -](?:{_ONES_WORDS}))?|(?:oh[ -])?(?:{_ONES_WORDS}))"
YEAR: Final = (
    rf"(\d{{4}}\b|\d\d\b|(?:nineteen|twenty)[ -]{_BELOW_HUNDRED}\b|two thousand(?: and)? "
    rf"{_BELOW_HUNDRED}\b|{_BELOW_HUNDRED}\b)"
)
UNITS: Final = rf"an?|a couple of|{_ONES_WORDS}"

_FEAST_NAMES = (
    "new year's day", "new years day", "new year's eve", "christmas day", "christmas eve",
    "boxing day", "easter monday", "easter sunday", "easter saturday", "good friday",
)  # fmt: skip
FEASTS: Final = "|".join(_FEAST_NAMES)
_FIXED = {"new year's day": (1, 1), "new years day": (1, 1), "new year's eve": (12, 31),
          "christmas day": (12, 25), "christmas eve": (12, 24), "boxing day": (12, 26)}  # fmt: skip
_FROM_EASTER = {"good friday": -2, "easter saturday": -1, "easter sunday": 0, "easter monday": 1}


def day_number(words: str) -> int | None:
    """Return the day of a month that digits or an ordinal word tell."""
    low = words.lower()
    digits = re.match(r"\d+", low)
    return int(digits[0]) if digits else DAY_WORDS.get(low)


def _below_hundred(words: str) -> int | None:
    parts = re.split(r"[ -]", words)
    numbers = [_NUMBERS.get(part) for part in parts if part != "oh"]
    if not numbers or None in numbers:
        return None
    return sum(number for number in numbers if number)


def year_number(words: str, *, units: bool = False) -> int | None:
    """Return a year in digits or words, two digits in full; with ``units`` a plain small number."""
    low = words.lower()
    if units:
        if low in {"a", "an"}:
            return 1
        return 2 if low == "a couple of" else int(low) if low.isdigit() else _below_hundred(low)
    if low.isdigit():
        year = int(low)
    elif low.startswith("two thousand"):
        year = 2000 + (_below_hundred(low.removeprefix("two thousand").removeprefix(" and").strip())
                       or 0)  # fmt: skip
    else:
        century = re.match(r"(nineteen|twenty)[ -](.+)", low)
        rest = _below_hundred(century[2]) if century else None
        # "twenty five" is 2025; "twenty twenty five" says its century
        if century and rest is not None and (rest > 9 or century[1] == "nineteen"):  # noqa: PLR2004
            return (1900 if century[1] == "nineteen" else 2000) + rest
        short = _below_hundred(low)
        if short is None:
            return None
        year = short
    if year >= 100:  # noqa: PLR2004 - written in full
        return year
    return year + (2000 if year < PIVOT else 1900)


def feast(name: str, year: int) -> dt.date | None:
    """Return the day of a feast in a year."""
    low = name.lower()
    if low in _FIXED:
        return dt.date(year, *_FIXED[low])
    days = _FROM_EASTER.get(low)
    return None if days is None else _easter(year) + dt.timedelta(days=days)


def _easter(year: int) -> dt.date:
    """Return Easter Sunday by the Gregorian rule (the anonymous algorithm, FROM-MEMORY)."""
    a, (b, c) = year % 19, divmod(year, 100)
    d, e = divmod(b, 4)
    g = (8 * b + 13) // 25
    h = (19 * a + b - d - g + 15) % 30
    i, k = divmod(c, 4)
    m = (32 + 2 * e + 2 * i - h - k) % 7
    n = (a + 11 * h + 22 * m) // 451
    month, day = divmod(h + m - 7 * n + 114, 31)
    return dt.date(year, month, day + 1)

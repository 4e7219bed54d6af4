"""Numbers and units inside a quantity: ``2-3``, ``at least 4``, ``1 1/2 pairs``, ``set of 4``."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.words import load_words

#: Units of length, volume and weight; "over 3 m" is 3 or more, "over 3 off" is 4 or more.
MEASURES = frozenset(
    {"metre", "millimetre", "centimetre", "foot", "inch", "yard", "litre", "millilitre",
     "pint", "quart", "gallon", "kilogram", "gram", "pound", "ounce"}
)  # fmt: skip
#: Two readings each: litre/left, gross/gram, pint/part, right/roll, ton/tin.
AMBIGUOUS_UNITS = frozenset({"l", "gr", "pt", "r", "t"})

_ONES = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
NUMBER_WORDS: dict[str, int] = {
    **{word: value for value, word in enumerate(_ONES, start=1)},
    **{word: value * 10 for value, word in enumerate(_TENS, start=2)},
    **{
        f"{ten}{gap}{one}": value * 10 + unit
        for value, ten in enumerate(_TENS, start=2)
        for unit, one in enumerate(_ONES[:9], start=1)
        for gap in (" ", "-")
    },
}
_NUMBER_WORD = re.compile(
    r"(?<![\w-])(?:" + "|".join(sorted(NUMBER_WORDS, key=len, reverse=True)) + r")(?!\w)"
)
_PHRASES = (
    (re.compile(r"\bhalf (?:a )?dozen\b"), "6"),
    (re.compile(r"\b(?:a )?couple(?: of)?\b"), "2"),
    (re.compile(r"\b(?:full|complete|whole) (?=sets?\b|kits?\b)"), ""),
)

NUMBER = r"(?:\d+ \d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+)"
_PLAIN = re.compile(rf"({NUMBER})\.?")
_RANGE = re.compile(rf"({NUMBER}) ?(?:-|to\b|or\b) ?({NUMBER})")
_BETWEEN = re.compile(rf"between ({NUMBER}) (?:and|&|to) ({NUMBER})")
_FROM = re.compile(
    rf"(?:at least|min(?:imum)?\.?|>=|not less than|no fewer than|upwards of) ?({NUMBER})"
    rf"|({NUMBER}) ?(?:\+|plus|or more|min(?:imum)?\.?|upwards|and up)"
)
_OVER = re.compile(rf"(?:>|more than|over) ?({NUMBER})")
_UP_TO = re.compile(
    rf"(?:up to|max(?:imum)?\.?|<=|at most|no more than|not more than) ?({NUMBER})"
    rf"|({NUMBER}) ?(?:max(?:imum)?\.?|at most|or less|or fewer)"
)
_UNDER = re.compile(rf"(?:<|less than|fewer than|under) ?({NUMBER})")


class RefusedError(Exception):
    """A quantity that is not read; ``code`` says why."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True, slots=True)
class Amount:
    """``low`` to ``high`` (None = open) pieces, or units of measure; ``unit`` as said."""

    low: float
    high: float | None
    unit: str | None = None

    def times(self, pieces: float, unit: str | None) -> Amount:
        """Return the amount in pieces, keeping the unit it was said in."""
        return Amount(self.low * pieces, None if self.high is None else self.high * pieces, unit)


def number_words(text: str) -> str:
    """Return the folded text with number words as digits: "two or three" -> "2 or 3"."""
    for pattern, digits in _PHRASES:
        text = pattern.sub(digits, text)
    text = _NUMBER_WORD.sub(lambda match: str(NUMBER_WORDS[match[0]]), text)
    return re.sub(rf"^(?:an?|another) (?={unit_pattern()}\b)", "1 ", text)


@lru_cache(maxsize=1)
def _units() -> dict[str, tuple[str, float | None]]:
    return {
        row.words: (
            row.meanings["unit"],
            float(row.meanings["pieces"]) if row.meanings["pieces"] else None,
        )
        for row in load_words("unit")
    }


@lru_cache(maxsize=1)
def unit_pattern() -> str:
    """Return a pattern that matches any unit word, the longest first."""
    words = sorted([*_units(), *AMBIGUOUS_UNITS], key=len, reverse=True)
    return "(?:" + "|".join(re.escape(word) for word in words) + ")"


def _number(text: str) -> float:
    whole, _, fraction = text.rpartition(" ")
    if "/" not in fraction:
        return float(text)
    top, bottom = fraction.split("/")
    if int(bottom) == 0:
        raise RefusedError("not-a-quantity")
    return (float(whole) if whole else 0.0) + int(top) / int(bottom)


def read_amount(text: str, *, measure: bool = False) -> Amount:
    """Read a number or range without a unit.

    Raises:
        RefusedError: it is none, runs backwards, or is a slashed number other than 1/2 that is
            no measure (2/3 may be two or three, or two of three).
    """
    if "/" in text and not measure and re.search(r"(?<![\w ])(?!1/2(?!\d))\d+/\d+", text):
        raise RefusedError("ambiguous-number")
    if match := _PLAIN.fullmatch(text):
        value = _number(match[1])
        return Amount(value, value)
    if match := _RANGE.fullmatch(text) or _BETWEEN.fullmatch(text):
        low, high = _number(match[1]), _number(match[2])
        if low > high:
            raise RefusedError("range-reversed")
        return Amount(low, high)
    if match := _FROM.fullmatch(text):
        return Amount(_number(match[1] or match[2]), None)
    if match := _OVER.fullmatch(text):
        value = _number(match[1])
        return Amount(value if measure else math.floor(value) + 1.0, None)
    if match := _UP_TO.fullmatch(text):
        return Amount(0.0, _number(match[1] or match[2]))
    if match := _UNDER.fullmatch(text):
        value = _number(match[1])
        highest = value if measure else math.ceil(value) - 1.0
        if highest < 0:
            raise RefusedError("negative-quantity")
        return Amount(0.0, highest)
    raise RefusedError("words-not-read")


@lru_cache(maxsize=1)
def _forms() -> tuple[re.Pattern[str], ...]:
    unit = unit_pattern()
    return (
        re.compile(
            rf"(?:(?P<amount>.*\d\.?\+?) ?x? ?)?(?P<unit>{unit})\.? (?:of|x) (?P<pieces>\d+)"
        ),
        re.compile(rf"(?P<amount>.*\d\.?\+?)(?: ?- ?| ?x | ?)(?P<unit>{unit})\.?"),
        re.compile(rf"(?P<amount>.*\b(?:more|plus|fewer|less)) (?P<unit>{unit})\.?"),
        re.compile(rf"(?P<unit>{unit})(?:[.:]? (?P<amount>\d.*))?"),
    )


_FEET_INCHES = re.compile(
    r"(\d+) ?(?:'|ft\.?|feet|foot) ?(\d+(?:\.\d+)?) ?(?:\"|ins?\.?|inch(?:es)?)?"
)
_PART_SET = re.compile(r"(?:part|incomplete|odd|half(?: an?)?|partial) (?:of )?(?:an? )?set")


def read_measured(text: str) -> Amount:
    """Read an amount with or without a unit; pairs and dozens come out in pieces.

    Raises:
        RefusedError: it cannot be read, or the unit has two readings.
    """
    if match := _FEET_INCHES.fullmatch(text):
        value = int(match[1]) + float(match[2]) / 12
        return Amount(value, value, "foot")
    if _PART_SET.fullmatch(text):
        return Amount(0.0, 1.0, "set")
    text = re.sub(r"^x ?(?=\d)|(?<=\d) ?x$", "", text)
    for form in _forms():
        match = form.fullmatch(text)
        if match is None:
            continue
        if match["unit"] in AMBIGUOUS_UNITS:
            if match["amount"]:
                raise RefusedError("ambiguous-unit")
            break
        unit, pieces = _units()[match["unit"]]
        inside = match.groupdict().get("pieces")
        amount = Amount(1.0, 1.0)
        if not match["amount"] and not inside and match["unit"].endswith("s"):
            raise RefusedError("unit-without-number")
        if match["amount"]:
            amount = read_amount(match["amount"].strip(), measure=unit in MEASURES)
        return amount.times(float(inside) if inside else pieces or 1.0, unit)
    return read_amount(text)

"""Reading part, casting, drawing and stock numbers, and finding them in free words."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from .text import fold, tidy

_PREFIXES = (
    ("part", r"p/n|p\.n\.?|pn|pt\.? ?(?:no\.?|number)|part (?:n[or]\.?|number|(?=\d))|pa?r?t ?#"),
    ("casting", r"cast(?:ing)?(?: (?:no\.?|number|mark|in))?|cstg(?: no\.?)?"),
    ("drawing", r"dr?g\.?(?: no\.?)?|dwg\.?(?: no\.?)?|drawing(?: (?:no\.?|number))?"),
    ("stock", r"nsn|fsn|niin|nato stock (?:no\.?|number)|stock (?:no\.?|number)"),
    ("maker", r"(?:maker|mfr)'?s?\.? (?:no\.?|number|ref\.?|p/n|part no\.?)"),
)  # fmt: skip
_PREFIX = re.compile(
    r"(?<![\w/])(?:" + "|".join(f"(?P<{kind}>{words})" for kind, words in _PREFIXES)
    + r")(?![a-z])[ :=.#]*",
    re.IGNORECASE,
)  # fmt: skip
_PLACEHOLDER = frozenset(
    {"", "n/a", "na", "none", "nil", "tbc", "tba", "tbd", "-", "--", "---", "?", "??", "???",
     "unknown", "unk", "not known", "n/k", "nk", "no number", "no no", "no no.", "no p/n",
     "no pt no", "no part no", "no part number", "unstamped", "not stamped", "none visible",
     "none found", "no mark", "unmarked", "x", "xx", "xxx", "xxxx", "various", "not marked",
     "blank", "0", "00", "000", "0000"}
)  # fmt: skip
_BARE_PREFIX = re.compile(r"^(?:nos?\.?|nr\.?|number|ref\.?|#)[ :]*(?=\d)", re.IGNORECASE)
_SIZE = re.compile(r"mk\.? ?\w+|.*\b(?:bs[fwp]|un[cf]|ba|whit|whitworth|metric)\b.*")
_ILLEGIBLE = re.compile(r"\b(?:illegible|unreadable|can't read|cannot read|worn off|rusted away)\b")
_DAMAGED = re.compile(
    r"#\S+[!?/]?\S*|\d(?:\.\d+)?e[+-]?\d+|\d{4}-\d\d-\d\d \d\d:\d\d(?::\d\d)?|nan"
    r"|(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)-\d\d|\d{1,2}-(?:jan|feb|mar|apr|may|jun"
    r"|jul|aug|sep|oct|nov|dec)"
)
_SEVERAL = re.compile(r" ?(?: / |;|,| or | and |&) ?")
_WORD = re.compile(
    r"\b(?:see|was|use|now|ex|for|from|like|alt|and|the|by|new|old|supersed\w*|(?<= )[lr]/?h"
    r"|[^\W\d_]{5,})\b"
)
_LONGEST = 32  # characters; no maker's number seen is longer (common practice, no source)

_NSN = re.compile(r"(\d{4})[- ](\d\d)[- ](\d{3})[- ](\d{4})")
_FSN = re.compile(r"(\d{4})[- ](\d{3})[- ](\d{4})")
_NIIN = re.compile(r"(\d\d)[- ](\d{3})[- ](\d{4})")
_NEAR_MISS = re.compile(
    r"(?=.*[A-Z])\d{4}[- ][A-Z\d]{2}[- ][A-Z\d]{3}[- ][A-Z\d]{3,4}", re.IGNORECASE
)
_STOCK_PREFIX = re.compile(
    r"^(nsn|fsn|niin|nato stock (?:no\.?|number)|stock (?:no\.?|number))[ :.#]*", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class NumberReading:
    """A number as written and in its normal form; None with a ``problem`` or a placeholder.

    ``kind``: part, casting, drawing, stock, maker, or unknown where neither a prefix nor the
    heading says. Problem codes: not-a-number, illegible, unsure-number, several-numbers,
    words-in-number, spreadsheet-damage, not-a-stock-number.
    """

    as_written: str
    normal: str | None = None
    kind: str = "unknown"
    problem: str | None = None


@dataclass(frozen=True, slots=True)
class StockNumber:
    """A stock number, or what looks like one.

    ``form``: nsn (13 digits, 4-2-3-4), fsn (11 digits, 4-3-4, before country codes), niin (9
    digits, 2-3-4), or none where it is not valid; the class is kept even then. ``item_number``: the
    last seven digits. Only the shape is checked, not whether class and country are in use.
    """

    as_written: str
    normal: str
    form: str
    supply_class: str | None
    country_code: str | None
    item_number: str | None
    valid: bool
    problem: str | None = None


@lru_cache(maxsize=200_000)
def normal_number(text: str) -> str:
    """Return upper-case letters and digits only, for equality of part numbers."""
    normal = "".join(char for char in tidy(tidy(text).upper()) if char.isalnum())
    while True:
        again = "".join(c for c in unicodedata.normalize("NFKC", normal.upper()) if c.isalnum())
        if again == normal:
            return normal
        normal = again


@lru_cache(maxsize=200_000)
def collated_number(text: str) -> str:
    """Return the normal form with letter O as zero and letter I as one, for near-equality only.

    Source: Curtiss-Wright IPL; TM 55-4920-400-13 (SOURCE-SEEN).
    """
    return normal_number(text).replace("O", "0").replace("I", "1")


def _stock(text: str, form: str, parts: tuple[str | None, str | None, str]) -> StockNumber:
    supply_class, country, item = parts
    digits = (supply_class or "") + (country or "") + item
    if supply_class is not None and supply_class[0] == "0":
        return StockNumber(text, digits, "none", None, None, None, valid=False,
                           problem="not-a-stock-number")  # fmt: skip
    return StockNumber(text, digits, form, supply_class, country, item, valid=True)


def _from_digits(text: str, digits: str, prefix: str) -> StockNumber | None:
    """Read unbroken digits, which are a stock number only where a prefix says so."""
    if len(digits) == 13:  # noqa: PLR2004 - 4-2-3-4
        return _stock(text, "nsn", (digits[:4], digits[4:6], digits[6:]))
    if len(digits) == 11:  # noqa: PLR2004 - 4-3-4
        return _stock(text, "fsn", (digits[:4], None, digits[4:]))
    if len(digits) == 9 and prefix == "niin":  # noqa: PLR2004 - 2-3-4
        return _stock(text, "niin", (None, digits[:2], digits[2:]))
    return None


@lru_cache(maxsize=100_000)
def read_stock_number(text: str) -> StockNumber | None:  # noqa: PLR0911 - one return a form
    """Read a stock number; None where the text does not look like one.

    A near miss ("5855-00-VIE-WER") keeps its class and says that it is not valid. Digits without
    separators need a prefix (NSN, FSN, NIIN), or are only a number.
    """
    bare = tidy(text)
    if not bare.isascii():
        return None
    match = _STOCK_PREFIX.match(bare)
    prefix = match[1].lower() if match else ""
    body = bare[match.end() :].strip() if match else bare
    if found := _NSN.fullmatch(body):
        return _stock(text, "nsn", (found[1], found[2], found[3] + found[4]))
    if found := _FSN.fullmatch(body):
        return _stock(text, "fsn", (found[1], None, found[2] + found[3]))
    if found := _NIIN.fullmatch(body):
        return _stock(text, "niin", (None, found[1], found[2] + found[3]))
    if prefix and body.isdigit() and (whole := _from_digits(text, body, prefix)):
        return whole
    if not (_NEAR_MISS.fullmatch(body) or (prefix and re.search(r"\d", body))):
        return None
    head = re.match(r"([1-9]\d{3})(?:[- ](\d\d)(?=[- ]))?", body)
    # In letters spelling out a name, the "country code" before them is filler too.
    country = head[2] if head and re.search(r"\d", body[head.end() :]) else None
    return StockNumber(
        text, normal_number(body), "none", head[1] if head else None, country, None,
        valid=False, problem="not-a-stock-number",
    )  # fmt: skip


def _kind_of(match: re.Match[str]) -> str:
    return next(kind for kind, value in match.groupdict().items() if value is not None)


def _refusal(body: str) -> str | None:  # noqa: PLR0911 - one return a reason
    """Return why a folded text is no number, or None."""
    if _ILLEGIBLE.search(body):
        return "illegible"
    if _DAMAGED.fullmatch(body):
        return "spreadsheet-damage"
    if not re.search(r"\d", body) or len(body) > _LONGEST or _SIZE.fullmatch(body):
        return "not-a-number"
    if re.search(r"[?_*…]|\.\.", body):
        return "unsure-number"
    several = _SEVERAL.split(body)
    if len(several) > 1 and all(re.search(r"\d", part) for part in several):
        return "several-numbers"
    if _WORD.search(body):
        return "words-in-number"
    return None if re.fullmatch(r"[\w./ ()+#-]+", body) else "not-a-number"


@lru_cache(maxsize=200_000)
def read_part_number(text: str, heading_kind: str = "unknown") -> NumberReading:
    """Read a cell that should hold one number; never raises.

    A prefix in the cell ("cast", "drg no") outweighs ``heading_kind``. A placeholder ("n/a", "tbc")
    is no number and no problem. Digits that a spreadsheet turned into ``79807.0`` lose the ``.0``.
    """
    written = tidy(text)
    kind, body = heading_kind, written
    stock = read_stock_number(text)
    if stock is not None and (stock.problem or stock.form != "niin" or heading_kind == "stock"):
        normal = stock.normal if stock.valid else None
        return NumberReading(text, normal, "stock", stock.problem)
    if fold(body) in _PLACEHOLDER:
        return NumberReading(text, kind=kind)
    if match := _PREFIX.match(written):
        kind, body = _kind_of(match), written[match.end() :].strip()
    folded = fold(_BARE_PREFIX.sub("", body))
    if folded in _PLACEHOLDER:
        return NumberReading(text, kind=kind)
    folded = re.sub(r"(?<=\d)\.0$", "", folded) if re.fullmatch(r"\d+\.0", folded) else folded
    problem = _refusal(folded)
    return NumberReading(text, None if problem else normal_number(folded), kind, problem)


_TOKEN = re.compile(r"[^\W_]+(?:[./-][^\W_]+)*")
_AFTER_PREFIX = re.compile(rf"(?:[A-Z]{{1,3}} (?=\d))?{_TOKEN.pattern}")
_OTHER_SERIES = re.compile(
    r"(?:engine|eng|hull|chassis|serial|ser|s/n|reg|registration|frame|tel|phone|mob(?:ile)?)\.?"
    r"(?: nos?\.?| number)?[ :.#]*$",
    re.IGNORECASE,
)
_NO_NUMBER = re.compile(
    r"\d+(?:\.\d+)?(?:mm|cm|m|in|ft|v|volts?|w|watts?|a|amp|kg|lb|lbs|oz|cc|hp|bhp|th|st|nd|rd|thou|gal|"
    r"psi|ltr|l|off|no|pcs|x\S*)|m\d+(?:x\S+)?|mk\.?\w+|\d{1,4}([-/.])\d{1,2}\1\d{1,4}|\d+/\d+"
    r"|\d+(?:\.\d+)?|\d{1,3}\.\d+-\d\d|(?:19|20)\d{6}",
    re.IGNORECASE,
)
_NOT_HERE = re.compile(
    r"\S+@\S+|(?:https?://|www\.)\S+|\+\d[\d ]{8,}\d|(?<!\S)0\d{2,4} \d{3,}(?: \d+)*", re.IGNORECASE
)


def _is_number(token: str) -> bool:
    """Tell whether a bare word is surely a number: no size, date, year or rating."""
    if re.fullmatch(r"[1-9]\d{4,}|0\d{5,}", token) and not re.fullmatch(r"(?:19|20)\d{6}", token):
        return True
    normal = normal_number(token)
    return (
        len(normal) >= 5  # noqa: PLR2004 - shorter ones are ratings and sizes
        and len(re.findall(r"\d", token)) >= 3  # noqa: PLR2004 - as above
        and not _NO_NUMBER.fullmatch(token)
    )


@lru_cache(maxsize=100_000)
def numbers_in(text: str) -> tuple[NumberReading, ...]:
    """Find numbers inside free words, in order; those of engines, hulls and telephones are not.

    Prefixed numbers and stock numbers are found first, then words of five characters and three
    digits that are no date, size or rating (common practice, no source).
    """
    left = _NOT_HERE.sub(lambda match: " " * len(match[0]), tidy(text))
    found: list[tuple[int, NumberReading]] = []

    def take(start: int, end: int, reading: NumberReading) -> None:
        nonlocal left
        found.append((start, reading))
        left = left[:start] + " " * (end - start) + left[end:]

    for match in list(re.finditer(rf"(?<![\w-]){_NSN.pattern}(?![\w-])", left)):
        stock = read_stock_number(match[0])
        if stock is not None and stock.valid:
            take(match.start(), match.end(), NumberReading(match[0], stock.normal, "stock"))
    for prefix in list(_PREFIX.finditer(left)):
        token = _AFTER_PREFIX.match(left, prefix.end())
        if token is not None and re.search(r"\d", token[0]):
            reading = NumberReading(token[0], normal_number(token[0]), _kind_of(prefix))
            take(prefix.start(), token.end(), reading)
    for token in list(_TOKEN.finditer(left)):
        if _is_number(token[0]) and not _OTHER_SERIES.search(left[: token.start()]):
            reading = NumberReading(token[0], normal_number(token[0]))
            take(token.start(), token.end(), reading)
    return tuple(reading for _, reading in sorted(found, key=lambda pair: pair[0]))

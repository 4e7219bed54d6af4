"""Reading a quantity cell: how many there surely are, how many there can be, and of what hand.

``at_least`` is a number that surely holds, so doubt lowers it (common practice, no source):
"2?" and "maybe 2" count nothing; "about 5" counts one, "several" two, "lots" three, all open above.
Numbers that two readers could take for two values (1,000; 1.000; 2/3) are a problem, not a guess.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.words import load_words

from .amounts import Amount, RefusedError, number_words, read_amount, read_measured
from .text import fold


@dataclass(frozen=True, slots=True)
class QuantityReading:
    """What a quantity cell says; with a ``problem`` it says nothing: (0, open).

    ``at_least``/``at_most`` (None = open) count pieces, or units of measure where ``unit`` is one;
    pairs and dozens are counted in pieces, sets only where their size is said. ``per_side``: (side,
    at_least, at_most). ``special``: as-required, reference, variable, not-procurable, all.
    """

    text: str
    at_least: float = 0.0
    at_most: float | None = None
    unit: str | None = None
    per_side: tuple[tuple[str, float, float | None], ...] = ()
    special: str | None = None
    unserviceable: float | None = None
    of_total: float | None = None
    problem: str | None = None


_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)(?![a-z])"
)
_REFUSED_SHAPES = tuple(
    (re.compile(pattern), code)
    for pattern, code in (
        (r".*\d{7}.*", "too-many-digits"),
        (r".*[#$£€%].*|nan|inf|null|.*\d(?:st|nd|rd|th)\b.*|.*\d\.?e[+-]?\d.*", "not-a-quantity"),
        (r"(?:minus|negative) .*|- ?[\d.].*", "negative-quantity"),
        (r"\d{1,4}([-/.])\d{1,2}\1\d{1,4}(?:[ t]\d.*)?|.*\d:\d\d.*", "date-in-quantity"),
        (rf"\d{{1,2}}[ .-]?{_MONTH}.*|{_MONTH}[ .-]?'?\d.*", "date-in-quantity"),
        (r".*(?<![\d.])[1-9]\d{0,2}[.,]\d{3}(?!\d).*|.*\d,\d.*", "ambiguous-number"),
        (r"\d+ x \d+|\d+ \d+|no\.? ?\d+", "ambiguous-number"),
        (r"\d{5,}", "part-number-in-quantity"),
        (r"\d+ left", "ambiguous-side"),
    )
)
_PART_NUMBER = re.compile(
    r"(?=.*\d)(?:(?=.*[a-z])[a-z0-9]+(?:[-./][a-z0-9]+)*|\d+(?:[-./]\d+){2,})"
)
_NOISE = re.compile(
    r"\b(?:qty|quantity|no\.? off|number off|total of)\b ?[:=.]? ?"
    r"|\b(?:spares?|only|just|total|in total|in all|altogether|in stock|available|avail|required|"
    r"reqd|req'd|req|needed|need|wanted|want|have|got|left over|remaining|per vehicle|per veh|loose"
    r")\b[:.]?|/veh(?:icle)?\b"
)
_APPROXIMATE = re.compile(
    r"^(?:~|≈|approx(?:imately|\.)?|about|around|circa|ca?\.|ca? (?=\d)|roughly|say|nearly|almost"
    r"|some) ?(?=[\da])|-?ish$|(?<=\d) (?:or so|approx(?:imately|\.)?|odd)$"
)
_SIDES = {
    "left": r"lh|l/h|l\.h\.?|lhs|left(?:[ -]?hand)?(?: side)?",
    "right": r"rh|r/h|r\.h\.?|rhs|right(?:[ -]?hand)?(?: side)?",
    "near": r"n/s|ns|near ?side",
    "off": r"o/s|os|off ?side",
}
# A single letter is a side only where both letters stand together.
_BOTH_LETTERS = {**_SIDES, "left": _SIDES["left"] + "|l", "right": _SIDES["right"] + "|r"}
_SIDE = "(?:" + "|".join(_SIDES.values()) + r")(?![\w/])"
_LETTER_SIDE = "(?:" + "|".join(_BOTH_LETTERS.values()) + r")(?![a-z/])"
_FEW = r"\d{1,4}(?:\+| ?- ?\d{1,4})?"
_JOIN = r" ?(?:,|;|&|\+|and\b|plus\b)? ?"
_NUMBER_FIRST = rf"({_FEW}) ?(?:x |off |no\.? )?({_LETTER_SIDE})"
_SIDE_FIRST = rf"({_LETTER_SIDE}) ?[:=x]? ?({_FEW})"
_NUMBERS_FIRST = re.compile(rf"{_NUMBER_FIRST}(?:{_JOIN}{_NUMBER_FIRST})+")
_SIDES_FIRST = re.compile(rf"{_SIDE_FIRST}(?:{_JOIN}{_SIDE_FIRST})+")
_ONE_SIDE = re.compile(rf"({_FEW}) ?(?:x |off |no\.? )?({_SIDE})|({_SIDE}) ?[:=x]? ?({_FEW})")
_EACH_SIDE = re.compile(
    rf"({_FEW}) ?(?:off )?(?:of )?(?:each|ea\.?|per|a|/|to each|on each|for each) ?(?:side|hand)"
)
_EACH_OF = re.compile(
    rf"(?:({_FEW}) (?:of )?each(?: of)? )?({_LETTER_SIDE}) ?(?:&|\+|and) ?({_LETTER_SIDE})"
)
_HANDED_PAIR = re.compile(r"(?:1 )?(?:handed (?:pair|pr)|(?:pair|pr),? ?handed)|both sides")
_BRACKETED = re.compile(
    rf"(.+?)(?: ?[(\[](.+)[)\]]|,? ({_LETTER_SIDE} ?(?:&|\+|and) ?{_LETTER_SIDE}))"
)
_OF_TOTAL = re.compile(rf"({_FEW}) ?(?:out of|off? of|of|ex) (?:the |a |total )?(\d{{1,4}})")
_ALL_OF = re.compile(r"all (?:of )?(?:the )?(\d{1,4})")
_SUM = re.compile(r"(.*?\d.*?) ?(?:\+|&|\band\b|\bplus\b) ?(\d.*)")


@lru_cache(maxsize=1)
def _whole_cells() -> dict[str, dict[str, str]]:
    return {fold(row.words): dict(row.meanings) for row in load_words("quantity")}


@lru_cache(maxsize=1)
def _hedge() -> re.Pattern[str]:
    words = sorted((fold(row.words) for row in load_words("hedge")), key=len, reverse=True)
    return re.compile(
        "|".join(re.escape(w) if not w[0].isalnum() else rf"\b{re.escape(w)}\b" for w in words)
    )


@lru_cache(maxsize=1)
def _bad_forms() -> tuple[re.Pattern[str], ...]:
    rows = [row for row in load_words("condition") if row.meanings["service"] == "unserviceable"]
    words = sorted((fold(row.words) for row in rows), key=len, reverse=True)
    bad = "(?:" + "|".join(map(re.escape, words)) + r")(?!\w)\.?"
    aside = r"(?:[,;(\[-]|\bincl?\b\.?|\bincluding\b|\bof which\b|\bbut\b|\bwith\b)"
    return (
        re.compile(rf"({_FEW}) (?:good|ok|serviceable)(?: ?[,;&+]| and)? ?({_FEW}) {bad}"),
        re.compile(rf"({_FEW}) ?(?:\+|&|and|plus) ?({_FEW}) {bad}"),
        re.compile(
            rf"(.*?\d.*?) ?{aside} ?(?:incl?\.? |of which )?(\d+|all|both)?"
            rf"(?: is| are| of them)? ?{bad}[)\]]?"
        ),
        re.compile(rf"({_FEW})() {bad}"),
    )


def _side_of(word: str) -> str:
    return next(s for s, pattern in _BOTH_LETTERS.items() if re.fullmatch(pattern, word))


def _from_sides(text: str, sides: list[tuple[str, Amount]]) -> QuantityReading:
    """Make a reading of the counts per side, which must be two different ones of one kind."""
    names = [side for side, _ in sides]
    if len(set(names)) < len(names) or not (
        set(names) <= {"left", "right"} or set(names) <= {"near", "off"}
    ):
        raise RefusedError("words-not-read")
    highs = [amount.high for _, amount in sides]
    return QuantityReading(
        text,
        sum(amount.low for _, amount in sides),
        None if None in highs else sum(high for high in highs if high is not None),
        per_side=tuple((side, amount.low, amount.high) for side, amount in sides),
    )


def _read_sides(text: str) -> QuantityReading | None:  # noqa: PLR0911 - one return a form
    """Read "1 LH, 2 RH", "1 each side", "LH & RH"; None where no side is counted."""
    if _HANDED_PAIR.fullmatch(text):
        one = Amount(1.0, 1.0)
        return _from_sides(text, [("left", one), ("right", one)])
    if match := _EACH_SIDE.fullmatch(text):
        each = read_amount(match[1])
        return _from_sides(text, [("left", each), ("right", each)])
    if match := _EACH_OF.fullmatch(text):
        each = read_amount(match[1] or "1")
        return _from_sides(text, [(_side_of(match[2]), each), (_side_of(match[3]), each)])
    if _NUMBERS_FIRST.fullmatch(text):
        pairs = re.findall(_NUMBER_FIRST, text)
        return _from_sides(text, [(_side_of(side), read_amount(n)) for n, side in pairs])
    if _SIDES_FIRST.fullmatch(text):
        pairs = re.findall(_SIDE_FIRST, text)
        return _from_sides(text, [(_side_of(side), read_amount(n)) for side, n in pairs])
    if match := _ONE_SIDE.fullmatch(text):
        side, few = (match[2], match[1]) if match[1] else (match[3], match[4])
        return _from_sides(text, [(_side_of(side), read_amount(few))])
    return None


def _read_bad(text: str) -> QuantityReading | None:
    """Read how many of them do not work: "3 (1 u/s)", "2 good 1 bad"; None where not said."""
    for number, form in enumerate(_bad_forms()):
        match = form.fullmatch(text)
        if match is None:
            continue
        amount = read_measured(match[1].strip())
        adds = number < 2  # noqa: PLR2004 - the first two forms name good and bad ones apart
        bad = amount.low if match[2] in {"", None, "all", "both"} else read_amount(match[2]).low
        if adds:
            other = read_amount(match[2])
            highs = (amount.high, other.high)
            high = None if None in highs else sum(h for h in highs if h is not None)
            return QuantityReading(text, amount.low + other.low, high, unserviceable=other.low)
        if amount.high is not None and bad > amount.high:
            raise RefusedError("numbers-disagree")
        return QuantityReading(text, amount.low, amount.high, amount.unit, unserviceable=bad)
    return None


def _read_bracketed(text: str, outside: str, inside: str) -> QuantityReading:
    """Read "pair (LH & RH)", "1 set (4)", "4 (2 pairs)": both sides of it must agree."""
    main = read_measured(outside)
    if re.fullmatch(_SIDE, inside) and main.unit != "pair":
        return _from_sides(text, [(_side_of(inside), main)])
    if sides := _read_sides(inside):
        if (sides.at_least, sides.at_most) != (main.low, main.high):
            raise RefusedError("numbers-disagree")
        return QuantityReading(text, main.low, main.high, main.unit, sides.per_side)
    note = read_measured(inside)
    if main.unit in {"set", "kit", "box", "lot", "packet", "bag"} and note.unit is None:
        return QuantityReading(text, note.low, note.high, main.unit)
    if note.unit in {"set", "kit", "box", "lot", "packet", "bag"} and main.unit is None:
        return QuantityReading(text, main.low, main.high, note.unit)
    if (note.low, note.high) != (main.low, main.high):
        raise RefusedError("numbers-disagree")
    return QuantityReading(text, main.low, main.high, main.unit or note.unit)


@lru_cache(maxsize=1)
def _grade_words() -> re.Pattern[str]:
    """Return a pattern of a count and what says how good so many are: "1 poor"."""
    units = {row.words for row in load_words("unit")} - {"nos"}
    words = {fold(row.words) for row in load_words("condition") if row.meanings["grade"]}
    kept = sorted(words - units, key=len, reverse=True)
    return re.compile(rf"({_FEW}) (?:{'|'.join(map(re.escape, kept))})(?![\w/])")


_SOME_OF_THEM = re.compile(rf"({_FEW}) ?(?:[(\[,;]|\bincl?\b\.?|of which) ?({_FEW})[)\]]?")
_BESIDE = re.compile(r" ?[,;+&] ?| and | plus ")


def _read_graded(text: str) -> QuantityReading | None:
    """Read counts that say how good so many are; None where they do not.

    "2 good, 1 poor" are three, "2 + 1 poor" too; of "3 (2 good)" and "3, 2 good" two are part.
    """
    one = _grade_words()
    pieces = _BESIDE.split(text)
    if len(pieces) > 1 and all(one.fullmatch(piece) for piece in pieces):
        return _read(" + ".join(one.sub(r"\1", piece) for piece in pieces))
    plain = one.sub(r"\1", text)
    if plain == text:
        return None
    if one.match(text) and not one.fullmatch(text):
        return None  # "2 good (1 poor)": whether the first count holds the other is not clear
    if match := _SOME_OF_THEM.fullmatch(plain):
        all_of_them, some = read_amount(match[1]), read_amount(match[2])
        if all_of_them.high is not None and some.low <= all_of_them.high:
            return QuantityReading(text, all_of_them.low, all_of_them.high)
    return _read(plain)


def _read(text: str) -> QuantityReading:
    """Read a folded quantity that is neither empty, vague nor hedged."""
    try:
        return _read_plain(text)
    except RefusedError as refused:
        reading = _read_graded(text) if refused.code == "words-not-read" else None
        if reading is None:
            raise
        return reading


def _read_plain(text: str) -> QuantityReading:
    """Read a folded quantity without words for how good the parts are."""
    if reading := _read_sides(text) or _read_bad(text):
        return reading
    if match := _OF_TOTAL.fullmatch(text):
        part, total = read_amount(match[1]), float(match[2])
        if part.high is not None and part.high > total:
            raise RefusedError("numbers-disagree")
        return QuantityReading(text, part.low, part.high, of_total=total)
    if match := _ALL_OF.fullmatch(text):
        return QuantityReading(text, float(match[1]), float(match[1]), of_total=float(match[1]))
    if match := _BRACKETED.fullmatch(text):
        return _read_bracketed(text, match[1], match[2] or match[3])
    try:
        amount = read_measured(text)
    except RefusedError as refused:
        match = _SUM.fullmatch(text)
        if match is None or refused.code != "words-not-read":
            raise
        first, second = read_measured(match[1]), read_measured(match[2])
        if first.unit != second.unit:
            raise
        highs = (first.high, second.high)
        total_high = None if None in highs else sum(h for h in highs if h is not None)
        amount = Amount(first.low + second.low, total_high, first.unit)
    return QuantityReading(text, amount.low, amount.high, amount.unit)


def _foreign_digits(text: str) -> bool:
    """Tell whether digits stand there that are no plain digits: 2² (a footnote), ①, ٢."""
    return any(
        unicodedata.category(char) in {"Nd", "No", "Nl"}
        and not char.isascii()
        and not unicodedata.decomposition(char).startswith("<fraction>")
        for char in text
    )


def _why(text: str) -> str:
    """Return the problem code of a text that no form fits."""
    if _PART_NUMBER.fullmatch(text):
        return "part-number-in-quantity"
    return "words-not-read" if re.search(r"\d", text) else "not-a-quantity"


def _vague(text: str, cell: dict[str, str]) -> QuantityReading:
    return QuantityReading(
        text,
        float(cell["at_least"]),
        float(cell["at_most"]) if cell["at_most"] else None,
        special=cell["special"] or None,
        problem=cell["problem"] or None,
    )


def _interpret(text: str) -> QuantityReading:
    """Read a folded, non-empty quantity; RefusedError where it cannot be read."""
    bare = text.strip(" .!;:,") or text
    bare = re.sub(r"^[(\[]([^()\[\]]*)[)\]]$", r"\1", bare).strip()
    cells = _whole_cells()
    for form in (text, bare):
        if form in cells:
            return _vague(text, cells[form])
    bare = number_words(bare)
    for pattern, code in _REFUSED_SHAPES:
        if pattern.fullmatch(bare):
            raise RefusedError(code)
    sure = " ".join(_hedge().sub(" ", bare).split())
    if sure in cells and not cells[sure]["problem"]:
        return QuantityReading(text, special=cells[sure]["special"] or None)
    close = " ".join(_APPROXIMATE.sub("", sure).split())
    reading = _read(" ".join(_NOISE.sub(" ", number_words(close)).split()))
    if sure != bare:
        return QuantityReading(text, 0.0, None, reading.unit)
    if close != sure:
        return QuantityReading(text, 1.0 if reading.at_least > 1 else 0.0, None, reading.unit)
    return reading


@lru_cache(maxsize=100_000)
def read_quantity(text: str) -> QuantityReading:
    """Read a quantity cell.

    Never raises. Problem codes: not-a-quantity, words-not-read, negative-quantity,
    ambiguous-number, ambiguous-unit, ambiguous-side, range-reversed, numbers-disagree,
    too-many-digits, date-in-quantity, part-number-in-quantity, unit-without-number,
    side-without-number, mark-without-number, ditto.
    """
    folded = fold(text)
    if not folded:
        return QuantityReading(text)
    if len(folded) > 80:  # noqa: PLR2004 - no count takes more words; also bounds the patterns
        code = "too-many-digits" if re.search(r"\d{7}", folded) else "not-a-quantity"
        return QuantityReading(text, problem=code)
    if _foreign_digits(text):
        return QuantityReading(text, problem="not-a-quantity")
    try:
        got = _interpret(folded)
    except RefusedError as refused:
        code = _why(folded) if refused.code == "words-not-read" else refused.code
        return QuantityReading(text, problem=code)
    if got.problem:
        return QuantityReading(text, problem=got.problem)
    return QuantityReading(
        text, got.at_least, got.at_most, got.unit, got.per_side, got.special,
        got.unserviceable, got.of_total,
    )  # fmt: skip


def quantity_text(at_least: float, at_most: float | None) -> str:
    """Return a range as text that ``read_quantity`` reads back: "2", "2-3", "10+", "?"."""
    low = f"{at_least:g}"
    if at_most is None:
        return f"{low}+" if at_least else "?"
    if at_least == at_most:
        return low
    return f"{low}-{at_most:g}" if at_least else f"up to {at_most:g}"

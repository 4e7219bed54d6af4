"""What a parts list says of the two hands of a part in one row: "LH shown, RH opposite".

One drawing or row stands for both. A number is one hand's only where the words say which; by order,
odd and even, or -1 and -2 nothing is settled.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .text import tidy

_SIDE = r"(?:l\.?/?h\.?|r\.?/?h\.?|left|right)(?![\w/])(?:-hand| hand)?(?: side)?"
_FILLER = r"(?:is|are|as|to|be|but|the|of|for|same|similar|identical|handed|side|part|item|one|,)"
_SHOWN = r"(?:shown|drawn|illustrated|illus\.?|depicted|pictured)"
_OPPOSITE = (
    r"(?:opp(?:osite)?(?!\w)\.?(?: ?/? ?(?:hand(?:ed)?|hd)\b\.?)?|mirror(?:ed| image)?\b"
    r"|(?:to )?(?:the )?other hand\b)"
)
_NUMBER = r"(?:[A-Z]{1,4} (?=\d))?[A-Z0-9./-]*\d[A-Z0-9./-]*"


def _bracketed(pattern: str) -> re.Pattern[str]:
    """Return a pattern in which brackets may stand wherever there is a space."""
    loose = pattern.replace(" ?", r"[\s()]*").replace(" ", r"[\s()]+")
    return re.compile(loose, re.IGNORECASE)


_IS_SHOWN = _bracketed(
    rf"\b{_SHOWN}(?: (?:is|as|the|,))* (?P<other>{_SIDE})(?!,? {_SHOWN})"
    rf"|\b(?P<side>{_SIDE})(?: {_FILLER})*,? {_SHOWN}"
)
_IS_OPPOSITE = _bracketed(
    rf"\b(?P<side>{_SIDE})(?:,? {_FILLER})*,? {_OPPOSITE}(?:,? (?:of|to|from) {_SIDE}"
    rf"|(?!,? (?:is |for |hand )*{_SIDE}))"
    rf"(?:[,:=]? (?:is |no\.? |p/?n |part no\.? )*(?P<number>{_NUMBER})(?![\w]))?"
    rf"|\b{_OPPOSITE},?(?: (?:is|for|hand|part))* (?P<other>{_SIDE})"
)
_OPPOSITE_ALONE = re.compile(rf"(?:^|[,(;]\s*){_OPPOSITE}\)?$", re.IGNORECASE)
_DENIED = re.compile(r"\b(?:not|non|never|isn't)\b", re.IGNORECASE)
_EDGES = re.compile(r"^[\s,;:.(\[-]+|[\s,;:(\[-]+$")
_CUT = re.compile(rf"[\s(\[]*(?<![\w/])({_SIDE})[)\].:=]*", re.IGNORECASE)
_STRIPPED = " ,;/&+()[]:="
_SUFFIXES = re.compile(
    rf"[,(\s]*(?<![\w-])(?P<one>-?\d{{1,3}})[ (]*(?P<first>{_SIDE})\)?(?:[ ,;/&+]|and)*"
    rf"(?P<two>-?\d{{1,3}})[ (]*(?P<second>{_SIDE})\)*",
    re.IGNORECASE,
)
_PAIR = re.compile(
    r"(?P<base>.*\w.*?)(?P<one>\d{1,3}|(?<=[\d-])[A-Z])\s*(?:/|&|,|\band\b)\s*-?"
    r"(?P<two>\d{1,3}|[A-Z])",
    re.IGNORECASE,
)
_TWO_NUMBERS = re.compile(
    r"(?P<one>\S.*\d\S*)\s*(?:\s/\s|/|&|,|;|\band\b)\s*(?P<two>(?:[A-Z]{1,4} )?\S*\d\S*)"
)
_HAND = r"(?:l\.?/?h\.?|r\.?/?h\.?|left|right)"
_OF_BOTH = re.compile(
    rf"(?P<number>\S.*?\d\S*)[\s,;]*[\s(\[-]*\b(?P<one>{_HAND})\s*(?:/|&|\+|,|\band\b)\s*"
    rf"(?P<two>{_HAND})[)\].]*",
    re.IGNORECASE,
)
#: Without one of these no cell speaks of two hands; asked of whole columns first.
LIKELY = (
    rf"(?i)\b{_SHOWN}|\bopp(?:osite)?\b|\bmirror|\bother hand\b"
    r"|(?:\bl/?h\b|\bleft\b).*(?:\br/?h\b|\bright\b)|(?:\br/?h\b|\bright\b).*(?:\bl/?h\b|\bleft\b)"
)


@dataclass(frozen=True, slots=True)
class HandsReading:
    """Both hands in one row: ``shown`` is the hand its number is of, where that is said.

    ``opposite``: the number said to be the other hand's, as written. ``rest``: the words without
    these. ``asked``: what a person must settle; then ``shown`` may be None.
    """

    shown: str | None
    opposite: str | None = None
    rest: str = ""
    asked: str | None = None


def _hand(words: str) -> str:
    return "left" if words.strip().lower().startswith("l") else "right"


def other_hand(hand: str) -> str:
    """Return the opposite of left or right."""
    return "right" if hand == "left" else "left"


@lru_cache(maxsize=20_000)
def read_hands(text: str) -> HandsReading | None:
    """Read what a text says of a hand shown and the opposite one; None where it says nothing."""
    words = tidy(text)
    opposite = _IS_OPPOSITE.search(words)
    shown = _IS_SHOWN.search(words)
    if opposite is None and shown is None:
        return None
    found = [match for match in (opposite, shown) if match is not None]
    said = words[min(m.start() for m in found) : max(m.end() for m in found)]
    if _DENIED.search(said):
        return None
    rest = words
    for match in sorted(found, key=lambda one: -one.start()):
        rest = rest[: match.start()] + " " + rest[match.end() :]
    rest = re.sub(r"[(\[][\s,;:&.-]*[)\]]", " ", rest)
    rest = _EDGES.sub("", " ".join(rest.split()))
    if rest.count(")") > rest.count("("):
        rest = rest.rstrip(" ,;:()")
    mine = _hand(shown["side"] or shown["other"]) if shown else None
    theirs = _hand(opposite["side"] or opposite["other"]) if opposite else None
    if theirs is None:
        return HandsReading(None, None, rest, f"'{said}': does the other hand belong here too?")
    if mine == theirs:
        return HandsReading(None, None, rest, f"'{said}': which hand is the opposite one?")
    number = opposite["number"] if opposite else None
    return HandsReading(mine or other_hand(theirs), number, rest,
                        None if mine else f"'{said}': is the number the {other_hand(theirs)} "
                        "hand's?")  # fmt: skip


def without_side(name: str) -> str:
    """Return a name without the hand it names, but with its positions."""
    return " ".join(re.sub(rf"[\s,(\[]*(?<![\w/]){_SIDE}[)\].]*", " ", name, flags=re.IGNORECASE)
                    .split())  # fmt: skip


def opposite_of_nothing(text: str) -> bool:
    """Tell whether words say "opposite hand" without saying of which."""
    words = tidy(text)
    return (
        _OPPOSITE_ALONE.search(words) is not None
        and re.search(r"hand|opp", words, re.IGNORECASE) is not None
        and not _DENIED.search(words)
        and read_hands(words) is None
    )


def with_suffix(number: str, suffix: str) -> str:
    """Return the number of which only the end is written: H-105-3 and "-4" or "4": H-105-4."""
    end = suffix.lstrip("-/ ")
    if re.search(r"[A-Za-z]", end) and len(end) > 1:
        return suffix
    head = re.match(r"(.*?[-/ .])(\d{1,3}|[A-Za-z])$", number)
    if suffix[:1] in "-/" and head:
        return head[1] + end
    if len(end) < len(number):
        return number[: len(number) - len(end)] + end
    return suffix


@lru_cache(maxsize=20_000)
def numbers_of_hands(text: str) -> dict[str, str]:
    """Return the number of each hand that a cell says: "H-109-1 LH -2 RH"; maybe of one hand."""
    pieces = _CUT.split(tidy(text))
    sides, between = pieces[1::2], [piece.strip(_STRIPPED) for piece in pieces[0::2]]
    if not sides or len(sides) > 2:  # noqa: PLR2004 - there are two hands
        return {}
    if between[0] and not between[-1]:
        numbers = between[:-1]
    elif not between[0] and between[-1]:
        numbers = between[1:]
    else:
        return {}
    hands = [_hand(side) for side in sides]
    if len(set(hands)) < len(hands) or not all(re.search(r"\d", one) for one in numbers):
        return {}
    if len(numbers) > 1 and len(numbers[1]) < len(numbers[0]):
        numbers[1] = with_suffix(numbers[0], numbers[1])
    return dict(zip(hands, numbers, strict=True))


@lru_cache(maxsize=20_000)
def number_of_both(text: str) -> str | None:
    """Return the one number that a cell gives for both hands: "H-112 LH & RH", or None."""
    match = _OF_BOTH.fullmatch(tidy(text).strip())
    return match["number"] if match and _hand(match["one"]) != _hand(match["two"]) else None


@lru_cache(maxsize=20_000)
def suffixes_of_hands(text: str, number: str) -> tuple[dict[str, str], str]:
    """Return each hand's number where words give only its end ("-1 LH -2 RH"), and the rest."""
    match = _SUFFIXES.search(tidy(text))
    if match is None or _hand(match["first"]) == _hand(match["second"]):
        return {}, text
    ends = [match[name].lstrip("-") for name in ("one", "two")]
    base = number
    for end in ends:
        if base.endswith(f"-{end}"):
            base = base.removesuffix(f"-{end}")
            break
    found = dict(zip((_hand(match["first"]), _hand(match["second"])),
                     (f"{base}-{end}" for end in ends), strict=True))  # fmt: skip
    words = tidy(text)
    return found, _EDGES.sub("", f"{words[: match.start()]} {words[match.end() :]}".strip())


@lru_cache(maxsize=20_000)
def pair_of_numbers(text: str) -> tuple[str, str] | None:
    """Return two numbers side by side, "H-105-3/4"; which is which hand's is not said."""
    words = tidy(text).strip()
    if match := _PAIR.fullmatch(words):
        one, two = match["one"], match["two"]
        follows = (int(two) - int(one) == 1) if one.isdigit() and two.isdigit() else (
            len(one) == len(two) == 1 and one.isalpha() and two.isalpha() and one != two
        )  # fmt: skip
        if follows:
            return match["base"] + one, match["base"] + two
    if (match := _TWO_NUMBERS.fullmatch(words)) and len(match["two"]) > 3:  # noqa: PLR2004 - no mere end
        return match["one"].strip(), match["two"].strip()
    return None

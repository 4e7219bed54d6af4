"""Words for hardware cut into tokens: numbers with their units, connectors, words."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

#: ``number``, ``x`` (10 x 40), ``-`` (3/8-16), ``word``; ``unit`` of a number: in, mm, M, #, tpi.
Kind = str


@dataclass(frozen=True, slots=True)
class Token:
    """A number, a connector or a word; ``text`` is folded, ``plain`` a whole number unmarked."""

    kind: Kind
    text: str
    value: Fraction = Fraction(0)
    unit: str = ""

    @property
    def whole(self) -> bool:
        """Whether it is a whole number that says no unit."""
        return self.kind == "number" and not self.unit and self.value.denominator == 1


_LONGEST_WHOLE: Final = 12  # "2 1/4" is one number, "20 1/2" is hardly

_GLUED: Final = re.compile(r"\b(bsf|bsw|bspt|bsp|whit|unc|unf|npt|ba)(?=\d)")
_COUNT: Final = re.compile(r"\(?\b\d+\s*(?:off|nos|pcs|pieces|ea|each)\b\.?\)?")  # "(4 off)"
_INITIALS: Final = re.compile(r"\b(?:[a-z]\.){2,}(?:[a-z]\b)?")
_PATTERN: Final = re.compile(
    r"""
      (?P<tpi>(?:\d+\s)?\d+(?:[./]\d+)?)\s*(?:tpi\b|(?:threads?|thds?)\.?\s*
          (?:per|/|to\sthe|to\san)\s*in(?:ch)?\b\.?)
    | (?P<code>2rs\w?|2rs\w\w|2z\b|[123][ab]\b|a[24]\b)
    | (?<![a-z\d])m\s?(?P<metric>\d+(?:\.\d+)?)(?![\d/])
    | (?:\#|\bno\b\.?|\bnr\b\.?)\s*(?P<gauge>\d{1,2})(?![\d/.])
    | (?P<mixed>(?P<whole>\d{1,2})[ .-]\s?(?P<over>\d{1,2})/(?P<under>\d{1,2})(?!\d))
    | (?P<fraction>\d{1,3}/\d{1,3}(?!\d))
    | (?P<decimal>\d{3,5}(?=2rs|2z\b)|\d*\.\d+|\d+)
    | (?P<times>[*]|(?<![a-z])x(?=\s*[\d.]))
    | (?P<maker>(?<![a-z])[a-z]{1,4}\d+[a-z\d]*(?:/\d+)?)
    | (?P<quoted>'[a-z]'|"[a-z]")
    | (?P<slashed>\b[a-z]/[a-z]+\b)
    | (?P<word>[a-z]+(?:'[a-z]+)?)
    | (?P<degree>°)
    | (?P<dash>-)
    """,
    re.VERBOSE,
)
_UNIT: Final = re.compile(r"\s*(?:(\"|''|in(?:ch(?:es)?|s)?\b\.?)|(mm\b\.?))")
_QUOTED: Final = re.compile(r"\s*\"[a-z]\"")  # the sign before a letter in quotes is no inch
_BINARY: Final = frozenset({2, 4, 8, 16, 32, 64})


def fold_words(text: str) -> str:
    """Return text with one sign for each thing: plain fractions, quotes, small letters."""
    signs = []
    for sign in text:
        value = unicodedata.normalize("NFKC", sign) if unicodedata.category(sign) == "No" else ""
        if "\u2044" in value:
            signs.append(" " + value.replace("\u2044", "/"))
        else:
            signs.append(sign)
    folded = "".join(signs).casefold()
    for odd, plain in (
        ("\u2044", "/"), ("×", " x "), ("\u201d", '"'), ("\u201c", '"'), ("\u2033", '"'),
        ("\u2019", "'"), ("\u2018", "'"), ("\u2032", "'"), ("\u2013", "-"), ("\u2014", "-"),
        ("º", "°"), ("&", " and "),
    ):  # fmt: skip
        folded = folded.replace(odd, plain)
    folded = _INITIALS.sub(lambda found: found.group().replace(".", "") + " ", folded)
    folded = _COUNT.sub(" ", folded)
    return " ".join(_GLUED.sub(r"\1 ", folded).split())


def tokens_of(text: str) -> tuple[Token, ...]:
    """Return the tokens of a text, folded; a dash counts between numbers only."""
    folded = fold_words(text)
    found: list[Token] = []
    at = 0
    while match := _PATTERN.search(folded, at):
        at = match.end()
        token = _token(match)
        if token.kind == "number" and not token.unit:
            marked = _UNIT.match(folded, at)
            if marked and not _QUOTED.match(folded, marked.start()):
                at = marked.end()
                unit = "in" if marked.group(1) else "mm"
                token = Token("number", token.text, token.value, unit)
        found.append(token)
    return tuple(
        token
        for place, token in enumerate(found)
        if token.kind != "-"
        or (
            0 < place < len(found) - 1
            and found[place - 1].kind == found[place + 1].kind == "number"
        )
    )


def _token(match: re.Match[str]) -> Token:
    text = match.group()
    for name, unit in (("tpi", "tpi"), ("metric", "M"), ("gauge", "#"), ("decimal", "")):
        if said := match.group(name):
            value = sum((Fraction(part) for part in said.split()), Fraction(0))
            plain = text.replace(" ", "") if unit == "M" else text
            return Token("number", plain, value, unit)
    if match.group("mixed"):
        return _fraction(text, *(int(match.group(n)) for n in ("whole", "over", "under")))
    if match.group("fraction"):
        over, under = text.split("/")
        return _fraction(text, 0, int(over), int(under))
    if match.group("times") or text in {"x", "by"}:
        return Token("x", text)
    return Token("-" if match.group("dash") else "word", text)


def _fraction(text: str, whole: int, over: int, under: int) -> Token:
    """Return a fraction of an inch; "6205/10" and "3/26" are none."""
    if under not in _BINARY or over >= under or whole > _LONGEST_WHOLE:
        return Token("word", text)
    return Token("number", text, whole + Fraction(over, under))

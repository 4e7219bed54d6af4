"""Paragraphs to sentences, sentences to words.

Quotes and dashes are written one way first; contractions are opened ("isn't": is not), so that
the sayings need one spelling only. Every word keeps its place in the sentence as it stands.
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass
from typing import NamedTuple

from .contractions import opened
from .expressions import expression
from .roles import words_of

_ODD = str.maketrans({
    "\u2018": "'", "\u2019": "'", "\u201b": "'", "\u2032": "'", "`": "'", "\u201c": '"',
    "\u201d": '"', "\u2033": '"', "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-",
    "\u2014": "-", "\u2015": "-", "\u00a0": " ", "\u2026": "...", "\t": " ",
})  # fmt: skip
#: What ends with a point and ends no sentence (common practice, no source).
_SHORT = sorted(words_of("short"))
_SHORT_END = expression(rf"(?:^|[\s(])(?:{'|'.join(map(re.escape, _SHORT))}|[A-Z])\.$",
                        re.IGNORECASE)  # fmt: skip
_BLANKS = expression(r" {2,}")
_ENDS = expression(r"[.!?]+[\"')\]]*(?=\s|$)")
_INITIALS = expression(r"(?:^|[\s(])(?:[A-Z]\.)+$")

_WORD = expression(
    r"\d{1,2}/\d{1,2}/\d{2,4}|\d{4}-\d{2}-\d{2}"
    r"|(?:[A-Za-z]\.){2,}"
    r"|[A-Za-z]/[A-Za-z](?:/[A-Za-z])?\b|[A-Za-z]/[A-Za-z]{2,}\b"
    r"|[£$€]?\d+(?:[.,:]\d+)*(?:[A-Za-z]+)?(?:[-/]\d+[A-Za-z]?)*"
    r"|[^\W\d_]+(?:'(?!s\b)[^\W\d_]+)*(?:-[^\W_]+)*\d*"
    r"|'s\b|'(?=\s|$)|\.\.\.|--+|[^\w\s]"
)


class Word(NamedTuple):
    """One word or sign: as written, folded, where it stands in the opened sentence.

    ``capital``: whether it begins with a capital letter.
    """

    text: str
    low: str
    start: int
    end: int
    capital: bool


@dataclass(frozen=True)
class Sentence:
    """A sentence as it stands in the note, and its words with contractions opened."""

    text: str
    words: tuple[Word, ...]
    first: bool = False  # of its paragraph

    @functools.cached_property
    def lows(self) -> tuple[str, ...]:
        """Its words, folded."""
        return tuple([word.low for word in self.words])

    @functools.cached_property
    def low(self) -> str:
        """Its words, folded, with a blank between."""
        return " ".join(self.lows)

    @functools.cached_property
    def asks(self) -> bool:
        """Whether it ends with a question mark."""
        return self.text.rstrip(" \"')").endswith("?")


def tidy(text: str) -> str:
    """Return text with quotes, dashes and blanks written one way."""
    text = text.translate(_ODD)
    if "...." in text:
        text = re.sub(r"\s*\.{4,}\s*", " - ", text)  # leaders before a price
    return (_BLANKS.sub(" ", text) if "  " in text else text).strip()


def split_sentences(text: str) -> list[str]:
    """Split a paragraph into sentences; abbreviations, initials and decimals end none."""
    text = tidy(text)
    found: list[str] = []
    start = 0
    small = text[:1].islower() and not re.search(r"[.!?] +[A-Z]", text)  # no capitals at all
    for end in _ENDS.finditer(text):
        piece = text[start : end.end()]
        after = text[end.end() :].lstrip()
        if end[0].startswith(".") and len(end[0].rstrip("\"')]")) == 1:
            if _SHORT_END.search(piece) or _INITIALS.search(piece):
                if not after or not _begins_anew(piece, after):
                    continue
            elif after[:1] in ",;" or (after[:1].islower() and not small):
                continue
        elif end[0].startswith("...") and (after[:1].islower()):
            continue
        found.append(piece.strip())
        start = end.end()
    rest = text[start:].strip()
    return [piece for piece in [*found, rest] if piece]


def _begins_anew(piece: str, after: str) -> bool:
    """Tell whether a sentence may end at an abbreviation: a capital follows, no name or number."""
    last = piece.rsplit(None, 1)[-1].strip("(").lower().rstrip(".")
    titles = {"mr", "mrs", "ms", "dr", "st", "mk", "no", "nos", "nr", "fig", "approx", "v", "vs",
              "tel"}  # fmt: skip
    if last in titles or len(last) == 1:
        return False
    return bool(re.match(r"[A-Z][a-z]+\b", after))


def sentence_of(text: str, *, first: bool = False) -> Sentence:
    """Return a sentence with its words."""
    open_text = opened(tidy(text))
    words = tuple(
        Word(word, _folded(word), *found.span(), word[0].isupper())
        for found in _WORD.finditer(open_text)
        for word in (found[0],)
    )
    return Sentence(text, words, first)


@functools.lru_cache(maxsize=50_000)
def _folded(word: str) -> str:
    low = word.casefold()
    # o.s. -> o/s, as the trade's tables have it
    if low[1:2] == "." and re.fullmatch(r"(?:[a-z]\.){2,}", low):
        letters = low.replace(".", "")
        return "/".join(letters) if letters in {"ns", "os", "lh", "rh", "us"} else letters
    return low


def sentences_of(paragraph: str) -> list[Sentence]:
    """Return a paragraph's sentences with their words."""
    return [
        sentence_of(text, first=number == 0)
        for number, text in enumerate(split_sentences(paragraph))
    ]

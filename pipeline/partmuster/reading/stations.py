"""Where a part sits beside its hand: positions (front, upper) and stations (axle 2, bank A)."""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass
from functools import lru_cache

from partmuster_trade.words import load_words

#: The order in which positions are given.
POSITIONS = ("front", "rear", "upper", "lower", "inner", "outer", "centre", "top", "bottom")

# l/h, n/s/f and lh/rh are one word; front/rear is two.
_WORD = re.compile(
    r"(?:[^\W\d_]\.){2,}|(?:[^\W\d_]\.)+[^\W\d_](?!\w)"
    r"|[^\W_]{1,2}(?:/[^\W_]{1,2})+(?![^\W_])|[^\W_]+(?:'[^\W_]+)*"
)
_NOUNS = {
    "station": r"(?:wheel )?(?:stations?|stn\.?|sta\.?)",
    "axle": r"axles?",
    "cylinder": r"cyl(?:inder)?s?\.?",
    "bogie": r"bogies?",
    "road wheel": r"road ?wheels?",
    "roller": r"(?:return |top |support )?rollers?",
}
_IDS = r"\d{1,2}(?: ?(?:-|&|and|to|,) ?\d{1,2})*(?![\d./-]|st\b|nd\b|rd\b|th\b)"
_NOT_COUNT = r"(?! ?(?:off|no|nos|pcs|x|ea|sets?|pairs?)\b)"
_ORDINALS = {"first": "1", "second": "2", "third": "3", "fourth": "4", "fifth": "5", "sixth": "6"}
_ORDINAL = r"(?:(\d{1,2})(?:st|nd|rd|th)|(" + "|".join(_ORDINALS) + r"))"
_NUMBERED = re.compile(r"\d|" + "|".join(_ORDINALS), re.IGNORECASE)
_BANK = re.compile(
    r"\bbank ([A-D])\b|\b([A-D]) bank\b|\b(left|right|l/?h|r/?h)(?:[ -]hand)? bank\b", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Word:
    """A word and its span in the tidied text; dotted letters are closed up (L.H. -> lh)."""

    norm: str
    start: int
    end: int


def words_of(text: str) -> tuple[Word, ...]:
    """Return the words of a tidied text with their spans."""
    return tuple(
        Word(match[0].casefold().replace(".", ""), match.start(), match.end())
        for match in _WORD.finditer(text)
    )


@lru_cache(maxsize=8)
def _phrases(table: str) -> tuple[dict[tuple[str, ...], dict[str, str]], dict[str, int]]:
    """Return the phrases of a table by their words, and the longest length by first word."""
    rows = {
        tuple(word.norm for word in words_of(row.words)): dict(row.meanings)
        for row in load_words(table)
    }
    longest: dict[str, int] = {}
    for key in rows:
        longest[key[0]] = max(longest.get(key[0], 0), len(key))
    return rows, longest


def phrases_in(text: str, words: tuple[Word, ...], table: str) -> list[tuple[Word, dict[str, str]]]:
    """Return phrases of a table, longest first; only a space or hyphen may part their words."""
    rows, longest = _phrases(table)
    found = []
    place = 0
    while place < len(words):
        for length in range(min(longest.get(words[place].norm, 0), len(words) - place), 0, -1):
            run = words[place : place + length]
            meanings = rows.get(tuple(word.norm for word in run))
            gaps = (text[a.end : b.start].strip() for a, b in itertools.pairwise(run))
            if meanings is not None and all(gap in {"", "-"} for gap in gaps):
                norm = " ".join(word.norm for word in run)
                found.append((Word(norm, run[0].start, run[-1].end), meanings))
                place += length
                break
        else:
            place += 1
    return found


def find_positions(text: str, words: tuple[Word, ...]) -> list[tuple[Word, str]]:
    """Return the position words in a tidied text, each with the position it means."""
    return [
        (word, meanings["position"])
        for word, meanings in phrases_in(text, words, "position")
        if meanings["position"]
    ]


@lru_cache(maxsize=1)
def _station_forms() -> tuple[tuple[str, re.Pattern[str]], ...]:
    forms = []
    for name, noun in _NOUNS.items():
        pattern = (
            rf"\b{noun},? ?(?:nos?\b\.? ?|#)?(?P<after>{_IDS}){_NOT_COUNT}"
            rf"|(?:\bnos?\b\.? ?|#)(?P<before>{_IDS}) {noun}(?!\w)"
            rf"|\b{_ORDINAL} {noun}(?!\w)"
        )
        forms.append((name, re.compile(pattern, re.IGNORECASE)))
    return tuple(forms)


def find_station(text: str) -> tuple[str | None, int, int]:
    """Return the station named ("station 3", "axle 2", "bank left") and its span."""
    if match := _BANK.search(text):
        letter = match[1] or match[2]
        hand = "left" if (match[3] or "").lower().startswith("l") else "right"
        return f"bank {letter.upper() if letter else hand}", match.start(), match.end()
    if not _NUMBERED.search(text):
        return None, 0, 0
    for name, form in _station_forms():
        if match := form.search(text):
            ordinal = match[3] or _ORDINALS.get((match[4] or "").lower(), "")
            ids = match["after"] or match["before"] or ordinal
            ids = re.sub(r" ?(?:to|-) ?", "-", re.sub(r" ?(?:and|&|,) ?", "&", ids))
            return f"{name} {ids}", match.start(), match.end()
    return None, 0, 0

"""What column headings and sheet titles mean, as data: heading words to fields, titles to kinds."""

from __future__ import annotations

import csv
import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

_APOSTROPHES = re.compile("['’‘`]")
_NOT_WORD = re.compile(r"[\W_]+")


@dataclass(frozen=True, slots=True)
class HeadingMeaning:
    """One field that a heading may stand for.

    ``kinds`` are the kinds of table in which it does so (empty = any); ``tells`` is the kind the
    words themselves speak for (empty = none); ``rank`` orders the meanings of one heading, the
    first being the likeliest.
    """

    field: str
    kinds: tuple[str, ...]
    tells: str
    rank: int


def fold_heading(text: str) -> str:
    """Return a heading for comparing: ``"Pt. No."`` and ``"pt_no"`` both give ``"pt no"``."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    plain = _APOSTROPHES.sub("", plain).replace("#", " no ").replace("&", " and ")
    return _NOT_WORD.sub(" ", plain).strip()


@cache
def heading_meanings() -> dict[str, tuple[HeadingMeaning, ...]]:
    """Return every known heading, folded, with the fields it may stand for, likeliest first."""
    found: dict[str, list[HeadingMeaning]] = {}
    for row in _rows("headings.csv"):
        kinds = tuple(_split(row["kinds"]))
        for words in _split(row["words"]):
            meanings = found.setdefault(fold_heading(words), [])
            meanings.append(HeadingMeaning(row["field"], kinds, row["tells"], len(meanings)))
    return {heading: tuple(meanings) for heading, meanings in found.items()}


@cache
def title_kinds() -> dict[str, str]:
    """Return words of titles and sheet names, folded, with the kind of table they speak for."""
    return {
        fold_heading(words): row["kind"]
        for row in _rows("table_titles.csv")
        for words in _split(row["words"])
    }


@cache
def have_or_want_headings() -> dict[str, str]:
    """Return headings, folded, of columns that say what is held and what is wanted.

    ``have``, ``offer`` (held, and to be had), ``want``, ``short`` (wanted beyond what is held),
    ``required`` (wanted in all, or still wanted: it does not say), ``either`` (one of them a row).
    """
    return {
        fold_heading(words): row["says"]
        for row in _rows("have_want_headings.csv")
        for words in _split(row["words"])
    }


def _rows(name: str) -> list[dict[str, str]]:
    """Return the rows of one data file of this package."""
    text = (files("partmuster_trade") / "data" / name).read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))


def _split(text: str) -> list[str]:
    """Return the non-empty parts of a ';'-separated cell."""
    return [part.strip() for part in text.split(";") if part.strip()]

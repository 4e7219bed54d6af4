"""Spellings and general words that differ between countries: aluminium, grey, lorry."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Literal

from partmuster_trade.tables import bundled_rows, split_list


@dataclass(frozen=True, slots=True)
class GeneralWord:
    """A word that is no part, with what each country writes.

    `kind`: spelling (of a word within part names), vehicle (lorry, truck) or side (nearside).
    """

    kind: Literal["spelling", "vehicle", "side"]
    word: str
    names_uk: tuple[str, ...]
    names_us: tuple[str, ...]
    names_au: tuple[str, ...]
    note: str
    source: str


@functools.cache
def general_words() -> tuple[GeneralWord, ...]:
    """Return all general words."""
    return tuple(
        GeneralWord(
            row["kind"],  # type: ignore[arg-type]  # a test holds the file to the three kinds
            row["word"],
            split_list(row["names_uk"]),
            split_list(row["names_us"]),
            split_list(row["names_au"]),
            row["note"],
            row["source"],
        )
        for row in bundled_rows("general_words.csv")
    )


@functools.cache
def _to_uk() -> dict[str, str]:
    return {
        variant: word.word
        for word in general_words()
        if word.kind == "spelling"
        for variant in (*word.names_uk, *word.names_us, *word.names_au)
    }


def uk_spelling(text: str) -> str:
    """Return a text with each word that has one put into its UK spelling, in lower case.

    Only spelling changes ("gray center gage" is "grey centre gauge"); a word that is another
    word elsewhere ("fender") is left alone.
    """
    table = _to_uk()
    return " ".join(table.get(word, word) for word in text.casefold().split())

"""Finding the phrases of a table of trade words in a text, the longest first."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from partmuster_trade.words import load_words

from .text import fold

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

_DOTTED = re.compile(r"\b(?:[a-z]\.){2,}(?![a-z])|\b(?:[a-z]\.)+[a-z]\b")
_TOKEN = re.compile(r"[a-z0-9]+(?:/[a-z0-9]+)*(?:'[a-z]+)?|%|\?+|[^\w\s,;:.()\[\]\"'!&+~-]|-+")
_NEGATIONS = frozenset({"not", "non", "isn't", "aren't", "never", "no", "wasn't", "hardly"})


@dataclass(frozen=True, slots=True)
class Found:
    """A phrase found: what it means, the words, where, and whether a "not" stands before it."""

    words: str
    meanings: Mapping[str, str]
    start: int
    end: int
    negated: bool


def phrase_tokens(text: str) -> tuple[str, ...]:
    """Return the folded words: hyphens, and slashes between whole words, part them.

    Dotted letters close up: n.o.s. -> nos.
    """
    folded = _DOTTED.sub(lambda match: match[0].replace(".", ""), fold(text))
    folded = re.sub(r"(?<=\w)-(?=\w)|(?<=[a-z]{3})/(?=[a-z]{3})", " ", folded)
    return tuple(_TOKEN.findall(folded))


@lru_cache(maxsize=16)
def _table(
    name: str,
) -> tuple[Mapping[tuple[str, ...], tuple[str, Mapping[str, str]]], Mapping[str, int]]:
    """Return the phrases of a table by their tokens, and the longest length by first token."""
    rows: dict[tuple[str, ...], tuple[str, Mapping[str, str]]] = {}
    for row in load_words(name):
        key = phrase_tokens(row.words)
        rows.setdefault(key, (row.words, MappingProxyType(dict(row.meanings))))
    longest: dict[str, int] = {}
    for key in rows:
        longest[key[0]] = max(longest.get(key[0], 0), len(key))
    return rows, longest


def find_phrases(tokens: tuple[str, ...], table: str) -> tuple[Found, ...]:
    """Return the phrases of a table in the tokens, left to right, without overlap."""
    rows, longest = _table(table)
    found: list[Found] = []
    start = 0
    while start < len(tokens):
        for length in range(min(longest.get(tokens[start], 0), len(tokens) - start), 0, -1):
            row = rows.get(tokens[start : start + length])
            if row is not None:
                negated = start > 0 and tokens[start - 1] in _NEGATIONS
                found.append(Found(row[0], row[1], start, start + length, negated))
                start += length
                break
        else:
            start += 1
    return tuple(found)


def one_meaning(found: Iterable[Found], column: str) -> tuple[str | None, bool]:
    """Return the one value said in a column, and whether two different ones are said."""
    values = dict.fromkeys(
        match.meanings[column] for match in found if match.meanings[column] and not match.negated
    )
    if len(values) > 1:
        return None, True
    return next(iter(values), None), False


def is_hedged(tokens: tuple[str, ...]) -> bool:
    """Tell whether a word of doubt stands in the text ("probably", "untested", "?")."""
    return bool(find_phrases(tokens, "hedge"))

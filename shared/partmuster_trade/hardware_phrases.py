"""What phrases say of standard hardware, and the phrase that says a thing (tables of words)."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from partmuster_trade.hardware_tokens import Token, tokens_of
from partmuster_trade.tables import bundled_rows
from partmuster_trade.words import load_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase found in words: what it says (nothing for a filler), and of how many tokens."""

    says: Mapping[str, str]
    shield: bool
    length: int


@dataclass(frozen=True, slots=True)
class HardwareKind:
    """A kind of standard hardware.

    ``measured_by``: thread, size, sizes (bore, outside, width), number or tube; ``fastener``: holds
    things together, so that its strength matters; ``plain_style`` and ``plain_material`` are what
    is meant where none is said.
    """

    kind: str
    group: str
    measured_by: tuple[str, ...]
    needs_length: bool
    fastener: bool
    plain_style: str
    plain_material: str
    threaded_to: str


@functools.cache
def hardware_kinds() -> Mapping[str, HardwareKind]:
    """Return all kinds by name."""
    return MappingProxyType(
        {
            row["kind"]: HardwareKind(
                row["kind"],
                row["group"],
                tuple(row["measured_by"].split(" or ")),
                row["needs_length"] == "yes",
                row["fastener"] == "yes",
                row["plain_style"],
                row["plain_material"],
                row["threaded_to"],
            )
            for row in bundled_rows("hardware_kinds.csv")
        }
    )


@functools.cache
def _phrases() -> Mapping[str, tuple[tuple[tuple[str, ...], Mapping[str, str]], ...]]:
    """Return the phrases by their first word, the longest first."""
    found: dict[str, dict[tuple[str, ...], Mapping[str, str]]] = {}
    for row in load_words("hardware"):
        says = {column: value for column, value in row.meanings.items() if value}
        if row.note.startswith("shield"):
            says = {"shield": "yes"}
        key = tuple(_key(token) for token in tokens_of(row.words))
        found.setdefault(key[0], {})[key] = MappingProxyType(says)
    return MappingProxyType(
        {
            first: tuple(sorted(phrases.items(), key=lambda phrase: -len(phrase[0])))
            for first, phrases in found.items()
        }
    )


def names_a_kind(words: Sequence[str]) -> bool:
    """Whether any name of a kind of hardware stands among words, in small letters."""
    known = _phrases()
    return any(
        "kind" in says and tuple(words[place : place + len(key)]) == key
        for place, word in enumerate(words)
        if word in known
        for key, says in known[word]
    )


def phrase_at(tokens: Sequence[Token], place: int) -> Phrase | None:
    """Return the longest phrase of the table that begins at a place."""
    for key, says in _phrases().get(_key(tokens[place]), ()):
        length = len(key)
        if length == 1 or (
            len(tokens) - place >= length
            and all(_key(tokens[place + n]) == key[n] for n in range(1, length))
        ):
            return Phrase(says, "shield" in says, length)
    return None


@functools.cache
def phrase_for(column: str, value: str, style: str = "") -> str:
    """Return the first phrase that says this (with a style) and nothing else but a caution."""
    wanted = {column: value} | ({"style": style} if style else {})
    for row in load_words("hardware"):
        says = {name: said for name, said in row.meanings.items() if said and name != "caution"}
        if says == wanted:
            return row.words
    raise KeyError(f"no phrase says {column} {value}")


@functools.cache
def cautions_of(column: str, value: str) -> tuple[str, ...]:
    """Return the cautions that go with what a phrase says."""
    return tuple(
        dict.fromkeys(
            row.meanings["caution"]
            for row in load_words("hardware")
            if row.meanings[column] == value and row.meanings["caution"]
        )
    )


def _key(token: Token) -> str:
    return f"{token.text}{token.unit}" if token.unit else token.text

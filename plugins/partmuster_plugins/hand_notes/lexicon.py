"""Which words name parts: the trade's vocabulary as tokens, heads and whole names."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from partmuster_trade.abbreviations import all_abbreviations
from partmuster_trade.vocabulary import load_vocabulary

from .roles import words_of
from .sentences import sentence_of

#: Heads that are everyday words too: they name a part only within a known name or behind another
#: word of the trade ("seat base", not "base").
WEAK = words_of("weak-head")
#: Words of known names that join them and name nothing themselves.
_JOINING = frozenset(",-'()/&.") | words_of("joining")
#: Everyday words that look like a misspelt word of the trade.
_NO_SLIPS = words_of("no-slip")
_DIGIT = re.compile(r"\d")


def singular(word: str) -> str:
    """Return a word without the sign of the plural, as far as an English ending shows it."""
    if len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("sses", "xes", "ches", "shes")):
        return word[:-2]
    if word.endswith("ves") and word[:-3] in {"val", "slee", "gro"}:
        return word[:-1]
    return word.removesuffix("s")


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Names of parts by first token, and the tokens they are made of."""

    names: dict[str, tuple[tuple[str, ...], ...]]
    tokens: frozenset[str]
    heads: frozenset[str]

    def name_at(self, words: tuple[str, ...], at: int) -> int:
        """Return how many words from ``at`` are the longest known name there, or 0."""
        for name in self.names.get(words[at], ()):
            if words[at : at + len(name)] == name:
                return len(name)
        return 0

    def known(self, word: str) -> str | None:
        """Return the word of the trade that a folded, singular word is, or is a slip for."""
        if word in self.tokens:
            return word
        return _slip(word) if len(word) >= 6 and word.isalpha() else None


@functools.cache
def lexicon() -> Lexicon:
    """Return the lexicon of the package's vocabulary and abbreviations."""
    every = {
        tuple(singular(word.low) for word in sentence_of(entry.name).words)
        for entry in load_vocabulary().names()
        if "," not in entry.name
    }
    every = {name for name in every if name and not all(map(_DIGIT.search, name))}
    tokens = {word for name in every for word in name} - _JOINING
    heads = {name[-1] for name in every} - _JOINING
    for short in all_abbreviations():
        expansions = {singular(word.casefold()) for word in short.expansions[:1]}
        low = short.abbr.casefold()
        if short.ambiguous or len(low) < 3:
            continue
        if expansions & heads or low in heads:
            heads.add(low)
            tokens.add(low)
        elif expansions & tokens:
            tokens.add(low)
    names: dict[str, list[tuple[str, ...]]] = {}
    for name in every:
        names.setdefault(name[0], []).append(name)
    longest_first = {
        first: tuple(sorted(group, key=lambda name: (-len(name), name)))
        for first, group in names.items()
    }
    return Lexicon(longest_first, frozenset(tokens), frozenset(heads))


@functools.lru_cache(maxsize=50_000)
def _slip(word: str) -> str | None:
    """Return the word of the trade that a misspelt word stands for, if it is plainly one."""
    if word in _NO_SLIPS:
        return None
    allowed = 1 if len(word) < 8 else 2
    found = process.extract(
        word, _long_tokens(), scorer=DamerauLevenshtein.distance, score_cutoff=allowed, limit=2
    )
    found = [one for one in found if one[0][0] == word[0]]
    if not found or (len(found) > 1 and found[0][1] == found[1][1]):
        return None
    return str(found[0][0])


@functools.cache
def _long_tokens() -> tuple[str, ...]:
    return tuple(sorted(word for word in lexicon().tokens if len(word) >= 5 and word.isalpha()))

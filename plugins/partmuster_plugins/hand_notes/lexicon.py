"""Which words name parts: the trade's vocabulary as tokens, heads and whole names."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from partmuster_trade.abbreviations import all_abbreviations
from partmuster_trade.vocabulary import load_vocabulary

from .expressions import expression
from .roles import words_of
from .sentences import sentence_of

#: Heads that are everyday words too: they name a part only within a known name or behind another
#: word of the trade ("seat base", not "base").
WEAK = words_of("weak-head")
#: Words of known names that join them and name nothing themselves.
_JOINING = frozenset(",-'()/&.") | words_of("joining")
#: Everyday words that look like a misspelt word of the trade.
_NO_SLIPS = words_of("no-slip")
#: Plurals of words that end in "ie".
_IN_IE = frozenset({"bogies", "ties", "pies", "dies", "belies", "dickies"})
_EVERYDAY = words_of("everyday")
_VOWELS = expression("[aeiou]")
_SHORTEST = 3
#: From how many letters on a word may be misspelt, by one letter and by two.
_SHORTEST_SLIP, _LONG = 6, 8
_DIGIT = expression(r"\d")


@functools.lru_cache(maxsize=20_000)
def singular(word: str) -> str:
    """Return a word without the sign of the plural, as far as an English ending shows it."""
    if len(word) <= _SHORTEST or word.endswith(("ss", "us", "is")):
        return word
    if word in _IN_IE:
        return word[:-1]
    if word.endswith("ies") and len(word) > _SHORTEST + 1:
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
        """Return the word of the trade that a folded, singular word is, or is short or a slip for.

        Of a word with a stroke ("w/pump") it is what stands behind it, with the stroke.
        """
        return word if word in self.tokens else _known(word)

    def cut_short(self, word: str) -> str | None:
        """Return a word of the trade that begins as a word with a point behind it does: "amm."."""
        return _cut_short(word)

    def is_head(self, word: str) -> bool:
        """Tell whether a known word can be the last of a part's name."""
        return word in self.heads or word[:1] == "/"


@functools.lru_cache(maxsize=20_000)
def _cut_short(word: str) -> str | None:
    if len(word) < _SHORTEST or word in _EVERYDAY or word in _NO_SLIPS:
        return None
    return next((one for one in _long_tokens().get(word[0], ()) if one.startswith(word)), None)


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
        expansions = {
            singular(word.casefold()) for word in short.expansions[: 2 if short.ambiguous else 1]
        }
        low = short.abbr.casefold()
        plain = "/" in low or not _VOWELS.search(low)
        if len(low) < _SHORTEST or (short.ambiguous and not plain) or low in _EVERYDAY:
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
def _known(word: str) -> str | None:
    if word[1:2] == "/":
        tail = singular(word[2:])
        known = lexicon().known(tail) if len(tail) > 1 else None
        return f"/{known}" if known else None
    if not word.isalpha():
        return None
    return _drawn_together(word) or (_slip(word) if len(word) >= _SHORTEST_SLIP else None)


def _slip(word: str) -> str | None:
    """Return the word of the trade that a misspelt word stands for, if it is plainly one."""
    if word in _NO_SLIPS:
        return None
    allowed = 1 if len(word) < _LONG else 2
    found = process.extract(
        word, _long_tokens().get(word[0], ()), scorer=DamerauLevenshtein.distance,
        score_cutoff=allowed, limit=2,
    )  # fmt: skip
    if not found or (len(found) > 1 and found[0][1] == found[1][1]):
        return None
    meant = str(found[0][0])
    verb = next((ending for ending in ("ed", "ing") if word.endswith(ending)), "")
    return meant if meant.endswith(verb) else None


@functools.cache
def _long_tokens() -> dict[str, tuple[str, ...]]:
    """Return the longer words of the trade by their first letters."""
    groups: dict[str, list[str]] = {}
    for word in sorted(lexicon().tokens):
        if len(word) >= _SHORTEST_SLIP - 1 and word.isalpha():
            groups.setdefault(word[0], []).append(word)
    return {first: tuple(group) for first, group in groups.items()}


def _drawn_together(word: str) -> str | None:
    """Return the word of the trade of which one is written without most of its vowels: "manfld"."""
    vowels = len(_VOWELS.findall(word[1:]))
    if vowels > 1 or len(word) < _SHORTEST + vowels or word in _NO_SLIPS or word in _EVERYDAY:
        return None
    return _skeletons().get(word[0] + _VOWELS.sub("", word[1:]))


@functools.cache
def _skeletons() -> dict[str, str]:
    """Return the words of the trade by their first letters and consonants."""
    return {
        word[0] + _VOWELS.sub("", word[1:]): word
        for word in sorted(lexicon().tokens, key=lambda word: (word in lexicon().heads, word))
        if len(_VOWELS.findall(word[1:])) > 1
    }

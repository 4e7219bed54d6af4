"""The vocabulary made ready for looking up: names by their words, names by one word, siblings."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import chain, pairwise
from typing import TYPE_CHECKING, Final

from .asides import sizes_in
from .lexicon import Lexicon
from .tokens import POSITIONS, folded, orders, plain_words, segments

if TYPE_CHECKING:
    from collections.abc import Iterable

    from partmuster_trade import Part, Vocabulary
    from partmuster_trade.part import Region

    from .lexicon import Read

Key = tuple[str, ...]

_GLUED_WORDS: Final = 3  # words of a name that may be written as one
_PREFIX_LEAST: Final = 8  # letters of a cut-short text before it can point at a name


@dataclass(frozen=True, slots=True, eq=False)  # told apart as objects: asked after often
class Name:
    """One name of a part: its words in plain order, and the region it is used in."""

    number: int
    part_id: str
    text: str
    region: Region
    words: Key
    key: Key
    head: str
    sizes: tuple[tuple[str, str], ...]
    weight: float = 0.0
    in_order: str = ""


@dataclass(slots=True, eq=False)  # one vocabulary, one index: told apart as objects
class VocabularyIndex:
    """Look-ups over the names of one vocabulary.

    ``parts`` by id; ``by_key``: names by their sorted words; ``by_word``: name numbers by one
    word; ``idf``: how telling a word is (log of names over names with it, plus one).
    """

    parts: dict[str, Part]
    names: list[Name]
    by_key: dict[Key, list[Name]] = field(default_factory=dict)
    by_word: dict[str, frozenset[int]] = field(default_factory=dict)
    idf: dict[str, float] = field(default_factory=dict)
    pairs: dict[str, tuple[str, str]] = field(default_factory=dict)
    glued: dict[str, Key] = field(default_factory=dict)
    starts: list[tuple[str, int]] = field(default_factory=list)
    beginnings: frozenset[str] = frozenset()
    endings: frozenset[str] = frozenset()  # what a word ends with
    successors: dict[str, str] = field(default_factory=dict)
    plain: dict[str, str] = field(default_factory=dict)
    sized: dict[str, list[Name]] = field(default_factory=dict)
    rarest: float = 1.0
    _lexicon: Lexicon | None = None

    def join_compounds(self, words: list[str]) -> list[str]:
        """Return words with compounds written one way: apart, then together if that is a word."""
        if self.pairs.keys().isdisjoint(words) and self.endings.isdisjoint(words):
            return words
        apart: list[str] = []
        for word in words:
            apart.extend(self.pairs.get(word, (word,)))
        joined: list[str] = []
        for word in apart:
            if word in self.endings and joined and joined[-1] + word in self.idf:
                joined[-1] += word
            else:
                joined.append(word)
        return joined

    def named(self, key: Key) -> list[Name]:
        """Return the names made of exactly these words, in any order."""
        return self.by_key.get(key, [])

    def position_siblings(self, words: Iterable[str], part_id: str) -> list[str]:
        """Return position words that make another part's name of these words."""
        base = list(words)
        return [
            position
            for position in POSITIONS
            if any(
                name.part_id != part_id
                for name in self.named(tuple(sorted([*base, position])))
            )
        ]  # fmt: skip

    @property
    def lexicon(self) -> Lexicon:
        """The words of the names, for what is misspelt or cut short; made when it is asked for."""
        if self._lexicon is None:
            glued = [one for one, words in self.glued.items() if len(words) <= _GLUED_WORDS]
            self._lexicon = Lexicon(self.idf, glued)
        return self._lexicon

    def repairs(self, word: str) -> Read:
        """Return vocabulary words, or names written as one, that a misspelt word may be."""
        return self.lexicon.repairs(word)

    def beginning_with(self, text: str, most: int) -> list[Name]:
        """Return the names that begin with a text cut short (letters and single spaces).

        Nothing where more than ``most`` begin so.
        """
        if text[:_PREFIX_LEAST] not in self.beginnings:
            return []
        found: dict[int, Name] = {}
        at = bisect_left(self.starts, (text, -1))
        while at < len(self.starts) and self.starts[at][0].startswith(text):
            if self.starts[at][0] != text:
                name = self.names[self.starts[at][1]]
                found[name.number] = name
                if len(found) > most:
                    return []
            at += 1
        return list(found.values())


def words_of(index: VocabularyIndex, text: str) -> list[list[str]]:
    """Return comparable words of folded text, one list an order it may be meant in."""
    return [index.join_compounds(plain_words(order)) for order in orders(segments(text))]


@lru_cache(maxsize=8)
def index_of(vocabulary: Vocabulary) -> VocabularyIndex:
    """Return the look-ups of a vocabulary; built once for each."""
    entries = sorted(
        {(entry.part_id, folded(entry.name), entry.region) for entry in vocabulary.names()}
    )
    raw: list[tuple[str, str, Region, list[str]]] = []
    in_order: list[str] = []
    for part_id, text, region in entries:
        pieces = segments(text)
        if pieces and (words := plain_words(orders(pieces)[0])):
            raw.append((part_id, text, region, words))
            as_it_stands = plain_words(list(chain(*pieces))) if len(pieces) > 1 else words
            in_order.append(" ".join(as_it_stands))
    parts = {part.part_id: part for part in vocabulary.parts}
    index = VocabularyIndex(parts=parts, names=[])
    seen = {word for *_, words in raw for word in words}
    for *_, words in raw:
        for first, second in pairwise(words):
            if len(first) > 1 and len(second) > 1:
                index.pairs.setdefault(first + second, (first, second))
    # A word of the vocabulary that is also written apart there stays one word in both.
    index.idf = dict.fromkeys(seen, 1.0)
    for word in seen & index.pairs.keys():
        del index.pairs[word]
    index.endings = frozenset(word[at:] for word in seen for at in range(1, len(word)))
    said = [tuple(index.join_compounds(words)) for *_, words in raw]
    _weigh(index, [part_id for part_id, *_ in raw], said)
    idf = index.idf
    for number, ((part_id, text, region, _), own) in enumerate(zip(raw, said, strict=True)):
        key = tuple(sorted(own))
        weight = sum([idf[word] for word in dict.fromkeys(own)])
        index.names.append(
            Name(number, part_id, text, region, own, key, own[-1], sizes_in(text)[1], weight,
                 " ".join(key))
        )  # fmt: skip
    _fill(index, in_order)
    index.plain = {part_id: folded(part.name) for part_id, part in parts.items()}
    for part_id in parts:
        successor = vocabulary.in_force(part_id).part_id
        if successor != part_id:
            index.successors[part_id] = successor
    return index


def _weigh(index: VocabularyIndex, part_ids: list[str], said: list[Key]) -> None:
    """Work out how telling each word is: by the parts, not the synonyms, it occurs in."""
    parts_with: dict[str, set[str]] = defaultdict(set)
    for part_id, words in zip(part_ids, said, strict=True):
        for word in words:
            parts_with[word].add(part_id)
    total = max(len(index.parts), 1)
    index.idf = {word: 1.0 + math.log(total / len(found)) for word, found in parts_with.items()}
    index.rarest = max(index.idf.values(), default=1.0)


def _fill(index: VocabularyIndex, in_order: list[str]) -> None:
    """Fill the look-ups; ``in_order``: the words of each name as they stand."""
    by_key: dict[Key, list[Name]] = defaultdict(list)
    by_word: dict[str, list[int]] = defaultdict(list)
    for name, plain in zip(index.names, in_order, strict=True):
        by_key[name.key].append(name)
        if name.sizes:
            index.sized.setdefault(name.part_id, []).append(name)
        for word in dict.fromkeys(name.words):
            by_word[word].append(name.number)
        index.glued.setdefault("".join(name.words), name.words)
        for start in {" ".join(name.words), plain}:
            index.starts.append((start, name.number))
    index.by_key = dict(by_key)
    index.by_word = {word: frozenset(numbers) for word, numbers in by_word.items()}
    index.starts.sort()
    index.beginnings = frozenset(
        start[:_PREFIX_LEAST] for start, _ in index.starts if len(start) >= _PREFIX_LEAST
    )

"""The words of a vocabulary, and what a word that is none of them may have been."""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from typing import TYPE_CHECKING, Final

from rapidfuzz import process
from rapidfuzz.distance import OSA, JaroWinkler

from .tokens import POSITIONS

if TYPE_CHECKING:
    from collections.abc import Iterable

_MIN_REPAIRED: Final = 4  # letters; shorter words are too like each other to be repaired
_TWO_SLIPS: Final = 7  # letters from which two slips of the pen may be repaired
_SHORTENED_LEAST: Final = 3  # letters of a cut-short word
_MOST_LENGTHENED: Final = 12
_SHORTENED: Final = 0.85  # what a word read from its beginning or its bones counts
_ENDING: Final = 3
_KEPT: Final = 3
_REMEMBERED: Final = 300_000
#: What print is misread as, by one who types it or a machine that reads it.
_MISREAD: Final = (("0", "o"), ("1", "i"), ("1", "l"), ("5", "s"), ("8", "b"), ("6", "b"),
                   ("rn", "m"), ("vv", "w"), ("cl", "d"), ("q", "g"), ("ii", "u"))  # fmt: skip

_VOWELS: Final = str.maketrans("", "", "aeiou")

Read = tuple[tuple[str, float], ...]


class Lexicon:
    """The words of a vocabulary's names, by letters: for slips, misprints and short forms.

    ``words``: the words; ``glued``: names written as one word, which count where a slip is put
    right.
    """

    def __init__(self, words: Iterable[str], glued: Iterable[str]) -> None:
        self._words = frozenset(words)
        self._in_order = sorted(self._words)
        self._by_start: dict[tuple[str, int], list[str]] = defaultdict(list)
        self._by_end: dict[str, list[str]] = defaultdict(list)
        self._by_bones: dict[str, list[str]] = defaultdict(list)
        self._near: dict[tuple[str, int, int], list[str]] = {}
        self._repairs: dict[str, Read] = {}
        self._shortened: dict[str, Read] = {}
        self._pieces = "\n".join(self._in_order)
        for word in sorted({*self._words, *glued}):
            if len(word) >= _MIN_REPAIRED - 1 and not any(sign.isdigit() for sign in word):
                self._by_start[word[0], len(word)].append(word)
                self._by_end[word[-_ENDING:]].append(word)
        for word in self._in_order:
            if (short := bones(word)) != word:
                self._by_bones[short].append(word)

    def is_piece(self, text: str) -> bool:
        """Whether a text stands within a word: joined to its neighbour it may make one."""
        return text in self._pieces

    def repairs(self, word: str) -> Read:
        """Return words a misspelt word may be, nearest first, with a likeness 0 to 1.

        A word is near at one slip (two from seven letters): a letter wrong, missing, added, or
        two changed over (optimal string alignment); or where it was misread from print. Likeness
        is Jaro-Winkler similarity.
        """
        known = self._repairs.get(word)
        if known is None:
            if len(self._repairs) >= _REMEMBERED:
                self._repairs.clear()
            found = self._repaired(word) if len(word) >= _MIN_REPAIRED else []
            scored = [(one, JaroWinkler.similarity(word, one)) for one in found]
            scored.sort(key=lambda pair: (-pair[1], pair[0]))
            known = self._repairs[word] = tuple(scored[:_KEPT])
        return known

    def _repaired(self, word: str) -> list[str]:
        if not word.isalpha():
            return [read for read in as_letters(word) if read in self._words]
        slips = 2 if len(word) >= _TWO_SLIPS else 1
        near = process.extract(
            word, self._of_about(word[0], len(word), slips), scorer=OSA.distance,
            score_cutoff=slips, limit=2 * _KEPT,
        )  # fmt: skip
        found = [choice for choice, *_ in near]
        if not found:  # the first letter may be the slip
            found = [
                choice
                for choice in self._by_end.get(word[-_ENDING:], ())
                if abs(len(choice) - len(word)) <= 1
                and OSA.distance(word, choice, score_cutoff=1) == 1
            ]
        return found or [read for read in as_letters(word) if read in self._words]

    def _of_about(self, letter: str, length: int, slips: int) -> list[str]:
        """Return the words with a first letter that are about so long."""
        asked = letter, length, slips
        known = self._near.get(asked)
        if known is None:
            known = self._near[asked] = sorted(
                word
                for one in range(length - slips, length + slips + 1)
                for word in self._by_start.get((letter, one), ())
            )
        return known

    def shortened(self, word: str) -> Read:
        """Return words that a word may be cut from, or be without its vowels.

        The fewer there are, the likelier each; a word of two letters may be cut from anything.
        """
        known = self._shortened.get(word)
        if known is None:
            if len(self._shortened) >= _REMEMBERED:
                self._shortened.clear()
            known = self._shortened[word] = self._lengthened(word)
        return known

    def _lengthened(self, word: str) -> Read:
        if len(word) < _SHORTENED_LEAST or not word.isalpha():
            return ()
        found = list(self._by_bones.get(word, ())) if bones(word) == word else []
        at = bisect_left(self._in_order, word)
        while at < len(self._in_order) and self._in_order[at].startswith(word):
            found.append(self._in_order[at])
            at += 1
            if len(found) > _MOST_LENGTHENED:
                return ()
        found = [one for one in dict.fromkeys(found) if one not in POSITIONS]
        return tuple((one, _SHORTENED / len(found) ** 0.25) for one in found)


def bones(word: str) -> str:
    """Return a word without the vowels behind its first letter, as it is shortened by hand."""
    return word[:1] + word[1:].translate(_VOWELS)


def as_letters(word: str) -> list[str]:
    """Return what a word may have been before it was misread from print, two slips at most."""
    found = [word]
    for _ in range(2):
        found += [
            one[:at] + letter + one[at + len(sign) :]
            for one in found
            for sign, letter in _MISREAD
            if sign in one
            for at in range(len(one))
            if one.startswith(sign, at)
        ]
    return list(dict.fromkeys(found[1:]))

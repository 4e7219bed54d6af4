"""The words of a description laid beside the words of a name: what each stands for, and how surely.

Words that only tell of state, colour, count or deal stand beside a name and weigh nothing. A word
that the vocabulary knows stands for itself and is never taken for a slip of the pen.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from rapidfuzz.distance import OSA, JaroWinkler

from partmuster_trade.words import load_words

from .exact import is_short_form
from .tokens import POSITIONS, plain_words, split_tokens

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .exact import Description, ExactReader
    from .index import Name, VocabularyIndex

#: Tables whose words say nothing of what a thing is.
_BESIDE: Final = ("beside", "condition", "availability", "presence", "hedge", "quantity", "unit")
_LEAD: Final = re.compile(r"[,;(\[]| [-–—] ")
_SHORT: Final = 0.97  # what a word counts that a known short form stands for
_CUT: Final = 0.85  # the beginning of a word
_BONES: Final = 0.8  # a word without its vowels
_SLIP: Final = 0.95  # a word with slips of the pen, times its likeness
_LEAST_CUT: Final = 3
_LEAST_SLIP: Final = 4  # letters; shorter words are too like each other
_TWO_SLIPS: Final = 7
_ENOUGH_BONES: Final = 0.6
_REMEMBERED: Final = 100_000
_VOWELS: Final = frozenset("aeiouy")
_LOOKALIKES: Final = str.maketrans("015836", "olsbeb")  # what a scanner takes for each other


@dataclass(frozen=True, slots=True)
class Said:
    """One word of a description.

    ``options``: vocabulary words it may stand for, with how much that counts and how it was come
    by (same, short, slip); ``beside``: it says nothing of what the thing is.
    """

    word: str
    weight: float
    beside: bool
    known: bool
    options: dict[str, tuple[float, str]]


@dataclass(slots=True, eq=False)
class Aligned:
    """A description laid beside one name: which word stands for which, and how.

    ``pairs``: text word, name word, strength, how; ``over``: words of the text that the name
    lacks; ``lacking``: words of the name that the text lacks.
    """

    name: Name
    pairs: tuple[tuple[str, str, float, str], ...]
    over: tuple[Said, ...]
    lacking: tuple[str, ...]
    of_text: float
    of_name: float

    @property
    def worth(self) -> float:
        """How well they go together, 0 to 1."""
        both = self.of_text + self.of_name
        return 2 * self.of_text * self.of_name / both if both else 0.0


@lru_cache(maxsize=1)
def words_beside() -> frozenset[str]:
    """Return the words that stand beside a name and say nothing of what a thing is."""
    return frozenset(
        token
        for table in _BESIDE
        for row in load_words(table)
        for token in plain_words(split_tokens(row.words.casefold()))
    )


def said_words(reader: ExactReader, described: Description) -> tuple[Said, ...]:
    """Return the words of a description that is no name, with what each may stand for."""
    aside, lacking = _behind(described)
    words = described.words
    remembered = reader.remembered
    found = []
    for word in words:
        if word in lacking:
            found.append(Said(word, 0.0, beside=True, known=True, options={}))
            continue
        asked = (word, word in aside)
        known = remembered.get(asked)
        if known is None:
            known = _said(reader, word, reader.readings(word, words), aside=asked[1])
            if not is_short_form(word, reader.region):  # such a one depends on its neighbours
                if len(remembered) >= _REMEMBERED:
                    remembered.clear()
                remembered[asked] = known
        found.append(known)
    return tuple(found)


def _said(
    reader: ExactReader, word: str, short: Sequence[tuple[tuple[str, ...], str]], *, aside: bool
) -> Said:
    index = reader.index
    known = word in index.idf
    says_little = word in words_beside() and len(word) > 1 and (known or not short)
    beside = word in reader.fillers or aside or (not known and (says_little or word.isdigit()))
    options: dict[str, tuple[float, str]] = {word: (1.0, "same")} if known else {}
    for read, _ in short:
        for one in read:
            if one in index.idf:
                options.setdefault(one, (_SHORT, "short"))
    if not known and not beside:
        for near, likeness in index.repairs(word):
            for one in (near,) if near in index.idf else index.glued.get(near, ()):
                options.setdefault(one, (_SLIP * likeness, "slip"))
    weight = max((index.idf[one] for one in options), default=index.rarest)
    if any(one in POSITIONS for one in (word, *options)):
        weight *= 0.5
    return Said(word, weight, beside, known, options)


def _behind(described: Description) -> tuple[set[str], set[str]]:
    """Return words that say where a thing is from, and words of what it lacks or comes with."""
    aside: set[str] = set()
    lacking: set[str] = set()
    for cut in described.asides.cuts:
        own = set(plain_words(split_tokens(cut.head)))
        words = set(plain_words(split_tokens(cut.tail))) - own
        (aside if cut.origin else lacking).update(words)
        lacking.update(set(plain_words(split_tokens(cut.joined_by))) - own)
    return aside, lacking


@lru_cache(maxsize=1_000)  # each text is asked about once for each of its candidates
def lead_words(text: str) -> tuple[str, ...]:
    """Return the words of a text up to its first comma, bracket or dash."""
    return tuple(plain_words(split_tokens(_LEAD.split(text, maxsplit=1)[0])))


@lru_cache(maxsize=1_000)
def head_of(lead: tuple[str, ...]) -> str:
    """Return the last word of a text's beginning that may say what the thing is."""
    return next(
        (word for word in reversed(lead) if word not in words_beside() and word not in POSITIONS),
        "",
    )


def aligned(index: VocabularyIndex, said: Sequence[Said], name: Name) -> Aligned:
    """Lay a description beside a name."""
    left = list(name.words)
    pairs: list[tuple[str, str, float, str]] = []
    open_: list[Said] = []
    for one in said:
        best: tuple[float, str, str] | None = None
        for word, (strength, how) in one.options.items():
            if word in left:
                offered = (strength, how, word)
                if best is None or offered > best:
                    best = offered
        if best is None:
            open_.append(one)
        else:
            left.remove(best[2])
            pairs.append((one.word, best[2], best[0], best[1]))
    if left and open_:
        open_ = _unknown_aligned(open_, left, pairs)
    covered = of_pairs = total = 0.0
    by_word = {one.word: one.weight for one in said}
    for said_word, word, strength, _ in pairs:
        covered += index.idf.get(word, 1.0) * strength
        weight = by_word.get(said_word, 0.0)
        of_pairs += weight * strength
        total += weight
    over = tuple([one for one in open_ if not one.beside])
    total += sum([one.weight for one in over])
    return Aligned(
        name, tuple(pairs), over, tuple(left),
        of_pairs / total if total else 0.0, min(covered / name.weight, 1.0) if name.weight else 0.0,
    )  # fmt: skip


def _unknown_aligned(
    open_: list[Said], left: list[str], pairs: list[tuple[str, str, float, str]]
) -> list[Said]:
    """Lay words that the vocabulary does not know beside the name's words that are left."""
    rest = []
    for one in open_:
        if one.known or one.word in words_beside():
            rest.append(one)
            continue
        found = max([(*likened(one.word, word), word) for word in left], default=(0.0, "", ""))
        if found[0]:
            left.remove(found[2])
            pairs.append((one.word, found[2], found[0], found[1]))
        else:
            rest.append(one)
    return _joined(rest, left, pairs)


def _joined(
    rest: list[Said], left: list[str], pairs: list[tuple[str, str, float, str]]
) -> list[Said]:
    """Lay two words that a slip of the pen parted beside one word of the name."""
    for first, second in pairwise(rest):
        if first.beside or second.beside or (first.known and second.known):
            continue
        for word in left:
            strength, how = likened(first.word + second.word, word)
            if strength:
                left.remove(word)
                pairs.append((first.word, word, strength, how))
                return [one for one in rest if one is not first and one is not second]
    return rest


@lru_cache(maxsize=200_000)
def likened(word: str, known: str) -> tuple[float, str]:
    """Return how much an unknown word counts for a vocabulary word, and how; 0 where it does not.

    Cut short, written without vowels, or with a slip of the pen or of a scanner (two from seven
    letters).
    """
    if word == known or _has_digit(known):
        return float(word == known), "same" if word == known else ""
    if _has_digit(word):
        read = word.translate(_LOOKALIKES)
        strength = 0.0 if _has_digit(read) or word.isdigit() else likened(read, known)[0]
        return min(strength, _SLIP), "slip" if strength else ""
    if len(word) >= _LEAST_CUT and known.startswith(word):
        return _CUT, "cut"
    if len(word) >= _LEAST_CUT and _is_bones(word, known):
        return _BONES, "bones"
    shorter = min(len(word), len(known))
    slips = 0 if shorter < _LEAST_SLIP else 2 if shorter >= _TWO_SLIPS else 1
    if slips and OSA.distance(word, known, score_cutoff=slips) <= slips:
        return _SLIP * JaroWinkler.similarity(word, known), "slip"
    return 0.0, ""


def _has_digit(word: str) -> bool:
    return not word.isalpha() and any(map(str.isdigit, word))


def _is_bones(word: str, known: str) -> bool:
    """Whether a word is another without most vowels ("brkt", "crnkshft")."""
    if word[0] != known[0] or any(letter in _VOWELS for letter in word[1:-1]):
        return False
    bones = [known[0], *(letter for letter in known[1:] if letter not in _VOWELS)]
    letters = iter(known)
    in_turn = all(letter in letters for letter in word)
    return in_turn and len(word) >= _ENOUGH_BONES * len(bones)

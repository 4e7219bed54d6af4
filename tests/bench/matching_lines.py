"""Terms composed from the vocabulary, and lines in which people write them; from a fixed seed.

Of the vocabulary only its names are used. Every other word here is this file's own, and what is
done to the words (slips, short forms, cuts) is done by rule: nothing is shared with the matcher.
"""

from __future__ import annotations

import random
import re
import string
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from partmuster_trade import Vocabulary, load_vocabulary

if TYPE_CHECKING:
    from collections.abc import Iterator

TERMS, SMALL_TERMS = 50_000, 2_000
_SEED = 20260704
_AGAIN = 0.75
#: What is said beside the name in one line of six.
_BESIDE = (
    "rusty", "decent", "shed wall", "bench", "dad's", "unknown maker", "see photo", "painted",
    "green", "cracked", "no idea", "sound", "greased", "box of bits", "heavy", "spotless", "bent",
    "in paper", "barn find", "swap meet", "tidy", "seized", "cleaned", "grey", "two shades", "lhs",
    "cobwebs", "labelled", "tray four", "needs paint", "top drawer", "loft", "RH", "LH", "tatty",
)  # fmt: skip
_LOOKS_LIKE = {"o": "0", "i": "1", "l": "1", "s": "5", "b": "8", "m": "rn", "e": "c", "g": "q"}
_BETWEEN = re.compile(r"[^a-z]+")


@dataclass(frozen=True, slots=True)
class Line:
    """A line's words, the number of the term that is meant, and what was done to it."""

    text: str
    term: int
    done: tuple[str, ...]


def terms(count: int) -> list[str]:
    """Return that many different terms: the vocabulary's names, and two names put together."""
    rng = random.Random(_SEED)
    names = sorted({_plain(part.name) for part in load_vocabulary().parts} - {""})
    short = [name for name in names if len(name.split()) <= 2]
    found: dict[tuple[str, ...], str] = {}
    for name in names:
        found.setdefault(tuple(sorted(name.split())), name)
    while len(found) < count:
        words = [*rng.choice(short).split(), *rng.choice(names).split()]
        if len(set(words)) == len(words):
            found.setdefault(tuple(sorted(words)), " ".join(words))
    return list(found.values())[:count]


def vocabulary_of(names: list[str]) -> Vocabulary:
    """Return a vocabulary in which each name is one part's, with ``t`` and its number as id."""
    own = load_vocabulary()
    like = replace(
        own.parts[0], handed="same", positions=(), mated_with=(), companions=(), caution=(),
        names_any=(), names_uk=(), names_us=(), names_au=(), names_period=(), replaced_by=None,
    )  # fmt: skip
    parts = [
        replace(like, part_id=f"t{number}", name=name, noun_first=name)
        for number, name in enumerate(names)
    ]
    return Vocabulary(parts, own.assemblies())


def lines(names: list[str], count: int) -> Iterator[Line]:
    """Yield that many lines; some terms are written far more often than others.

    Three lines of four are written as one of the same term was before: so a million lines have
    some 240,000 distinct ones (of the 10,629 rows of the real lists of the practice data 21 % are
    distinct, counted with polars). Of ten lines written anew some three say the name as it is, in
    any case; the others change the order, slip, are read from print, shorten words or are cut at
    a column's width; some do two of these.
    """
    rng = random.Random(_SEED + 1)
    written: dict[int, list[Line]] = {}
    for _ in range(count):
        term = min(int(len(names) * rng.random() ** 1.6), len(names) - 1)
        before = written.setdefault(term, [])
        if before and rng.random() < _AGAIN:
            yield rng.choice(before)
            continue
        words = names[term].split()
        done: list[str] = []
        for _ in range(1 + (rng.random() < 0.2)):
            kind = rng.choices(tuple(_CHANGES), (30, 16, 20, 8, 14, 12))[0]
            if kind not in done:
                words = _CHANGES[kind](words, rng)
                done.append(kind)
        text = " ".join(words)
        if rng.random() < 1 / 6:
            text += f" {rng.choice(_BESIDE)}"
            done.append("beside")
        style = rng.random()
        cased = text.upper() if style < 0.3 else text.capitalize() if style < 0.6 else text
        before.append(Line(cased, term, tuple(done)))
        yield before[-1]


def _as_it_is(words: list[str], _: random.Random) -> list[str]:
    return words


def _turned(words: list[str], rng: random.Random) -> list[str]:
    """Noun first behind a comma, or any order."""
    if len(words) < 2:
        return words
    if rng.random() < 0.6:
        return [f"{words[-1]},", *words[:-1]]
    return rng.sample(words, len(words))


def _slip(words: list[str], rng: random.Random) -> list[str]:
    """A letter left out, doubled, wrong, or changed over with the next."""
    at = _long_word(words, rng)
    word = words[at]
    spot = rng.randrange(len(word) - 1)
    before, letter, after = word[:spot], word[spot], word[spot + 1 :]
    kind = rng.randrange(4)
    slipped = (
        before + after, before + letter * 2 + after,
        before + rng.choice(string.ascii_lowercase) + after,
        before + after[0] + letter + after[1:],
    )[kind]  # fmt: skip
    return [*words[:at], slipped, *words[at + 1 :]]


def _misread(words: list[str], rng: random.Random) -> list[str]:
    """A letter read from print as one that looks like it."""
    at = _long_word(words, rng)
    spots = [spot for spot, letter in enumerate(words[at]) if letter in _LOOKS_LIKE]
    if not spots:
        return words
    spot = rng.choice(spots)
    word = words[at][:spot] + _LOOKS_LIKE[words[at][spot]] + words[at][spot + 1 :]
    return [*words[:at], word, *words[at + 1 :]]


def _shortened(words: list[str], rng: random.Random) -> list[str]:
    """One word without its inner vowels, or its first letters with a stop."""
    at = _long_word(words, rng)
    word = words[at]
    if rng.random() < 0.5:
        short = word[0] + "".join(letter for letter in word[1:] if letter not in "aeiou")
    else:
        short = word[: rng.choice((3, 4, 5))] + "."
    return [*words[:at], short if len(short) > 2 else word, *words[at + 1 :]]


def _cut(words: list[str], rng: random.Random) -> list[str]:
    """Cut at a column's width."""
    text = " ".join(words)[: rng.choice((16, 19, 20, 24, 25, 30))]
    return text.split()


_CHANGES = {
    "as it is": _as_it_is, "order": _turned, "slip": _slip, "misread": _misread,
    "short form": _shortened, "cut": _cut,
}  # fmt: skip


def _long_word(words: list[str], rng: random.Random) -> int:
    long = [at for at, word in enumerate(words) if len(word) > 3] or [
        max(range(len(words)), key=lambda at: len(words[at]))
    ]
    return rng.choice(long)


def _plain(name: str) -> str:
    return " ".join(word for word in _BETWEEN.split(name.casefold()) if len(word) > 1)

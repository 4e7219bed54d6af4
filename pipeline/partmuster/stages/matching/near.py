"""Descriptions that come near a name: misspelt, cut short, or sharing its telling words."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np

from .nearness import Meaning, Nearness, Text
from .sides_said import position_objection
from .tokens import POSITIONS, plain_words, segments

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .exact import Description, ExactReader
    from .index import Name, VocabularyIndex
    from .nearness import Pairs

    Numbers = np.ndarray[Any, np.dtype[Any]]

#: Below this the description is said to name nothing known (the contract's own threshold).
UNKNOWN_BELOW: Final = 0.3
_WORTH_SAYING: Final = 0.002
_REPAIRED: Final = 0.9  # what a repaired word counts, times its likeness
_LIKELY_ENOUGH: Final = 0.8
_MOST_OF_IT: Final = 2 / 3
#: Parts that are offered for a description: those that answers keep are fewer.
MOST_NEAR: Final = 10
_CUT_SHORT: Final = 0.85
_CUT_AT_WORD: Final = 0.6
_MOST_BEGUN: Final = 20  # names that begin with a text; it says too little where more do
_NEAR_CAP: Final = 0.89  # likeness alone is never as sure as a name with a slip of the pen
_POSITION_WEIGHT: Final = 0.3  # of a position word the name lacks: mostly mere location
_TAIL: Final = 2  # letters of a last word that may be the rest of a cut one
_RUNS: Final = 0.7  # what likeness by runs of letters counts beside words that are met
_AT_ONCE: Final = 4_000
_LETTERS: Final = 2.2
_LIKELY_SO: Final = 0.5
_BESIDE_LIKELY: Final = 0.1
_HARDLY: Final = -6.2  # log odds of less than is worth saying
_NOT_SO: Final = -2.2  # and of less than is, where another is likely


class NearName(NamedTuple):
    """A part the words come near to: how sure, and what speaks for and against it.

    The figures are those of :class:`partmuster.stages.matching.nearness.Pairs`; ``repaired``:
    how many of its words were read as others.
    """

    part_id: str
    probability: float
    name: Name
    said: tuple[Meaning, ...] = ()
    how: str = "shares"
    objection: str = ""
    of_text: float = 1.0
    of_name: float = 1.0
    likeness: float = 1.0
    head: bool = False
    runs: float = 0.0
    repaired: int = 0

    @property
    def reasons(self) -> tuple[str, ...]:
        """The reasons in words."""
        if self.how == "begun":
            return (f"cut short: '{self.name.text}' begins so",)
        return (
            _whole(self.name, self.said) if self.how == "whole" else _shared(self.name, self.said)
        )


class NearReader:
    """Finds the names that descriptions come near to, for one reader of exact names."""

    def __init__(self, reader: ExactReader) -> None:
        self.reader = reader
        self._index = reader.index
        self._nearness = nearness_of(reader.index)
        self._meanings: dict[str, Meaning | None] = {}
        self._open: dict[tuple[object, ...], Meaning] = {}

    def near(self, described: Sequence[Description], most: int = MOST_NEAR) -> list[list[NearName]]:
        """Return parts that descriptions without an exact name come near to, likeliest first.

        Three kinds of evidence, the best one a part counts: a name with slips of the pen put
        right, a name of which the text is the beginning, and, where neither is likely, shared
        words. What a description comes near to does not depend on the others.
        """
        found: list[list[NearName]] = []
        for at in range(0, len(described), _AT_ONCE):
            found += self._near(described[at : at + _AT_ONCE], most)
        return found

    def _near(self, described: Sequence[Description], most: int) -> list[list[NearName]]:
        texts = [self._text(one) for one in described]
        pairs = self._nearness.pairs(texts)
        whole, alike = _probabilities(self._nearness, pairs, texts)
        likely = np.zeros(len(texts), dtype=bool)
        likely[pairs.row[whole >= _LIKELY_ENOUGH]] = True
        begun = {
            number: names_begun
            for number, one in enumerate(described)
            if (names_begun := cut_short(self._index, one))
        }
        for number, begins in begun.items():
            likely[number] |= any(near.probability >= _LIKELY_ENOUGH for near in begins)
        probability = np.where(likely[pairs.row], whole, np.maximum(whole, alike))
        leading = self._leading(pairs, probability, most)
        found: list[list[NearName]] = [[] for _ in described]
        names = self._nearness.tables.names
        columns = (
            pairs.row, pairs.name, probability, whole, pairs.of_text, pairs.of_name,
            pairs.likeness, pairs.head, pairs.runs,
        )  # fmt: skip
        for row, at, sure, said_whole, of_text, of_name, likeness, head, runs in zip(
            *(column[leading].tolist() for column in columns), strict=True
        ):
            text, name = texts[row], names[at]
            objection, read = "", 0
            if text.slips:
                own = _read_as(text.slips, name.words)
                read = len(own)
                if wrong := next((word for word in own if word in POSITIONS), ""):
                    objection = f"'{wrong}' is not said, only something like it"
            how = "whole" if said_whole >= sure else "shares"
            if (stated := described[row].stated) and (
                against := position_objection(self._index, name, stated)
            ):
                objection, sure = against, sure * 0.5  # noqa: PLW2901 - so it is judged
            found[row].append(
                NearName(
                    name.part_id,
                    sure,
                    name,
                    text.meanings,
                    how,
                    objection,
                    of_text,
                    of_name,
                    likeness,
                    head,
                    runs,
                    read,
                )
            )
        for number, begins in begun.items():
            found[number] += begins
        return [_ranked(near, most) if len(near) > 1 else near for near in found]

    def _leading(self, pairs: Pairs, probability: Numbers, most: int) -> Numbers:
        """Return the likeliest pairs of each text, one a part, text by text."""
        best = np.zeros(int(pairs.row.max(initial=-1)) + 1)
        np.maximum.at(best, pairs.row, probability)
        # Where one is likely, what is hardly near need not be looked at.
        least = np.where(best >= _LIKELY_SO, _BESIDE_LIKELY, _WORTH_SAYING)
        kept = np.flatnonzero(probability >= least[pairs.row])
        row, part = pairs.row[kept], self._nearness.tables.parts[pairs.name[kept]]
        order = np.lexsort((pairs.name[kept], -probability[kept], part, row))
        row, part = row[order], part[order]
        first = np.ones(len(order), dtype=bool)
        first[1:] = (row[1:] != row[:-1]) | (part[1:] != part[:-1])
        kept = kept[order[first]]
        row = pairs.row[kept]
        order = np.lexsort((pairs.name[kept], -probability[kept], row))
        kept, row = kept[order], row[order]
        place = np.arange(len(row)) - np.searchsorted(row, row)
        return kept[place < most]

    def _text(self, described: Description) -> Text:
        words = described.words
        known = self._meanings
        found: list[Meaning] = []
        for word in words:
            meaning = known.get(word, _UNREAD)
            if meaning is _UNREAD:
                meaning = self._learn(word, words)
            if meaning is not None:
                found.append(meaning)
        if len(words) > 1 and len(words[-1]) <= _TAIL and found and found[-1].slip:
            last = found[-1]
            found[-1] = last._replace(weight=last.weight * _POSITION_WEIGHT, position=False)
        if described.stated:
            found.extend(map(_stated, described.stated))
        slips = tuple([meaning for meaning in found if meaning.slip])
        return Text(tuple(found), " ".join(sorted(words)), slips)

    def _learn(self, word: str, words: list[str]) -> Meaning | None:
        """Return what a word may stand for, None for a filler; a short form by its neighbours."""
        index = self._index
        if word not in index.idf and word in self.reader.fillers:
            self._meanings[word] = None
            return None
        short = [] if word in index.idf else self.reader.readings(word, words)
        if short:
            asked = (word, *(read for read, _ in short))
            known = self._open.get(asked)
            if known is None:
                known = self._open[asked] = self._meaning(
                    word, [w for read, _ in short for w in read]
                )
            return known
        if len(self._meanings) > 300_000:  # noqa: PLR2004 - bounded, whatever is read
            self._meanings.clear()
        known = self._meanings[word] = self._meaning(word, [])
        return known

    def _meaning(self, word: str, read: list[str]) -> Meaning:
        index = self._index
        if word in index.idf:
            position = word in POSITIONS
            weight = index.idf[word] * (_POSITION_WEIGHT if position else 1.0)
            return Meaning(word, ((word, 1.0, 1.0),), weight, position=position)
        options: dict[str, tuple[float, float]] = dict.fromkeys(read, (1.0, 1.0))
        for near, likeness in index.repairs(word):
            singles = (near,) if near in index.idf else index.glued[near]
            for single in singles:
                options.setdefault(single, (_REPAIRED * likeness, likeness))
        for near, likeness in index.lexicon.shortened(word):
            options.setdefault(near, (likeness, likeness))
        known = [index.idf[option] for option in options if option in index.idf]
        weight = max(known, default=index.rarest)
        position = any(option in POSITIONS for option in options)
        if position:
            weight = _POSITION_WEIGHT * (known[0] if known else index.rarest)
        return Meaning(
            word, tuple((one, *worth) for one, worth in options.items() if one in index.idf),
            weight, position=position, slip=not read,
        )  # fmt: skip


_UNREAD: Final = Meaning("", (), 0.0)


@lru_cache(maxsize=8)
def nearness_of(index: VocabularyIndex) -> Nearness:
    """Return the arrays of a vocabulary's names; built once for each."""
    return Nearness(index)


@lru_cache(maxsize=1_000)
def _stated(word: str) -> Meaning:
    return Meaning(word, ((word, 1.0, 1.0),), 0.0, position=True, stated=True)


def _probabilities(
    nearness: Nearness, pairs: Pairs, texts: Sequence[Text]
) -> tuple[Numbers, Numbers]:
    """Return how likely each pair is: as a name said whole with slips put right, and as alike.

    Whole: 0.95 times the likeness of the words read as others; where a name is met with its
    positions, those that leave them out do not count.

    Alike, a documented monotone map: with ``t`` the share of the text's weight that the name
    covers, ``n`` the share of the name's weight that the text covers, ``s`` the token-sort ratio
    (rapidfuzz, 0 to 1) and ``h`` whether the head word (what the thing is) agrees:
    probability = logistic(-7.4 + 3.2 t + 3.8 n + 2.2 s + 1.2 h - 1.5 o), at most 0.89, where o is
    1 if one word is shared that is less than two thirds of the name. Weights were set by hand on
    the labelled lines in tests/bench/cases, so that half the words with another head stays below
    one half. Where words are too spoilt to be met, likeness by runs of letters counts in their
    stead, by 0.7.
    """
    slips = np.array([any(meaning.options for meaning in text.slips) for text in texts], dtype=bool)
    by_runs = _RUNS * pairs.runs
    of_text, of_name = np.maximum(pairs.of_text, by_runs), np.maximum(pairs.of_name, by_runs)
    score = -7.4 + 3.2 * of_text + 3.8 * of_name + 1.2 * pairs.head
    score -= 1.5 * ((of_name < _MOST_OF_IT) & (pairs.shared == 1))
    # Letters are compared only where it would matter if they were the same.
    first = score + _LETTERS > _NOT_SO
    nearness.liken(pairs, texts, np.flatnonzero(first))
    likely = np.zeros(len(texts), dtype=bool)
    likely[pairs.row[score + _LETTERS * pairs.likeness >= 0]] = True
    rest = (score + _LETTERS > _HARDLY) & ~first & ~likely[pairs.row]
    nearness.liken(pairs, texts, np.flatnonzero(rest))
    score += _LETTERS * pairs.likeness
    alike = np.minimum(_NEAR_CAP, 1 / (1 + np.exp(-score)))
    alike[(pairs.shared == 0) & (pairs.runs == 0)] = 0.0
    said = np.where(slips[pairs.row], pairs.said, 3)
    best = np.full(len(texts), 3)
    np.minimum.at(best, pairs.row, said)
    whole = np.where((said < 3) & (said == best[pairs.row]), 0.95 * pairs.read_as, 0.0)  # noqa: PLR2004 - see Pairs.said
    return whole, alike


def _read_as(slips: Sequence[Meaning], words: tuple[str, ...]) -> list[str]:
    """Return the words of a name that a text does not say, but something like them."""
    return [word for meaning in slips for word, *_ in meaning.options if word in words]


def cut_short(index: VocabularyIndex, described: Description) -> list[NearName]:
    """Return names that begin with the text: lists cut their columns at a fixed width."""
    written = described.text
    while True:
        tokens = [token for piece in segments(written) for token in piece]
        if tokens:
            # The last word may be cut anywhere, so it is compared as it stands, no singular.
            text = " ".join([*plain_words(tokens[:-1]), tokens[-1]])
            if names := index.beginning_with(text, _MOST_BEGUN):
                return list(_begun(names, text))
        if written == described.asides.name:
            return []
        written = described.asides.name


def _begun(names: list[Name], text: str) -> Iterator[NearName]:
    """Yield the names that begin with a text, less sure the more parts begin so."""
    parts = len({name.part_id for name in names})
    for name in names:
        at_word = " ".join(name.words).startswith(text + " ")
        sure = (_CUT_AT_WORD if at_word else _CUT_SHORT) / parts
        yield NearName(name.part_id, max(UNKNOWN_BELOW + 0.02, sure), name, how="begun")


def _whole(name: Name, said: tuple[Meaning, ...]) -> tuple[str, ...]:
    own = set(name.words)
    notes = []
    for meaning in said:
        met = [option[0] for option in meaning.options if option[0] in own]
        if met and meaning.word not in own:
            notes.append(f"'{meaning.word}' read as {' '.join(dict.fromkeys(met))}")
    return ("all words of the name", *notes)


def _shared(name: Name, said: tuple[Meaning, ...]) -> tuple[str, ...]:
    """Return in words what a name and a text share, and what they do not."""
    shared: list[str] = []
    lacking: list[str] = []
    read: list[str] = []
    for meaning in said:
        if meaning.stated:
            continue
        for option in meaning.options:
            if option[0] in name.words:
                shared.append(option[0])
                if option[0] != meaning.word:
                    read.append(f"'{meaning.word}' read as {option[0]}")
                break
        else:
            lacking.append(meaning.word)
    missing = [word for word in name.words if word not in shared]
    reasons = [f"shares {', '.join(dict.fromkeys(shared))} with '{name.text}'" if shared
               else f"is written like '{name.text}'", *read]  # fmt: skip
    if lacking:
        reasons.append(f"the name has no {', '.join(lacking)}")
    if missing:
        reasons.append(f"the words lack {', '.join(missing)}")
    return tuple(reasons)


def _ranked(near: list[NearName], most: int) -> list[NearName]:
    """Return the likeliest name of each part in order, the first less sure where one is close."""
    best: dict[str, NearName] = {}
    for one in near:
        known = best.get(one.part_id)
        if known is None or one.probability > known.probability:
            best[one.part_id] = one
    ranked = sorted(best.values(), key=lambda one: (-one.probability, one.part_id))[:most]
    if len(ranked) < 2:  # noqa: PLR2004 - a margin needs two
        return ranked
    first, second = ranked[0], ranked[1]
    gap = first.probability - second.probability
    lowered = max(second.probability, first.probability * (1 - 0.25 * max(0.0, 1 - gap / 0.2)))
    if lowered != first.probability:
        ranked[0] = first._replace(probability=lowered)
    return ranked

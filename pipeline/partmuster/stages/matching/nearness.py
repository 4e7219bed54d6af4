"""Which names come near to many texts at once: candidates and what speaks for them, as arrays.

Texts come as words with what each may stand for (``Meaning``). All of it is worked out row by row
without regard to the other rows, so a batch may be cut anywhere.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
from rapidfuzz import fuzz, process

from .word_tables import Rows, WordTables, runs

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .index import VocabularyIndex

    Numbers = np.ndarray[Any, np.dtype[Any]]

_FROM_WORDS: Final = 10
_FROM_RUNS: Final = 12
_NO_WORD: Final = -2


class Meaning(NamedTuple):
    """A word of a text and the vocabulary words it may stand for.

    ``options``: word, strength as evidence, and likeness (1 where it is said as it is);
    ``slip``: it is no word of the vocabulary; ``weight``: how telling it is, 0 for a position
    that is stated beside the name.
    """

    word: str
    options: tuple[tuple[str, float, float], ...]
    weight: float
    position: bool = False
    slip: bool = False
    stated: bool = False


class Text(NamedTuple):
    """A text to be laid beside names: its meanings, its words in order, which of them are slips."""

    meanings: tuple[Meaning, ...]
    in_order: str
    slips: tuple[Meaning, ...] = ()


@dataclass(slots=True)
class Pairs:
    """Texts and names laid side by side; every array has one entry a pair.

    ``of_text``: share of the text's weight that the name covers; ``of_name``: share of the
    name's; ``likeness``: rapidfuzz's token-sort ratio, 0 to 1; ``runs``: likeness by runs of
    letters, 0 where others are more like; ``head``: whether they agree what the thing is;
    ``shared``: words of the text that the name has; ``said``: 0 where each word of both is met,
    1 where only positions stated beside are over, 2 where only positions are, 3 otherwise;
    ``read_as``: how like the words are that had to be read as others, multiplied.
    """

    row: Numbers
    name: Numbers
    of_text: Numbers = field(default_factory=lambda: np.zeros(0))
    of_name: Numbers = field(default_factory=lambda: np.zeros(0))
    likeness: Numbers = field(default_factory=lambda: np.zeros(0))
    runs: Numbers = field(default_factory=lambda: np.zeros(0))
    head: Numbers = field(default_factory=lambda: np.zeros(0))
    shared: Numbers = field(default_factory=lambda: np.zeros(0))
    said: Numbers = field(default_factory=lambda: np.zeros(0))
    read_as: Numbers = field(default_factory=lambda: np.zeros(0))


class Nearness:
    """Lays texts beside the names of one vocabulary."""

    def __init__(self, index: VocabularyIndex) -> None:
        self.tables = WordTables(index)
        self._runs: dict[str, tuple[list[int], float]] = {}

    def pairs(self, texts: Sequence[Text]) -> Pairs:
        """Return the names that may be meant by each text, and what speaks for each.

        All but ``likeness``, which takes longest: see :meth:`liken`.
        """
        said = _Words.of(texts, self)
        if not len(said.meaning):
            nothing = np.zeros(0, dtype=np.int64)
            return Pairs(nothing, nothing)
        row, name, _ = self.tables.by_word.best(said.rows(), _FROM_WORDS)
        run_row, run_name, run_sum = self.tables.by_run.best(said.run_rows(self), _FROM_RUNS)
        width = len(self.tables.names)
        keys = np.concatenate([row * width + name, run_row * width + run_name])
        sums = np.concatenate([np.zeros(len(row)), run_sum])
        # Those found by runs stand behind their like, and tell how like they are.
        order = np.argsort(keys, kind="stable")
        keys, sums = keys[order], sums[order]
        last = np.ones(len(keys), dtype=bool)
        last[:-1] = keys[1:] != keys[:-1]
        keys = keys[last]
        found = Pairs(keys // max(width, 1), keys % max(width, 1), runs=sums[last])
        if len(keys):
            self._weigh(found, said)
        return found

    def liken(self, pairs: Pairs, texts: Sequence[Text], some: Numbers) -> None:
        """Compare the letters of some pairs (their numbers)."""
        in_order = self.tables.in_order
        pairs.likeness[some] = (
            process.cpdist(
                [texts[row].in_order for row in pairs.row[some].tolist()],
                [in_order[name] for name in pairs.name[some].tolist()],
                scorer=fuzz.ratio, dtype=np.float64,
            ) / 100
        )  # fmt: skip

    def runs_of(self, word: str) -> tuple[list[int], float]:
        """Return the runs of letters of a word that names have, and the squares of all summed."""
        known = self._runs.get(word)
        if known is None:
            if len(self._runs) > 200_000:  # noqa: PLR2004 - bounded, whatever is read
                self._runs.clear()
            ids = self.tables.run_ids
            every = runs(word)
            own = [ids[run] for run in every if run in ids]
            weights = self.tables.run_weights
            squares = float(sum(weights[run] ** 2 for run in own))
            squares += (len(every) - len(own)) * self.tables.rarest_run**2
            known = self._runs[word] = (own, squares)
        return known

    def _weigh(self, found: Pairs, said: _Words) -> None:
        """Work out what words of its text each name has, and what that makes of both."""
        tables, count = self.tables, len(found.row)
        first, many = said.readings_of_texts()
        many = many[found.row]
        pair = np.repeat(np.arange(count), many)
        reading = _spread(first[found.row], many)
        met = tables.words[found.name[pair]] == said.option[reading][:, None]
        has = np.packbits(met, axis=1)
        hit = np.flatnonzero(has.any(axis=1) & (said.strength[reading] > 0))
        # Which of its words a name has met, a bit a word; the rest is counted.
        pair, reading, has = pair[hit], reading[hit], has[hit]
        begins = _changes(pair)
        all_met = np.zeros((count, has.shape[1]), dtype=np.uint8)
        if len(begins):
            all_met[pair[begins]] = np.bitwise_or.reduceat(has, begins, axis=0)
        whole = (all_met == tables.every_word[found.name]).all(axis=1)
        # One word may stand for several; the best of them counts.
        begins = _changes(pair, said.token_of[reading])
        token, pair = said.token_of[reading[begins]], pair[begins]
        strength = np.maximum.reduceat(said.strength[reading], begins) if len(begins) else _NONE
        likeness = np.maximum.reduceat(said.likeness[reading], begins) if len(begins) else _NONE
        meaning = said.meaning[token]
        weight, stated = said.weight[meaning], said.stated[meaning]
        covered = np.bincount(pair, strength * weight, minlength=count)
        found.of_text = np.minimum(covered / said.total[found.row], 1.0)
        found.of_name = np.minimum(covered / tables.weights[found.name], 1.0)
        found.shared = np.bincount(pair[~stated], minlength=count)
        found.read_as = np.ones(count)
        begins = _changes(pair)
        if len(begins):
            found.read_as[pair[begins]] = np.multiply.reduceat(likeness, begins)
        found.likeness = np.zeros(count)
        found.said = np.full(count, 3)
        for level, spared in ((2, said.position), (1, said.stated), (0, said.none)):
            asked = ~spared[said.meaning]
            needed = np.bincount(said.text_of[asked], minlength=len(said.total))
            there = np.bincount(pair[~spared[meaning]], minlength=count)
            found.said[whole & (there == needed[found.row])] = level
        found.head = self._agree_what(found, said)

    def _agree_what(self, found: Pairs, said: _Words) -> Numbers:
        """Return whether the last word of each text that is no position is the name's head."""
        place = np.arange(len(said.meaning))
        telling = ~said.position[said.meaning]
        head = np.full(len(said.total), -1)
        head[said.text_of[telling]] = place[telling]  # the last one stays
        head = head[found.row]
        meaning = said.meaning[head]
        many = np.where(head >= 0, said.options[meaning], 0)
        agree = np.zeros(len(head), dtype=bool)
        for step in range(int(many.max(initial=0))):
            at = np.where(step < many, said.of_meaning[meaning] + step, 0)
            agree |= (step < many) & (said.distinct_option[at] == self.tables.heads[found.name])
        return agree


_NONE: Final = np.zeros(0)


def _spread(starts: Numbers, lengths: Numbers) -> Numbers:
    """Return the numbers from each start on, as many as it says, one behind the other."""
    ends = np.cumsum(lengths, dtype=np.int64)
    total = int(ends[-1]) if len(ends) else 0
    return np.arange(total) + np.repeat(starts - (ends - lengths), lengths)


def _changes(*columns: Numbers) -> Numbers:
    """Return where an entry differs from the one before it."""
    changes = np.ones(len(columns[0]), dtype=bool)
    if len(changes):
        changes[1:] = False
    for column in columns:
        changes[1:] |= column[1:] != column[:-1]
    return np.flatnonzero(changes)


@dataclass(slots=True)
class _Words:
    """The words of many texts, and what each may stand for.

    A meaning that many texts share is read once: ``meaning`` numbers those of each word in turn,
    and the columns behind it have one entry a meaning, or one a reading of such a meaning.
    """

    meaning: Numbers  # by word of a text
    text_of: Numbers
    total: Numbers  # by text: what its words weigh
    distinct: list[Meaning]  # by meaning, as are the next six
    weight: Numbers
    position: Numbers
    stated: Numbers
    none: Numbers
    options: Numbers
    of_meaning: Numbers  # where its readings begin
    distinct_option: Numbers
    option: Numbers  # by reading of a word of a text, as are the next three
    strength: Numbers
    likeness: Numbers
    token_of: Numbers

    @classmethod
    def of(cls, texts: Sequence[Text], nearness: Nearness) -> _Words:
        ids = nearness.tables.word_ids
        flat = [meaning for text in texts for meaning in text.meanings]
        lengths = np.array([len(text.meanings) for text in texts], dtype=np.int64)
        same = np.fromiter(map(id, flat), dtype=np.int64, count=len(flat))
        _, first, meaning = np.unique(same, return_index=True, return_inverse=True)
        distinct = [flat[at] for at in first.tolist()]
        word: list[int] = []
        strength: list[float] = []
        likeness: list[float] = []
        options: list[int] = []
        for one in distinct:
            options.append(len(one.options) or 1)
            if not one.options:
                word.append(_NO_WORD)
                strength.append(0.0)
                likeness.append(0.0)
            for read, worth, like in one.options:
                word.append(ids.get(read, _NO_WORD))
                strength.append(worth)
                likeness.append(like)
        many = np.array(options, dtype=np.int64)
        starts = np.cumsum(many) - many
        weight = np.array([one.weight for one in distinct])
        text_of = np.repeat(np.arange(len(texts)), lengths)
        total = np.bincount(text_of, weight[meaning], minlength=len(texts))
        at = _spread(starts[meaning], many[meaning])
        distinct_option = np.array(word, dtype=np.int32)
        return cls(
            meaning, text_of, np.where(total > 0, total, 1.0), distinct, weight,
            np.array([one.position for one in distinct], dtype=bool),
            np.array([one.stated for one in distinct], dtype=bool),
            np.zeros(len(distinct), dtype=bool), many, starts, distinct_option,
            distinct_option[at], np.array(strength)[at], np.array(likeness)[at],
            np.repeat(np.arange(len(meaning)), many[meaning]),
        )  # fmt: skip

    def readings_of_texts(self) -> tuple[Numbers, Numbers]:
        """Return for each text where its words' readings begin, and how many there are."""
        many = np.bincount(self.text_of[self.token_of], minlength=len(self.total))
        return np.cumsum(many) - many, many

    def rows(self) -> Rows:
        """Return the texts as rows of words, the strength of each by how telling it is."""
        weight = self.weight[self.meaning[self.token_of]]
        kept = (self.option >= 0) & (self.strength > 0) & (weight > 0)
        row = self.text_of[self.token_of[kept]]
        return Rows(_starts(row, len(self.total)), self.option[kept],
                    self.strength[kept] * weight[kept])  # fmt: skip

    def run_rows(self, nearness: Nearness) -> Rows:
        """Return the texts as rows of runs of letters, each text as long as any other."""
        found = [nearness.runs_of(one.word) for one in self.distinct]
        many = np.array([len(own) for own, _ in found], dtype=np.int64)
        every = np.array([run for own, _ in found for run in own], dtype=np.int32)
        squares = np.array([square for _, square in found])[self.meaning]
        norm = np.sqrt(np.bincount(self.text_of, squares, minlength=len(self.total)))
        norm[norm == 0] = 1.0
        run = every[_spread((np.cumsum(many) - many)[self.meaning], many[self.meaning])]
        row = np.repeat(self.text_of, many[self.meaning])
        return Rows(
            _starts(row, len(self.total)), run, nearness.tables.run_weights[run] / norm[row]
        )


def _starts(row: Numbers, rows: int) -> Numbers:
    """Return where each row begins among entries in order of their rows."""
    starts = np.zeros(rows + 1, dtype=np.int32)
    np.cumsum(np.bincount(row, minlength=rows), out=starts[1:])
    return starts

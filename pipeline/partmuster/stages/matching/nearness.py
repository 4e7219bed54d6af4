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
_FROM_RUNS: Final = 8
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


@dataclass(slots=True)
class Text:
    """A text to be laid beside names: its meanings, its words in order, its head words."""

    meanings: list[Meaning]
    in_order: str
    heads: frozenset[str] = frozenset()


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
        """Return the names that may be meant by each text, and what speaks for each."""
        if not any(text.meanings for text in texts):
            nothing = np.zeros(0, dtype=np.int64)
            return Pairs(nothing, nothing)
        slots = _Slots.of(texts, self.tables)
        row, name, _ = self.tables.by_word.best(slots.rows(), _FROM_WORDS)
        run_row, run_name, run_sum = self.tables.by_run.best(self._run_rows(texts), _FROM_RUNS)
        width = len(self.tables.names)
        keys = np.concatenate([row * width + name, run_row * width + run_name])
        sums = np.concatenate([np.zeros(len(row)), run_sum])
        order = np.lexsort((-sums, keys))
        keys, sums = keys[order], sums[order]
        first = np.ones(len(keys), dtype=bool)
        first[1:] = keys[1:] != keys[:-1]
        keys = keys[first]
        found = Pairs(keys // max(width, 1), keys % max(width, 1), runs=sums[first])
        if len(keys):
            self._weigh(found, slots, texts)
        return found

    def _run_rows(self, texts: Sequence[Text]) -> Rows:
        features: list[int] = []
        lengths: list[int] = []
        norms: list[float] = []
        for text in texts:
            before = len(features)
            norm = 0.0
            for meaning in text.meanings:
                if not meaning.stated:
                    own, weight = self._runs_of(meaning.word)
                    features += own
                    norm += weight
            lengths.append(len(features) - before)
            norms.append(norm**0.5 or 1.0)
        starts = np.zeros(len(texts) + 1, dtype=np.int32)
        np.cumsum(lengths, out=starts[1:])
        numbers = np.array(features, dtype=np.int32)
        weights = self.tables.run_weights[numbers] / np.repeat(norms, lengths)
        return Rows(starts, numbers, weights)

    def _runs_of(self, word: str) -> tuple[list[int], float]:
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

    def _weigh(self, found: Pairs, slots: _Slots, texts: Sequence[Text]) -> None:
        tables = self.tables
        lengths = slots.lengths[found.row]
        ends = np.cumsum(lengths)
        starts = ends - lengths
        at = np.arange(ends[-1]) - np.repeat(starts - slots.starts[found.row], lengths)
        pair = np.repeat(np.arange(len(lengths)), lengths)
        met = tables.words[found.name[pair]] == slots.word[at][:, None]
        is_met = met.any(axis=1)
        # One word may stand for several; the best of them counts.
        token = slots.token[at]
        begins = np.ones(len(token), dtype=bool)
        begins[1:] = (token[1:] != token[:-1]) | (pair[1:] != pair[:-1])
        begins = np.flatnonzero(begins)
        strength = np.maximum.reduceat(np.where(is_met, slots.strength[at], 0.0), begins)
        likeness = np.maximum.reduceat(np.where(is_met, slots.likeness[at], 0.0), begins)
        hit = strength > 0
        of_token = token[begins]
        weight, stated = slots.weight[of_token], slots.stated[of_token]
        pair_begins = np.searchsorted(begins, starts)
        covered = np.add.reduceat(strength * weight, pair_begins)
        found.of_text = np.minimum(covered / slots.total[found.row], 1.0)
        found.of_name = np.minimum(covered / tables.weights[found.name], 1.0)
        found.shared = np.add.reduceat(hit & ~stated, pair_begins, dtype=np.int64)
        found.read_as = np.multiply.reduceat(np.where(hit, likeness, 1.0), pair_begins)
        all_met = np.logical_or.reduceat(met, starts, axis=0)
        whole = (all_met | (tables.words[found.name] < 0)).all(axis=1)
        said = np.full(len(lengths), 3)
        for level, spared in ((2, slots.position[of_token]), (1, stated), (0, None)):
            fits = hit if spared is None else hit | spared
            said[whole & np.logical_and.reduceat(fits, pair_begins)] = level
        found.said = said
        texts_in_order = np.array([text.in_order for text in texts], dtype=object)
        found.likeness = (
            process.cpdist(
                texts_in_order[found.row].tolist(), tables.in_order[found.name].tolist(),
                scorer=fuzz.ratio, dtype=np.float64,
            ) / 100
        )  # fmt: skip
        heads = slots.heads
        head_at = heads.starts[found.row]
        head = np.zeros(len(lengths), dtype=bool)
        for step in range(int((heads.starts[1:] - heads.starts[:-1]).max(initial=0))):
            there = head_at + step < heads.starts[found.row + 1]
            numbers = heads.features[np.where(there, head_at + step, 0)]
            head |= there & (numbers == tables.heads[found.name])
        found.head = head


@dataclass(slots=True)
class _Slots:
    """What the words of texts may stand for, one entry a reading; and the words themselves."""

    starts: Numbers  # by text, in the readings
    lengths: Numbers
    word: Numbers
    strength: Numbers
    likeness: Numbers
    token: Numbers
    weight: Numbers  # by word of a text, as are the next two
    position: Numbers
    stated: Numbers
    total: Numbers  # by text
    heads: Rows

    @classmethod
    def of(cls, texts: Sequence[Text], tables: WordTables) -> _Slots:
        ids = tables.word_ids
        words: list[int] = []
        strengths: list[float] = []
        likenesses: list[float] = []
        options: list[int] = []  # readings by word of a text
        weights: list[float] = []
        positions: list[bool] = []
        stated: list[bool] = []
        tokens: list[int] = []  # words by text
        head_ids: list[int] = []
        head_lengths: list[int] = []
        ready: dict[int, tuple[list[int], list[float], list[float]]] = {}
        for text in texts:
            for meaning in text.meanings:
                of_word = ready.get(id(meaning))
                if of_word is None:
                    of_word = ready[id(meaning)] = (
                        [ids.get(word, _NO_WORD) for word, *_ in meaning.options] or [_NO_WORD],
                        [strength for _, strength, _ in meaning.options] or [0.0],
                        [likeness for *_, likeness in meaning.options] or [0.0],
                    )
                words += of_word[0]
                strengths += of_word[1]
                likenesses += of_word[2]
                options.append(len(of_word[0]))
                weights.append(meaning.weight)
                positions.append(meaning.position)
                stated.append(meaning.stated)
            tokens.append(len(text.meanings))
            own = [ids[word] for word in sorted(text.heads) if word in ids]
            head_ids += own
            head_lengths.append(len(own))
        of_token = np.repeat(np.arange(len(options)), np.array(options, dtype=np.int64))
        token_ends = np.cumsum(tokens, dtype=np.int64)
        reading_ends = np.concatenate([[0], np.cumsum(options, dtype=np.int64)])
        starts = reading_ends[token_ends - np.array(tokens, dtype=np.int64)]
        ends = reading_ends[token_ends]
        head_starts = np.zeros(len(texts) + 1, dtype=np.int64)
        np.cumsum(head_lengths, out=head_starts[1:])
        row_of_token = np.repeat(np.arange(len(tokens)), tokens)
        total = np.bincount(row_of_token, weights, minlength=len(tokens))
        return cls(
            starts, ends - starts, np.array(words, dtype=np.int32), np.array(strengths),
            np.array(likenesses), of_token, np.array(weights), np.array(positions, dtype=bool),
            np.array(stated, dtype=bool), np.where(total > 0, total, 1.0),
            Rows(head_starts, np.array(head_ids or [0], dtype=np.int32), np.zeros(0)),
        )  # fmt: skip

    def rows(self) -> Rows:
        """Return the texts as rows of words, the strength of each by how telling it is."""
        kept = (self.word >= 0) & (self.strength > 0) & (self.weight[self.token] > 0)
        row = np.repeat(np.arange(len(self.lengths)), self.lengths)[kept]
        starts = np.zeros(len(self.lengths) + 1, dtype=np.int32)
        np.cumsum(np.bincount(row, minlength=len(self.lengths)), out=starts[1:])
        weights = (self.strength * self.weight[self.token])[kept]
        return Rows(starts, self.word[kept], weights)

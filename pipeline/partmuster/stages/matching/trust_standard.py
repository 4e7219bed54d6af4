"""What likeness must reach to be accepted, set on labelled lines for a stated error.

The lines are those that ship with the package (``trust_lines.csv``, each with what a model that had
not learned from it saw) and the club's own confirmations, likewise. The threshold is the lowest at
which the share of wrong lines among those accepted, by name or by likeness, is at most the error,
and the exact 95 % bound of that share (Clopper and Pearson, one-sided) at most three times it.
Until a club has confirmed enough, none is in force.
"""

from __future__ import annotations

import csv
import hashlib
import io
import math
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Final

from .candidates import NOT_ACCEPTED
from .trust import Standard
from .trust_model import SURE, TrustModel, shipped_model

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

#: One in 200 accepted lines may be wrong, unless a club says otherwise.
ERROR: Final = 1 / 200
#: Confirmed lines a club needs of its own before anything is accepted by likeness.
LEAST_CONFIRMED: Final = 50
CONFIDENCE: Final = 0.95
_BOUND: Final = 3.0  # times the error
_FOLDS: Final = 5
_HALVINGS: Final = 60


@dataclass(frozen=True, slots=True)
class LabelledLine:
    """A labelled line: what the model saw of it, and whether that was right.

    ``words``: by which lines are told apart; ``about``: see ``trust_model.about_leading``, empty
    for a line that was accepted by its name; ``vetoed``: never accepted, however likely.
    """

    words: str
    about: tuple[float, ...]
    right: bool
    vetoed: bool = False


@dataclass(frozen=True, slots=True)
class Tested:
    """A standard, and how it was come by.

    ``tested`` labelled lines were accepted at it, ``likened`` of them by likeness, ``wrong`` of all
    wrongly; ``bound``: the exact upper bound of that share; ``waits``: why none is in force.
    """

    standard: Standard
    error: float
    confirmed: int
    tested: int = 0
    wrong: int = 0
    likened: int = 0
    waits: str = ""

    @property
    def estimate(self) -> float:
        """The share of wrong lines among those accepted."""
        return self.wrong / self.tested if self.tested else 0.0

    @property
    def bound(self) -> float:
        """The exact upper bound of that share."""
        return upper_bound(self.wrong, self.tested)

    def words(self) -> str:
        """Return the standard in words."""
        if self.waits:
            return f"likeness is not accepted yet: {self.waits}"
        return (
            f"likeness is accepted from a probability of {self.standard.threshold:.3f}: of "
            f"{self.tested} labelled lines then accepted ({self.likened} by likeness) "
            f"{self.wrong} were wrong "
            f"({self.estimate:.2%}, with 95 % confidence at most {self.bound:.2%}); "
            f"{self.confirmed} lines are the club's own"
        )

    def why_waiting(self, probability: float, reasons: str) -> str:
        """Return why a candidate is not accepted by itself."""
        against = [
            text.removeprefix(NOT_ACCEPTED) for text in reasons.split("; ")
            if text.startswith(NOT_ACCEPTED)
        ]  # fmt: skip
        if against:
            return "; ".join(against)
        threshold = self.standard.threshold
        if threshold is None:
            return "its words are no name, and likeness is not accepted yet"
        if probability < threshold:
            return f"its probability of {probability:.3f} is below {threshold:.3f}"
        return "more than one part may be meant"


def set_standard(
    confirmed: Iterable[LabelledLine],
    error: float = ERROR,
    shipped: Sequence[LabelledLine] | None = None,
    model: TrustModel | None = None,
) -> Tested:
    """Return the standard that the club's confirmed lines and those that ship set together.

    Lines confirmed count instead of shipped ones of the same words. ``shipped`` and ``model``:
    those of the package, unless others are to be tried.
    """
    model = model or shipped_model()
    own = sorted({line.words: line for line in confirmed}.values(), key=lambda line: line.words)
    mine = {line.words for line in own}
    ours = [line for line in (shipped_lines() if shipped is None else shipped)
            if line.words not in mine]  # fmt: skip
    learned = _learned(model, own)
    if len(own) < LEAST_CONFIRMED:
        waits = f"{len(own)} lines are confirmed, and it takes {LEAST_CONFIRMED}"
        return Tested(Standard(learned), error, len(own), waits=waits)
    by_name = [line.right for line in ours if not line.about]
    scored = [
        (learned.probability(line.about), line.right)
        for line in ours if line.about and not line.vetoed
    ]  # fmt: skip
    for fold in range(_FOLDS):
        others = _learned(model, [line for line in own if _fold(line) != fold])
        scored += [
            (others.probability(line.about), line.right)
            for line in own if _fold(line) == fold and not line.vetoed
        ]  # fmt: skip
    found = lowest(scored, error, by_name)
    if found is None:
        waits = (
            f"of {len(scored)} labelled lines too few are surely right for an error of {error:.2%}"
        )
        return Tested(Standard(learned), error, len(own), waits=waits)
    threshold, tested, wrong = found
    likened = tested - len(by_name)
    return Tested(Standard(learned, threshold), error, len(own), tested, wrong, likened)


def _learned(model: TrustModel, lines: Sequence[LabelledLine]) -> TrustModel:
    return model.learned([line.about for line in lines], [line.right for line in lines])


def _fold(line: LabelledLine) -> int:
    return int(hashlib.md5(line.words.encode(), usedforsecurity=False).hexdigest(), 16) % _FOLDS


def lowest(
    scored: list[tuple[float, bool]], error: float, by_name: Sequence[bool] = ()
) -> tuple[float, int, int] | None:
    """Return the lowest threshold that keeps to the error, and its accepted and wrong lines.

    ``by_name``: whether the lines were right that are accepted by their names anyway.
    """
    best = None
    accepted, wrong = len(by_name), sum(not right for right in by_name)
    in_order = sorted(scored, key=lambda one: -one[0])
    for place, (probability, right) in enumerate(in_order, 1):
        accepted, wrong = accepted + 1, wrong + (not right)
        if place < len(in_order) and in_order[place][0] == probability:
            continue  # lines as likely as each other are accepted together
        if wrong <= error * accepted and upper_bound(wrong, accepted) <= _BOUND * error:
            # Rounded as probabilities are, so that what is shown is what is compared.
            best = math.floor(probability * 1e4) / 1e4, accepted, wrong
    return best


@lru_cache(maxsize=10_000)
def upper_bound(wrong: int, of: int, confidence: float = CONFIDENCE) -> float:
    """Return the exact (Clopper-Pearson) one-sided upper bound of a share."""
    if of <= 0 or wrong >= of:
        return 1.0
    low, high = wrong / of, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if _at_most(wrong, of, middle) > 1 - confidence:
            low = middle
        else:
            high = middle
    return high


def _at_most(wrong: int, of: int, share: float) -> float:
    """Return the probability of at most so many wrong (the binomial distribution)."""
    if share in {0.0, 1.0}:
        return 1.0 - share
    whole = math.lgamma(of + 1)
    return sum(
        math.exp(
            whole - math.lgamma(k + 1) - math.lgamma(of - k + 1)
            + k * math.log(share) + (of - k) * math.log1p(-share)
        )
        for k in range(wrong + 1)
    )  # fmt: skip


@lru_cache(maxsize=1)
def shipped_lines() -> tuple[LabelledLine, ...]:
    """Return the labelled lines that ship with the package."""
    text = resources.files("partmuster.stages.matching").joinpath("trust_lines.csv")
    rows = csv.DictReader(io.StringIO(text.read_text(encoding="utf-8")))
    return tuple(
        LabelledLine(
            row["words"], tuple(float(row[name]) for name in SURE if row[name]),
            row["right"] == "yes", row["vetoed"] == "yes",
        )
        for row in rows
    )  # fmt: skip

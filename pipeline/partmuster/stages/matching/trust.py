"""How sure the parts are that a description comes near to, and whether one is accepted for it.

Likeness is accepted only where a standard is in force (``trust_standard.py``), the probability
reaches its threshold, and nothing of rule 5 speaks against it (``trust_veto.py``).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from .near import UNKNOWN_BELOW
from .trust_features import best_aligned, features
from .trust_model import TrustModel, about_leading, shipped_model
from .trust_veto import vetoes
from .trust_words import said_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .candidates import Item, Reading
    from .exact import Description, ExactReader
    from .trust_words import Aligned

_STEP: Final = 0.001  # so that the order is kept where probabilities are rounded
_TWO: Final = 2
_SHOWN: Final = 3  # readings that a line keeps
_CLEAR: Final = 0.2  # a margin from which nothing else is weighed
_MOST: Final = 0.995  # likeness is never surer than name and number together


@dataclass(frozen=True, slots=True)
class Standard:
    """What likeness must reach to be accepted: a model, and a threshold where one is in force."""

    model: TrustModel
    threshold: float | None = None


@dataclass(slots=True, eq=False)
class Laid:
    """A near reading beside its name, and how much speaks for it (log odds)."""

    reading: Reading
    laid: Aligned
    weighed: float
    seen: list[float]

    @property
    def whole(self) -> bool:
        """Whether the name is said whole, and nothing else is said of the thing."""
        return not self.laid.over and not self.laid.lacking


def laid_out(
    reader: ExactReader,
    item: Item,
    described: Description,
    near: Sequence[Reading],
    model: TrustModel,
) -> list[Laid]:
    """Return near readings laid beside the names they come near to, likeliest first."""
    index = reader.index
    said = said_words(reader, described)
    found = []
    for reading in near:
        if reading.part_id not in index.parts or reading.part_id is None:
            continue
        laid = best_aligned(index, said, reading.part_id, reader.region)
        if laid is not None and laid.pairs:
            seen = features(index, item, described, laid, reader.region, reading.near)
            weighed = model.weighed(seen)
            found.append(Laid(reading, laid, round(weighed, 9), seen))
    found.sort(key=lambda one: (-one.weighed, one.reading.part_id or ""))
    return found


def judged(
    reader: ExactReader,
    item: Item,
    described: Description,
    near: Sequence[Reading],
    standard: Standard | None = None,
    *,
    whole: bool = False,
) -> tuple[list[Reading], tuple[float, ...]]:
    """Return near readings in order with calibrated probabilities, and what the model saw.

    Only the leading one may be accepted, where the standard has a threshold and nothing speaks
    against it. What nothing is accepted of, and clear, is weighed by its nearness alone, unless
    the ``whole`` is asked for.
    """
    model = standard.model if standard else shipped_model()
    unset = standard is None or standard.threshold is None
    if unset and not whole and _is_clear(item, near):
        return _quick(model, near), ()
    laid = laid_out(reader, item, described, near, model)
    if not laid:
        return [], ()
    about = about_leading([one.weighed for one in laid], laid[0].seen, whole=laid[0].whole)
    sure = min(model.probability(about), _MOST)
    odds = [math.exp(max(-30.0, one.weighed)) for one in laid]
    rest = sum(odds[1:]) or 1.0
    threshold = standard.threshold if standard else None
    likely = [
        sure if place == 0 else max(0.0, min((1 - sure) * odds[place] / rest, sure - _STEP * place))
        for place in range(len(laid))
    ]
    least_sure = math.inf if threshold is None else max(threshold, UNKNOWN_BELOW)
    least = round(likely[min(len(laid), _SHOWN) - 1], 4)
    found = []
    for place, (one, probability) in enumerate(zip(laid, likely, strict=True)):
        against = one.reading.objections
        if round(probability, 4) >= least:  # what is never shown need not be looked at
            vetoed = vetoes(reader.index, described, one.laid, reader.fillers)
            against = tuple(dict.fromkeys((*against, *vetoed))) if vetoed else against
        enough = place == 0 and not against and least_sure <= sure
        found.append(
            one.reading._replace(probability=probability, acceptable=enough, objections=against)
        )
    return found, tuple(about)


def _is_clear(item: Item, near: Sequence[Reading]) -> bool:
    """Whether one part comes nearest by far, and the line has nothing else to tell."""
    if item.assembly or item.supply_class or item.family_parts:
        return False
    return len(near) < _TWO or near[0].probability - near[1].probability >= _CLEAR


def _quick(model: TrustModel, near: Sequence[Reading]) -> list[Reading]:
    """Return readings with the probability that their nearness alone gives: nothing is accepted.

    Most lines of a large list are such, and laying each beside its names takes far longer.
    """
    first = near[0]
    margin = first.probability - (near[1].probability if len(near) > 1 else 0.0)
    sure = model.quick_probability(first.probability, margin)
    if first.probability < UNKNOWN_BELOW:
        sure = min(sure, first.probability)  # what names nothing goes on to
    found = [first._replace(probability=sure)]
    for place, one in enumerate(near[1:], 1):
        probability = max(0.0, min(one.probability, 1 - sure, sure - _STEP * place))
        found.append(
            one if probability == one.probability else one._replace(probability=probability)
        )
    return found

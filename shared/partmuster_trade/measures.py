"""Sizes as the trade writes them: inches and their fractions, millimetres, numbers of a series."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

Unit = Literal["in", "mm", "#", "BA"]

_MM_OF_AN_INCH: Final = Fraction(127, 5)
_INCH_FRACTIONS: Final = frozenset({1, 2, 4, 8, 16, 32, 64})


@dataclass(frozen=True, slots=True)
class Measure:
    """A size: ``3/8 in``, ``40 mm``, ``#10`` of the Unified numbers, ``2 BA``."""

    value: Fraction
    unit: Unit

    @property
    def mm(self) -> Fraction | None:
        """Return the size in millimetres; None for a number of a series."""
        if self.unit == "mm":
            return self.value
        return self.value * _MM_OF_AN_INCH if self.unit == "in" else None

    def same(self, other: Measure) -> bool:
        """Whether two sizes are one and the same, in whatever unit."""
        if self.unit == other.unit:
            return self.value == other.value
        return self.mm is not None and self.mm == other.mm

    @property
    def figure(self) -> str:
        """Return the figure without its unit: ``1 1/4``, ``1.25``, ``#10``."""
        text = plain_number(self.value, fractions=self.unit == "in")
        return f"#{text}" if self.unit == "#" else text

    def __str__(self) -> str:
        return self.figure if self.unit == "#" else f"{self.figure} {self.unit}"


def plain_number(value: Fraction, *, fractions: bool = False) -> str:
    """Return a number as people write it: ``1 1/4`` where fractions are used, else ``1.25``."""
    if value.denominator == 1:
        return str(value.numerator)
    if fractions and value.denominator in _INCH_FRACTIONS:
        whole, rest = divmod(value, 1)
        part = f"{rest.numerator}/{rest.denominator}"
        return f"{whole} {part}" if whole else part
    return f"{float(value):.6f}".rstrip("0")

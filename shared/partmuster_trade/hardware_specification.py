"""What a specification of standard hardware holds."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from partmuster_trade.threads import threads_of

if TYPE_CHECKING:
    from partmuster_trade.measures import Measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Specification:
    """What is said of a piece of hardware; empty is not stated.

    ``style``: its head, or the sort of nut, washer or bearing. ``size``: the diameter a thread or
    pin is named by; ``tpi`` and ``pitch`` (mm) as stated. ``sizes``: bore, outside and width.
    ``tube``: the pipe that it is for. ``duty``: steering, brakes or lifting. ``unread``: words that
    were not understood; ``problems``: what contradicts itself, or may be read in two ways.
    """

    kind: str = ""
    style: str = ""
    series: str = ""
    size: Measure | None = None
    tpi: Fraction | None = None
    pitch: Fraction | None = None
    left_hand: bool = False
    fit_class: str = ""
    length: Measure | None = None
    grade: str = ""
    drilled: tuple[str, ...] = ()
    material: str = ""
    finish: str = ""
    number: str = ""
    closure: str = ""
    clearance: str = ""
    sizes: tuple[Measure, ...] = ()
    tube: Measure | None = None
    across_flats: Measure | None = None
    gender: str = ""
    duty: str = ""
    unread: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()

    @property
    def measured(self) -> bool:
        """Whether any size is stated."""
        return bool(self.size or self.sizes or self.number or self.tube or self.length)

    @property
    def table_pitches(self) -> tuple[Fraction, ...]:
        """Return the threads to the inch (metric: the pitches in mm) that the tables give."""
        if not self.series or self.size is None:
            return ()
        found = threads_of(self.series, self.size)
        if self.series == "M":
            return tuple(Fraction(thread.pitch_mm) for thread in found)
        return tuple(thread.tpi for thread in found)

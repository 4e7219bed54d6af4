"""Published threads: diameter, pitch and angle of each size of each series, with their source."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING

from partmuster_trade.measures import Measure, plain_number
from partmuster_trade.tables import bundled_rows, split_list

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Series:
    """A series of threads, as people name it.

    ``table``: series of the table of sizes that belong to it, none where no sizes are carried;
    ``named_by``: what a size is named by (inch, mm, BA, or pipe: the bore of the pipe, nominally).
    """

    series: str
    table: tuple[str, ...]
    angle: Decimal
    named_by: str
    taper: bool
    note: str
    source: str


@dataclass(frozen=True, slots=True)
class Thread:
    """One size of a series; ``source`` says whether its row was seen or remembered."""

    series: str
    size: str
    major_in: Decimal
    major_mm: Decimal
    tpi: Fraction
    pitch_mm: Decimal
    angle: Decimal
    source: str

    @property
    def measure(self) -> Measure:
        """Return the size by which the thread is named."""
        text = self.size
        if text.startswith("#"):
            return Measure(Fraction(text[1:]), "#")
        if text.endswith("BA"):
            return Measure(Fraction(text[:-2]), "BA")
        if text.startswith("M"):
            return Measure(Fraction(text[1:].partition("x")[0]), "mm")
        whole, _, part = text.rpartition("-")
        return Measure(Fraction(whole or 0) + Fraction(part), "in")


@functools.cache
def all_series() -> Mapping[str, Series]:
    """Return all series by name."""
    return MappingProxyType(
        {
            row["series"]: Series(
                row["series"],
                split_list(row["table"]),
                Decimal(row["angle"]),
                row["named_by"],
                row["taper"] == "yes",
                row["note"],
                row["source"],
            )
            for row in bundled_rows("thread_series.csv")
        }
    )


@functools.cache
def all_threads() -> tuple[Thread, ...]:
    """Return every size of every series, as published."""
    return tuple(
        Thread(
            row["series"],
            row["size"],
            Decimal(row["major_in"]),
            Decimal(row["major_mm"]),
            Fraction(row["tpi"]),
            Decimal(row["pitch_mm"]),
            Decimal(row["thread_angle_deg"]),
            row["source"],
        )
        for row in bundled_rows("threads.csv")
    )


@functools.cache
def _by_size() -> Mapping[tuple[str, Measure], tuple[Thread, ...]]:
    of_table = {table: name for name, one in all_series().items() for table in one.table}
    found: dict[tuple[str, Measure], list[Thread]] = {}
    for thread in all_threads():
        found.setdefault((of_table[thread.series], thread.measure), []).append(thread)
    return MappingProxyType({key: tuple(threads) for key, threads in found.items()})


def threads_of(series: str, size: Measure) -> tuple[Thread, ...]:
    """Return the threads of a size; several for metric, the coarse one first; none if unknown."""
    return _by_size().get((series, size), ())


def series_with(size: Measure, tpi: Fraction) -> tuple[str, ...]:
    """Return the series that have this size with so many threads to the inch."""
    return tuple(
        sorted(
            series
            for (series, of_size), threads in _by_size().items()
            if of_size == size
            and all_series()[series].named_by != "pipe"
            and any(thread.tpi == tpi for thread in threads)
        )
    )


def thread_name(series: str, size: Measure | None) -> str:
    """Return what people call a thread: ``3/8 BSF``, ``2 BA``, ``M10``, ``#10 UNF``."""
    if size is None:
        return series
    if series == "M":
        return f"M{size.figure}"
    if not series:
        return str(size)
    return f"{size.figure} {series}"


def pitch_words(tpi: Fraction | None, pitch: Fraction | None) -> str:
    """Return a pitch in words, whichever way it is told."""
    if tpi is not None:
        return f"{plain_number(tpi, fractions=True)} threads to the inch"
    return f"{plain_number(pitch)} mm pitch" if pitch is not None else ""

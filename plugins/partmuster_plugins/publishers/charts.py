"""Charts: horizontal bars, as numbers that any form can draw, and drawn as inline SVG.

Bars of a range have a lighter end; bars of several numbers differ in make. Nothing is told by
colour alone: ends and second bars are hatched, and each bar has its numbers beside it in words.
"""

from __future__ import annotations

import html
import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .values import clean, shown_in

if TYPE_CHECKING:
    import polars as pl

    from partmuster.plugin_api import Section, SectionColumn

#: More bars than these nobody reads; the table beside has the others.
MOST_BARS = 24
#: Bars of one picture: two stand side by side, and neither is torn where a page of paper ends.
A_PICTURE = 12
#: Letters of a label in the picture, so that it stands beside its numbers on a phone.
LONGEST_LABEL = 26
#: The scale of bars, in percent of the width: beside it stand the numbers.
_SCALE = 58
#: Heights in em: of the line with the name, of a bar, and between rows.
_LABEL, _BAR, _BETWEEN = 1.3, 1.1, 0.35
_KINDS = ("first", "second", "third")
_UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Bars:
    """What is drawn for one row: its name, its numbers, and these in words."""

    label: str
    values: tuple[float | None, ...]
    words: tuple[str, ...]
    told: str


@dataclass(frozen=True, slots=True)
class Chart:
    """Bars on one scale, from ``low`` to ``high``, which has nothing (0) in it."""

    title: str
    series: tuple[SectionColumn, ...]
    bars: tuple[Bars, ...]
    low: float
    high: float
    is_range: bool
    note: str

    def at(self, value: float) -> float:
        """Return where a value is on the scale, 0 to 1."""
        return (value - self.low) / (self.high - self.low)

    @property
    def description(self) -> str:
        """All that the picture tells, in words."""
        if self.is_range:
            first = (
                f"Bars from the {self.series[0].heading} to the {self.series[1].heading} figure."
            )
        else:
            first = f"Bars of: {', '.join(one.heading for one in self.series)}."
        rows = [f"{one.label}: {one.told}." for one in self.bars]
        return " ".join(part for part in (first, self.note, *rows) if part)


def chart_of(section: Section, rows: pl.DataFrame) -> Chart | None:
    """Return the chart of a section, or None where there is nothing to draw."""
    columns = {one.name: one for one in section.columns}
    if len(section.chart) < 2 or not set(section.chart) <= set(columns):  # noqa: PLR2004
        return None
    label, *names = section.chart[: len(_KINDS) + 1]
    series = tuple(columns[name] for name in names)
    is_range = len(names) == 2 and [n.split("_")[0] for n in names] == ["low", "high"]  # noqa: PLR2004
    bars = tuple(
        _bars(columns[label], series, row, is_range=is_range)
        for row in rows.head(MOST_BARS).select(section.chart[: len(_KINDS) + 1]).iter_rows()
    )
    values = [value for one in bars for value in one.values if value is not None]
    if not values:
        return None
    whole = 1.0 if all(one.kind == "share" for one in series) else 0.0
    low, high = min(0.0, *values), max(whole, *values)
    note = f"The first {MOST_BARS} of {rows.height:,}." if rows.height > MOST_BARS else ""
    return Chart(
        clean(section.title), series, bars, low, high if high > low else low + 1, is_range, note
    )


def _bars(
    label: SectionColumn, series: tuple[SectionColumn, ...], row: tuple[object, ...], *,
    is_range: bool,
) -> Bars:  # fmt: skip
    values = tuple(_number(value) for value in row[1:])
    words = tuple(
        shown_in(column, value) if value is not None else _UNKNOWN
        for column, value in zip(series, values, strict=True)
    )
    if is_range:
        told = words[0] if words[0] == words[1] else " to ".join(words)
    elif len(series) == 1:
        told = words[0]
    else:
        told = ", ".join(f"{c.heading} {w}" for c, w in zip(series, words, strict=True))
    name = " ".join(shown_in(label, row[0]).split()) or "(no name)"
    return Bars(name, values, words, told)


def _number(value: object) -> float | None:
    if isinstance(value, (int, float)) and math.isfinite(value):
        return float(value)
    return None


def pictures(chart: Chart, prefix: str) -> list[str]:
    """Return the chart as SVG, in pictures of a few bars each.

    A picture is as wide as its place: widths are in percent and heights in em, so that no letter
    shrinks on a phone. Ids begin with ``prefix``.
    """
    found: list[str] = []
    for start in range(0, len(chart.bars), A_PICTURE):
        first = start == 0
        part = replace(
            chart,
            bars=chart.bars[start : start + A_PICTURE],
            title=chart.title if first else f"{chart.title}, continued",
            note=chart.note if first else "",
        )
        found.append(_svg(part, f"{prefix}-{len(found) + 1}"))
    return found


def _svg(chart: Chart, prefix: str) -> str:
    tall = _LABEL + _BAR * (1 if chart.is_range else len(chart.series)) + _BETWEEN
    opening = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="chart" role="img" width="100%"'
        f' height="{_size(tall * len(chart.bars))}em"'
        f' aria-labelledby="{prefix}-title {prefix}-text">'
    )
    parts = [
        opening,
        f'<title id="{prefix}-title">{html.escape(chart.title)}</title>',
        f'<desc id="{prefix}-text">{html.escape(chart.description)}</desc>',
        _patterns(prefix),
    ]
    for place, one in enumerate(chart.bars):
        parts.append(_drawn(chart, one, place * tall, prefix))
    parts.append("</svg>")
    return "\n".join(parts)


def _drawn(chart: Chart, one: Bars, top: float, prefix: str) -> str:
    """One row: its name, and below it the bars, each with its number beside."""
    label = html.escape(cut(one.label))
    parts = [f'<text class="label" x="0" y="{_size(top + 1)}em">{label}</text>']
    first = top + _LABEL
    beside = [_range_words(one)] if chart.is_range else one.words
    for row, words in enumerate(beside):
        parts.append(
            f'<text class="figure" x="{_SCALE + 2}%" y="{_size(first + row * _BAR + 0.85)}em">'
            f"{html.escape(words)}</text>"
        )
    parts.append(
        f'<svg y="{_size(first)}em" width="{_SCALE}%" height="{_size(_BAR * len(beside))}em">'
    )
    parts.extend(_bar("track", 0, 1, row) for row in range(len(beside)))
    for kind, start, end, row in spans(chart, one):
        fill = "" if kind == "first" else f' fill="url(#{prefix}-{kind})"'
        parts.append(_bar(kind, start, end, row, fill))
    parts.append("</svg>")
    return "\n".join(parts)


def _range_words(one: Bars) -> str:
    """Return the numbers of a range, short enough for a phone; its text has them in full."""
    return one.told if one.told == _UNKNOWN else one.told.replace(_UNKNOWN, "?")


def spans(chart: Chart, one: Bars) -> list[tuple[str, float, float, int]]:
    """Return what is drawn of a row: make, start and end from 0 to 1, and its row of bars."""
    if chart.is_range:
        low, high = one.values
        sure = chart.at(low or 0)
        found = [("first", chart.at(0), sure, 0)] if low is not None else []
        if high is not None and (low is None or high > low):
            found.append(("unsure", sure, chart.at(high), 0))
        return found
    nothing = chart.at(0)
    ends = [(row, chart.at(value)) for row, value in enumerate(one.values) if value is not None]
    return [(_KINDS[row], min(nothing, end), max(nothing, end), row) for row, end in ends]


def _bar(kind: str, start: float, end: float, row: int, fill: str = "") -> str:
    return (
        f'<rect class="{kind}" x="{_size(start * 100)}%" y="{_size(row * _BAR + 0.1)}em"'
        f' width="{_size((end - start) * 100)}%" height="{_size(_BAR - 0.2)}em"{fill}/>'
    )


def _patterns(prefix: str) -> str:
    """Hatches that a reader without colours tells apart: slanting, and upright."""
    made = ((_KINDS[1], 0, 6), (_KINDS[2], 90, 5), ("unsure", 45, 6))
    patterns = "".join(
        f'<pattern id="{prefix}-{kind}" width="{step}" height="{step}"'
        f' patternUnits="userSpaceOnUse" patternTransform="rotate({turn})">'
        f'<rect class="ground" width="{step}" height="{step}"/>'
        f'<rect class="line" width="2" height="{step}"/></pattern>'
        for kind, turn, step in made
    )
    return f"<defs>{patterns}</defs>"


def cut(label: str) -> str:
    """Return a label that fits beside its numbers."""
    if len(label) <= LONGEST_LABEL:
        return label
    return label[: LONGEST_LABEL - 1].rstrip() + "…"


def _size(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")

"""Charts on paper: names, bars and numbers side by side, in two columns of rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor

from .charts import spans
from .pdf_letters import Style
from .pdf_paper import LEFT, QUIET, RIGHT

if TYPE_CHECKING:
    from .charts import Bars, Chart
    from .pdf_paper import Paper

_NAME, _NUMBER, _NOTE = Style(8.5), Style(8.5, font="Text-Bold"), Style(8.5, QUIET)
_BAR, _BETWEEN, _GUTTER = 11.0, 4.0, 30.0
_WIDE = (RIGHT - LEFT - _GUTTER) / 2
_NAMES, _SCALE = 128.0, 150.0
#: Ink and ground of each make of bar; the lines of the hatch besides.
_LOOKS = {
    "first": ("#2c5f50", "#2c5f50"), "unsure": ("#2c5f50", "#d9e7df"),
    "second": ("#8a4a1c", "#f5e3d3"), "third": ("#3d4f86", "#e0e4f3"),
}  # fmt: skip
_KEYS = ("first", "second", "third")


def height(chart: Chart) -> float:
    """How high the chart is on paper."""
    return _rows(chart) * _row_height(chart) + 15 * len(chart.series) + 24


def draw(paper: Paper, chart: Chart) -> None:
    """Draw the chart where the paper is; it fits one page."""
    paper.need(height(chart))
    keys = ("first", "unsure") if chart.is_range else _KEYS
    if len(chart.series) > 1:
        for key, series in zip(keys, chart.series, strict=False):
            paper.y -= 13
            _bar(paper, key, LEFT, paper.y, 20)
            words = paper.letters.fit(f"{series.heading}: {series.meaning}")
            room = RIGHT - LEFT - 26
            paper.line(LEFT + 26, paper.y + 1.5, [(paper.letters.cut(words, _NAME, room), _NAME)])
        paper.y -= 5
    rows, high = _rows(chart), _row_height(chart)
    for place, one in enumerate(chart.bars):
        x = LEFT + (place // rows) * (_WIDE + _GUTTER)
        _row(paper, chart, one, x, paper.y - (place % rows) * high)
    paper.y -= rows * high
    if chart.note:
        paper.write([(paper.letters.fit(chart.note), _NOTE)])
    paper.y -= 6


def _rows(chart: Chart) -> int:
    return (len(chart.bars) + 1) // 2


def _row_height(chart: Chart) -> float:
    return _BAR * (1 if chart.is_range else len(chart.series)) + _BETWEEN


def _row(paper: Paper, chart: Chart, one: Bars, x: float, top: float) -> None:
    letters = paper.letters
    name = letters.cut(letters.fit(one.label), _NAME, _NAMES - 6)
    paper.line(x, top - _BAR + 2.5, [(name, _NAME)])
    start = x + _NAMES
    beside = (one.told,) if chart.is_range else one.words
    for row, words in enumerate(beside):
        y = top - (row + 1) * _BAR
        paper.box(start, y + 1, _SCALE, _BAR - 2, "#ebede6")
        paper.line(start + _SCALE + 6, y + 2.5, [(letters.fit(words), _NUMBER)])
    for key, low, end, row in spans(chart, one):
        _bar(paper, key, start + low * _SCALE, top - (row + 1) * _BAR, (end - low) * _SCALE)


def _bar(paper: Paper, key: str, x: float, y: float, wide: float) -> None:
    """Draw one bar: plain, or hatched slanting, upright or level."""
    if wide <= 0:
        return
    canvas, high = paper.canvas, _BAR - 2
    ink, ground = (HexColor(one) for one in _LOOKS[key])
    canvas.saveState()
    canvas.setStrokeColor(ink)
    canvas.setFillColor(ground)
    canvas.setLineWidth(0.8)
    canvas.rect(x, y + 1, wide, high, stroke=1, fill=1)
    if key != "first":
        path = canvas.beginPath()
        path.rect(x, y + 1, wide, high)
        canvas.clipPath(path, stroke=0, fill=0)
        if key == "third":
            lines = [(x, y + 1 + n * 3, x + wide, y + 1 + n * 3) for n in range(4)]
        else:
            slant = high if key == "unsure" else 0
            steps = range(int((wide + high) / 4) + 1)
            lines = [(x + n * 4 - slant, y + 1, x + n * 4, y + 1 + high) for n in steps]
        canvas.lines(lines)
    canvas.restoreState()

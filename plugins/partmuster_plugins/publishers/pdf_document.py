"""The PDF of a view, from its head to what its headings mean."""

from __future__ import annotations

from typing import TYPE_CHECKING

from . import pdf_charts, pdf_tables
from .pdf_letters import MARK, Letters, Style
from .pdf_paper import GREEN, QUIET, Paper
from .setting import MOST_ROWS, meanings, set_sections
from .values import clean, long_day, pieces

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.plugin_api import ClubView

    from .pdf_letters import Run
    from .setting import Meaning, SetSection

_CLUB, _TITLE = Style(11, GREEN, "Text-Bold"), Style(22, font="Text-Bold")
_HEADING, _PLAIN, _BOLD = Style(14, font="Text-Bold"), Style(9.5), Style(9.5, font="Text-Bold")
_LEAD, _NOTE = Style(9.5, QUIET), Style(8.5, QUIET)
_TERM, _MEANS = Style(8.5, font="Text-Bold"), Style(8.5)
_MEANING = "What the headings mean"
_PROSE = 520.0


def document(view: ClubView) -> bytes:
    """Return the PDF of a view."""
    letters = Letters()
    audience, title, club = clean(view.audience), clean(view.title), clean(view.club)
    paper = Paper(
        letters,
        f"{title} · {club} · audience: {audience}",
        {"title": title, "author": club, "subject": f"audience: {audience}"},
    )
    sections = set_sections(view)
    _head(paper, view)
    _contents(paper, sections)
    for section in sections:
        _section(paper, section)
    if not sections:
        _say(paper, "Nothing is in this document.", _PLAIN)
    _meanings(paper, meanings(view))
    return paper.finish()


def _head(paper: Paper, view: ClubView) -> None:
    _say(paper, clean(view.club), _CLUB)
    _say(paper, clean(view.title), _TITLE, after=6)
    _say(paper, f"Audience: {clean(view.audience)}", _BOLD)
    for sentence in (f"As of {long_day(view.as_of)}.", *view.head):
        _say(paper, clean(sentence), _PLAIN, width=_PROSE)
    paper.y -= 4
    paper.rule(paper.y, GREEN, 2)
    paper.y -= 10


def _contents(paper: Paper, sections: Sequence[SetSection]) -> None:
    listed = [(one.anchor, one.title, one.count) for one in sections]
    paper.need(120)
    _say(paper, "Contents", _HEADING)
    paper.contents([*listed, ("columns", _MEANING, "")])
    paper.y -= 8


def _section(paper: Paper, section: SetSection) -> None:
    lead = paper.letters.wrap([(paper.letters.fit(section.lead), _LEAD)], _PROSE)
    high = 44 + len(lead) * _LEAD.size * 1.35
    if section.chart:
        high += pdf_charts.height(section.chart)
    # a heading is not left alone at the foot of a page
    _heading(paper, section.anchor, section.title, high + (100 if section.table else 20))
    _say(paper, section.lead, _LEAD, width=_PROSE, after=5)
    if section.chart:
        pdf_charts.draw(paper, section.chart)
    table = section.table
    if table is None:
        _say(paper, section.if_empty, _PLAIN, after=8)
        return
    _say(paper, table.cut or f"{table.count}.", _NOTE)
    pdf_tables.draw(paper, table)
    if table.cut:
        _say(paper, table.cut, _NOTE)
    if table.unsaid:
        unsaid = ", ".join(one.heading for one in table.unsaid)
        _say(paper, f"Nothing is said under: {unsaid}.", _NOTE)
    paper.y -= 8


def _meanings(paper: Paper, found: Sequence[Meaning]) -> None:
    _heading(paper, "columns", _MEANING, 120)
    _say(
        paper,
        "Ids stand for what a figure rests on: `partmuster trace ID` shows file, sheet, row and "
        f"words. Of many, the first three are shown. A section shows {MOST_ROWS} rows at most.",
        _NOTE,
    )
    fit = paper.letters.fit
    listed: list[list[Run]] = []
    for one in found:
        listed.append([(fit(f"{one.heading}:"), _TERM), (fit(one.meaning), _MEANS)])
        if one.sections:
            listed[-1].append((fit(f"(in: {'; '.join(one.sections)})"), _NOTE))
    if lost := len(paper.letters.lost):
        signs, stand = ("1 sign", "stands") if lost == 1 else (f"{lost} signs", "stand")
        said = f"{signs} that this file's font has not {stand} as {MARK}: the page has them."
        _say(paper, said, _NOTE)
    paper.y -= 4
    paper.write_in_columns(listed, 12)


def _heading(paper: Paper, anchor: str, title: str, with_height: float) -> None:
    paper.need(with_height)
    paper.rule(paper.y, QUIET, 0.8)
    paper.y -= 6
    paper.place(anchor, title)
    _say(paper, title, _HEADING)


def _say(
    paper: Paper, text: str, style: Style, *, width: float | None = None, after: float = 3
) -> None:
    """Write a sentence; what stands in it in backticks is a command, and bold."""
    bold = Style(style.size, style.ink, "Text-Bold")
    runs: list[Run] = [
        (paper.letters.fit(part), bold if is_code else style) for part, is_code in pieces(text)
    ]
    if width:
        paper.write(runs, width=width, after=after)
    else:
        paper.write(runs, after=after)

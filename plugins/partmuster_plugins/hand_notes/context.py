"""What a note is about as it goes on: vehicle, writer, day, and what a list's heading says."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from .parts import PartMention
    from .statement import Statement


@dataclass(slots=True)
class Context:
    """What has been said so far and still holds.

    ``vehicles`` and ``people``: names, likeliest first, of whom one is meant; ``people`` are those
    whose list it is.
    ``writer``: who "I" is; ``recipient``: who "you" is. ``day``: the day it was seen or said.
    ``heading``: what a list's heading says of its items (``kind`` and fields), or empty.
    ``parts``: what "it" and "they" stand for. ``named``: people as they were named, the last one
    first. ``promised``: the last promise of each part, by the last word of its name. ``dealt``: the
    sentence last read for dealings, and how far. ``settled``: names, folded, of which the note
    itself tells what they are. ``numbered``: vehicles with a number, by it, as far as one alone has
    it. ``proper``: words with a capital where no sentence begins. ``small``: whether the note is
    written without capitals.
    ``loose``: parts that the sentences before only named, as a list does.
    ``fits``: what was last said of fitting; ``fit_asked``: what the sentence before asked of it.
    ``looked``: what it was looked for, of which nothing is said yet. ``before``: the vehicles
    before a sentence that names others. ``told_past``: the vehicles of which the sentence before
    told the past. ``last``: the vehicles of the sentences before in the paragraph.
    """

    vehicles: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    writer: str = ""
    day: dt.date | None = None
    heading: Mapping[str, str] = field(default_factory=dict)
    parts: tuple[PartMention, ...] = ()
    said: tuple[Statement, ...] = ()
    on_survey: bool = False
    asked: tuple[PartMention, ...] = ()
    told: tuple[PartMention, ...] = ()
    fresh: bool = False
    side: str = ""
    denial: Mapping[str, str] = field(default_factory=dict)
    recipient: str = ""
    named: tuple[str, ...] = ()
    promised: dict[str, Statement] = field(default_factory=dict)
    dealt: tuple[object, int] = (None, 0)
    dealings: tuple[Statement, ...] = ()
    loose: tuple[PartMention, ...] = ()
    fits: tuple[Statement, ...] = ()
    fit_asked: Statement | None = None
    looked: Statement | None = None
    before: tuple[str, ...] = ()
    told_past: tuple[str, ...] = ()
    last: tuple[str, ...] = ()
    numbered: dict[str, str] = field(default_factory=dict)
    proper: frozenset[str] = frozenset()
    small: bool = False
    settled: dict[str, Literal["vehicle", "person"]] = field(default_factory=dict)

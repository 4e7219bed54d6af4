"""What a note states: one fact, the words it came from, and the rule that read it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Statement:
    """One fact read from a sentence.

    ``fields``: fields of a text line (``partmuster_schemas.text_lines.FIELDS``) as text.
    ``vehicles`` and ``people``: whom it can be about, likeliest first, in the note's words; of
    several, the core takes the one that the club knows. ``otherwise``: what the same words mean
    if the name in them is not what this reading takes it for. ``near``: words nearer than
    ``vehicles`` that are a vehicle's name if the club has one of that name; ``else_of``: those that
    are meant if the club knows none of ``vehicles``, one after the other, and ``stops`` whether no
    further one can be; ``or_of``: of whom one is meant where all these leave it open.
    """

    kind: str
    rule: str
    words: str
    fields: Mapping[str, str] = field(default_factory=dict)
    vehicles: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    sure: bool = True
    first_hand: bool = True
    said_by: str = ""
    said_on: dt.date | None = None
    otherwise: tuple[Statement, ...] = ()
    else_of: tuple[str, ...] = ()
    near: tuple[str, ...] = ()
    stops: bool = False
    or_of: tuple[str, ...] = ()

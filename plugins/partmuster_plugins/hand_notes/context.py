"""What a note is about as it goes on: vehicle, writer, day, and what a list's heading says."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from .parts import PartMention


@dataclass(slots=True)
class Context:
    """What has been said so far and still holds.

    ``vehicles`` and ``people``: names, likeliest first, of whom one is meant. ``writer``: who "I"
    is. ``heading``: what a list's heading says of its items (``kind`` and fields), or empty.
    ``parts``: what "it" and "they" stand for. ``part_state``: what was last said of them.
    """

    vehicles: tuple[str, ...] = ()
    people: tuple[str, ...] = ()
    writer: str = ""
    day: dt.date | None = None
    heading: Mapping[str, str] = field(default_factory=dict)
    parts: tuple[PartMention, ...] = ()

"""Headings in two rows: groups above ("LH | RH" over "Qty | Qty"), sides or units below."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from partmuster.reading.sides import read_side
from partmuster_trade.headings import fold_heading

from .builds_across import names_build
from .headings import meanings_of
from .serial_columns import joins_end

if TYPE_CHECKING:
    from collections.abc import Sequence

    Texts = Sequence[str | None]

_HANDS = frozenset({"left", "right", "near", "off"})
#: Units and how a column is to be filled in (common practice, no source).
_UNITS = frozenset(
    ["each", "ea", "pairs", "prs", "pr", "mm", "cm", "m", "in", "ins", "inches", "ft", "kg", "lb",
     "lbs", "cwt", "v", "volts", "dd mm yy", "dd mm yyyy", "yyyy mm dd", "y n", "yes no", "off"]
)  # fmt: skip
_MONEY = frozenset("£$€")
_BRACKETED = re.compile(r"^\(.{1,20}\)$")
_NAMING = frozenset({"description", "part_number", "stock_number", "vehicle", "holder", "feature"})


def is_second_row(own: Texts, below: Texts) -> bool:
    """Tell whether the row below the headings belongs to them: sides, builds, headings or units.

    It names no part, and stands in part under a heading that covers several columns; or all of it
    are units.
    """
    cells = [(over, text) for over, text in zip(own, below, strict=True) if text and text != over]
    if not cells:
        return False
    if any(over and names_lines(over) for over, _ in cells):
        return False
    if all(is_unit(text) for _, text in cells):
        return True
    spans = any(over is None for over, _ in cells) or len({o for o, _ in cells}) < len(cells)
    return spans and len(cells) > 1 and all(may_head(text) for _, text in cells)


def below_joined(own: Texts, below: Texts) -> list[str | None]:
    """Return headings with what stands below them: "Qty LH", "Price (£)", "Mk 1"."""
    joined: list[str | None] = []
    over: str | None = None
    for text, under in zip(own, below, strict=True):
        over = text or (over if under else None)
        if not under or under == text:
            joined.append(text)
        elif is_unit(under):
            unit = under if _BRACKETED.match(under) else f"({under})"
            joined.append(f"{text} {unit}" if text else unit)
        elif over and (joins_end(over, under) or read_side(under).side in _HANDS):
            joined.append(f"{over} {under}")
        else:
            joined.append(under)
    return joined


def above_filled(own: Texts, above: Texts) -> list[str | None]:
    """Return headings, those missing taken from the row above where known ones stand there."""
    return [
        text or (over if over and meanings_of(over)[1] == 1 else None)
        for text, over in zip(own, above, strict=True)
    ]


def groups_above(own: Texts, above: Texts) -> list[str | None]:
    """Return the text that stands above each heading which several groups have, carried right.

    All None where the texts above do not tell the repeated headings apart.
    """
    folded = [fold_heading(text or "") for text in own]
    twice = [bool(text) and folded.count(text) > 1 for text in folded]
    groups: list[str | None] = []
    over: str | None = None
    for text, repeated in zip(above, twice, strict=True):
        over = (text or over) if repeated else None
        groups.append(over)
    apart = [(over, text) for over, text, again in zip(groups, folded, twice, strict=True) if again]
    return groups if apart and len(set(apart)) == len(apart) else [None] * len(groups)


def has_row_above(own: Texts, above: Texts) -> bool:
    """Tell whether the row above the headings belongs to them."""
    if len(set(filter(None, above))) < 2:  # noqa: PLR2004 - one text is a title
        return False
    return any(groups_above(own, above)) or above_filled(own, above) != list(own)


def is_unit(text: str) -> bool:
    """Tell whether a text under a heading says in what the column is measured."""
    return text in _MONEY or bool(_BRACKETED.match(text)) or fold_heading(text) in _UNITS


def may_head(text: str) -> bool:
    """Tell whether a text may stand in the second row of headings: known, a side, unit or build."""
    reading = read_side(text)
    side = reading.side in _HANDS and not reading.rest.strip(" .-")
    return side or is_unit(text) or names_build(text) or meanings_of(text)[1] == 1


def names_lines(text: str) -> bool:
    """Tell whether a text is a known heading by which lines are named."""
    if meanings_of(text)[1] < 1:
        return False
    return any(meaning.field in _NAMING for meaning in meanings_of(text)[0][:1])

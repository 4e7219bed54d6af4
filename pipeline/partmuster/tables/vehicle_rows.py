"""Surveys below each other, each under the name of its vehicle alone in a row: "Old Maud"."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.features import read_seen
from partmuster.reading.presence import read_presence
from partmuster_trade.headings import fold_heading

from .assemblies import read_section
from .headings import HEAD_ROWS, header_row, meanings_of
from .kind_words import kind_of
from .kinds import kinds_in_titles
from .rows import not_data
from .titles import stated_in, vehicle_named

if TYPE_CHECKING:
    from collections.abc import Sequence

#: The column that holds the vehicle of each row; a sheet has none of this number.
VEHICLE = "0"
_LABELLED = re.compile(
    r"^(?:vehicle|veh\.?)(?: name)?\s*[:=–-]\s*(?P<name>\S.*)$",
    re.IGNORECASE,
)
_LONGEST = 40
_ITEMS = frozenset({"description", "part_number", "stock_number", "feature"})
#: With one of these a list is of what somebody has or wants, or says the vehicle itself.
_NOT_OF_SURVEYS = frozenset({"vehicle", "holder", "owner", "price", "availability", "quantity",
                             "place", "since", "stage"})  # fmt: skip
_WHAT_WAS_SEEN = frozenset({"presence", "condition"})
_THERE = frozenset({"fitted", "present", "there", "in place", "on vehicle"})
_TELLS = frozenset({"missing", "stand-in", "off-and-kept", "away-for-repair"})
_MOST_TEXTS = 60


def labelled_vehicle(text: str) -> str | None:
    """Return the vehicle of a title such as "Vehicle: Old Maud", or None."""
    match = _LABELLED.match(text.strip())
    name = match["name"].strip() if match else ""
    return name if name and len(name) <= _LONGEST and not stated_in([name]).date else None


def may_name_vehicle(text: str | None) -> bool:
    """Tell whether a text alone in a row may be a vehicle's name: nothing else that is known."""
    if not text or len(text) > _LONGEST or not text[0].isalnum() or "=" in text:
        return False
    if labelled_vehicle(text) or vehicle_named(text):
        return True
    section, stated = read_section(text), stated_in([text])
    said = section.named or section.numbered or section.heap or section.assembly or section.side
    known = meanings_of(text)[1] or kind_of(text) or kinds_in_titles([(text, 1.0)])
    says = stated.holder or stated.family or stated.date or stated.vehicle
    words = [word for word in text.split() if word[0].isalpha()]
    name = bool(words) and words[0][0].isupper() and not text.endswith((":", ".", "?"))
    return name and not (said or known or says or not_data(text) or section.position)


def lists_what_was_seen(
    headings: Sequence[str | None], body: pl.DataFrame, columns: Sequence[str]
) -> bool:
    """Tell whether a table can only be a survey: parts, and cells such as "missing"."""
    means = [{m.field for m in meanings_of(text)[0]} if text else set() for text in headings]
    first = {m.field for text in headings if text for m in meanings_of(text)[0][:1]}
    if not first & _ITEMS or first & _NOT_OF_SURVEYS:
        return False
    seen = [name for name, fields in zip(columns, means, strict=True) if fields & _WHAT_WAS_SEEN]
    texts = pl.concat([body[name].drop_nulls() for name in seen]).unique() if seen else pl.Series()
    some = texts.head(_MOST_TEXTS).to_list()
    if "feature" in first:
        return any(read_seen(text).seen is not None for text in some)
    return any(map(_tells, some))


def _tells(text: str) -> bool:
    """Tell whether a cell says of a part that it is there or not, and no more of its condition."""
    reading = read_presence(text)
    if reading.presence == "fitted":
        return fold_heading(text) in _THERE
    return reading.presence in _TELLS and not reading.rest


def named_above(frames: Sequence[tuple[pl.DataFrame, Sequence[str]]]) -> list[str | None]:
    """Return the vehicle that each of several tables is named after, by the title above it.

    Only where two at least have the same headings, each right under a name of its own, and list
    what was seen.
    """
    heads = [_head(frame, columns) for frame, columns in frames]
    found: list[str | None] = [None] * len(heads)
    alike = [at for at, head in enumerate(heads) if head is not None]
    for at in alike:
        same = [other for other in alike if _same(heads[at], heads[other])]
        names = [_name(heads[other]) for other in same]
        if len(same) > 1 and len({*names}) == len(names):
            found[at] = _name(heads[at])
    return found


def _head(frame: pl.DataFrame, columns: Sequence[str]) -> tuple[str, tuple[str, ...]] | None:
    """Return the name right above a survey's headings and these, folded, or None."""
    top = list(frame.head(HEAD_ROWS).select(columns).iter_rows())
    at = header_row(top)
    if not at or frame["n"][at - 1] != 1 or not may_name_vehicle(frame["first"][at - 1]):
        return None
    if at > 1 and stated_in(frame["first"].head(at - 1).drop_nulls().to_list()).vehicle:
        return None
    if not lists_what_was_seen(top[at], frame.slice(at + 1), columns):
        return None
    return frame["first"][at - 1], tuple(fold_heading(text or "") for text in top[at] if text)


def _same(
    one: tuple[str, tuple[str, ...]] | None, other: tuple[str, tuple[str, ...]] | None
) -> bool:
    return one is not None and other is not None and one[1] == other[1]


def _name(head: tuple[str, tuple[str, ...]] | None) -> str:
    title = head[0] if head else ""
    return labelled_vehicle(title) or title


def with_vehicle_rows(
    body: pl.DataFrame, columns: Sequence[str], headings: Sequence[str | None]
) -> tuple[pl.DataFrame, pl.DataFrame] | None:
    """Return a body with the vehicle of each row in a column, and the rows that name them, or None.

    These stand alone, the first above all others, rows below each; all are names with numbers, or
    the same parts are listed below several.
    """
    if body.height < 4 or body["n"][0] != 1 or not lists_what_was_seen(headings, body, columns):  # noqa: PLR2004 - two names with a row each
        return None
    items = (name for name, text in zip(columns, headings, strict=True)
             if text and any(m.field in _ITEMS for m in meanings_of(text)[0][:1]))  # fmt: skip
    item = next(items, None)
    alone = ((body["n"] == 1) & body[str(item)].is_not_null()).arg_true().to_list()
    followed = all(later > earlier + 1 for earlier, later in pairwise([*alone, body.height]))
    names = [str(body[str(item)][at]) for at in alone]
    if item is None or len(names) < 2 or not followed or len({*names}) < len(names):  # noqa: PLR2004 - one is a title
        return None
    if not all(map(may_name_vehicle, names)):
        return None
    by_row = pl.Series(VEHICLE, [None] * body.height, dtype=pl.String)
    by_row = by_row.scatter(alone, [labelled_vehicle(name) or name for name in names])
    whole = body.with_columns(by_row.fill_null(strategy="forward"))
    lines = whole.filter(~pl.int_range(pl.len()).is_in(alone))
    plain = all(labelled_vehicle(name) or vehicle_named(name) for name in names)
    pairs = lines.select(VEHICLE, item).drop_nulls().unique()
    if not plain and pairs[item].n_unique() == pairs.height:
        return None
    return lines, whole.filter(pl.int_range(pl.len()).is_in(alone))

"""Columns that belong to one vehicle of a survey: "Otter 3 | Remarks | Otter 4 | Remarks"."""

from __future__ import annotations

import re
from collections import defaultdict
from functools import lru_cache
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading

from .grid import labelled
from .headings import meanings_of
from .titles import vehicle_named

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    #: (column, field, heading) of the columns that belong to a vehicle, by the vehicle's column.
    Own = Mapping[str, tuple[tuple[str, str, str], ...]]

_FIELDS = frozenset({"remark", "condition", "quantity", "date", "making", "said_by", "position"})
_ASKED = _FIELDS | {"presence"}
#: A heading of more letters is none: each of its words would be asked about.
_LONGEST_HEADING = 100
_JOINING = frozenset({"s", "for", "on", "of"})
_COUNTED = re.compile(r"[\s._-]*\d{1,2}$")


def beside_field(text: str) -> str | None:
    """Return what a heading says of the vehicle beside it, "Remarks", "Cond 2": its field."""
    for form in (text, _COUNTED.sub("", text)):
        if form and meanings_of(form)[1] == 1:
            fields = [meaning.field for meaning in meanings_of(form)[0]]
            return next((field for field in fields if field in _FIELDS), None)
    return None


def vehicles_and_headings(
    texts: Sequence[str | None],
) -> list[tuple[str | None, str | None]] | None:
    """Return the vehicle and the heading that each of a row's texts is, or None.

    "Part | Otter 3 fitted | Otter 3 condition | Otter 4 fitted | Otter 4 condition": all but the
    others that are known name a vehicle first; two vehicles at least, one of them twice.
    """
    found = [_vehicle_and_heading(text) if text else (None, None) for text in texts]
    vehicles = [vehicle for vehicle, _ in found if vehicle]
    others = [text for text, (vehicle, _) in zip(texts, found, strict=True) if text and not vehicle]
    several = 1 < len({*vehicles}) < len(vehicles)
    return found if several and others and all(meanings_of(t)[1] == 1 for t in others) else None


@lru_cache(maxsize=16_384)
def _vehicle_and_heading(text: str) -> tuple[str | None, str | None]:
    if len(text) > _LONGEST_HEADING:
        return None, text
    words = text.split()
    for at in range(len(words) - 1, 0, -1):
        vehicle = vehicle_named(" ".join(words[:at]).rstrip(" -–:"))
        rest = " ".join(words[at:]).strip(" -–:")
        if vehicle and any(m.field in _ASKED for m in meanings_of(rest)[0]):
            return vehicle, rest
    return None, text


def own_columns(named: Sequence[tuple[str, str]], across: Sequence[tuple[str, str]]) -> Own:
    """Return the columns that belong to one vehicle each: right of it, or with its name.

    ``named``: all (column, heading); ``across``: those of the vehicles. What stands once, behind
    the last vehicle, is said of the whole row.
    """
    vehicles, names = dict(across), _by_name(across)
    right_of: list[tuple[str, str, str]] = []  # vehicle's column, column, heading
    own: dict[str, list[tuple[str, str, str]]] = defaultdict(list)
    nearest: str | None = None
    for column, text in named:
        if column in vehicles:
            nearest = column
            continue
        whose = _named_in(text, names) or _half_named_in(text, across)
        if whose is not None:
            vehicle, field = whose
            own[vehicle].append((column, field, text))
        elif nearest is not None and beside_field(text):
            right_of.append((nearest, column, text))
    last = across[-1][0] if across else None
    again: dict[str, set[str]] = defaultdict(set)
    for vehicle, _, text in right_of:
        again[_bare(text)].add(vehicle)
    for vehicle, column, text in right_of:
        if vehicle != last or len(again[_bare(text)]) > 1:
            own[vehicle].append((column, beside_field(text) or "remark", text))
    return {vehicle: tuple(columns) for vehicle, columns in own.items()}


def _bare(text: str) -> str:
    return fold_heading(_COUNTED.sub("", text))


def without_own(across: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return the columns across but for those that are headed with the name of another of them."""
    names = _by_name(across)
    return [(column, text) for column, text in across if _named_in(text, names) is None]


def _by_name(across: Sequence[tuple[str, str]]) -> dict[str, str]:
    return {fold_heading(name): column for column, name in across}


def _named_in(text: str, names: Mapping[str, str]) -> tuple[str, str] | None:
    """Return the column of the vehicle that a heading names, and the field it names beside it."""
    words = fold_heading(text).split()
    for at in range(len(words) - 1, 0, -1):
        for name, rest in ((words[:at], words[at:]), (words[at:], words[:at])):
            column = names.get(" ".join(name))
            said = [word for word in rest if word not in _JOINING]
            field = beside_field(" ".join(said)) if column and said else None
            if column is not None and field is not None:
                return column, field
    return None


def _half_named_in(text: str, across: Sequence[tuple[str, str]]) -> tuple[str, str] | None:
    """Return the column of the one vehicle that a heading names in part: "Maud's remarks"."""
    words = {word for word in fold_heading(text).split() if len(word) > 2}  # noqa: PLR2004 - "s", "of"
    rest = [word for word in words if beside_field(word) is None]
    if not rest or len(rest) == len(words):
        return None
    fields = [beside_field(word) for word in words - {*rest}]
    whose = {*rest, *(word.removesuffix("s") for word in rest)}  # "Maud's" is folded to "mauds"
    named = [column for column, name in across if whose & {*fold_heading(name).split()}]
    return (named[0], fields[0] or "remark") if len(named) == 1 and len(fields) == 1 else None


def own_fields(
    own: Sequence[tuple[str, str, str]], row_remark: pl.Expr
) -> tuple[list[pl.Expr], list[pl.Expr]]:
    """Return the fields of a vehicle's own columns, remark among them, and the cells as words."""
    first = {field: column for column, field, _ in reversed(own) if field != "remark"}
    others = [(c, "" if f == "remark" else text) for c, f, text in own if first.get(f) != c]
    remark = row_remark
    if others:
        joined = pl.concat_str(labelled(others), row_remark, separator="; ", ignore_nulls=True)
        remark = pl.when(joined != "").then(joined)
    fields = [pl.col(column).alias(field) for field, column in first.items()]
    return [*fields, remark.alias("remark")], [pl.col(column) for column, _, _ in own]

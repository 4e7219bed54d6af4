"""Checks parts against each other and against the lists that they name ids of."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import TYPE_CHECKING

from partmuster_trade.cautions import all_cautions
from partmuster_trade.false_friends import all_false_friends
from partmuster_trade.part import NameEntry, Part
from partmuster_trade.part_files import PartRow
from partmuster_trade.supply_classes import supply_classes
from partmuster_trade.tables import name_key, split_list
from partmuster_trade.units import all_units

if TYPE_CHECKING:
    from partmuster_trade.problems import Problem

Parts = Mapping[str, Part]
Rows = Mapping[str, list[PartRow]]


def check_parts(parts: Parts, rows: Rows, assemblies: Collection[str]) -> list[Problem]:
    """Return every id that leads nowhere, every circle and every name that means two parts."""
    return [
        *_dangling_ids(parts, rows, assemblies),
        *_circles(parts, rows),
        *_collisions(parts, rows),
    ]


def _dangling_ids(parts: Parts, rows: Rows, assemblies: Collection[str]) -> Iterator[Problem]:
    for part in parts.values():
        replaced = (part.replaced_by,) if part.replaced_by else ()
        classes = (part.supply_class,) if part.supply_class else ()
        named: tuple[tuple[str, tuple[str, ...], Collection[str], str], ...] = (
            ("assembly", (part.assembly,), assemblies, "assembly"),
            ("unit", (part.unit,), all_units(), "unit"),
            ("supply_class", classes, supply_classes(), "supply class"),
            ("mated_with", part.mated_with, parts, "part"),
            ("companions", part.companions, parts, "part"),
            ("caution", part.caution, all_cautions(), "caution"),
            ("replaced_by", replaced, parts, "part"),
        )
        for column, ids, known, what in named:
            for wanted in ids:
                if wanted not in known:
                    message = f"{wanted!r} is no {what} known here: mend the id or leave it out"
                    code = f"unknown-{what.replace(' ', '-')}"
                    yield rows[part.part_id][0].problem(column, code, message)
                elif known is parts and wanted == part.part_id:
                    message = f"{wanted!r} names itself: leave it out"
                    yield rows[part.part_id][0].problem(column, "names-itself", message)


def _circles(parts: Parts, rows: Rows) -> Iterator[Problem]:
    told: set[str] = set()
    for start in parts:
        seen = [start]
        step = parts[start].replaced_by
        while step is not None and step in parts and step not in seen:
            seen.append(step)
            step = parts[step].replaced_by
        if step == start and len(seen) > 1 and start not in told:
            told.update(seen)
            message = f"goes in a circle ({' to '.join([*seen, start])}): let one of them stand"
            yield rows[start][0].problem("replaced_by", "circular", message)


def _overlap(one: NameEntry, other: NameEntry) -> bool:
    return one.region == other.region or "any" in {one.region, other.region}


def _column(entry: NameEntry) -> str:
    if entry.style in {"plain", "noun-first"}:
        return "name" if entry.style == "plain" else "noun_first"
    return "names_period" if entry.style == "period" else f"names_{entry.region.lower()}"


def _collisions(parts: Parts, rows: Rows) -> Iterator[Problem]:
    known_double = {(name_key(friend.word), friend.part_id) for friend in all_false_friends()}
    first: dict[str, list[NameEntry]] = {}
    for part in parts.values():
        for entry in part.names():
            key = name_key(entry.name)
            entries = first.setdefault(key, [])
            clash = next(
                (e for e in entries if e.part_id != part.part_id and _overlap(e, entry)), None
            )
            entries.append(entry)
            if clash is None or {(key, clash.part_id), (key, part.part_id)} <= known_double:
                continue
            # What a club adds is at fault, not what the package has; else what comes later.
            ours, theirs = _giver(rows, entry), _giver(rows, clash)
            if ours.bundled and not theirs.bundled:
                ours, entry, clash = theirs, clash, entry  # noqa: PLW2901 - told from its side
            message = (
                f"{entry.name!r} already means {clash.part_id!r} (region {clash.region}): "
                "use a fuller name, or the region where it means this"
            )
            yield ours.problem(_column(entry), "name-taken", message)


def _giver(rows: Rows, entry: NameEntry) -> PartRow:
    """Return the row that gave a name to its part; a noun-first name may come from no cell."""
    given, column, key = rows[entry.part_id], _column(entry), name_key(entry.name)
    return next(
        (row for row in given if key in map(name_key, split_list(row.cells[column]))), given[0]
    )

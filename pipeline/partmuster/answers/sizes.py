"""Sizes of standard hardware that are items of their own: "bolt 3/8 UNF" and "bolt 1/2 UNF".

Where the parts lists of a family have several sizes of one part, each is an item, and its size
stands where other parts have a position. Where they have one, nothing is asked of sizes. What words
say of a size is read by ``partmuster_trade.hardware``, so the database is told it here.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster_trade.hardware import Specification, read_hardware, write_hardware
from partmuster_trade.hardware_fit import compare_hardware

from .hardware_words import hardware_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .sql import Question

#: A part in one family.
_Of = tuple[str, str]
Sizes = dict[_Of, dict[str, Specification]]

#: Hardware of which lists have more than one wording with a figure in it.
_SEVERAL: Final = """
    WITH hardware AS (
        SELECT i.key, coalesce(p.replaced_by, p.part_id) AS part_id
        FROM part p JOIN identification i ON i.target = p.part_id
        WHERE (p.sort = 'hardware' OR p.assembly = 'hardware') AND i.role = 'part' AND i.accepted
    )
    SELECT part_id FROM (
        SELECT h.part_id, concat(r.description, ';', r.remark) AS words
        FROM said_requirement r JOIN hardware h ON h.key = r.item_key
        UNION ALL
        SELECT h.part_id, concat(r.description, ';', r.remark)
        FROM said_requirement r JOIN hardware h ON h.key = 'line:' || r.line_id
    )
    WHERE regexp_matches(words, '[0-9]')
    GROUP BY part_id HAVING count(DISTINCT words) > 1
"""
#: What requirement lines of some parts say.
_REQUIRED: Final = """
    WITH readings AS (
        SELECT DISTINCT key, part_id
        FROM identification_as_of({moment}) JOIN ids_of_parts(NULL) USING (target)
        WHERE role = 'part' AND accepted AND list_contains(?, part_id)
    )
    SELECT lower(r.family), p.part_id, r.line_id, r.source_id, r.description, r.remark
    FROM requirement_as_of({moment}) r JOIN readings p ON p.key = r.item_key
    WHERE r.line_id NOT IN (SELECT line_id FROM lines_decided({moment}))
    UNION ALL
    SELECT lower(r.family), p.part_id, r.line_id, r.source_id, r.description, r.remark
    FROM requirement_as_of({moment}) r JOIN readings p ON p.key = 'line:' || r.line_id
"""
#: What surveys of some vehicles say of some parts, and the sizes that are required there.
_SURVEYED: Final = """
    SELECT s.line_id, lower(v.family), s.part_id, any_value(q.description), any_value(q.remark),
           bool_and(s.quantity IS NULL), any_value(r.sizes)
    FROM survey_statements({arguments}, {moment}) s
    JOIN survey_as_of({moment}) q ON q.line_id = s.line_id
    JOIN vehicles_as_of({moment}) v ON v.vehicle_id = s.vehicle_id
    LEFT JOIN (
        SELECT vehicle_id, part_id, list(split_part(code, '|', 2)) AS sizes
        FROM required_items({arguments}, {moment}) GROUP BY vehicle_id, part_id
    ) r ON r.vehicle_id = s.vehicle_id AND r.part_id = s.part_id
    WHERE list_contains(?, s.part_id)
    GROUP BY s.line_id, v.family, s.part_id
    ORDER BY s.line_id
"""
#: What tells two pieces of one size apart where both say it.
_TELLING: Final = ("style", "length", "grade", "drilled", "material", "closure", "clearance",
                   "gender", "left_hand")  # fmt: skip


def keep_requirement_sizes(asked: Question) -> None:
    """Keep the sizes of requirement lines, where lists have several of one part."""
    if asked.sizes is not None:
        return
    asked.sizes = {}
    several = [part_id for (part_id,) in asked.con.execute(_SEVERAL).fetchall()]
    if not several:
        return
    said: dict[tuple[str, str], list[tuple[str, str, Specification]]] = defaultdict(list)
    for family, part_id, line, source, description, remark in asked.con.execute(
        _REQUIRED.format(moment=asked.moment), [several]
    ).fetchall():
        spec = read_hardware(hardware_words(description, remark))
        said[family, part_id].append((line, source, spec))
    rows = []
    for (family, part_id), lines in said.items():
        told = _told_apart({(spec, source) for _, source, spec in lines})
        if len(set(told.values())) > 1:
            asked.sizes[family, part_id] = {_words(spec): spec for spec in told.values()}
            rows += [
                (line, part_id, _words(told[spec, source]))
                for line, source, spec in lines
                if (spec, source) in told
            ]
    if rows:
        asked.keep_rows("requirement_sizes", _frame(rows, ("line_id", "part_id", "size")))


def keep_survey_sizes(asked: Question, arguments: str) -> None:
    """Keep the sizes of survey lines of the vehicles and parts whose required items are kept.

    Of several that may be meant, words for all of them ("bolts: missing") mean each; so many of
    which no size is said are left to a person.
    """
    keep_requirement_sizes(asked)
    if not asked.sizes:
        return
    asked.forget("survey_statements", "survey_sizes")
    rows: list[tuple[str, str]] = []
    parts = {part_id for _, part_id in asked.sizes}
    for line, family, part_id, description, remark, is_all, required in asked.con.execute(
        _SURVEYED.format(arguments=arguments, moment=asked.moment), [sorted(parts)]
    ).fetchall():
        sizes = asked.sizes.get((family, part_id))
        if sizes is None:
            continue
        known = {size: spec for size, spec in sizes.items() if size in (required or ())}
        spec = read_hardware(hardware_words(description, remark))
        meant = [size for size, one in known.items() if not _apart(one, spec, of_one_list=False)]
        if _words(spec) in meant:
            meant = [_words(spec)]
        if len(meant) == 1 or (meant and is_all):
            rows += [(line, size) for size in meant]
        elif not meant and spec.measured:
            rows.append((line, _words(spec)))
    if rows:
        asked.keep_rows("survey_sizes", _frame(rows, ("line_id", "size")))


def _told_apart(
    said: set[tuple[Specification, str]],
) -> dict[tuple[Specification, str], Specification]:
    """Return the fullest words for each size that lists have, by what each list says of it.

    In one list other words are another size; those of another list may say less of the same. What
    may be one of several is of none.
    """
    found: list[tuple[Specification, set[str]]] = []
    told = {}
    for spec, source in sorted(said, key=lambda one: (-_fullness(one[0]), str(one))):
        if not spec.measured or spec.problems:
            continue
        meant = [size for size in found if not _apart(size[0], spec, of_one_list=source in size[1])]
        if not meant:
            meant = [(spec, set())]
            found += meant
        if len(meant) == 1:
            meant[0][1].add(source)
            told[spec, source] = meant[0][0]
    return told


def _apart(one: Specification, other: Specification, *, of_one_list: bool) -> bool:
    """Return whether two pieces of hardware are surely not one and the same."""
    if not other.measured:
        return False
    result = compare_hardware(one, other).result
    if of_one_list or result == "never":
        return result != "same"
    told = [(getattr(one, about), getattr(other, about)) for about in _TELLING]
    return any(this and that and this != that for this, that in told)


def _fullness(spec: Specification) -> int:
    return sum(bool(getattr(spec, about)) for about in ("series", "size", "sizes", *_TELLING))


def _words(spec: Specification) -> str:
    """Return a size as it stands beside the part's name: "3/8 in UNF x 1 1/4 in"."""
    words = write_hardware(replace(spec, kind="")).replace(",", "").split()
    series = {word.casefold() for word in spec.series.split()}
    return " ".join(word.upper() if word in series else word for word in words)


def _frame(rows: Sequence[tuple[str, ...]], columns: tuple[str, ...]) -> pl.DataFrame:
    return pl.DataFrame(rows, schema=dict.fromkeys(columns, pl.String), orient="row")

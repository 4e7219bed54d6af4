"""How a table was understood, a row a column, for people to see and put right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .headings import Taken
from .vehicle_rows import VEHICLE

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .asking import Around
    from .taking import TableTaken

_UNKNOWN = "unknown"


def layout_rows(
    columns: Sequence[str], texts: Mapping[str, str | None], header_row_number: int | None,
    taken: TableTaken, around: Around,
) -> list[dict[str, object]]:  # fmt: skip
    """Return how the table was understood, a row a column."""
    found = dict(taken.fields) if taken.kind is not None else {}
    if taken.matrix is not None:
        found |= {name: Taken("presence", f"under '{text}'") for name, text in taken.matrix.across}
        found |= {
            column: Taken(name, f"belongs to '{text}'")
            for vehicle, text in taken.matrix.across
            for column, name, _ in taken.matrix.own.get(vehicle, ())
        }
    found |= {name: Taken("quantity", f"counted {day}") for name, _, day in taken.counted_on}
    found |= {name: Taken("effectivity", "a column for each build") for name in taken.builds}
    found |= {name: Taken("effectivity", f"serials: {one.series}")
              for one in taken.serials for name in one.columns}  # fmt: skip
    if taken.likelihoods is not None:
        found |= {name: Taken(taken.likelihoods.cells, f"under '{text}'")
                  for name, text in taken.likelihoods.builds.items()}  # fmt: skip
    found |= taken.apart.taken if taken.kind is not None else {}
    found |= {name: Taken("quantity", "a column for each side") for name in taken.sides}
    remark = Taken("remark", "remark")
    rows: list[dict[str, object]] = []
    for name in columns:
        if name == VEHICLE:
            continue
        one = found.get(name, remark)
        rows.append({
            "sheet": around.sheet, "table_number": around.number,
            "line_kind": taken.kind or _UNKNOWN, "header_row": header_row_number,
            "column": int(name), "heading": texts[name],
            "field": None if one.field == "remark" else one.field,
            "reason": f"{one.reason}; table: {taken.reason}",
        })  # fmt: skip
    return rows


def margin_rows(
    margin: Sequence[str], layout: Sequence[Mapping[str, object]]
) -> list[dict[str, object]]:
    """Return rows for the columns that hold notes beside a table."""
    return [
        {**layout[0], "column": int(name), "heading": None, "field": None,
         "reason": "notes beside the table"}
        for name in margin
    ]  # fmt: skip

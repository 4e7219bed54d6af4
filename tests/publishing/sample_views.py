"""Views for tests of publishers: every section, with rows made from its schema, no club behind."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

import polars as pl

from partmuster.plugin_api import PartmusterError, Section, SectionColumn
from partmuster_schemas.columns import AUDIENCES, described, polars_schema
from partmuster_schemas.report import SECTIONS

#: Texts that try what a form can carry: long, foreign, markup, a formula, a line end.
TEXTS = (
    "track guard", "Brandt & Foy <b>bold</b>", "=1+1", "Kühlerhaube, ½ inch × 3",
    "a long remark " * 12, "two\nlines", "ёлка", None,
)  # fmt: skip


@dataclass(frozen=True)
class SampleView:
    """A club view of so many rows a section."""

    audience: str = "registrar"
    rows: int = 8
    club: str = "Vale of Ashmere Vehicle Club"
    title: str = "Monthly report, October 2026"
    file_name: str = "2026-10-registrar"
    as_of: dt.date = dt.date(2026, 10, 31)
    head: tuple[str, ...] = (
        "For the registrar. Compared with 30 September 2026.",
        "Local law and licensed practice decide what may be done, and by whom.",
    )

    def sections(self) -> tuple[Section, ...]:
        rank = AUDIENCES.index(self.audience)
        found = []
        for name, section in SECTIONS.items():
            if AUDIENCES.index(section.audience) < rank:
                continue
            columns = tuple(
                SectionColumn(column, column.replace("_", " "), about["doc"],
                              _kind(column, about["type"]))
                for column, about in described(section.model).items()
                if AUDIENCES.index(about["audience"]) >= rank
            )  # fmt: skip
            there = {column.name for column in columns}
            chart = section.chart if set(section.chart) <= there else ()
            found.append(
                Section(name, section.title, section.lead, section.if_empty, columns, chart)
            )
        return tuple(found)

    def ask(self, section: str) -> pl.DataFrame:
        found = next((one for one in self.sections() if one.name == section), None)
        if found is None:
            raise PartmusterError(f"there is no section {section}")
        types = polars_schema(SECTIONS[section].model)
        return pl.DataFrame(
            {one.name: [_value(one, types[one.name], row) for row in range(self.rows)]
             for one in found.columns},
            schema={one.name: types[one.name] for one in found.columns},
        )  # fmt: skip


def _kind(column: str, database_type: str) -> Any:
    if column == "trace":
        return "ids"
    if column.split("_", maxsplit=1)[0] in ("low", "high"):
        return "share"
    return {"BOOLEAN": "yes-no", "DATE": "day", "VARCHAR": "text"}.get(database_type, "number")


def _value(column: SectionColumn, dtype: Any, row: int) -> Any:
    if column.kind == "ids":
        return ";".join(f"holding-{row:08x}{n:08x}.1" for n in range(row % 3 + 1))
    if column.kind == "share":
        return row % 11 / 10
    if column.kind == "day":
        return dt.date(2026, 10, 1) - dt.timedelta(days=row * 40)
    if column.kind == "yes-no":
        return row % 2 == 0
    if column.kind == "number":
        return int(row) if dtype != pl.Float64 else row * 0.5
    return TEXTS[(row + len(column.name)) % len(TEXTS)]

"""A view of one section with given rows, for tests that look at how values are set."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from partmuster.plugin_api import Section, SectionColumn

if TYPE_CHECKING:
    import polars as pl


def column(name: str, kind: Any = "text", meaning: str = "") -> SectionColumn:
    return SectionColumn(name, name.replace("_", " "), meaning or f"what {name} means", kind)


def section(*columns: SectionColumn, name: str = "parts", **others: Any) -> Section:
    texts = {"title": "Parts", "lead": "How parts are counted.", "if_empty": "There are no parts."}
    return Section(name, columns=columns, **(texts | others))


@dataclass(frozen=True)
class SmallView:
    """A document of given sections and rows."""

    tables: tuple[tuple[Section, pl.DataFrame], ...] = field(default=())
    audience: str = "members"
    club: str = "Vale of Ashmere Vehicle Club"
    title: str = "Monthly report, October 2026"
    file_name: str = "2026-10-members"
    as_of: dt.date = dt.date(2026, 10, 31)
    head: tuple[str, ...] = ("For members.",)

    def sections(self) -> tuple[Section, ...]:
        return tuple(one for one, _ in self.tables)

    def ask(self, section: str) -> pl.DataFrame:
        return next(rows for one, rows in self.tables if one.name == section)

"""Views with what is hard to set: texts that try every limit, names that clash, odd types."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field

import polars as pl

from partmuster.plugin_api import Section, SectionColumn

LONGEST = "long words " * 4000
HARD_TEXTS = (
    "=1+1", "+SUM(A1:A9)", "-2+3", "@cmd", "'=1+1", "\t=1", "{=1}", "#REF!", "TRUE", "00123", "1e5",
    "https://example.invalid/?a=1&b=2", '<b>&amp;</b> ]]> "quoted"', "  blanks before and after",
    "two\nlines\r\nand a third", "bell\x07nul\x00esc\x1b[31m", "_x0041_ stays", "\ufffe\uffff",
    "مرحبا", "漢字", "e\u0301", "😀 " * 3, "😀" * 17000, LONGEST, "", None,
)  # fmt: skip


def column(name: str, kind: str = "text", meaning: str = "what it is") -> SectionColumn:
    return SectionColumn(name, name.replace("_", " "), meaning, kind)


@dataclass(frozen=True)
class TablesView:
    """A view of frames given by hand: (section, frame) in order."""

    tables: tuple[tuple[Section, pl.DataFrame], ...]
    audience: str = "members"
    club: str = "Vale of Ashmere Vehicle Club"
    title: str = "Yard list, 31 October 2026"
    file_name: str = "yard-list-members"
    as_of: dt.date = dt.date(2026, 10, 31)
    head: tuple[str, ...] = ("For members of the club.",)
    asked: list[str] = field(default_factory=list)

    def sections(self) -> tuple[Section, ...]:
        return tuple(section for section, _ in self.tables)

    def ask(self, section: str) -> pl.DataFrame:
        self.asked.append(section)
        return next(frame for one, frame in self.tables if one.name == section)


def table(name: str, frame: pl.DataFrame, *columns: SectionColumn, chart: tuple[str, ...] = ()):
    section = Section(name, f"All of {name}", f"How {name} is counted.", "Nothing.", columns, chart)
    return section, frame


def hard_view() -> TablesView:
    """Return a view whose every text is hard."""
    texts = pl.DataFrame(
        {"words": HARD_TEXTS, "caution": HARD_TEXTS},
        schema={"words": pl.String, "caution": pl.String},
    )
    hostile = SectionColumn("words", "=HYPERLINK(1)", "<b>\x07" * 200, "text")
    named = Section(
        "History", "=1+1", LONGEST, "@nothing", (hostile, column("caution")), ("words", "caution")
    )
    again = [
        table(name, texts.head(2), column("words"), column("caution"))
        for name in (
            "HISTORY",
            "history",
            "a[]:*?/\\'b",
            "x" * 40,
            "x" * 41,
            "Cover",
            "'",
            "Columns",
        )
    ]
    return TablesView(
        ((named, texts), *again), club="=Brandt & Foy's &P <club> 'x' \x00" * 20,
        title="@title &D\nsecond line", head=(*(text for text in HARD_TEXTS if text),),
    )  # fmt: skip

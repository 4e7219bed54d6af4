"""A view made up for tests of publishers: every kind of column, each audience, hard texts."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, Literal

from partmuster.plugin_api import PartmusterError, Section, SectionColumn

if TYPE_CHECKING:
    import polars as pl

#: From the one that sees all to the one that sees least.
AUDIENCES = ("registrar", "members", "circulated")

HARD_TEXTS = (
    "=1+1", "+SUM(A1:A9)", "@cmd", "\t=1", "'=1", "<b>bold</b> & </td> ]]>", '"quoted", \'so\'',
    "two\nlines\r\nand a third", "bell\x07 nul\x00 escape\x1b[31m", "_x0041_", "\u202eturned",
    "\u0645\u0631\u062d\u0628\u0627", "\u6f22\u5b57", "e\u0301", "\U0001f600", "\ufffe\uffff",
    "{{ 7*7 }} {% raw %} ${x} %s %d", "C:\\temp\\..\\x", "x" * 300, "long words " * 900,
    "  ", "", None,
)  # fmt: skip

#: Name, kind and meaning of each column, and the widest circle that it is for.
_COLUMNS: tuple[tuple[str, Any, str, str], ...] = (
    ("part", "text", "the part", "circulated"),
    ("quantity", "number", "how many there are", "circulated"),
    ("wanted", "number", "how many are wanted", "circulated"),
    ("low", "share", "share that is surely there", "circulated"),
    ("new", "yes-no", "new this month", "circulated"),
    ("said_on", "day", "the day it was said", "circulated"),
    ("caution", "text", "what is dangerous about it", "circulated"),
    ("holder", "text", "who has it", "members"),
    ("place", "text", "where it is kept", "registrar"),
    ("trace", "ids", "line ids; ';' between", "circulated"),
)
_VALUES: dict[str, tuple[Any, ...]] = {
    "part": ("track guard", "dynamo", "brake band", None),
    "quantity": (2.0, 0.5, None, 1.0),
    "wanted": (0, 12_345, 1, None),
    "low": (0.0, 0.375, 1.0, None),
    "new": (True, False, None, False),
    "said_on": (dt.date(2021, 10, 1), dt.date(2019, 2, 28), None, dt.date(1899, 1, 2)),
    "caution": (None, None, "may hold asbestos", None),
    "holder": ("Ada Quillmarsh", "Bert Foyle", None, "Ada Quillmarsh"),
    "place": ("Lowmoor Barn, shelf nine", None, None, "behind the hen house"),
    "trace": ("holding-1.1", "holding-2.1;want-2.1", None, "holding-4.2"),
}
_ONLY_REGISTRAR = "Settled by the registrar alone"


@dataclass(frozen=True)
class MadeView:
    """A club view of so many rows a section; ``hard``: all its words try what a form can carry.

    ``tables``: the names of its sections. What is asked for is noted in ``asked``.
    """

    audience: str = "registrar"
    rows: int = 8
    hard: bool = False
    tables: tuple[str, ...] = ("parts", "nothing", "settled")
    club: str = "Vale of Ashmere Vehicle Club"
    title: str = "Monthly report, October 2021"
    file_name: str = "2021-10-made-up"
    as_of: dt.date = dt.date(2021, 10, 31)
    asked: list[str] = field(default_factory=list)

    @property
    def head(self) -> tuple[str, ...]:
        """Sentences above the sections."""
        return (f"This copy is for: {self.audience}.", *self._hard_words())

    def sections(self) -> tuple[Section, ...]:
        """Return the sections that the audience may see."""
        return tuple(
            self._section(name)
            for name in self.tables
            if name != "settled" or self.audience == AUDIENCES[0]
        )

    def ask(self, section: str) -> pl.DataFrame:
        """Return the rows of a section.

        Raises:
            PartmusterError: there is no such section for this audience.
        """
        import polars as pl  # noqa: PLC0415 - heavy, and plugin authors load this early

        self.asked.append(section)
        found = [one for one in self.sections() if one.name == section]
        if not found:
            raise PartmusterError(f"there is no section {section}")
        rows = 0 if section == "nothing" else self.rows
        return pl.DataFrame(
            {one.name: [self._value(one, row) for row in range(rows)] for one in found[0].columns},
            schema={one.name: _dtype(one.name, one.kind) for one in found[0].columns},
        )

    def kept_back(self) -> list[str]:
        """Return words of a registrar's copy that this audience may not see."""
        rank = AUDIENCES.index(self.audience)
        back = [
            value
            for name, kind, _, circle in _COLUMNS
            if AUDIENCES.index(circle) < rank and kind == "text"
            for value in _VALUES[name]
            if value is not None
        ]
        return [*back, _ONLY_REGISTRAR] if rank else back

    def _section(self, name: str) -> Section:
        rank = AUDIENCES.index(self.audience)
        columns = tuple(
            SectionColumn(one, one.replace("_", " "), meaning, kind)
            for one, kind, meaning, circle in _COLUMNS
            if AUDIENCES.index(circle) >= rank
        )
        title = {"parts": "Parts that are held", "nothing": "A section without rows"}.get(
            name, _ONLY_REGISTRAR
        )
        lead = " ".join(("How it is counted.", *self._hard_words()))
        chart = ("part", "quantity", "wanted") if name == "parts" else ()
        return Section(name, title, lead, "There is nothing to tell.", columns, chart)

    def _value(self, column: SectionColumn, row: int) -> Any:
        if self.hard and column.kind == "text":
            return HARD_TEXTS[(row + len(column.name)) % len(HARD_TEXTS)]
        values = _VALUES[column.name]
        return values[row % len(values)]

    def _hard_words(self) -> tuple[str, ...]:
        return tuple(text for text in HARD_TEXTS if text and text.strip()) if self.hard else ()


def _dtype(name: str, kind: Literal["text", "number", "share", "day", "yes-no", "ids"]) -> Any:
    import polars as pl  # noqa: PLC0415

    whole = pl.Int64 if name == "wanted" else pl.Float64
    return {"number": whole, "share": pl.Float64, "day": pl.Date, "yes-no": pl.Boolean}.get(
        kind, pl.String
    )

"""A month's report: every section's rows, as the registrar may see them, and what each rests on."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from functools import cached_property
from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster.answers.sql import when
from partmuster.model import PartmusterError
from partmuster.reading.text import fold

from . import offers, settling, stock, vehicles, wanting
from .figures import COUNTS
from .moment import Moment, known_by, moment, supply

if TYPE_CHECKING:
    from collections.abc import Callable

    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

    from .moment import Supply
    from .months import Month

#: Ids of figures: month, whether with today's knowledge, section, and which row or count.
FIGURE_ID: Final = re.compile(r"(\d{4}-\d\d)(\+now)?:(\w+):(\S+)")
#: Sections of sums, whose rows have an id of their own; by what it is told.
_SUMS: Final = {
    "holders": ("person", "holder"), "vehicles": ("vehicle_id",),
    "assemblies": ("vehicle", "assembly"), "scarcest": ("part", "hand", "position"),
    "basis": ("source_id",),
}  # fmt: skip
#: Raw lines that figures of sources count, by the last part of their id.
_OUTCOMES: Final = {
    "accepted": "loaded", "in-review": "decision", "to-mend": "mending", "not-data": "not-data",
}  # fmt: skip


class Report:
    """The sections of one month, each worked out when it is first asked for.

    Rows hold part and assembly ids, and besides the columns of their model what the next steps
    need: ``person`` (and ``wanted_person``) ids, ``line_ids`` behind a sum.
    """

    def __init__(
        self, con: DuckDBPyConnection, vocabulary: Vocabulary, month: Month, known_now: bool = False
    ) -> None:
        self.con = con
        self.vocabulary = vocabulary
        self.month = month
        self.known_now = known_now
        self._rows: dict[str, pl.DataFrame] = {}
        self._rows_before: dict[str, pl.DataFrame] = {}

    @property
    def prefix(self) -> str:
        """How the ids of this report's figures begin."""
        return f"{self.month}{'+now' if self.known_now else ''}"

    @property
    def before(self) -> Moment | None:
        """The club at the end of the month before; None where nothing was known then."""
        return self._moments[0]

    @property
    def now(self) -> Moment:
        """The club at the end of the month."""
        return self._moments[1]

    @cached_property
    def _moments(self) -> tuple[Moment | None, Moment]:
        """Read both at once: planning leaves one of two processors idle."""
        day, day_before = self.month.last_day, self.month.before.last_day
        if not known_by(self.con, day_before, self.known_now):
            return None, moment(self.con, self.vocabulary, day, self.known_now)
        with ThreadPoolExecutor(1) as beside, self.con.cursor() as own:
            # a connection of its own: each keeps its steps in temporary tables
            then = beside.submit(moment, own, self.vocabulary, day_before, self.known_now)
            now = moment(self.con, self.vocabulary, day, self.known_now)
            return then.result(), now

    @cached_property
    def supply(self) -> Supply:
        """What could close a lack at the end of the month."""
        _ = self.now  # first: what is kept of its day serves this, too
        return supply(self.con, self.vocabulary, self.month.last_day, self.known_now)

    def rows(self, section: str) -> pl.DataFrame:
        """Return the rows of a section but the figures, which hang on the audience."""
        if section not in self._rows:
            made = self._makers[section]()
            if section in _SUMS:
                made = _with_ids(made, f"{self.prefix}:{section}", _SUMS[section])
            self._rows[section] = made
        return self._rows[section]

    def rows_before(self, section: str) -> pl.DataFrame:
        """Return the rows of a section at the end of the month before, as far as it had any."""
        assert self.before is not None
        if section not in self._rows_before:
            self._rows_before[section] = self._before_makers(self.before)[section]()
        return self._rows_before[section]

    @cached_property
    def _part_names(self) -> dict[str, str]:
        return {part.part_id: part.name for part in self.vocabulary.parts}

    @cached_property
    def _makers(self) -> dict[str, Callable[[], pl.DataFrame]]:
        rows = self.rows
        return {
            "holdings": lambda: stock.held(self.now),
            "holders": lambda: stock.holders(rows("holdings"), self.now.day),
            "offered": lambda: stock.offered(rows("holdings")),
            "unsighted": lambda: stock.unsighted(rows("holdings"), self.now.day),
            "moves": lambda: stock.moves(self.now, self.before),
            "wants": lambda: wanting.wants(self.now, self.before),
            "matches": lambda: wanting.matches(
                rows("wants"), rows("holdings"), stock.held(self.before) if self.before else None
            ),
            "lacks": lambda: vehicles.lacks(self.now, self.before),
            "vehicles": lambda: vehicles.vehicles(self.now, self.before),
            "assemblies": lambda: vehicles.assemblies(rows("lacks"), self.now, self.before),
            "stand_ins": lambda: vehicles.stand_ins(rows("lacks"), self.supply),
            "hinges": lambda: vehicles.hinges(rows("lacks"), self._part_names),
            "offers": lambda: self.supply.best,
            "scarcest": lambda: offers.scarcest(self.supply, rows("wants")),
            "waiting": lambda: self.now.waiting,
            "disagreements": lambda: settling.disagreements(
                self.con, self.now, when(self.now.day, self.known_now)
            ),
            "basis": lambda: settling.basis(self.now),
        }

    def _before_makers(self, before: Moment) -> dict[str, Callable[[], pl.DataFrame]]:
        rows = self.rows_before
        return {
            "holdings": lambda: stock.held(before),
            "holders": lambda: stock.holders(rows("holdings"), before.day),
            "offered": lambda: stock.offered(rows("holdings")),
            "unsighted": lambda: stock.unsighted(rows("holdings"), before.day),
            "wants": lambda: wanting.wants(before, None),
            "lacks": lambda: vehicles.lacks(before, None),
            "vehicles": lambda: vehicles.vehicles(before, None),
            "stand_ins": lambda: rows("lacks").filter(pl.col("state") == "stand-in"),
            "hinges": lambda: vehicles.hinges(rows("lacks"), self._part_names),
            "waiting": lambda: before.waiting,
            "disagreements": lambda: settling.disagreements(
                self.con, before, when(before.day, self.known_now)
            ),
            "basis": lambda: settling.basis(before),
        }

    def lines_of(self, figure: str) -> list[str]:
        """Return the ids of the lines, questions or raw lines that a figure rests on.

        Raises:
            PartmusterError: this report has no such figure.
        """
        found = FIGURE_ID.fullmatch(figure)
        section, key = (found[3], found[4]) if found else ("", "")
        if section in self._makers:
            rows = self.rows(section)
            count = next((one for one in COUNTS if (one.section, one.key) == (section, key)), None)
            of_row = rows.filter(pl.col("trace") == figure) if section in _SUMS else rows.clear()
            if of_row.height:
                return self._ids(section, of_row)
            if count is not None:
                return self._ids(section, count.rows(rows), key)
        raise PartmusterError(
            f"'{figure}' is no figure of the report of {self.month.words}. Its ids stand in the "
            f"column 'trace': partmuster report --month {self.month} --section figures"
        )

    def _ids(self, section: str, rows: pl.DataFrame, key: str = "") -> list[str]:
        if section == "basis":
            return self._raw_lines(rows, _OUTCOMES.get(key))
        if "line_ids" in rows.columns:
            ids = rows.get_column("line_ids").explode()
        else:
            ids = rows.get_column("trace").str.split(";").explode()
        ids = ids.drop_nulls()
        return ids.filter(ids != "").unique(maintain_order=True).to_list()

    def _raw_lines(self, rows: pl.DataFrame, outcome: str | None) -> list[str]:
        """Return the ids of the raw lines of sources, all or those of an outcome."""
        found: list[str] = []
        for source, version in rows.select("source_id", "version").iter_rows():
            found += (
                one for (one,) in self.con.execute(
                    "SELECT concat_ws('.', source_id, source_version, raw_number) FROM raw_line "
                    "WHERE source_id = ? AND source_version = ? AND (? IS NULL OR outcome = ?) "
                    "ORDER BY raw_number",
                    [source, version, outcome, outcome],
                ).fetchall()
            )  # fmt: skip
        return found


def _with_ids(rows: pl.DataFrame, prefix: str, told_by: tuple[str, ...]) -> pl.DataFrame:
    """Give each row an id that its words make; equal ones are numbered."""
    words = [
        "/".join(re.sub(r"[^\w.]+", "-", fold(str(one))) for one in row if one is not None) or "-"
        for row in rows.select(told_by).iter_rows()
    ]
    seen: dict[str, int] = {}
    ids = []
    for one in words:
        seen[one] = seen.get(one, 0) + 1
        ids.append(f"{prefix}:{one}" + (f"~{seen[one]}" if seen[one] > 1 else ""))
    return rows.with_columns(trace=pl.Series(ids, dtype=pl.String))

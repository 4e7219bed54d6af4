"""The yard list: for one trip or one vehicle, what to take, what to refuse and what to measure."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster.answers.donors import donors
from partmuster.model import PartmusterError
from partmuster.reading.text import fold
from partmuster_schemas.columns import described
from partmuster_schemas.vehicle_file import YARD_LIST

from . import settling
from .audience import Circle, columns_for
from .moment import GOES
from .view import View, as_known, file_words

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from partmuster_schemas.columns import Audience
    from partmuster_schemas.report import ReportSection
    from partmuster_trade.vocabulary import Vocabulary

#: What has to be checked, by a word of the reason; the first that stands there.
_TO_CHECK: Final = (
    ("hand not stated", "which hand it is: compare it with the other side"),
    ("position not stated", "which position it is for"),
    ("check duty", "grade, drilled heads, clearance class, seal material: same size is not enough"),
    ("build not stated", "which build it is off: numbers, castings, and how it was joined"),
    ("disputed", "try it against the vehicle: sources disagree whether it goes"),
    ("mated", "whether its mate is there too: never make a set of two"),
)
_OTHERWISE: Final = "numbers, mountings and overall sizes, against the vehicle"


class YardList(View):
    """What a place or the whole club has for vehicles that lack it: a ``ClubView``.

    ``vehicle``: only what this vehicle lacks; ``at``: only what this holder has, or what is on
    this vehicle. One of them is needed.
    """

    documented: Mapping[str, ReportSection] = YARD_LIST

    def __init__(
        self,
        con: DuckDBPyConnection,
        vocabulary: Vocabulary,
        audience: Audience,
        club: str,
        day: dt.date,
        *,
        vehicle: str | None = None,
        at: str | None = None,
        known_now: bool = False,
    ) -> None:
        """Ask for all candidates.

        Raises:
            UnknownVehicleError: no vehicle is called so.
            PartmusterError: nobody and nothing of that name has a candidate; neither is asked
                for; or the copy would go round.
        """
        if audience == "circulated":
            raise PartmusterError(
                "a yard list tells where things are, and so is not for circulation: make it for "
                "members, or for the registrar."
            )
        if vehicle is None and at is None:
            raise PartmusterError("a yard list is for a vehicle, or for a trip to somebody's yard.")
        super().__init__(
            vocabulary, Circle(audience, {}, {}, frozenset()), club, restricted_left_out=False
        )
        self._day = day
        self._known_now = known_now
        self._vehicle = vehicle
        rows = donors(con, vocabulary, vehicle, as_of=day, known_now=known_now).filter(
            pl.col("source").is_not_null() & (pl.col("standing") != "not offered")
            | (pl.col("fit") == "never")
        )
        self._at = at
        if at is not None:
            rows = rows.filter(pl.col("source").is_in(self._called(rows, at)))
        self._candidates = rows

    def _called(self, rows: pl.DataFrame, at: str) -> list[str]:
        names = rows.get_column("source").drop_nulls().unique().sort().to_list()
        wanted = fold(at).strip()
        found = [one for one in names if fold(one).strip() == wanted]
        if not found:
            found = [one for one in names if wanted in fold(one)]
        if not found:
            raise PartmusterError(
                f"'{at}' has nothing that is lacking. There are: {', '.join(names) or 'none'}."
            )
        self._at = ", ".join(found)
        return found

    @property
    def title(self) -> str:
        """What the document is."""
        for_whom = f" for {self._vehicle}" if self._vehicle else ""
        return f"Yard list{for_whom}{f' at {self._at}' if self._at else ''}"

    @property
    def file_name(self) -> str:
        """How its files are named."""
        return f"{file_words(self.title)}-{self._day.isoformat()}-{self.audience}"

    @property
    def as_of(self) -> dt.date:
        """The day it tells of."""
        return self._day

    @property
    def head(self) -> tuple[str, ...]:
        """For whom it is, of which day, and that nothing is taken without a word."""
        return self._head(
            f"{as_known(self._day, self._known_now)}.",
            "Take nothing without its owner's word; what says 'ask first' is no offer.",
        )

    def candidates(self, section: str) -> pl.DataFrame:
        """Return the candidates of a section for the form, without what is not for the audience."""
        rows = self._rows(section)
        model = YARD_LIST[section].model
        hidden = described(model).keys() - set(columns_for(model, self._circle))
        return rows.with_columns(
            pl.lit(None, pl.String).alias(name) for name in rows.columns if name in hidden
        )

    def _rows(self, section: str) -> pl.DataFrame:
        rows = self._candidates
        goes = pl.col("fit").is_in(GOES)
        if section == "take":
            return rows.filter(goes).sort("vehicle", "part", "rank", maintain_order=True)
        if section == "refuse":
            return rows.filter(pl.col("fit") == "never")
        if section == "measure":
            return rows.filter(pl.col("fit") == "unknown").with_columns(to_check=_to_check())
        return settling.cautions(self._vocabulary, rows.get_column("part").unique())


def _to_check() -> pl.Expr:
    told = pl.lit(_OTHERWISE)
    for words, check in reversed(_TO_CHECK):
        told = pl.when(pl.col("reason").str.contains(words, literal=True)).then(
            pl.lit(check)
        ).otherwise(told)  # fmt: skip
    return told

"""The vehicle file: what a museum, a grant giver, an insurer or the next owner asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster.answers.builds import builds
from partmuster.answers.lacks import lacks
from partmuster.answers.sql import keep_names, keep_readings, list_literal, question
from partmuster.answers.vehicles import find_vehicle
from partmuster.model import PartmusterError
from partmuster_schemas.vehicle_file import VEHICLE_FILE

from . import settling
from .audience import Circle
from .view import View, as_known, file_words

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from partmuster_schemas.columns import Audience
    from partmuster_schemas.report import ReportSection
    from partmuster_trade.vocabulary import Vocabulary

#: How an item was made, as a restorer says it; of one that is not there nothing is said.
_MADE: Final = {
    "original": "original", "other-original": "other original",
    "new-made": "new made to drawing", "adapted": "adapted",
}  # fmt: skip
_NOT_THERE: Final = ("missing", "not-there-to-be-fitted")


class VehicleFile(View):
    """One vehicle's file as of a day: a ``ClubView``. ``day`` None = today, as ``today`` says."""

    documented: Mapping[str, ReportSection] = VEHICLE_FILE

    def __init__(
        self,
        con: DuckDBPyConnection,
        vocabulary: Vocabulary,
        vehicle: str,
        audience: Audience,
        club: str,
        day: dt.date,
        *,
        known_now: bool = False,
    ) -> None:
        """Find the vehicle.

        Raises:
            UnknownVehicleError: no vehicle is called so.
            PartmusterError: the copy would go round.
        """
        if audience == "circulated":
            raise PartmusterError(
                "a vehicle file tells which vehicle it is of, and so is not for circulation: make "
                "it for members, or for the registrar."
            )
        super().__init__(
            vocabulary, Circle(audience, {}, {}, frozenset()), club, restricted_left_out=False
        )
        self._con = con
        self._day = day
        self._known_now = known_now
        self._vehicle_id = find_vehicle(con, vehicle, day, known_now)
        self._made: dict[str, pl.DataFrame] = {}
        self._hybrid: str | None = None
        named = self._rows("identities").filter((pl.col("fact") == "name") & pl.col("counts"))
        self._name = named.get_column("value")[0] if named.height else vehicle

    @property
    def title(self) -> str:
        """What the document is."""
        return f"Vehicle file, {self._name}"

    @property
    def file_name(self) -> str:
        """How its files are named."""
        return f"{file_words(self._name)}-{self._day.isoformat()}-{self.audience}"

    @property
    def as_of(self) -> dt.date:
        """The day it tells of."""
        return self._day

    @property
    def head(self) -> tuple[str, ...]:
        """For whom it is, of which day, and whether it is a hybrid."""
        self._rows("builds")
        hybrid = () if self._hybrid is None else (f"A {self._hybrid}.",)
        return self._head(f"{as_known(self._day, self._known_now)}.", *hybrid)

    def _rows(self, section: str) -> pl.DataFrame:
        if section not in self._made:
            self._make(section)
        return self._made[section]

    def _make(self, section: str) -> None:
        asked = (self._day, self._known_now)
        if section in ("builds", "evidence"):
            told = builds(self._con, self._vocabulary, self._vehicle_id, None, *asked)
            self._hybrid = told.hybrid
            self._made |= {"builds": told.rows, "evidence": told.evidence}
        elif section in ("lacks", "complete"):
            both = lacks(self._con, self._vocabulary, self._vehicle_id, *asked)
            self._made |= {"lacks": both.rows, "complete": both.completeness}
        elif section == "cautions":
            parts = [*self._rows("lacks").get_column("part"), *self._rows("fabric")["part"]]
            named = {one for one in parts if one is not None}
            self._made[section] = settling.cautions(self._vocabulary, named)
        else:
            self._made |= self._said()

    def _said(self) -> dict[str, pl.DataFrame]:
        """Return what sources say of the vehicle: identities, fabric, told, sources."""
        of_it = list_literal([self._vehicle_id])
        with question(self._con, self._vocabulary, self._day, self._known_now) as asked:
            keep_names(asked)
            keep_readings(asked, "NULL")
            rows = {
                name: asked.rows(f"SELECT * FROM {macro}({of_it}, {asked.moment})")  # noqa: S608  (literals)
                for name, macro in (
                    ("identities", "identities_of"), ("fabric", "fabric_of"), ("told", "told_of"),
                    ("sources", "sources_of_vehicles"),
                )
            }  # fmt: skip
        rows["fabric"] = rows["fabric"].with_columns(
            made=pl.when(pl.col("presence").is_in(_NOT_THERE))
            .then(pl.lit("is not there"))
            .when(pl.col("presence") == "stand-in")
            .then(pl.lit("stand-in"))
            .otherwise(pl.col("making").replace_strict(_MADE, default="not known"))
        )
        return rows

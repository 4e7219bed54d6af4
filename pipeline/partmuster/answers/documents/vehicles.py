"""Vehicles in a month: how far each is, what it lacks, and what hinges on its builds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

if TYPE_CHECKING:
    from .moment import Moment, Supply

#: What is asked of a vehicle whose owner has stated no aim.
_AIM_IF_NONE: Final = "full-original"
_LACKS: Final = ("missing", "unserviceable", "stand-in")
_ITEM: Final = ("assembly", "part", "hand", "position", "state")
#: So many parts are named that hinge on a build.
_NAMED: Final = 12


def _looked_for(at: Moment) -> pl.DataFrame:
    """Return the vehicles that parts are looked for: not those for breaking, nor bare hulks."""
    role = pl.col("role").fill_null("")
    return at.vehicles.filter(
        ~((role == "breaking") | ((role == "hulk") & pl.col("aim").is_null()))
    )


def lacks(now: Moment, before: Moment | None) -> pl.DataFrame:
    """Return what vehicles lack that parts are looked for: columns of ``report.LackLine``."""
    wanted = _looked_for(now).get_column("vehicle").implode()
    rows = now.lacks.filter(pl.col("vehicle").is_in(wanted))
    old = before.lacks if before else rows
    old = old.select("vehicle", *_ITEM).unique().with_columns(old=pl.lit(value=True))
    return rows.join(old, on=["vehicle", *_ITEM], how="left", nulls_equal=True,
                     maintain_order="left").with_columns(
        new=pl.col("old").is_null()
    )  # fmt: skip


def _counts(rows: pl.DataFrame, *by: str) -> pl.DataFrame:
    return rows.group_by(*by, maintain_order=True).agg(
        lacking=pl.col("state").is_in(_LACKS).sum().cast(pl.Int64),
        stand_ins=(pl.col("state") == "stand-in").sum().cast(pl.Int64),
        not_looked_at=(pl.col("state") == "not-looked-at").sum().cast(pl.Int64),
        hinges=pl.col("depends_on").is_not_null().sum().cast(pl.Int64),
        line_ids=pl.col("trace").str.split(";").explode().drop_nulls(),
    )


def _complete(at: Moment | None, now: Moment) -> pl.DataFrame:
    """Return how complete each vehicle is for its aim, of parts alone: whole and by assembly."""
    of = (at or now).completeness
    aims = now.vehicles.select("vehicle", pl.col("aim").fill_null(_AIM_IF_NONE))
    rows = of.filter(pl.col("sort") == "part").join(aims, on=["vehicle", "aim"], how="semi")
    return (rows if at else rows.clear()).select("vehicle", "assembly", "low", "high")


def vehicles(now: Moment, before: Moment | None) -> pl.DataFrame:
    """Return how far each vehicle is: columns of ``report.VehicleSum``, and line ids."""
    whole, was = (
        _complete(at, now).filter(pl.col("assembly").is_null()).drop("assembly")
        for at in (now, before)
    )
    counts = _counts(now.lacks, "vehicle")
    counts_before = _counts(before.lacks if before else now.lacks.clear(), "vehicle")
    rows = (
        now.vehicles.with_columns(pl.col("aim").fill_null(_AIM_IF_NONE))
        .join(whole, on="vehicle", how="left", maintain_order="left")
        .join(was.rename({"low": "low_before", "high": "high_before"}), on="vehicle", how="left",
              maintain_order="left")
        .join(counts, on="vehicle", how="left", maintain_order="left")
        .join(counts_before.select("vehicle", lacking_before="lacking"), on="vehicle", how="left",
              maintain_order="left")
    )  # fmt: skip
    known_before = before.vehicles if before else now.vehicles.clear()
    return rows.with_columns(
        pl.col("lacking", "stand_ins", "not_looked_at", "hinges").fill_null(0),
        change=pl.col("low") - pl.col("low_before"),
        lacking_before=pl.when(
            pl.col("vehicle_id").is_in(known_before.get_column("vehicle_id").implode())
        ).then(pl.col("lacking_before").fill_null(0)),
    )


def assemblies(lacking: pl.DataFrame, now: Moment, before: Moment | None) -> pl.DataFrame:
    """Return the assemblies of which something lacks or was not looked at."""
    names = {"low": "low_before", "high": "high_before"}
    builds = lacking.group_by("vehicle", "assembly", maintain_order=True).agg(
        build=pl.col("build").first()
    )
    return (
        _counts(lacking, "vehicle", "assembly")
        .join(builds, on=["vehicle", "assembly"], how="left", maintain_order="left")
        .join(_complete(now, now), on=["vehicle", "assembly"], how="left", maintain_order="left")
        .join(_complete(before, now).rename(names), on=["vehicle", "assembly"], how="left",
              maintain_order="left")
    )  # fmt: skip


def stand_ins(lacking: pl.DataFrame, supply: Supply) -> pl.DataFrame:
    """Return stand-ins still to replace, with how many offers there are of an original."""
    offers = supply.by_lack.filter(pl.col("state") == "stand-in")
    return (
        lacking.filter(pl.col("state") == "stand-in")
        .join(offers.drop("state"), on=["vehicle", "part", "hand", "position"], how="left",
              nulls_equal=True, maintain_order="left")
        .with_columns(offered=pl.col("offers").fill_null(0).cast(pl.Int64))
    )  # fmt: skip


def hinges(lacking: pl.DataFrame, names: dict[str, str]) -> pl.DataFrame:
    """Return what hinges on a build that is not settled; ``names``: part names by id."""
    on = lacking.filter(pl.col("depends_on").is_not_null())
    part = pl.col("part").replace(names)
    few = part.drop_nulls().unique(maintain_order=True)
    return on.group_by("vehicle", "assembly", "depends_on", maintain_order=True).agg(
        lines=pl.len().cast(pl.Int64),
        parts=pl.when(few.len() > _NAMED)
        .then(pl.format("{} and {} more", few.head(_NAMED).str.join(", "), few.len() - _NAMED))
        .otherwise(few.str.join(", ")),
        trace=pl.col("trace").drop_nulls().str.join(";"),
    ).rename({"depends_on": "builds"})  # fmt: skip

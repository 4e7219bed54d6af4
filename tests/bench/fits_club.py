"""A club where builds and fits count: 1,000 vehicles, 5,000 requirement lines a build, 20,000 fits.

Made like ``big_club``, whose members, vehicles, ways of describing and holdings it takes, from the
same fixed seed. What is added:

- a vocabulary of some 4,000 parts, so that a build's 5,000 lines are 5,000 different items;
- lists whose lines depend on mark, on phase, on another assembly (joint parts) and on serials;
- hybrids, serials, families whose features tell builds, and features seen on some vehicles;
- fit statements that hang together (see ``fits_of_club``).

How much is surveyed is not said by the size. Here one vehicle in ten is surveyed throughout (nine
in ten of all items of its family, of which one in twenty is missing), and of each other vehicle
some two assemblies of 37. The rest was not looked at.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade import load_vocabulary
from partmuster_trade.vocabulary import Vocabulary

from .big_club import (
    MARKS,
    SEEN,
    SEEN_BEFORE,
    Facts,
    Size,
    drawn,
    fits_of,
    holdings_of,
    items_of,
    keys_of,
    members_of,
    number_of,
    one_of,
    parts_of,
    say,
    share,
    vehicles_of,
)
from .fit_facts import fits_of_club

if TYPE_CHECKING:
    from pathlib import Path

    from partmuster.store.club import Club

PHASES = ("early", "late")
#: Assemblies whose builds features tell.
TOLD = ("engine", "turret", "running-gear", "body", "final-drive", "gearbox")
FEATURES = 6
_MORE_PARTS = 3_000
#: Assemblies that hybrids have of another build than the vehicle's own.
_SWAPPED = ("turret", "final-drive", "gearbox")
_HIGHEST_SERIAL = 9_000


@dataclass(frozen=True, slots=True)
class FitsSize:
    """How much of everything there is; ``lines`` is requirement lines a build, about."""

    club: Size
    lines: int
    fits: int


_FAMILIES = ("Otter", "Bramble", "Nettle", "Sedge")
FITS = FitsSize(Size(1_000, 1_000_000, 300_000, 0, 0, 200, _FAMILIES), 5_000, 20_000)
SMALL_FITS = FitsSize(Size(40, 6_000, 3_000, 0, 0, 20, _FAMILIES[:2]), 250, 600)


@dataclass(frozen=True, slots=True)
class FitsFacts(Facts):
    """What is true of the club, beyond what ``Facts`` has."""

    hybrids: pl.DataFrame
    serials: pl.DataFrame
    standards: pl.DataFrame
    features: pl.DataFrame
    statements: pl.DataFrame


@cache
def fits_vocabulary() -> Vocabulary:
    """Return the bundled vocabulary with as many invented parts as a long parts list has."""
    bundled = load_vocabulary()
    models = [
        part for part in bundled.parts
        if part.replaced_by is None and not part.positions and not part.identity_bearing
        and part.sort == "part"
    ]  # fmt: skip
    more = [
        replace(
            models[n % len(models)], part_id=f"piece-{n}", name=f"piece {n}",
            noun_first=f"piece, {n}", handed="handed" if n % 3 == 0 else "same", mated_with=(),
            companions=(), caution=(), names_any=(), names_uk=(), names_us=(), names_au=(),
            names_period=(), source="invented",
        )
        for n in range(_MORE_PARTS)
    ]  # fmt: skip
    return Vocabulary((*bundled.parts, *more), bundled.assemblies())


def make_fits_club(folder: Path, size: FitsSize) -> tuple[Club, FitsFacts]:
    """Make the club in a new folder; return it and the facts it was made from."""
    facts = make_fits_facts(size)
    return say(folder, facts, fits_vocabulary(), "big_club.sql", "fits_club.sql"), facts


def make_fits_facts(size: FitsSize) -> FitsFacts:
    """Return the facts of a club of this size."""
    parts = parts_of(fits_vocabulary())
    vehicles = vehicles_of(size.club).with_columns(phase=one_of((*PHASES, *PHASES, None), 101))
    requirements = _requirements(size, parts)
    keys = keys_of(size.club, parts)
    hybrids = _hybrids(vehicles)
    return FitsFacts(
        parts, members_of(size.club), vehicles, requirements, _surveys(vehicles, requirements),
        keys, holdings_of(size.club, keys), fits_of(size.club, parts),
        hybrids, _serials(vehicles), _standards(size), _features(vehicles, hybrids),
        fits_of_club(size.fits, requirements, parts, size.club.families, MARKS, PHASES),
    )  # fmt: skip


def _requirements(size: FitsSize, parts: pl.DataFrame) -> pl.DataFrame:
    """Return requirement lines: as in a big club, with the phase, joint assembly and serials too.

    Of a hundred items 55 are the same for all builds, 25 are two lines for early and late marks,
    10 are for one mark alone, and 10 are a line each for early and late phases. An item in fifty
    depends on the engine's build as well, and as many on the chassis number.
    """
    item = pl.struct("family", "part", "hand", "position")
    first = pl.concat(
        items_of(parts.filter(~pl.col("identity")).sort(drawn(120 + n, pl.col("part"))))
        .head(size.lines).with_columns(family=pl.lit(family))
        for n, family in enumerate(size.club.families)
    ).with_columns(
        kind=drawn(110) % 20, quantity=drawn(111) % 6 // 2 + 1, mark=one_of(MARKS, 112)
    )  # fmt: skip
    marked, phased = pl.col("kind") < 5, pl.col("kind").is_between(7, 8)
    every, none = pl.lit(list(MARKS)), pl.lit(None, pl.List(pl.String))
    lines = pl.concat(
        [
            first.filter(pl.col("kind") >= 9).with_columns(marks=none),
            first.filter(marked).with_columns(marks=pl.lit(list(MARKS[:2]))),
            first.filter(marked).with_columns(
                marks=pl.lit(list(MARKS[2:])), quantity=pl.col("quantity") + 1
            ),
            first.filter(pl.col("kind").is_between(5, 6)).with_columns(
                marks=pl.concat_list("mark")
            ),
            *(
                first.filter(phased).with_columns(marks=every, phase=pl.lit(phase))
                for phase in PHASES
            ),
        ],
        how="diagonal",
    ).drop("kind", "mark")
    old = lines.filter(share(8, 113)).with_columns(
        list=pl.lit("old"), quantity=pl.col("quantity") + share(20, 114).cast(pl.UInt64)
    )
    return (
        pl.concat([lines.with_columns(list=pl.lit("new")), old], how="diagonal")
        .with_columns(
            quantity=pl.col("quantity").cast(pl.Float64),
            part_number=pl.when(share(60, 115)).then(number_of(drawn(116) % 4)),
            joint=pl.when(share(2, 117, item) & pl.col("marks").is_not_null()
                          & (pl.col("assembly") != "engine")).then(pl.lit("engine")),
            from_serial=pl.when(share(2, 118, item)).then(drawn(119, item) % _HIGHEST_SERIAL)
            .cast(pl.Int64),
        )
        .with_row_index("number", offset=1)
    )  # fmt: skip


def _surveys(vehicles: pl.DataFrame, requirements: pl.DataFrame) -> pl.DataFrame:
    """Return survey lines, as in a big club: the head of this file says how many."""
    presences = ("fitted",) * 19 + ("missing",)
    partly = ("fitted",) * 12 + ("missing",) * 6 + ("stand-in", "off-and-kept")
    items = requirements.select("family", "assembly", "part", "part_id", "hand", "position").unique(
        maintain_order=True
    )
    all_seen = (
        vehicles.filter(share(10, 131, pl.col("number"))).select("family", vehicle="number")
        .join(items, on="family", maintain_order="left_right").filter(share(90, 132))
        .with_columns(presence=one_of(presences, 133))
    )  # fmt: skip
    some_seen = (
        vehicles.filter(~share(10, 131, pl.col("number"))).select("family", vehicle="number")
        .join(items, on="family", maintain_order="left_right")
        .filter(share(6, 134, pl.struct("vehicle", "assembly")))
        .with_columns(presence=one_of(partly, 135))
    )  # fmt: skip
    seen = (
        pl.concat([all_seen, some_seen])
        .with_columns(seen_on=pl.lit(SEEN))
        .with_columns(
            service=pl.when((pl.col("presence") == "fitted") & share(4, 136))
            .then(pl.lit("unserviceable")).otherwise(pl.lit("unknown")),
            quantity=pl.when((pl.col("presence") == "fitted") & share(10, 137)).then(1.0),
        )
    )  # fmt: skip
    before = seen.filter(share(12, 138)).with_columns(
        presence=pl.lit("fitted"), service=pl.lit("unknown"), quantity=pl.lit(None, pl.Float64),
        seen_on=pl.lit(SEEN_BEFORE),
    )  # fmt: skip
    return pl.concat([seen, before]).with_row_index("number", offset=1)


def _hybrids(vehicles: pl.DataFrame) -> pl.DataFrame:
    """Return builds stated for assemblies: number, vehicle, assembly, mark, phase."""
    return (
        vehicles.select("name", vehicle="number")
        .join(pl.DataFrame({"assembly": _SWAPPED}), how="cross", maintain_order="left_right")
        .filter(share(10, 141))
        .with_columns(mark=one_of(MARKS, 142), phase=one_of((*PHASES, None), 143))
        .with_row_index("number", offset=1)
    )


def _serials(vehicles: pl.DataFrame) -> pl.DataFrame:
    """Return the chassis numbers that are known: vehicle, name, serial."""
    return vehicles.filter(share(70, 145)).select(
        "name", vehicle="number", serial=(drawn(146) % _HIGHEST_SERIAL).cast(pl.Int64)
    )


def _standards(size: FitsSize) -> pl.DataFrame:
    """Return what tells builds: number, family, assembly, mark, phase, feature, and how.

    Each assembly has features of which the first two come together and the last can be changed
    later. A feature is usual for some two of eight builds.
    """
    builds = pl.DataFrame({"family": size.club.families}).join(
        pl.DataFrame({"assembly": TOLD}), how="cross", maintain_order="left_right"
    )
    for name, values in (("mark", MARKS), ("phase", PHASES), ("place", tuple(range(FEATURES)))):
        builds = builds.join(pl.DataFrame({name: values}), how="cross", maintain_order="left_right")
    usual = _usual("mark", "phase", "place")
    return builds.with_columns(
        feature=_feature("assembly", "place"),
        likelihood=pl.when(usual).then(pl.lit("usual")).when(share(20, 151))
        .then(pl.lit("possible")).otherwise(pl.lit("unlikely")),
        feature_group=pl.when(pl.col("place") < 2).then(pl.lit("casting")),
        changeable=pl.col("place") == FEATURES - 1,
    ).with_row_index("number", offset=1)  # fmt: skip


def _usual(mark: str, phase: str, place: str) -> pl.Expr:
    """Return whether a feature is usual for a build: each build has features of its own."""
    build = pl.col(mark).str.slice(-1).cast(pl.Int64) * 2 + (pl.col(phase) == "late").cast(pl.Int64)
    return (build + pl.col(place)) % 4 == 0


def _feature(assembly: str, place: str) -> pl.Expr:
    return pl.format("{} with feature {}", assembly, place)


def _features(vehicles: pl.DataFrame, hybrids: pl.DataFrame) -> pl.DataFrame:
    """Return features seen: number, vehicle, name, assembly, feature, seen.

    Two vehicles in five were looked at, each on some three assemblies, and one look in twenty went
    wrong. What an assembly is built to is the hybrid's build, else the vehicle's own.
    """
    of_assembly = hybrids.select("vehicle", "assembly", its_mark="mark", its_phase="phase")
    looked = (
        vehicles.filter(looked_at()).select("name", "family", "mark", "phase", vehicle="number")
        .join(pl.DataFrame({"assembly": TOLD}), how="cross", maintain_order="left_right")
        .filter(share(50, 161))
        .join(of_assembly, on=["vehicle", "assembly"], how="left", maintain_order="left")
        .with_columns(mark=pl.coalesce("its_mark", "mark"),
                      phase=pl.coalesce("its_phase", "phase", pl.lit("late")))
        .join(pl.DataFrame({"place": range(FEATURES)}), how="cross", maintain_order="left_right")
        .filter(share(70, 162))
    )  # fmt: skip
    return looked.select(
        "vehicle", "name", "family", "assembly", feature=_feature("assembly", "place"),
        seen=_usual("mark", "phase", "place") ^ share(5, 163),
    ).with_row_index("number", offset=1)  # fmt: skip


def looked_at() -> pl.Expr:
    """Return which vehicles were looked at for features of their build."""
    return share(40, 160, pl.col("number"))

"""Fit statements of a large club: chains, cliques, rings, whole ranges, and what never goes.

Parts that take each other's place are of a kind: the statements of a group draw from six parts that
stand beside each other in the vocabulary, mostly of one family. Nothing is said between groups, so
what can serve for a part is a handful of parts at some builds, as it is with real ones.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from .big_club import drawn, one_of, share

if TYPE_CHECKING:
    from collections.abc import Callable

_ALIKE = 6
_LONGEST = 5
_CLIQUE = 5
#: Statements of each sort, of a hundred.
_CHAINS, _MARKS, _CLIQUES, _RINGS, _RANGES, _NEVER, _HEDGED = 45, 20, 15, 5, 5, 7, 3


def fits_of_club(
    number: int,
    requirements: pl.DataFrame,
    parts: pl.DataFrame,
    families: tuple[str, ...],
    marks: tuple[str, ...],
    phases: tuple[str, ...],
) -> pl.DataFrame:
    """Return about so many statements, about parts that lists name.

    Columns: number, sort, part_id, hand, family, mark, phase, to_part_id (empty: the same part),
    to_hand, to_family, to_mark, to_phase, grade, sure, work, alters, undone, companions, reason.
    """
    named = (
        parts.filter(~pl.col("identity"))
        .join(requirements.select("part").unique(), on="part", how="semi", maintain_order="left")
        .select("part_id", "handed").with_row_index("place")
    )  # fmt: skip
    told = pl.concat(
        [
            _links(number * _CHAINS // 100),
            _same_part(number * _MARKS // 100, marks),
            _cliques(number * _CLIQUES // 100),
            _rings(number * _RINGS // 100),
            _one_each("range", number * _RANGES // 100),
            _one_each("never", number * _NEVER // 100),
            _one_each("hedged", number * _HEDGED // 100),
        ],
        how="diagonal_relaxed",
    )
    in_a_row = named.height // _ALIKE
    told = told.with_columns(
        family=one_of(families, 201, pl.col("group") % in_a_row),
        place=_place("step", in_a_row), to_place=_place("to_step", in_a_row),
    )  # fmt: skip
    told = _built(told, families, marks, phases)
    # where both are the same item of the same build, the statement says nothing
    told = told.filter(
        (pl.col("place") != pl.col("to_place"))
        | ~pl.col("mark").eq_missing("to_mark")
        | ~pl.col("phase").eq_missing("to_phase")
        | ~pl.col("family").eq_missing("to_family")
    )
    told = told.join(named, on="place", maintain_order="left").join(
        named.rename({"place": "to_place", "part_id": "to_part_id", "handed": "to_handed"}),
        on="to_place", maintain_order="left",
    )  # fmt: skip
    both_handed = pl.col("handed") & pl.col("to_handed")
    return (
        told.with_columns(
            grade=_grade(),
            sure=pl.col("sort") != "hedged",
            hand=pl.when(both_handed & share(40, 202)).then(one_of(("left", "right"), 203)),
        )
        .with_columns(
            to_part_id=pl.when(pl.col("part_id") != pl.col("to_part_id")).then("to_part_id"),
            to_hand=pl.when(pl.col("hand").is_not_null() & share(10, 204))
            .then(pl.when(pl.col("hand") == "left").then(pl.lit("right")).otherwise(pl.lit("left")))
            .otherwise("hand"),
            with_work=pl.col("grade") == "with-work",
        )
        .with_row_index("number", offset=1)
        .select(
            "number", "sort", "part_id", "hand", "family", "mark", "phase", "to_part_id",
            "to_hand", "to_family", "to_mark", "to_phase", "grade", "sure",
            work=pl.when("with_work").then(pl.format("re-drill {} holes", drawn(205) % 9 + 2)),
            alters=pl.when("with_work").then(one_of(("part", "part", "vehicle"), 206)),
            undone=pl.when("with_work").then(share(50, 207)),
            companions=pl.when(pl.col("grade") == "only-as-a-set").then(pl.lit("its own bracket")),
            reason=pl.when(pl.col("grade") == "never").then(pl.lit("the holes are elsewhere")),
        )
    )  # fmt: skip


def _place(step: str, in_a_row: int) -> pl.Expr:
    """Return which part stands at a step of a group."""
    group = pl.col("group").cast(pl.Int64)
    return (group % in_a_row * _ALIKE + (group // in_a_row + pl.col(step)) % _ALIKE).cast(pl.UInt32)


def _built(
    told: pl.DataFrame, families: tuple[str, ...], marks: tuple[str, ...], phases: tuple[str, ...]
) -> pl.DataFrame:
    """Add the builds on both sides: that of a step is the same in every statement of a group."""
    step, to_step = (
        pl.col("group").cast(pl.Int64) * 16 + pl.col(name) for name in ("step", "to_step")
    )
    ranges, clique = pl.col("sort") == "range", pl.col("sort") == "clique"
    same_part = pl.col("sort") == "same part"
    some: Callable[[int, pl.Expr], pl.Expr] = lambda salt, of: one_of((*marks, None), salt, of)  # noqa: E731
    no_text = pl.lit(None, pl.String)
    return told.with_columns(
        to_family=pl.when(share(5, 210, to_step)).then(one_of(families, 211, to_step))
        .otherwise("family"),
        mark=pl.when(ranges | clique).then(no_text).when(same_part).then("mark")
        .otherwise(some(212, step)),
        to_mark=pl.when(ranges | clique).then(no_text).when(same_part).then("to_mark")
        .otherwise(some(212, to_step)),
        phase=pl.when(ranges).then(pl.lit(phases[-1])).when(share(15, 213, step))
        .then(one_of(phases, 214, step)),
        to_phase=pl.when(ranges).then(pl.lit(phases[0])).when(share(15, 213, to_step))
        .then(one_of(phases, 214, to_step)),
    )  # fmt: skip


def _grade() -> pl.Expr:
    usual = one_of(
        ("as-is",) * 10 + ("one-way",) * 3 + ("with-work",) * 5 + ("only-as-a-set",) * 2, 215
    )
    sort = pl.col("sort")
    return (
        pl.when(sort.is_in(["never", "hedged"])).then(pl.lit("never"))
        .when(sort == "ring").then(pl.lit("one-way"))
        .when(sort.is_in(["same part", "clique"])).then(pl.lit("as-is"))
        .otherwise(usual)
    )  # fmt: skip


def _links(number: int) -> pl.DataFrame:
    """Return the links of chains of one to five links."""
    return (
        pl.DataFrame({"group": range(number // 3 + 1)})
        .with_columns(step=pl.int_ranges(pl.lit(0), pl.col("group") % _LONGEST + 1))
        .explode("step").head(number)
        .with_columns(sort=pl.lit("chain"), to_step=pl.col("step") + 1)
    )  # fmt: skip


def _same_part(number: int, marks: tuple[str, ...]) -> pl.DataFrame:
    """Return statements that a part goes from one mark to the next."""
    pairs = pl.DataFrame({"mark": marks[:-1], "to_mark": marks[1:]})
    return (
        pl.DataFrame({"group": range(number // pairs.height + 1)})
        .join(pairs, how="cross", maintain_order="left_right").head(number)
        .with_columns(sort=pl.lit("same part"), step=pl.lit(0), to_step=pl.lit(0))
    )  # fmt: skip


def _cliques(number: int) -> pl.DataFrame:
    """Return statements that parts take each other's place as they are, each pair once."""
    pairs = [(a, b) for a in range(_CLIQUE) for b in range(a + 1, _CLIQUE)]
    return (
        pl.DataFrame({"group": range(number // len(pairs) + 1)})
        .join(pl.DataFrame(pairs, schema=["step", "to_step"], orient="row"), how="cross",
              maintain_order="left_right")
        .head(number).with_columns(sort=pl.lit("clique"))
    )  # fmt: skip


def _rings(number: int) -> pl.DataFrame:
    """Return one-way statements that go round in a ring of three."""
    ring = pl.DataFrame({"step": [0, 1, 2], "to_step": [1, 2, 0]})
    return (
        pl.DataFrame({"group": range(number // ring.height + 1)})
        .join(ring, how="cross", maintain_order="left_right").head(number)
        .with_columns(sort=pl.lit("ring"))
    )  # fmt: skip


def _one_each(sort: str, number: int) -> pl.DataFrame:
    """Return a statement a group: of a whole range, or of the first and third part of a chain."""
    return pl.DataFrame({"group": range(number)}).with_columns(
        sort=pl.lit(sort), step=pl.lit(0), to_step=pl.lit(0 if sort == "range" else 2)
    )

"""The month in figures: counts of the rows of the sections, so that they agree with them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True, slots=True)
class Count:
    """One figure: rows of a section, or the sum of one of its columns.

    ``where``: which rows count; None = all. ``key`` is the last part of its id. ``flows``: it tells
    of what happened in the month, which has no like a month before without a third day.
    """

    subject: str
    figure: str
    section: str
    key: str
    where: pl.Expr | None = None
    summed: str | None = None
    flows: bool = False

    def rows(self, section: pl.DataFrame) -> pl.DataFrame:
        """Return the rows that count."""
        return section if self.where is None else section.filter(self.where)

    def value(self, section: pl.DataFrame) -> float:
        """Return the figure."""
        rows = self.rows(section)
        if self.summed is None:
            return float(rows.height)
        return float(rows.get_column(self.summed).sum() or 0)


def _is(column: str, *values: str) -> pl.Expr:
    return pl.col(column).is_in(values)


COUNTS: Final = (
    Count("Vehicles", "vehicles in the register", "vehicles", "all"),
    Count("Vehicles", "lines of what they lack", "lacks", "lacking",
          _is("state", "missing", "unserviceable", "stand-in")),
    Count("Vehicles", "stand-ins still to replace", "stand_ins", "all"),
    Count("Vehicles", "lines of what nobody looked at", "lacks", "not-looked-at",
          _is("state", "not-looked-at")),
    Count("Vehicles", "lines that hinge on a build", "hinges", "lines", summed="lines"),
    Count("Vehicles", "offers that could close a lack", "offers", "all", flows=True),
    Count("Parts", "parts of which more is wanted than offered", "scarcest", "all", flows=True),
    Count("Parts", "lines offered", "offered", "all"),
    Count("Wants", "new this month", "wants", "new", _is("state", "new"), flows=True),
    Count("Wants", "found this month", "wants", "found", _is("state", "found"), flows=True),
    Count("Wants", "open at its end", "wants", "open", _is("state", "new", "open")),
    Count("Wants", "new matches with offers", "matches", "all", flows=True),
    Count("Holdings", "lines held", "holdings", "all"),
    Count("Holdings", "of these identified", "holdings", "identified",
          pl.col("part").is_not_null()),
    Count("Holdings", "holders", "holders", "all"),
    Count("Holdings", "not sighted for a year", "unsighted", "all"),
    Count("Moves", "came in", "moves", "came-in", _is("what", "came in"), flows=True),
    Count("Moves", "went out", "moves", "went-out", _is("what", "went out"), flows=True),
    Count("Moves", "moved", "moves", "moved", _is("what", "moved"), flows=True),
    Count("Moves", "more or fewer of them", "moves", "counted", _is("what", "more", "fewer"),
          flows=True),
    Count("Moves", "condition changed", "moves", "condition", _is("what", "condition changed"),
          flows=True),
    Count("Waiting", "questions that wait for a decision", "waiting", "decisions",
          _is("waits_for", "decision")),
    Count("Waiting", "lines that wait for mending", "waiting", "mending",
          _is("waits_for", "mending")),
    Count("Waiting", "disagreements between sources", "disagreements", "all"),
    Count("Sources", "sources taken in", "basis", "all"),
    Count("Sources", "lines read", "basis", "read", summed="lines_read"),
    Count("Sources", "lines that count", "basis", "accepted", summed="accepted"),
    Count("Sources", "lines in review", "basis", "in-review", summed="in_review"),
    Count("Sources", "lines to mend", "basis", "to-mend", summed="to_mend"),
    Count("Sources", "lines that are no data", "basis", "not-data", summed="not_data"),
)  # fmt: skip


def figures(
    sections: frozenset[str],
    now: Callable[[str], pl.DataFrame],
    before: Callable[[str], pl.DataFrame] | None,
    prefix: str,
) -> pl.DataFrame:
    """Return the figures of some sections: columns of ``report.Figure``.

    ``now`` and ``before`` give a section's rows at the end of the month and of the one before;
    ``before`` is None where nothing was known then. ``prefix`` begins every id.
    """
    rows = []
    for count in COUNTS:
        if count.section not in sections:
            continue
        value = count.value(now(count.section))
        was = None if before is None or count.flows else count.value(before(count.section))
        rows.append(
            {
                "subject": count.subject, "figure": count.figure, "value": value, "before": was,
                "change": None if was is None else value - was,
                "trace": f"{prefix}:{count.section}:{count.key}",
            }
        )  # fmt: skip
    return pl.DataFrame(
        rows, schema={"subject": pl.String, "figure": pl.String, "value": pl.Float64,
                      "before": pl.Float64, "change": pl.Float64, "trace": pl.String},
    )  # fmt: skip

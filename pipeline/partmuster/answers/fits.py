"""The answer ``fits``: what can serve for a part on a vehicle, or at a build in words.

The rules are in ``answers_4_fits.sql`` and ``answers_6_fits_asked.sql``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError
from partmuster.reading.builds import read_build
from partmuster.reading.text import fold

from .chains import keep_fits, of_item
from .parts import asked_part
from .sql import keep_readings, keep_vehicles, list_literal, question, text_literal
from .vehicles import UnknownVehicleError, find_vehicle

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

    from .sql import Question


class UnknownBuildError(PartmusterError):
    """The words name no vehicle of the club, and no build that it knows."""


@dataclass(frozen=True, slots=True)
class AskedBuild:
    """A build in words: "Otter Mk 1 late"; None = any."""

    family: str
    mark: str | None
    phase: str | None


def fits(
    con: DuckDBPyConnection,
    vocabulary: Vocabulary,
    part: str,
    on: str,
    identify: Callable[[str], pl.DataFrame] | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
) -> pl.DataFrame:
    """Return what can serve for a part there, best first: columns of ``answers.Fit``.

    ``on`` is a vehicle, by name or number, or a build in words.

    Raises:
        UnknownPartError, UnknownBuildError: nothing is called so.
    """
    wanted = asked_part(part, vocabulary, identify)
    parts = list_literal(wanted.part_ids)
    with question(con, vocabulary, as_of, known_now) as asked:
        keep_vehicles(asked)
        keep_fits(asked)
        keep_readings(asked, parts)
        _keep_targets(asked, parts, on, as_of, known_now)
        rows = asked.rows(f"SELECT * FROM fits_of({parts}, {asked.moment})")  # noqa: S608  (literals)
    return of_item(rows, wanted, vocabulary, before="for_")


def _keep_targets(
    asked: Question, parts: str, on: str, as_of: dt.date | None, known_now: bool
) -> None:
    """Keep what is asked for: the parts on a vehicle, or at a build."""
    try:
        vehicle = find_vehicle(asked.con, on, as_of, known_now)
    except UnknownVehicleError as unknown:
        build = _asked_build(asked, on, unknown)
        named = ", ".join(text_literal(one) for one in (build.family, build.mark, build.phase))
        asked.keep("fit_targets", "part_ids", f"{parts}, {named}", rows_of="fit_targets_at")
    else:
        keep_targets_on(asked, parts, list_literal([vehicle]))


def keep_targets_on(asked: Question, parts: str, vehicles: str) -> None:
    """Keep what is asked for: some parts on some vehicles (list literals)."""
    asked.keep("fit_targets", "part_ids", f"{parts}, {vehicles}", rows_of="fit_targets_on")


def _asked_build(asked: Question, words: str, unknown: UnknownVehicleError) -> AskedBuild:
    folded = fold(words).strip()
    families = [family for (family,) in asked.con.execute(
        "SELECT family FROM kept_family_names ORDER BY length(family) DESC, family"
    ).fetchall()]  # fmt: skip
    family = next((f for f in families if f"{folded} ".startswith(f"{fold(f)} ")), None)
    if family is None:
        raise UnknownBuildError(
            f"{unknown} Nor is it a build: that begins with a family of the club"
            + (f" ({', '.join(sorted(families))})." if families else ".")
        )
    rest = folded[len(fold(family)) :].strip()
    read = read_build(rest)
    if read.problem or (rest and read.mark is None and read.phase is None):
        raise UnknownBuildError(
            f"'{words}' is no one build that can be read, as 'Otter Mk 1 late'."
        )
    known = [mark for (mark,) in asked.con.execute(
        "SELECT DISTINCT mark FROM (SELECT family, mark FROM kept_known_builds UNION "
        "SELECT for_family, for_mark FROM kept_fit_statements UNION "
        "SELECT on_family, on_mark FROM kept_fit_statements) "
        "WHERE family = ? AND mark IS NOT NULL ORDER BY 1", [family],
    ).fetchall()]  # fmt: skip
    if known and read.mark is not None and read.mark not in known:
        raise UnknownBuildError(
            f"the club knows no {read.mark} of that family, but {', '.join(known)}."
        )
    return AskedBuild(family, read.mark, read.phase)

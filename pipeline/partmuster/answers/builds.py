"""The answer ``builds``: what each assembly of a vehicle was built to, and what tells it.

The model is in ``answers_2_build_evidence.sql`` and ``answers_2_builds.sql``, the answer in
``answers_6_builds.sql``; the formula in DEVELOPERS.md, "How a build is told".
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError
from partmuster.reading.text import fold

from .sql import (
    keep_build_evidence,
    keep_names,
    keep_vehicles,
    list_literal,
    question,
    text_literal,
)
from .vehicles import find_vehicle

if TYPE_CHECKING:
    import datetime as dt

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary


class UnknownAssemblyError(PartmusterError):
    """The vocabulary knows no such assembly."""


@dataclass(frozen=True, slots=True)
class BuildsAnswer:
    """``rows``: columns of ``answers.Build``; ``evidence``: of ``answers.BuildEvidence``.

    ``hybrid``: the assemblies that disagree, in words, or None.
    """

    rows: pl.DataFrame
    evidence: pl.DataFrame
    hybrid: str | None


def builds(
    con: DuckDBPyConnection,
    vocabulary: Vocabulary,
    vehicle: str,
    assembly: str | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
) -> BuildsAnswer:
    """Return what the assemblies of a vehicle (or one of them) were built to, as far as is known.

    Raises:
        UnknownVehicleError, UnknownAssemblyError: nothing is called so.
    """
    wanted = None if assembly is None else [find_assembly(vocabulary, assembly)]
    with question(con, vocabulary, as_of, known_now) as asked:
        keep_names(asked)
        vehicle_id = find_vehicle(con, vehicle, as_of, known_now)
        keep_vehicles(asked, vehicle_id)
        keep_build_evidence(asked)
        of_these = f"{list_literal([vehicle_id])}, {list_literal(wanted)}, {asked.moment}"
        rows = asked.rows(f"SELECT * FROM builds_of({of_these})")  # noqa: S608  (literals)
        evidence = asked.rows(f"SELECT * FROM build_evidence_of({of_these})")  # noqa: S608  (literals)
        hybrid = con.execute(
            f"SELECT hybrid FROM hybrids_as_of({asked.moment}) "  # noqa: S608  (literals)
            f"WHERE vehicle_id = {text_literal(vehicle_id)}"
        ).fetchall()
    return BuildsAnswer(rows, evidence, hybrid[0][0] if hybrid else None)


def find_assembly(vocabulary: Vocabulary, words: str) -> str:
    """Return the id of the assembly that is called so.

    Raises:
        UnknownAssemblyError: none is.
    """
    wanted = fold(words).strip()
    for one in vocabulary.assemblies():
        if wanted in {fold(name) for name in (one.assembly_id, one.name, *one.names)}:
            return one.assembly_id
    raise UnknownAssemblyError(
        f"the vocabulary has no assembly '{words}': "
        + ", ".join(sorted(one.assembly_id for one in vocabulary.assemblies()))
    )

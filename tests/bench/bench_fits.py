"""How fast a club of 1,000 vehicles and 20,000 fit statements is told what it lacks and what fits.

What is lacking is checked against the facts from which the club was made, for some vehicles, and
the answer for all vehicles against the answers for each of these. What can serve is checked against
a plain version on networkx (``fits_by_networkx``), which is the baseline of its time as well. See
``fits_club`` for what the club is like.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.answers.lacks import lacks
from partmuster.store.vocabulary_tables import vocabulary_hash
from partmuster_trade.assemblies import whole_parts

from .answers_by_hand import lacks_by_hand
from .big_club import count_all
from .closure import closure_figures
from .figures import Figure, measure
from .fits_club import FITS, SMALL_FITS, fits_vocabulary, looked_at, make_fits_club

if TYPE_CHECKING:
    from partmuster.store.club import Club

    from .fits_club import FitsFacts

RUNS = 5
#: So many items of an assembly of which nothing was looked at are rows each; more are one.
_FOLDS_ABOVE = 12
_ITEM = ("assembly", "part", "hand", "position", "state")


def run(*, small: bool) -> list[Figure]:
    """Ask a club of 1,000 vehicles, 5,000 lines a build and 20,000 fits, or a small one."""
    vocabulary_hash(fits_vocabulary())  # once a program
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "club"
        started = time.perf_counter()
        club, facts = make_fits_club(folder, SMALL_FITS if small else FITS)
        made = time.perf_counter() - started
        return [
            *_size(club, facts),
            Figure("making the club", made, "s"),
            *_lacks(club, facts, small=small),
            *closure_figures(club, facts, _settled_vehicles(facts)),
        ]


def _size(club: Club, facts: FitsFacts) -> list[Figure]:
    with club.reading() as con:
        size = count_all(con)
    vehicles = facts.vehicles.height
    return [
        Figure("vehicles", vehicles, "lines"),
        Figure("requirement lines", size["requirement"], "lines"),
        Figure("survey lines", size["survey"], "lines"),
        Figure("holdings", size["holding"], "lines"),
        Figure("fit statements", size["fit"], "lines"),
    ]


def _lacks(club: Club, facts: FitsFacts, *, small: bool) -> list[Figure]:
    """Return the times of lacks for one vehicle and for all, and what is wrong in the answers."""
    asked = _settled_vehicles(facts)
    times, by_hand_times, answers, wrong = [], [], {}, 0
    gone = _vehicles_with_wholes_gone(facts)
    of_gone = [_lacks_of(club, vehicle)[0] for vehicle in gone]
    for vehicle in asked:
        seconds, answer = _lacks_of(club, vehicle)
        by_hand_seconds, right = _timed(lambda: _by_hand(facts, vehicle))  # noqa: B023
        times.append(seconds)
        by_hand_times.append(by_hand_seconds)
        found = {tuple(row[key] for key in _ITEM): row["quantity"]
                 for row in answer.rows.iter_rows(named=True)}  # fmt: skip
        wrong += sum(found.get(one) != right.get(one) for one in found.keys() | right.keys())
        answers[vehicle] = answer.rows
    everything = _ask_for_all(club.folder, asked)
    kept = pl.read_parquet(club.folder / _KEPT)
    otherwise = sum(
        not kept.filter(pl.col("vehicle") == vehicle).equals(rows)
        for vehicle, rows in answers.items()
    )
    rows = sum(one.height for one in answers.values())
    by_hand = median(by_hand_times)
    return [
        Figure("lacks of one vehicle", median(times), "s", 0.3, judged=not small,
               baseline="in plain Python, from the facts", baseline_value=by_hand),
        *(
            [Figure("lacks of one vehicle from which a whole is gone", median(of_gone), "s", 0.3,
                    judged=not small)] if of_gone else []
        ),
        Figure("lacks of all vehicles", everything["seconds"], "s", 10, judged=not small,
               baseline="in plain Python, by the time of one",
               baseline_value=by_hand * facts.vehicles.height),
        Figure("rows of lacks of all vehicles", everything["rows"], "rows"),
        Figure("peak memory of lacks of all vehicles", everything["megabytes"], "MB"),
        Figure(f"lacks that differ from the facts, of {rows}", wrong, "rows", 0, "equal"),
        Figure(f"vehicles of {len(asked)} told otherwise when all are", otherwise, "", 0, "equal"),
    ]  # fmt: skip


def _timed(ask: Any) -> tuple[float, Any]:
    started = time.perf_counter()
    answer = ask()
    return time.perf_counter() - started, answer


def _lacks_of(club: Club, vehicle: str) -> tuple[float, Any]:
    with club.reading() as con:
        return _timed(lambda: lacks(con, fits_vocabulary(), vehicle))


def _by_hand(facts: FitsFacts, vehicle: str) -> dict[tuple[Any, ...], float]:
    """Return what lacks, with assemblies folded of which nothing was looked at."""
    lacking = lacks_by_hand(facts, vehicle, lambda line, of: _applies(facts, line, of))
    row = facts.vehicles.row(by_predicate=pl.col("name") == vehicle, named=True)
    seen = facts.surveys.filter(pl.col("vehicle") == row["number"])
    parts = facts.requirements.filter(
        (pl.col("family") == row["family"])
        & pl.col("part_id").is_in(seen["part_id"].unique().implode())
    )
    looked_at = set(parts["assembly"])
    items = Counter(item[0] for item in lacking if item[0] not in looked_at)
    folds = {assembly for assembly, number in items.items() if number > _FOLDS_ABOVE}
    return {item: number for item, number in lacking.items() if item[0] not in folds} | {
        (assembly, None, None, None, "not-looked-at"): 1.0 for assembly in folds
    }


def _wholes_gone(facts: FitsFacts) -> pl.Series:
    """Return the vehicles of which a survey says that the whole of an assembly is not on it."""
    wholes = list(whole_parts().values())
    return facts.surveys.filter(pl.col("part_id").is_in(wholes) & (pl.col("presence") != "fitted"))[
        "vehicle"
    ].unique()


def _vehicles_with_wholes_gone(facts: FitsFacts) -> list[str]:
    gone = facts.vehicles.filter(pl.col("number").is_in(_wholes_gone(facts).implode()))
    return gone.gather_every(max(1, gone.height // RUNS)).head(RUNS)["name"].to_list()


def _settled_vehicles(facts: FitsFacts) -> list[str]:
    """Return vehicles, spread over the club, of which all builds and the serial are known.

    Nor is the whole of an assembly gone from them.
    """
    not_told = facts.hybrids.filter(pl.col("phase").is_null())["vehicle"]
    settled = facts.vehicles.filter(
        pl.col("role").is_in(["under-restoration", "kept-whole"]) & ~looked_at()
        & pl.col("phase").is_not_null() & pl.col("number").is_in(facts.serials["vehicle"].implode())
        & ~pl.col("number").is_in(not_told.implode()) & (pl.col("aim") != "as-found")
        & pl.col("engine_mark").is_null()
        & ~pl.col("number").is_in(_wholes_gone(facts).implode())
    )  # fmt: skip
    return settled.gather_every(max(1, settled.height // RUNS)).head(RUNS)["name"].to_list()


def _applies(facts: FitsFacts, line: dict[str, Any], vehicle: dict[str, Any]) -> bool:
    """Return whether a requirement line holds for a vehicle of which all is known."""
    if line["from_serial"] is not None:
        serial = facts.serials.row(by_predicate=pl.col("name") == vehicle["name"], named=True)
        if serial["serial"] < line["from_serial"]:
            return False
    if line["marks"] is None:
        return True
    return all(
        mark in line["marks"] and line["phase"] in (None, phase)
        for mark, phase in (
            _build(facts, vehicle, assembly)
            for assembly in (line["assembly"], line["joint"])
            if assembly
        )
    )


def _build(facts: FitsFacts, vehicle: dict[str, Any], assembly: str) -> tuple[str, str]:
    told = facts.hybrids.filter(
        (pl.col("name") == vehicle["name"]) & (pl.col("assembly") == assembly)
    )
    row = told.row(0, named=True) if told.height else vehicle
    return row["mark"], row["phase"]


_KEPT = "kept_by_bench.parquet"


def _ask_for_all(folder: Path, vehicles: list[str]) -> dict[str, Any]:
    """Ask for all vehicles in a process of its own; return what it took."""
    measured = measure([sys.executable, "-m", __name__, str(folder), *vehicles])
    told: dict[str, Any] = json.loads(measured.output)
    return told | {"megabytes": measured.peak_megabytes}


def _lacks_of_all(folder: Path, vehicles: list[str]) -> None:
    """Print the time and rows of lacks for all; keep the rows of some vehicles."""
    from partmuster.store.club import Club

    vocabulary_hash(fits_vocabulary())
    with Club.open(folder).reading() as con:
        seconds, answer = _timed(lambda: lacks(con, fits_vocabulary()))
    answer.rows.filter(pl.col("vehicle").is_in(vehicles)).write_parquet(folder / _KEPT)
    sys.stdout.write(json.dumps({"seconds": seconds, "rows": answer.rows.height}))


if __name__ == "__main__":
    _lacks_of_all(Path(sys.argv[1]), sys.argv[2:])

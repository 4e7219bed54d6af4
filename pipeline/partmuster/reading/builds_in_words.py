"""Writing builds and serials as words that reading takes back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .builds import UNSETTLED

if TYPE_CHECKING:
    from .builds import Clause, EffectivityReading, SerialInterval


def _interval_text(run: SerialInterval) -> str:
    prefix, series = run.prefix or "", run.series.replace("-", " ") + " " if run.series else ""
    if run.first is None:
        return f"{series}nos up to {prefix}{run.last}" if series else f"up to {prefix}{run.last}"
    if run.last is None:
        return f"{series}nos {prefix}{run.first} & subsequent"
    return f"{series}nos {prefix}{run.first} to {prefix}{run.last}"


def effectivity_text(reading: EffectivityReading) -> str:
    """Return builds and serials as text that ``read_effectivity`` reads back."""
    if reading.all:
        return "all"
    runs: list[list[Clause]] = []
    for clause in reading.clauses:
        before = runs[-1][-1] if runs else clause
        unsettled = UNSETTLED in {before.reach, clause.reach} and before.phase == clause.phase
        if runs and (unsettled or clause.reach == "except"):
            runs[-1].append(clause)
        else:
            runs.append([clause])
    parts = [_clause_text(*run) for run in runs]
    return "; ".join(parts + [_interval_text(run) for run in reading.intervals])


def _clause_text(first: Clause, *others: Clause) -> str:
    """Return a clause, or several that are said together: of one phase, or exceptions."""
    if others and others[0].mark == first.mark:
        word = {"onwards": "after", "up-to": "before"}[first.reach or ""]
        return " ".join(filter(None, ((first.assembly or "").replace("-", " "), word, first.mark)))
    mark = _REACH_WORDS.get(first.reach, "%s") % (first.mark or "")
    mark = " & ".join([mark, *((other.mark or "").removeprefix("Mk ") for other in others)])
    assembly, phase = (first.assembly or "").replace("-", " "), first.phase or ""
    nearest_first = bool(others) and first.reach is None
    words = (assembly, phase, mark) if nearest_first else (assembly, mark, phase)
    return " ".join(word for word in words if word)


_REACH_WORDS = {None: "%s", "onwards": "%s onwards", "up-to": "up to %s", "except": "not %s"}

"""Tables of which each body cell is a line: what was seen on vehicles, what builds have."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from .families import assembly_told, family_told
from .likelihoods import cells_of_builds
from .matrix import cells_as_lines

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .asking import Around
    from .taking import TableTaken


def lines_of_cells(
    rows: pl.DataFrame, taken: TableTaken, chosen: Sequence[tuple[str, str]],
    remarks: Sequence[tuple[str, str]], key: Mapping[str, str],
) -> pl.DataFrame | None:  # fmt: skip
    """Return a line for each body cell of such a table, or None of any other."""
    assembly = next((column for column, field in chosen if field == "assembly"), None)
    if assembly and taken.kind in {"build", "feature"} and named_once(rows, assembly):
        rows = rows.with_columns(pl.col(assembly).forward_fill())
    if taken.matrix is not None:
        features = taken.kind == "feature"
        return cells_as_lines(rows, taken.matrix, chosen, remarks, of_features=features)
    if taken.likelihoods is not None:
        beside = [pair for pair in remarks if pair[0] != taken.likelihoods.feature]
        return cells_of_builds(rows, taken.likelihoods, chosen, beside, key)
    return None


def named_once(lines: pl.DataFrame, name: str) -> bool:
    """Tell whether a column names a group in its first row only: filled first, never repeated."""
    if name not in lines.columns or not lines.height or lines[name][0] is None:
        return False
    same_as_above = (lines[name] == lines[name].shift(1)).any()
    return lines[name].null_count() > 0 and not same_as_above


def told_by_titles(
    kind: str | None, titles: Sequence[str], around: Around
) -> tuple[str | None, str | None]:
    """Return family and assembly of which titles, or the file's name, tell builds or what fits."""
    if kind not in {"build", "fit"}:
        return None, None
    own = [*titles, *around.over, around.title or "", around.sheet or ""]
    stem = around.name.rpartition("/")[2].rpartition(".")[0].replace("_", " ")
    family = family_told(own) or family_told([stem])
    return family, assembly_told([*own, stem]) if kind == "build" else None

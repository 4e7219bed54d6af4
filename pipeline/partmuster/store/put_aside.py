"""Finished lines of a long source, put aside in files, so that memory holds a block at a time.

Polars 2.1 no longer maps Arrow files, and a million typed lines take 1.4 GB in memory; as Parquet
they take some 50 MB on disk, and only the columns asked for are read back (measured).
"""

from __future__ import annotations

import tempfile
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence


@dataclass(frozen=True, slots=True)
class PutAside:
    """Lines in files, in order; asked like a frame, column by column.

    ``filled``: the columns that hold anything.
    """

    paths: tuple[Path, ...]
    columns: tuple[str, ...]
    filled: frozenset[str]
    height: int

    def select(self, *columns: pl.Expr | str | Sequence[str]) -> pl.DataFrame:
        """Return some columns as a frame."""
        return pl.scan_parquet(list(self.paths)).select(*columns).collect()

    def get_column(self, name: str) -> pl.Series:
        """Return one column."""
        return self.select(name).to_series()


#: Lines of one kind of a source: in memory, or put aside.
LinesOfKind: TypeAlias = pl.DataFrame | PutAside


def joined_lines(pieces: Sequence[LinesOfKind]) -> LinesOfKind:
    """Return pieces of one kind's lines as one; all are in memory, or all put aside."""
    aside = [piece for piece in pieces if isinstance(piece, PutAside)]
    if aside:
        paths = tuple(path for piece in aside for path in piece.paths)
        filled = frozenset[str]().union(*(piece.filled for piece in aside))
        return PutAside(paths, aside[0].columns, filled, sum(piece.height for piece in aside))
    return pl.concat([piece for piece in pieces if isinstance(piece, pl.DataFrame)])


def in_memory(lines: Mapping[str, LinesOfKind]) -> dict[str, pl.DataFrame]:
    """Return those lines by kind that are in memory."""
    return {kind: frame for kind, frame in lines.items() if isinstance(frame, pl.DataFrame)}


def filled(lines: LinesOfKind) -> frozenset[str]:
    """Return the names of the columns that hold anything."""
    if isinstance(lines, PutAside):
        return lines.filled
    return frozenset(
        name for name in lines.columns if lines.get_column(name).null_count() < lines.height
    )


class Scratch:
    """A folder where lines are put aside while an import runs."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._files = 0

    def put_aside(self, lines: pl.DataFrame) -> PutAside:
        """Write lines to a file of their own."""
        self._files += 1
        path = self._folder / f"{self._files}.parquet"
        lines.write_parquet(path, compression="lz4")
        return PutAside((path,), tuple(lines.columns), filled(lines), lines.height)


@contextmanager
def scratch() -> Iterator[Scratch]:
    """Yield a scratch folder among the system's temporary files, gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="partmuster-", ignore_cleanup_errors=True) as name:
        yield Scratch(Path(name))

"""One file of an import, with what the stages have made of it so far."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    import polars as pl

    from partmuster.hooks import Importer
    from partmuster.model import FileReport
    from partmuster.stages.layout import LaidOut
    from partmuster.stages.load import ReadyVersion
    from partmuster.stages.normalise import Context, Normalised
    from partmuster.store.put_aside import LinesOfKind

    from .mended import Mended


@dataclass(slots=True)
class Taken:
    """One file under way.

    ``checked``: the lines that may be loaded, by kind, and the faults found in checking.
    ``choices``: the names by which it was chosen between readings of statements.
    """

    path: Path
    report: FileReport
    content_hash: str = ""
    size: int = 0
    importer: Importer | None = None
    is_new: bool = False
    laid_out: LaidOut | None = None
    mended: Mended | None = None
    context: Context | None = None
    typed: Normalised | None = None
    checked: tuple[Mapping[str, LinesOfKind], pl.DataFrame] | None = None
    choices: pl.DataFrame | None = None
    version: ReadyVersion | None = None


@contextmanager
def failing_alone(file: Taken) -> Iterator[None]:
    """Let a fault of one file be told in its report, and never stop the rest."""
    try:
        yield
    except PartmusterError as error:
        file.report.outcome = "failed"
        file.report.message = str(error)
    except Exception as error:  # noqa: BLE001 - one bad file never stops the rest
        file.typed = None
        file.report.outcome = "failed"
        file.report.message = (
            f"{file.report.name}: it could not be understood "
            f"({type(error).__name__}: {' '.join(str(error).split())[:200]}). Nothing "
            "of it was taken; please report this with the file"
        )

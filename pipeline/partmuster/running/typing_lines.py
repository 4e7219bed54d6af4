"""From text lines to typed and checked ones: short files together, long ones a block at a time."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster.stages.check import check, check_several
from partmuster.stages.normalise import BLOCK, Normalised, normalise, normalise_several
from partmuster.store.put_aside import in_memory

from .mended import slimmed
from .shared_matching import WORTH_SHARING
from .taken import Taken, failing_alone

if TYPE_CHECKING:
    from collections.abc import Mapping

    from partmuster.stages.normalise import Context
    from partmuster.store.put_aside import LinesOfKind, Scratch

    from .shared_matching import SharedMatching


class TypingLines:
    """Types and checks the lines of files that are laid out.

    Each step costs a short sheet more than its lines do, so that short ones wait for each other.
    """

    def __init__(self, scratch: Scratch, matching: SharedMatching) -> None:
        self._scratch, self._matching = scratch, matching
        self._waiting: list[Taken] = []

    def take(self, file: Taken) -> None:
        """Type a long file now, and a short one when there are many, or at the end."""
        lines, _ = _of(file)
        if lines.height > WORTH_SHARING:
            self._matching.start()
        if lines.height > BLOCK:
            self._type_long(file)
            return
        self._waiting.append(file)
        if sum(_of(one)[0].height for one in self._waiting) > BLOCK:
            self._type_waiting()

    def finish(self, files: list[Taken]) -> None:
        """Type what still waits, and check all of ``files`` that were typed and not checked yet."""
        self._type_waiting()
        short = [(file, in_memory(file.typed.lines)) for file in files
                 if file.typed is not None and file.checked is None]  # fmt: skip
        for (file, _), found in zip(
            short, check_several([lines for _, lines in short]), strict=True
        ):
            file.checked = found

    def _type_long(self, file: Taken) -> None:
        """Type a file, its lines checked and put aside block by block."""
        failed: list[pl.DataFrame] = []

        def keep(lines: dict[str, pl.DataFrame]) -> Mapping[str, LinesOfKind]:
            passed, faults = check(lines)
            failed.append(faults)
            return {kind: self._scratch.put_aside(frame) for kind, frame in passed.items()}

        typed = normalise(*_of(file), keep)
        file.checked = typed.lines, pl.concat(failed)
        _done(file, typed, [typed.faults, *failed])

    def _type_waiting(self) -> None:
        """Type the files that wait: all together, or each alone where that fails."""
        waiting, self._waiting = self._waiting, []
        try:
            found = normalise_several([_of(file) for file in waiting])
        except Exception:  # noqa: BLE001 - whose fault it is, each by itself will tell
            for file in waiting:
                with failing_alone(file):
                    _done(file, normalise(*_of(file)), None)
            return
        for file, typed in zip(waiting, found, strict=True):
            _done(file, typed, None)


def _of(file: Taken) -> tuple[pl.DataFrame, Context]:
    assert file.laid_out is not None
    assert file.context is not None
    return file.laid_out.lines, file.context


def _done(file: Taken, typed: Normalised, faults: list[pl.DataFrame] | None) -> None:
    """Keep what was typed, and let the text go: of a long source that is half a gigabyte."""
    assert file.laid_out is not None
    assert file.mended is not None
    file.typed = typed
    file.mended = slimmed(file.mended, faults)
    file.laid_out = replace(file.laid_out, lines=file.laid_out.lines.clear())

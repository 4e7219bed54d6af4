"""The read stage: one source, one importer, its batches; a plugin's failures stay its own."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from partmuster.batches import batch_faults
from partmuster.model import Lines, Problem, SourceUnreadableError
from partmuster_schemas.text_lines import as_text_lines

if TYPE_CHECKING:
    from collections.abc import Callable

    from partmuster.hooks import Importer
    from partmuster.model import Batch, SourceFile

#: Faults named in one message; the rest are counted.
_NAMED_FAULTS = 5


@dataclass(frozen=True, slots=True)
class ReadResult:
    """What an importer read, in order, and what a person should know about it."""

    batches: list[Batch] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def read_source(
    importer: Importer, source: SourceFile, heard: Callable[[int], None] = lambda _number: None
) -> ReadResult:
    """Return the batches an importer yields for a source, checked; lines with every column.

    Nothing is kept of a file with an unfit batch: half a file would look like a newer version
    that leaves lines out. ``heard`` is called with the number of each batch that came.

    Raises:
        SourceUnreadableError: the importer failed or yielded rubbish; names plugin and file.
    """
    batches: list[Batch] = []
    faults: list[str] = []
    number = 0
    try:
        for number, batch in enumerate(importer.read(source), start=1):
            heard(number)
            found = batch_faults(batch)
            faults += [f"batch {number}: {fault}" for fault in found]
            if not found:
                batches.append(_whole(batch))
    except (KeyboardInterrupt, GeneratorExit):
        raise
    except SourceUnreadableError as fault:
        raise SourceUnreadableError(f"{_place(importer, source)} {fault}") from fault
    except BaseException as fault:
        after = f" after {number} batches" if number else ""
        raise SourceUnreadableError(
            f"{_place(importer, source)} the importer failed{after} with "
            f"{type(fault).__name__}: {' '.join(str(fault).split())}. "
            "Nothing of this file was taken. Report this to the author of the plugin, "
            "or save the file in another form and import that."
        ) from fault
    if faults:
        more = f"; and {len(faults) - _NAMED_FAULTS} more" if len(faults) > _NAMED_FAULTS else ""
        raise SourceUnreadableError(
            f"{_place(importer, source)} the importer handed over what is no data: "
            f"{'; '.join(faults[:_NAMED_FAULTS])}{more}. "
            "Nothing of this file was taken. Report this to the author of the plugin."
        )
    return ReadResult(batches, [] if batches else [_nothing_read(importer, source)])


def _whole(batch: Batch) -> Batch:
    return replace(batch, frame=as_text_lines(batch.frame)) if isinstance(batch, Lines) else batch


def _place(importer: Importer, source: SourceFile) -> str:
    return f"{source.name} (importer '{importer.name}'):"


def _nothing_read(importer: Importer, source: SourceFile) -> Problem:
    return Problem(
        code="nothing-read",
        problem=f"the importer '{importer.name}' found nothing in this file",
        what_to_do="Open the file and see whether it is the one you meant.",
        file=source.name,
    )

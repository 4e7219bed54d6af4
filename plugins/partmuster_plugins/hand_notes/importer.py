"""The importer of hand notes: files to statements, each with its sentence, place and rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.plugin_api import Lines, NotData

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from partmuster.plugin_api import Batch, Claim, SourceFile

    from .documents import Note
    from .note import Stated


class HandNotes:
    """Reads notes in people's own words."""

    name = "hand_notes"
    version = "1"

    def sniff(self, source: SourceFile) -> Claim | None:
        """Return a claim on files that hold prose."""
        from .claims import sniff  # noqa: PLC0415 - nothing is loaded before a file is to be read

        return sniff(source)

    def read(self, source: SourceFile) -> Iterator[Batch]:
        """Yield what each note of the file states, and what of it was no data."""
        from .files import read_notes  # noqa: PLC0415

        yield from batches_of(read_notes(source), source)


def batches_of(notes: Iterable[Note], source: SourceFile) -> Iterator[Batch]:
    """Yield what notes of a file state, and what of them was no data."""
    from .note import read_note  # noqa: PLC0415

    number = 0
    for note in notes:
        stated, silent = read_note(note, source.name, source.club_words)
        for what, reason in note.not_read:
            yield NotData(reason, sheet=note.name, words=what)
        for words, row, page, reason in silent:
            yield NotData(reason, sheet=note.name, row=row, page=page, words=words)
        if stated:
            yield _lines(note, stated, number)
            number += len(stated)


def _lines(note: Note, stated: list[Stated], number: int) -> Lines:
    """Return statements as a frame of text lines; readings that exclude each other by choice."""
    import polars as pl  # noqa: PLC0415

    from .plain_words import asked_about  # noqa: PLC0415

    rows: list[dict[str, object]] = []
    for at, one in enumerate(stated, start=number + 1):
        readings = one.choices()
        for choice, reading in readings:
            rows += [
                {
                    "raw_number": at, "sheet": note.name, "page": one.page, "row": one.row,
                    "box": one.box, "words": statement.words, "kind": statement.kind,
                    "rule": statement.rule, "sure": statement.sure,
                    "first_hand": statement.first_hand, "sheet_date": statement.said_on,
                    "said_by": statement.said_by or None,
                    "doubt": one.doubt or asked_about(statement),
                    "choice": choice if len(readings) > 1 else None,
                    **_text_fields(statement.fields),
                }
                for statement in reading
            ]  # fmt: skip
    return Lines(pl.DataFrame(rows, infer_schema_length=None))


def _text_fields(fields: Mapping[str, str]) -> dict[str, str]:
    """Return a statement's fields as a text line has them: service is told by its condition."""
    told = dict(fields)
    service = told.pop("service", "")
    if service:
        told["condition"] = ", ".join(filter(None, (told.get("condition"), service)))
    return told

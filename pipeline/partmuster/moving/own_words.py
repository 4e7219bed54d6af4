"""Taking a person out of the files of the club's own vocabulary, each in the format it has."""

from __future__ import annotations

import codecs
from typing import TYPE_CHECKING

from partmuster.store.disk import swap_in

from .looking import file_names

if TYPE_CHECKING:
    from pathlib import Path

    from .person import Person

_TEXT = frozenset({".csv", ".tsv", ".txt", ".md"})
_WORKBOOK = ".xlsx"


def can_be_rewritten(file: Path, person: Person) -> bool:
    """Tell whether ``rewrite`` knows the format of a file, and the name is only inside it."""
    return file.suffix.lower() in {*_TEXT, _WORKBOOK} and not person.is_named(file.name)


def rewrite(file: Path, person: Person) -> bool:
    """Put the pseudonym where a file names a person; return whether it names them no more.

    The file is changed whole or not. Text keeps its encoding; of a workbook cells, comments, and
    who wrote it are changed. What cannot be changed so, or would still name them, stays as it was.
    """
    made = file.with_name(f"{file.name}.making")
    try:
        if file.suffix.lower() == _WORKBOOK:
            _rewrite_workbook(file, made, person)
        else:
            _rewrite_text(file, made, person)
        if file_names(made, person):
            return False
        swap_in(made, file)
    except Exception:  # noqa: BLE001 - whatever a damaged file makes its reader raise
        return False
    finally:
        made.unlink(missing_ok=True)
    return True


def _rewrite_text(file: Path, made: Path, person: Person) -> None:
    raw = file.read_bytes()
    encoding = _encoding(raw)
    made.write_bytes(person.without(raw.decode(encoding)).encode(encoding))


def _encoding(raw: bytes) -> str:
    """Return an encoding that gives every byte back: what is no Unicode may be any Latin text."""
    if raw.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16-le" if raw.startswith(codecs.BOM_UTF16_LE) else "utf-16-be"
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        try:
            raw.decode("cp1252")
        except UnicodeDecodeError:
            return "latin-1"
        return "cp1252"
    return "utf-8"


def _rewrite_workbook(file: Path, made: Path, person: Person) -> None:
    from openpyxl import load_workbook  # noqa: PLC0415 - heavy, and only for such files
    from openpyxl.comments import Comment  # noqa: PLC0415

    book = load_workbook(file)
    for sheet in book.worksheets:
        sheet.title = person.without(sheet.title)
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, str):
                    as_it_was = cell.data_type
                    cell.value = person.without(cell.value)
                    cell.data_type = as_it_was  # what was text stays so, whatever it begins with
                if cell.comment is not None:
                    said = cell.comment
                    cell.comment = Comment(person.without(said.text), person.without(said.author))
    told = book.properties
    for name in ("creator", "lastModifiedBy", "title", "subject", "description", "keywords"):
        if (text := getattr(told, name)) is not None:
            setattr(told, name, person.without(text))
    book.save(made)

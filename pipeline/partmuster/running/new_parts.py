"""A part that the club adds to its own words, in answer to a question: "new: NAME, ..."."""

from __future__ import annotations

import csv
import re
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError
from partmuster.store.disk import swap_in
from partmuster_trade import VocabularyError, load_vocabulary, vocabulary_files
from partmuster_trade.assemblies import assembly_id

if TYPE_CHECKING:
    from pathlib import Path

    from partmuster_trade import Vocabulary

#: The sheet of the club's words that answers add to, and its headings.
SHEET = "answers.csv"
_HEADINGS = ("Part", "Assembly", "Handed", "Also called", "Note")
_NEW = re.compile(r"new\s*(?:part|term)?\s*:\s*", re.IGNORECASE)
_HANDED = ("same", "handed", "reversible")
#: How such an answer is written.
HOW = "new: NAME, ASSEMBLY, HANDED"


def is_new_part(answer: str) -> bool:
    """Tell whether an answer adds a part."""
    return _NEW.match(answer.strip()) is not None


def add_part(
    folder: Path, vocabulary: Vocabulary, answer: str, by: str, called: tuple[str, ...] = ()
) -> tuple[str, Vocabulary]:
    """Add a part to the sheets of words in ``folder``; return its id, and all words with it.

    One that an answer before added in the same words is that part. ``called``: other names.

    Raises:
        PartmusterError: the answer lacks something, or the sheets are at fault.
    """
    pieces = [piece.strip() for piece in _NEW.sub("", answer.strip(), count=1).split(",")]
    if len(pieces) != 3 or not all(pieces):  # noqa: PLR2004 - name, assembly, handed
        raise PartmusterError(
            f"'{answer}': to add a part write {HOW}; HANDED is one of {', '.join(_HANDED)}"
        )
    name, said_assembly, handed = pieces
    ids = {one.assembly_id for one in vocabulary.assemblies()}
    assembly = said_assembly if said_assembly in ids else assembly_id(said_assembly)
    if assembly is None:
        raise PartmusterError(
            f"'{said_assembly}' is no assembly: there are {', '.join(sorted(ids))}"
        )
    if handed.lower() not in _HANDED:
        raise PartmusterError(f"'{handed}' is none of {', '.join(_HANDED)}: {HOW}")
    row = (name, assembly, handed.lower())
    file = folder / SHEET
    rows = _rows(file)
    known = vocabulary.named(name)
    if known and row not in [tuple(one[:3]) for one in rows]:
        raise PartmusterError(
            f"'{name}' is a name of {', '.join(part.part_id for part in known)} already: "
            "answer with that"
        )
    if not known:
        others = ";".join(one for one in called if not vocabulary.named(one) and ";" not in one)
        vocabulary = _written(folder, file, [*rows, [*row, others, f"added by {by}"]])
    return vocabulary.named(name)[0].part_id, vocabulary


def _rows(file: Path) -> list[list[str]]:
    if not file.exists():
        return []
    with file.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.reader(stream))[1:]


def _written(folder: Path, file: Path, rows: list[list[str]]) -> Vocabulary:
    """Write the sheet, unless the words could not be read with it; return all words."""
    folder.mkdir(exist_ok=True)
    made = folder / f".{file.name}.making"
    try:
        with made.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows([_HEADINGS, *rows])
        others = [one for one in vocabulary_files(folder) if one != file]
        tried = made.with_name(f".{file.stem}-making.csv")
        made.replace(tried)
        made = tried
        vocabulary = load_vocabulary([*others, tried])
        swap_in(made, file)
    except VocabularyError as error:
        raise PartmusterError(f"the part cannot be added: {error}") from error
    except OSError as error:
        raise PartmusterError(f"{file} cannot be written ({error.strerror})") from error
    finally:
        made.unlink(missing_ok=True)
    return vocabulary

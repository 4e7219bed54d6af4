"""The words of the club's own sheets: those last read stand in for a sheet that is at fault."""

from __future__ import annotations

import shutil
from contextlib import suppress
from typing import TYPE_CHECKING

from partmuster_trade import Vocabulary, VocabularyError, load_vocabulary, vocabulary_files

from .disk import swap_in

if TYPE_CHECKING:
    from pathlib import Path

#: Below the folder of the club's vocabulary: its sheets as an import last read them.
LAST_READ = "last-read"


def read_own_words(folder: Path) -> tuple[Vocabulary, str | None]:
    """Return the vocabulary with the words of a club's sheets, and what is at fault in them.

    In the place of a sheet at fault stands what was last read of it, or nothing.

    Raises:
        VocabularyError: the package's own part files are at fault.
    """
    files = vocabulary_files(folder)
    try:
        return load_vocabulary(files), None
    except VocabularyError as error:
        faulty = {problem.file for problem in error.problems}
        last = {file.name: file for file in vocabulary_files(folder / LAST_READ)}
        kept = [last.get(file.name) if file.name in faulty else file for file in files]
        faults = str(error)
        # What was last read of one sheet may not go with what another says by now.
        for chosen in ([file for file in kept if file], list(last.values()), []):
            with suppress(VocabularyError):
                return load_vocabulary(chosen), f"{faults}\n{_follows(files, chosen)}"
        raise


def keep_as_read(folder: Path) -> None:
    """Keep the club's sheets of words as they are, for when one of them is at fault.

    Where that cannot be written nothing is kept: it is no loss but then.
    """
    files, last = vocabulary_files(folder), folder / LAST_READ
    with suppress(OSError):
        if not files:
            shutil.rmtree(last, ignore_errors=True)
            return
        last.mkdir(exist_ok=True)
        for old in vocabulary_files(last):
            if old.name not in {file.name for file in files}:
                old.unlink()
        for file in files:
            kept = last / file.name
            if not kept.exists() or kept.read_bytes() != file.read_bytes():
                made = last / f".{file.name}.making"
                shutil.copyfile(file, made)
                swap_in(made, kept)


def _follows(files: list[Path], chosen: list[Path]) -> str:
    """Return what follows for each sheet that does not count as it stands."""
    told = []
    for file in files:
        if file in chosen:
            continue
        if file.name in {one.name for one in chosen}:
            told.append(f"the words last read of {file.name} count until that is put right")
        else:
            told.append(f"{file.name} is left out until that is put right")
    return "\n".join(told)

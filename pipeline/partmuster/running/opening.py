"""The files of an import: each looked at and claimed once, and the next one read ahead."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from partmuster.host import ClaimFailure, source_file
from partmuster.model import PartmusterError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from partmuster.hooks import Importer
    from partmuster.host import Host
    from partmuster.model import SourceFile
    from partmuster.reading_apart.worker import ReadingApart
    from partmuster.stages.read import ReadResult
    from partmuster.store.archive import Archive


@dataclass(slots=True)
class Opened:
    """A file as importers see it, with the hash of its content; who reads it, once asked."""

    source: SourceFile
    content_hash: str
    claimed: Importer | ClaimFailure | None = None


class OpenedFiles:
    """The files of one import, given as paths and names in the order in which they are taken."""

    def __init__(
        self,
        files: Sequence[tuple[Path, str]],
        host: Host,
        archive: Archive,
        reading: ReadingApart,
        cache: Path | None = None,
        club_words: Path | None = None,
    ) -> None:
        self._files = files
        self._host, self._archive, self._reading = host, archive, reading
        self._opened: dict[str, Opened] = {}
        self._cache, self._club_words = cache, club_words

    def look(self, path: Path, name: str) -> Opened:
        """Return a file, looked at once.

        Raises:
            PartmusterError: it cannot be opened.
        """
        if name not in self._opened:
            try:
                source = source_file(path, name)
                content_hash = self._archive.hash_of(path)
            except OSError as error:
                why = f"this file cannot be read ({error.strerror})"
                if not path.exists() and path.is_relative_to(self._archive.folder):
                    why = (
                        "its file is not in the archive: it was removed at a person's request, or "
                        "lost. What it said stays; to read it again, import the sheet"
                    )
                raise PartmusterError(f"{name}: {why}") from error
            source = replace(source, cache=self._cache, club_words=self._club_words)
            self._opened[name] = Opened(source, content_hash)
        return self._opened[name]

    def claim(self, opened: Opened) -> Importer | ClaimFailure:
        """Return the importer of a file, or why there is none; plugins are asked once."""
        if opened.claimed is None:
            opened.claimed = self._host.claim(opened.source)
        return opened.claimed

    def read(
        self, importer: Importer, source: SourceFile, is_wanted: Callable[[str], bool]
    ) -> ReadResult:
        """Read a file, and let the next one be read while this one is laid out.

        ``is_wanted`` tells from its content's hash whether a file will be read at all.

        Raises:
            SourceUnreadableError: the importer failed, crashed, or went beyond a limit.
        """
        trusted = importer.name in self._host.built_in
        result = self._reading.read(importer, source, trusted=trusted)
        self._read_ahead(source.name, is_wanted)
        return result

    def _read_ahead(self, name: str, is_wanted: Callable[[str], bool]) -> None:
        """Ask for the next file; what is wrong with it is told when it is its turn."""
        names = [one for _, one in self._files]
        at = names.index(name) + 1
        try:
            opened = self.look(*self._files[at])
        except (IndexError, PartmusterError):
            return
        twins = sum(one.content_hash == opened.content_hash for one in self._opened.values())
        if twins > 1 or not is_wanted(opened.content_hash):
            return
        importer = self.claim(opened)
        if not isinstance(importer, ClaimFailure):
            trusted = importer.name in self._host.built_in
            self._reading.ahead(importer, opened.source, trusted=trusted)

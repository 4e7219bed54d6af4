"""What a person may say beside the files of an import, and what is reported of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from partmuster.model import FileReport, Problem


@dataclass(frozen=True, slots=True)
class Options:
    """What the person who imports may say beside the files.

    ``replaces``: the source (id or name) of which the one given file is a newer version.
    ``separate``: load a file that is mostly like another source as a source of its own.
    ``complete``: a newer version that looks partial is whole; what it omits has ended.
    ``again``: read files whose content is known (an older version, or by a newer importer).
    """

    replaces: str | None = None
    separate: bool = False
    complete: bool = False
    again: bool = False


@dataclass(slots=True)
class ImportReport:
    """What became of an import: a report a file, faults in full, failed plugins."""

    files: list[FileReport] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    plugin_failures: list[tuple[str, str]] = field(default_factory=list)

    @property
    def failed(self) -> bool:
        """True where a file or a plugin failed, or a file waits for a person's word."""
        bad = {"failed", "not claimed", "asks", "partial"}
        return bool(self.plugin_failures) or any(f.outcome in bad for f in self.files)

    def total(self, name: str) -> int:
        """Return the sum over the files of one of the counts."""
        return sum(getattr(report, name) for report in self.files)

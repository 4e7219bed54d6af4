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
    ``by``: who decides what forms say that carry no name.
    """

    replaces: str | None = None
    separate: bool = False
    complete: bool = False
    again: bool = False
    by: str | None = None


@dataclass(slots=True)
class FormReport:
    """What became of one form that was filled in: counts, what it could not apply, and a line.

    ``refused``: nothing of it was taken, for the reason in ``message``.
    """

    name: str
    kind: str = ""
    mended: int = 0
    left_out: int = 0
    settled: int = 0
    not_known: int = 0
    as_before: int = 0
    contradicted: int = 0
    not_understood: int = 0
    refused: bool = False
    message: str = ""
    problems: list[Problem] = field(default_factory=list)

    @property
    def failed(self) -> bool:
        """True where something in it was not applied."""
        return self.refused or bool(self.problems)

    def __str__(self) -> str:
        """One line for the person who imports."""
        return f"{self.name}: {f'{self.kind} form: ' if self.kind else ''}{self.message}"


@dataclass(slots=True)
class ImportReport:
    """What became of an import: a report a file and a form, faults in full, failed plugins."""

    files: list[FileReport] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    plugin_failures: list[tuple[str, str]] = field(default_factory=list)
    forms: list[FormReport] = field(default_factory=list)

    @property
    def failed(self) -> bool:
        """True where a file or a plugin failed, or a file waits for a person's word."""
        bad = {"failed", "not claimed", "asks", "partial"}
        return (
            bool(self.plugin_failures)
            or any(file.outcome in bad or file.waits for file in self.files)
            or any(form.failed for form in self.forms)
        )

    def read_again(self, later: ImportReport) -> None:
        """Take in the report of sources that were read again; what was said of them before goes."""
        sources = {file.source_id for file in later.files}
        names = {file.name for file in later.files}
        self.files = [f for f in self.files if f.source_id not in sources] + later.files
        self.problems = [p for p in self.problems if p.file not in names] + later.problems
        self.plugin_failures += [p for p in later.plugin_failures if p not in self.plugin_failures]

    def total(self, name: str) -> int:
        """Return the sum over the files of one of the counts."""
        return sum(getattr(report, name) for report in self.files)


def copy_counts(loaded: FileReport, report: FileReport) -> None:
    """Give a file's report the counts of what was loaded of it."""
    for name in ("read", "loaded", "decision", "mending", "not_data", "lines_new",
                 "lines_changed", "lines_ended", "kinds"):  # fmt: skip
        setattr(report, name, getattr(loaded, name))

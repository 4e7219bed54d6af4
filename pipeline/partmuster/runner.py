"""One import, from files to a loaded club.

Everything is read, matched and checked before the database is opened for writing; then all files
of the import go in as one transaction. If another program changed the club meanwhile, the work is
done again.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import polars as pl

from .host import ClaimFailure, source_file
from .model import FileReport, PartmusterError
from .reading.dates import find_date
from .running.files import find_files
from .running.judging import (
    ALIKE_LINES,
    MOSTLY_ALIKE,
    alike,
    asked_of_lists,
    explained,
    said_words,
    with_faults,
    with_source,
)
from .running.matching import HandedParts, identify, region_of
from .running.told import told_for
from .stages.check import check_several
from .stages.layout import lay_out
from .stages.load import ReadyVersion, load_versions
from .stages.load import rematch as load_rematched
from .stages.normalise import Context, item_keys_schema, normalise
from .stages.read import read_source
from .store.errors import ClubChangedError
from .store.frames import first_row
from .store.settings import generation, read_settings
from .store.sources import (
    current_version,
    find_version_by_hash,
    new_source_id,
    omitted_lines,
    shares_with_sources,
)
from .store.vocabulary_tables import store_vocabulary

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster_trade import Vocabulary

    from .hooks import Importer
    from .host import Host
    from .model import Problem
    from .stages.layout import LaidOut
    from .stages.normalise import Normalised
    from .store.club import Club
    from .store.sources import KnownVersion

_TRIES = 5
#: A newer version that omits this share, and at least this many lines, looks partial.
_LOOKS_PARTIAL = 0.3
_PARTIAL_LINES = 5
_PARTIAL = (
    "It looks partial: nothing was ended. If what it leaves out has really gone, import it again "
    "with --complete"
)


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


@dataclass(slots=True)
class _Taken:
    """One file under way, with what the stages have made of it so far."""

    path: Path
    report: FileReport
    content_hash: str = ""
    size: int = 0
    importer: Importer | None = None
    is_new: bool = False
    laid_out: LaidOut | None = None
    context: Context | None = None
    typed: Normalised | None = None
    words: pl.DataFrame = field(default_factory=pl.DataFrame)
    version: ReadyVersion | None = None


def import_files(
    club: Club,
    host: Host,
    paths: Sequence[Path],
    vocabulary: Vocabulary,
    options: Options | None = None,
    *,
    tell: Callable[[str], None] = lambda _: None,
    progress: Callable[[str, int, int], None] = lambda _name, _done, _all: None,
    now: dt.datetime | None = None,
) -> ImportReport:
    """Import files and folders into a club; return what became of each.

    ``tell`` hears of waiting; ``progress`` is called with a file's name, how many are done, and
    of how many. One bad file or plugin does not stop the rest.

    Raises:
        PartmusterError: nothing could be imported at all (no file, no club, no room).
    """
    options = options or Options()
    files = find_files(paths, club.folder)
    if not files:
        raise PartmusterError("there is no file to import: name a file, or a folder that has some")
    if options.replaces and len(files) != 1:
        raise PartmusterError("--replaces takes one file: name just the file that is the newer one")
    return _import(club, host, files, vocabulary, options, tell=tell, progress=progress, now=now)


def import_archived(
    club: Club,
    host: Host,
    versions: Sequence[KnownVersion],
    vocabulary: Vocabulary,
    *,
    tell: Callable[[str], None] = lambda _: None,
    now: dt.datetime | None = None,
) -> ImportReport:
    """Read archived sources again, as new versions: their layout was told, or an importer is newer.

    Raises:
        PartmusterError: nothing could be imported at all.
    """
    files = [(club.archive.path_of(known.content_hash), known.name) for known in versions]
    return _import(club, host, files, vocabulary, Options(again=True, complete=True), tell=tell,
                   now=now)  # fmt: skip


def rematch(
    club: Club,
    host: Host,
    vocabulary: Vocabulary,
    only: Collection[str] | None = None,
    now: dt.datetime | None = None,
) -> int:
    """Match every description again, or only some item keys; names and questions follow.

    Returns how many descriptions are concluded otherwise than before.
    """
    with club.reading() as con:
        seen = generation(con)
        failures: list[str] = []
        concluded = identify(
            con, [], pl.DataFrame(schema=item_keys_schema()), vocabulary, host.matchers,
            region=region_of(read_settings(con).get("country")), again=only,
            everything=only is None, failures=failures,
        )  # fmt: skip
    host.failures += [("", text) for text in failures]
    with club.writing(expected=seen) as con:
        store_vocabulary(con, vocabulary)
        return load_rematched(con, concluded, now or dt.datetime.now())  # noqa: DTZ005 - a club keeps its own local time


def _import(
    club: Club,
    host: Host,
    files: list[tuple[Path, str]],
    vocabulary: Vocabulary,
    options: Options,
    *,
    tell: Callable[[str], None],
    progress: Callable[[str, int, int], None] = lambda _name, _done, _all: None,
    now: dt.datetime | None = None,
) -> ImportReport:
    for attempt in range(_TRIES):
        run = _Run(club, host, vocabulary, options, now or dt.datetime.now())  # noqa: DTZ005 - as above
        try:
            return run.run(files, progress)
        except ClubChangedError:
            tell(f"the club changed while this import was read; doing it again ({attempt + 2})")
    raise PartmusterError("the club keeps changing under this import: try again when it is quiet")


class _Run:
    """One attempt at an import."""

    def __init__(
        self,
        club: Club,
        host: Host,
        vocabulary: Vocabulary,
        options: Options,
        now: dt.datetime,
    ) -> None:
        self.club, self.host, self.vocabulary = club, host, vocabulary
        self.options, self.now = options, now
        self.report = ImportReport()
        self.country: str | None = None
        self.handed: HandedParts
        self.ids: set[str] = set()

    def run(
        self, files: list[tuple[Path, str]], progress: Callable[[str, int, int], None]
    ) -> ImportReport:
        """Take every file through the stages, then store them all at once."""
        taken = [_Taken(path, FileReport(name=name, outcome="new")) for path, name in files]
        self.report.files = [file.report for file in taken]
        with self.club.reading() as con:
            seen = generation(con)
            self.country = read_settings(con).get("country")
            self.handed = HandedParts(self.vocabulary, region_of(self.country))
            for number, file in enumerate(taken):
                progress(file.report.name, number, len(taken))
                try:
                    self._take(con, file, taken)
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
            self._make_ready(con, taken)
            self._archive(taken)
            ready = [file for file in taken if file.version is not None]
            keys = [file.typed.item_keys for file in ready if file.typed is not None]
            all_keys = pl.concat(keys) if keys else pl.DataFrame(schema=item_keys_schema())
            failures: list[str] = []
            concluded = identify(
                con, [file.version.lines for file in ready if file.version], all_keys,
                self.vocabulary, self.host.matchers, region=region_of(self.country),
                failures=failures,
            )  # fmt: skip
        self.host.failures += [("", text) for text in failures]
        progress("", len(taken), len(taken))
        self._store(ready, concluded, all_keys, seen)
        self.report.plugin_failures = list(self.host.failures)
        return self.report

    def _take(self, con: DuckDBPyConnection, file: _Taken, taken: list[_Taken]) -> None:
        """Take one file as far as typed lines.

        A file that is not loaded (known content, no importer, a question) says so in its report.
        """
        name, report = file.report.name, file.report
        try:
            source = source_file(file.path, name)
            file.content_hash = self.club.archive.hash_of(file.path)
            file.size = file.path.stat().st_size
        except OSError as error:
            raise PartmusterError(f"{name}: this file cannot be read ({error.strerror})") from error
        replaced = self._replaced(con)
        if self._is_known(con, file, taken, replaced):
            return
        importer = self.host.claim(source)
        if isinstance(importer, ClaimFailure):
            report.outcome = "not claimed" if importer.kind == "not claimed" else "failed"
            report.message = importer.text
            return
        file.importer, report.importer = importer, importer.name
        source_id, file.is_new = self._place(con, name, replaced)
        report.source_id = source_id
        result = read_source(importer, source)
        self.report.problems += result.problems
        file.laid_out = lay_out(result.batches, told_for(con, source_id, self.country), name=name)
        saved_on = max(
            (day for batch in result.batches if (day := getattr(batch, "saved_on", None))),
            default=None,
        )
        file.context = self._context(con, source_id, name, saved_on)
        file.typed = normalise(file.laid_out.lines, file.context)

    def _replaced(self, con: DuckDBPyConnection) -> KnownVersion | None:
        """Return the source that the file is said to be a newer version of."""
        if not self.options.replaces:
            return None
        replaced = current_version(con, self.options.replaces)
        if replaced is None:
            raise PartmusterError(
                f"--replaces: there is no source '{self.options.replaces}'; "
                "'partmuster sources' lists them"
            )
        return replaced

    def _is_known(
        self,
        con: DuckDBPyConnection,
        file: _Taken,
        taken: list[_Taken],
        replaced: KnownVersion | None,
    ) -> bool:
        """Tell whether the content is known, of the club or from another file of this import.

        One that looked partial is read again where it is now said to be complete.
        """
        report = file.report
        twin = next(
            (t for t in taken if t is not file and t.content_hash == file.content_hash
             and t.report.outcome != "failed"), None,
        )  # fmt: skip
        known = find_version_by_hash(con, file.content_hash)
        again = self.options.again or (
            self.options.complete and known is not None and known.newest and known.partial
        )
        if known is not None and not again:
            report.source_id, called, newest = known.source_id, known.name, known.newest
        elif twin is not None:
            report.source_id, called, newest = twin.report.source_id, twin.report.name, True
        else:
            return False
        report.outcome = "unchanged"
        if replaced is not None and report.source_id != replaced.source_id:
            report.outcome = "failed"
            report.message = (
                f"this content stands as the source {called} already: it cannot be a version of "
                f"{replaced.name} as well"
            )
        elif not newest:
            report.message = f"an older version of {called}; --again makes it the newest"
        elif known is not None and known.partial:
            report.message = _PARTIAL
        elif called != report.name:
            report.message = f"the same content as {called}"
        return True

    def _place(
        self, con: DuckDBPyConnection, name: str, replaced: KnownVersion | None
    ) -> tuple[str, bool]:
        """Return the source a file is a version of, and whether it is a new one."""
        if replaced is not None:
            return replaced.source_id, False
        known = current_version(con, name)
        if known is not None and not (self.options.separate and known.name != name):
            return known.source_id, False
        source_id = new_source_id(con, name, frozenset(self.ids))
        self.ids.add(source_id)
        return source_id, True

    def _make_ready(self, con: DuckDBPyConnection, taken: list[_Taken]) -> None:
        """Check the lines of all files, and make of each file a version ready to be loaded."""
        typed = [(file, file.typed) for file in taken if file.typed is not None]
        checked = check_several([lines.lines for _, lines in typed])
        for (file, _), (lines, failed) in zip(typed, checked, strict=True):
            self._make_version(con, file, taken, lines, failed)

    def _make_version(
        self,
        con: DuckDBPyConnection,
        file: _Taken,
        taken: list[_Taken],
        lines: dict[str, pl.DataFrame],
        failed: pl.DataFrame,
    ) -> None:
        """Make a version of a file; ask where it is mostly like another, or looks partial."""
        report, laid_out, typed, context = file.report, file.laid_out, file.typed, file.context
        assert laid_out is not None
        assert typed is not None
        assert context is not None
        assert file.importer is not None
        assert report.source_id is not None
        is_new = file.is_new
        faults = pl.concat([typed.faults, failed])
        raw = with_faults(laid_out.raw, faults)
        file.words = said_words(raw)
        if is_new and not self.options.separate:
            twin = self._mostly_alike(con, file, taken, raw)
            if twin is not None:
                report.outcome = "asks"
                report.message = (
                    f"most of its lines stand in {twin} already: import it again with "
                    f"--replaces '{twin}' if it is a newer version, or --separate if it is "
                    "a list of its own"
                )
                return
        partial = not is_new and not self.options.complete and self._looks_partial(con, file, lines)
        self.report.problems += explained(report.name, raw, faults)
        file.version = ReadyVersion(
            source_id=report.source_id,
            version=self._next_version(con, report.source_id),
            name=report.name,
            content_hash=file.content_hash,
            size=file.size,
            importer=file.importer.name,
            importer_version=file.importer.version,
            said_on=context.stated_on,
            said_on_basis=context.stated_basis if context.stated_on else "import",
            raw=raw,
            lines=lines,
            effectivity=typed.effectivity,
            mending=faults,
            questions=with_source(
                pl.concat([laid_out.questions, asked_of_lists(laid_out.questions, lines)]),
                report.source_id,
            ),
            layout=laid_out.layout,
            doubts=typed.doubts,
            ends_missing=not partial,
        )
        report.outcome = "new" if is_new else "partial" if partial else "new version"

    def _context(
        self, con: DuckDBPyConnection, source_id: str, name: str, saved_on: dt.date | None
    ) -> Context:
        """Return what is known of a source beside its words; a day to come states nothing."""
        found = find_date(name.rsplit("/", 1)[-1].rsplit(".", 1)[0])
        stated, basis = (found.date, "file-name") if found and found.date else (saved_on, "saved")
        if stated is not None and stated > self.now.date():
            stated, basis = None, "import"
        return Context(
            source_id=source_id, today=self.now.date(), handed=self.handed, stated_on=stated,
            stated_basis=basis, country=self.country,
            day_first=told_for(con, source_id, None).day_first,
        )  # fmt: skip

    def _mostly_alike(
        self, con: DuckDBPyConnection, file: _Taken, taken: list[_Taken], raw: pl.DataFrame
    ) -> str | None:
        """Return the source, or the file of this import, that says most of these lines already."""
        if file.words.height < ALIKE_LINES:
            return None
        known = shares_with_sources(con, raw).filter(
            (pl.col("share") >= MOSTLY_ALIKE) & (pl.col("equal") >= ALIKE_LINES)
        )
        if known.height:
            return str(known.get_column("name")[0])
        ready = (other for other in taken if other.version is not None)
        return alike(file.words, ((other.report.name, other.words) for other in ready))

    def _looks_partial(
        self, con: DuckDBPyConnection, file: _Taken, lines: dict[str, pl.DataFrame]
    ) -> bool:
        report = file.report
        assert report.source_id is not None
        omitted, standing = omitted_lines(con, report.source_id, lines)
        looks = omitted >= _PARTIAL_LINES and omitted >= _LOOKS_PARTIAL * standing
        if looks:
            report.message = f"it leaves out {omitted} of {standing} lines. {_PARTIAL}"
        return looks

    def _next_version(self, con: DuckDBPyConnection, source_id: str) -> int:
        row = first_row(
            con, "SELECT coalesce(max(version), 0) + 1 FROM source_version WHERE source_id = ?",
            [source_id],
        )  # fmt: skip
        return int(row[0]) if row else 1

    def _archive(self, taken: list[_Taken]) -> None:
        """Keep every file that is to be loaded; one that has gone or changed meanwhile has failed.

        Raises:
            PartmusterError: the archive cannot be written.
        """
        for file in taken:
            if file.version is None:
                continue
            try:
                kept = self.club.archive.put(file.path)
                fault = "changed" if kept != file.content_hash else None
            except OSError as error:
                fault = f"went away ({error.strerror})"
            if fault is not None:
                file.version = None
                file.report.outcome = "failed"
                file.report.message = f"this file {fault} while it was read: import it again"

    def _store(
        self, ready: list[_Taken], concluded: pl.DataFrame, keys: pl.DataFrame, seen: int
    ) -> None:
        """Load the files, which are archived already, in one transaction."""
        if not ready:
            return
        keys = keys.unique("item_key", maintain_order=True)
        with self.club.writing(expected=seen) as con:
            versions = [file.version for file in ready if file.version is not None]
            store_vocabulary(con, self.vocabulary)
            loaded = load_versions(con, versions, concluded, keys, self.now)
            for file, report in zip(ready, loaded, strict=True):
                _copy_counts(report, file.report)


def _copy_counts(loaded: FileReport, report: FileReport) -> None:
    for name in ("read", "loaded", "decision", "mending", "not_data", "lines_new",
                 "lines_changed", "lines_ended", "kinds"):  # fmt: skip
        setattr(report, name, getattr(loaded, name))

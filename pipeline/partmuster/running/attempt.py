"""One attempt at an import: every file through the stages, then all into the club at once."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import polars as pl

from partmuster.host import ClaimFailure
from partmuster.model import FileReport, PartmusterError
from partmuster.reading.dates import find_date
from partmuster.stages.layout import lay_out
from partmuster.stages.load import ReadyVersion, load_versions
from partmuster.stages.normalise import Context, item_keys_schema
from partmuster.store.forgetting import REMOVED, was_removed
from partmuster.store.frames import first_row
from partmuster.store.put_aside import scratch
from partmuster.store.settings import generation, read_settings
from partmuster.store.sources import current_version, find_version_by_hash, new_source_id
from partmuster.store.twice import keep_apart
from partmuster.store.vocabulary_tables import store_vocabulary

from .choices import choose_readings, has_choices, known_otherwise
from .context import region_of
from .doubted import settle_doubted
from .judging import asked_of_lists, explained, with_faults, with_source
from .likeness import Likeness, said_words, surveyed_vehicles
from .matching import HandedParts, identify
from .mended import faults_in_words, mend_source
from .misread import misread_numbers
from .not_read import pages_not_read
from .opening import OpenedFiles
from .partial import WHAT_TO_DO, fields_gone, looks_partial
from .report import ImportReport, copy_counts
from .shared_matching import SharedMatching
from .standard import keep_standard, standard_anew
from .taken import Taken, failing_alone
from .told import told_for
from .typing_lines import TypingLines

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host
    from partmuster.reading_apart.worker import ReadingApart
    from partmuster.stages.matching.trust_standard import Tested
    from partmuster.store.club import Club
    from partmuster.store.put_aside import LinesOfKind
    from partmuster.store.sources import KnownVersion
    from partmuster_trade import Vocabulary

    from .report import Options


class Attempt:
    """One attempt at an import."""

    def __init__(
        self,
        club: Club,
        host: Host,
        vocabulary: Vocabulary,
        options: Options,
        now: dt.datetime,
        reading: ReadingApart,
    ) -> None:
        self.reading = reading
        self.opened: OpenedFiles
        self.club, self.host, self.vocabulary = club, host, vocabulary
        self.options, self.now = options, now
        self.report = ImportReport()
        self.country: str | None = None
        self.handed: HandedParts
        self.ids: set[str] = set()
        self.to_choose: list[Taken] = []  # files with statements that can be read in several ways
        self.matching: SharedMatching
        self.tested: Tested
        self.typing: TypingLines
        self.otherwise: list[KnownVersion] = []  # what the club knows otherwise now, to be chosen

    def run(
        self, files: list[tuple[Path, str]], progress: Callable[[str, int, int], None]
    ) -> ImportReport:
        """Take every file through the stages, then store them all at once."""
        with scratch() as aside, SharedMatching(self.vocabulary) as self.matching:
            self.typing = TypingLines(aside, self.matching)
            return self._run(files, progress)

    def _run(
        self, files: list[tuple[Path, str]], progress: Callable[[str, int, int], None]
    ) -> ImportReport:
        taken = [Taken(path, FileReport(name=name, outcome="new")) for path, name in files]
        self.report.files = [file.report for file in taken]
        self.opened = OpenedFiles(
            files, self.host, self.club.archive, self.reading, self.club.cache,
            self.club.vocabulary,
        )  # fmt: skip
        with self.club.reading() as con:
            seen = generation(con)
            self.country = read_settings(con).get("country")
            self.handed = HandedParts(self.vocabulary, region_of(self.country))
            for number, file in enumerate(taken):
                progress(file.report.name, number, len(taken))
                with failing_alone(file):
                    self._take(con, file, taken)
            self.reading.close()  # its memory is wanted for what comes
            self.typing.finish(taken)
            choose_readings(con, self.to_choose, taken, partial(self._type, con))
            self.typing.finish(taken)
            self._make_ready(con, taken)
            self._archive(taken)
            ready = [file for file in taken if file.version is not None]
            keys = [file.typed.item_keys for file in ready if file.typed is not None]
            all_keys = pl.concat(keys) if keys else pl.DataFrame(schema=item_keys_schema())
            failures: list[str] = []
            self.tested, otherwise = standard_anew(con, self.vocabulary)
            concluded = identify(
                con, [file.version.lines for file in ready if file.version], all_keys,
                self.vocabulary, self.host.matchers, region=region_of(self.country),
                failures=failures, shared=self.matching, standard=self.tested.standard,
                judge_again=otherwise,
            )  # fmt: skip
            if not ready:
                self.otherwise = known_otherwise(con)
        self.matching.close()
        self.host.failures += [("", text) for text in failures]
        progress("", len(taken), len(taken))
        self._store(ready, concluded, all_keys, seen)
        self.report.plugin_failures = list(self.host.failures)
        return self.report

    def _take(self, con: DuckDBPyConnection, file: Taken, taken: list[Taken]) -> None:
        """Take one file as far as typed lines.

        A file that is not loaded (known content, no importer, a question) says so in its report.
        """
        name, report = file.report.name, file.report
        opened = self.opened.look(file.path, name)
        file.content_hash, file.size = opened.content_hash, opened.source.size
        replaced = self._replaced(con)
        if self._is_known(con, file, taken, replaced):
            return
        importer = self.opened.claim(opened)
        if isinstance(importer, ClaimFailure):
            report.outcome = "not claimed" if importer.kind == "not claimed" else "failed"
            report.message = importer.text
            return
        file.importer, report.importer = importer, importer.name
        source_id, file.is_new = self._place(con, name, replaced)
        report.source_id = source_id
        result = self.opened.read(
            importer, opened.source, lambda found: self._is_wanted(con, found)
        )
        self.report.problems += result.problems
        found = lay_out(result.batches, told_for(con, source_id, self.country), name=name)
        file.mended = mend_source(con, source_id, found)
        file.laid_out = file.mended.laid_out
        saved_on = max(
            (day for batch in result.batches if (day := getattr(batch, "saved_on", None))),
            default=None,
        )
        file.context = self._context(con, source_id, name, saved_on)
        if has_choices(file.laid_out.lines):
            self.to_choose.append(file)
        else:
            self._type(con, file)

    def _type(self, con: DuckDBPyConnection, file: Taken) -> None:
        """Let a file's lines be typed, of which no two exclude each other any more."""
        assert file.laid_out is not None
        assert file.report.source_id is not None
        file.laid_out = settle_doubted(con, file.report.source_id, file.laid_out, file.report.name)
        self.typing.take(file)

    def _is_wanted(self, con: DuckDBPyConnection, content_hash: str) -> bool:
        """Return whether a file of such content will be read, as far as can be told before."""
        again = self.options.again or self.options.complete
        return again or find_version_by_hash(con, content_hash) is None

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
        file: Taken,
        taken: list[Taken],
        replaced: KnownVersion | None,
    ) -> bool:
        """Tell whether the content is known, of the club or from another file of this import.

        One that looked partial is read again where it is now said to be complete.
        """
        report = file.report
        twin = next(
            (t for t in taken if t is not file and t.content_hash == file.content_hash
             and t.report.outcome not in ("failed", "not claimed")), None,
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
        elif was_removed(con, file.content_hash) and not self.club.archive.holds(file.content_hash):
            report.message = f"{REMOVED}; it is not taken again without --again"
        elif not newest:
            report.message = f"an older version of {called}; --again makes it the newest"
        elif known is not None and known.partial:
            report.message = f"It looks partial: {WHAT_TO_DO}"
            report.waits = True
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

    def _make_ready(self, con: DuckDBPyConnection, taken: list[Taken]) -> None:
        """Make of each file that was typed a version ready to be loaded."""
        words = [
            said_words(file.laid_out.raw)
            if file.laid_out is not None and file.typed is not None and not self.options.separate
            else None
            for file in taken
        ]
        vehicles = [surveyed_vehicles(file.checked[0]) if file.checked else frozenset[str]()
                    for file in taken]  # fmt: skip
        likeness = Likeness(con, words, [file.report.name for file in taken], vehicles)
        for file in taken:
            if file.checked is not None:
                self._make_version(con, file, taken, likeness, *file.checked)

    def _make_version(
        self,
        con: DuckDBPyConnection,
        file: Taken,
        taken: list[Taken],
        likeness: Likeness,
        lines: Mapping[str, LinesOfKind],
        failed: pl.DataFrame,
    ) -> None:
        """Make a version of a file; ask where it is mostly like another, or looks partial."""
        report, laid_out, typed, context = file.report, file.laid_out, file.typed, file.context
        assert laid_out is not None
        assert file.mended is not None
        assert typed is not None
        assert context is not None
        assert file.importer is not None
        assert report.source_id is not None
        is_new = file.is_new
        faults = faults_in_words(pl.concat([typed.faults, failed]), file.mended)
        raw = with_faults(laid_out.raw, faults)
        if is_new and not self.options.separate:
            at = taken.index(file)
            other = likeness.file_like(at, lambda one: taken[one].version is not None)
            like = taken[other].report.name if other is not None else None
            if (twin := likeness.source_like(at) or like) is not None:
                report.outcome = "asks"
                report.message = (
                    f"most of its lines stand in {twin} already: import it again with "
                    f"--replaces '{twin}' if it is a newer version, or --separate if it is "
                    "a list of its own"
                )
                return
        partial = None
        if not is_new and not self.options.complete:
            partial = looks_partial(con, report.source_id, lines, raw)
        gone = None
        if not is_new and not self.options.again:
            gone = fields_gone(con, report.source_id, laid_out.layout)
        not_read = pages_not_read(raw)
        report.message = ". ".join(filter(None, (partial, gone, not_read))) or report.message
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
            mended=file.mended.put_in,
            questions=with_source(
                pl.concat(
                    [
                        laid_out.questions,
                        asked_of_lists(laid_out.questions, lines, raw, report.name),
                    ]
                ),
                report.source_id,
            ),
            layout=laid_out.layout,
            **({} if file.choices is None else {"choices": file.choices}),
            doubts=pl.concat([typed.doubts, misread_numbers(con, report.source_id, lines, raw)]),
            ends_missing=partial is None,
        )
        file.laid_out = file.mended = None
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
            source_id=source_id, today=self.now.date(), handed=self.handed, same=self.handed.same,
            stated_on=stated, stated_basis=basis, country=self.country,
            day_first=told_for(con, source_id, None).day_first,
        )  # fmt: skip

    def _next_version(self, con: DuckDBPyConnection, source_id: str) -> int:
        row = first_row(
            con, "SELECT coalesce(max(version), 0) + 1 FROM source_version WHERE source_id = ?",
            [source_id],
        )  # fmt: skip
        return int(row[0]) if row else 1

    def _archive(self, taken: list[Taken]) -> None:
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
        self, ready: list[Taken], concluded: pl.DataFrame, keys: pl.DataFrame, seen: int
    ) -> None:
        """Load the files, which are archived already, in one transaction."""
        if not ready:
            return
        keys = keys.unique("item_key", maintain_order=True)
        with self.club.writing(expected=seen) as con:
            versions = [file.version for file in ready if file.version is not None]
            store_vocabulary(con, self.vocabulary)
            keep_standard(con, self.tested)
            loaded = load_versions(con, versions, concluded, keys, self.now)
            if self.options.separate:
                new = [version.source_id for version in versions if version.version == 1]
                keep_apart(con, new, self.options.by, self.now)
            for file, report in zip(ready, loaded, strict=True):
                copy_counts(report, file.report)
            self.otherwise = known_otherwise(con)

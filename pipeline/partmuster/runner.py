"""One import, from files to a loaded club.

Everything is read, matched and checked before the database is opened for writing; then all files
of the import go in as one transaction. If another program changed the club meanwhile, the work is
done again.
"""

from __future__ import annotations

import datetime as dt
import tempfile
from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import polars as pl

from .forms.recognising import is_form
from .model import FileReport, PartmusterError
from .reading_apart.worker import ReadingApart
from .running.attempt import Attempt
from .running.choices import known_otherwise
from .running.context import region_of
from .running.files import find_files
from .running.filled_forms import count_forms, take_forms
from .running.made_lists import join_lists, take_lists, tell_lists
from .running.matching import identify
from .running.own_documents import NOT_A_SOURCE, is_own_document
from .running.report import ImportReport, Options
from .running.standard import keep_standard, standard_anew, standard_in_force
from .running.told import read_otherwise
from .stages.load import rematch as load_rematched
from .stages.normalise import item_keys_schema
from .store.errors import ClubChangedError
from .store.settings import generation, read_settings
from .store.sources import current_version
from .store.vocabulary_tables import store_vocabulary

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster_trade import Vocabulary

    from .host import Host
    from .store.club import Club
    from .store.sources import KnownVersion

__all__ = [
    "ImportReport",
    "Options",
    "choose_again",
    "follow_decisions",
    "import_archived",
    "import_files",
    "rematch",
]

_TRIES = 5
#: Topics whose answer changes how a source is read; the others change what its words mean.
_READ_AGAIN = ("layout", "marks", "mending", "reading")
#: What an assembly of a vehicle is set to be ("vehicle|assembly"): answers read it as it stands.
BUILD = "build"


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
    reading: ReadingApart | None = None,
) -> ImportReport:
    """Import files and folders into a club; return what became of each.

    Forms among them that people filled in are no sources: they are applied when the files are in.
    ``tell`` hears of waiting; ``progress`` is called with a file's name, how many are done, and
    of how many. One bad file or plugin does not stop the rest. ``reading`` is a process to read in
    that was started early; it is left open.

    Raises:
        PartmusterError: nothing could be imported at all (no file, no club, no room).
    """
    options = options or Options()
    found = find_files(paths, club.folder)
    forms = [file for file in found if is_form(file[0])]
    own = [file for file in found if file not in forms and is_own_document(file[0])]
    files = [file for file in found if file not in forms and file not in own]
    if not found:
        raise PartmusterError("there is no file to import: name a file, or a folder that has some")
    if options.replaces and len(files) != 1:
        raise PartmusterError("--replaces takes one file: name just the file that is the newer one")
    report = ImportReport()
    if files:
        report, otherwise = _import(club, host, files, vocabulary, options, tell=tell,
                                    progress=progress, now=now, reading=reading)  # fmt: skip
        report.read_again(
            _read_again(club, host, otherwise, vocabulary, tell=tell, now=now, reading=reading)
        )
    if forms:
        forms = _import_lists(club, host, forms, vocabulary, options, report, tell=tell, now=now,
                               reading=reading)  # fmt: skip
    if forms:
        taken = take_forms(club, vocabulary, forms, options.by, now or dt.datetime.now())  # noqa: DTZ005 - a club keeps its own local time
        with club.reading() as con:
            told = [current_version(con, source_id) for source_id in sorted(taken.sources)]
        report.read_again(import_archived(
            club, host, [known for known in told if known], vocabulary, tell=tell, now=now,
            reading=reading,
        ))  # fmt: skip
        settling = taken.settling
        report.read_again(follow_decisions(
            club, host, settling.vocabulary, taken.decided, everything=settling.everything,
            tell=tell, now=now,
        ))  # fmt: skip
        report.forms += count_forms(club, taken)
    report.files += [FileReport(name, "not claimed", message=NOT_A_SOURCE) for _, name in own]
    return report


def _import_lists(
    club: Club,
    host: Host,
    forms: list[tuple[Path, str]],
    vocabulary: Vocabulary,
    options: Options,
    report: ImportReport,
    *,
    tell: Callable[[str], None],
    now: dt.datetime | None,
    reading: ReadingApart | None,
) -> list[tuple[Path, str]]:
    """Import what some of the forms say as lists of their own; return the other forms."""
    when = now or dt.datetime.now()  # noqa: DTZ005 - as above
    taken, others = take_lists(club, forms, options.by, when)
    with tempfile.TemporaryDirectory() as aside:
        files: list[tuple[Path, str]] = []
        for made in (made for one in taken for made in one.lists):
            path = Path(aside) / f"{len(files)}.csv"
            path.write_text(made.text, encoding="utf-8")
            files.append((path, made.name))
        if files:
            # lists of their own, though their lines are like those that were asked about
            counted, _ = _import(club, host, files, vocabulary,
                                 replace(options, separate=True, replaces=None),
                                 tell=tell, now=now, reading=reading)  # fmt: skip
            report.read_again(counted)
            join_lists(club, taken, when)
    report.forms += tell_lists(taken)
    return others


def import_archived(
    club: Club,
    host: Host,
    versions: Sequence[KnownVersion],
    vocabulary: Vocabulary,
    *,
    tell: Callable[[str], None] = lambda _: None,
    now: dt.datetime | None = None,
    reading: ReadingApart | None = None,
) -> ImportReport:
    """Read archived sources again, as new versions: something was told of how to read them.

    One that looked partial goes on to end nothing.

    Raises:
        PartmusterError: nothing could be imported at all.
    """
    report = ImportReport()
    for partial in (False, True):
        files = [(club.archive.path_of(known.content_hash), known.name)
                 for known in versions if known.partial is partial]  # fmt: skip
        if files:
            options = Options(again=True, complete=not partial)
            again, _ = _import(club, host, files, vocabulary, options, tell=tell, now=now,
                               reading=reading)  # fmt: skip
            report.read_again(again)
    return report


def choose_again(
    club: Club,
    host: Host,
    vocabulary: Vocabulary,
    *,
    tell: Callable[[str], None] = lambda _: None,
    now: dt.datetime | None = None,
    reading: ReadingApart | None = None,
) -> ImportReport:
    """Read those archived sources again in which other readings count by the names known now.

    To be called when registers or decisions on names have changed.
    """
    with club.reading() as con:
        versions = known_otherwise(con)
    return _read_again(club, host, versions, vocabulary, tell=tell, now=now, reading=reading)


def _read_again(
    club: Club,
    host: Host,
    versions: Sequence[KnownVersion],
    vocabulary: Vocabulary,
    *,
    tell: Callable[[str], None],
    now: dt.datetime | None,
    reading: ReadingApart | None,
) -> ImportReport:
    """Read versions of sources again, as far as the archive holds them."""
    held = [known for known in versions if club.archive.holds(known.content_hash)]
    if not held:
        return ImportReport()
    return import_archived(club, host, held, vocabulary, tell=tell, now=now, reading=reading)


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
        # One answer is judged by the standard in force; only all together set another.
        tested = standard_in_force(con)
        if only is None:
            tested, _ = standard_anew(con, vocabulary, always=True)
        concluded = identify(
            con, [], pl.DataFrame(schema=item_keys_schema()), vocabulary, host.matchers,
            region=region_of(read_settings(con).get("country")), again=only,
            everything=only is None, failures=failures, standard=tested.standard,
        )  # fmt: skip
    host.failures += [("", text) for text in failures]
    with club.writing(expected=seen) as con:
        store_vocabulary(con, vocabulary)
        keep_standard(con, tested)
        return load_rematched(con, concluded, now or dt.datetime.now())  # noqa: DTZ005 - a club keeps its own local time


def follow_decisions(
    club: Club,
    host: Host,
    vocabulary: Vocabulary,
    decided: Iterable[tuple[str, str, str | None]],
    *,
    everything: bool = False,
    tell: Callable[[str], None] = lambda _: None,
    now: dt.datetime | None = None,
) -> ImportReport:
    """Bring the club up to date with what was decided, or taken back, since it was last.

    ``decided``: topic and subject of each, and the source it arose from. Sources whose layout was
    told are read again, and the sheets of the same headings that it tells of: these are looked
    for before, too, since with what is taken back the headings by which they are known may go.
    Where the words of others mean something else now, it is concluded again from them; with
    ``everything`` from all words, since the vocabulary has changed.
    """
    decided = [one for one in decided if one[0] != BUILD]
    report = ImportReport()
    if any(topic not in _READ_AGAIN for topic, _, _ in decided):
        words = None if everything else [key for topic, key, _ in decided if topic == "part"]
        rematch(club, host, vocabulary, words, now)
        report.read_again(choose_again(club, host, vocabulary, tell=tell, now=now))
    told = {source_id or "" for topic, _, source_id in decided if topic in _READ_AGAIN}
    if told:
        with club.reading() as con:
            known = [one for source_id in sorted(told) if (one := current_version(con, source_id))]
            others = _told_by(con, known)
        report.read_again(import_archived(club, host, known, vocabulary, tell=tell, now=now))
        with club.reading() as con:
            others |= _told_by(con, known)
        again = import_archived(club, host, list(others.values()), vocabulary, tell=tell, now=now)
        report.read_again(again)
    return report


def _told_by(con: DuckDBPyConnection, known: Sequence[KnownVersion]) -> dict[str, KnownVersion]:
    """Return the other sources that are read otherwise by what is told of some."""
    own = {one.source_id for one in known}
    return {
        other.source_id: other
        for one in known
        for other in read_otherwise(con, one.source_id)
        if other.source_id not in own
    }


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
    reading: ReadingApart | None = None,
) -> tuple[ImportReport, list[KnownVersion]]:
    """Return what became of files, and the versions that :func:`choose_again` would find now."""
    done = (0, 0)

    def told(name: str, at: int, of: int) -> None:
        nonlocal done
        done = at, of
        progress(name, at, of)

    with nullcontext(reading) if reading else ReadingApart() as apart:
        apart.heard = lambda name, number: progress(f"{name}: {number} read", *done)
        for attempt in range(_TRIES):
            run = Attempt(club, host, vocabulary, options, now or dt.datetime.now(), apart)  # noqa: DTZ005 - as above
            try:
                return run.run(files, told), run.otherwise
            except ClubChangedError:
                tell(f"the club changed while this import was read; doing it again ({attempt + 2})")
    raise PartmusterError("the club keeps changing under this import: try again when it is quiet")

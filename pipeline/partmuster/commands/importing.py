"""Importing files, and matching again, as a person sees them."""

from __future__ import annotations

import gc
import sys
from typing import TYPE_CHECKING, Any

import click
import polars as pl

from partmuster.hooks import PageDrawer
from partmuster.output import as_csv, as_json, shortened
from partmuster.runner import ImportReport, Options, import_files, rematch
from partmuster.store.club import Club
from partmuster.terminal_safe import visible

from .club import quoted, say, vocabulary_of

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence
    from pathlib import Path

    from partmuster.host import Host
    from partmuster.model import FileReport
    from partmuster.reading_apart.worker import ReadingApart

_SHOWN_FAULTS = 20
_COUNTS = ("read", "loaded", "decision", "mending", "not_data")


def run_import(
    folder: Path,
    host: Host,
    paths: Sequence[Path],
    form: str,
    reading: ReadingApart | None = None,
    *,
    now: dt.datetime | None = None,
    **options: Any,
) -> int:
    """Import and print a line a file and the sum; return the exit code.

    ``now``: when the club's records take it in, where that is not this moment.
    """
    # What an import makes lives to its end: looking for what could be thrown away took 5 % of it.
    gc.freeze()
    gc.set_threshold(200_000)
    club = Club.open(folder, create=True, tell=say)
    report = _with_progress(club, host, paths, Options(**options), reading, now)
    if form == "table":
        print_report(report)
        _tell_of_pages(host, report)
    else:
        frame = report_frame(report)
        click.echo(as_csv(frame) if form == "csv" else as_json(frame), nl=form == "json")
    return int(report.failed)


def run_rematch(folder: Path, host: Host, form: str) -> int:
    """Match every description again and say how many changed; return the exit code."""
    club = Club.open(folder, tell=say)
    changed = rematch(club, host, vocabulary_of(club, keep=True))
    if form == "table":
        click.echo(f"{changed} descriptions are understood otherwise than before")
    else:
        frame = pl.DataFrame({"changed": [changed]})
        click.echo(as_csv(frame) if form == "csv" else as_json(frame), nl=form == "json")
    return tell_failed_plugins(host)


def tell_failed_plugins(host: Host) -> int:
    """Name the plugins that failed, beside the answer; return the exit code that tells of them."""
    for _plugin, text in host.failures:
        say(text)
    return int(bool(host.failures))


def report_frame(report: ImportReport) -> pl.DataFrame:
    """Return a row a file: name, outcome, source_id, importer, kinds, the counts, message."""
    rows = [
        {
            "file": file.name, "outcome": file.outcome, "source_id": file.source_id,
            "importer": file.importer,
            "kinds": "; ".join(f"{kind} {count}" for kind, count in file.kinds.items()),
            **{name: getattr(file, name) for name in _COUNTS},
            "lines_new": file.lines_new, "lines_changed": file.lines_changed,
            "lines_ended": file.lines_ended, "message": file.message,
        }
        for file in report.files
    ]  # fmt: skip
    rows += [
        {"file": one.name, "outcome": "form",
         "message": "; ".join([one.message, *map(str, one.problems)])}
        for one in report.forms
    ]  # fmt: skip
    text = ("file", "outcome", "source_id", "importer", "kinds", "message")
    order = ("file", "outcome", "source_id", "importer", "kinds", *_COUNTS, "lines_new",
             "lines_changed", "lines_ended", "message")  # fmt: skip
    return pl.DataFrame(
        rows, schema={name: pl.String if name in text else pl.Int64 for name in order}
    )


def print_report(report: ImportReport) -> None:
    """Print a line a file, the sum of lines, the faults, and what to do next."""
    for file in report.files:
        click.echo(visible(_file_line(file)))
    for one in report.forms:
        click.echo(visible(str(one)))
        for problem in one.problems:
            click.echo(f"  {visible(str(problem))}")
    sums = {name: report.total(name) for name in _COUNTS}
    if report.files:
        click.echo(
            f"{sums['read']} lines read = {sums['loaded']} loaded + {sums['decision']} need a "
            f"decision + {sums['mending']} need mending + {sums['not_data']} not data"
        )
    for problem in report.problems[:_SHOWN_FAULTS]:
        click.echo(f"  {shortened(visible(str(problem)))}")
    if len(report.problems) > _SHOWN_FAULTS:
        click.echo(f"  and {len(report.problems) - _SHOWN_FAULTS} more: partmuster mending")
    for _plugin, text in report.plugin_failures:
        click.echo(f"  {visible(text)}")
    if sums["decision"]:
        click.echo("Next: partmuster questions  (what only a person can settle)")


def _tell_of_pages(host: Host, report: ImportReport) -> None:
    """Say how pages that were read can be looked at."""
    drawers = {one.name for one in host.importers if isinstance(one, PageDrawer)}
    names = [file.name for file in report.files if file.read and file.importer in drawers]
    if names:
        name = names[0] if len(names) == 1 else "SOURCE"
        click.echo(
            f"To see pages beside what was read from them: partmuster proof {visible(quoted(name))}"
        )


def _file_line(file: FileReport) -> str:
    line = f"{file.name}: {file.outcome}"
    if file.read:
        kinds = ", ".join(f"{count} {kind}" for kind, count in file.kinds.items())
        line += f" ({kinds or 'no lines'})"
        line += f"; {file.loaded} loaded"
        for count, words in (
            (file.decision, "need a decision"), (file.mending, "need mending"),
            (file.not_data, "not data"),
        ):  # fmt: skip
            if count:
                line += f", {count} {words}"
        if file.outcome in ("new version", "partial"):
            line += (
                f"; {file.lines_new} new, {file.lines_changed} changed, {file.lines_ended} ended"
            )
    return f"{line}. {file.message}" if file.message else line


def _with_progress(
    club: Club, host: Host, paths: Sequence[Path], options: Options, reading: ReadingApart | None,
    now: dt.datetime | None,
) -> ImportReport:  # fmt: skip
    """Import with a progress bar, where a person watches."""
    vocabulary = vocabulary_of(club, keep=True)
    if not sys.stderr.isatty():
        return import_files(club, host, paths, vocabulary, options, tell=say, reading=reading,
                            now=now)  # fmt: skip
    from rich.console import Console  # noqa: PLC0415 - only where a person watches
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn  # noqa: PLC0415

    columns = (BarColumn(), MofNCompleteColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=None)

        def progress(name: str, done: int, of: int) -> None:
            words = visible(name) or "matching and storing"
            bar.update(task, description=words, completed=done, total=of)

        return import_files(club, host, paths, vocabulary, options, tell=say, progress=progress,
                            reading=reading, now=now)  # fmt: skip

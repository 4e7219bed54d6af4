"""A club on the move, as a person sees it: export, rebuild, backup, restore."""

from __future__ import annotations

import sys
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from partmuster.moving.backup import back_up, restore
from partmuster.moving.export import export_club
from partmuster.moving.rebuild import rebuild_club
from partmuster.moving.whole import no_progress
from partmuster.store.club import Club
from partmuster.store.forgetting import was_removed

from .club import say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from partmuster_schemas.columns import Audience


def run_export(folder: Path, to: Path, audience: Audience, with_archive: bool | None) -> int:
    """Write the club out and say what was written; return the exit code."""
    club = Club.open(folder, tell=say)
    with progress_bar() as progress:
        report = export_club(
            club, to, audience=audience, with_archive=with_archive, progress=progress
        )
    click.echo(
        f"{sum(report.rows.values())} rows of {len(report.rows)} tables and {report.sheets} sheets "
        f"are in {to}, for: {audience}."
    )
    if audience == "registrar":
        click.echo(
            "It holds names, addresses and places: keep it as you keep the club's own folder."
        )
    return _tell_missing(club, report.missing)


def run_rebuild(folder: Path, export: Path) -> int:
    """Make a club from an export; return the exit code."""
    with progress_bar() as progress:
        rows = rebuild_club(export, folder, progress=progress)
    click.echo(
        f"The club is in {folder.resolve()}: {sum(rows.values())} rows of {len(rows)} tables."
    )
    return 0


def run_backup(folder: Path, file: Path) -> int:
    """Keep the club in one file; return the exit code."""
    club = Club.open(folder, tell=say)
    with progress_bar() as progress:
        report = back_up(club, file, progress=progress)
    click.echo(
        f"{file}: the whole club, {sum(report.rows.values())} rows and {report.sheets} sheets. "
        f"To have it again: partmuster --club NEW restore {file}"
    )
    return _tell_missing(club, report.missing)


def run_restore(folder: Path, file: Path) -> int:
    """Make a club from a backup; return the exit code."""
    with progress_bar() as progress:
        rows = restore(file, folder, progress=progress)
    click.echo(f"The club is in {folder.resolve()}: {sum(rows.values())} rows, all checked.")
    return 0


def _tell_missing(club: Club, missing: list[str]) -> int:
    """Name the sheets that the archive has no more, beside the answer; return the exit code.

    Those that were removed at a person's request are not lost: nothing is wrong.
    """
    with club.reading() as con:
        removed = [one for one in missing if was_removed(con, one) and not club.archive.holds(one)]
    if removed:
        say(f"{len(removed)} sheets were removed at a person's request: they are in no copy.")
    lost = [one for one in missing if one not in removed]
    for content_hash in lost:
        say(
            f"the sheet {content_hash[:12]} is missing from the folder 'sources', or damaged: it "
            "is not in this copy. What it said is."
        )
    return int(bool(lost))


@contextmanager
def progress_bar() -> Iterator[Callable[[str, int, int], None]]:
    """Give what shows how far long work is, where a person watches."""
    if not sys.stderr.isatty():
        yield no_progress
        return
    from rich.console import Console  # noqa: PLC0415 - only where a person watches
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn  # noqa: PLC0415

    columns = (BarColumn(), TaskProgressColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=None)

        def progress(name: str, done: int, of: int) -> None:
            bar.update(task, description=name, completed=done, total=max(of, 1))

        yield progress

"""Forgetting a person, as a registrar sees it: first what would be removed, then what was."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from partmuster.moving.forget import forget, plan_forgetting
from partmuster.store.club import Club

from .club import say
from .moving import progress_bar

if TYPE_CHECKING:
    from pathlib import Path

    from partmuster.moving.forget import Forgetting

_COPIES = (
    "Backups, exports and copies of sheets outside the club's folder are not touched: they still "
    "name the person. Members and the person can say what is to become of those."
)


def run_forget(folder: Path, name: str, by: str, also: tuple[str, ...], *, yes: bool) -> int:
    """Show what forgetting a person removes, and remove it where ``yes``; return the exit code.

    The exit code tells of files in the club's folder that still name the person.
    """
    club = Club.open(folder, tell=say)
    with progress_bar() as progress:
        if yes:
            done = forget(club, name, by=by, also=also, progress=progress)
        else:
            done = plan_forgetting(club, name, also=also, progress=progress)
    _tell(done, "were" if yes else "would be")
    if not yes:
        click.echo("Nothing was changed. To do it: the same with --yes.")
        return 0
    click.echo(
        f"{done.pseudonym} stands for the person from now on. 'trace' of their lines says that "
        "the words were removed, and when. The sheets named above are not taken again unless "
        "--again is said."
    )
    return int(bool(done.left))


def _tell(done: Forgetting, were: str) -> None:
    if done.names:
        click.echo(f"Called in the records: {', '.join(done.names)}")
    if done.places:
        click.echo(f"Places that are theirs alone: {', '.join(done.places)}")
    click.echo(
        f"The words of {done.lines} lines and {done.raw_lines} raw lines {were} removed, and the "
        f"name replaced by '{done.pseudonym}' in {done.renamed} other rows. How many of what "
        "stays as it is."
    )
    if done.files:
        click.echo(f"Sheets that {were} removed from the archive: {', '.join(done.files)}")
    for old, new in done.sources.items():
        click.echo(
            f"The source '{old}' is called '{new}' then: import a newer version of it with "
            f"--replaces '{new}'."
        )
    if done.words:
        was = "was" if were == "were" else were
        click.echo(f"Vocabulary files in which the name {was} replaced: {', '.join(done.words)}")
    for word, rows in done.alone.items():
        click.echo(
            f"{rows} raw lines hold '{word}' alone, which may mean somebody or something else: "
            f"they stay. If it means this person: --also {word}"
        )
    for name in done.left:
        click.echo(f"The file {name} in the club's folder names the person: that is for you.")
    click.echo(_COPIES)

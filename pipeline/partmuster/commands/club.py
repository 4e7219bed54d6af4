"""Making a club folder, and the facts kept about it."""

from __future__ import annotations

import shlex
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.model import PartmusterError
from partmuster.output import show
from partmuster.store.club import Club
from partmuster.store.settings import ERROR_SETTING, put_setting, read_error, read_settings
from partmuster.terminal_safe import visible

from . import FAILED_ASIDE

if TYPE_CHECKING:
    from pathlib import Path

    from partmuster_trade import Vocabulary

#: What a registrar may set, with its meaning.
SETTINGS = {
    "club-name": "the club's name",
    "country": "two letters (ISO 3166-1): settles near and off side, day or month first, words",
    ERROR_SETTING: "how many matches accepted by likeness may be wrong: 1 in 200 unless set",
}
_COUNTRY_LETTERS = 2


def make_club(folder: Path, name: str | None, country: str | None) -> None:
    """Make a club, or set name and country of one that is there."""
    club = Club.open(folder, create=True, tell=say)
    given = {"club-name": name, "country": country}
    values = {key: _checked(key, value) for key, value in given.items() if value}
    if values:
        with club.writing() as con:
            for key, value in values.items():
                put_setting(con, key, value)
    click.echo(f"The club is in {folder.resolve()}. Next: partmuster --club {folder} import SHEETS")


def show_or_set_settings(folder: Path, form: str, name: str | None, value: str | None) -> None:
    """Show the settings, or set one.

    Raises:
        PartmusterError: there is no such setting, or the value cannot be.
    """
    club = Club.open(folder, tell=say)
    if name is not None and name not in SETTINGS:
        raise PartmusterError(f"there is no setting '{name}': there are {', '.join(SETTINGS)}")
    if name is not None and value is not None:
        checked = _checked(name, value)
        with club.writing() as con:
            put_setting(con, name, checked)
    with club.reading() as con:
        held = read_settings(con)
    rows = [
        {"name": key, "value": held.get(key), "meaning": meaning}
        for key, meaning in SETTINGS.items()
        if name in (None, key)
    ]
    show(pl.DataFrame(rows, schema=dict.fromkeys(("name", "value", "meaning"), pl.String)), form)


def vocabulary_of(club: Club, *, keep: bool = False) -> Vocabulary:
    """Return the trade's vocabulary with the club's own additions.

    A sheet at fault is told by file, sheet, row, column and what to do; what was last read of it
    counts meanwhile, and the command ends with the exit code of a failure. ``keep``: keep the
    sheets as last read.
    """
    from partmuster.store.own_words import keep_as_read, read_own_words  # noqa: PLC0415 - on use

    vocabulary, faults = read_own_words(club.vocabulary)
    if faults:
        say(faults)
        context = click.get_current_context(silent=True)
        if context is not None:
            context.meta[FAILED_ASIDE] = True
    elif keep:
        keep_as_read(club.vocabulary)
    return vocabulary


def say(text: str) -> None:
    """Tell the person at the terminal, beside the answer."""
    click.echo(visible(text), err=True)


def quoted(name: str) -> str:
    """Return a name as it is typed in a command."""
    return shlex.quote(name)


def _checked(name: str, value: str) -> str:
    if name == "country":
        value = value.strip().upper()
        if len(value) != _COUNTRY_LETTERS or not value.isalpha():
            raise PartmusterError(f"'{value}' is not a country: two letters, such as GB or AU")
    if name == ERROR_SETTING:
        share = read_error(value)
        if share is None:
            raise PartmusterError(
                f"'{value}' is no share of matches that may be wrong: write it as 1 in 200, "
                "0.5 % or 0.005; at most 1 in 20"
            )
        value = f"{share:g}"
    return value

"""Options that several commands have."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Callable


class Day(click.ParamType[dt.date]):
    """A day on the command line: 2026-03-31, or any date that a sheet may carry."""

    name = "day"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> dt.date:
        """Return the date; a month or a year counts to its last day."""
        from partmuster.reading.dates import read_date  # noqa: PLC0415 - only when a date is given

        reading = read_date(str(value), day_first=True)
        if reading.date is None or reading.problem:
            self.fail(f"'{value}' is not a date: write it as 2026-03-31", param, ctx)
        return reading.until or reading.date


def format_option(command: Any) -> Any:
    """Give a command the option for how its answer is printed."""
    return click.option(
        "--format", "form", type=click.Choice(["table", "csv", "json"]), default="table",
        show_default=True, help="how to print the answer",
    )(command)  # fmt: skip


def as_of_options(command: Any) -> Any:
    """Give a command the options for the day that is asked about."""
    command = click.option(
        "--known-now", is_flag=True,
        help="with --as-of: use what is known today of that day, not what was recorded by then",
    )(command)  # fmt: skip
    return click.option(
        "--as-of", type=Day(), default=None, metavar="DAY",
        help="the answer as it stood on a day",
    )(command)  # fmt: skip


def document_options(*audiences: str) -> Callable[[Any], Any]:
    """Give a command the options of what is sent out: for whom, in which forms, where to."""
    options = (
        click.option(
            "--audience", type=click.Choice(audiences), default=audiences[0], show_default=True,
            help="for whom the copy is",
        ),
        click.option(
            "--form", "forms", multiple=True, metavar="NAME",
            help="workbook, page, csv, pdf, or another plugin's; again for another",
        ),
        click.option(
            "--out", type=click.Path(path_type=Path, file_okay=False), default=None,
            metavar="FOLDER", help="where to (default: a folder in the club's)",
        ),
        click.option(
            "--section", default=None, metavar="NAME", help="show one section here instead"
        ),
    )  # fmt: skip

    def given(command: Any) -> Any:
        for option in reversed(options):
            command = option(command)
        return command

    return given


def workbook_option(command: Any) -> Any:
    """Give a command the option to write its answer as a form to fill in."""
    return click.option(
        "--workbook", type=click.Path(path_type=Path), default=None, metavar="FILE.xlsx",
        callback=_workbook, help="write a form to fill in and import",
    )(command)  # fmt: skip


def _workbook(_ctx: click.Context, _option: click.Parameter, file: Path | None) -> Path | None:
    if file is not None and file.suffix.lower() != ".xlsx":
        raise click.UsageError(f"a form is a workbook: name it {file.with_suffix('.xlsx').name}")
    return file

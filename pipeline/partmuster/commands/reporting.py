"""What a club sends out: reports, vehicle files and yard lists, as publishers write them."""

from __future__ import annotations

import datetime as dt
import secrets
import sys
import tempfile
from dataclasses import replace
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.answers.documents.moment import known_by
from partmuster.answers.documents.months import day_words, last_full_month, read_month
from partmuster.answers.documents.report import FIGURE_ID, Report
from partmuster.answers.documents.vehicle_file import VehicleFile
from partmuster.answers.documents.view import MonthlyView
from partmuster.answers.documents.yard_list import YardList
from partmuster.answers.sql import text_literal
from partmuster.forms.kinds import Stamp
from partmuster.forms.stock_take import STOCK_TAKE
from partmuster.forms.writing import write_new_form
from partmuster.forms.yard_list import YARD_LIST_FORM
from partmuster.model import PartmusterError
from partmuster.output import say_wrapped, show
from partmuster.running.stock_takes import stock_rows
from partmuster.running.yard_lists import yard_rows
from partmuster.store.club import Club
from partmuster.store.mended import club_id, give_club_id
from partmuster.store.settings import put_setting, read_settings

from .club import quoted, say, vocabulary_of
from .importing import tell_failed_plugins

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.forms.kinds import FormKind
    from partmuster.hooks import ClubView, Publisher
    from partmuster.host import Host
    from partmuster_schemas.columns import Audience
    from partmuster_trade.vocabulary import Vocabulary

#: The secret from which codes of holders are made.
CODE_SALT = "code-salt"
#: Memory of the database while it is asked for a report: with 100,000 holdings it takes 1.5 GB with
#: all that is read of them where nothing limits it, 0.7 GB so, and a tenth more time (measured).
_MEMORY = "500MB"
#: What is written unless forms are named.
USUAL_FORMS = ("workbook", "page")
#: What a table of a section shows last, and what it leaves out first.
_SPARE = ("trace", "words", "basis", "authority", "companions", "work", "builds", "reason")


def report(
    folder: Path,
    host: Host,
    form: str,
    *,
    month: str | None,
    audience: Audience,
    forms: Sequence[str],
    out: Path | None,
    section: str | None,
    known_now: bool,
    with_restricted: bool,
) -> int:
    """Write a month's report, or show one section of it; return the exit code."""
    today = dt.date.today()  # noqa: DTZ011 - a club keeps local time
    asked = read_month(month) if month else last_full_month(today)
    if asked.last_day >= today:
        say(f"{asked.words} is not over: the report tells of it as far as it is known.")
    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    salt = code_salt(club)
    with club.reading() as con, tempfile.TemporaryDirectory() as aside:
        con.execute(f"SET memory_limit = '{_MEMORY}'; SET temp_directory = {text_literal(aside)}")
        made = Report(con, vocabulary, asked, known_now)
        if not known_by(con, asked.last_day, known_now):
            last, now = day_words(asked.last_day), f"{today:%Y-%m}"
            say(f"nothing was recorded by {last}: --known-now uses what is known today of then, "
                f"and --month {now} tells of this month so far.")  # fmt: skip
        name = read_settings(con).get("club-name") or "The club"
        wanted = wanted_publishers(host, forms or USUAL_FORMS) if section is None else []
        view = MonthlyView(made, audience, name, salt, with_restricted=with_restricted)
        return _give(host, view, wanted, section, out or club.folder / "reports" / str(asked), form)


def vehicle_file(
    folder: Path,
    host: Host,
    form: str,
    vehicle: str,
    *,
    audience: Audience,
    forms: Sequence[str],
    out: Path | None,
    section: str | None,
    as_of: dt.date | None,
    known_now: bool,
) -> int:
    """Write a vehicle's file, or show one section of it; return the exit code."""
    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    day = as_of or dt.date.today()  # noqa: DTZ011 - a club keeps local time
    with club.reading() as con:
        wanted = wanted_publishers(host, forms or USUAL_FORMS) if section is None else []
        name = read_settings(con).get("club-name") or "The club"
        view = VehicleFile(con, vocabulary, vehicle, audience, name, day, known_now=known_now)
        return _give(host, view, wanted, section, out or club.folder / "vehicle-files", form)


def yard_list(
    folder: Path,
    host: Host,
    form: str,
    *,
    vehicle: str | None,
    at: str | None,
    audience: Audience,
    forms: Sequence[str],
    out: Path | None,
    section: str | None,
    workbook: Path | None,
) -> int:
    """Write what to take, refuse and measure, or show a section of it; return the exit code.

    ``workbook``: write the form to fill in instead.
    """
    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    day = dt.date.today()  # noqa: DTZ011 - as above
    with club.reading() as con:
        wanted = wanted_publishers(host, forms or USUAL_FORMS) if section is None else []
        name = read_settings(con).get("club-name") or "The club"
        view = YardList(con, vocabulary, audience, name, day, vehicle=vehicle, at=at)
        if workbook is not None:
            rows = yard_rows(
                {one: view.candidates(one) for one in ("take", "measure", "refuse")}, vocabulary
            )
        else:
            return _give(host, view, wanted, section, out or club.folder / "yard-lists", form)
    stamp = _stamp(club, YARD_LIST_FORM)
    write_new_form(workbook, replace(YARD_LIST_FORM, title=view.title), rows, stamp)
    click.echo(
        f"{workbook}: {len(rows)} rows. Afterwards: partmuster import {quoted(str(workbook))}"
    )
    return 0


def _stamp(club: Club, kind: FormKind) -> Stamp:
    """Return what a form says of itself; a club gets its id with its first form."""
    with club.reading() as con:
        known, club_name = club_id(con), read_settings(con).get("club-name") or ""
    if known is None:
        with club.writing() as con:
            known = give_club_id(con)
    return Stamp(kind.name, kind.version, known, club_name)


def stock_take(folder: Path, holder: str, file: Path) -> None:
    """Write the form on which a holder counts what the lists say.

    Raises:
        PartmusterError: nobody of that name holds anything, or the file cannot be written.
    """
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        name, rows = stock_rows(con, vocabulary_of(club), holder)
    stamp = _stamp(club, STOCK_TAKE)
    write_new_form(file, replace(STOCK_TAKE, title=f"Stock-take, {name}"), rows, stamp)
    click.echo(
        f"{file}: {len(rows)} lines of {name}, to count as many as can be. "
        f"Then: partmuster import {quoted(str(file))}"
    )


def _give(
    host: Host, view: ClubView, wanted: Sequence[Publisher], section: str | None, out: Path,
    form: str,
) -> int:  # fmt: skip
    if section is None:
        return write(host, view, wanted, out, form)
    show_section(view, section, form)
    return 0


def code_salt(club: Club) -> str:
    """Return the club's secret for codes; make it first where there is none."""
    with club.reading() as con:
        known = read_settings(con).get(CODE_SALT)
    if known is None:
        known = secrets.token_hex(16)
        with club.writing() as con:
            put_setting(con, CODE_SALT, known)
    return known


def wanted_publishers(host: Host, forms: Sequence[str]) -> list[Publisher]:
    """Return the publishers of some forms.

    Raises:
        PartmusterError: no plugin writes one of them.
    """
    known = {one.name: one for one in host.publishers}
    missing = [one for one in forms if one not in known]
    if missing:
        raise PartmusterError(
            f"no plugin writes the form '{missing[0]}'. There are: {', '.join(sorted(known))}."
        )
    return [known[one] for one in dict.fromkeys(forms)]


def write(host: Host, view: ClubView, publishers: Sequence[Publisher], out: Path, form: str) -> int:
    """Let publishers write a document into a folder, and say what there is; return the exit code.

    One that fails is named and stops no other.
    """
    out.mkdir(parents=True, exist_ok=True)
    rows: list[dict[str, str | None]] = []
    names = [one.name for one in view.sections()]
    steps = [*names, *(one.name for one in publishers)]
    with click.progressbar(
        steps, label=view.title, file=sys.stderr, hidden=not sys.stderr.isatty(),
        item_show_func=lambda step: step,
    ) as bar:  # fmt: skip
        for at, step in enumerate(bar):
            if at < len(names):
                view.ask(step)
                continue
            written = host.publish(publishers[at - len(names)], view, out)
            if isinstance(written, str):
                rows.append({"form": step, "file": None, "message": written})
            else:
                rows += [{"form": step, "file": str(one), "message": None} for one in written]
    frame = pl.DataFrame(rows, schema=dict.fromkeys(("form", "file", "message"), pl.String))
    if form == "table":
        for line in view.head:
            say_wrapped(line)
    show(frame, form, title=f"{view.title}, for {view.audience}")
    failed = tell_failed_plugins(host)
    return int(bool(failed or frame.get_column("message").count()))


def show_section(view: ClubView, name: str, form: str) -> None:
    """Show one section at the terminal."""
    rows = view.ask(name)
    section = next(one for one in view.sections() if one.name == name)
    if form != "table":
        show(rows, form)
        return
    for line in view.head:
        say_wrapped(line)
    say_wrapped(section.lead)
    shown = rows.with_columns(
        (pl.col(one.name) * 100).round(0).cast(pl.Int64).cast(pl.String) + " %"
        for one in section.columns
        if one.kind == "share"
    )
    show(shown, form, title=section.title, nothing=section.if_empty, spare=_SPARE)


def figure_lines(con: DuckDBPyConnection, vocabulary: Vocabulary, identifiers: str) -> str:
    """Return ids with those of figures replaced by the ids of the lines behind them.

    Raises:
        PartmusterError: there is no such figure.
    """
    reports: dict[str, Report] = {}
    found: list[str] = []
    for one in identifiers.replace(";", " ").split():
        figure = FIGURE_ID.fullmatch(one)
        if figure is None:
            found.append(one)
            continue
        month, now = figure[1], bool(figure[2])
        key = f"{month}{now}"
        if key not in reports:
            reports[key] = Report(con, vocabulary, read_month(month), now)
        lines = reports[key].lines_of(one)
        if not lines:
            raise PartmusterError(
                f"'{one}' is none: no line is behind it at {day_words(reports[key].now.day)}"
            )
        found += lines
    return ";".join(found)

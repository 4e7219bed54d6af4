"""What was imported, and how it was understood."""

from __future__ import annotations

import datetime as dt
import secrets
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.model import PartmusterError
from partmuster.output import show
from partmuster.runner import import_archived
from partmuster.store.club import Club
from partmuster.store.decisions import record_decision
from partmuster.store.frames import fetch
from partmuster.store.sources import current_version
from partmuster_schemas.text_lines import FIELDS
from partmuster_trade.headings import fold_heading

from .club import say, vocabulary_of
from .deciding import meaning_of_mark, tell_contradiction
from .importing import print_report

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host
    from partmuster.store.sources import KnownVersion


_SOURCES_SHOWN = ("source_id", "name", "version", "said_on", "lines_read", "lines_loaded",
                  "lines_decision", "lines_mending", "lines_not_data")  # fmt: skip


def show_sources(folder: Path, form: str) -> None:
    """Show every source's newest version with its sum of lines."""
    with Club.open(folder, tell=say).reading() as con:
        frame = fetch(con, "SELECT * FROM source_sum ORDER BY name")
    show(frame, form, columns=_SOURCES_SHOWN, spare=("said_on", "version", "lines_not_data"),
         nothing="nothing was imported yet")  # fmt: skip


def show_or_set_layout(
    folder: Path,
    host: Callable[[], Host],
    source: str,
    form: str,
    *,
    sheet: str | None,
    kind: str | None,
    fields: tuple[str, ...],
    marks: tuple[str, ...],
    holder: str | None,
    family: str | None,
    by: str | None,
) -> int:
    """Show what each column was taken for; or keep what a person says and read again.

    Raises:
        PartmusterError: no such source.
        UsageError: words that are no HEADING=FIELD, or name no heading, field or meaning.
    """
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        known = known_source(con, source)
        frame = _layout(con, known)
    said = _told(frame, sheet, kind, fields, marks, holder, family)
    if not said:
        show(frame, form, title=known.name, spare=("table_number", "header_row", "reason"))
        return 0
    if by is None:
        raise click.UsageError("say who decides this: --by NAME")
    now = dt.datetime.now()  # noqa: DTZ005 - a club keeps its own local time
    with club.writing() as con:
        for topic, subject, answer in said:
            record_decision(
                con, topic=topic, subject=f"{known.source_id}|{subject}", answer=answer,
                decided_by=by, decided_at=now, decision_id=secrets.token_hex(6),
            )  # fmt: skip
            tell_contradiction(con, topic, f"{known.source_id}|{subject}")
    report = import_archived(club, host(), [known], vocabulary_of(club), tell=say)
    print_report(report)
    return int(report.failed)


def _told(
    layout: pl.DataFrame,
    sheet: str | None,
    kind: str | None,
    fields: tuple[str, ...],
    marks: tuple[str, ...],
    holder: str | None,
    family: str | None,
) -> list[tuple[str, str, str]]:
    """Return (topic, subject, answer) for each thing said, as the layout's own questions name it.

    Raises:
        UsageError: the sheet is not named where there are several, or is not there.
    """
    sheets = layout.get_column("sheet").fill_null("").unique().to_list()
    if sheet is None and (kind or fields or marks) and len(sheets) > 1:
        raise click.UsageError(f"name the sheet with --sheet: {', '.join(sorted(sheets))}")
    if sheet is not None and sheet not in sheets:
        raise click.UsageError(f"there is no sheet '{sheet}': {', '.join(sorted(sheets))}")
    where = sheet if sheet is not None else (sheets[0] if len(sheets) == 1 else "")
    said: list[tuple[str, str, str]] = []
    if kind:
        said.append(("layout", f"{where}|kind", kind))
    for given in fields:
        heading, field = _pair(given, "--field")
        _check_field(layout, where, heading, field)
        said.append(("layout", f"{where}|column: {heading}", field))
    for given in marks:
        mark, meaning = _pair(given, "--mark")
        said.append(("marks", f"{where}|{mark}", meaning_of_mark(meaning)))
    if holder:
        said.append(("layout", "|holder", holder))
    if family:
        said.append(("layout", "|family", family))
    return said


def _pair(given: str, option: str) -> tuple[str, str]:
    name, equals, value = given.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise click.UsageError(f"{option} takes NAME=MEANING, not '{given}'")
    return name.strip(), value.strip()


def _check_field(layout: pl.DataFrame, sheet: str, heading: str, field: str) -> None:
    """Refuse a heading that the sheet has not, and a field that no line has.

    Raises:
        UsageError: names the headings there are, or the fields.
    """
    columns = layout.filter(pl.col("sheet").fill_null("") == sheet)
    headings = [
        text or f"column {number}"
        for text, number in columns.select("heading", "column").iter_rows()
    ]
    if fold_heading(heading) not in map(fold_heading, headings):
        raise click.UsageError(
            f"there is no heading '{heading}': {', '.join(dict.fromkeys(headings))}"
        )
    if field not in FIELDS:
        near = get_close_matches(field, FIELDS, n=4) or FIELDS
        raise click.UsageError(f"there is no field '{field}': {', '.join(near)}")


def known_source(con: DuckDBPyConnection, source: str) -> KnownVersion:
    """Return the newest version of a source, by id or name.

    Raises:
        PartmusterError: there is no such source.
    """
    known = current_version(con, source)
    if known is None:
        raise PartmusterError(f"there is no source '{source}': 'partmuster sources' lists them")
    return known


def _layout(con: DuckDBPyConnection, known: KnownVersion) -> pl.DataFrame:
    return fetch(
        con,
        'SELECT sheet, table_number, line_kind, header_row, "column", heading, field, reason '
        "FROM layout_taken WHERE source_id = ? AND source_version = ? "
        'ORDER BY sheet, table_number, "column"',
        [known.source_id, known.version],
    )

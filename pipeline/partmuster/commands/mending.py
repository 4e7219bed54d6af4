"""The lines that need mending, as a person sees them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from partmuster.answers.proof import waiting_for_a_look
from partmuster.forms.choices import choices_for
from partmuster.forms.kinds import FormRow, Stamp, column_letter
from partmuster.forms.mending import MENDING, MENDING_OF_PAGES, PUT
from partmuster.output import show
from partmuster.store.club import Club
from partmuster.store.frames import fetch
from partmuster.store.mended import Fault, club_id, faults, give_club_id
from partmuster.store.settings import read_settings
from partmuster.terminal_safe import visible

from .club import say
from .sources import known_source

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from partmuster.forms.kinds import FormKind

#: So many rows of equal lines are named.
_ROWS_NAMED = 5
_MENDING_SHOWN = ("file", "sheet", "page", "row", "column", "field", "value", "problem",
                  "what_to_do", "code", "trace")  # fmt: skip


def write_workbook(folder: Path, file: Path, source: str | None) -> None:
    """Write a form with a row for each fault, to be filled in and imported.

    Raises:
        PartmusterError: there is such a file already, or it cannot be written.
    """
    from partmuster.forms.writing import write_new_form  # noqa: PLC0415 - one use

    club = Club.open(folder, tell=say)
    with club.reading() as con:
        chosen = known_source(con, source).source_id if source else None
        rows = rows_of([fault for fault in faults(con, chosen) if fault.problem])
        known, name = club_id(con), read_settings(con).get("club-name") or ""
    if not rows:
        click.echo("nothing needs mending")
        return
    if known is None:
        with club.writing() as con:
            known = give_club_id(con)
    write_new_form(file, _kind_for(rows), rows, Stamp(MENDING.name, MENDING.version, known, name))
    click.echo(
        f"{file}: {len(rows)} to fill in, as many as you can. Then: partmuster import {file}"
    )


def rows_of(wrong: Sequence[Fault]) -> list[FormRow]:
    """Return the rows of a form: one for each fault; equal lines of a source share theirs."""
    by_subject: dict[str, list[Fault]] = {}
    for fault in wrong:
        by_subject.setdefault(fault.subject, []).append(fault)
    return [_form_row(alike[0], alike[1:]) for alike in by_subject.values()]


def _kind_for(rows: Sequence[FormRow]) -> FormKind:
    """Return the form, with columns for pages where a line stands on one."""
    on_pages = any(row.cells["page"] is not None for row in rows)
    return MENDING_OF_PAGES if on_pages else MENDING


def _form_row(fault: Fault, alike: Sequence[Fault]) -> FormRow:
    letter = None if fault.column is None else column_letter(fault.column)
    problem = fault.problem or ""
    if alike:
        more = " ..." if len(alike) > _ROWS_NAMED else ""
        if fault.page is None:
            rows = ", ".join(str(one.row) for one in alike[:_ROWS_NAMED])
            problem += f" (also in row {rows}{more})"
        else:
            places = ", ".join(f"page {one.page} row {one.row}" for one in alike[:_ROWS_NAMED])
            problem += f" (also on {places}{more})"
    return FormRow(
        fault.subject,
        {
            "file": fault.file, "sheet": fault.sheet, "page": fault.page, "row": fault.row,
            "box": fault.box,
            "cell": f"{letter}{fault.row}" if letter and fault.row is not None else None,
            "heading": fault.heading, "words": fault.words, "stood": fault.stood,
            "problem": problem, "what_to_do": fault.what_to_do,
        },
        {PUT: choices_for(fault.field)},
    )  # fmt: skip


def show_mending(folder: Path, form: str, source: str | None) -> None:
    """Show each fault with its place, words and what to do, and which pages want a look."""
    with Club.open(folder, tell=say).reading() as con:
        chosen = known_source(con, source).source_id if source else None
        frame = fetch(
            con,
            "SELECT * FROM to_mend WHERE $1 IS NULL OR source_id = $1 "
            "ORDER BY file, sheet, page, row",
            [chosen],
        )
        to_look_at = [] if form != "table" else waiting_for_a_look(con, chosen)
    show(frame, form, columns=_MENDING_SHOWN, spare=("trace", "code", "field"),
         nothing="nothing needs mending")  # fmt: skip
    if form == "table" and frame.height:
        click.echo("Fill in what should stand there: partmuster mending --workbook FILE.xlsx")
    for name, count in to_look_at:
        shown = visible(name)
        waiting = f"1 line of {shown} waits" if count == 1 else f"{count:,} lines of {shown} wait"
        asked_for = f'"{shown}"' if " " in shown else shown
        click.echo(f"{waiting} for a look at the page: partmuster proof {asked_for}")

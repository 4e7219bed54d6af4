"""What stands twice, or may: items, lists and vehicles, and numbers that two vehicles carry."""

from __future__ import annotations

import datetime as dt
import secrets
from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.model import PartmusterError
from partmuster.output import show
from partmuster.runner import follow_decisions
from partmuster.store.club import Club
from partmuster.store.decided_pairs import DIFFERENT, SAME, SAME_SHEET, subject_of
from partmuster.store.decisions import record_decision
from partmuster.store.twice import SEPARATE, known_pairs

from .club import say, vocabulary_of
from .sources import known_source

if TYPE_CHECKING:
    from pathlib import Path

    from duckdb import DuckDBPyConnection

    from partmuster.host import Host

_SCHEMA = {"what": pl.String, "standing": pl.String, "said": pl.String, "by": pl.String,
           "trace": pl.String}  # fmt: skip


def show_duplicates(folder: Path, form: str) -> None:
    """Show what may be one, what people decided, and numbers that two vehicles carry."""
    with Club.open(folder, tell=say).reading() as con:
        rows = known_pairs(con)
    show(pl.DataFrame(rows, schema=_SCHEMA, orient="row"), form,
         nothing="nothing stands twice, as far as can be told")  # fmt: skip


def join_sources(
    folder: Path, host: Host, one: str, other: str, by: str, note: str | None = None, *,
    now: dt.datetime | None = None,
) -> None:  # fmt: skip
    """Say that two sources, given by name or id, are one list, and count its items once.

    That one was imported as a list of its own is taken back.

    Raises:
        PartmusterError: there is no such source, or both are one.
    """
    club = Club.open(folder, tell=say)
    with club.reading() as con:
        ours, theirs = known_source(con, one), known_source(con, other)
    if ours.source_id == theirs.source_id:
        raise PartmusterError(f"'{one}' and '{other}' are one source already")
    subject = subject_of(ours.source_id, theirs.source_id)
    when = now or dt.datetime.now()  # noqa: DTZ005 - a club keeps its own local time
    decision_id = secrets.token_hex(6)
    with club.writing() as con:
        _take_back_separate(con, subject, by, when)
        record_decision(
            con, decision_id=decision_id, topic=SAME_SHEET, subject=subject, answer=SAME,
            decided_by=by, decided_at=when, note=note,
        )  # fmt: skip
    follow_decisions(
        club, host, vocabulary_of(club), [(SAME_SHEET, subject, None)], tell=say, now=now
    )
    click.echo(
        f"{ours.name} and {theirs.name} are one list now, and what both have counts once; "
        f"take it back with: partmuster undo {decision_id}"
    )


def _take_back_separate(con: DuckDBPyConnection, subject: str, by: str, when: dt.datetime) -> None:
    rows = con.execute(
        "SELECT decision_id FROM decision WHERE topic = ? AND subject = ? AND answer = ? "
        "AND note = ? "
        "AND decision_id NOT IN (SELECT undoes FROM decision WHERE undoes IS NOT NULL)",
        [SAME_SHEET, subject, DIFFERENT, SEPARATE],
    ).fetchall()
    for (decision_id,) in rows:
        record_decision(
            con, decision_id=secrets.token_hex(6), topic=SAME_SHEET, subject=subject, answer=None,
            decided_by=by, decided_at=when, undoes=decision_id,
        )  # fmt: skip

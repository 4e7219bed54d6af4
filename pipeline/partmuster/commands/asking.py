"""The three questions, and where an answer comes from, as a person asks them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click
import polars as pl

from partmuster.output import show
from partmuster.running.words import identifier_of
from partmuster.store.club import Club

from .club import say, vocabulary_of

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path


_LACKS_SHOWN = ("vehicle", "assembly", "part", "hand", "position", "state", "required",
                "quantity", "build", "seen_on", "disagrees", "trace")  # fmt: skip
_HOLDERS_SHOWN = ("holder", "part", "hand", "position", "quantity", "condition", "availability",
                  "place", "builds", "match", "match_reason", "said_on", "trace")  # fmt: skip
_DONORS_SHOWN = ("vehicle", "part", "hand", "position", "lacking", "rank", "standing", "source",
                 "from", "fit", "correctness", "reason", "condition", "distance_km",
                 "trace")  # fmt: skip


def show_lacks(  # one option each
    folder: Path,
    form: str,
    *,
    vehicle: str | None,
    include_all: bool,
    as_of: dt.date | None,
    known_now: bool,
) -> None:
    """Show what is lacking, by assembly, and how complete the vehicle is."""
    from partmuster.answers.lacks import lacks  # noqa: PLC0415 - each answer loads its own

    club = Club.open(folder, tell=say)
    with club.reading() as con:
        answer = lacks(
            con, vocabulary_of(club), vehicle=vehicle, include_all=include_all, as_of=as_of,
            known_now=known_now,
        )  # fmt: skip
    if form != "table":
        show(answer.rows, form)
        return
    show(answer.rows, form, columns=_LACKS_SHOWN, nothing="nothing is lacking")
    show(answer.completeness, form, title="How complete")
    _cautions(answer.rows)


def show_holders(
    folder: Path, form: str, words: str, *, as_of: dt.date | None, known_now: bool
) -> None:
    """Show who has a part."""
    from partmuster.answers.holders import holders  # noqa: PLC0415 - as above

    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        rows = holders(
            con, vocabulary, words, identify=identifier_of(con, vocabulary), as_of=as_of,
            known_now=known_now,
        )  # fmt: skip
    show(rows, form, columns=_HOLDERS_SHOWN, nothing=f"nobody is known to have: {words}")


def show_donors(
    folder: Path,
    form: str,
    *,
    vehicle: str | None,
    part: str | None,
    include_all: bool,
    as_of: dt.date | None,
    known_now: bool,
) -> None:
    """Show where each missing part could come from."""
    from partmuster.answers.donors import donors  # noqa: PLC0415 - as above

    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        rows = donors(
            con, vocabulary, vehicle=vehicle, part=part, identify=identifier_of(con, vocabulary),
            include_all=include_all, as_of=as_of, known_now=known_now,
        )  # fmt: skip
    show(rows, form, columns=_DONORS_SHOWN, nothing="nothing is lacking")
    if form == "table":
        _cautions(rows)


def show_trace(folder: Path, form: str, identifier: str) -> None:
    """Show where a line comes from, and what was concluded from it."""
    from partmuster.answers.trace import trace  # noqa: PLC0415 - as above

    with Club.open(folder, tell=say).reading() as con:
        rows = trace(con, identifier)
    if form != "table":
        show(rows, form)
        return
    # A trace is read down, not across.
    for row in rows.iter_rows(named=True):
        for name, value in row.items():
            if value not in (None, ""):
                click.echo(f"{name.replace('_', ' '):>18}: {value}")
        click.echo()


def show_match(folder: Path, form: str, words: str) -> None:
    """Show which parts some words could mean."""
    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        found = identifier_of(con, vocabulary)(words)
    show(found, form, nothing="this names nothing in the vocabulary")


def _cautions(rows: pl.DataFrame) -> None:
    """Print the cautions of the parts shown, each once, with the parts it is for."""
    said = (
        rows.filter(pl.col("caution").is_not_null() & (pl.col("caution") != ""))
        .group_by("caution", maintain_order=True)
        .agg(pl.col("part").unique(maintain_order=True).str.join(", "))
    )
    for caution, parts in said.iter_rows():
        click.echo(f"Caution ({parts}): {caution}")
    if said.height:
        click.echo("Local law and licensed practice decide what may be done, and by whom.")

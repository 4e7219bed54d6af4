"""What fits, and why or why not, as a person asks it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.output import say_wrapped, show
from partmuster.running.words import identifier_of
from partmuster.store.club import Club

from .asking import _cautions, _in_words
from .club import say, vocabulary_of

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable
    from pathlib import Path

    from partmuster_trade import Vocabulary

#: What a table shows, and what it leaves out first where the terminal is narrow.
_FITS_SHOWN = ("part", "build", "fit", "correctness", "chain", "work", "companions", "reason",
               "disputed", "trace")  # fmt: skip
_FITS_SPARE = ("correctness", "trace", "companions", "work", "disputed")
_WHY_SHOWN = ("from", "verdict", "standing", "chain", "why", "work", "companions", "trace")
_WHY_SPARE = ("trace", "companions", "work", "standing")


def show_fits(
    folder: Path, form: str, part: str, *, on: str, as_of: dt.date | None, known_now: bool
) -> None:
    """Show what can serve for a part on a vehicle or at a build."""
    from partmuster.answers.fits import fits  # noqa: PLC0415 - each answer loads its own

    rows, vocabulary = _asked(folder, fits, part, on, as_of, known_now)
    if form != "table":
        show(rows, form)
        return
    wanted = pl.concat_str("for_hand", "for_position", "for_part", "for_build", separator=" ",
                           ignore_nulls=True)  # fmt: skip
    rows = rows.with_columns(for_part=_named("for_part", vocabulary)).with_columns(wanted=wanted)
    rows = _in_words(rows, vocabulary)
    show(rows, form, columns=_FITS_SHOWN, spare=_FITS_SPARE,
         by="wanted", nothing=f"nobody has said what can serve for {part} on {on}")  # fmt: skip
    _cautions(rows)
    _where_said(rows)


def show_hardware_fit(form: str, wanted: str, offered: str, duty: str) -> None:
    """Show whether one piece of standard hardware serves for another, by specification."""
    from partmuster.answers.hardware import hardware_fit  # noqa: PLC0415 - as above

    found = hardware_fit(wanted, offered, duty)
    row = {"wanted": wanted, "offered": offered, "fit": found.fit, "reason": found.reason,
           "caution": found.caution or None}  # fmt: skip
    rows = pl.DataFrame([row], schema=dict.fromkeys(row, pl.String))
    show(rows, form, columns=("offered", "fit", "reason"), by="wanted")
    if form == "table" and found.caution:
        say_wrapped(found.caution)


def show_explanation(
    folder: Path,
    form: str,
    part: str,
    *,
    vehicle: str,
    as_of: dt.date | None,
    known_now: bool,
) -> None:
    """Show why each part that may serve goes, or does not go, on a vehicle."""
    from partmuster.answers.explain import explain  # noqa: PLC0415 - as above

    rows, vocabulary = _asked(folder, explain, part, vehicle, as_of, known_now)
    if form != "table":
        show(rows, form)
        return
    wanted = pl.concat_str("hand", "position", "part", "build", separator=" ", ignore_nulls=True)
    rows = rows.with_columns(part=_named("part", vocabulary)).with_columns(wanted=wanted)
    show(_in_words(rows, vocabulary), form, columns=_WHY_SHOWN, spare=_WHY_SPARE, by="wanted",
         nothing=f"nobody has said what can serve for {part} on {vehicle}")  # fmt: skip
    _cautions(rows)
    _where_said(rows)


def _asked(
    folder: Path,
    answer: Callable[..., pl.DataFrame],
    part: str,
    on: str,
    as_of: dt.date | None,
    known_now: bool,
) -> tuple[pl.DataFrame, Vocabulary]:
    """Return what an answer says of a part on something, and the club's words."""
    club = Club.open(folder, tell=say)
    vocabulary = vocabulary_of(club)
    with club.reading() as con:
        identify = identifier_of(con, vocabulary)
        rows = answer(con, vocabulary, part, on, identify, as_of=as_of, known_now=known_now)
    return rows, vocabulary


def _named(column: str, vocabulary: Vocabulary) -> pl.Expr:
    return pl.col(column).replace({part.part_id: part.name for part in vocabulary.parts})


def _where_said(rows: pl.DataFrame) -> None:
    """Print where what the answer rests on stands, each place once."""
    places = (
        rows.get_column("sources")
        .drop_nulls()
        .str.split("; ")
        .explode()
        .unique(maintain_order=True)
    )
    for place in places:
        say_wrapped(f"Said in {place}")

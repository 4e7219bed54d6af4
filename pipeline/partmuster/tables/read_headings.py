"""The headings of a table's columns, with what people and the cells below say of unknown ones."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.text_lines import FIELDS
from partmuster_trade.headings import HeadingMeaning

from .asking import field_told
from .content import content_of, suits
from .headings import Heading, meanings_of
from .marks import read_legend
from .matrix import holds_presence
from .serial_columns import with_ends

if TYPE_CHECKING:
    from collections.abc import Mapping

    from .asking import Around

_NAMES_PARTS = frozenset({"description", "part_number", "stock_number", "feature", "statement"})
_NAMING = _NAMES_PARTS | {"vehicle", "holder", "place", "hull_serial", "phone"}
#: With one of these a list is of things held or listed, not of what was seen on a vehicle.
_NOT_OF_SURVEYS = frozenset({"presence", "holder", "owner", "availability", "price"})
_WORD = re.compile(r"[^\W\d_]{2,}")
_GUESSED = 0.7
_KEY_ROWS = 60
#: What nobody says of a want.
_SEEN = ["fitted", "missing", "stand-in", "not fitted", "in place"]


def read_headings(
    body: pl.DataFrame, texts: Mapping[str, str], around: Around, *, of_vehicle: bool
) -> list[Heading]:
    """Return the headings of columns (``texts``: heading by column) with what they may mean.

    A person's answer rules; one unknown heading may be told by the cells below it.
    ``of_vehicle``: titles name the one vehicle the table is about.
    """
    found = []
    # Titles and page marks among the rows say nothing of the column in which they begin.
    rows = body.filter(pl.col("n") > 1) if len(texts) > 1 and "n" in body.columns else body
    rows = rows if rows.height else body
    for name, text in texts.items():
        meanings, similarity = meanings_of(text) if text else ((), 0.0)
        answer = field_told(around, text, name, around.names.get(int(name), text))
        if answer is not None:
            meanings, similarity = (), 2.0
            if answer in FIELDS and answer != "remark":
                meanings = (HeadingMeaning(answer, (), "", 0),)
        found.append(Heading(name, text, meanings, similarity, content_of(rows[name])))
    found = _with_presence(_with_description(with_ends(found)), body, of_vehicle=of_vehicle)
    return _with_letters(found, body, around, of_vehicle=of_vehicle)


def _with_description(headings: list[Heading]) -> list[Heading]:
    """Return headings, the first wordy column under an unknown one read as the part's name.

    Only where no heading can mean a part or a name, and another heading is known; a column
    without a heading must be the only wordy one.
    """
    means = {m.field for h in headings for m in h.meanings}
    # Beside a quantity, a person or a place is whose and where, not what the list names.
    naming = _NAMES_PARTS if "quantity" in means else _NAMING
    if means & naming or not any(h.similarity for h in headings):
        return headings
    unknown = [
        at for at, heading in enumerate(headings)
        if not heading.similarity and suits("description", heading.content) > 0
    ]  # fmt: skip
    for at in unknown:
        if headings[at].text or len(unknown) == 1:
            return _with_guess(headings, at, HeadingMeaning("description", (), "", 0))
    return headings


def _asks_both(fields: set[str]) -> bool:
    """Tell whether a heading asks of a want whether it is met, or what was seen: "Found"."""
    return {"status"} <= fields <= {"status", "presence", "quantity"}


def _with_presence(
    headings: list[Heading], body: pl.DataFrame, *, of_vehicle: bool
) -> list[Heading]:
    """Return headings, the first unknown one over survey words read as what was seen.

    Only where the table names parts and a vehicle, and no heading says what was seen or held.
    """
    said = [{m.field for m in h.meanings} for h in headings]
    means = {name for own in said for name in ({"status"} if _asks_both(own) else own)}
    named = means & _NAMES_PARTS and (of_vehicle or "vehicle" in means)
    if not named or means & _NOT_OF_SURVEYS:
        return headings
    for at, heading in enumerate(headings):
        # "Found" asks of a want whether it is met, and of a vehicle what was seen.
        seen = _asks_both(said[at]) and body[heading.column].str.to_lowercase().is_in(_SEEN).any()
        if not heading.text or (heading.similarity and not seen) or heading.content is None:
            continue
        cells = body[heading.column]
        if holds_presence(cells) and cells.drop_nulls().str.contains(_WORD.pattern).any():
            return _with_guess(headings, at, HeadingMeaning("presence", (), "survey", 0))
    return headings


def _with_letters(
    headings: list[Heading], body: pl.DataFrame, around: Around, *, of_vehicle: bool
) -> list[Heading]:
    """Return headings, the one over letters that a key beside or below explains read as presence.

    Only where the table names parts and a vehicle, and no heading says what was seen or held.
    """
    said = [{m.field for m in h.meanings} for h in headings]
    means = {name for own in said for name in ({"status"} if _asks_both(own) else own)}
    named = means & _NAMES_PARTS and (of_vehicle or "vehicle" in means)
    if not named or means & (_NOT_OF_SURVEYS | {"condition"}):
        return headings
    rows = body.filter(pl.col("n") == 1)["first"].drop_nulls().head(_KEY_ROWS).to_list()
    key = {mark for text in (*around.beside, *rows) for mark in read_legend(text)}
    for at, heading in enumerate(headings if key else ()):
        letters = body[heading.column].drop_nulls()
        if not letters.is_empty() and letters.is_in(list(key)).sum() >= _GUESSED * letters.len():
            return _with_guess(headings, at, HeadingMeaning("presence", (), "survey", 0))
    return headings


def _with_guess(headings: list[Heading], at: int, meaning: HeadingMeaning) -> list[Heading]:
    """Return headings with a guessed meaning for one of them."""
    guessed = replace(headings[at], meanings=(meaning,), similarity=_GUESSED)
    return [*headings[:at], guessed, *headings[at + 1 :]]

"""What comments on cells say, read as a remark is; where they say otherwise, a person is asked."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.availability import read_availability
from partmuster.reading.conditions import read_condition
from partmuster.reading.gone import says_gone
from partmuster.reading.phrases import find_phrases, phrase_tokens
from partmuster.reading.presence import read_presence
from partmuster.reading.quantities import read_quantity
from partmuster.reading.sides import read_side

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .columns import Findings

#: A comment of a few words is about its cell; a longer one tells a story, and is a remark.
_FEW_WORDS = 4
_COUNTED = re.compile(r"\d|\b(?:one|two|three|four|five|six|both|all)\b", re.IGNORECASE)
_SIDE_ALONE = re.compile(
    r"\b(?:only|one|ones|just|this|is|the|side|hand)\b|[\s.,:;()-]", re.IGNORECASE
)


def read_comments(frame: pl.DataFrame) -> pl.DataFrame:
    """Return item lines with the side that a comment alone states ("LH only") as their side.

    Also the state of a survey's empty cell from its comment, hedged. To be called before sides and
    states are read: words there that disagree are asked about.
    """
    changes: list[tuple[int, dict[str, Any]]] = []
    for at, line, comment in _commented(frame):
        side = read_side(comment)
        if side.side and not line["side"] and not _SIDE_ALONE.sub("", side.rest):
            changes.append((at, {"side": comment}))
        unseen = line["kind"] == "survey" and not (line["presence"] or line["condition"])
        if unseen and _state(comment) is not None:
            changes.append((at, {"presence": comment, "sure": False}))
    return _changed(frame, changes)


def weigh_comments(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return item lines, quantity and condition read, with what comments add to them.

    "1 is u/s" gives how many do not work; "u/s" the service that nothing else tells, hedged. A
    comment that says otherwise than its row leaves the row as it is, but unsure, and needs a
    decision: a count above the quantity, another availability, service or state, or that it is
    sold.
    """
    changes: list[tuple[int, dict[str, Any]]] = []
    doubts: dict[int, str] = {}
    for at, line, comment in _commented(frame):
        found, doubt = _survey(line, comment) if line["kind"] == "survey" else _item(line, comment)
        if doubt:
            found["sure"] = False
            doubts[line["raw_number"]] = f"a comment says '{comment}', the row does not: {doubt}"
        changes.append((at, found))
    if doubts:
        asked = pl.DataFrame(
            {"raw_number": list(doubts), "reason": list(doubts.values())},
            schema={"raw_number": pl.Int64, "reason": pl.String},
        )
        findings.doubt(asked, pl.col("reason"))
    return _changed(frame, changes)


def _survey(line: dict[str, Any], comment: str) -> tuple[dict[str, Any], str | None]:
    told = _state(comment)
    seen = read_presence(line["presence"] or line["condition_text"] or "").presence
    return {}, None if told is None or seen is None or told == seen else "which is so?"


def _state(comment: str) -> str | None:
    """Return the presence that a comment states in words that all are known, or None."""
    told = read_presence(comment)
    tokens = phrase_tokens(comment)
    known = sum(f.end - f.start for f in find_phrases(tokens, "presence"))
    return told.presence if not told.problem and known == len(tokens) else None


def _item(  # noqa: PLR0911 - one return a thing that a comment may say
    line: dict[str, Any], comment: str
) -> tuple[dict[str, Any], str | None]:
    """Return what a comment adds to a line about a part, and what it gives reason to ask."""
    if says_gone(comment) and line["kind"] == "holding" and not (line["struck"] or line["_gone"]):
        return {}, "is it gone?"
    offer = read_availability(comment)
    own = read_availability(line["_availability_said"] or line["condition_text"] or "")
    known = {offer.availability, own.availability} - {"unknown"}
    if len(known) > 1:
        return {}, "which is so?"
    if line["quantity_text"] and _COUNTED.search(comment):
        counted = read_quantity(f"{line['quantity_text']} ({comment})")
        if counted.problem == "numbers-disagree":
            return {}, "how many are there?"
        if not counted.problem and counted.unserviceable and line["unserviceable"] is None:
            return {"unserviceable": counted.unserviceable}, None
    state = read_condition(comment)
    if state.problem or state.service == "unknown" or not _short(comment):
        return {}, None
    if line["service"] == "unknown":
        return {"service": state.service, "sure": False}, None
    return {}, None if line["service"] == state.service else "does it work?"


def _commented(frame: pl.DataFrame) -> Iterator[tuple[int, dict[str, Any], str]]:
    """Yield place, line and comment, for each comment of the lines that have one."""
    marked = frame.with_row_index("_at").filter(pl.col("comment").is_not_null())
    for line in marked.iter_rows(named=True):
        for comment in line["comment"].split("\n"):
            yield line["_at"], line, comment.strip()


def _short(comment: str) -> bool:
    return len(comment.split()) <= _FEW_WORDS


def _changed(frame: pl.DataFrame, changes: list[tuple[int, dict[str, Any]]]) -> pl.DataFrame:
    """Return the lines with some values changed, by place."""
    by_column: dict[str, dict[int, Any]] = {}
    for at, values in changes:
        for name, value in values.items():
            by_column.setdefault(name, {})[at] = value
    for name, changed in by_column.items():
        replaced = frame.get_column(name).scatter(list(changed), list(changed.values()))
        frame = frame.with_columns(replaced.alias(name))
    return frame

"""A column for each state, ticked: "Fitted | Missing | Stand-in", "Good | Fair | Missing"."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.features import read_seen
from partmuster.reading.presence import TICKED_TWICE, read_presence
from partmuster_trade.headings import fold_heading

from .headings import meanings_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .head import Head

#: What stands in such columns (common practice, no source).
_TICKS = frozenset({"x", "✓", "✔", "☑", "√", "y", "yes", "true", "*", "•", "●", "+", "/", "1", "v",
                    "tick", "ticked", "1.0"})  # fmt: skip
_NOT = frozenset({"n", "no", "false", "0", "-", "–", "☐", "○", "0.0"})
_CROSSES = frozenset({"✗", "✘", "❌"})
_CHECKS = frozenset({"✓", "✔", "☑", "√"})
_FIGURE = r"^\d{1,3}(\.0)?$"
#: States that are more often what is held or wanted of a part (common practice, no source).
_NO_STATES = frozenset(
    ["have", "got", "wanted", "needed", "required", "want", "need", "seen", "on", "check",
     "checked", "kept", "yes", "no", "none", "original", "used", "as", "in stock", "loose",
     "spare", "spares", "complete", "to check"]
)  # fmt: skip
_LONGEST = 24
_SEEN = frozenset({"fitted", "present", "there", "on vehicle", "in place"})


@lru_cache(maxsize=4096)
def names_state(text: str) -> bool:
    """Tell whether a heading is one state of a part and nothing else."""
    folded = fold_heading(text)
    if folded in _NO_STATES or len(text) > _LONGEST:
        return False
    known, alike = meanings_of(text)
    if alike == 1 and not any(one.field in {"presence", "condition"} for one in known):
        return False  # "No off", "Used on"
    reading = read_presence(text)
    return (
        reading.presence is not None and reading.problem is None and reading.quantity is None
        and not reading.rest
    )  # fmt: skip


@lru_cache(maxsize=4096)
def names_answer(text: str) -> bool:
    """Tell whether a heading is an answer whether a feature was there: "Yes", "Not looked at"."""
    read = read_seen(text)
    return not read.problem and not read.value and not read.rest and not read.hedged


def state_columns(named: Sequence[tuple[str, str]], body: pl.DataFrame) -> dict[str, str]:
    """Return heading by column of those that are states to be ticked or counted; none if under two.

    Nothing but ticks or figures stands below them, and something does.
    """
    answers = any(meanings_of(text)[0][:1] and meanings_of(text)[0][0].field == "feature"
                  for _, text in named)  # fmt: skip
    states = {name: text for name, text in named
              if (names_answer(text) if answers else names_state(text))}  # fmt: skip
    different = {fold_heading(text) for text in states.values()}
    if len(states) < 2 or len(different) < len(states):  # noqa: PLR2004 - one is a column of answers
        return {}
    cells = pl.concat([body[name].drop_nulls() for name in states]).unique()
    texts = {str(text).casefold() for text in cells.to_list()}
    allowed = _TICKS | _NOT | (_CROSSES if texts & _CHECKS else frozenset())
    figures = cells.str.contains(_FIGURE).all()
    return states if texts and (texts <= allowed or figures) else {}


def with_states_joined(
    table: pl.DataFrame, columns: Sequence[str], head: Head
) -> tuple[pl.DataFrame, list[str], Head]:
    """Return a table with one column in place of those that are ticked, and its head.

    Its cells are the headings that are ticked. Two ticks that agree ("fitted", "poor") are both
    said; others are marked as ticked twice. Below groups, each has its own.
    """
    if not head.texts or head.at is None:
        return table, list(columns), head
    body = table.slice(head.body)
    plain = dict(zip(columns, head.plain or head.texts, strict=True))
    groups: dict[str | None, list[tuple[str, str]]] = {}
    for name in columns:
        text = plain[name]
        if text:
            groups.setdefault(head.above.get(name), []).append((name, text))
    texts = dict(zip(columns, head.texts, strict=True))
    left = list(columns)
    for over, named in groups.items():
        states = state_columns(named, body)
        if not states:
            continue
        first, *others = states
        left = [name for name in left if name not in others]
        label = _label(states)
        plain[first], texts[first] = label, f"{over} {label}" if over else label
        joined = _joined(table, states, body)
        above = pl.int_range(pl.len()) < head.body
        table = table.with_columns(pl.when(above).then(first).otherwise(joined).alias(first))
    if len(left) == len(columns):
        return table, left, head
    new = replace(
        head, texts=tuple(texts[name] for name in left), plain=tuple(plain[name] for name in left),
        above={name: head.above.get(name) for name in left},
    )  # fmt: skip
    return table, left, new


def _label(states: Mapping[str, str]) -> str:
    """Return the heading of the joined column: what was seen, or in what condition it is."""
    if all(map(names_answer, states.values())) and not all(map(names_state, states.values())):
        return f"Seen ({' | '.join(states.values())})"
    readings = [read_presence(text).presence for text in states.values()]
    seen = set(readings) != {"fitted"} or any(fold_heading(t) in _SEEN for t in states.values())
    return f"{'As found' if seen else 'Condition'} ({' | '.join(states.values())})"


def _joined(table: pl.DataFrame, states: Mapping[str, str], body: pl.DataFrame) -> pl.Series:
    """Return the states that are ticked in each row, in words."""
    names = list(states)
    cells = pl.concat([body[name].drop_nulls() for name in names])
    counted = bool(cells.str.contains(r"^(?:[2-9]|\d{2,3})(?:\.0)?$").any())
    found: dict[tuple[str | None, ...], str | None] = {}
    said = []
    for row in table.select(names).iter_rows():
        if row not in found:
            found[row] = _state_of(row, list(states.values()), counted=counted)
        said.append(found[row])
    return pl.Series("joined", said, dtype=pl.String)


def _state_of(row: Sequence[str | None], states: Sequence[str], *, counted: bool) -> str | None:
    unticked = _NOT | _CROSSES
    ticked = [(cell, state) for cell, state in zip(row, states, strict=True)
              if cell and cell.casefold() not in unticked]  # fmt: skip
    if not ticked:
        return None
    if counted:
        return ", ".join(f"{cell.removesuffix('.0')} {state}" for cell, state in ticked)
    words = ", ".join(state for _, state in ticked)
    if len(ticked) > 1 and read_presence(words).problem:
        return TICKED_TWICE + "; ".join(state for _, state in ticked)
    return words

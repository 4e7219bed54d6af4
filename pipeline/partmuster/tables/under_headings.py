"""Yes and no in a column take their meaning from its heading: "For sale: yes", "Missing? Y"."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.availability import read_availability
from partmuster.reading.presence import read_presence
from partmuster_trade.headings import fold_heading

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_YES = ("y", "yes", "true", "✓", "✔", "☑", "√")
_NO = ("n", "no", "false")
#: "Y - $50": the price does not make it less of an offer.
_YES_AT_A_PRICE = r"(?i)^(?:(?:y|yes)\b[\s,:;(-]*(?:for |at )?)?[£$€] ?\d"
#: What words beside yes and no say under a heading that reads so.
_MORE = {"promised": "promised to", "for swap": "for swap:"}
_UNDECIDED = r"(?i)^(?:not?|maybe|perhaps|possibly|ask|depends|tbc|unsure|don'?t|never|\?)(?:\W|$)"
_NOBODY = frozenset(
    {"nobody", "no one", "noone", "none", "n a", "na", "not yet", "nobody yet", "tbc"}
)
_CROSSES = ("✗", "✘", "❌")
#: What yes and no say under a heading that reads so. No swap is not yet "kept".
_OFFERS = {"offered": ("offered", "not offered"), "swap": ("for swap", "?"),
           "kept": ("kept", "?"), "promised": ("promised", "?")}  # fmt: skip
_NONE = r"(?i)^(?:0+(?:\.0)?|nil|none)$"
_STATUSES = {
    **dict.fromkeys(("found", "found yet", "got one", "got", "closed", "done", "got it",
                     "got it yet", "got yet", "found it", "bought", "bought yet", "obtained",
                     "sorted", "sorted yet", "satisfied", "found or not", "got one yet"),
                    ("found", "still wanted")),
    **dict.fromkeys(("still wanted", "wanted", "still looking", "want", "wanted now"),
                    ("still wanted", "closed")),
}  # fmt: skip
_PRESENCES = {"fitted": ("fitted", "missing"), "missing": ("missing", "fitted")}


def meanings_under(heading: str, field: str) -> dict[str, str]:
    """Return the words that a bare yes or no, folded, stands for under a heading.

    An empty dict where the heading does not say what is asked: "Fitted or missing", "Status".
    """
    asked = heading.strip(" ?:.")
    pair: tuple[str, str] | None = None
    if field == "status":
        pair = _STATUSES.get(fold_heading(asked))
    elif field == "availability":
        reading = read_availability(asked)
        pair = ("surplus", "not surplus") if reading.surplus else _OFFERS.get(reading.availability)
    elif field == "presence":
        seen = read_presence(asked)
        pair = _PRESENCES.get(seen.presence or "") if seen.service == "unknown" else None
    if pair is None:
        return {}
    # A cross under "Missing" may mark what is missing, so it keeps its own meaning.
    no = _NO if pair == _PRESENCES["missing"] else (*_NO, *_CROSSES)
    return dict.fromkeys(_YES, pair[0]) | dict.fromkeys(no, pair[1])


def counted_presence(lines: pl.DataFrame, *, some: bool) -> pl.Expr:
    """Return what a survey says of each part: what is seen, else that none are counted.

    ``some``: its quantities count what was seen, so that others than none say that it is there.
    """
    said = [name for name in ("presence", "condition") if name in lines.columns]
    none = pl.when(pl.col("quantity").str.contains(_NONE)).then(pl.lit("none"))
    counted = none.otherwise(pl.col("quantity").replace({"1": "one"})) if some else none
    silent = pl.all_horizontal(pl.col(name).is_null() for name in said) if said else True
    seen = pl.col("presence") if "presence" in lines.columns else pl.lit(None, pl.String)
    return pl.when(silent).then(counted).otherwise(seen)


#: Headings that ask whether a part is any good, with what yes and no say (common practice).
_CONDITIONS = {
    **dict.fromkeys(("serviceable", "works", "working", "usable", "useable", "does it work", "runs",
                     "goes", "working order", "in working order"), ("working", "not working")),
    **dict.fromkeys(("any good", "is it good", "is it any good", "good", "ok"),
                    ("good", "no good")),
    **dict.fromkeys(("u s", "unserviceable", "broken", "scrap", "knackered"), ("u/s", "working")),
}  # fmt: skip


def _with_conditions(
    rows: pl.DataFrame, chosen: Sequence[tuple[str, str]], headings: Mapping[str, str]
) -> pl.DataFrame:
    """Return rows, a bare yes or no under "Any good?" or "Works" in the words it stands for."""
    for column, field in chosen:
        asked = fold_heading(headings.get(column, ""))
        pair = _CONDITIONS.get(asked) if field == "condition" else None
        if pair is None:
            continue
        meanings = dict.fromkeys(_YES, pair[0]) | dict.fromkeys((*_NO, *_CROSSES), pair[1])
        answer = pl.col(column).str.to_lowercase().replace_strict(meanings, default=None)
        rows = rows.with_columns(pl.coalesce(answer, column).alias(column))
    return rows


def _held_for(cells: pl.Series, says: str) -> pl.Expr:
    """Return what names under "Reserved for" say, promised to whom, or things under "Swap"."""
    names = {
        cell: f"{says} {cell}" for cell in cells.drop_nulls().unique().to_list()
        if read_availability(cell).problem and any(char.isalpha() for char in cell)
        and fold_heading(cell) not in _NOBODY and not re.search(_UNDECIDED, cell)
    }  # fmt: skip
    return pl.col(cells.name).replace_strict(names, default=None, return_dtype=pl.String)


#: What bare answers are about, by kind of line.
ANSWERED = {"holding": "availability", "want": "status"}


def _with_more(cells: pl.Expr, yes: str, no: str) -> pl.Expr:
    """Return what an answer with more beside it says, or a bare day, count or side: "Yes - Ivo"."""
    answered = r"(?i)^(yes|y|no|n)(?:\s*[,;:(]\s*|\s+-+\s+)(.+?)\)?$"
    more = cells.str.extract(answered, 2)
    says_yes = cells.str.extract(answered, 1).str.to_lowercase().str.starts_with("y")
    told = pl.concat_str(pl.when(says_yes).then(pl.lit(yes)).otherwise(pl.lit(no)), more,
                         separator=", ")  # fmt: skip
    bare = cells.str.contains(
        r"(?i)^(?:\d{1,4}[-./ ](?:\d{1,2}|[a-z]{3,9})(?:[-./ ]\d{2,4})?|[a-z]{3,9} (?:19|20)\d\d|"
        r"(?:19|20)\d\d|\d{1,2}|(?:lh|rh|left|right|n/s|o/s)(?: (?:only|one))?)$"
    )
    found = pl.when(bare & pl.lit(yes == "found")).then(pl.concat_str(pl.lit("found "), cells))
    return pl.coalesce(told, found)


def with_answers(
    rows: pl.DataFrame, kind: str, chosen: Sequence[tuple[str, str]],
    remarks: Sequence[tuple[str, str]], headings: Mapping[str, str],
) -> tuple[pl.DataFrame, list[tuple[str, str]]]:  # fmt: skip
    """Return rows with each bare yes or no to what its kind is asked in its heading's words.

    Also the remarks with the labels they still need.
    ``chosen``: (column, field); ``remarks``: (column, label) of the columns left over, where
    "Swap? no" must not be read as an offer to swap; ``headings``: by column.
    """
    labels = dict(remarks)
    asked = ANSWERED[kind]
    rows = _with_conditions(rows, chosen, headings) if kind == "holding" else rows
    for column in (*(column for column, field in chosen if field == asked), *labels):
        meanings = meanings_under(headings.get(column, ""), asked)
        if not meanings:
            continue
        answer = pl.col(column).str.to_lowercase().replace_strict(meanings, default=None)
        if asked == "availability":
            yes = pl.when(pl.col(column).str.contains(_YES_AT_A_PRICE)).then(pl.lit(meanings["y"]))
            answer = pl.coalesce(answer, pl.concat_str(yes, column, separator=": "))
            if meanings["y"] in _MORE and column not in labels:
                answer = pl.coalesce(answer, _held_for(rows[column], _MORE[meanings["y"]]))
        if asked == "status":
            answer = pl.coalesce(answer, _with_more(pl.col(column), meanings["y"], meanings["n"]))
        otherwise = pl.col(column)
        if labels.get(column):
            # "For sale: ask Bert" offers nothing; "Reserved for: Kit" and "Swap: a horn" say it.
            says = asked != "availability" or meanings["y"] in _MORE
            label = pl.when(pl.lit(says) & ~pl.col(column).str.contains(_UNDECIDED)).then(
                pl.lit(f"{labels[column]}: ")
            )
            otherwise = pl.concat_str(label.otherwise(pl.lit("")), otherwise)
            labels[column] = ""
        rows = rows.with_columns(pl.coalesce(answer, otherwise).alias(column))
    return rows, list(labels.items())

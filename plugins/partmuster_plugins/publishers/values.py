"""Values in words, as people read them in every form: days, shares, numbers, ids, texts."""

from __future__ import annotations

import datetime as dt
import math
import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from partmuster.plugin_api import SectionColumn

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip

#: Ids of one row that people read; with the first few all others can be found.
_MOST_IDS = 3
#: Less than this is left over from reckoning.
_NOTHING = 1e-9
_UNFIT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]")
_LINE_END = re.compile("\r\n?|[\x85\u2028\u2029]")


def clean(text: object) -> str:
    """Return text that every form can carry: line ends alike, controls as a mark."""
    plain = _LINE_END.sub("\n", str(text)).replace("\t", " ")
    return _UNFIT.sub("\ufffd", plain)


def pieces(text: str) -> list[tuple[str, bool]]:
    """Return a sentence in pieces, with whether each stands in backticks, as a command does."""
    parts = text.split("`")
    if len(parts) % 2 == 0:
        return [(text, False)]
    return [(part, n % 2 == 1) for n, part in enumerate(parts) if part]


def long_day(day: dt.date) -> str:
    """Return a day with its month in full, the same in every locale."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def shown(value: Any, kind: str) -> str:
    """Return a value of a column of that kind in words; empty where nothing is said."""
    if value is None:
        return ""
    if kind == "ids":
        return _ids(clean(value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dt.date):
        return f"{value.day} {MONTHS[value.month - 1][:3]} {value.year}"
    if kind in ("number", "share") and isinstance(value, (int, float)):
        return _share(value) if kind == "share" else number(value)
    return clean(value)


def shown_in(column: SectionColumn, value: Any) -> str:
    """Return a value of a column in words."""
    return shown(value, column.kind)


def number(value: float) -> str:
    """Return a number without needless decimals."""
    if not math.isfinite(value):
        return "not a number"
    if abs(value) < _NOTHING:
        return "0"
    text = f"{value:,.3f}".rstrip("0").rstrip(".")
    if text in ("0", "-0"):
        text = f"{value:.2g}"
    return text.replace("-", "−", 1) if value < 0 else text


def _share(value: float) -> str:
    """In percent; what is nearly all or hardly anything is not said to be all or nothing."""
    if not math.isfinite(value):
        return "not a number"
    percent = round(value * 100)
    if percent == 100 and value < 1:  # noqa: PLR2004 - a whole
        return "over 99 %"
    if percent == 0 and value > 0:
        return "under 1 %"
    return f"{number(percent)} %"


def ids_apart(words: str) -> list[str]:
    """Return ids as ``shown`` gives them one by one, each with what stands after it."""
    return [f"{one};" for one in words.split("; ")[:-1]] + words.split("; ")[-1:]


def _ids(text: str) -> str:
    ids = [one.strip() for one in text.split(";") if one.strip()]
    more = [f"and {len(ids) - _MOST_IDS:,} more"] if len(ids) > _MOST_IDS else []
    return "; ".join([*ids[:_MOST_IDS], *more])

# ruff: noqa: PLR2004 - shares of cells read best where they stand
"""What a column holds, told by its cells, and how well that suits a field."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    import polars as pl

_SAMPLE = 240
_NUMBER = re.compile(r"^[£$€]?\s*-?\d[\d,]*(\.\d+)?$")
_WHOLE = re.compile(r"^\d{1,6}(\.0)?$")
_QUANTITY = re.compile(
    r"^(x ?)?(\d{1,4}(\.\d+)?|[½¼¾])\b|^(a |an )?(one|two|three|four|five|six|several|few|couple|"
    r"pair|pr|set|dozen|doz|lots|loads|many|some|both|all|none|nil|various|box|bag)\b|"
    r"^(\?|a/?r|ref|rf|v|np|as re\w+)$|^(c\.?|approx\.?|about|~) ?\d",
    re.IGNORECASE,
)
_CODE = re.compile(
    r"^(?=.*\d)[A-Z0-9][A-Z0-9./\-]{2,24}$|^[A-Z]{1,4} ?\d{2,}[A-Z0-9./ \-]*$", re.IGNORECASE
)
_STOCK = re.compile(r"^\d{4}[- ]?(\d{2}[- ]?)?[\dA-Z]{3}[- ]?[\dA-Z]{4}$", re.IGNORECASE)
_DATE = re.compile(
    r"^\d{4}-\d{1,2}(-\d{1,2})?\b|^\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b|"
    r"^(\d{1,2}(st|nd|rd|th)? )?(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)\w*[ -]*\d{2,4}$|"
    r"^\d{1,2}[ -](jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)|^(19|20)\d\d$",
    re.IGNORECASE,
)
_BUILD = re.compile(
    r"\b(mk|mark)\.? ?(\d|[ivx]+\b)|\b(early|late|mid)\b|^all\b|\bnos?\.? \d", re.IGNORECASE
)
_GRADE = re.compile(
    r"\b(as[ -]is|direct|one[ -]way|with work|only as|as a set|never|no\b|yes|unknown|"
    r"interchangeable|bolts? (straight )?on)", re.IGNORECASE,
)  # fmt: skip
_STAGE = re.compile(
    r"^(offered|agreed|collected|fitted|withdrawn|lapsed|broken|promised|accepted|delivered|"
    r"handed over|cancell?ed|expired|not kept|shaken|shook|deal|deposit|awaiting|fell through|"
    r"fallen through|called off|backed out|pulled out|picked up)\b", re.IGNORECASE,
)  # fmt: skip
_WORDY = re.compile(r"[^\W\d_]{3,}")

_ANSWER = re.compile(
    r"^(y|yes|n|no|x|\u2713|\u2714|true|false|yes please|no thanks|-+)$", re.IGNORECASE
)


@dataclass(frozen=True, slots=True)
class Content:
    """Shares (0 to 1) of a column's filled cells, in a sample, that look like something.

    ``filled`` is the share of rows with a cell; ``rising`` tells a count 1, 2, 3 ... of rows;
    ``length`` is the mean number of characters; ``examples`` are a few cells as they stand.
    """

    filled: float
    number: float
    whole: float
    quantity: float
    code: float
    stock: float
    date: float
    build: float
    grade: float
    stage: float
    wordy: float
    answers: float
    digits: float
    rising: bool
    length: float
    examples: tuple[str, ...]


def content_of(cells: pl.Series) -> Content | None:
    """Return what a column holds, from a sample over its whole length; None where empty."""
    filled = cells.drop_nulls()
    if filled.is_empty():
        return None
    every = max(1, filled.len() // _SAMPLE)
    sample: list[str] = filled.gather_every(every).head(_SAMPLE).to_list()

    def share(pattern: re.Pattern[str]) -> float:
        return sum(bool(pattern.search(text)) for text in sample) / len(sample)

    whole = share(_WHOLE)
    return Content(
        filled=filled.len() / cells.len(), number=share(_NUMBER), whole=whole,
        quantity=share(_QUANTITY), code=share(_CODE), stock=share(_STOCK), date=share(_DATE),
        build=share(_BUILD), grade=share(_GRADE), stage=share(_STAGE), wordy=share(_WORDY),
        answers=share(_ANSWER),
        digits=share(re.compile(r"\d")), rising=_rises(filled.head(_SAMPLE).to_list()),
        length=sum(map(len, sample)) / len(sample), examples=tuple(sample[:3]),
    )  # fmt: skip


def suits(field: str, content: Content | None) -> float:
    """Return how well a column's cells suit a field: -1 (they contradict it) to 0.5."""
    if content is None:
        return 0.0
    c = content
    rules: dict[str, tuple[bool, bool]] = {
        # field: (the cells speak for it, the cells contradict it)
        "description": (c.wordy >= 0.5 and c.code < 0.5, c.wordy < 0.2 or c.answers > 0.5),
        "to_description": (c.wordy >= 0.5 and c.build < 0.5, c.build > 0.5 or c.wordy < 0.2),
        "quantity": (c.quantity >= 0.5 and not c.rising, c.quantity < 0.2 or c.date > 0.5),
        "part_number": (c.code >= 0.5 and not c.rising and c.length > 3,
                        c.code < 0.2 or c.rising or c.length > 30),
        "item_number": (
            c.rising or (c.digits > 0.5 and c.whole < 0.5), c.wordy > 0.5 or c.length > 9,
        ),
        "stock_number": (c.stock >= 0.5, c.digits < 0.2),
        "supply_class": (c.whole >= 0.8, c.wordy > 0.5),
        "date": (c.date >= 0.3, c.digits < 0.2),
        "happened_on": (c.date >= 0.3, c.digits < 0.2),
        "since": (c.date >= 0.3, c.digits < 0.2),
        "build": (c.build >= 0.5, c.build < 0.2),
        "to_build": (c.build >= 0.5, c.build < 0.2),
        "effectivity": (c.build >= 0.3, c.grade > 0.7 and c.build < 0.3),
        "family": (c.wordy >= 0.5 and c.build < 0.3, c.build > 0.7 or c.wordy < 0.2),
        "fit_grade": (c.grade >= 0.5, c.grade < 0.2 and c.build >= 0.2),
        "stage": (c.stage >= 0.5, c.stage < 0.5),
        "latitude": (c.number >= 0.5, c.number < 0.2),
        "longitude": (c.number >= 0.5, c.number < 0.2),
        "first_serial": (c.digits >= 0.5, c.digits < 0.2),
        "last_serial": (c.digits >= 0.5, c.digits < 0.2),
        "presence": (c.length < 20, c.build > 0.5 or c.length > 60),
        "price": (c.digits >= 0.5, False),
        "holder": (c.wordy >= 0.5, c.number > 0.8),
        "vehicle": (c.wordy >= 0.5, c.date > 0.8),
        "place": (c.wordy >= 0.3, False),
    }  # fmt: skip
    speaks_for, contradicts = rules.get(field, (False, False))
    if contradicts:
        return -1.0
    return 0.4 if speaks_for else 0.0


def _rises(cells: list[str]) -> bool:
    """Tell whether whole numbers rise by the same step nearly all the way, as a count of rows."""
    if len(cells) < 3 or not all(_WHOLE.match(text) for text in cells):
        return False
    numbers = [int(float(text)) for text in cells]
    steps = Counter(later - earlier for earlier, later in pairwise(numbers))
    step, times = steps.most_common(1)[0]
    return step > 0 and times >= 0.8 * (len(numbers) - 1)


def fields_by_content(contents: Sequence[tuple[str, Content | None]]) -> dict[str, str]:
    """Return field by column for columns without headings, as far as their cells are clear.

    The wordiest column describes the part; small numbers that do not rise with the rows are the
    quantity; numbers of digits and letters are part or stock numbers.
    """
    known = [(name, content) for name, content in contents if content is not None]
    found: dict[str, str] = {}
    wordy = [(c.wordy * c.length, name) for name, c in known
             if c.wordy >= 0.6 and c.code < 0.5 and c.date < 0.5]  # fmt: skip
    if wordy:
        found[max(wordy)[1]] = "description"
    for name, c in known:
        if name in found or c.filled < 0.3:
            continue
        if c.stock >= 0.6:
            field = "stock_number"
        elif c.rising:
            field = "item_number"
        elif c.quantity >= 0.8 and c.length <= 8 and c.date < 0.5 and c.code < 0.5:
            field = "quantity"
        elif c.date >= 0.6 and c.length > 4:
            field = "date"
        elif c.code >= 0.6 and c.length > 3:
            field = "part_number"
        else:
            continue
        if field not in found.values():
            found[name] = field
    return found

"""Months: which one is meant, its last day, and the month before."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from partmuster.model import PartmusterError

_MONTH = re.compile(r"(\d{4})-(\d{1,2})")
_DECEMBER = 12


@dataclass(frozen=True, slots=True, order=True)
class Month:
    """A month of a year. ``str`` writes it as 2026-10."""

    year: int
    month: int

    def __str__(self) -> str:
        return f"{self.year:04}-{self.month:02}"

    @property
    def last_day(self) -> dt.date:
        """The day at whose end the month's figures are taken."""
        after = self.after
        return dt.date(after.year, after.month, 1) - dt.timedelta(days=1)

    @property
    def before(self) -> Month:
        """The month before."""
        return Month(self.year, self.month - 1) if self.month > 1 else Month(self.year - 1, 12)

    @property
    def after(self) -> Month:
        """The month after."""
        if self.month < _DECEMBER:
            return Month(self.year, self.month + 1)
        return Month(self.year + 1, 1)

    @property
    def words(self) -> str:
        """The month as people write it: October 2026."""
        return f"{_NAMES[self.month - 1]} {self.year}"


_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip


def read_month(text: str) -> Month:
    """Return the month that 2026-10 says.

    Raises:
        PartmusterError: it is no month.
    """
    found = _MONTH.fullmatch(text.strip())
    if found is None or not 1 <= int(found[2]) <= _DECEMBER or int(found[1]) < 1:
        raise PartmusterError(f"'{text}' is no month: write it as 2026-10")
    return Month(int(found[1]), int(found[2]))


def last_full_month(today: dt.date) -> Month:
    """Return the month that ended last."""
    return Month(today.year, today.month).before


def day_words(day: dt.date) -> str:
    """Return a day as people write it: 31 October 2026."""
    return f"{day.day} {_NAMES[day.month - 1]} {day.year}"


def year_before(day: dt.date) -> dt.date:
    """Return the same day a year before; of 29 February the 28th."""
    try:
        return day.replace(year=day.year - 1)
    except ValueError:
        return day.replace(year=day.year - 1, day=28)

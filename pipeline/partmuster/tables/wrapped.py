"""Lines of a parts list that wrap: which row goes on from the one above."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Literal

import polars as pl

from partmuster.reading.builds_in_remarks import says_builds
from partmuster.reading.gone import title_says_gone

from .assemblies import read_section
from .kind_words import section_kind

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

#: What leaves a line unfinished (common practice, no source).
_UNFINISHED = re.compile(
    r"[,;&/(+-]$|\b(?:and|or|of|for|with|w/|to|from|the|incl|including)$",
    re.IGNORECASE,
)
#: How a line begins that goes on from another; a capital alone tells nothing.
_CARRIED_ON = re.compile(r"^[a-z,;)&/+]|^(?:AND|OR|OF|FOR|WITH|W/|TO|FROM|INCL|INCLUDING)\b")
#: Part numbers that lack their end ("OT1010-"), and what may be one: "204", "-204", "/3".
UNFINISHED_NUMBER = r"\w\s?[-/]$"
_NUMBERS_END = re.compile(r"[-/.]?[A-Z]{0,3}\d[\w./-]{0,11}|[-/.][A-Z]", re.IGNORECASE)
_BRACKETED = re.compile(r"^\(.*\)?$")
_KEPT_HYPHEN = re.compile(r"^(?:hand|side|head|type|\d)", re.IGNORECASE)


def joined_cells(above: str | None, below: str) -> str:
    """Return two lines of a cell as one: "-" at the end of a line joins words."""
    if not above:
        return below
    if above.endswith("-") and above[-2:-1].isalnum():
        kept = _KEPT_HYPHEN.match(below) is not None
        return f"{above if kept else above[:-1]}{below}"
    return f"{above} {below}"


class Wrapping:
    """Joins rows of a body to those above; ``at`` are places in it."""

    def __init__(
        self, body: pl.DataFrame, describing: str | None, wraps: Collection[str],
        numbers: Collection[str] = (),
    ) -> None:  # fmt: skip
        self.body, self.describing, self.wraps = body, describing, wraps
        self.numbers = numbers
        self.joins: dict[int, int] = {}
        self.changed: dict[str, dict[int, str]] = {}
        self.indented = set(body.filter(pl.col("indent") > 0)["at"].to_list())
        texts = body.filter(pl.col("n") > 1)[describing].drop_nulls() if describing else None
        upper = 0.0 if texts is None or not texts.len() else (
            (texts == texts.str.to_uppercase()).mean())  # fmt: skip
        self.capitals = float(str(upper or 0.0)) > 0.6  # noqa: PLR2004 - as rows.py has it

    def base(self, at: int, reasons: Mapping[int, str]) -> int | None:
        """Return the line in the row above, or the one that row goes on from; None if neither."""
        above = at - 1
        if above < 0 or int(self.body["row"][at]) - int(self.body["row"][above]) > 1:
            return None
        if above in self.joins:
            return self.joins[above]
        if above in reasons or self.body["again"][above]:
            return None
        others = [name for name in self._columns() if name not in self.wraps]
        return above if any(self.body[name][above] is not None for name in others) else None

    def _columns(self) -> list[str]:
        return [name for name in self.body.columns if name.isdigit()]

    def goes_on(  # noqa: PLR0911 - one return a way to tell
        self, row: Mapping[str, object], base: int | None, text: str, *, note: bool
    ) -> Literal["yes", "no", "perhaps"]:
        """Tell whether a row goes on from the line above."""
        filled = [name for name in self._columns() if row[name] is not None]
        if base is not None and (found := self.number_goes_on(row, base, filled)):
            return found
        if base is None or not filled or not set(filled) <= set(self.wraps):
            return "no"
        section = read_section(text)
        if section.numbered or text.rstrip().endswith(":"):
            return "no"
        named = section.named or says_builds(text) or section_kind(text) is not None
        named = named or title_says_gone(text) is not None
        title = named or note or self._shouts(text)
        if self.describing not in filled:
            likely = all(self._cell(base, name) for name in filled)
        else:
            own = str(row[str(self.describing)])
            likely = not note and bool(_BRACKETED.match(own) or _CARRIED_ON.match(own))
            if self._unfinished(base):
                return "yes"
        if likely:
            return "perhaps" if named else "yes"
        # "LEFT HAND" right below a part may be that part's own.
        if (section.side or section.position) and not section.assembly:
            return "perhaps"
        return "no" if title else "perhaps"

    def number_goes_on(
        self, row: Mapping[str, object], base: int | None, filled: Collection[str]
    ) -> Literal["yes", "perhaps"] | None:
        """Tell whether a row has the end of the number above; None where it has no such end.

        The number above lacks its end, or this one its beginning; otherwise only a person can tell
        it from a number of its own.
        """
        numbers = [name for name in filled if name in self.numbers]
        ends = [str(row[name]) for name in numbers]
        rest = {*filled} - {*numbers}
        if not numbers or not rest <= {*self.wraps} or not all(map(_NUMBERS_END.fullmatch, ends)):
            return None
        if base is None:
            return "perhaps"
        begun = [self._cell(base, name) or "" for name in numbers]
        if all(one and (one[-1] in "-/" or end[0] in "-/")
               for one, end in zip(begun, ends, strict=True)):  # fmt: skip
            return "yes"
        return "perhaps" if not rest and all(begun) else None

    def _unfinished(self, at: int) -> bool:
        """Tell whether a line's description ends as if more should follow."""
        above = self._cell(at, str(self.describing)) or ""
        return _UNFINISHED.search(above) is not None or above.count("(") > above.count(")")

    def _shouts(self, text: str) -> bool:
        return text.isupper() and not self.capitals

    def _cell(self, at: int, name: str) -> str | None:
        changed = self.changed.get(name, {})
        value: str | None = changed[at] if at in changed else self.body[name][at]
        return value

    def set(self, at: int, name: str, text: str) -> None:
        """Put other words into a cell."""
        self.changed.setdefault(name, {})[at] = text

    def join(self, at: int, base: int) -> None:
        """Join a row to a line."""
        self.joins[at] = base
        for name in self.wraps:
            below = self.body[name][at]
            if below is not None:
                self.set(base, name, joined_cells(self._cell(base, name), below))
        for name in self.numbers:
            if (below := self.body[name][at]) is not None:
                self.set(base, name, f"{(self._cell(base, name) or '').rstrip()}{below}")
        self.set(base, "words", f"{self._cell(base, 'words')} {self.body['words'][at]}")

    def joined(self, body: pl.DataFrame) -> pl.DataFrame:
        """Return the rows with the lines joined."""
        for name, cells in self.changed.items():
            column = body[name].to_list()
            for at, text in cells.items():
                column[at] = text
            body = body.with_columns(pl.Series(name, column, dtype=pl.String))
        return body

"""Columns of a parts list that say for which serials a part is: "From | To", "Chassis nos".

What they say is put into the words of a column for builds: "chassis no 1001 to 1450".
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import HeadingMeaning, fold_heading
from partmuster_trade.words import load_words

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .headings import Heading, Taken

#: Words of headings, folded (common practice, no source).
_SERIAL = r"(?:serials?|sers?|s ?ns?)(?: s)?"
_NUMBER = r"(?:nos?|numbers?|nrs?|ranges?|blocks?)"
_VEHICLE = r"(?:vehicles?|vehs?)(?: s)?"
_FIRST = (
    r"(?:from|first|start(?:s|ing)?|begin(?:s|ning)?|introduced|intro|cut in|lowest|earliest"
    r"|commenc(?:es|ing))"
)
_LAST = (
    r"(?:up to|upto|to|last|until|till|thru|through|end(?:s|ing)?|finish(?:es)?|discontinued|disc"
    r"|withdrawn|deleted|cut out|highest|latest)"
)
_BUILD = r"(?:mks?|marks?)"
_BESIDE = (
    r"(?:eff|effective|effectivity|used|usable|applies|applicable|valid|affected|incl|inclusive"
    r"|and|at|on|with|for|of|the)"
)
_LONGEST = 40
#: Cells that tell no end: "on", "& subsequent", "to date", "-".
_OPEN_LAST = re.compile(
    r"(?:(?:&|and|all|to)\s*)*(?:on|onwards?|up(?:wards?)?|subs?(?:eq\w*|q)?\.?|later|after|end|"
    r"last|finish|current|present|now|date|open|above|over|latest)|[-–—+.…]+",
    re.IGNORECASE,
)
_OPEN_FIRST = re.compile(
    r"(?:the\s*)?(?:start|begin\w*|first|earliest|introduction|before|up ?to)|[-–—.…]+",
    re.IGNORECASE,
)
_ALL = re.compile(r"(?i)all|any|all serials")
_ANNOUNCED = re.compile(
    r"^(?:(?:serials?|sers?|s/?ns?|nos?)\b\.?\s*)+:?\s*(?=[a-z]{0,3}-?\d)", re.IGNORECASE
)
_MARK = re.compile(r"(?i)(?:mk|mark)\b\.? ?\w{1,4}")
_OF_A_SERIAL = re.compile(r"(?i)^(?:[a-z]{1,3}[ -]?)?\d{1,9}\b|^(?:mk|mark|s/?n)\b")
_YEAR = re.compile(r"(?:19|20)\d\d")
#: More than one serial in a cell: "1-1250", "1251 on", "5, 7", "up to 1250".
_RUNS = (
    r"(?i)\d\s*(?:-|–|—|,|&|\+|/|to\b|thru\b|through\b|and\b|on\b|up\b|onwards?\b|subs?\w*)"
    r"|^(?:from|up to|to|until|before|after)\b.*\d"
)
_MOSTLY = 0.5
#: Fields of columns that say builds too, and are read together with serials.
_BUILD_FIELDS = frozenset({"effectivity", "build", "mark", "phase"})
#: With one of these a table lists parts, vehicles or people.
_NAMING = frozenset({"description", "part_number", "stock_number", "vehicle", "holder", "feature",
                     "quantity"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Named:
    """What a heading says: ``end`` (first, last; None: all in one), and of which series.

    ``plain``: it names neither serials nor a series, as "From" does.
    """

    end: str | None
    series: str
    plain: bool
    is_serial: bool


@dataclass(frozen=True, slots=True)
class Serials:
    """One or two columns that say serials of a series; ``last`` alone, or none beside ``first``."""

    series: str
    plain: bool
    first: str | None = None
    last: str | None = None
    runs: str | None = None

    @property
    def columns(self) -> tuple[str, ...]:
        """The columns there are."""
        return tuple(filter(None, (self.first, self.last, self.runs)))

    def words(self, first: str | None, last: str | None) -> str | None:
        """Return what the cells of a row say, None where they are empty."""
        if self.runs is not None:
            return None if first is None else self._run(first)
        start, end = (_bare(cell) for cell in (first, last))
        if start is None and end is None:
            return None
        if start and (_ALL.fullmatch(start) or re.search(_RUNS, start)) and end is None:
            return self._run(start)
        start = None if start and _OPEN_FIRST.fullmatch(start) else start
        end = None if end and _OPEN_LAST.fullmatch(end) else end
        if start is None and end is None:
            return "all"
        told = [cell for cell in (start, end) if cell is not None]
        series = self.series
        if series == "Mk":
            start, end = (cell and re.sub(r"^(?=\w{1,3}$)", "Mk ", cell) for cell in (start, end))
        if series == "Mk" or (self.plain and all(_MARK.fullmatch(cell) for cell in told)):
            series = ""
        elif self.plain and all(_YEAR.fullmatch(cell) for cell in told):
            series = "years or serials"  # a person must say which
        run = f"{start} to {end}" if start and end else f"{start} on" if start else f"up to {end}"
        return f"{series} {run}".strip()

    def _run(self, cell: str) -> str:
        said = _bare(cell) or cell
        if _ALL.fullmatch(said) or _MARK.match(said):
            return said
        return f"{'' if self.series == 'Mk' else self.series} {said}".strip()


def _bare(cell: str | None) -> str | None:
    """Return a cell without "SN" before its number and without what a sheet makes of figures."""
    if cell is None:
        return None
    text = re.sub(r"(?<=\d)\.0$", "", _ANNOUNCED.sub("", cell.strip()))
    return re.sub(r"(?<=\d),(?=\d{3}\b)(?!.*,\s)", "", text) or None


@lru_cache(maxsize=1)
def _series() -> str:
    words = sorted((row.words for row in load_words("assembly")), key=len, reverse=True)
    return "(?:" + "|".join(re.escape(fold_heading(one)) for one in words) + ")"


@lru_cache(maxsize=16_384)
def _named(text: str) -> _Named | None:
    """Return what a heading says of serials, or None where it says other things."""
    if len(text) > _LONGEST:
        return None
    rest = f" {fold_heading(text)} "
    found: dict[str, str] = {}
    patterns = {
        "first": _FIRST, "last": _LAST, "mark": _BUILD, "vehicle": _VEHICLE,
        "series": _series(), "serial": _SERIAL, "number": _NUMBER, "beside": _BESIDE,
    }  # fmt: skip
    for name, pattern in patterns.items():
        if match := re.search(rf"(?<= ){pattern}(?= )", rest):
            found[name] = match[0]
            rest = re.sub(rf"(?<= ){pattern}(?= )", "", rest) if name == "beside" else (
                rest[: match.start()] + rest[match.end() :]
            )  # fmt: skip
    whose = [name for name in ("mark", "vehicle", "series") if name in found]
    if rest.strip() or len(whose) > 1 or {"first", "last"} <= found.keys():
        return None
    end = next((name for name in ("first", "last") if name in found), None)
    serial = "serial" in found or "number" in found
    if end is None and not (("serial" in found) or ("series" in found) or whose == ["vehicle"]):
        return None
    if end is None and whose == ["vehicle"] and not serial:
        return None
    said = {"mark": "Mk", "vehicle": "vehicle nos", "series": f"{found.get('series')} no"}
    series = said[whose[0]] if whose else "SN"
    return _Named(end, series, not whose and not serial, serial)


def joins_end(over: str | None, text: str | None) -> bool:
    """Tell whether "From" below or beside words goes with them: "Engine nos" over "From | To"."""
    if not over or not text:
        return False
    own, joined = _named(text), _named(f"{over} {text}")
    return own is not None and own.end is not None and joined is not None


def under_serials(own: Sequence[str | None], above: Sequence[str | None]) -> list[str | None]:
    """Return headings, "From" and "To" with the word for serials that stands above them."""
    found: list[str | None] = []
    over: str | None = None
    for text, higher in zip(own, above, strict=True):
        over = higher or over
        joins = joins_end(over, text)
        found.append(f"{over} {text}" if joins else text)
        over = over if joins or higher else None
    return found


def with_ends(headings: Sequence[Heading]) -> list[Heading]:
    """Return headings with what those of serials mean in a parts list: an end, or row numbers."""
    return [_with_meaning(heading, _field_of(heading)) for heading in headings]


def _field_of(heading: Heading) -> str | None:
    named, cells = _named(heading.text) if heading.text else None, heading.content
    if named is None or cells is None or heading.similarity > 1:  # told by a person
        return None
    if named.end is not None:
        return f"{named.end}_serial" if _may_be_ends(named, heading) else None
    return "item_number" if named.series == "SN" and cells.rising else None


def _with_meaning(heading: Heading, name: str | None) -> Heading:
    if name is None:
        return heading
    meaning = HeadingMeaning(name, ("requirement",), "", 0)
    return replace(heading, meanings=(meaning, *heading.meanings), similarity=1.0)


def _may_be_ends(named: _Named, heading: Heading) -> bool:
    cells = heading.content
    if cells is None:
        return False
    return not named.plain or any(_OF_A_SERIAL.match(text) for text in cells.examples)


def with_runs_of_builds(headings: list[Heading], body: pl.DataFrame) -> list[Heading]:
    """Return headings, those over runs of serials beside builds alone read as builds' serials.

    "Mark | Hull nos" with "1001-1250" below it registers no vehicles.
    """
    first = {h.meanings[0].field for h in headings if h.meanings}
    if first & _NAMING or not first & (_BUILD_FIELDS | {"to_build"}):
        return headings
    return [
        replace(heading, meanings=(HeadingMeaning("effectivity", ("build",), "build", 0),),
                similarity=1.0)
        if (named := _named(heading.text) if heading.text else None) is not None
        and named.end is None and _says_runs(named, body[heading.column])
        and bool(body[heading.column].str.contains(_RUNS).any()) else heading
        for heading in headings
    ]  # fmt: skip


def serial_columns(
    headings: Sequence[Heading], fields: Mapping[str, Taken], body: pl.DataFrame
) -> tuple[Serials, ...]:
    """Return the columns of serials of a parts list, first and last of a series together."""
    found: list[Serials] = []
    for heading in headings:
        own = fields.get(heading.column)
        named = _named(heading.text) if heading.text else None
        if own is not None and own.reason.startswith(("told", "as told")):
            ends = {"first_serial": "first", "last_serial": "last"}
            if own.field not in ends:
                continue
            series = named.series if named else "SN"
            named = _Named(ends[own.field], series, plain=False, is_serial=True)
        if named is None or heading.content is None:
            continue
        if named.end is None:
            if _says_runs(named, body[heading.column]):
                found.append(Serials(named.series, plain=False, runs=heading.column))
        elif _may_be_ends(named, heading) or own is not None:
            _add_end(found, named, heading.column)
    return tuple(found)


def _add_end(found: list[Serials], named: _Named, column: str) -> None:
    """Put a column with the other end of its series, or by itself."""
    for at, one in enumerate(found):
        free = one.runs is None and getattr(one, named.end or "first") is None
        if free and one.series == named.series:
            ends = {"first": one.first, "last": one.last, named.end: column}
            found[at] = Serials(one.series, one.plain and named.plain, ends["first"], ends["last"])
            return
    ends = {"first": None, "last": None, named.end: column}
    found.append(Serials(named.series, named.plain, ends["first"], ends["last"]))


def _says_runs(named: _Named, cells: pl.Series) -> bool:
    """Tell whether a column says serials, and does not number the rows."""
    filled = cells.drop_nulls()
    runs = int(filled.str.contains(_RUNS).sum())
    return runs > 0 if named.is_serial else runs > _MOSTLY * filled.len()


def with_serials(
    rows: pl.DataFrame, serials: Sequence[Serials], chosen: list[tuple[str, str]], *,
    apart: bool = False,
) -> tuple[pl.DataFrame, list[tuple[str, str]]]:  # fmt: skip
    """Return rows with what columns say of builds, and of serials, together in one.

    ``chosen``: (column, field), returned with that one. Where no serials are said the other columns
    that say builds count alone. ``apart``: these are what the serials are said of, and stay.
    """
    if not serials:
        return rows, chosen
    if apart:
        builds = [pair for pair in chosen if pair[1] in {"mark", "phase", "build"}]
        rest = [pair for pair in chosen if pair not in builds]
        rows, rest = with_serials(rows, serials, rest)
        return rows, [*builds, *rest]
    besides = [column for column, field in chosen if field in _BUILD_FIELDS]
    names = []
    for at, one in enumerate(serials):
        ends = [one.runs or one.first, one.last]
        cells = [pl.col(end) if end else pl.lit(None, pl.String) for end in ends]
        pairs = rows.select(cells[0].alias("_first"), cells[1].alias("_last"))
        every = pairs.unique()
        said = [one.words(first, last) for first, last in every.iter_rows()]
        every = every.with_columns(pl.Series(f"_said{at}", said, dtype=pl.String))
        joined = pairs.join(
            every, on=["_first", "_last"], how="left", nulls_equal=True, maintain_order="left"
        )  # fmt: skip
        rows = rows.with_columns(joined[f"_said{at}"])
        names.append(f"_said{at}")
    is_all = pl.all_horizontal(
        pl.col(name).is_null() | pl.col(name).str.contains("(?i)^(?:all|any|all serials)$")
        for name in names
    )
    none = pl.lit(None, pl.String)
    together = pl.concat_str(
        *besides,
        *(pl.when(pl.col(name).str.contains("(?i)^all$")).then(none).otherwise(name)
          for name in names),
        separator=", ", ignore_nulls=True,
    )  # fmt: skip
    bare = pl.all_horizontal(pl.col(name).is_null() for name in besides) if besides else True
    said_all = pl.coalesce(*names)
    own = pl.col(besides[0]) if besides else none
    words = pl.when(is_all).then(pl.when(bare).then(said_all).otherwise(own)).otherwise(together)
    rows = rows.with_columns(words.alias("serial_words")).drop(names)
    others = [(column, field) for column, field in chosen if field not in _BUILD_FIELDS]
    return rows, [*others, ("serial_words", "effectivity")]

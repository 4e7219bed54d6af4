"""Columns that make more of a row than fields: have or want, got and need, a build each, a balance.

A row of one table may so become lines of several kinds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.availability import read_availability
from partmuster_trade.assemblies import load_assemblies
from partmuster_trade.headings import fold_heading, have_or_want_headings

from .have_and_want import HaveAndWant, find_have_and_want, held_and_wanted
from .headings import Taken
from .kind_words import kind_and_count, kind_of, says_otherwise, section_kind
from .registers import assembly_lines, home_lines, is_number, second_numbers, shed_lines
from .titles import is_no_holder, stated_in, wanted_for

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from .headings import Heading

#: Headings, folded (common practice, no source).
_IN = frozenset({"in", "received", "rec d", "came in", "qty in"})
_OUT = frozenset({"out", "issued", "went out", "qty out"})
_BALANCE = frozenset({"balance", "bal", "stock balance", "balance held"})
_HOME = frozenset({"lives at", "lives"})
_SHED = frozenset({"shed", "barn", "yard", "workshop", "store", "storage", "stores at",
                   "keeps things at", "where kept", "place"})  # fmt: skip
#: "+/-" says have or want without a word.
_PLUS_MINUS = re.compile(r"\+ ?[/&,]? ?[-\u2013\u2212]|\u00b1")
_MORE, _LESS = r"^\+\s*\d", r"^[-\u2013\u2212]\s*\d"
_PREFIX = "_apart_"


@dataclass(frozen=True, slots=True)
class Apart:
    """Columns by what they make of a row.

    ``kind``: says have or want, or counts the one with a plus and the other with a minus;
    ``both``: the columns of what is held and what is wanted;
    ``assemblies``: assembly id by column with its build; ``flow``: in and out of a running
    ledger, beside its balance; ``home`` and ``shed``: where a person lives and keeps things;
    ``numbers``: heading by column of several with telephone numbers; ``vehicle``: what says which
    builds a holding fits says of a want which vehicle it is for.
    """

    kind: str | None = None
    must_say: bool = False
    both: HaveAndWant | None = None
    assemblies: Mapping[str, str] = field(default_factory=dict)
    flow: tuple[str, ...] = ()
    home: str | None = None
    shed: str | None = None
    numbers: Mapping[str, str] = field(default_factory=dict)
    vehicle: bool = False
    for_vehicle: str | None = None

    @property
    def columns(self) -> frozenset[str]:
        """The columns that are no fields of the row."""
        own = {self.kind} - {None}
        if self.both:
            named = set() if self.both.names else {self.both.have}
            own |= named | {self.both.want, self.both.quantity} - {None}
        return frozenset({*map(str, own), *self.assemblies})

    @property
    def tells(self) -> str | None:
        """The kind of lines that such columns speak for."""
        if self.assemblies:
            return "vehicle"
        return "holding" if self.kind or self.both or self.flow else None

    @property
    def taken(self) -> dict[str, Taken]:
        """How the columns are shown as taken."""
        found = {name: Taken("build", "a column for each assembly") for name in self.assemblies}
        if self.kind:
            found[self.kind] = Taken("availability", "says of each row: have or want")
        if self.both and self.both.names:
            found[self.both.want] = Taken("description", "names what is wanted")
        elif self.both:
            found[self.both.have] = Taken("quantity", "counts what is held")
            found[self.both.want] = Taken("quantity", "counts what is wanted")
        if self.both and self.both.quantity:
            found[self.both.quantity] = Taken("quantity", "heading")
        return found

    def selected(self) -> list[pl.Expr]:
        """Return the cells of all these columns, to go with the lines."""
        alone = (self.home, self.shed, self.for_vehicle)
        more = {*self.columns, *self.numbers, *filter(None, alone)}
        return [pl.col(name).alias(f"{_PREFIX}{name}") for name in sorted(more)]


def find_apart(
    headings: Sequence[Heading], body: pl.DataFrame, spoken: Collection[str] = ()
) -> Apart:
    """Return the columns of a table that make more of its rows than fields.

    ``spoken``: the kinds of line that titles speak for.
    """
    texts = {h.column: fold_heading(h.text.strip(" ?:.")) for h in headings if h.text}

    def first(words: frozenset[str]) -> str | None:
        return next((c for c, text in texts.items() if text in words), None)

    both = find_have_and_want(headings, body, spoken)
    asked = {h.column: _asks_which(h) for h in headings if h.text}
    kind = None if both else next(
        (c for c, asks in asked.items() if _says_kind(body[c], asks) or _is_signed(body[c], asks)),
        None,
    )  # fmt: skip
    numbers = {h.column: h.text for h in headings if is_number(h.text)}
    flow = tuple(c for c in (first(_IN), first(_OUT)) if c)
    return Apart(
        kind, kind is not None and (asked[kind] or _is_signed(body[kind], asked[kind])), both,
        _assemblies(headings), flow if flow and first(_BALANCE) else (),
        first(_HOME), first(_SHED), numbers if len(numbers) > 1 else {},
        any(m.field == "vehicle" and "want" in m.kinds for h in headings for m in h.meanings),
        next((h.column for h in headings if _is_for_vehicle(h)), None),
    )  # fmt: skip


def _is_for_vehicle(heading: Heading) -> bool:
    """Tell whether a column says of a want for which vehicle it is, and nothing of a holding."""
    fields = {(m.field, "want" in m.kinds) for m in heading.meanings}
    return ("vehicle", True) in fields and all(name == "vehicle" for name, _ in fields)


def _asks_which(heading: Heading) -> bool:
    """Tell whether a heading asks of each row whether it is held or wanted: "Have/want", "+/-"."""
    known = have_or_want_headings().get(fold_heading(heading.text.strip(" ?:.")))
    return known == "either" or bool(_PLUS_MINUS.search(heading.text))


def _is_signed(cells: pl.Series, asked: bool) -> bool:
    """Tell whether a column counts what is held with a plus and what is wanted with a minus."""
    filled = cells.drop_nulls()
    if not filled.str.contains(_LESS).any():
        return False
    more = filled.str.contains(r"^\+?\s*\d" if asked else _MORE).any()
    return asked or (more and filled.str.contains(r"^[-+\u2013\u2212]?\s*\d+(?:\.0)?$").all())


def _says_kind(cells: pl.Series, asked: bool) -> bool:
    """Tell whether a column says of each row whether it is held or wanted."""
    filled = cells.drop_nulls().unique()
    if asked:
        return any(kind_and_count(cell)[0] for cell in filled)
    said = [kind_of(cell) for cell in filled]
    sure = all(says_otherwise(cell) for cell in filled)
    return {"want", "holding"} <= set(said) and None not in said and sure


def _assemblies(headings: Sequence[Heading]) -> dict[str, str]:
    """Return assembly id by column where a register has a build for each assembly."""
    if not any(m.field == "vehicle" for h in headings for m in h.meanings):
        return {}
    ids = {fold_heading(name): one.assembly_id for one in load_assemblies()
           for name in (one.assembly_id, one.name, *one.names)}  # fmt: skip
    named = {h.column: (ids[fold_heading(h.text)], h.content) for h in headings
             if fold_heading(h.text) in ids and h.content is not None}  # fmt: skip
    builds = [name for name, (_, c) in named.items() if c and (c.build >= 0.3 or c.digits < 0.2)]  # noqa: PLR2004 - shares
    if not builds:
        return {}
    serial = {n for n, (_, c) in named.items() if c and c.digits > 0.5 and c.build < 0.2}  # noqa: PLR2004 - mostly numbers
    return {name: assembly for name, (assembly, _) in named.items() if name not in serial}


def lines_apart(lines: pl.DataFrame, apart: Apart) -> pl.DataFrame:
    """Return a table's lines, each of the kind its row says, as many as the row means."""
    kind = lines["kind"].first() if lines.height else None
    if apart.assemblies and kind == "vehicle":
        lines = assembly_lines(lines, {f"{_PREFIX}{c}": a for c, a in apart.assemblies.items()})
    elif kind == "holder":
        numbers = {f"{_PREFIX}{column}": label for column, label in apart.numbers.items()}
        lines = second_numbers(lines, numbers)
        lines = home_lines(lines, f"{_PREFIX}{apart.home}") if apart.home else lines
        lines = shed_lines(lines, f"{_PREFIX}{apart.shed}") if apart.shed else lines
    elif kind in {"holding", "want"}:
        lines = _held_or_wanted(lines, apart)
        if apart.vehicle and kind == "holding":
            lines = _for_vehicle(lines, apart.for_vehicle)
        lines = _without_nobody(lines)
    return lines.select(name for name in lines.columns if not name.startswith(_PREFIX))


def _without_nobody(lines: pl.DataFrame) -> pl.DataFrame:
    """Return lines, "various" and "several members" in the remark: they are no person."""
    if not {"holder", "remark"} <= set(lines.columns):
        return lines
    nobody = [name for name in lines["holder"].drop_nulls().unique() if is_no_holder(name)]
    if not nobody:
        return lines
    none = pl.col("holder").is_in(nobody)
    said = pl.concat_str(["remark", pl.when(none).then("holder")], separator="; ",
                         ignore_nulls=True)  # fmt: skip
    return lines.with_columns(
        said.replace("", None).alias("remark"), pl.when(~none).then("holder").alias("holder")
    )


def _for_vehicle(lines: pl.DataFrame, column: str | None) -> pl.DataFrame:
    """Return lines, of wants with the vehicle they are for.

    It stands in a column of its own, or where a holding says what it fits: "For".
    """
    if not (lines["kind"] == "want").any():
        return lines
    own = pl.col("vehicle") if "vehicle" in lines.columns else pl.lit(None, pl.String)
    want = pl.col("kind") == "want"
    if column is not None and f"{_PREFIX}{column}" in lines.columns:
        named = pl.when(want).then(f"{_PREFIX}{column}")
        return lines.with_columns(pl.coalesce(own, named).alias("vehicle"))
    if "effectivity" not in lines.columns:
        return lines
    return lines.with_columns(
        pl.coalesce(own, pl.when(want).then("effectivity")).alias("vehicle"),
        pl.when(~want).then("effectivity").alias("effectivity"),
    )


def _held_or_wanted(lines: pl.DataFrame, apart: Apart) -> pl.DataFrame:
    if apart.both:
        return held_and_wanted(lines, apart.both, _PREFIX)
    if apart.flow:
        lines = _latest_balances(lines)
    if "section" in lines.columns:
        lines = _under_sections(lines)
    for name in ("availability", "condition", "status", "remark"):
        if name in lines.columns:
            lines = _by_words(lines, name, keep=name == "remark")
    if apart.kind:
        if apart.must_say:
            lines = _with_counts(lines, f"{_PREFIX}{apart.kind}")
        lines = _by_words(lines, f"{_PREFIX}{apart.kind}", letters=True, must=apart.must_say)
    return lines


def _whose(section: str) -> str | None:
    return stated_in([section]).holder


def _under_sections(lines: pl.DataFrame) -> pl.DataFrame:
    """Return lines of the kind that their section row says, for the vehicle or of whom it names."""
    lines = _by_words(lines, "section", keep=True)
    for name, read in (("vehicle", wanted_for), ("holder", _whose)):
        texts = lines["section"].drop_nulls().unique().to_list()
        found = {text: said for text in texts if section_kind(text) and (said := read(text))}
        if found:
            of_it = pl.col("section").replace_strict(found, default=None, return_dtype=pl.String)
            own = pl.col(name) if name in lines.columns else pl.lit(None, pl.String)
            of_kind = (pl.col("kind") == "want") | pl.lit(name == "holder")
            lines = lines.with_columns(pl.coalesce(own, pl.when(of_kind).then(of_it)).alias(name))
    return lines


def _by_words(
    lines: pl.DataFrame, name: str, *, keep: bool = True, letters: bool = False, must: bool = False
) -> pl.DataFrame:
    """Return lines of the kind that a cell, all of it, says; of none where it must and does not."""
    cells = lines[name].drop_nulls().unique().to_list()
    read = section_kind if name == "section" else partial(kind_of, letters=letters)
    kinds = {cell: kind for cell in cells if (kind := read(cell))}
    # "spare" beside a part says nothing new of a list of spares, and "needed" may mean kept.
    if not letters and name != "section":
        base = lines["kind"].first()
        kinds = {cell: kind for cell, kind in kinds.items()
                 if kind != base and says_otherwise(cell)}  # fmt: skip
    if not kinds and not must:
        return lines
    said = pl.col(name).replace_strict(kinds, default=None, return_dtype=pl.String)
    offers = {cell: cell for cell, kind in kinds.items() if kind == "holding"
              and read_availability(cell).availability != "unknown"}  # fmt: skip
    offer = pl.col(name).replace_strict(offers, default=None, return_dtype=pl.String)
    have = pl.col("availability") if "availability" in lines.columns else pl.lit(None, pl.String)
    lines = lines.with_columns(
        (said if must else pl.coalesce(said, "kind")).alias("kind"),
        pl.coalesce(have, offer).alias("availability"),
    )
    if keep or name.startswith(_PREFIX):
        return lines
    wants = [cell for cell, kind in kinds.items() if kind == "want"]
    return lines.with_columns(pl.when(~pl.col(name).is_in(wants)).then(name).alias(name))


def _with_counts(lines: pl.DataFrame, name: str) -> pl.DataFrame:
    """Return lines whose column says have or want in a word, any count beside it as quantity."""
    cells = lines[name].drop_nulls().unique().to_list()
    read = [(cell, *kind_and_count(cell)) for cell in cells]
    counts = {cell: count for cell, kind, count in read if kind and count}
    words = {cell: kind for cell, kind, count in read if kind and (count or kind_of(cell) is None)}
    if not words:
        return lines
    quantity = pl.col("quantity") if "quantity" in lines.columns else pl.lit(None, pl.String)
    counted = pl.col(name).replace_strict(counts, default=None, return_dtype=pl.String)
    plain = {"holding": "have", "want": "want"}
    return lines.with_columns(
        pl.coalesce(quantity, counted).alias("quantity"),
        pl.col(name).replace({cell: plain[kind] for cell, kind in words.items()}).alias(name),
    )


def _latest_balances(lines: pl.DataFrame) -> pl.DataFrame:
    """Return the lines of a running ledger; all but the last of each item are struck.

    A ledger runs down the sheet, unless its first column of dates runs backwards.
    """
    item = [name for name in ("description", "part_number", "side", "holder", "place")
            if name in lines.columns]  # fmt: skip
    downwards = True
    if "date" in lines.columns:
        years = lines["date"].drop_nulls().str.extract(r"((?:19|20)\d\d)")
        years = years.drop_nulls()
        downwards = years.len() < 2 or years[0] <= years[-1]  # noqa: PLR2004 - one says nothing
    last = pl.col("row") == (pl.col("row").max() if downwards else pl.col("row").min()).over(item)
    return lines.with_columns((~last).alias("struck"))

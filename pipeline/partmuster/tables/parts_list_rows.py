"""Rows of a parts list that are no parts: captions, page marks, running heads, wrapped lines.

What printed illustrated parts lists put between their lines (captions and end marks of attaching
parts and END OF FIGURE were seen in published manuals, the rest is common practice, no source).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import polars as pl

from partmuster.model import Grid

from .assemblies import read_section
from .indents import indented
from .rows import headings_again, is_page_mark, not_data
from .wrapped import UNFINISHED_NUMBER, Wrapping

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from .headings import Taken

_CAPTION = re.compile(
    r"^[(\[*–-]*\s*(?:(?:attach(?:ing|ment)|fixing|securing|mounting|fastening)s?\s+"
    r"(?:parts?|hardware|items?|details?)|a\.?/?p\.?)\s*[)\]]?\s*"
    r"(?:(?:for|of|to)\s+(?P<whose>.+?))?\s*"
    r"(?P<on>[(\[–-]*\s*cont(?:inue)?d?\b\.?)?\s*[:.)\]*–-]*$",
    re.IGNORECASE,
)
_ENDED = re.compile(
    r"^(?=.*\*)[-–—_*.=\s]{3,}$|^[-–—_(]*\s*end (?:of )?(?:the )?"
    r"(?:attach(?:ing|ment)|fixing|securing|mounting) (?:parts|hardware|items)\W*$",
    re.IGNORECASE,
)
_PLAIN_RULE = re.compile(r"^(?:[-–—_=]\s*){3,}$")
_TRAILING_END = re.compile(r"\s*(?:\*\s?\*\s?\*|-{2,3}\*-{2,3}|_\*_)\s*$")
_FIGURE_ENDED = re.compile(r"^\W*end of (?:fig|plate|group|section|list)", re.IGNORECASE)
_CONTINUED = re.compile(r"^\W*cont(?:inue)?d?\b\.?[^,;]{0,30}$", re.IGNORECASE)
_PAGE_NUMBER = re.compile(
    r"^[(\[]?(?:page|pg|p|sheet|folio|leaf)\b\.?\s*(?:no\.?\s*)?[A-Z]?\d+[A-Z]?(?:[-–./]\d+)*"
    r"(?:\s*(?:of|/)\s*\d+)?[)\]]?$|^[-–—]\s*\d+(?:[-–]\d+)?[a-z]?\s*[-–—]$",
    re.IGNORECASE,
)
_PAGE_IN_CHAPTER = re.compile(r"^\d{1,3}\s?[-–]\s?\d{1,4}$")
_BARE_NUMBER = re.compile(r"^\d{1,4}$")
_MAY_SAY = (
    r"(?i)attach|fixing|securing|mounting|fastening|\ba\.?/?p\b|\*|end of|cont|page|\bpg\b|"
    r"\bp\.|sheet|folio|leaf"
)
_FEW_CELLS = 2
#: Fields that a printed list gives a column so narrow that what stands in it wraps.
_WRAPPING = frozenset({"description", "remark", "effectivity", "companions", "superseded_by"})
_NUMBERS = frozenset({"part_number", "drawing_number", "stock_number"})


@dataclass(frozen=True, slots=True)
class Block:
    """A block of attaching parts: ``whose`` they are as the caption says, ``ended`` by a mark."""

    whose: str | None
    ended: bool


@dataclass(slots=True)
class ListRows:
    """A parts list's body without the rows that are no parts.

    ``body``: with ``indent`` (level by dots or blanks, or null), ``block`` (number of the block of
    attaching parts), ``asks`` (what a person must say of the row) and ``number_asks`` (of its
    number alone). ``not_data``: ``row``,
    ``words``, ``reason``. ``goes_on``: by row, the row of the line that it goes on from.
    ``open``: the block that no mark has ended.
    """

    body: pl.DataFrame
    not_data: pl.DataFrame
    blocks: dict[int, Block] = field(default_factory=dict)
    figure_ends: list[int] = field(default_factory=list)
    goes_on: dict[int, int] = field(default_factory=dict)
    open: int | None = None
    marked: bool = False


def sift_rows(
    body: pl.DataFrame, columns: Sequence[str], header: Sequence[str | None],
    fields: Mapping[str, Taken], heads: Sequence[str], indents: Mapping[str, Mapping[int, int]],
    block: Block | None, page_before: Literal["bare", "headed"] | None,
) -> ListRows:  # fmt: skip
    """Return a parts list's rows, those that are no parts taken out and wrapped lines joined.

    ``heads``: the titles above; ``indents``: widths of leading blanks by column and row;
    ``block``: the one that is open at the end of the page before. ``page_before``: whether
    there is one, and this one goes on from it without headings of its own.
    """
    by_field = {taken.field: name for name, taken in fields.items()}
    describing = by_field.get("description")
    body, marked = indented(body, describing, indents)
    sifting = _Sifting(body, columns, fields, describing, heads, headings_again(columns, header))
    sifting.page_before = page_before
    sifting.go(block)
    return sifting.result(marked=marked)


def ends_below(batches: Iterable[object]) -> bool:
    """Tell whether the next mark of attaching parts on later pages is one that ends them."""
    for batch in batches:
        if not isinstance(batch, Grid) or batch.page is None:
            continue
        whole = pl.concat_str(pl.exclude("row").cast(pl.String), separator=" ", ignore_nulls=True)
        cells = batch.cells.select(whole.str.strip_chars()).to_series()
        for text in cells.filter(cells.str.contains(_MAY_SAY)):
            if _CAPTION.match(text) or _FIGURE_ENDED.match(text):
                return False
            if _ENDED.match(text) or _TRAILING_END.search(text):
                return True
    return False


class _Sifting:
    """Goes once through the rows that may be no parts, from top to bottom."""

    def __init__(
        self, body: pl.DataFrame, columns: Sequence[str], fields: Mapping[str, Taken],
        describing: str | None, heads: Sequence[str], again: pl.Expr,
    ) -> None:  # fmt: skip
        self.columns, self.fields, self.describing = columns, fields, describing
        wraps = [name for name in columns
                 if (fields[name].field if name in fields else "remark") in _WRAPPING]  # fmt: skip
        if describing is not None:
            wraps = wraps[wraps.index(describing) :]
        self.wraps = frozenset(wraps if describing is not None else [])
        self.numbers = [name for name, one in fields.items() if one.field in _NUMBERS]
        cells = [pl.col(name) for name in columns]
        text = pl.concat_str(cells, separator=" ", ignore_nulls=True)
        others = [pl.col(name).is_null() for name in columns if name not in self.wraps]
        only_wrapping = pl.all_horizontal(others) if others else pl.lit(value=False)
        self.body = body.with_row_index("at").with_columns(
            again=again,
            rare=(pl.col("n") == 1) | pl.col("alike") | only_wrapping | self._number_cut()
            | ((pl.col("n") <= _FEW_CELLS) & text.str.contains(_MAY_SAY)),
        )  # fmt: skip
        self.heads = {_folded(text) for text in heads if text} - {""}
        self.page_before: Literal["bare", "headed"] | None = None
        self.repeated = self._repeated()
        self.numbers_hyphened = self._numbers_hyphened()
        self.reasons: dict[int, str] = {}
        self.events: list[tuple[int, str, str | None]] = []
        self.asks: dict[int, str] = {}
        self.wrapping = Wrapping(self.body, describing, self.wraps, self.numbers)
        self.cut: dict[int, str] = {}

    def go(self, block: Block | None) -> None:
        """Sort the rows."""
        inside = block is not None
        ending = self._ending_rules(inside=inside)
        if block is not None:
            self.events.append((-1, "start", block.whose))
        trailing = pl.lit(value=False)
        if self.describing is not None:
            trailing = pl.col(self.describing).str.contains(_TRAILING_END.pattern)
        for row in self.body.filter(pl.col("rare") | trailing).to_dicts():
            at = row["at"]
            if not row["rare"]:
                inside = inside and not self._ended_in(row)
                continue
            text = " ".join(dict.fromkeys(str(row[c]) for c in self.columns if row[c] is not None))
            caption = _CAPTION.match(text)
            if caption is not None:
                self._captioned(at, caption, inside=inside)
                inside = True
            elif _ENDED.match(text) or at in ending:
                self._no_part(at, "end of attaching parts" if inside else "rule or blank marks")
                self.events.append((at, "end", None))
                inside = False
            elif reason := self._page_reason(row, text):
                self._no_part(at, reason)
                if _FIGURE_ENDED.match(text):
                    self.events.append((at, "figure", None))
                    inside = False
            elif not row["again"] and not row["alike"] and not row.get("across"):
                self._wrap(row, text)

    def _ending_rules(self, *, inside: bool) -> set[int]:
        """Return where plain rules end attaching parts: nowhere, if rules stand elsewhere, too."""
        lone = self.body.filter((pl.col("n") == 1) | pl.col("alike")).select("at", "first")
        found: set[int] = set()
        caption = -1 if inside else None
        for at, text in lone.iter_rows():
            if _CAPTION.match(text):
                caption = at
            elif _ENDED.match(text):
                return set()
            elif _PLAIN_RULE.match(text) and at - 1 not in {caption, -1}:
                if caption is None and at + 1 < self.body.height:
                    return set()
                found |= {at} if caption is not None else set()
                caption = None
        return found

    def _number_cut(self) -> pl.Expr:
        """Tell whether a row may have the end of the number above it."""
        return pl.any_horizontal(
            pl.lit(value=False),
            *(pl.col(name).shift(1).str.contains(UNFINISHED_NUMBER).fill_null(value=False)
              | pl.col(name).str.contains(r"^[-/]\s?\w").fill_null(value=False)
              for name in self.numbers),
        )  # fmt: skip

    def _captioned(self, at: int, caption: re.Match[str], *, inside: bool) -> None:
        """Begin a block of attaching parts, unless a caption says that it is continued."""
        self._no_part(at, "heading of attaching parts")
        if not (inside and caption["on"]):
            self.events.append((at, "start", caption["whose"]))

    def _ended_in(self, row: dict[str, object]) -> bool:
        """Take an end mark from the end of a description: "WASHER ***"."""
        at, words = int(str(row["at"])), str(row[str(self.describing)])
        self.wrapping.set(at, str(self.describing), _TRAILING_END.sub("", words))
        self.events.append((at + 1, "end", None))
        return True

    def _no_part(self, at: int, reason: str) -> None:
        self.reasons[at] = reason

    def _wrap(self, row: dict[str, object], text: str) -> None:
        """Join a row that goes on from the one above, or ask whether it does."""
        at = int(str(row["at"]))
        if at in self.wrapping.indented or self.describing is None:
            return
        base = self.wrapping.base(at, self.reasons)
        found = self.wrapping.goes_on(row, base, text, note=not_data(text) is not None)
        if self.page_before and base is None and found == "no" and self._first(at):
            section = read_section(text)
            filled = {name for name in self.columns if row[name] is not None}
            number = self.wrapping.number_goes_on(row, None, filled) is not None
            goes_on = number or (self.page_before == "bare" and filled <= self.wraps)
            if goes_on and not (section.numbered or section.named):
                self.asks[at] = ("does this go on from the page before, or is it a part of its "
                                 "own?")  # fmt: skip
        if found == "yes" and base is not None:
            self._no_part(at, f"goes on from row {self.body['row'][base]}")
            self.wrapping.join(at, base)
        elif found == "perhaps" and base is not None:
            self.asks[at] = (f"does this go on from row {self.body['row'][base]}, or is it a part "
                             "of its own?")  # fmt: skip
            if any(row[name] is not None for name in self.numbers):
                self.cut[base] = f"does its number go on in row {row['row']}?"

    def _first(self, at: int) -> bool:
        """Tell whether nothing but marks of the page stands above a row."""
        return all(above in self.reasons for above in range(at))

    def _page_reason(self, row: dict[str, object], text: str) -> str | None:
        """Return why a row is a mark of the page and no part, or None."""
        at = int(str(row["at"]))
        if reason := _said_by_page(text):
            return reason
        folded = _folded(text)
        section = read_section(text)
        own_title = folded in self.heads and not (section.named or section.numbered)
        if own_title or at in self.repeated.get(folded, ()):
            return "running head"
        return "page number" if self._numbers_page(at, row, text) else None

    def _numbers_page(self, at: int, row: dict[str, object], text: str) -> bool:
        """Tell whether a figure alone in its row numbers the page: "3-4", or "12" at an edge."""
        filled = [name for name in self.columns if row[name] is not None]
        what = self.fields[filled[0]].field if filled[0] in self.fields else ""
        if len(filled) != 1 or what == "quantity":
            return False
        number_column = what in _NUMBERS
        if _PAGE_IN_CHAPTER.match(text) and not (number_column and self.numbers_hyphened):
            return True
        at_edge = at in {0, self.body.height - 1} or self._beside_page_mark(at)
        return _BARE_NUMBER.match(text) is not None and at_edge and not number_column

    def _beside_page_mark(self, at: int) -> bool:
        """Tell whether the row above is a mark of the page, or the one below has the headings."""
        below = self.body["again"][at + 1] if at + 1 < self.body.height else False
        return bool(below) or self.reasons.get(at - 1) in {"running head", "page mark"}

    def _repeated(self) -> dict[str, set[int]]:
        """Return by text, folded, where lone texts stand that repeat at the edges of pages."""
        lone = self.body.filter((pl.col("n") == 1) & ~pl.col("again")).select("at", "first")
        if lone.height < 2:  # noqa: PLR2004 - what repeats stands twice
            return {}
        places: dict[str, set[int]] = {}
        for at, text in lone.iter_rows():
            places.setdefault(_folded(text), set()).add(at)
        again = set(self.body.filter(pl.col("again"))["at"].to_list())
        numbers = {at for at, text in lone.iter_rows()
                   if _PAGE_NUMBER.match(text) or is_page_mark(text)}  # fmt: skip
        edges = again | numbers | {-1, self.body.height}
        found = {}
        for text, where in places.items():
            if not text or len(where) < 2:  # noqa: PLR2004 - what repeats stands twice
                continue
            section = read_section(text)
            plain = section.numbered or section.named or _CAPTION.match(text)
            if not plain and all({at - 1, at + 1} & edges for at in where):
                found[text] = where
        return found

    def _numbers_hyphened(self) -> bool:
        """Tell whether numbers of parts look like page numbers: 3-4."""
        several = self.body.filter(pl.col("n") > 1)
        return any(
            several[name].str.contains(_PAGE_IN_CHAPTER.pattern).any() for name in self.numbers
        )

    def result(self, *, marked: bool) -> ListRows:
        """Return what was found."""
        blocks: dict[int, Block] = {}
        spans: list[tuple[int, int | None]] = []
        figures: list[int] = []
        number: int | None = None
        for at, what, whose in self.events:
            if what == "start":
                number = len(blocks) + 1
                blocks[number] = Block(whose, ended=False)
                spans.append((at, number))
                continue
            if number is not None:
                blocks[number] = Block(blocks[number].whose, ended=True)
            number = None
            spans.append((at, None))
            if what == "figure":
                figures.append(int(self.body["row"][at]))
        body = self.wrapping.joined(self.body)
        block = pl.lit(None, pl.Int32)
        for at, its in spans:
            block = pl.when(pl.col("at") >= at).then(pl.lit(its, pl.Int32)).otherwise(block)
        if len(spans) > 20:  # noqa: PLR2004 - a long chain of conditions is slow
            block = pl.Series(_spread(spans, body.height), dtype=pl.Int32)  # type: ignore[assignment]
        asks = pl.Series([self.asks.get(at) for at in range(body.height)], dtype=pl.String)
        # What may be a part of its own is no section.
        body = body.with_columns(
            block=block, asks=asks, n=pl.col("n") + asks.is_not_null().cast(pl.Int32)
        )
        out = sorted(self.reasons)
        not_lines = (
            body[out]
            .select("row", "words")
            .with_columns(reason=pl.Series([self.reasons[at] for at in out], dtype=pl.String))
        )
        body = body.with_columns(number_asks=self._numbers_cut(body))
        left = body.filter(~pl.col("at").is_in(out)).drop("at", "again", "rare")
        rows = self.body["row"]
        goes_on = {int(rows[at]): int(rows[base]) for at, base in self.wrapping.joins.items()}
        return ListRows(left, not_lines, blocks, figures, goes_on, number, marked)

    def _numbers_cut(self, body: pl.DataFrame) -> pl.Series:
        """Return what to ask of each row whose number may lack its end."""
        for name in self.numbers:
            cut = body.filter(pl.col(name).str.contains(UNFINISHED_NUMBER))
            for at, number in cut.select("at", name).iter_rows():
                self.cut.setdefault(at, f"'{number}' ends in '{number[-1]}': is there more of it?")
        found = [self.cut.get(at) for at in range(body.height)] if self.cut else None
        return pl.Series(found or [None] * body.height, dtype=pl.String)


def _said_by_page(text: str) -> str | None:
    """Return what mark of a page a text is, by its words alone."""
    if _FIGURE_ENDED.match(text):
        return "end of figure"
    if is_page_mark(text) or _CONTINUED.match(text):
        return "page mark"
    return "page number" if _PAGE_NUMBER.match(text) else None


def _spread(spans: Sequence[tuple[int, int | None]], height: int) -> list[int | None]:
    """Return for each row the block that began last above it."""
    found: list[int | None] = [None] * height
    for (start, number), (end, _) in zip(spans, [*spans[1:], (height, None)], strict=True):
        for at in range(max(start, 0), min(end, height)):
            found[at] = number
    return found


def _folded(text: str) -> str:
    """Return a running head for comparing: without its page number."""
    words = re.sub(r"(?i)\b(?:page|pg|p|sheet)\b\.?\s*[\d.-]+(?:\s*(?:of|/)\s*\d+)?\s*$", "", text)
    return re.sub(r"\W+", " ", words).strip().casefold()

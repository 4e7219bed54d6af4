"""Which rows of a table are no lines: sections, totals, notes, legends, headings again."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

import polars as pl

from partmuster.reading.builds_in_remarks import says_builds
from partmuster.reading.gone import title_says_gone
from partmuster_trade.headings import fold_heading

from .assemblies import Section, is_continued, read_section, without_continued
from .kind_words import section_kind
from .marks import read_legend

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_TOTAL = (
    r"(?i)^(?:grand |sub[- ]?|page |overall )?totals?(?: (?:items?|parts?|lines?|qty|quantity|"
    r"number|no\.?|pieces|carried|brought|c/f|b/f|of|for|in|held|value|all)\b.*)?"
    r"\s*[:=]?\s*[\d.,£$€]*$|^(?i:carried|brought) (?i:forward|over)\b|^[cb]/f$"
)
#: "Total fitted", "Totals:": a total of anything, where nothing but figures stands beside it.
_TOTAL_OF = r"(?i)^(?:grand |sub[- ]?|page |overall )?totals?\b[^\d]{0,30}$|^sum\b[^\d]{0,10}$"
_FIGURES = r"^[£$€]?\s*[\d.,]+\s*%?$"
_ONLY_RULE = r"^(?:[-–—_=*.~ ]+)$"
_FIGURE = re.compile(r"^[£$€]?[\d.,]+$")
_RULE = re.compile(r"^[\W_]+$")
_PAGE = re.compile(
    r"^(page|sheet|p\.?)\s*\d+(\s*(of|/)\s*\d+)?$|^\(?cont(inue)?d?\.?\)?$|^end of (figure|list|"
    r"section|sheet|page|table)|^\*+\s*end\b|^list ends|^p\.?t\.?o\.?$", re.IGNORECASE,
)  # fmt: skip
_NOTE = re.compile(
    r"^(\*|†|‡|#|n\.?b\b|notes?\b|note:|key\b|remarks?:|see\b|please\b|all (items|parts|dimensions|"
    r"quantities)\b|compiled\b|prepared\b|checked by|list (made|compiled|prepared)|surveyed\b|"
    r"printed\b|e\s?&\s?o\s?e|\(c\)|©|copyright|quantities\b|prices\b|last updated|updated\b|"
    r"signed\b|tel\b|contact\b|as at\b|dated?\b|\(?\d\)\s+\w+ \w+ \w+)", re.IGNORECASE,
)  # fmt: skip
_SENTENCE_WORDS = 7
#: A section's words, assembly, side and position.
SectionRow: TypeAlias = tuple[str, str | None, str | None, str | None]


@dataclass(frozen=True, slots=True)
class Sorted:
    """A table's rows, sorted.

    ``lines``: the rows that are lines, with columns ``section``, ``section_assembly``,
    ``section_side``, ``section_position`` added. ``not_data``: columns ``row``, ``reason``, of
    the others. ``legend``: meaning by mark, from legend rows. ``notes``: the texts of notes.
    """

    lines: pl.DataFrame
    not_data: pl.DataFrame
    legend: dict[str, str]
    notes: tuple[str, ...]


def sort_rows(
    body: pl.DataFrame, columns: Sequence[str], header: Sequence[str | None] | None,
    describing: str | None, items_are_rows: bool, open_sections: Sequence[SectionRow] = (),
) -> Sorted:  # fmt: skip
    """Return a table's body sorted into lines and rows that are no lines.

    ``body``: from :func:`.grid.clean`, below the headings. ``describing``: the column that names
    the part, vehicle or person. ``items_are_rows``: false where a description alone can only be a
    section (parts lists and surveys), true where it may be an item with nothing else known.
    ``open_sections``: those of the page before, which may be continued.
    """
    again = headings_again(columns, header)
    cells = [pl.col(name) for name in columns]
    figures = pl.sum_horizontal(
        cell.str.contains(_FIGURES).fill_null(value=False) for cell in cells
    )
    total = pl.col("first").str.contains(_TOTAL) | (
        pl.col("first").str.contains(_TOTAL_OF) & (figures > 0) & (figures == pl.col("n") - 1)
    )
    rule = (pl.col("n") > 1) & pl.all_horizontal(
        cell.str.contains(_ONLY_RULE).fill_null(value=True) for cell in cells
    )
    legend_row = (
        (pl.col("n") == 2) & (pl.col("first").str.len_chars() <= 2)  # noqa: PLR2004 - a mark and its meaning
        if not items_are_rows else pl.lit(value=False)
    )  # fmt: skip
    group = pl.col("first").str.contains(r"(?i)^(group|section|sect|fig|figure)\b\.?\s*[\dA-Z]*$")
    marked = body.with_columns(
        reason=pl.when(again)
        .then(pl.lit("headings again"))
        .when(total)
        .then(pl.lit("total"))
        .when(rule)
        .then(pl.lit("rule or blank marks")),
        single=(pl.col("n") == 1) | pl.col("alike") | ((pl.col("n") == 2) & group) | legend_row,  # noqa: PLR2004 - a section's number and name
    ).with_row_index("at")
    singles = marked.filter(pl.col("single") & pl.col("reason").is_null())
    if len(columns) == 1 and items_are_rows:
        sifted = _sift_list(singles, columns[0])
    else:
        several = marked.filter(~pl.col("single") & pl.col("reason").is_null())
        sifted = _sift_singles(singles, several, columns, describing, items_are_rows, open_sections)
    reasons = pl.DataFrame(
        sifted.reasons, schema={"at": pl.UInt32, "told": pl.String}, orient="row"
    )
    marked = marked.join(reasons, on="at", how="left", maintain_order="left").with_columns(
        reason=pl.coalesce("reason", "told")
    )
    lines = marked.filter(pl.col("reason").is_null())
    under = pl.DataFrame(
        sifted.sections, orient="row",
        schema={"at": pl.UInt32, "section": pl.String, "section_assembly": pl.String,
                "section_side": pl.String, "section_position": pl.String},
    )  # fmt: skip
    lines = lines.join_asof(under, on="at", strategy="backward")
    dropped = ["at", "reason", "told", "single"]
    not_data = marked.filter(pl.col("reason").is_not_null()).select("row", "reason")
    return Sorted(lines.drop(dropped), not_data, sifted.legend, tuple(sifted.notes))


def headings_again(columns: Sequence[str], header: Sequence[str | None] | None) -> pl.Expr:
    """Return whether a row repeats the headings: most of its cells, and two at least."""
    alike = [
        (pl.col(name) == text).fill_null(value=False)
        for name, text in zip(columns, header or [None] * len(columns), strict=True) if text
    ]  # fmt: skip
    if not alike:
        return pl.lit(value=False)
    same = pl.sum_horizontal(alike)
    return (same >= min(2, len(alike))) & (same >= 0.6 * pl.col("n"))


@dataclass(slots=True)
class _Sifted:
    """What single-text rows are.

    ``reasons``: place and reason of those that are no lines; ``sections``: place, words,
    assembly, side, position; ``legend``: meaning by mark; ``notes``: texts.
    """

    reasons: list[tuple[int, str]] = field(default_factory=list)
    sections: list[tuple[int, str, str | None, str | None, str | None]] = field(
        default_factory=list
    )
    legend: dict[str, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def _sift_list(singles: pl.DataFrame, column: str) -> _Sifted:
    """Sift a sheet of one column: every row is an item but for notes and rules."""
    sifted = _Sifted()
    texts = singles[column].unique().to_list()
    told = {text: reason for text in texts if (reason := not_data(text)) is not None}
    for at, text in singles.filter(pl.col(column).is_in(list(told))).select("at", column).rows():
        sifted.reasons.append((at, told[text]))
        sifted.notes.append(text)
    return sifted


def _sift_singles(
    singles: pl.DataFrame, several: pl.DataFrame, columns: Sequence[str],
    describing: str | None, items_are_rows: bool, open_sections: Sequence[SectionRow],
) -> _Sifted:  # fmt: skip
    """Sift rows with a single text: sections, notes, legends, or items that say no more."""
    sifted = _Sifted()
    # A text merged across its row is a title, whatever stands in the column where it begins.
    rows = [(row["at"], _text(row, columns),
             bool(describing and row[describing] and not row.get("across")))
            for row in singles.to_dicts()]  # fmt: skip
    legends = {row["at"]: read_legend(_text(row, columns, " = ")) for row in singles.to_dicts()
               if row["n"] == 2}  # fmt: skip  # noqa: PLR2004 - a mark and its meaning
    capitals = _mostly_capitals(several, describing)
    named_rows = sum(read_section(text).named for _, text, _ in rows)
    last_line = int(several["at"][-1]) if several.height else -1
    assembly: str | None = None
    above: str | None = None
    over: str | None = None
    seen = {fold_heading(section[0]): section for section in open_sections}
    for at, text, describes in rows:
        below = at > last_line
        marks = read_legend(text) or legends.get(at, {})
        sifted.legend.update(marks)
        reason = "legend of marks" if marks else not_data(text)
        if reason is None and below and not describes and _FIGURE.match(text):
            reason = "total: a figure alone under the table"
        if reason is not None:
            sifted.reasons.append((at, reason))
            sifted.notes.append(text)
            continue
        section = read_section(text)
        if _is_section(
            section, describes=describes, items_are_rows=items_are_rows, capitals=capitals,
            named_rows=named_rows, lines_follow=not below,
        ):  # fmt: skip
            sifted.reasons.append((at, "section heading"))
            if before := _continued(text, seen):
                sifted.sections.append((at, *before))
                above, assembly = before[0], before[1]
                over = above if assembly else None
                continue
            shown = text
            if section.side or section.position:
                shown = f"{above} / {text}" if above else text
            elif over is not None and says_builds(text):
                shown = above = f"{over} / {text}"  # marks within an assembly
            else:
                assembly, above = section.assembly, text
                over = text if assembly else None
            found = shown, assembly, section.side, section.position
            seen[fold_heading(text)] = found
            sifted.sections.append((at, *found))
        elif describing and not describes and any(c.isalpha() for c in text):
            sifted.reasons.append((at, "note beside the table"))
            sifted.notes.append(text)
    return sifted


def _continued(text: str, seen: Mapping[str, SectionRow]) -> SectionRow | None:
    """Return the section that "GROUP 3. STEERING (CONTD)" or "GROUP 3 (CONTD)" goes on with."""
    if not is_continued(text):
        return None
    bare = fold_heading(without_continued(text))
    if bare in seen:
        return seen[bare]
    begun = [section for key, section in seen.items() if bare and key.startswith(f"{bare} ")]
    return begun[0] if len(begun) == 1 else None


def _is_section(
    section: Section, *, describes: bool, items_are_rows: bool, capitals: bool,
    named_rows: int, lines_follow: bool,
) -> bool:  # fmt: skip
    """Tell a section row from an item of which only the name is written down.

    Where it might be either, it is kept as a line: an item that names nothing is asked about,
    while an item taken for a section would be lost.
    """
    if not lines_follow or not any(c.isalpha() for c in section.words):
        return False
    plain = section.numbered or section.heap or section.words.rstrip().endswith(":")
    plain = plain or section_kind(section.words) is not None
    plain = plain or title_says_gone(section.words) is not None
    plain = plain or (not items_are_rows and says_builds(section.words))
    if plain or section.side:
        return True
    if not describes:
        return True
    shouting = section.words.isupper() and not capitals
    if section.named:
        return not items_are_rows or shouting or named_rows > 1
    return shouting


def is_page_mark(text: str) -> bool:
    """Tell whether a single text is a mark of the page: "Page 3", "(CONTD)", "END OF FIGURE"."""
    return _PAGE.match(text) is not None


def not_data(text: str) -> str | None:
    """Return why a single text is no data, or None."""
    if _RULE.match(text):
        return "rule or blank marks"
    if _PAGE.match(text):
        return "page mark"
    if _NOTE.match(text):
        return "note"
    words = text.split()
    if len(words) >= _SENTENCE_WORDS and (text.endswith(".") or ". " in text):
        return "note"
    return None


def _text(row: dict[str, object], columns: Sequence[str], between: str = " ") -> str:
    """Return the words of a row once, in column order."""
    cells = dict.fromkeys(str(row[name]) for name in columns if row[name] is not None)
    return between.join(cells)


def _mostly_capitals(several: pl.DataFrame, describing: str | None) -> bool:
    """Tell whether the table writes its descriptions in capitals anyway."""
    if describing is None or not several.height:
        return False
    texts = several[describing].drop_nulls().head(200)
    upper = (texts == texts.str.to_uppercase()).sum()
    return upper > 0.6 * texts.len()

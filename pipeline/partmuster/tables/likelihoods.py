"""Family files: features down the sheet, builds across it, and how usual each is below."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.features import read_likelihood, says_likelihood
from partmuster.reading.text import fold

from .builds_across import names_build
from .grid import labelled

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .headings import Heading

_MOSTLY = 0.5
_MOST_TEXTS = 60
_PHASE = re.compile(r"(?i)^(?:early|mid|middle|late)(?: (?:production|type|pattern|build))?$")
_KEY = re.compile(
    r"(?:^|[,;:|]|\s{2,}|\s(?=\S{1,2}\s*=))\s*(?P<mark>[^\s=:,;]{1,2})\s*"
    r"(?:=|:|\bis\b|\bmeans\b|[-–]\s)\s*(?P<words>[A-Za-z][A-Za-z' ]{1,30})"
)


@dataclass(frozen=True, slots=True)
class Likelihoods:
    """Columns that each stand for a build (``builds``: heading by column), and the features'.

    ``down``: builds stand down the sheet, in the column ``feature``, and features across.
    """

    builds: Mapping[str, str]
    feature: str
    down: bool = False


def find_likelihoods(
    headings: Sequence[Heading], body: pl.DataFrame, *, spoken: bool, key: Mapping[str, str]
) -> Likelihoods | None:
    """Return the columns of a table of features by build, or None where it is none.

    ``spoken``: titles say that it tells builds. Without that, or a heading for features, words that
    only say how usual a thing is must stand in most cells: ticks may list what parts are used on.
    ``key``: from :func:`read_key`.
    """
    builds = {h.column: h.text for h in headings if names_build(h.text) and h.content is not None}
    features = [h for h in headings if _first(h) == "feature" and h.column not in builds]
    naming = features or [h for h in headings if _first(h) == "description"]
    naming = naming or [h for h in headings if h.column not in builds and not h.text
                        and h.content is not None and h.content.wordy >= _MOSTLY]  # fmt: skip
    if not builds or not naming or (len(builds) == 1 and not features):
        return _builds_down(headings, body, key) if spoken or not builds else None
    texts = pl.concat([body[name].alias("cell") for name in builds]).drop_nulls()
    share, sure = _shares(texts, key)
    told = spoken or bool(features) or bool(key)
    if share < _MOSTLY or not (told or sure >= _MOSTLY):
        return None
    return Likelihoods(builds, naming[0].column)


def _builds_down(
    headings: Sequence[Heading], body: pl.DataFrame, key: Mapping[str, str]
) -> Likelihoods | None:
    """Return the columns of a table with builds down and features across, or None."""
    named = [h for h in headings if _first(h) in {"build", "mark", "effectivity", "to_build"}]
    if not named or named[0] is not headings[0]:
        return None
    across = {h.column: h.text for h in headings[1:] if h.text and h.similarity < 1 and h.content}
    if len(across) < 2:  # noqa: PLR2004 - one column may be anything
        return None
    texts = pl.concat([body[name].alias("cell") for name in across]).drop_nulls()
    share, sure = _shares(texts, key)
    if share < 1 - _MOSTLY / 5 or sure < _MOSTLY:
        return None
    return Likelihoods(across, named[0].column, down=True)


def _first(heading: Heading) -> str | None:
    return heading.meanings[0].field if heading.meanings else None


def _shares(texts: pl.Series, key: Mapping[str, str]) -> tuple[float, float]:
    """Return the shares of cells that can say, and that surely say, how usual a thing is."""
    texts = texts.filter(~texts.str.to_lowercase().is_in(list(key)))
    if texts.is_empty() and key:
        return 1.0, 1.0
    if texts.is_empty():
        return 0.0, 0.0
    counts = texts.value_counts(sort=True).head(_MOST_TEXTS).rows()
    total = sum(count for _, count in counts)
    may = sum(count for text, count in counts if not read_likelihood(text).problem)
    sure = sum(count for text, count in counts if says_likelihood(text))
    return may / total, sure / total


def read_key(texts: Sequence[str]) -> dict[str, str]:
    """Return likelihood words by mark from titles and notes: "A = always, S = sometimes"."""
    found: dict[str, str] = {}
    for text in texts:
        for match in _KEY.finditer(text):
            words = match["words"].strip()
            if read_likelihood(words).likelihood:
                found[fold(match["mark"])] = words
    return found


def cells_of_builds(
    lines: pl.DataFrame, across: Likelihoods, fields: Sequence[tuple[str, str]],
    remarks: Sequence[tuple[str, str]], key: Mapping[str, str],
) -> pl.DataFrame:  # fmt: skip
    """Return one line a body cell, empty cells too, in order of row and column.

    ``fields``: (column, field) and ``remarks``: (column, label) of the columns beside the builds.
    Words are ``feature | build: cell``.
    """
    kept = ["row", *(name for name in lines.columns if name.startswith("section"))]
    own, other = ("build", "feature") if across.down else ("feature", "build")
    given = [(column, name) for column, name in fields if column != across.feature]
    given = [(column, name) for column, name in given if name not in {own, other, "description"}]
    beside = labelled(remarks) if remarks else pl.lit(None, pl.String)
    pieces = []
    for column, text in across.builds.items():
        cell = pl.col(column)
        folded = cell.str.to_lowercase().str.strip_chars(" .")
        said = pl.coalesce(folded.replace_strict(dict(key), default=None, return_dtype=pl.String),
                           cell) if key else cell  # fmt: skip
        pieces.append(lines.select(
            *kept,
            pl.lit(int(column), pl.Int32).alias("column"),
            *(pl.col(name).alias(field) for name, field in given),
            pl.col(across.feature).alias(own),
            pl.lit(text).alias(other),
            said.alias("likelihood"),
            beside.alias("remark"),
            pl.format("{} | {}:{}", pl.col(across.feature).fill_null(""), pl.lit(text),
                      pl.when(cell.is_not_null()).then(pl.lit(" ") + cell).fill_null(""))
            .alias("words"),
        ))  # fmt: skip
    return pl.concat(pieces, how="diagonal").sort("row", "column")


def phases_under_marks(
    own: Sequence[str | None], above: Sequence[str | None]
) -> list[str | None] | None:
    """Return headings, phases joined to the mark above them: "Mk 1" over "early | late".

    None where what stands above or below is anything else.
    """
    joined: list[str | None] = []
    over: str | None = None
    marks: set[str] = set()
    for text, higher in zip(own, above, strict=True):
        if higher:
            over = higher if names_build(higher) and not _PHASE.match(higher) else None
        if text and over and _PHASE.match(text):
            marks.add(over)
            joined.append(f"{over} {text}")
        elif text is None and higher and over:
            marks.add(over)
            joined.append(over)
        elif text and _PHASE.match(text):
            return None
        else:
            over = None
            joined.append(text or higher)
    return joined if len(marks) > 1 else None

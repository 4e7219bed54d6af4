"""Family files: features down the sheet, builds across it, and how usual each is below."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.builds import read_effectivity
from partmuster.reading.features import read_likelihood, says_likelihood
from partmuster.reading.fit_cells import read_fit_cell
from partmuster.reading.text import fold

from .builds_across import names_build
from .grid import labelled

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .headings import Heading

_MOSTLY = 0.5
#: "Usual on", "Never on these builds".
_ON_BUILDS = re.compile(r"(?i)\s+(?:on|for|in)?\s*(?:these |which )?(?:builds?|marks?)?[?:]*$")
_MOST_TEXTS = 60
_PHASE = re.compile(r"(?i)^(?:early|mid|middle|late)(?: (?:production|type|pattern|build))?$")
_KEY = re.compile(
    r"(?:^|[,;:|]|\s{2,}|\s(?=\S{1,2}\s*=))\s*(?P<mark>[^\s=:,;]{1,2})\s*"
    r"(?:=|:|\bis\b|\bmeans\b|[-–]\s)\s*(?P<words>[A-Za-z][A-Za-z' ]{1,30})"
)


@dataclass(frozen=True, slots=True)
class Likelihoods:
    """Columns of which each cell is a line (``builds``: heading by column), and what names rows.

    ``rows``: the field of the column ``feature``, which names the rows; ``heads``: that of the
    headings; ``cells``: that of the cells. Builds stand across a table of features, or features
    across one of builds; headings may say how usual, over the builds; fits have builds across.
    """

    builds: Mapping[str, str]
    feature: str
    rows: str = "feature"
    heads: str = "build"
    cells: str = "likelihood"
    kind: str = "build"


def find_likelihoods(
    headings: Sequence[Heading], body: pl.DataFrame, *, spoken: bool, key: Mapping[str, str]
) -> Likelihoods | None:
    """Return the columns of a table of features by build, or None where it is none.

    ``spoken``: titles say that it tells builds. Without that, or a heading for features, words that
    only say how usual a thing is must stand in most cells: ticks may list what parts are used on.
    ``key``: from :func:`read_key`.
    """
    builds = {h.column: h.text for h in headings if names_build(h.text) and h.content is not None}
    worded = _headed_by_words(headings, body)
    if worded is not None:
        return worded
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
    return Likelihoods(across, named[0].column, rows="build", heads="feature")


def _headed_by_words(headings: Sequence[Heading], body: pl.DataFrame) -> Likelihoods | None:
    """Return the columns "Usual on | Sometimes on | Never on" over builds, or None."""
    features = [h for h in headings if _first(h) == "feature"]
    words = {h.column: _ON_BUILDS.sub("", h.text) for h in headings if h.text and h.content}
    said = {column: text for column, text in words.items()
            if (text and says_likelihood(text)) or text.casefold() in {"seen", "some"}}  # fmt: skip
    if not features or len(said) < 2:  # noqa: PLR2004 - one is a column of likelihoods
        return None
    texts = pl.concat([body[name].alias("cell") for name in said]).drop_nulls().unique()
    if texts.is_empty() or not all(_lists_builds(text) for text in texts.head(_MOST_TEXTS)):
        return None
    return Likelihoods(said, features[0].column, heads="likelihood", cells="effectivity")


def _lists_builds(text: str) -> bool:
    reading = read_effectivity(text)
    return bool(reading.clauses) or reading.all or not re.search(r"\w", text)


def find_fits_across(headings: Sequence[Heading], body: pl.DataFrame) -> Likelihoods | None:
    """Return the columns of a table of fits that each stand for the build something is put on."""
    builds = {h.column: h.text for h in headings if names_build(h.text) and h.content is not None}
    naming = [h for h in headings if _first(h) == "description" and h.column not in builds]
    fields = {m.field for h in headings for m in h.meanings}
    if len(builds) < 2 or not naming or not fields & {"build", "mark"}:  # noqa: PLR2004 - one may be anything
        return None
    texts = pl.concat([body[name].alias("cell") for name in builds]).drop_nulls()
    texts = texts.filter(texts.str.contains(r"\w")).unique().head(_MOST_TEXTS)
    read = [not read_fit_cell(text).problem for text in texts]
    if not read or sum(read) < (1 - _MOSTLY / 5) * len(read):
        return None
    return Likelihoods(builds, naming[0].column, "description", "to_build", "fit_grade", "fit")


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
    own, other = across.rows, across.heads
    given = [(column, name) for column, name in fields if column != across.feature]
    spare = {own, other, across.cells, *(() if across.kind == "fit" else ("description",))}
    given = [(column, name) for column, name in given if name not in spare]
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
            said.alias(across.cells),
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

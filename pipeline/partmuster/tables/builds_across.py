"""Parts lists with a column for each build: "Mk 1 | Mk 2 early | Mk 2 late"."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.builds import read_effectivity
from partmuster_trade.headings import fold_heading

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .headings import Heading

_BUILD = re.compile(
    r"^(?:[^\W\d]+ )?(?:(?:early|mid|late) )?(?:mk|mark) ?\w{1,4}(?: (?:early|mid|late))?$|"
    r"^(?:early|mid|late)$"
)
_FIGURES = r"(?i)^(?:\d+(?:\.0)?|a/?r|as req(?:d|uired)?\.?|ref\.?|rf|v|np|nil|none|[-–—]+)$"
#: Under a build: the part is not on it.
_NOT_ON_IT = (
    r"(?i)^(?:[-–—]+|nil|none|0(?:\.0)?|n/?a|no?|not (?:used|fitted|on|applicable|required|reqd))$"
)
#: It is on it (common practice, no source).
_ON_IT = (
    r"(?i)^(?:x|y|yes|used|fitted|applies|applicable|required|reqd|all|any|ok|tick"
    r"|[✓✔√*•●+])$"
)
_LONGEST = 40
#: A run has two ends of which one is no mark's number, or is announced.
_SEVERAL = re.compile(
    r"(?i)\d{3,} ?(?:-|–|to|thru|&|and|on|up|\+|sub)|(?:-|–|to) ?[a-z]{0,3}\d{3,}|^up to \d{3,}|"
    r"^(?:s/?n|ser|hull|veh|chassis|engine)\w*\b.*\d ?(?:-|–|to|thru|&|and|on\b|up\b|\+|sub)"
)


@lru_cache(maxsize=65_536)
def names_build(text: str) -> bool:
    """Tell whether words name a build and nothing else: "Mk 2 late"."""
    return bool(_BUILD.match(fold_heading(text))) or names_serials(text)


def names_serials(text: str) -> bool:
    """Tell whether a heading is a run of serials: "SN 1-1250", "1251 on"."""
    if len(text) > _LONGEST or not _SEVERAL.search(text):
        return False
    reading = read_effectivity(text)
    return bool(reading.intervals) and not reading.problem and not reading.doubt


def build_columns(headings: Sequence[Heading], body: pl.DataFrame) -> tuple[dict[str, str], bool]:
    """Return heading by column for columns that each stand for a build, and whether they count.

    True where most cells are figures (how many off on that build), false where all are ticks; an
    empty dict where there are not two such columns or other things stand in them.
    """
    named = {h.column: h.text for h in headings
             if names_build(h.text) and h.content is not None}  # fmt: skip
    if len(named) < 2:  # noqa: PLR2004 - one such column is a column of marks
        return {}, False
    cells = pl.concat([body[name].alias("cell") for name in named]).drop_nulls()
    cells = cells.filter(~cells.str.contains(_NOT_ON_IT))
    # Other words among them are no quantity, and need mending.
    if cells.len() and 2 * int(cells.str.contains(_FIGURES).sum()) > cells.len():
        return named, True
    if cells.len() and cells.str.contains(_ON_IT).all():
        return named, False
    return {}, False


def build_columns_of_words(headings: Sequence[Heading]) -> dict[str, str]:
    """Return heading by column for columns that each stand for a build, whatever is in them."""
    named = {h.column: h.text for h in headings
             if names_build(h.text) and h.content is not None}  # fmt: skip
    return named if len(named) > 1 else {}


def spread(rows: pl.DataFrame, builds: dict[str, str], *, counted: bool) -> pl.DataFrame:
    """Return rows with ``build_words`` and, where counted, ``build_quantity``.

    Builds with the same figure share a line; a row with two figures gives two lines. A row with
    nothing under any build stays one line with both empty; one with dashes alone is for none.
    """
    cells = rows.select("row", *builds).unpivot(index="row", variable_name="build").drop_nulls()
    absent = pl.col("value").str.contains(_NOT_ON_IT)
    nowhere = cells.filter(absent.all().over("row"))["row"].unique()
    cells = cells.filter(~absent)
    cells = cells.with_columns(pl.col("build").replace(builds))
    if not counted:
        cells = _with_words(cells)
    keys = ["row", "value"] if counted else ["row"]
    joined = cells.group_by(keys, maintain_order=True).agg(
        pl.col("build").str.join(", ").alias("build_words")
    )
    if counted:
        joined = joined.rename({"value": "build_quantity"})
    found = rows.join(joined, on="row", how="left", maintain_order="left_right")
    if nowhere.is_empty():
        return found
    none = pl.lit(f"none of {', '.join(builds.values())}")
    words = pl.when(pl.col("row").is_in(nowhere.implode())).then(none).otherwise("build_words")
    return found.with_columns(words.alias("build_words"))


def _with_words(cells: pl.DataFrame) -> pl.DataFrame:
    """Return cells with the words of a build's: its heading, or the serials that stand there.

    Other words stay behind their heading, and it cannot be told what they say of the build.
    """
    words = cells.filter(~pl.col("value").str.contains(_ON_IT)).select("build", "value").unique()
    if words.is_empty():
        return cells
    said = []
    for build, value in words.iter_rows():
        reading = read_effectivity(value)
        plain = reading.intervals and not reading.problem and not reading.doubt
        said.append(value if plain else f"{build}: {value}")
    known = words.with_columns(pl.Series("_said", said, dtype=pl.String))
    joined = cells.join(known, on=["build", "value"], how="left", maintain_order="left")
    return joined.with_columns(pl.coalesce("_said", "build").alias("build")).drop("_said")

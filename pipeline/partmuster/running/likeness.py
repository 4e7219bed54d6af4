"""Which new files are mostly the same as a source, or as another file of the same import."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.sources import (
    shares_with_sources,
    source_names,
    vehicles_of_source,
    words_of_source,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.store.put_aside import LinesOfKind

#: A new name with this share of its lines in another source is probably the same list again.
_MOSTLY = 0.8
_LINES = 5
_SEPARATORS = re.compile(r"[_\-–.,()\[\]/ ]+")
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
#: What a keeper adds to the name of a list when it is written anew (common practice, no source).
_DATED = re.compile(
    rf"\b(?:(?:\d{{1,2}}(?:st|nd|rd|th)? )?{_MONTH}(?: \d{{1,4}})*"
    r"|\d{1,2} \d{1,2} \d{2,4}|(?:19|20)\d\d(?: \d{1,2}){0,2}|(?:19|20)\d{4}|\d{8}"
    r"|v(?:er|ersion)? ?\d+|rev(?:ision)?(?: \w)?|copy(?: of)?|new(?:er)?|old(?:er)?|final"
    r"|latest|updated?|corrected|as of)\b"
)
_IN_BRACKETS = re.compile(r"\(\d+\)")
_FIGURE = r"^[x×]?\s*\d+(?:[.,]\d+)?\s*(?:x|off|ea|each|pcs?)?\.?$"


def said_words(raw: pl.DataFrame) -> pl.DataFrame:
    """Return the distinct words of a file's lines: one column, ``words``."""
    return raw.filter(pl.col("outcome") != "not-data").select("words").drop_nulls().unique()


def surveyed_vehicles(lines: Mapping[str, LinesOfKind]) -> frozenset[str]:
    """Return the vehicles, folded, that a file's surveys are of."""
    if "survey" not in lines:
        return frozenset()
    return frozenset(
        lines["survey"].select(pl.col("vehicle_key").drop_nulls().unique()).to_series()
    )


class Likeness:
    """What each of several new files has in common with sources, and with the files before it.

    ``words``: of each file, from :func:`said_words`; None for one that is not to be compared.
    All are compared at once: one by one, 200 short files took longer than anything else.
    Under names that differ by a date or by "new" (``names``), figures are left out of what is
    compared: a list counted again says the same things in other numbers. Surveys of other
    ``vehicles`` (of each file, from :func:`surveyed_vehicles`) are none of the same list.
    """

    def __init__(
        self, con: DuckDBPyConnection, words: Sequence[pl.DataFrame | None], names: Sequence[str],
        vehicles: Sequence[frozenset[str]],
    ) -> None:  # fmt: skip
        self._con, self._vehicles = con, vehicles
        sizes = [0 if one is None or one.height < _LINES else one.height for one in words]
        every = pl.concat([
            pl.DataFrame(schema={"words": pl.String, "file": pl.UInt32}),
            *(one.with_columns(pl.lit(number, pl.UInt32).alias("file"))
              for number, one in enumerate(words) if one is not None and sizes[number]),
        ])  # fmt: skip
        size = pl.Series("size", sizes, dtype=pl.Int64)
        mostly = (pl.col("equal") >= _LINES) & (
            pl.col("equal") >= _MOSTLY * pl.lit(size).gather(pl.col("file"))
        )
        self._sources: dict[int, str] = {}
        if every.height:
            known = shares_with_sources(con, every).filter(mostly)
            for file, name, source_id in known.select("file", "name", "source_id").iter_rows():
                if file in self._sources or self._is_of_others(file, source_id):
                    continue
                self._sources.setdefault(file, name)
        self._files = _pairs(every).filter(mostly) if len(set(every["file"])) > 1 else None
        compared = {
            file: one for file, one in enumerate(words) if one is not None and sizes[file]
        }  # fmt: skip
        self._counted_again(con, compared, names)

    def _counted_again(
        self, con: DuckDBPyConnection, words: Mapping[int, pl.DataFrame], names: Sequence[str]
    ) -> None:
        """Add the sources and the files before it that a file counts again."""
        called: dict[str, list[int]] = {}
        for file in words:
            called.setdefault(name_apart_from_date(names[file]), []).append(file)
        found = []
        for files in called.values():
            for at, file in enumerate(files):
                found += [(file, other, 0) for other in files[:at]
                          if _mostly_alike(words[file], words[other])]  # fmt: skip
        if found:
            more = pl.DataFrame(found, {"file": pl.UInt32, "other": pl.UInt32, "equal": pl.Int64},
                                orient="row")  # fmt: skip
            self._files = more if self._files is None else pl.concat([self._files, more])
        for source_id, name in source_names(con):
            for file in called.get(name_apart_from_date(name), ()):
                if (
                    file not in self._sources
                    and _mostly_alike(words[file], words_of_source(con, source_id))
                    and not self._is_of_others(file, source_id)
                ):
                    self._sources[file] = name

    def source_like(self, file: int) -> str | None:
        """Return the name of the source that says most of a file's lines, if one does."""
        return self._sources.get(file)

    def file_like(self, file: int, counts: Callable[[int], bool]) -> int | None:
        """Return the first of the files before it that count and say most of its lines."""
        if self._files is None:
            return None
        before = self._files.filter(pl.col("file") == file).get_column("other").sort()
        ours = self._vehicles[file]
        return next(
            (other for other in before
             if counts(other) and not _are_others(ours, self._vehicles[other])), None
        )  # fmt: skip

    def _is_of_others(self, file: int, source_id: str) -> bool:
        """Tell whether a file's surveys and those of a source are of different vehicles."""
        ours = self._vehicles[file]
        return bool(ours) and _are_others(ours, vehicles_of_source(self._con, source_id))


def _are_others(ours: frozenset[str], theirs: frozenset[str]) -> bool:
    return bool(ours) and bool(theirs) and ours.isdisjoint(theirs)


def name_apart_from_date(name: str) -> str:
    """Return a file's name without ending, date, and such words as "new" or "copy of"."""
    stem = name.rpartition("/")[2].rpartition(".")[0] or name
    bare = _DATED.sub(" ", _SEPARATORS.sub(" ", _IN_BRACKETS.sub(" ", stem.casefold())))
    return " ".join(bare.split()) or stem.casefold()


def _mostly_alike(one: pl.DataFrame, other: pl.DataFrame) -> bool:
    """Tell whether two lists say mostly the same, leaving out figures that stand alone."""
    ours, theirs = (_without_figures(words) for words in (one, other))
    equal = ours.join(theirs, on="words", how="semi").height
    return equal >= _LINES and equal >= _MOSTLY * ours.height


def _without_figures(words: pl.DataFrame) -> pl.DataFrame:
    cells = pl.col("words").str.split(" | ")
    bare = cells.list.eval(
        pl.element().filter(~pl.element().str.contains(_FIGURE)), parallel=False
    )  # fmt: skip
    return words.select(bare.list.join(" | ").alias("words")).filter(pl.col("words") != "").unique()


def _pairs(every: pl.DataFrame) -> pl.DataFrame:
    """Return how many words each file (``file``) shares with each one before it (``other``)."""
    others = every.rename({"file": "other"})
    return (
        every.join(others, on="words")
        .filter(pl.col("other") < pl.col("file"))
        .group_by("file", "other")
        .agg(pl.len().cast(pl.Int64).alias("equal"))
    )

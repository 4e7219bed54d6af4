"""Plain tables: a file of CSV for each section, and one that tells what they are."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from partmuster.plugin_api import csv_text

from .values import clean

if TYPE_CHECKING:
    from pathlib import Path

    import polars as pl

    from partmuster.plugin_api import ClubView

#: Signs that a reader of tables, or a terminal, would stumble over.
_UNFIT = "[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f\\x7f]"
_LONGEST_NAME = 60


class Tables:
    """Writes CSV in UTF-8: headings are names of columns, and no cell is a formula."""

    name = "csv"
    version = "1"

    def publish(self, club_view: ClubView, out_dir: Path) -> list[Path]:
        """Write a file for each section after one that lists them, and return their paths."""
        import polars as pl  # noqa: PLC0415 - heavy, and only when publishing

        taken = {"contents"}
        contents = out_dir / f"{club_view.file_name}-contents.csv"
        told: list[tuple[str | None, ...]] = [
            ("club", club_view.club, None, None), ("title", club_view.title, None, None),
            ("audience", club_view.audience, None, None),
            ("day", club_view.as_of.isoformat(), None, None),
            *(("note", sentence, None, None) for sentence in club_view.head),
        ]  # fmt: skip
        paths = [contents]
        for section in club_view.sections():
            rows = club_view.ask(section.name).select(one.name for one in section.columns)
            path = out_dir / f"{club_view.file_name}-{_file_word(section.name, taken)}.csv"
            path.write_text(csv_text(_plain(rows)), encoding="utf-8", newline="")
            paths.append(path)
            told.append(("table", section.title, path.name, str(rows.height)))
        about = pl.DataFrame(
            [tuple(word and clean(word) for word in row) for row in told],
            schema=dict.fromkeys(("what", "words", "file", "rows"), pl.String), orient="row",
        )  # fmt: skip
        contents.write_text(csv_text(about), encoding="utf-8", newline="")
        return paths


def _file_word(name: str, taken: set[str]) -> str:
    """Return a word for a file's name, of plain letters, unlike those before."""
    plain = re.sub("[^a-z0-9]+", "-", name.lower()).strip("-")[:_LONGEST_NAME] or "table"
    word, n = plain, 1
    while word in taken:
        n += 1
        word = f"{plain}-{n}"
    taken.add(word)
    return word


def _plain(rows: pl.DataFrame) -> pl.DataFrame:
    """Return rows as text would have them: whole numbers without a point, yes and no in words."""
    import polars as pl  # noqa: PLC0415

    return rows.with_columns(
        pl.col(pl.Boolean).replace_strict({True: "yes", False: "no"}, return_dtype=pl.String),
        pl.col(pl.Float32, pl.Float64).cast(pl.String).str.replace(r"\.0$", ""),
        pl.col(pl.String).str.replace_all(_UNFIT, "\ufffd"),
    )

"""Reads the package's own CSV files, once each."""

from __future__ import annotations

import csv
import functools
import io
import re
from importlib.resources import files
from typing import Final

_NOT_WORD: Final = re.compile(r"[^\w]+")


def bundled_text(name: str) -> str:
    """Return the text of one data file, named from the data folder (`parts/engine.csv`)."""
    return files("partmuster_trade").joinpath("data", *name.split("/")).read_text(encoding="utf-8")


def bundled_part_files() -> tuple[str, ...]:
    """Return the names of the part files, in a fixed order."""
    folder = files("partmuster_trade").joinpath("data", "parts")
    return tuple(sorted(f"parts/{f.name}" for f in folder.iterdir() if f.name.endswith(".csv")))


@functools.cache
def bundled_rows(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of one data file, each a dict of column to text."""
    return tuple(csv.DictReader(io.StringIO(bundled_text(name)), strict=True))


def split_list(cell: str) -> tuple[str, ...]:
    """Split a `;`-separated cell; empty items are dropped."""
    return tuple(item for part in cell.split(";") if (item := part.strip()))


def name_key(text: str) -> str:
    """Return the form in which two names are held to be the same name.

    Case, punctuation and runs of spaces do not matter; word order does: "LINK, TRACK" and
    "link track" are the same, "track link" is not.
    """
    plain = text.casefold().replace("'", "").replace("\u2019", "")
    return " ".join(_NOT_WORD.sub(" ", plain).split())

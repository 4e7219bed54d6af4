"""All that a plugin author imports."""

from __future__ import annotations

from .hooks import ClubView, Importer, Matcher, PageDrawer, Publisher, hookimpl
from .model import (
    Batch,
    Candidate,
    Claim,
    Grid,
    Lines,
    NotData,
    PageDrawing,
    PartmusterError,
    Problem,
    Section,
    SectionColumn,
    SourceFile,
    SourceUnreadableError,
)
from .spreadsheet_safe import csv_text, formulas_as_text

__all__ = [
    "Batch",
    "Candidate",
    "Claim",
    "ClubView",
    "Grid",
    "Importer",
    "Lines",
    "Matcher",
    "NotData",
    "PageDrawer",
    "PageDrawing",
    "PartmusterError",
    "Problem",
    "Publisher",
    "Section",
    "SectionColumn",
    "SourceFile",
    "SourceUnreadableError",
    "csv_text",
    "formulas_as_text",
    "hookimpl",
]

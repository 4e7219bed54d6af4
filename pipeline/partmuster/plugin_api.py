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
    "hookimpl",
]

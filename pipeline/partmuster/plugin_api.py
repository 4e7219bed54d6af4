"""All that a plugin author imports."""

from __future__ import annotations

from .hooks import ClubView, Importer, Matcher, Publisher, hookimpl
from .model import (
    Batch,
    Candidate,
    Claim,
    Grid,
    Lines,
    NotData,
    PartmusterError,
    Problem,
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
    "PartmusterError",
    "Problem",
    "Publisher",
    "SourceFile",
    "SourceUnreadableError",
    "hookimpl",
]

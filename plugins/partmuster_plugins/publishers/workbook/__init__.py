"""The workbook of a document: a cover, a sheet a section, charts, and what the columns mean."""

from __future__ import annotations

from .book import Workbook

__all__ = ["Workbook"]

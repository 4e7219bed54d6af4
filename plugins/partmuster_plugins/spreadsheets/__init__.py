"""Spreadsheets: workbooks (.xlsx, .xlsm, .ods, .xls), and tables as separated text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.plugin_api import hookimpl

from .importer import Spreadsheets

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.plugin_api import Importer


@hookimpl
def partmuster_importers() -> Sequence[Importer]:
    """Return the one importer of this plugin."""
    return [Spreadsheets()]

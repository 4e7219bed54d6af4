"""Parts lists on pages: pictures and PDFs, scanned or with their text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.plugin_api import hookimpl

from .importer import PartsLists

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.plugin_api import Importer


@hookimpl
def partmuster_importers() -> Sequence[Importer]:
    """Return the one importer of this plugin."""
    return [PartsLists()]

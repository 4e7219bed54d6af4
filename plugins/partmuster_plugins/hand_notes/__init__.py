"""Hand notes: texts, letters, e-mails and pages of prose that members write."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.plugin_api import hookimpl

from .importer import HandNotes

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.plugin_api import Importer


@hookimpl
def partmuster_importers() -> Sequence[Importer]:
    """Return the one importer of this plugin."""
    return [HandNotes()]

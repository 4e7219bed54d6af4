"""What a club sends out, in the forms that people ask for by name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.plugin_api import hookimpl

from .page import Page
from .pdf import Pdf
from .tables import Tables
from .workbook import Workbook

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.plugin_api import Publisher


@hookimpl
def partmuster_publishers() -> Sequence[Publisher]:
    """Return the publishers of this plugin, one a form."""
    return [Workbook(), Page(), Pdf(), Tables()]

"""Every kind of form there is."""

from __future__ import annotations

from .mending import MENDING
from .review import REVIEW
from .stock_take import STOCK_TAKE

KNOWN_FORMS = {kind.name: kind for kind in (MENDING, REVIEW, STOCK_TAKE)}

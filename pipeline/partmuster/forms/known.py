"""Every kind of form there is."""

from __future__ import annotations

from .mending import MENDING
from .review import REVIEW
from .stock_take import STOCK_TAKE
from .yard_list import YARD_LIST_FORM

KNOWN_FORMS = {kind.name: kind for kind in (MENDING, REVIEW, STOCK_TAKE, YARD_LIST_FORM)}

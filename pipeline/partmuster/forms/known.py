"""Every kind of form there is."""

from __future__ import annotations

from .mending import MENDING
from .review import REVIEW

KNOWN_FORMS = {kind.name: kind for kind in (MENDING, REVIEW)}

"""How long the suite looks for what should never happen: shortly as a rule, longer when asked to.

With ``PARTMUSTER_LONG=1`` properties are tried with three times as many examples, programs are
killed at more moments, and a rebuilt club is asked for more days.
"""

from __future__ import annotations

import os
from typing import TypeVar

LONG = os.environ.get("PARTMUSTER_LONG") == "1"
Case = TypeVar("Case")


def examples(many: int) -> int:
    """Return how many examples a property is tried with, of as many as a long run tries."""
    return many if LONG else max(2, many // 3)


def some(cases: list[Case], few: int) -> list[Case]:
    """Return all cases in a long run, else some of them that are spread over all."""
    return cases if LONG or few >= len(cases) else cases[:: -(-len(cases) // few)]

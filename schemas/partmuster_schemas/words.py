"""The closed lists of words that typed columns may hold (the data contract's own terms)."""

from __future__ import annotations

from typing import Final

KINDS: Final = (
    "requirement", "holding", "want", "survey", "fit", "vehicle", "holder",
    "place", "build", "feature", "history", "promise", "lead",
)  # fmt: skip
OUTCOMES: Final = ("loaded", "decision", "mending", "not-data")
SIDES: Final = ("left", "right", "near", "off")
HANDS: Final = ("left", "right")
PHASES: Final = ("early", "mid", "late")
REACHES: Final = ("onwards", "up-to", "except", "unsettled")
PRESENCES: Final = (
    "fitted", "off-and-kept", "away-for-repair", "missing", "stand-in",
    "not-there-to-be-fitted", "could-not-be-seen", "not-looked-at",
)  # fmt: skip
SERVICES: Final = ("serviceable", "unserviceable", "unknown")
MAKINGS: Final = ("original", "other-original", "new-made", "adapted", "unknown")
CONDITION_GRADES: Final = ("new-old-stock", "new", "good", "fair", "poor", "scrap", "unknown")
AVAILABILITIES: Final = ("offered", "swap", "kept", "promised", "unknown")
ROLES: Final = ("kept-whole", "under-restoration", "hulk", "breaking", "on-loan")
AIMS: Final = ("as-found", "static-display", "runner", "full-original")
GRADES: Final = ("as-is", "one-way", "with-work", "only-as-a-set", "never", "unknown")
STAGES: Final = ("offered", "agreed", "collected", "fitted", "withdrawn", "lapsed", "broken")
LIKELIHOODS: Final = ("usual", "possible", "unlikely")
CHANGE_STAYS: Final = ("kept", "reversed", "undecided")
ALTERED: Final = ("part", "vehicle", "both", "neither")
SAID_ON_BASES: Final = ("line", "sheet", "file-name", "saved", "import")
METHODS: Final = ("number", "exact", "fuzzy", "decision", "name")
ROLES_OF_NAMES: Final = ("part", "to-part", "vehicle", "holder", "place", "feature", "item")

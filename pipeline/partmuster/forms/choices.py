"""What may be chosen from in place of an unreadable value, where there is a choice."""

from __future__ import annotations

from functools import cache

from partmuster_schemas import words as w


@cache
def choices_for(field: str) -> tuple[str, ...]:
    """Return the words for a field of a text line; none where anything may be written."""
    from partmuster_trade import units  # noqa: PLC0415 - its tables are read on first use

    seen = (*w.PRESENCES, "unserviceable")
    sides = ("left", "right", "both", "near side", "off side")
    grades = ("as is", "one way", "with work", "only as a set", "never")
    found: dict[str, tuple[str, ...]] = {
        "presence": seen,
        # a state that cannot be read is asked about in surveys only
        "condition": seen,
        "role": w.ROLES,
        "aim": w.AIMS,
        "stage": w.STAGES,
        "fit_grade": grades,
        "side": sides,
        "to_side": sides,
        "phase": w.PHASES,
        "likelihood": w.LIKELIHOODS,
        "unit": tuple(sorted(units.all_units())),
    }
    return found.get(field, ())

"""Short and other forms of given names: Bob for Robert, Kathryn for Catherine."""

from __future__ import annotations

import functools

from partmuster_trade.tables import bundled_rows, split_list


@functools.cache
def given_name_forms() -> dict[str, frozenset[str]]:
    """Return the given names that each form can stand for: ``sam`` for Samuel and Samantha.

    A whole name stands for itself. Two forms may be one person's if they share a name.
    """
    found: dict[str, set[str]] = {}
    for row in bundled_rows("given_name_forms.csv"):
        for form in (row["name"], *split_list(row["also"])):
            found.setdefault(form, set()).add(row["name"])
    return {form: frozenset(names) for form, names in found.items()}

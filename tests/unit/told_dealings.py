"""What a paragraph of a note says of dealings, put shortly for tests."""

from __future__ import annotations

from partmuster_plugins.hand_notes.context import Context
from partmuster_plugins.hand_notes.reading import read_paragraph

SAID = ("availability", "stage", "quantity", "side", "price", "build")


def told(text, vehicles=(), writer="Wilf", without=()):
    """Return what a paragraph written by Wilf says, a text a statement, without what is usual.

    ``without``: kinds of statement that are left out.
    """
    context = Context(vehicles=vehicles, people=(writer,) if writer else (), writer=writer)
    lines = []
    for one in read_paragraph(text, context):
        if one.kind in without:
            continue
        who = next(iter(one.people), "?")
        words = [one.kind, f"{who}'s", one.fields.get("description", "").lower()]
        words += [f"{key} {one.fields[key]}" for key in SAID if key in one.fields]
        if one.kind in {"want", "promise"} and one.vehicles:
            words.append(f"for {one.vehicles[0]}")
        words += ["unsure"] * (not one.sure)
        lines.append(", ".join(words))
    return sorted(lines)

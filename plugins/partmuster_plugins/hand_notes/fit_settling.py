"""What later words make of fits said before: corrections, ways back, the same said twice."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .fit_single import BACK, NOT_SO, UNTRIED
from .lexicon import singular

if TYPE_CHECKING:
    from .note import Stated
    from .statement import Statement

_CHANGES = frozenset({NOT_SO, BACK, UNTRIED})


def settled_fits(stated: list[Stated]) -> list[Stated]:
    """Return a note's lines with each fit said once.

    What goes one way and not back is one line; what goes both ways is one line; a correction takes
    the place of what it corrects, or takes it away where it only says that it is not always so.
    """
    kept: list[Stated] = []
    for one in stated:
        if one.statement.kind != "fit":
            kept.append(one)
            continue
        at = next(
            (
                at
                for at in range(len(kept) - 1, -1, -1)
                if _about_one(kept[at].statement, one.statement)
            ),
            None,
        )
        if at is None:
            kept += [] if one.statement.rule in _CHANGES else [one]
            continue
        made = _together(kept[at].statement, one.statement)
        kept[at : at + 1] = [replace(kept[at], statement=each) for each in made]
    return kept


def _about_one(first: Statement, second: Statement) -> bool:
    if first.kind != "fit" or _key(first, "description") != _key(second, "description"):
        return False
    same = _ends(first) == _ends(second)
    return same or (
        second.rule not in _CHANGES
        and _ends(first) == _ends(second)[::-1]
        and _ends(first)[0] != _ends(first)[1]
        and _is_way_back(first, second)
    )


def _is_way_back(first: Statement, second: Statement) -> bool:
    pair = (first.fields["fit_grade"], second.fields["fit_grade"])
    return pair in {
        ("as-is", "as-is"),
        ("as-is", "never"),
        ("as-is", "one-way"),
        ("never", "as-is"),
        ("one-way", "never"),
    }


def _key(statement: Statement, name: str) -> str:
    words = statement.fields.get(name, "").lower().split()
    return singular(words[-1]) if words else ""


def _ends(statement: Statement) -> tuple[str, str]:
    """Return where a fit comes from and where it goes: build, or else family."""

    def plain(prefix: str) -> str:
        said = statement.fields.get(f"{prefix}build") or statement.fields.get(f"{prefix}family", "")
        words = said.lower().replace("mark", "mk").replace("mk", "mk ").split()
        return " ".join(sorted(words)) or statement.fields.get(f"{prefix}part_number", "").lower()

    return plain(""), plain("to_")


def _together(first: Statement, second: Statement) -> list[Statement]:
    """Return one fit and a later word on it as one line, or none."""
    if second.rule == UNTRIED:
        return [replace(first, sure=False)]
    if second.rule == NOT_SO:
        of_all = _ends(first)[0] == _ends(first)[1]
        return (
            []
            if of_all
            else [replace(second, fields={**second.fields, "fit_grade": "never"}, rule=first.rule)]
        )
    if second.rule == BACK:
        return [_graded(first, "one-way")]
    if _ends(first) == _ends(second):
        return (
            [second]
            if first.rule == "answered" or first.fields["fit_grade"] != second.fields["fit_grade"]
            else [first]
        )
    grades = (first.fields["fit_grade"], second.fields["fit_grade"])
    if grades == ("never", "as-is"):
        return [_graded(second, "one-way")]
    return [first if grades == ("as-is", "as-is") else _graded(first, "one-way")]


def _graded(statement: Statement, grade: str) -> Statement:
    return replace(statement, fields={**statement.fields, "fit_grade": grade})

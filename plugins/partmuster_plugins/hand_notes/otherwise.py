"""What the same words mean if a name in them is a vehicle's and not a person's, or the other way.

"Edna has a dynamo" is a loose part of Edna's, or was seen on the vehicle Edna; "Nettle needs a
dynamo" is a want for her, or of a member's. The core, which knows the club's names, chooses.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .expressions import expression
from .names import NameMention, given_names
from .settling import key_of

if TYPE_CHECKING:
    from .context import Context
    from .statement import Statement
    from .view import View

_HAS = expression(r" <[hnv](\d+)> (?:still |only |also )?(?:has|have|had|'s got|has got) ")
_NEEDS = expression(r" <[hnv](\d+)> (?:still |also |badly |really |now )?(?:needs|wants|could do "
                    r"with|lacks|is after|"
                    r"is short of|is without|is in need of) ")  # fmt: skip
#: What is only said of a loose part.
_LOOSE = ("availability", "place", "price")


def with_other_reading(statement: Statement, view: View, context: Context) -> Statement:
    """Return a statement with the reading in which the name it hangs on is of the other sort."""
    if statement.otherwise or statement.kind not in {"holding", "want", "survey"}:
        return statement
    pattern = _HAS if statement.kind == "holding" else _NEEDS
    for found in pattern.finditer(view.text):
        name = view.mentions[int(found[1])]
        if isinstance(name, NameMention) and _is_open(name, context):
            return _both(statement, name.text)
    return statement


def _both(statement: Statement, name: str) -> Statement:
    if statement.kind == "holding" and statement.people[:1] == (name,):
        if any(statement.fields.get(one) for one in _LOOSE):
            return statement
        seen = replace(
            statement, kind="survey", people=(), vehicles=(name,),
            fields={**statement.fields, "presence": "fitted"},
        )  # fmt: skip
        return replace(statement, otherwise=(seen,))
    if statement.kind == "want" and statement.people[:1] == (name,):
        fields = {key: text for key, text in statement.fields.items() if key != "vehicle"}
        needed = replace(statement, people=(), vehicles=(name,), fields=fields)
        return replace(statement, otherwise=(needed,))
    return statement


def _is_open(name: NameMention, context: Context) -> bool:
    """Tell whether a name may be a vehicle's or a person's, as far as the note tells."""
    if name.pronoun or context.settled.get(key_of(name.text)):
        return False
    words = name.text.split()
    if name.sort == "either":
        return not any(word.casefold() in given_names() for word in words[:-1])
    return name.sort == "person" and len(words) == 1 and words[0].casefold() in given_names()

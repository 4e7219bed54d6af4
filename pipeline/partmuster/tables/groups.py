"""What words above groups of columns say of the lines below: kind, side, vehicle, build, holder.

"Holdings | Wanted" over "Qty | Condition | Qty | Condition" makes a holding and a want of a row.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from partmuster.reading.sides import read_side

from .builds_across import names_build
from .kinds import kinds_in_titles
from .titles import Stated, stated_in, vehicle_named

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .asking import Around

_HANDS = frozenset({"left", "right", "near", "off"})


@dataclass(frozen=True, slots=True)
class Group:
    """Some columns with the words above them, and what those words say of the lines.

    ``sort``: kind, side, vehicle, build or holder. ``columns``: those of the group alone.
    """

    words: str
    sort: str
    columns: tuple[str, ...]
    kind: str | None = None
    fields: Mapping[str, str] = field(default_factory=dict)

    def around(self, around: Around) -> Around:
        """Return what surrounds the group's lines."""
        return replace(around, kind=self.kind) if self.kind else around

    def stated(self, stated: Stated) -> Stated:
        """Return what titles say, and the group's own vehicle, holder or place before them."""
        said = {name: text for name, text in self.fields.items()
                if name in {"vehicle", "holder", "place"}}  # fmt: skip
        return replace(stated, **said)


def find_groups(above: Mapping[str, str | None]) -> list[Group]:
    """Return the groups whose words all say the same sort of thing; none otherwise.

    ``above``: words by column. One column for each side needs no groups: it reads as a quantity.
    """
    columns: dict[str, list[str]] = {}
    for column, words in above.items():
        if words:
            columns.setdefault(words, []).append(column)
    groups = [_group(words, tuple(own)) for words, own in columns.items()]
    known = [group for group in groups if group is not None]
    same = len({group.sort for group in known}) == 1
    if len(known) < 2 or len(known) < len(groups) or not same:  # noqa: PLR2004 - one group is none
        return []
    if known[0].sort == "side" and all(len(group.columns) == 1 for group in known):
        return []
    if known[0].sort == "kind" and len({group.kind for group in known}) < len(known):
        return []
    return known


def shared_columns(columns: Sequence[str], groups: Sequence[Group]) -> list[str]:
    """Return the columns that belong to no group."""
    taken = {column for group in groups for column in group.columns}
    return [column for column in columns if column not in taken]


def _group(words: str, columns: tuple[str, ...]) -> Group | None:
    """Return a group if its words say something of its lines."""
    reading = read_side(words)
    if reading.side in _HANDS and not reading.rest.strip(" .-"):
        return Group(words, "side", columns, fields={"side": words})
    if names_build(words):
        return Group(words, "build", columns, fields={"effectivity": words})
    if vehicle_named(words):
        return Group(words, "vehicle", columns, fields={"vehicle": words})
    kinds = kinds_in_titles([(words, 1.0)])
    stated = stated_in([words])
    if len(kinds) == 1 and stated.holder is None:
        return Group(words, "kind", columns, kind=next(iter(kinds)))
    if stated.holder is not None:
        said = {"holder": stated.holder, "place": stated.place}
        return Group(words, "holder", columns,
                     fields={name: text for name, text in said.items() if text})  # fmt: skip
    return None

"""What words above groups of columns say of the lines below: kind, side, vehicle, build, holder.

"Holdings | Wanted" over "Qty | Condition | Qty | Condition" makes a holding and a want of a row.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from partmuster.reading.sides import read_side
from partmuster_trade.headings import fold_heading

from .builds_across import names_build
from .kinds import kinds_in_titles
from .titles import Stated, stated_in, vehicle_named
from .two_rows import groups_above, may_head, names_lines
from .visits import visit_in

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .asking import Around

_HANDS = frozenset({"left", "right", "near", "off"})
#: Single words over columns that are no titles of sheets (common practice, no source).
_KINDS = {**dict.fromkeys(("have", "got", "held", "have got", "in hand"), "holding"),
          **dict.fromkeys(("want", "need", "wanting", "still want"), "want")}  # fmt: skip
#: Headings under a vehicle that say how to answer, and what they ask (common practice, no source).
_ANSWERS = frozenset({"y n", "yes no", "y or n", "yes or no", "tick", "tick box", "x"})
_SEEN = "As found"


@dataclass(frozen=True, slots=True)
class Group:
    """Some columns with the words above them, and what those words say of the lines.

    ``sort``: kind, side, vehicle, build or holder. ``columns``: those of the group alone.
    ``heading``: what they are headed, where the texts above them say something else.
    """

    words: str
    sort: str
    columns: tuple[str, ...]
    kind: str | None = None
    heading: str | None = None
    fields: Mapping[str, str] = field(default_factory=dict)

    def around(self, around: Around) -> Around:
        """Return what surrounds the group's lines."""
        return replace(around, kind=self.kind) if self.kind else around

    def stated(self, stated: Stated) -> Stated:
        """Return what titles say, and the group's own vehicle, holder or place before them."""
        return replace(
            stated,
            vehicle=self.fields.get("vehicle", stated.vehicle),
            holder=self.fields.get("holder", stated.holder),
            place=self.fields.get("place", stated.place),
        )


def find_groups(above: Mapping[str, str | None], below: Mapping[str, str | None]) -> list[Group]:
    """Return the groups whose words all say the same sort of thing; none otherwise.

    ``above``: words by column; ``below``: the headings under them. One column for each side needs
    no groups: it reads as a quantity. Sides under vehicles are a group each.
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
    if known[0].sort == "vehicle":
        by_visit = [one for group in known for one in _by_visit(group, below)]
        return by_visit or [one for group in known for one in _by_side(group, below)]
    return known


def _by_visit(group: Group, below: Mapping[str, str | None]) -> list[Group]:
    """Return a group for each visit to a vehicle, with the columns right of it; none without."""
    found: list[Group] = []
    for column in sorted(group.columns, key=int):
        visit = visit_in(below.get(column) or "")
        if visit is not None and visit.day:
            fields = {**group.fields, "date": visit.day}
            found.append(replace(group, columns=(column,), fields=fields))
        elif found and visit is None:
            found[-1] = replace(found[-1], columns=(*found[-1].columns, column))
        else:
            return []
    return found


def _by_side(group: Group, below: Mapping[str, str | None]) -> list[Group]:
    """Return a vehicle's group, or one for each of its columns where these are headed by sides."""
    texts = {column: below.get(column) or "" for column in group.columns}
    if not all(_is_side(text) for text in texts.values()):
        return [group]
    return [
        replace(group, columns=(column,), heading="State", fields={**group.fields, "side": text})
        for column, text in texts.items()
    ]


def read_as(group: Group, text: str | None) -> str | None:
    """Return what a heading of a group is read as: "Y/N" below a vehicle asks what was seen."""
    if group.heading:
        return group.heading
    asks = fold_heading(text or "") in _ANSWERS or visit_in(text or "") is not None
    return _SEEN if group.sort == "vehicle" and asks else text


def _is_side(words: str) -> bool:
    reading = read_side(words)
    return reading.side in _HANDS and not reading.rest.strip(" .-")


def headings_below_groups(
    columns: Sequence[str], top: Sequence[Sequence[str | None]]
) -> int | None:
    """Return the row of headings that stand again under words saying whose or what, or None."""
    for at in range(1, len(top)):
        own, above = top[at], top[at - 1]
        cells = [text for text in own if text]
        named = any(names_lines(text) for text in (*cells, *filter(None, above)))
        heads = all(may_head(text) or visit_in(text) for text in cells)
        if len(cells) < 2 or not named or not heads:  # noqa: PLR2004 - one is no group
            continue
        words = dict(zip(columns, groups_above(own, above), strict=True))
        if find_groups(words, dict(zip(columns, own, strict=True))):
            return at
    return None


def shared_columns(columns: Sequence[str], groups: Sequence[Group]) -> list[str]:
    """Return the columns that belong to no group."""
    taken = {column for group in groups for column in group.columns}
    return [column for column in columns if column not in taken]


def _group(words: str, columns: tuple[str, ...]) -> Group | None:
    """Return a group if its words say something of its lines."""
    if _is_side(words):
        return Group(words, "side", columns, fields={"side": words})
    if names_build(words):
        return Group(words, "build", columns, fields={"effectivity": words})
    if vehicle_named(words):
        return Group(words, "vehicle", columns, fields={"vehicle": words})
    short = _KINDS.get(fold_heading(words))
    kinds = [short] if short else list(kinds_in_titles([(words, 1.0)]))
    stated = stated_in([words])
    if len(kinds) == 1 and stated.holder is None:
        return Group(words, "kind", columns, kind=kinds[0])
    if stated.holder is not None:
        said = {"holder": stated.holder, "place": stated.place}
        return Group(words, "holder", columns,
                     fields={name: text for name, text in said.items() if text})  # fmt: skip
    return None

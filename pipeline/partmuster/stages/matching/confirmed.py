"""What a club has confirmed, as lines to learn from and to set the threshold on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .candidates import MIXED
from .decided import NO_PART
from .exact import ExactReader
from .index import index_of
from .near import MOST_NEAR, NearReader
from .tokens import folded
from .trust import judged
from .trust_standard import LabelledLine
from .weigh import near_readings

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from partmuster_trade import Vocabulary

    from .candidates import Item


def words_of(item: Item) -> str:
    """Return by what labelled lines are told apart: the words and where they stand."""
    parts = (item.description, item.assembly, item.family)
    return "|".join(part or "" for part in parts).casefold()


def confirmed_lines(
    answers: Iterable[tuple[Item, str]],
    vocabulary: Vocabulary,
    region: str | None,
    families: Sequence[str] = (),
) -> list[LabelledLine]:
    """Return the items that a person decided on whose words are no name, as the model sees them.

    ``answers``: items with what was decided, a part's id or "none". What the club's lists say of
    families and numbers is left out: a line is to be judged by its words alone.
    """
    index = index_of(vocabulary)
    readers: dict[str | None, NearReader] = {}
    found = []
    for item, answer in answers:
        if answer != NO_PART and answer not in index.parts:
            continue
        own = None if item.region == MIXED else item.region or region
        near = readers.get(own)
        if near is None:
            near = readers[own] = NearReader(ExactReader(index, own, tuple(families)))
        reader = near.reader
        described = reader.read(
            folded(item.description), tuple((item.position or "").split()),
            sided=item.side is not None,
        )  # fmt: skip
        if described.hits or not described.words:
            continue
        bare = item._replace(number=None, casting=None, family_parts=frozenset())
        offered = near_readings(index, described, near.near([described], MOST_NEAR)[0])
        readings, about = judged(reader, bare, described, offered, whole=True)
        if not readings:
            continue
        leading = readings[0]
        meant = index.successors.get(answer, answer)
        right = index.successors.get(leading.part_id or "", leading.part_id) == meant
        found.append(LabelledLine(words_of(item), about, right, bool(leading.objections)))
    return found

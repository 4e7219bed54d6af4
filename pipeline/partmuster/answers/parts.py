"""Which part is asked for, in free words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.model import PartmusterError

from .sql import PROBABLE

if TYPE_CHECKING:
    from collections.abc import Callable

    import polars as pl

    from partmuster_trade.vocabulary import Vocabulary


class UnknownPartError(PartmusterError):
    """The words name no part, or more than one."""


@dataclass(frozen=True, slots=True)
class AskedPart:
    """Parts that the words may mean, with the side and position they name."""

    part_ids: tuple[str, ...]
    side: str | None = None
    position: str | None = None


def asked_part(
    words: str, vocabulary: Vocabulary, identify: Callable[[str], pl.DataFrame] | None
) -> AskedPart:
    """Return what the words ask for: a part id as it stands, or free words read by ``identify``.

    ``identify`` gives a frame of candidates, best first: ``part_id`` (or ``target``),
    ``probability``, ``accepted``, and ``side`` and ``position`` as read from the words.
    Accepted readings count alone; where there is none, all that are at least as probable as not.

    Raises:
        UnknownPartError: nothing is named clearly enough; the text lists what came near.
    """
    if words in vocabulary:
        return AskedPart((words,))
    if identify is None:
        raise UnknownPartError(f"'{words}' is no part of the vocabulary.")
    found = identify(words)
    column = "part_id" if "part_id" in found.columns else "target"
    rows = [row for row in found.to_dicts() if row[column] is not None]
    chosen = [row for row in rows if row.get("accepted")] or [
        row for row in rows if row["probability"] >= PROBABLE
    ]
    if not chosen:
        near = ", ".join(dict.fromkeys(str(row[column]) for row in rows))
        raise UnknownPartError(
            f"'{words}' names no part that the vocabulary knows."
            + (f" Did you mean: {near}?" if near else " Try another word for it.")
        )
    parts = tuple(dict.fromkeys(str(row[column]) for row in chosen))
    return AskedPart(parts, chosen[0].get("side"), chosen[0].get("position"))

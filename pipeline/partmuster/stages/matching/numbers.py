"""Part numbers that the club's own lines teach, and what a number says of an item."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import polars as pl

from .candidates import Item, Reading
from .tokens import POSITIONS, folded

if TYPE_CHECKING:
    from .index import VocabularyIndex

NUMBER_SCHEMA: Final = {
    "number": pl.String(), "maker": pl.String(), "part_id": pl.String(),
    "hand": pl.String(), "position": pl.String(),
}  # fmt: skip
_LEAST_LENGTH: Final = 4  # shorter numbers (figure items, shelf numbers) tell nothing alone
_HANDS: Final = ("left", "right")


@dataclass(frozen=True, slots=True)
class KnownNumber:
    """A number, the part it is known for, and the hand and position if it is one side's."""

    maker: str | None
    part_id: str
    hand: str | None
    position: str | None


def learn(lines: pl.DataFrame, identifications: pl.DataFrame, handed: set[str]) -> pl.DataFrame:
    """Return the numbers that lines accepted by name (or by a person) teach.

    ``lines``: columns item_key, part_number_normal, maker, side, position. A number counts for a
    part only if all such lines with it (of one maker) agree on part and, for a handed part, hand.
    """
    by_name = identifications.filter(
        (pl.col("role") == "part") & pl.col("accepted") & pl.col("target").is_not_null()
        & pl.col("method").is_in(["exact", "decision"])
    ).select(item_key="key", part_id="target")  # fmt: skip
    said = (
        lines.filter(pl.col("part_number_normal").is_not_null())
        .join(by_name, on="item_key", how="inner")
        .select(
            number="part_number_normal",
            maker=_compared("maker"),
            part_id="part_id",
            hand=pl.when(pl.col("part_id").is_in(list(handed))).then("side"),
            position="position",
        )
    )
    agreed = said.group_by("number", "maker").agg(
        pl.col("part_id").n_unique().alias("_parts"),
        pl.col("hand").drop_nulls().n_unique().alias("_hands"),
        pl.col("position").drop_nulls().n_unique().alias("_positions"),
        pl.col("part_id").first(),
        pl.col("hand").drop_nulls().first(),
        pl.col("position").drop_nulls().first(),
    )
    one_side = pl.when(pl.col("hand").is_in(_HANDS)).then("hand")
    return (
        agreed.filter((pl.col("_parts") == 1) & (pl.col("_hands") <= 1))
        .with_columns(one_side, pl.when(pl.col("_positions") == 1).then("position"))
        .select(pl.col(name).cast(dtype) for name, dtype in NUMBER_SCHEMA.items())
        .sort("number", "maker", nulls_last=False)
    )


def _compared(column: str) -> pl.Expr:
    text = pl.col(column).str.strip_chars().str.to_lowercase()
    return pl.when(text != "").then(text)


def by_number(known: pl.DataFrame) -> dict[str, list[KnownNumber]]:
    """Return known numbers by number."""
    found: dict[str, list[KnownNumber]] = {}
    columns = known.select(list(NUMBER_SCHEMA)).unique().sort(pl.all())
    for number, maker, part_id, hand, position in columns.iter_rows():
        found.setdefault(number, []).append(
            KnownNumber(folded(maker) or None, part_id, hand, position)
        )
    return found


def readings_by_number(
    index: VocabularyIndex, item: Item, known: dict[str, list[KnownNumber]]
) -> list[Reading]:
    """Return the parts the item's numbers are known for.

    A part number is acceptable alone only where maker (if both state one) and hand agree, it has
    four signs or more with a digit, and is known for one part. A casting number only suggests.
    """
    found: list[Reading] = []
    if item.number and (rows := known.get(item.number)):
        maker = folded(item.maker) or None
        ours = [row for row in rows if not (maker and row.maker and row.maker != maker)]
        parts = {row.part_id for row in ours}
        found = [_by_part_number(index, item, row, parts) for row in _one_each(ours)]
        if not ours:
            row = rows[0]
            found = [
                Reading(row.part_id, 0.3, "number", (f"number {item.number}",), acceptable=True)
                .objected(f"the number is known as {row.maker}'s, the line says {item.maker}")
            ]  # fmt: skip
    for casting in dict.fromkeys(filter(None, (item.casting,))):
        reason = f"casting number {casting}, often shared by both hands: suggests only"
        found.extend(
            Reading(row.part_id, 0.6, "number", (reason,))
            for row in _one_each(known.get(casting, []))
            if row.part_id not in {reading.part_id for reading in found}
        )
    return [reading for reading in found if reading.part_id in index.parts]


def _one_each(rows: list[KnownNumber]) -> list[KnownNumber]:
    """Return one row a part; its hand and position only where its rows agree."""
    by_part: dict[str, KnownNumber] = {}
    for row in rows:
        known = by_part.get(row.part_id)
        if known is None:
            by_part[row.part_id] = row
        else:
            hand = row.hand if row.hand == known.hand else None
            position = row.position if row.position == known.position else None
            by_part[row.part_id] = KnownNumber(row.maker, row.part_id, hand, position)
    return list(by_part.values())


def _by_part_number(
    index: VocabularyIndex, item: Item, row: KnownNumber, parts: set[str]
) -> Reading:
    number = item.number or ""
    reading = Reading(
        row.part_id, 0.95, "number", (f"number {number} is known for it",), acceptable=True
    )
    if row.part_id not in index.parts:
        return reading
    if len(number) < _LEAST_LENGTH or not any(sign.isdigit() for sign in number):
        reading = reading.objected("the number is too short to tell anything alone")
    if len(parts) > 1:
        reading = reading.objected(f"the number is known for {len(parts)} parts")
    if row.hand and item.side and item.side not in _HANDS:
        reading = reading.objected(
            f"the number is the {row.hand}-hand one, and which hand the {item.side} side is, "
            "is not known"
        )
    contradictions = _contradictions(index, item, row)
    return reading.objected(*contradictions)._replace(contradicts=bool(contradictions))


def _contradictions(index: VocabularyIndex, item: Item, row: KnownNumber) -> list[str]:
    """Return why the hand or position of a known number speaks against the line's own."""
    part = index.parts[row.part_id]
    found = []
    if row.hand and item.side in _HANDS and item.side != row.hand:
        found.append(f"the number is the {row.hand}-hand one, the line says {item.side}")
    if part.positions and row.position and item.position:
        ours = {POSITIONS.get(word, word) for word in item.position.split()}
        theirs = {POSITIONS.get(word, word) for word in row.position.split()}
        if ours != theirs:
            found.append(f"the number is the {row.position} one, the line says {item.position}")
    return found

"""Standard hardware in the answers: bolts, nuts, studs, bearings, seals, pipe fittings.

These fit by specification, not by vehicle. ``partmuster_trade.hardware`` reads what words say; here
it is put beside what is wanted and what is offered. A part of the assembly ``hardware`` goes by its
specification alone; hardware with a name of its own (a sprocket bolt) goes by build and number
where its words do not say all.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING, Final

import polars as pl

from partmuster.store.frames import fetch
from partmuster_trade import caution
from partmuster_trade.hardware import Specification, read_hardware
from partmuster_trade.hardware_fit import compare_hardware
from partmuster_trade.hardware_phrases import hardware_kinds

from .hardware_words import hardware_words
from .sql import list_literal

if TYPE_CHECKING:
    from collections.abc import Iterable

    from partmuster_trade import Part, Vocabulary

    from .sql import Question

#: The assembly of parts that any vehicle has.
_ANY_VEHICLE: Final = "hardware"
_DUTIES: Final = ("", "steering", "brakes", "lifting")
_FIT: Final = {"same": "as-is", "check": "unknown", "never": "never", "unknown": "unknown"}
_LACKING: Final = "kept_lack_items WHERE state IN ('missing', 'unserviceable', 'stand-in')"
_KIN: Final = {"for_part": pl.String, "on_part": pl.String}
_SPECIFICATIONS: Final = ("line_id", "specification", "words")
_VERDICTS: Final = {
    "wanted": pl.Int64, "offered": pl.Int64, "duty": pl.String, "for_part": pl.String,
    "on_part": pl.String, "fit": pl.String, "reason": pl.String, "decides": pl.Boolean,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class HardwareFit:
    """Whether it serves (a grade of fit), why, and what is dangerous about it, in plain words."""

    fit: str
    reason: str
    caution: str


@lru_cache(maxsize=100_000)
def hardware_fit(wanted: str, offered: str, duty: str = "") -> HardwareFit:
    """Return whether what some words offer serves for what others want.

    ``duty``: steering, brakes or lifting, where size alone is never enough.
    """
    found = compare_hardware(read_hardware(wanted), read_hardware(offered), duty)
    cautions = [caution(one) for one in found.cautions]
    said = " ".join(f"{one.hazard.capitalize()}: {one.text}" for one in cautions)
    return HardwareFit(_FIT[found.result], found.reason, said)


def hardware_parts(vocabulary: Vocabulary) -> dict[str, Part]:
    """Return the parts that are standard hardware: bolts, bearings, seals by whatever name."""
    return {part.part_id: part for part in vocabulary.parts if _kind(part.name)}


def kin(parts: dict[str, Part], part_ids: Iterable[str]) -> dict[str, list[str]]:
    """Return which hardware may be called by another's name: hexagon bolts, bolts and setscrews.

    Only parts that any vehicle has, and of one group; their words then tell which they are.
    """
    groups: dict[str, list[str]] = {}
    for part_id, part in parts.items():
        if part.assembly == _ANY_VEHICLE:
            groups.setdefault(hardware_kinds()[_kind(part.name)].group, []).append(part_id)
    return {
        part_id: groups[hardware_kinds()[_kind(parts[part_id].name)].group]
        for part_id in part_ids
        if part_id in parts and parts[part_id].assembly == _ANY_VEHICLE
    }


@lru_cache(maxsize=10_000)
def _kind(name: str) -> str:
    return read_hardware(name).kind


@dataclass(frozen=True, slots=True)
class LackingHardware:
    """Hardware that is lacking: part, line and words of each, and parts called by other names.

    ``numbers``: every specification that was read, with its number.
    """

    parts: dict[str, Part]
    lines: pl.DataFrame
    called: dict[str, list[str]]
    numbers: dict[Specification, int]

    @property
    def kin(self) -> list[str]:
        """Return the parts by whose names what is lacking may be called."""
        return sorted({on_part for parts in self.called.values() for on_part in parts})


def lacking_hardware(
    asked: Question, vocabulary: Vocabulary, items: str = _LACKING
) -> LackingHardware:
    """Return what is looked for of hardware, and keep its kin; ``items``: rows kept before."""
    parts = hardware_parts(vocabulary)
    numbers: dict[Specification, int] = {}
    lines = _lines(
        asked, parts, ("requirement", "survey"),
        "SELECT part_id, unnest(CASE WHEN len(lines) > 0 THEN lines ELSE survey_lines END) "  # noqa: S608  (a text of this package)
        f"AS line_id FROM {items}",
        numbers,
    )  # fmt: skip
    known = list(numbers)
    sized = [
        part_id
        for part_id, said in _by_part(lines).items()
        if any(known[number].measured for number in said)
    ]
    called = kin(parts, sized)
    pairs = [(part_id, other) for part_id, others in called.items() for other in others]
    asked.keep_rows("hardware_kin", pl.DataFrame(pairs, schema=_KIN, orient="row"))
    return LackingHardware(parts, lines, called, numbers)


def keep_hardware(asked: Question, lacking: LackingHardware) -> None:
    """Keep what lines say of hardware, wanted and offered, with the verdicts on them.

    Asked after the loose parts were kept; nothing is read where no hardware is lacking.
    """
    supply = lacking.lines.clear()
    if not lacking.lines.is_empty():
        wanted = set(lacking.lines["part_id"]) | set(lacking.kin)
        supply = _lines(
            asked, wanted, ("holding", "survey"),
            "SELECT part_id, line_id FROM kept_loose_parts WHERE accepted UNION ALL "
            "SELECT part_id, unnest(survey_lines) FROM kept_parts_on_vehicles",
            lacking.numbers,
        )  # fmt: skip
    said = pl.concat([lacking.lines, supply]).select(*_SPECIFICATIONS).unique()
    asked.keep_rows("hardware_specifications", said)
    asked.keep_rows("hardware_verdicts", _verdicts(lacking, supply))


def _lines(
    asked: Question,
    parts: Iterable[str],
    kinds: Iterable[str],
    lines: str,
    numbers: dict[Specification, int],
) -> pl.DataFrame:
    """Return part, line, words and specification of those lines that are about some parts.

    Specifications are numbered: what many wordings say alike is compared once.
    """
    said = " UNION ALL ".join(
        f"SELECT line_id, description, remark FROM {kind}_as_of({asked.moment})"  # noqa: S608  (literals)
        for kind in kinds
    )
    rows = fetch(
        asked.con,
        f"WITH wanted AS MATERIALIZED (SELECT DISTINCT * FROM ({lines}) "  # noqa: S608  (literals)
        f"WHERE list_contains({list_literal(parts)}, part_id)) "
        f"SELECT w.part_id, w.line_id, s.description, s.remark FROM wanted w "
        f"JOIN ({said}) s ON s.line_id = w.line_id",
    )
    words = [hardware_words(*row) for row in rows.select("description", "remark").iter_rows()]
    told = [numbers.setdefault(read_hardware(one), len(numbers)) for one in words]
    return rows.select("part_id", "line_id").with_columns(
        pl.Series("specification", told, dtype=pl.Int64),
        pl.Series("words", words, dtype=pl.String),
    )


def _verdicts(lacking: LackingHardware, supply: pl.DataFrame) -> pl.DataFrame:
    """Return the verdict on each specification that is offered for each that is wanted."""
    offered, known = _by_part(supply), list(lacking.numbers)
    rows = [
        (here, there, duty, for_part, on_part, *verdict)
        for for_part, wanted in _by_part(lacking.lines).items()
        for on_part in {for_part, *lacking.called.get(for_part, ())} & set(offered)
        for here, there, duty in product(wanted, offered[on_part], _DUTIES)
        if (verdict := _verdict(known[here], known[there], duty, lacking.parts[for_part], on_part))
    ]
    return pl.DataFrame(rows, schema=_VERDICTS, orient="row")


def _by_part(lines: pl.DataFrame) -> dict[str, list[int]]:
    grouped = lines.group_by("part_id").agg(pl.col("specification").unique().sort())
    return dict(grouped.iter_rows())


def _verdict(
    wanted: Specification, offered: Specification, duty: str, for_part: Part, on_part: str
) -> tuple[str, str, bool] | None:
    """Return fit, reason, and whether that decides; None where words say no size.

    A sprocket bolt goes by its build where sizes leave it open.
    """
    sized = (wanted.measured, offered.measured)
    if not any(sized) or (on_part != for_part.part_id and not all(sized)):
        return None
    found = compare_hardware(wanted, offered, duty)
    if found.result == "unknown" and for_part.assembly != _ANY_VEHICLE:
        return None
    return _FIT[found.result], found.reason, found.result != "unknown"

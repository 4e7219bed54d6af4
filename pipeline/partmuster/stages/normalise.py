"""Normalise: text lines become typed lines of each kind, with every fault and doubt beside them.

Quantities, sides, condition, dates, numbers, names, builds and effectivity are read from their
words; the words stay. One text line may become several typed lines ("LH & RH"; a register row
with a hull and an engine number).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.put_aside import joined_lines
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.said import MODELS
from partmuster_schemas.text_lines import as_text_lines

from .normalising.build_lines import with_several_builds
from .normalising.columns import Findings, read_column
from .normalising.comments import read_comments, weigh_comments
from .normalising.dates import day_orders, read_dates, read_since
from .normalising.decimals import with_decimal_points, with_plain_thousands
from .normalising.fit_words import read_fit_words
from .normalising.formulas import read_formulas
from .normalising.gone import read_goings
from .normalising.identity import item_keys, with_item_key, with_line_base
from .normalising.items import (
    normal_part_number,
    read_conditions,
    read_numbers,
    read_quantities,
    split_sides,
)
from .normalising.kinds import NEEDED, for_kind
from .normalising.met import read_met_wants
from .normalising.names import read_builds, read_families, read_names
from .normalising.parts_words import read_parts_words, with_own_numbers
from .normalising.private import without_private_details
from .normalising.shared_numbers import ask_of_shared_numbers
from .normalising.sides import read_sides
from .normalising.states import split_states

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from partmuster.store.put_aside import LinesOfKind

#: Kinds whose lines describe an item.
ITEM_KINDS = ("requirement", "holding", "want", "survey", "fit", "promise", "lead")
#: Raw lines typed at a time: some 300 MB of columns on the way, whatever a source's length.
BLOCK = 100_000
#: Sources typed together are told apart by this much between their raw numbers.
_APART = 1 << 32
#: Columns the store gives: identity of the version, and when it was recorded.
GIVEN_BY_STORE = frozenset(
    {"line_id", "revision", "source_id", "source_version", "said_until", "recorded_from",
     "recorded_to"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Context:
    """What is known of a source beside its words.

    ``stated_on``: the day the source itself states, and what gave it (``file-name``, ``saved``).
    ``country``: two letters, of the club or the source; settles near and off side, and day or
    month first where neither a person (``day_first``) nor the dates themselves say so. ``handed``:
    which of some descriptions name a part with a left and a right hand; ``same``: which name one
    that surely has none. ``day_orders``: whether the day stands first in a column of dates, by
    sheet and column; ``normalise`` works it out.
    """

    source_id: str
    today: dt.date
    handed: Callable[[list[str]], set[str]]
    stated_on: dt.date | None = None
    stated_basis: str = "import"
    country: str | None = None
    day_first: bool | None = None
    day_orders: dict[tuple[str | None, str], bool | None] = field(default_factory=dict)
    same: Callable[[list[str]], set[str]] = field(default=lambda _: set())


@dataclass(slots=True)
class Normalised:
    """Typed lines of each kind, and what is wrong or in doubt, by raw line.

    ``lines`` have their model's columns without the store's, and ``line_base``, ``raw_number``.
    """

    lines: dict[str, LinesOfKind]
    item_keys: pl.DataFrame
    effectivity: pl.DataFrame
    faults: pl.DataFrame
    doubts: pl.DataFrame


def normalise(
    text_lines: pl.DataFrame,
    context: Context,
    keep: Callable[[dict[str, pl.DataFrame]], Mapping[str, LinesOfKind]] = lambda lines: lines,
) -> Normalised:
    """Type a source's text lines (``text_lines`` schema; columns may be left out).

    A raw line with a fault in any of its lines yields none of them: it needs mending whole.
    A line whose kind is not known yields nothing and needs a decision. ``keep`` is given finished
    lines by kind, some :data:`BLOCK` at a time, and returns what is to be kept of them, and where.
    """
    whole = _normalise([(text_lines, context)], keep)
    return Normalised(
        lines={kind: joined_lines(typed) for kind, typed in whole.lines.items()},
        item_keys=whole.item_keys,
        effectivity=whole.effectivity,
        faults=whole.faults,
        doubts=whole.doubts,
    )


def normalise_several(sources: Sequence[tuple[pl.DataFrame, Context]]) -> list[Normalised]:
    """Type several sources' text lines; for each, what :func:`normalise` returns.

    They are typed together: each step costs a short sheet more than its lines do. Country, day
    and handed parts are those of the first.
    """
    if not sources:
        return []
    whole = _normalise(sources, lambda lines: lines)
    lines = {
        kind: _by_source(pl.concat([one for one in typed if isinstance(one, pl.DataFrame)]))
        for kind, typed in whole.lines.items()
    }
    effectivity, faults, doubts = map(_by_source, (whole.effectivity, whole.faults, whole.doubts))
    found = []
    for number in range(len(sources)):
        own = {kind: frames[number] for kind, frames in lines.items() if number in frames}
        used = [
            frame.get_column(name)
            for frame in own.values()
            for name in ("item_key", "to_item_key")
            if name in frame.columns
        ]
        keys = pl.concat(used).drop_nulls().unique() if used else pl.Series(dtype=pl.String)
        found.append(
            Normalised(
                lines=dict(own),
                item_keys=whole.item_keys.filter(pl.col("item_key").is_in(keys.implode())),
                effectivity=effectivity.get(number, whole.effectivity.clear()),
                faults=faults.get(number, whole.faults.clear()),
                doubts=doubts.get(number, whole.doubts.clear()),
            )
        )
    return found


def _by_source(frame: pl.DataFrame) -> dict[int, pl.DataFrame]:
    """Return the rows of each of several sources, with its own raw numbers."""
    placed = frame.with_columns(
        pl.col("raw_number") % _APART, (pl.col("raw_number") // _APART).alias("_source")
    )
    parts = placed.partition_by("_source", as_dict=True, include_key=False, maintain_order=True)
    return {int(str(number)): rows for (number,), rows in parts.items()}


@dataclass(slots=True)
class _Whole:
    """What ``Normalised`` is, of several sources together, the lines in blocks."""

    lines: dict[str, list[LinesOfKind]]
    item_keys: pl.DataFrame
    effectivity: pl.DataFrame
    faults: pl.DataFrame
    doubts: pl.DataFrame


def _normalise(
    sources: Sequence[tuple[pl.DataFrame, Context]],
    keep: Callable[[dict[str, pl.DataFrame]], Mapping[str, LinesOfKind]],
) -> _Whole:
    """Type the lines of sources; the number of each source is in its raw numbers."""
    findings = Findings()
    frames = []
    orders: dict[tuple[str | None, str], bool | None] = {}
    for number, (lines, context) in enumerate(sources):
        frame = _prepared(lines, number, findings)
        orders |= day_orders(frame, context.country, context.day_first)
        frames.append(frame)
    frame = pl.concat(frames, how="diagonal") if len(frames) > 1 else frames[0]
    contexts = [context for _, context in sources]
    context = replace(contexts[0], day_orders=orders)
    stated = pl.DataFrame(
        [(one.source_id, one.stated_on, one.stated_basis) for one in contexts],
        schema={"source_id": pl.String, "stated_on": pl.Date, "stated_basis": pl.String},
        orient="row",
    )
    typed: dict[str, list[LinesOfKind]] = {}
    keys = [pl.DataFrame(schema=item_keys_schema())]
    effects = [pl.DataFrame(schema=effects_schema())]
    for block in _blocks(frame):
        placed = as_text_lines(block)
        placed = placed.with_columns(
            stated.select(pl.all().gather((placed["raw_number"] // _APART).cast(pl.UInt32)))
        )
        finished, found, effective = _normalise_block(placed, context, findings)
        for kind, one in keep(finished).items():
            typed.setdefault(kind, []).append(one)
        keys.append(found)
        effects.append(effective)
    return _Whole(
        lines=typed,
        item_keys=pl.concat(keys).unique("item_key", maintain_order=True),
        effectivity=pl.concat(effects),
        faults=findings.all_faults(),
        doubts=findings.all_doubts(),
    )


def _prepared(lines: pl.DataFrame, number: int, findings: Findings) -> pl.DataFrame:
    """Return a source's lines of a known kind, told apart from other sources' lines and sheets.

    What is told from all lines of a sheet together is read here, before they are taken in blocks.
    """
    lines = lines.with_columns(pl.col("raw_number").cast(pl.Int64) + number * _APART)
    untold = lines.filter(pl.col("kind").is_null())
    asked = pl.col("doubt") if "doubt" in lines.columns else pl.lit(None, pl.String)
    findings.doubt(untold, asked.fill_null("what kind of list is this?"))
    frame = lines.filter(pl.col("kind").is_in(list(MODELS)))
    frame = frame.with_columns(
        pl.lit(None, pl.String).alias(name)
        for name in ("sheet", "quantity", "price", "date", "since") if name not in frame.columns
    )  # fmt: skip
    frame = with_decimal_points(frame)
    sheet = pl.format("{}|{}", pl.lit(number), pl.col("sheet").fill_null(""))
    return frame.with_columns(sheet.alias("sheet"))


def _blocks(frame: pl.DataFrame) -> Iterator[pl.DataFrame]:
    """Yield the lines in blocks, all lines of a raw line in one."""
    if frame.height <= BLOCK:
        yield frame
        return
    numbers = frame.get_column("raw_number")
    if not numbers.is_sorted():
        frame = frame.sort("raw_number", maintain_order=True)
        numbers = frame.get_column("raw_number")
    start = 0
    while start < frame.height:
        last = numbers[min(start + BLOCK, frame.height) - 1]
        end = int(numbers.search_sorted(last, side="right"))
        yield frame.slice(start, end - start)
        start = end


def _normalise_block(
    frame: pl.DataFrame, context: Context, findings: Findings
) -> tuple[dict[str, pl.DataFrame], pl.DataFrame, pl.DataFrame]:
    """Return some lines typed by kind, their item keys, and their effectivity."""
    lines: dict[str, pl.DataFrame] = {}
    effectivity: list[pl.DataFrame] = []
    for kind, typed in _typed(frame, context, findings).items():
        typed, effects = for_kind(kind, typed, context.country, findings)  # noqa: PLW2901 - one step on
        _check_needed(kind, typed, findings)
        lines[kind] = typed
        if effects is not None:
            effectivity.append(effects)

    faulty = findings.all_faults().get_column("raw_number").unique().to_list()
    keys = [pl.DataFrame(schema=item_keys_schema())]
    for kind, typed in list(lines.items()):
        kept = typed.filter(~pl.col("raw_number").is_in(faulty))
        if not kept.height:
            del lines[kind]
            continue
        kept, found = _with_keys(kind, kept)
        keys += found
        source_ids = kept.get_column("source_id")
        lines[kind] = with_line_base(_model_columns(kind, kept), kind, source_ids)
    effective = pl.DataFrame(schema=effects_schema())
    if effectivity:
        effective = _effects_by_line(pl.concat(effectivity), lines)
    return lines, pl.concat(keys).unique("item_key", maintain_order=True), effective


def _typed(frame: pl.DataFrame, context: Context, findings: Findings) -> dict[str, pl.DataFrame]:
    """Read the columns that several kinds share, split rows that mean two items; by kind."""
    frame = _as_said(frame, context, findings)
    frame = read_met_wants(frame, context.country, findings)
    frame = read_families(with_several_builds(frame))
    frame = read_names(frame)
    frame = read_builds(frame, findings)
    frame = read_dates(frame, today=context.today, day_orders=context.day_orders, findings=findings)
    is_item = pl.col("kind").is_in(list(ITEM_KINDS))
    items, others = frame.filter(is_item), frame.filter(~is_item)
    if items.height:
        items = read_numbers(items)
        items = read_quantities(items, findings)
        items = read_conditions(items, findings)
        items = weigh_comments(items, findings)
        items = read_sides(items, context.country, findings)
        items = with_own_numbers(split_sides(items, context.handed, findings))
        items = ask_of_shared_numbers(items, context.same, findings)
        items = read_since(items, context.day_orders, findings)
    return {
        str(kind): lines
        for group in (items, others)
        for (kind,), lines in group.partition_by("kind", as_dict=True).items()
    }


def _as_said(frame: pl.DataFrame, context: Context, findings: Findings) -> pl.DataFrame:
    """Return text lines ready for reading: marks and doubts heeded, private details put away."""
    findings.doubt(frame.filter(pl.col("doubt").is_not_null()), pl.col("doubt"))
    frame = frame.with_columns(pl.col("struck").alias("withdrawn"))
    frame = read_formulas(frame, findings)
    frame = without_private_details(frame)
    frame = read_parts_words(frame, context.handed, findings)
    frame = read_goings(frame, findings, context.day_orders, context.country)
    frame = read_fit_words(split_states(read_comments(frame)), findings)
    return with_plain_thousands(frame, context.country)


def _check_needed(kind: str, typed: pl.DataFrame, findings: Findings) -> None:
    """Record a fault for each line that lacks what its kind cannot do without."""
    for fields, code, problem, what_to_do in NEEDED.get(kind, ()):
        nothing = pl.all_horizontal(pl.col(name).is_null() for name in fields)
        findings.fault(typed.filter(nothing), fields[0], code, problem, what_to_do)


def _with_keys(kind: str, frame: pl.DataFrame) -> tuple[pl.DataFrame, list[pl.DataFrame]]:
    """Add item keys where the kind describes items; return them too."""
    if kind not in ITEM_KINDS:
        return frame, []
    frame = with_item_key(frame)
    keys = [item_keys(frame)]
    if kind == "fit":
        renamed = {
            "description": "to_description", "part_number_normal": "_to_number",
            "side": "to_side", "position": "to_position", "family": "to_family",
            "casting_number": "_none", "stock_number": "_none", "maker": "_none",
            "supply_class": "_none",
        }  # fmt: skip
        frame = read_column(frame, "to_part_number", lambda text: (normal_part_number(text),),
                            {"_to_number": pl.String})  # fmt: skip
        frame = with_item_key(frame, "to_item_key", **renamed)
        keys.append(item_keys(frame, "to_item_key", **renamed))
    return frame, keys


def _model_columns(kind: str, frame: pl.DataFrame) -> pl.DataFrame:
    """Return just the model's columns, typed, with ``raw_number``; absent ones empty."""
    schema = polars_schema(MODELS[kind])
    wanted = [
        (pl.col(name).cast(dtype) if name in frame.columns else pl.lit(None, dtype=dtype))
        .alias(name)
        for name, dtype in schema.items()
        if name not in GIVEN_BY_STORE and name != "values_hash"
    ]  # fmt: skip
    return frame.select("raw_number", *wanted)


def _effects_by_line(effects: pl.DataFrame, lines: dict[str, pl.DataFrame]) -> pl.DataFrame:
    """Give each effectivity row the line it belongs to, one for each line of its raw line."""
    bases = [
        frame.select("raw_number", "line_base")
        for kind, frame in lines.items()
        if kind in ("requirement", "holding")
    ]
    if not bases:
        return pl.DataFrame(schema=effects_schema())
    return effects.join(pl.concat(bases).unique(), on="raw_number", how="inner").select(
        list(effects_schema())
    )


def effects_schema() -> dict[str, pl.DataType]:
    """Return the columns of an effectivity frame before the store gives line ids."""
    text, number = pl.String(), pl.Int64()
    return {
        "raw_number": number, "line_base": text, "assembly": text, "mark": text, "phase": text,
        "reach": text, "series": text, "first_serial": number, "last_serial": number,
        "is_interval": pl.Boolean(),
    }  # fmt: skip


def item_keys_schema() -> dict[str, pl.DataType]:
    """Return the columns of a frame of item keys."""
    from partmuster_schemas.records import ItemKey  # noqa: PLC0415 - only for an empty frame

    return polars_schema(ItemKey)

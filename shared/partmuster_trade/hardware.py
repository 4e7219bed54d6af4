"""Standard hardware by its specification: bolts, nuts, pins, bearings, seals, pipe fittings.

:func:`read_hardware` reads what words say and :func:`write_hardware` writes it. What is not
understood is kept as ``unread``, what contradicts itself as ``problems``; nothing is guessed.
"""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING, Final

from partmuster_trade.hardware_numbers import read_numbers
from partmuster_trade.hardware_phrases import hardware_kinds, names_a_kind, phrase_for
from partmuster_trade.hardware_reading import (
    all_said,
    bearing_by_suffix,
    drop_bearing_words,
    items_of,
    kind_of,
    numbers_with_places,
    read_styles,
    said,
    unread,
)
from partmuster_trade.hardware_specification import Specification
from partmuster_trade.measures import plain_number
from partmuster_trade.tables import split_list

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster_trade.hardware_phrases import HardwareKind
    from partmuster_trade.hardware_reading import Item

__all__ = ["Specification", "hardware_names", "read_hardware", "write_hardware"]

_WORD: Final = re.compile(r"[a-z]+")
#: Words that say no more of a specification, and may yet be part of a name.
_NAMING: Final = frozenset({"head", "hd", "pipe", "tube", "spare"})
#: Columns of the table of words that are written with their phrase, in this order.
_WRITTEN: Final = ("material", "finish", "closure", "clearance", "gender", "fit_class", "duty")


@functools.lru_cache(maxsize=50_000)
def read_hardware(words: str) -> Specification:
    """Return what words say of a piece of standard hardware."""
    items = items_of(words)
    bearing = not said(items, "kind") and bearing_by_suffix(items)
    kind = hardware_kinds()["bearing"] if bearing else kind_of(items)
    metric = any(token.unit == "M" for item in items for token in item.tokens)
    all_series = sorted({*said(items, "series"), *(("M",) if metric else ())})
    kinds = said(items, "kind")
    if not (kinds or bearing or all_series):
        for item in items:
            item.phrase, item.use = None, ""
        return Specification(unread=unread(items))
    if kind is None or kind.kind != "bearing":
        drop_bearing_words(items)
    read_styles(items, kind)
    problems = []
    if len(kinds) > 1:
        problems.append(f"more than one thing is named: {', '.join(sorted(kinds))}")
    if len(all_series) > 1:
        problems.append(f"more than one thread is named: {', '.join(all_series)}")
    series = all_series[0] if len(all_series) == 1 else ""
    number = _bearing_number(items) if kind and kind.kind == "bearing" else ""
    found = read_numbers(items, kind, series)
    told = all_said(items)

    def all_of(column: str) -> str:
        return " and ".join(told.get(column, ()))

    return Specification(
        kind=kind.kind if kind else "",
        style=_style(told.get("style", []), kind),
        series=series,
        size=found.size,
        tpi=found.tpi,
        pitch=found.pitch,
        left_hand="left" in told.get("hand", ()),
        fit_class=all_of("fit_class"),
        length=found.length,
        grade=all_of("strength"),
        drilled=tuple(sorted({d for text in told.get("drilled", ()) for d in split_list(text)})),
        material=all_of("material"),
        finish=all_of("finish"),
        number=number,
        closure=all_of("closure"),
        clearance=all_of("clearance"),
        sizes=found.sizes,
        tube=found.tube,
        across_flats=found.across_flats,
        gender=all_of("gender"),
        duty=all_of("duty"),
        unread=unread(items),
        problems=(*problems, *found.problems),
    )


def hardware_names(words: str) -> tuple[str, ...]:
    """Return what words for sized hardware call it, without its sizes: the fullest name first.

    Nothing where it has no size, where more than one thing is named, or a number is not understood.
    """
    if not names_a_kind(_WORD.findall(words.casefold())):
        return ()
    spec = read_hardware(words)
    if not spec.kind or not spec.measured or any(sign.isdigit() for sign in "".join(spec.unread)):
        return ()
    items = items_of(words)
    read_styles(items, hardware_kinds()[spec.kind])
    named = ("kind", "style", "duty")
    return tuple(
        dict.fromkeys(
            " ".join(
                item.text
                for item in items
                if any(item.says(column) for column in columns)
                or item.use in {"beside", "shield"}
                or not (item.phrase or item.use or item.number or item.tokens[0].kind != "word")
                or (item.phrase and not item.phrase.says and item.text in _NAMING)
            )
            for columns in ((*named, "material"), named)
        )
    )


def _style(styles: list[str], kind: HardwareKind | None) -> str:
    if kind and kind.kind == "nut" and "hexagon" in styles:  # a nut of any style has a hexagon
        styles = [style for style in styles if style != "hexagon"] or [kind.plain_style]
    return " and ".join(styles)


def _bearing_number(items: Sequence[Item]) -> str:
    """Return a bearing's number: the one figure or code that is part of no size."""
    places = {place for place, _ in numbers_with_places(items)}
    codes = [
        item
        for place, item in enumerate(items)
        if not item.phrase
        and not item.use
        and any(sign.isdigit() for sign in item.text)
        and item.tokens[0].kind in {"number", "word"}
        and not _in_a_chain(items, place, places)
    ]
    if len(codes) != 1 or not _may_be_number(codes[0]):
        return ""
    codes[0].use = "number"
    return codes[0].text.upper()


def _may_be_number(item: Item) -> bool:
    token = item.tokens[0]
    return token.kind == "word" or (token.whole and 3 <= len(token.text) <= 6)  # noqa: PLR2004


def _in_a_chain(items: Sequence[Item], place: int, places: set[int]) -> bool:
    return any(
        other in places and items[between].tokens[0].kind == "x"
        for other, between in ((place - 2, place - 1), (place + 2, place + 1))
    )


def write_hardware(spec: Specification) -> str:
    """Return a specification in words that :func:`read_hardware` reads as the same."""
    parts = [_thread(spec)]
    if spec.sizes:
        parts.append(" x ".join(str(measure) for measure in spec.sizes))
    kind = hardware_kinds().get(spec.kind)
    if spec.style and not (kind and _style_in_kind(spec)):
        parts.append(phrase_for("style", spec.style))
    if spec.kind and not _style_in_kind(spec):
        parts.append(phrase_for("kind", spec.kind))
    elif spec.kind:
        parts.append(_style_in_kind(spec))
    parts += [spec.number, phrase_for("strength", spec.grade) if spec.grade else ""]
    parts += [phrase_for("drilled", ";".join(spec.drilled)) if spec.drilled else ""]
    parts += [
        phrase_for(column, getattr(spec, column)) for column in _WRITTEN if getattr(spec, column)
    ]
    parts.append(phrase_for("hand", "left") if spec.left_hand else "")
    parts.append(f"{spec.across_flats} A/F" if spec.across_flats else "")
    parts.append(f"for {spec.tube} pipe" if spec.tube else "")
    return ", ".join(part for part in parts if part)


def _style_in_kind(spec: Specification) -> str:
    """Return the phrase that says kind and style in one, where there is one."""
    try:
        return phrase_for("kind", spec.kind, style=spec.style) if spec.style else ""
    except KeyError:
        return ""


def _thread(spec: Specification) -> str:
    """Return ``3/8 in - 20 BSF x 1 1/4 in``, ``M10 x 1.25 x 40 mm``, ``2 BA x 1/2 in``."""
    length = f" x {spec.length}" if spec.length else ""
    if spec.series == "M" and spec.size:
        pitch = f" x {plain_number(spec.pitch)}" if spec.pitch else ""
        return f"M{spec.size.figure}{pitch}{length}"
    pitch = f" {plain_number(spec.tpi, fractions=True)} tpi" if spec.tpi else ""
    series = (
        "" if not spec.series or spec.series == "BA" else f" {phrase_for('series', spec.series)}"
    )
    if spec.size is None:
        return f"{series}{pitch}".strip()
    return f"{spec.size}{pitch}{series}{length}"

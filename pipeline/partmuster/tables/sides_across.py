"""Lists with a column for each side: "LH | RH", with figures or words below."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.conditions import read_condition
from partmuster.reading.quantities import read_quantity
from partmuster.reading.sides import read_side

from .headings import meanings_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from .headings import Heading

_HANDS = frozenset({"left", "right", "near", "off"})
_WHOLE = re.compile(r"^\d{1,6}(\.0)?$")
_TOLD = ("side", "quantity", "state", "words", "doubt")
#: Longer cells tell a story, and no longer how many there are on a side.
_LONGEST = 30
#: Words in a cell, folded, by what they say (common practice, no source).
_YES = frozenset({"y", "yes", "✓", "✔", "☑", "√", "true", "tick", "have", "got", "here", "ok",
                  "present", "fitted"})  # fmt: skip
_WANTED = frozenset({"y", "yes", "✓", "✔", "☑", "√", "x", "true", "wanted", "want", "need",
                     "needed", "required", "reqd", "missing", "please"})  # fmt: skip
_REQUIRED = frozenset({"y", "yes", "✓", "✔", "☑", "√", "x", "true", "required", "reqd", "fitted"})
_NONE = frozenset({"-", "--", "–", "—", "0", "0.0", "no", "n", "none", "nil", "n/a", "na"})
#: Of such nothing is said but that it is not there; the word is kept.
_GONE = frozenset({"missing", "gone", "not here", "not there", "absent", "none left", "not got",
                   "lost", "not fitted", "not required", "not needed", "not wanted",
                   "not reqd"})  # fmt: skip


def side_columns(headings: Sequence[Heading]) -> dict[str, str]:
    """Return heading by column for columns that each are of one side; empty where not two are.

    Such a heading is a side, "Qty" at most beside it, and short cells stand below it.
    """
    found: dict[str, str] = {}
    for heading in headings:
        if heading.content is None or heading.content.length > _LONGEST:
            continue
        reading = read_side(heading.text)
        rest = reading.rest.strip(" .-")
        how_many = not rest or any(m.field == "quantity" for m in meanings_of(rest)[0])
        if reading.side in _HANDS and how_many:
            found[heading.column] = heading.text.replace(rest, "").strip() if rest else heading.text
    return found if len({read_side(text).side for text in found.values()}) > 1 else {}


def with_sides(
    rows: pl.DataFrame, sides: Mapping[str, str], kind: str, total: str | None = None
) -> pl.DataFrame:
    """Return rows with what their side cells say as ``side_quantity`` and the like.

    A row of figures alone stays one row with "1 LH, 1 RH"; else each cell that says something of
    its side makes a row of its own, and what says that there is none is kept in ``side_words``.
    ``total``: a column that counts all sides together.
    """
    names = [*sides, *([total] if total else [])]
    plain = all(read_side(text).side in {"left", "right"} for text in sides.values())
    seen = rows.select(names).unique(maintain_order=True)
    told = []
    for row in seen.iter_rows():
        cells, whole = row[: len(sides)], row[len(sides)] if total else None
        by_side = dict(zip(sides.values(), cells, strict=True))
        if whole is not None:
            told += [(*row, *one) for one in _of_total(by_side, whole, kind)]
            continue
        figures = plain and all(cell is None or _WHOLE.match(cell) for cell in cells)
        told += [(*row, *one) for one in (_figures(by_side) if figures else
                                            _lines_of(by_side, kind))]  # fmt: skip
    fields = [f"side_{name}" for name in _TOLD]
    table = pl.DataFrame(told, schema=dict.fromkeys((*names, *fields), pl.String), orient="row")
    return rows.join(table, on=names, how="left", nulls_equal=True, maintain_order="left_right")


def _figures(cells: Mapping[str, str | None]) -> list[tuple[str | None, ...]]:
    """Return one line with all figures of a row: "1 LH, 1 RH"."""
    counted = ", ".join(f"{cell} {side}" for side, cell in cells.items() if cell is not None)
    return [(None, counted or None, None, None, None)]


def _of_total(
    cells: Mapping[str, str | None], whole: str, kind: str
) -> list[tuple[str | None, ...]]:
    """Return what ticks or figures for each side say beside how many there are together."""
    filled = {side: cell for side, cell in cells.items()
              if cell is not None and cell.strip(" .?!").casefold() not in _NONE}  # fmt: skip
    if not filled:
        return [(None, whole, None, None, None)]
    ticked = all(cell.strip(" .!").casefold() in _YES | {"x"} for cell in filled.values())
    if ticked and len(filled) == 1:
        return [(side, whole, None, None, None) for side in filled]
    count = int(float(whole)) if _WHOLE.match(whole) else None
    if ticked and count is not None and count % len(filled) == 0:
        return [(side, f"{count // len(filled)}", None, None, None) for side in filled]
    figures = all(_WHOLE.match(cell) for cell in filled.values())
    if figures and count == sum(int(float(cell)) for cell in filled.values()):
        return [(side, cell, None, None, None) for side, cell in filled.items()]
    said = ", ".join(f"{cell} {side}" for side, cell in filled.items())
    doubt = f"'{whole}' together, and {said}: how many of each?"
    return [(*line[:4], doubt) for line in _lines_of(cells, kind)]


def with_side_fields(
    rows: pl.DataFrame, chosen: Sequence[tuple[str, str]], remark: pl.Expr, kind: str
) -> tuple[pl.DataFrame, list[tuple[str, str]], pl.Expr]:
    """Return rows, their columns by field, and their remark, with what their sides say.

    What a column of the row says of all sides holds where a side's own cell does not say it.
    """
    state = "presence" if kind == "survey" else "condition"
    told = {"side": "side_side", state: "side_state", "quantity": "side_quantity",
            "doubt": "side_doubt"}  # fmt: skip
    if kind not in {"survey", "holding"}:
        del told[state]
    kept = [remark]
    for column, field in chosen:
        if field in told and field != "quantity":
            own = pl.col(told[field]).is_not_null() & pl.col(column).is_not_null()
            rows = rows.with_columns(
                pl.when(own).then(column).alias(f"side_over_{field}"),
                pl.coalesce(told[field], column).alias(told[field]),
            )
            kept.append(pl.col(f"side_over_{field}"))
    joined = pl.concat_str(*kept, "side_words", separator="; ", ignore_nulls=True)
    fields = [(column, field) for column, field in chosen if field not in told]
    fields += [(column, field) for field, column in told.items()]
    return rows, fields, pl.when(joined != "").then(joined)


def _lines_of(cells: Mapping[str, str | None], kind: str) -> list[tuple[str | None, ...]]:
    """Return what the cells of a row, by the side in their heading, say as lines."""
    lines: list[tuple[str | None, ...]] = []
    gone: list[str] = []
    for side, cell in cells.items():
        if cell is None:
            continue
        folded = cell.strip(" .?!").casefold()
        if kind != "survey" and (folded in _NONE or (folded in _GONE and kind != "want")):
            gone += [] if folded in _NONE else [f"{side}: {cell}"]
            continue
        quantity, state, known = _said(cell, folded, kind)
        doubt = None if known else f"'{cell}' under {side}: what does it say?"
        bare = not quantity and not state
        words = f"{side}: {cell}" if bare and (kind == "holding" or not known) else None
        lines.append((side, quantity, state, words, doubt))
    if not lines:
        some = any(cell is not None for cell in cells.values())
        lines.append((None, "0" if some else None, None, None, None))
    return [(*line[:3], "; ".join(filter(None, (line[3], *gone))) or None, line[4])
            for line in lines]  # fmt: skip


def _said(cell: str, folded: str, kind: str) -> tuple[str | None, str | None, bool]:
    """Return a cell's quantity and state, and whether it is understood."""
    if kind == "survey":
        return None, cell, True
    ticks = {"holding": _YES, "want": _WANTED, "requirement": _REQUIRED}.get(kind, _YES)
    if folded in ticks:
        return None, None, "?" not in cell
    reading = read_quantity(cell)
    condition = read_condition(cell)
    says_state = kind == "holding" and _is_state(cell)
    if reading.problem is None:
        plain = reading.at_least == reading.at_most and not reading.unserviceable
        more = condition.grade != "unknown" or condition.making != "unknown"
        return cell, cell if says_state and plain and more else None, True
    return None, cell if says_state else None, says_state


def _is_state(cell: str) -> bool:
    """Tell whether words say in what state a part is."""
    reading = read_condition(cell)
    told = (reading.service, reading.grade, reading.making)
    return any(one != "unknown" for one in told) and not reading.ambiguous

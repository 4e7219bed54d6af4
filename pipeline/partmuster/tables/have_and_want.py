"""Columns that say what is held beside those that say what is wanted: a row may be of both.

Their cells are counts, ticks, or words ("1 LH only", "yes please"); where no other column names
the parts, they name them: "Offers | Wants".
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.held_cells import read_held
from partmuster.reading.text import fold
from partmuster_trade.headings import fold_heading, have_or_want_headings

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from .headings import Heading

#: Headings of quantities that do not say of what: beside "Wanted", how many there are.
_PLAIN_QUANTITY = frozenset(
    {"quantity", "qty", "how many", "no", "no of", "number", "number of", "nos", "count", "amount",
     "quan", "qnty", "qnt", "total", "stock", "balance"}
)  # fmt: skip
_NAMES_PARTS = frozenset({"description", "part_number", "stock_number"})
_HELD = ("have", "offer")
_WANTED = (
    "difference",
    "short",
    "want",
    "required",
)  # beside what is short, the rest is what is needed in all
_MOST = 0.5
_DIFFERENCES = frozenset({"difference", "diff", "variance", "balance", "plus minus", "net"})
_SIGNED, _SHORT = r"^[-+\u2013\u2212]?\s*\d+(?:\.0)?$", r"^[-\u2013\u2212]\s*\d"
#: "2 idlers", "3 x track link": a count and a part.
_COUNTED = r"^\s*(\d{1,3})\s*(?:x|off|no\.?)?\s+(\D.*)$"
_TICKS = frozenset({"y", "yes", "\u2713", "\u2714", "\u2611", "\u221a"})
_CROSS, _NOES = frozenset({"x"}), frozenset({"n", "no", "none", "nil", "0", "-"})
_IN_ALL = "is so much wanted beside what is held, or in all?"
_OF_WHICH = "is the quantity of what is held, or of what is wanted?"
_WHAT_CROSS = "does 'x' mean yes or no here?"
_WANTED_QUERY = "is this wanted?"


@dataclass(frozen=True, slots=True)
class HaveAndWant:
    """The columns by what they say of a row.

    ``quantity``: of ticked rows. ``offered``: the heading of the held column, where it offers.
    ``in_all``: what is wanted may be all that is needed. ``names``: their cells name parts.
    ``sole``: a plain quantity stands for what is held. ``spare_columns``: quantities that say
    neither. ``difference``: the wanted column has a minus before what is short.
    """

    have: str
    want: str
    quantity: str | None = None
    offered: str | None = None
    in_all: bool = False
    names: bool = False
    sole: bool = False
    difference: bool = False
    spare_columns: tuple[str, ...] = ()


def find_have_and_want(
    headings: Sequence[Heading], body: pl.DataFrame, spoken: Collection[str]
) -> HaveAndWant | None:
    """Return a table's columns of what is held and wanted; None where it has no two such.

    ``spoken``: the kinds of line that titles speak for.
    """
    says = {h.column: _says(h.text) for h in headings if h.text}
    says |= {c: "difference" for c, text in says.items() if text == "either" or text is None
             if _is_difference(headings, c, body)}  # fmt: skip
    wanted = _first(says, _WANTED)
    if wanted is None:
        return None
    held = _first(says, _HELD)
    wordy = held is not None and all(_names_parts(body[c]) for c in (held, wanted))
    if not any(_names_part(h, wordy) for h in headings if h.column not in {held, wanted}):
        offered = next((h.text for h in headings if h.column == held), None)
        offered = offered if held and says[held] == "offer" else None
        return HaveAndWant(held, wanted, offered=offered, names=True) if held and wordy else None
    plain = [h.column for h in headings if h.column not in says or says[h.column] is None
             if _counts(h)]  # fmt: skip
    return _counted(headings, body, says, held, wanted, plain, spoken)


def _counted(  # noqa: PLR0911 - one return a thing that the headings may mean
    headings: Sequence[Heading], body: pl.DataFrame, says: Mapping[str, str | None],
    held: str | None, wanted: str, plain: Sequence[str], spoken: Collection[str],
) -> HaveAndWant | None:  # fmt: skip
    texts = {h.column: h.text for h in headings}
    if says[wanted] == "difference":
        found = HaveAndWant(held or "", wanted, difference=True, spare_columns=tuple(plain))
        return found if held and _read_alike(body[held], wanted=False) else None
    ticked = _only_ticks(body[wanted]) and (held is None or _only_ticks(body[held]))
    quantity = next((c for c in plain if fold_heading(texts[c]) in _PLAIN_QUANTITY), None)
    if held is None or (says[held] == "offer" and quantity and not ticked):
        if quantity is None or "want" in spoken or not _read_alike(body[wanted], wanted=True):
            return None
        sole = _only_ticks(body[wanted])
        if sole and body[wanted].null_count() == body.height:
            return None
        return HaveAndWant(quantity, wanted, in_all=says[wanted] == "required", sole=sole)
    if "want" in spoken and says[held] == "have" and _only_ticks(body[held]):
        return None  # in a list of wants "Got it?" tells which are met
    if not (_read_alike(body[held], wanted=False) and _read_alike(body[wanted], wanted=True)):
        return None
    order = [h.column for h in headings]
    first = order.index(wanted) < order.index(held) and says[held] == "have"
    return HaveAndWant(
        held, wanted,
        quantity=plain[0] if ticked and plain else None,
        offered=texts[held] if says[held] == "offer" else None,
        in_all=says[wanted] == "required" or (first and says[wanted] == "want"),
        spare_columns=() if ticked else tuple(plain),
    )  # fmt: skip


def _is_difference(headings: Sequence[Heading], column: str, body: pl.DataFrame) -> bool:
    """Tell whether a column is what is held less what is needed: "+/-", "Difference"."""
    text = next(h.text for h in headings if h.column == column)
    plain = fold_heading(text.strip(" ?:.!"))
    headed = plain in _DIFFERENCES or have_or_want_headings().get(plain) == "either" or (
        not plain and "-" in fold(text)
    )  # fmt: skip
    cells = body[column].drop_nulls()
    return headed and cells.str.contains(_SIGNED).all() and cells.str.contains(_SHORT).any()


def _names_part(heading: Heading, wordy: bool) -> bool:
    """Tell whether a heading is of parts; "Name" is not where other columns name them."""
    fields = {m.field for m in heading.meanings}
    return bool(fields & _NAMES_PARTS) and not (wordy and "holder" in fields)


def _says(text: str) -> str | None:
    return have_or_want_headings().get(fold_heading(text.strip(" ?:.!")))


def _first(says: Mapping[str, str | None], wanted: Sequence[str]) -> str | None:
    return next((c for word in wanted for c, said in says.items() if said == word), None)


def _counts(heading: Heading) -> bool:
    return (
        bool(heading.meanings)
        and any(m.field == "quantity" for m in heading.meanings)
        and (heading.content is None or heading.content.quantity >= _MOST)
    )


def _read_alike(cells: pl.Series, *, wanted: bool) -> bool:
    """Tell whether half of a column's cells at least are read as what is held or wanted."""
    counted = cells.drop_nulls().value_counts()
    if counted.is_empty():
        return True
    read = sum(n for cell, n in counted.iter_rows() if read_held(cell, wanted=wanted).read)
    return bool(read >= _MOST * int(counted["count"].sum()))


def _only_ticks(cells: pl.Series) -> bool:
    """Tell whether a column says no more than yes and no."""
    found = [read_held(cell, wanted=True) for cell in cells.drop_nulls().unique()]
    return all(cell.says == "yes" or (cell.says == "nothing" and cell.quantity is None)
               for cell in found) and not cells.drop_nulls().str.contains(r"^0").any()  # fmt: skip


def _names_parts(cells: pl.Series) -> bool:
    """Tell whether a column's cells are words that are no answers: names of parts."""
    filled = [cell for cell in cells.drop_nulls() if read_held(cell, wanted=True).says != "nothing"]
    bare = [re.sub(_COUNTED, r"\2", cell) for cell in filled]
    words = [
        cell
        for cell in bare
        if any(char.isalpha() for char in cell)
        and not (read_held(cell, wanted=True).read or read_held(cell, wanted=False).read)
    ]
    return bool(words) and len(words) >= 0.8 * len(filled)


def held_and_wanted(lines: pl.DataFrame, columns: HaveAndWant, prefix: str) -> pl.DataFrame:
    """Return a holding for what a row has and a want for what it wants; of neither, no kind.

    ``prefix``: of the names under which the columns go with the lines.
    """
    have, want = f"{prefix}{columns.have}", f"{prefix}{columns.want}"
    if "availability" not in lines.columns:
        lines = lines.with_columns(pl.lit(None, pl.String).alias("availability"))
    if columns.names:
        made = _parts_named(lines, "description", want)
        return made.with_columns(_offered(columns.offered)) if columns.offered else made
    lines = lines.with_columns(
        pl.lit(None, pl.String).alias(name)
        for name in ("quantity", "side", "position", "condition", "doubt")
        if name not in lines.columns
    )  # fmt: skip
    if columns.difference:
        short = pl.col(want).str.extract(r"^[-\u2013\u2212]\s*(\d+)")
        lines = lines.with_columns(short.fill_null("0").alias(want))
    held, wants = _cells(lines[have], wanted=False), _cells(lines[want], wanted=True)
    lines = lines.hstack([held.to_struct("_held"), wants.to_struct("_want")])
    has = pl.col("_held").struct["says"] != "nothing"
    wanting = pl.col("_want").struct["says"] != "nothing"
    none_held = ~has & ~wanting & pl.col(have).is_not_null()
    open_rows = has & wanting if columns.sole else pl.lit(value=False)
    lines = lines.with_columns((has & wanting).alias("_both"))
    untold = lines.filter((~has & ~wanting & pl.col(have).is_null()) | open_rows)
    made = pl.concat([
        _of_kind(lines.filter((has & ~open_rows) | none_held), "holding", "_held"),
        _of_kind(lines.filter(wanting & ~open_rows), "want", "_want"),
        untold.with_columns(pl.lit(None, pl.String).alias("kind"), _asked("_both", _OF_WHICH)),
    ]).sort("row", maintain_order=True)  # fmt: skip
    if columns.quantity:
        made = _with_quantity(made, f"{prefix}{columns.quantity}", columns)
    if columns.in_all:
        made = made.with_columns(_asked(pl.col("_both") & (pl.col("kind") == "want"), _IN_ALL))
    if columns.offered:
        made = made.with_columns(_offered(columns.offered))
    return made.drop("_held", "_want", "_both")


def _with_quantity(lines: pl.DataFrame, counted: str, columns: HaveAndWant) -> pl.DataFrame:
    """Return lines of a ticked table with the quantity of their row, where it can be of one only.

    What is not for sale is held all the same.
    """
    refused = pl.col("_held").struct["says"] == "nothing"
    refused &= (pl.col("kind") == "holding") & pl.col(counted).is_not_null()
    of_one = ~pl.col("_both") & (~refused | pl.lit(columns.offered is not None))
    lines = lines.with_columns(
        pl.when(of_one).then(pl.coalesce(counted, "quantity")).otherwise("quantity")
        .alias("quantity"),
        _asked(~of_one & pl.col(counted).is_not_null(), _OF_WHICH),
    )  # fmt: skip
    if columns.offered is None:
        return lines
    kept = pl.when(refused).then(pl.lit("not offered"))
    return lines.with_columns(pl.coalesce("availability", kept).alias("availability"))


def _offered(heading: str) -> pl.Expr:
    """Return the availability of lines whose heading says it: "For sale"."""
    offer = pl.when(pl.col("kind") == "holding").then(pl.lit(heading))
    return pl.coalesce("availability", offer).alias("availability")


def _asked(when: pl.Expr | str, words: str) -> pl.Expr:
    asked = pl.when(when).then(pl.lit(words))
    joined = pl.concat_str(["doubt", asked], separator="; ", ignore_nulls=True)
    return joined.replace("", None).alias("doubt")


def _of_kind(lines: pl.DataFrame, kind: str, cell: str) -> pl.DataFrame:
    """Return lines of a kind with what its cell says of them."""
    own = pl.col(cell).struct
    sided = own["side"].is_not_null() & pl.col("side").is_not_null()
    return lines.with_columns(
        pl.lit(kind).alias("kind"),
        own["quantity"].alias("quantity"),
        pl.coalesce("side", own["side"]).alias("side"),
        # Beside the row's own side it is weighed against it.
        pl.when(sided)
        .then(pl.concat_str(["position", own["side"]], separator=" ", ignore_nulls=True))
        .otherwise("position").alias("position"),
        pl.concat_str(["condition", own["condition"]], separator="; ", ignore_nulls=True)
        .replace("", None).alias("condition"),
        pl.concat_str(["remark", own["remark"]], separator="; ", ignore_nulls=True)
        .replace("", None).alias("remark"),
        pl.concat_str(["doubt", own["doubt"]], separator="; ", ignore_nulls=True)
        .replace("", None).alias("doubt"),
    )  # fmt: skip


def _cells(cells: pl.Series, *, wanted: bool) -> pl.DataFrame:
    """Return what each cell of a column says, in columns of :class:`HeldCell` and ``doubt``."""
    texts = cells.unique().to_list()
    folded = {fold(text) for text in texts if text}
    # Who writes "no" for no means yes by a cross.
    two_marks = bool(folded & _CROSS) and bool(folded & _TICKS) and not folded & _NOES
    rows = []
    for text in texts:
        read = read_held(text or "", wanted=wanted)
        doubt = None
        if two_marks and fold(text or "") in _CROSS:
            doubt = _WHAT_CROSS
        elif wanted and (text or "").strip("? ") == "" and text:
            doubt, read = _WANTED_QUERY, replace(read, says="yes", quantity=None)
        if text and not wanted and read.says == "nothing":
            read = replace(read, quantity="0")
        rows.append((text, read.says, read.quantity, read.side, read.condition, read.remark, doubt))
    schema = dict.fromkeys(
        ("_text", "says", "quantity", "side", "condition", "remark", "doubt"), pl.String
    )
    table = pl.DataFrame(rows, schema=schema, orient="row")
    found = (
        cells.alias("_text")
        .to_frame()
        .join(table, on="_text", how="left", nulls_equal=True, maintain_order="left")
    )
    return found.drop("_text")


def _parts_named(lines: pl.DataFrame, have: str, want: str) -> pl.DataFrame:
    """Return lines where the cells themselves name what is held and what is wanted."""
    if "quantity" not in lines.columns:
        lines = lines.with_columns(pl.lit(None, pl.String).alias("quantity"))
    some = {
        name: pl.col(name).is_not_null() & ~pl.col(name).is_in(_nothings(lines[name]))
        for name in (have, want)
    }
    pieces = []
    for name, kind in ((have, "holding"), (want, "want")):
        part = pl.col(name).str.extract(_COUNTED, 2)
        pieces.append(
            lines.filter(some[name]).with_columns(
                pl.lit(kind).alias("kind"),
                pl.coalesce("quantity", pl.col(name).str.extract(_COUNTED, 1)).alias("quantity"),
                pl.coalesce(part, name).alias("description"),
            )
        )
    neither = lines.filter(~some[have] & ~some[want])
    pieces.append(neither.with_columns(pl.lit(None, pl.String).alias("kind")))
    return pl.concat(pieces, how="diagonal").sort("row", maintain_order=True)


def _nothings(cells: pl.Series) -> list[str]:
    return [cell for cell in cells.drop_nulls().unique()
            if read_held(cell, wanted=True).says == "nothing"]  # fmt: skip

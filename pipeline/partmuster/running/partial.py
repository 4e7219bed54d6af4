"""Whether a newer version of a sheet looks like a part of it: filtered, cut off, a sheet gone.

Registrars save a sheet while a filter is on, or send the half of it that was printed. Such a
version ends nothing until somebody says that it is whole (common practice, no source).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.store.sources import omitted_lines, standing_lines

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection

    from partmuster.store.put_aside import LinesOfKind

#: A newer version that omits this share, and at least this many lines, looks partial.
_SHARE, _LINES = 0.3, 5
#: Of a short sheet: this share, where at least ``_FEW`` lines are gone.
_SHORT_SHARE = 0.5
#: Fewer lines gone than this are sold or used; no filter is suspected.
_FEW = 3
#: Columns by which sheets are filtered, with the word for each, the likeliest first.
_FILTERED_BY = {
    "holder_key": "holder", "owner_key": "owner", "vehicle_key": "vehicle", "assembly": "assembly",
    "place_key": "place", "section": "section", "family": "family", "availability": "availability",
    "presence": "state", "grade": "condition", "service": "service", "role": "role",
    "stage": "stage",
}  # fmt: skip
WHAT_TO_DO = (
    "nothing was ended. If what it leaves out has really gone, import it again with --complete"
)


def looks_partial(
    con: DuckDBPyConnection, source_id: str, lines: Mapping[str, LinesOfKind], raw: pl.DataFrame
) -> str | None:
    """Return in what way a newer version looks like a part of its source, and what to do; or None.

    ``lines``: its frames by kind, each with ``line_base`` and ``raw_number``; ``raw``: its raw
    lines, with ``sheet``.
    """
    omitted, standing = omitted_lines(con, source_id, lines)
    if not omitted:
        return None
    if omitted < _FEW and raw.get_column("sheet").null_count() == raw.height:
        return None
    found = _with_fate(standing_lines(con, source_id, list(_FILTERED_BY)), lines)
    gone, kept = found.filter("gone"), found.filter(~pl.col("gone"))
    many = omitted >= _LINES and omitted >= _SHARE * standing
    advice = ""
    if told := _sheet_gone(gone, kept, raw):
        seems = "partial"
    elif omitted < _FEW:
        return None
    elif told := _filtered(gone, kept):
        seems, advice = "filtered", "; else show all rows, save it and import it once more"
    elif told := _cut_off(found, lines):
        seems = "cut off"
    elif many or omitted >= _SHORT_SHARE * standing:
        seems = "partial"
    else:
        return None
    leaves = f"It leaves out {omitted} of {standing} lines{f': {told}' if told else ''}"
    return f"{leaves}. It looks {seems}: {WHAT_TO_DO}{advice}"


def fields_gone(
    con: DuckDBPyConnection, source_id: str, layout: pl.DataFrame
) -> str | None:  # fmt: skip
    """Return which columns of a source a newer version has no more, and what follows; or None.

    ``layout``: how its columns were taken.
    """
    before = con.execute(
        "SELECT l.line_kind, l.field, l.heading FROM layout_taken l JOIN newest_version n "
        "ON n.source_id = l.source_id AND n.version = l.source_version "
        "WHERE l.source_id = ? AND l.field IS NOT NULL "
        'ORDER BY l.sheet, l.table_number, l."column"',
        [source_id],
    ).fetchall()
    kinds = set(layout.get_column("line_kind"))
    kept = set(layout.select("line_kind", "field").iter_rows())
    gone = {
        field: f"'{heading}' ({field.replace('_', ' ')})" if heading else field.replace("_", " ")
        for kind, field, heading in reversed(before)
        if kind in kinds and (kind, field) not in kept
    }
    if not gone:
        return None
    columns = f"the column {', '.join(reversed(gone.values()))} is"
    if len(gone) > 1:
        columns = columns.replace("the column", "the columns", 1).removesuffix("is") + "are"
    return (
        f"It lacks what an older version had: {columns} gone, and what stood there counts no "
        "longer. If it should still be there, put it back and import it again"
    )


def _with_fate(standing: pl.DataFrame, lines: Mapping[str, LinesOfKind]) -> pl.DataFrame:
    """Add ``gone``: of equal statements the last are taken to be the ones left out."""
    has = _bases(lines).group_by("line_base").len("has")
    return (
        standing.sort("raw_number", nulls_last=True)
        .join(has, on="line_base", how="left", maintain_order="left")
        .with_columns(
            gone=pl.int_range(pl.len()).over("line_base") >= pl.col("has").fill_null(0),
        )
    )


def _bases(lines: Mapping[str, LinesOfKind]) -> pl.DataFrame:
    frames = [
        frame.select("line_base", pl.col("raw_number").cast(pl.Int64)) for frame in lines.values()
    ]
    empty = pl.DataFrame(schema={"line_base": pl.String, "raw_number": pl.Int64})
    return pl.concat([empty, *frames])


def _sheet_gone(gone: pl.DataFrame, kept: pl.DataFrame, raw: pl.DataFrame) -> str | None:
    """Return the words for sheets that are no longer in the file; others of it are."""
    if "sheet" not in raw.columns or not kept.height:
        return None
    missing = (
        gone.select("sheet").drop_nulls().unique()
        .join(kept.select("sheet").unique(), on="sheet", how="anti")
        .join(raw.select("sheet").unique(), on="sheet", how="anti")
        .get_column("sheet").sort().to_list()
    )  # fmt: skip
    if not missing or kept.get_column("sheet").null_count() == kept.height:
        return None
    named = ", ".join(f"'{sheet}'" for sheet in missing)
    return f"the sheet {named} is gone" if len(missing) == 1 else f"the sheets {named} are gone"


def _filtered(gone: pl.DataFrame, kept: pl.DataFrame) -> str | None:
    """Return the words for a value that all lines left out share and no other line has.

    Or that all lines left share, and none of those left out has.
    """
    if not kept.height:
        return None
    for column, word in _FILTERED_BY.items():
        value = _shared(gone, column)
        if value is not None and value not in kept.get_column(column):
            return f"every line of {word} '{value}'"
    for column, word in _FILTERED_BY.items():
        value = _shared(kept, column)
        if value is not None and kept.height >= _FEW and value not in gone.get_column(column):
            return f"only lines of {word} '{value}' are left"
    return None


def _shared(frame: pl.DataFrame, column: str) -> str | None:
    """Return the one value that a column has in all rows, or None."""
    values = frame.get_column(column).unique()
    return values[0] if values.len() == 1 else None


def _cut_off(found: pl.DataFrame, lines: Mapping[str, LinesOfKind]) -> str | None:
    """Return the words where exactly the end of one sheet is gone, and nothing came for it."""
    gone = found.filter("gone")
    if gone.get_column("sheet").n_unique() != 1:
        return None
    sheet = found.filter(pl.col("sheet").eq_missing(gone.get_column("sheet")[0]))
    if sheet.filter(~pl.col("gone")).is_empty() or not sheet.get_column("gone").is_sorted():
        return None
    bases = _bases(lines)
    last_known = bases.join(found, on="line_base", how="semi").select(pl.col("raw_number").max())
    after = pl.col("raw_number") > pl.lit(last_known.item())
    if bases.join(found, on="line_base", how="anti").filter(after).height:
        return None
    where = f" of the sheet '{sheet.get_column('sheet')[0]}'" if _has_sheets(found) else ""
    return f"the last {gone.height} lines{where}"


def _has_sheets(found: pl.DataFrame) -> bool:
    return found.get_column("sheet").n_unique() > 1

"""Lines as text: what layout and prose importers hand on, before anything is read from the words.

Every field is text as it stands in the source, or empty. Normalising turns a text line into one or
more typed lines (``said``).
"""

from __future__ import annotations

import functools

import polars as pl

#: Where a text line stands. ``raw_number`` counts the raw lines (rows, matrix cells, statements)
#: of one source version from 1 and is given by the core.
ADDRESS_COLUMNS: dict[str, pl.DataType] = {
    "raw_number": pl.Int64(),
    "sheet": pl.String(),
    "page": pl.Int32(),
    "row": pl.Int32(),
    "column": pl.Int32(),
    "box": pl.String(),
    "words": pl.String(),
    "section": pl.String(),
    "sheet_date": pl.Date(),  # a date the sheet or note states for all its lines
    "kind": pl.String(),
    "sure": pl.Boolean(),
    "first_hand": pl.Boolean(),
    "struck": pl.Boolean(),
    "hidden": pl.Boolean(),
    "comment": pl.String(),  # comments on its cells, a line each; they stand in the remark too
    "times": pl.String(),  # in a parts list: so many of what it belongs to, and what that took
    "doubt": pl.String(),  # what a person must settle before the line counts
    "rule": pl.String(),  # of a statement in prose: the rule that read it
    # lines of one raw line with a choice: readings of it that exclude each other, in the order in
    # which the importer prefers them; lines with the same choice belong to one reading; one that
    # begins with "else" holds only where no other can
    "choice": pl.String(),
}

#: Every field a heading or a phrase can be taken for.
FIELDS: tuple[str, ...] = (
    # the item
    "description", "part_number", "casting_number", "drawing_number", "stock_number",
    "maker_number", "maker", "supply_class", "side", "position", "location",
    # how many, in what state
    "quantity", "unit", "condition", "availability", "presence", "price", "making",
    # whether it has gone, to whom, when; how many there were before
    "gone", "gone_to", "gone_on", "had",
    # who, where, when
    "holder", "owner", "keeper", "place", "date", "since", "said_by", "from_vehicle",
    # which vehicle, which build
    "vehicle", "family", "assembly", "mark", "phase", "build", "effectivity",
    "club_number", "works_number", "service_number", "civil_number",
    "series", "serial", "hull_serial", "engine_serial", "first_serial", "last_serial",
    "role", "aim", "aim_target", "owner_agrees",
    # parts lists
    "figure", "item_number", "level", "needed_for", "quantity_basis", "parent_words",
    "attaching", "companions", "mated_set", "superseded_by",
    # fits
    "to_description", "to_part_number", "to_build", "to_family", "to_mark", "to_phase",
    "to_side", "to_position", "fit_grade", "work", "reason", "supersedes",
    # people and places
    "code", "known_as", "region", "town", "country", "phone", "email", "address",
    "latitude", "longitude",
    # what was seen and told
    "feature", "feature_value", "evidence", "likelihood", "feature_group", "changeable",
    "with_build", "with_assembly", "with_mark", "with_phase",
    # later changes on a vehicle
    "later_change", "change_by", "change_when", "displaced", "change_stays",
    "statement", "conclusion", "happened_on", "stage", "status",
    "remark",
)  # fmt: skip

_DEFAULTS = {"sure": True, "first_hand": True, "struck": False, "hidden": False}
#: So many lines are put together column by column, which is quicker than a query of all columns.
_SHORT = 300


def text_line_schema() -> dict[str, pl.DataType]:
    """Return column names and types of a frame of text lines: address columns, then all fields."""
    return {**ADDRESS_COLUMNS, **{name: pl.String() for name in FIELDS}}


def as_text_lines(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the frame with every column of a text line, in order, missing ones empty.

    Where nothing is said of it, a line is sure, first-hand, and neither struck nor hidden.

    Raises:
        ValueError: the frame has a column that no text line has.
    """
    schema = text_line_schema()
    unknown = [name for name in frame.columns if name not in schema]
    if unknown:
        raise ValueError(f"no such field of a line: {', '.join(unknown)}")
    have = frame.schema
    if frame.height <= _SHORT:
        return _short(frame)
    missing = [
        pl.lit(_DEFAULTS.get(name), dtype=dtype).alias(name)
        for name, dtype in schema.items()
        if name not in have
    ]
    otherwise = [
        pl.col(name).cast(schema[name])
        for name, dtype in have.items()
        if dtype != schema[name] and name not in _DEFAULTS
    ]
    filled = [
        pl.col(name).cast(schema[name]).fill_null(value)
        for name, value in _DEFAULTS.items()
        if name in have
    ]
    return frame.with_columns(missing + otherwise + filled).select(list(schema))


def _short(frame: pl.DataFrame) -> pl.DataFrame:
    """Return few lines whole, column by column."""
    whole = _blank(frame.height).clone()
    places = whole.columns
    at = {name: place for place, name in enumerate(places)}
    dtypes = text_line_schema()
    for column in frame.get_columns():
        name = column.name
        told = column if column.dtype == dtypes[name] else column.cast(dtypes[name])
        if name in _DEFAULTS and told.null_count():
            told = told.fill_null(_DEFAULTS[name])
        whole.replace_column(at[name], told)
    return whole


@functools.lru_cache(maxsize=64)
def _blank(height: int) -> pl.DataFrame:
    """Return so many lines of which nothing is said; most notes and many sheets are short."""
    return pl.DataFrame(
        [
            pl.Series(name, [_DEFAULTS.get(name)] * height, dtype)
            for name, dtype in text_line_schema().items()
        ]
    )

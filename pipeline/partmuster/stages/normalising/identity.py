"""Permanent identity: what makes two lines one statement, and two descriptions one key."""

from __future__ import annotations

import re
from hashlib import blake2b

import polars as pl

from partmuster.reading.text import fold

_SEPARATOR = "\x1f"

#: What makes a line of a kind the same statement in a later version of its source. Never the
#: row, never the quantity.
SUBJECTS: dict[str, tuple[str, ...]] = {
    "requirement": ("family", "assembly", "description", "part_number_normal", "casting_number",
                    "side", "position", "location", "effectivity_text", "figure", "item_number"),
    "holding": ("description", "part_number_normal", "stock_number", "side", "position",
                "location", "holder_key", "mark", "phase"),
    "want": ("description", "part_number_normal", "side", "position", "location", "holder_key",
             "vehicle_key"),
    "survey": ("vehicle_key", "assembly", "description", "part_number_normal", "side",
               "position", "location"),
    "fit": ("description", "part_number_normal", "side", "position", "family", "mark", "phase",
            "to_description", "to_part_number", "to_side", "to_position", "to_family",
            "to_mark", "to_phase"),
    "vehicle": ("vehicle_key", "club_number", "assembly"),
    "holder": ("holder_key",),
    "place": ("place_key",),
    "build": ("family", "assembly", "mark", "phase", "series", "feature"),
    "feature": ("vehicle_key", "assembly", "feature"),
    "history": ("vehicle_key", "assembly", "statement"),
    "promise": ("holder_key", "vehicle_key", "description", "side", "position"),
    "lead": ("statement", "description"),
}  # fmt: skip

ITEM_KEY_COLUMNS = (
    "description", "part_number_normal", "casting_number", "stock_number", "maker",
    "supply_class", "side", "position", "family", "assembly",
)  # fmt: skip

#: Not part of a line's value: where it stands, and what is derived or recorded by the store.
_NOT_VALUES = frozenset(
    {
        "raw_number",
        "line_base",
        "words",
        "section",
        "values_hash",
        "said_on_basis",
        "withdrawn",
        "rule",
    }
)


def name_key(text: str) -> str:
    """Return a name folded for comparing: case, spaces and punctuation do not count."""
    return re.sub(r"[^\w]+", " ", fold(text)).strip()


def digest(texts: pl.Series, size: int = 8) -> pl.Series:
    """Return a short stable hash (hex, ``2 * size`` digits) of each text."""
    return pl.Series(
        texts.name,
        [blake2b(text.encode(), digest_size=size).hexdigest() for text in texts.to_list()],
        dtype=pl.String,
    )


def joined(frame: pl.DataFrame, columns: tuple[str, ...] | list[str]) -> pl.Series:
    """Return the columns joined to one text a row; an absent column counts as empty."""
    parts = [
        pl.col(name).cast(pl.String).fill_null("") if name in frame.columns else pl.lit("")
        for name in columns
    ]
    return frame.select(pl.concat_str(parts, separator=_SEPARATOR).alias("joined")).to_series()


def with_item_key(frame: pl.DataFrame, name: str = "item_key", **renamed: str) -> pl.DataFrame:
    """Add the key of the item a line describes; empty where it describes none.

    ``renamed`` maps a key column to the column of the frame that holds it.
    """
    columns = {column: renamed.get(column, column) for column in ITEM_KEY_COLUMNS}
    frame = frame.with_columns(
        pl.lit(None, dtype=pl.String).alias(source)
        for source in set(columns.values())
        if source not in frame.columns
    )
    described = pl.any_horizontal(
        pl.col(columns[name]).is_not_null()
        for name in ("description", "part_number_normal", "casting_number", "stock_number")
    )
    folded = _folded(frame.get_column(columns["description"]))
    keyed = frame.select(
        folded.alias("_description"),
        *(pl.col(source).alias(key) for key, source in columns.items() if key != "description"),
    )
    key = digest(joined(keyed, keyed.columns)).alias(name)
    return frame.with_columns(pl.when(described).then(key).alias(name))


def item_keys(frame: pl.DataFrame, name: str = "item_key", **renamed: str) -> pl.DataFrame:
    """Return the distinct item keys of a frame with what they stand for (``records.ItemKey``)."""
    columns = {column: renamed.get(column, column) for column in ITEM_KEY_COLUMNS}
    return (
        frame.filter(pl.col(name).is_not_null())
        .select(
            pl.col(name).alias("item_key"),
            *(pl.col(source).cast(pl.String).alias(key) for key, source in columns.items()),
            # Whose words these are is told when they are matched, by the members' list.
            pl.lit(None, dtype=pl.String).alias("region"),
        )
        .unique("item_key", keep="first", maintain_order=True)
    )


def with_line_base(frame: pl.DataFrame, kind: str, source_ids: pl.Series) -> pl.DataFrame:
    """Add ``line_base`` (the line's id without its occurrence) and ``values_hash``.

    ``source_ids``: the source of each line.
    """
    subject = [
        _folded(frame.get_column(name)).alias(name)
        if name in ("description", "to_description", "statement", "feature")
        else frame.get_column(name)
        for name in SUBJECTS[kind]
        if name in frame.columns
    ]
    said = joined(pl.DataFrame(subject), list(SUBJECTS[kind]))
    base = digest(
        pl.select(
            pl.concat_str(source_ids, pl.lit(kind), said, separator=_SEPARATOR).alias("joined")
        ).to_series()
    )
    # A day the source does not state (saved, imported) is no new statement.
    stated = pl.when(pl.col("said_on_basis").is_in(["line", "sheet", "file-name"])).then(
        pl.col("said_on")
    )
    values = [
        stated.cast(pl.String).fill_null("")
        if name == "said_on"
        else pl.col(name).cast(pl.String).fill_null("")
        for name in sorted(frame.columns)
        if name not in _NOT_VALUES
    ]
    if "withdrawn" in frame.columns:  # a line that stands has the value it had without the column
        struck = pl.when("withdrawn").then(pl.lit("withdrawn"))
        values.append(struck.fill_null(""))
    value = frame.select(
        pl.concat_str(values, separator=_SEPARATOR)
        .str.strip_suffix(_SEPARATOR).alias("values_hash")
    )  # fmt: skip
    return frame.with_columns(
        ("" + kind + "-" + base).alias("line_base"),
        digest(value.to_series()).alias("values_hash"),
    )


def _folded(texts: pl.Series) -> pl.Series:
    """Return each text folded, worked out once a distinct text."""
    distinct = texts.unique()
    table = pl.DataFrame(
        {
            "text": distinct,
            "folded": [None if text is None else fold(text) for text in distinct.to_list()],
        },
        schema={"text": pl.String, "folded": pl.String},
    )
    return (
        pl.DataFrame({"text": texts})
        .join(table, on="text", how="left", nulls_equal=True, maintain_order="left")
        .get_column("folded")
        .alias(texts.name)
    )

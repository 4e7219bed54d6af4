"""Telephone numbers and e-mail addresses written where members would see them."""

from __future__ import annotations

import re

import polars as pl

#: Columns of a line that members, or readers of a circulated copy, may see.
_SEEN = ("holder", "owner", "keeper", "vehicle", "from_vehicle", "known_as", "region", "code",
         "location", "position", "side", "needed_for", "superseded_by", "companions",
         "maker", "happened_on", "series", "aim_target", "evidence", "feature_group",
         "change_by", "change_when", "displaced")  # fmt: skip
#: Numbers of parts and vehicles hold too many digits for a telephone number to be told there.
_NUMBERS = ("part_number", "casting_number", "drawing_number", "stock_number", "maker_number",
            "club_number", "works_number", "service_number", "civil_number", "serial")  # fmt: skip
_CALLED = r"(?:\b(?:e-?mail|tel(?:ephone)?|phone|ph|mob(?:ile)?|ring|call|text)\b[.: ]*(?:on )?)?"
_EMAIL = re.compile(_CALLED + r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+", re.IGNORECASE)
#: Ten digits or more, as a telephone number has with its area (common practice, no source).
_PHONE = re.compile(_CALLED + r"(?<![\w/-])\+?\(?\d(?:[ ()-]?\d){9,14}(?![\w/-])", re.IGNORECASE)
#: What a text with either holds, asked of whole columns before it is read.
_LIKELY = r"@|(?:\d[ ()-]{0,2}){10}"
_FILLER = re.compile(r"\b(?:first|please|or|and|after|before|evenings?|only)\b", re.IGNORECASE)
_LOOSE_ENDS = " ,;:-–/()[]<>|"


def without_private_details(frame: pl.DataFrame) -> pl.DataFrame:
    """Return lines with e-mail addresses and telephone numbers moved to the remark.

    They are taken out of every column that others than the registrar may see; a remark is the
    registrar's alone. Where a contact's details stand in columns of their own they stay.
    """
    for column in (*_SEEN, *_NUMBERS):
        texts = frame.get_column(column)
        if texts.null_count() == frame.height:
            continue
        phones = column not in _NUMBERS
        likely = texts.filter(texts.str.contains(_LIKELY if phones else "@")).unique()
        found = {text: split for text in likely if (split := _split(text, phones=phones))[1]}
        if not found:
            continue
        private = pl.col(column).replace_strict(
            {text: split[1] for text, split in found.items()}, default=None,
            return_dtype=pl.String,
        )  # fmt: skip
        kept = {text: split[0] for text, split in found.items()}
        frame = frame.with_columns(
            pl.when(private.is_not_null())
            .then(pl.concat_str([pl.col("remark"), private], separator="; ", ignore_nulls=True))
            .otherwise("remark").alias("remark"),
            pl.when(private.is_not_null())
            .then(pl.col(column).replace_strict(kept, default=None, return_dtype=pl.String))
            .otherwise(column).alias(column),
        )  # fmt: skip
    return frame


def _split(text: str, *, phones: bool) -> tuple[str | None, str | None]:
    """Return a text without private details, and these; None where nothing is left."""
    taken: list[str] = []
    rest = text
    for pattern in (_EMAIL, _PHONE) if phones else (_EMAIL,):
        taken += [match[0].strip(_LOOSE_ENDS) for match in pattern.finditer(rest)]
        rest = pattern.sub(" ", rest)
    if not taken:
        return text, None
    if not _FILLER.sub("", rest).strip(_LOOSE_ENDS):
        return None, text  # "ring 01632 ... first"
    left = re.sub(r"\(\s*\)|\[\s*\]|<\s*>", " ", rest)
    return " ".join(left.split()).strip(_LOOSE_ENDS) or None, " ".join(taken)

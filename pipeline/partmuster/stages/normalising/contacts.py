"""Telephone numbers and e-mail addresses of contacts: each in its own column, and nothing else."""

from __future__ import annotations

import re

import polars as pl

from .columns import read_column

_EMAIL = re.compile(r"[\w.+'-]+@[\w-]+(?:\.[\w-]+)+")
#: So many digits at least make a telephone number (common practice, no source).
_DIGITS = 5
_PHONE = re.compile(r"\+?\(?\d(?:[ ()./-]{0,2}\d){4,14}")
#: Years and days are no numbers to ring.
_DATED = re.compile(r"\b(?:19|20)\d\d\b(?! ?\d)|\b\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b")
_LOOSE = " ,;:/|-()<>&"


def read_contacts(frame: pl.DataFrame) -> pl.DataFrame:
    """Return holder lines with telephone and e-mail where they belong.

    An address in the telephone's column, or a number in the other's, goes to its own where that is
    empty; words that are neither go to the remark.
    """
    texts = {"_number": pl.String, "_address": pl.String, "_words": pl.String}
    parts = [
        read_column(frame, column, reader, texts).select(
            pl.col(name).alias(f"{name}_{column}") for name in texts
        )
        for column, reader in (("phone", _of_phone), ("email", _of_email))
    ]
    frame = pl.concat([frame, *parts], how="horizontal")
    second = [
        pl.when(pl.col(own).is_not_null()).then(pl.format("{}: {}", pl.lit(label), other))
        for own, other, label in (
            ("_number_phone", "_number_email", "phone"),
            ("_address_email", "_address_phone", "email"),
        )
    ]
    words = [
        pl.format("{}: {}", pl.lit(column), f"_words_{column}") for column in ("phone", "email")
    ]
    remark = pl.concat_str("remark", *words, *second, separator="; ", ignore_nulls=True)
    return frame.with_columns(
        pl.coalesce("_number_phone", "_number_email").alias("phone"),
        pl.coalesce("_address_email", "_address_phone").alias("email"),
        pl.when(remark != "").then(remark).alias("remark"),
    ).drop(f"{name}_{column}" for name in texts for column in ("phone", "email"))


def _of_phone(text: str) -> tuple[str | None, str | None, str | None]:
    """Return number, address and other words of a cell for telephone numbers."""
    address = _EMAIL.search(text)
    rest = (_EMAIL.sub(" ", text) if address else text).strip(_LOOSE if address else None)
    digits = re.sub(r"\D", "", _DATED.sub("", rest))
    if len(digits) >= _DIGITS:
        return " ".join(rest.split()), address[0] if address else None, None
    return None, address[0] if address else None, _said(rest)


def _of_email(text: str) -> tuple[str | None, str | None, str | None]:
    """Return number, address and other words of a cell for e-mail addresses."""
    if _EMAIL.search(text):
        return None, text, None
    number = _PHONE.fullmatch(text.strip())
    return (text, None, None) if number else (None, None, _said(text))


def _said(words: str) -> str | None:
    """Return words but for a mere sign that there is nothing."""
    return words if re.search(r"\w{2}", words) else None

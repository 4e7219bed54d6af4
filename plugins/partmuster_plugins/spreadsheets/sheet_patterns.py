"""Patterns for a sheet's XML, by the prefix of its names.

Patterns, not an XML parser: 800,000 cells take a second instead of seven. They hold for what
XML allows in a sheet (a prefix, either quote, any order of attributes); attribute values with
``/`` or ``>`` do not occur on cells and rows.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

LAST_COLUMN = 16384

_ADDRESS = rb"""\br\s*=\s*["']([A-Za-z]+)(\d+)["']"""

#: Cell styles up to which they are named in the pattern: each costs time for every cell.
_NAMED_STYLES = 30


class Patterns(NamedTuple):
    """What is looked for in every piece of a sheet."""

    prefix: bytes
    filled: re.Pattern[bytes]
    not_first: re.Pattern[bytes]
    without_address: re.Pattern[bytes]
    row: re.Pattern[bytes]
    hidden_row: re.Pattern[bytes]
    hidden_column: re.Pattern[bytes]
    sign: re.Pattern[bytes]
    whole_row: re.Pattern[bytes]
    cell: re.Pattern[bytes]
    value: re.Pattern[bytes]
    formula: re.Pattern[bytes]
    shared_text: re.Pattern[bytes]
    inline_text: re.Pattern[bytes]
    merged: re.Pattern[bytes]
    row_end: bytes


@lru_cache(maxsize=8)
def patterns(prefix: bytes) -> Patterns:
    """Return the patterns for a prefix such as ``x:``, or none."""
    p = re.escape(prefix)
    yes = rb"""\bhidden\s*=\s*["'](?:1|true)["']"""
    number = rb"""\br\s*=\s*["'](\d+)["']"""
    start = rb"<" + p + rb"c\s(?=[^>]*?" + _ADDRESS + rb")"
    formula = rb"<" + p + rb"f((?:\s[^>]*?)?)(?:/>|>([^<]*)</" + p + rb"f\s*>)"
    no_value = rb"(?:<" + p + rb"v\s*/>|<" + p + rb"v(?:\s[^>]*)?>\s*</" + p + rb"v\s*>)?"
    return Patterns(
        prefix=prefix,
        filled=re.compile(rb"<" + p + rb"c\s[^>]*?" + _ADDRESS + rb"[^>/]*>"),
        not_first=re.compile(rb"<" + p + rb"c(?!\s+r)[^>]*>"),
        without_address=re.compile(rb"<" + p + rb"c(?![^>]*\br\s*=)[\s>/]"),
        row=re.compile(rb"<" + p + rb"row\s[^>]*?" + number),
        hidden_row=re.compile(rb"<" + p + rb"row\s(?=[^>]*?" + yes + rb")[^>]*?" + number),
        hidden_column=re.compile(rb"<" + p + rb"col\s[^>]*?" + yes + rb"[^>]*>"),
        sign=re.compile(
            start + rb"""[^>]*?\bt\s*=\s*["']([eb])["'][^>/]*>"""
            rb"(?:(?!</" + p + rb"c>).)*?<" + p + rb"v[^>]*>([^<]*)<",
            re.DOTALL,
        ),
        whole_row=re.compile(
            rb"<" + p + rb"row(?:\s[^>]*)?>(?<!/>)(.*?)</" + p + rb"row\s*>", re.DOTALL
        ),
        cell=re.compile(rb"<" + p + rb"c(?:\s([^>]*?))?(?:/>|>(.*?)</" + p + rb"c\s*>)", re.DOTALL),
        value=re.compile(rb"<" + p + rb"v(?:\s[^>]*)?>[^<]|<" + p + rb"is\b"),
        formula=re.compile(
            start + rb"([^>]*)>(?<!/>)\s*" + formula + rb"\s*" + no_value + rb"\s*</" + p
            + rb"c\s*>"
        ),
        shared_text=re.compile(
            start + rb"""(?=[^>]*?\bt\s*=\s*["']s["'])([^>]*)>(?<!/>)\s*"""
            rb"(?:" + formula + rb")?\s*<" + p + rb"v(?:\s[^>]*)?>\s*(\d+)"
        ),
        inline_text=re.compile(
            start + rb"([^>]*)>(?<!/>)\s*<" + p + rb"is\s*>(.*?)</" + p + rb"is\s*>", re.DOTALL
        ),
        merged=re.compile(rb"<" + p + rb"""mergeCell\s[^>]*?\bref\s*=\s*["']([^"']*)["']"""),
        row_end=b"</" + prefix + b"row",
    )  # fmt: skip


@lru_cache(maxsize=8)
def styled_cell(prefix: bytes, styles: frozenset[int]) -> re.Pattern[bytes]:
    """Return a pattern of cells with one of some styles: style, column letters, row."""
    named = rb"|".join(b"%d" % style for style in sorted(styles))
    number = named if len(styles) <= _NAMED_STYLES else rb"\d+"
    style = rb"""(?=[^>]*?\bs\s*=\s*["'](""" + number + rb""")["'])"""
    return re.compile(
        rb"<" + re.escape(prefix) + rb"c\s" + style + rb"(?=[^>]*?" + _ADDRESS + rb")"
    )


@lru_cache(maxsize=LAST_COLUMN)
def column_number(letters: bytes) -> int:
    """Return a column's number from 1 by its letters."""
    number = 0
    for letter in letters.upper():
        number = number * 26 + letter - 64
    return number


def column_letters(number: int) -> bytes:
    """Return a column's letters by its number from 1."""
    letters = b""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = bytes([65 + rest]) + letters
    return letters

"""Ditto marks in text tables: a quotation mark alone between separators opens no quotation."""

from __future__ import annotations

import re

_DITTO = '""""'  # one quotation mark, quoted


def well_quoted(sign: str) -> str:
    """Return the pattern of a line that is one record with every quotation closed in it."""
    cell = f'(?:[^"{sign}]*|"(?:[^"]|"")*")'
    return f"^{cell}(?:[{sign}]{cell})*$"


def doubled(text: str, sign: str) -> str:
    """Return the text with ditto marks quoted, as a spreadsheet program writes them.

    Only where the first line has no quotation marks, every line is then one record, and none is
    wider than the lines without them; a quotation over several lines leaves the text as it is.
    A line that can be read as it stands (``a,",",b``) is changed only where that, and not the
    line as it stands, has as many cells as all lines without quotation marks.
    """
    lone = re.compile(f'(?:(?<=[{sign}])|^)"(?=[{sign}]|$)', re.MULTILINE)
    if not lone.search(text):
        return text
    lines = text.split("\n")
    changed = {at: lone.sub(_DITTO, line) for at, line in enumerate(lines) if lone.search(line)}
    record = re.compile(well_quoted(sign))
    quoted = [changed.get(at, line) for at, line in enumerate(lines) if '"' in line]
    plain = [line for line in lines if line and '"' not in line]
    widths = {line.count(sign) for line in plain}
    if not (
        plain
        and plain[0] == next(line for line in lines if line)
        and all(record.match(line) for line in quoted)
        and all(0 < _signs(line, sign) <= max(widths) for line in changed.values())
    ):
        return text
    for at, line in changed.items():
        readable = record.match(lines[at])
        if not readable or (widths == {_signs(line, sign)} != {_signs(lines[at], sign)}):
            lines[at] = line
    return "\n".join(lines)


def _signs(line: str, sign: str) -> int:
    """Return how many separators outside quotations a well-quoted line has."""
    return re.sub(r'"(?:[^"]|"")*"', "", line).count(sign)

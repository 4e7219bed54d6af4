"""What lines say of standard hardware: their description, and sizes in columns beside it."""

from __future__ import annotations

from functools import cache

from partmuster_trade.hardware import read_hardware
from partmuster_trade.tables import bundled_rows


def hardware_words(description: str | None, remark: str | None) -> str:
    """Return what a line says of a piece of hardware: its description, and sizes beside it.

    Columns for sizes stand in the remark under their headings ("Size: 3/8 BSF; Length: 1 1/4"); any
    other remark counts only where it is a size and nothing else.
    """
    said = [description or ""]
    for one in (remark or "").split(";"):
        heading, colon, value = one.partition(":")
        pattern = _headings().get(" ".join(heading.casefold().replace(".", "").split()))
        if colon and pattern and value.strip():
            said.append(pattern.format(value.strip()))
    if len(said) == 1 and remark and not read_hardware(said[0]).measured:
        both = f"{said[0]} {remark}"
        spec = read_hardware(both)
        if (spec.series or spec.sizes or spec.number) and not spec.unread:
            return both
    return " ".join(said).strip()


@cache
def _headings() -> dict[str, str]:
    return {row["heading"]: row["words"] for row in bundled_rows("hardware_headings.csv")}

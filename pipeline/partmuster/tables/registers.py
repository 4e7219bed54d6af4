"""Registers that say several things in a row: a build for each assembly, where a person lives."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.builds import read_build
from partmuster.reading.text import fold
from partmuster_trade.headings import fold_heading

from .assemblies import assembly_words

if TYPE_CHECKING:
    from collections.abc import Mapping

_ABOUT = ("row", "words", "section", "kind", "sheet_date", "vehicle", "club_number", "family",
          "date", "said_by")  # fmt: skip

_SERIAL = re.compile(r"^(?!mk|mark)[A-Z]{0,3}[- ]?\d{2,}[A-Z]?$", re.IGNORECASE)
_YEAR = re.compile(r"19[2-9]\d|20[0-2]\d")
#: Words of a cell, folded, that say nothing of a build (common practice, no source).
_NOT_KNOWN = re.compile(
    r"(?:n/?k|not known|unknown|don'?t know|tbc|tba|to be confirmed|not (?:yet )?(?:checked|seen|"
    r"looked at)|not sure|unsure|various|\?+|-+)(?: yet)?"
)
_NOT_THERE = re.compile(
    r"(?:missing|none|nil|n/?a|not (?:fitted|there|present|applicable)|none fitted|never fitted|"
    r"removed|gone|absent|out|taken out|lost|scrapped|sold|robbed|empty|away)"
    r"(?:,? (?:\d{4}|now|at present|for (?:overhaul|rebuild|repair|spares)|by \w+))*"
)
_STATE = re.compile(
    r"(?:rebuilt|overhauled|reconditioned|recon|restored|refurbished|refurb|seized|runs|running|"
    r"runner|good|poor|fair|rough|rusty|stripped|in bits|dismantled|complete|incomplete|fitted|"
    r"original|repainted|spare|u/s|unserviceable|serviceable|ok|matching|new|by|in|nos?|serial|"
    r"s/n|and|but|(?:19|20)\d\d|[a-z]{0,3}-?\d{3,})"
)
_AS_ANOTHER = re.compile(
    r"(?:same as|as(?: per| for)?|matches|like|to match|matching|=)(?: the)? ([\w /-]+?)"
    r"(?: build| mark| one)?"
)


def assembly_lines(lines: pl.DataFrame, assemblies: Mapping[str, str]) -> pl.DataFrame:
    """Return vehicle lines, and one for each assembly of which a cell says something.

    ``assemblies``: assembly id by column. A build that is read is stated; one with a "?" is
    hedged; "as hull" is the build of the hull; of "Mk 1/Mk 2" a person is asked which, and of
    other words what they mean, unless they say that it is not there, not known, or in what state.
    """
    about = [name for name in _ABOUT if name in lines.columns]
    rows: list[dict[str, Any]] = []
    for line in lines.iter_rows(named=True):
        cells = {assembly: line[column] for column, assembly in assemblies.items()}
        for assembly, cell in cells.items():
            if cell is None:
                continue
            rows.append({name: line[name] for name in about} | {"assembly": assembly}
                        | _build(cell, assembly, cells))  # fmt: skip
    if not rows:
        return lines
    schema = {name: lines.schema[name] for name in about} | {
        "assembly": pl.String(), "build": pl.String(), "remark": pl.String(),
        "doubt": pl.String(), "sure": pl.Boolean(), "serial": pl.String(),
    }  # fmt: skip
    found = pl.concat([lines, pl.DataFrame(rows, schema=schema)], how="diagonal")
    return found.sort("row", maintain_order=True).with_columns(pl.col("sure").fill_null(value=True))


def _build(  # noqa: PLR0911 - one return a form of words
    cell: str, assembly: str, cells: Mapping[str, str | None]
) -> dict[str, Any]:
    """Return build, remark, doubt and sureness of what a cell says of an assembly."""
    if _YEAR.fullmatch(cell):
        doubt = f"{assembly}: '{cell}': is it a serial number or a year?"
        return {"build": None, "remark": cell, "doubt": doubt, "sure": True}
    if _SERIAL.match(cell):
        return {"serial": cell, "sure": True}
    folded = fold(cell).strip(" .!()")
    if match := _AS_ANOTHER.fullmatch(folded):
        return _build_as(match[1], cell, assembly, cells)
    reading = read_build(cell)
    if reading.problem is None and (reading.mark or reading.phase):
        return {"build": cell, "remark": None, "doubt": None, "sure": True}
    said: dict[str, Any] = {"build": None, "remark": cell, "doubt": None, "sure": True}
    if reading.problem in {"several-marks", "several-phases"}:
        return said | {"doubt": f"{assembly}: '{cell}': which of them is it?"}
    if _NOT_KNOWN.fullmatch(folded) or _NOT_THERE.fullmatch(folded):
        return said
    hedged = read_build(cell.replace("?", " ")) if "?" in cell else reading
    if not all(_STATE.fullmatch(word) for word in re.findall(r"[\w/'-]+", hedged.rest)):
        return said | {"doubt": f"{assembly}: '{cell}': which build is it?"}
    build = " ".join(filter(None, (hedged.mark, hedged.phase))) or None
    return said | {"build": build, "sure": build is None or "?" not in cell}


def _build_as(
    other: str, cell: str, assembly: str, cells: Mapping[str, str | None]
) -> dict[str, Any]:
    """Return what "as hull" says: the build in the hull's cell, as surely as it is said there."""
    it = assembly_words().get(fold_heading(other))
    told = cells.get(it) if it is not None and it != assembly else None
    found = _build(told, it, {}) if told is not None and it is not None else {}
    if found.get("build") is None:
        doubt = f"{assembly}: '{cell}': which build is it?"
        return {"build": None, "remark": cell, "doubt": doubt, "sure": True}
    return {"build": found["build"], "remark": cell, "doubt": None, "sure": found["sure"]}


def home_lines(lines: pl.DataFrame, home: str) -> pl.DataFrame:
    """Return holder lines, and a place line for each person of whom it is said where they live."""
    town = pl.col("town") if "town" in lines.columns else pl.lit(None, pl.String)
    places = lines.filter(pl.col(home).is_not_null()).select(
        *(name for name in _ABOUT if name in lines.columns and name != "kind"),
        pl.lit("place").alias("kind"),
        pl.concat_str([pl.col(home), town], separator=", ", ignore_nulls=True).alias("place"),
        pl.col("holder").alias("keeper"),
        pl.col(home).alias("address"),
    )  # fmt: skip
    return pl.concat([lines, places], how="diagonal").sort("row", maintain_order=True)


def shed_lines(lines: pl.DataFrame, shed: str) -> pl.DataFrame:
    """Return holder lines, and a place line for each person of whom it is said where things are."""
    holders = lines.filter((pl.col("kind") == "holder") & pl.col(shed).is_not_null())
    places = holders.select(
        *(name for name in _ABOUT if name in lines.columns and name != "kind"),
        pl.lit("place").alias("kind"),
        pl.col(shed).alias("place"),
        pl.col("holder").alias("keeper"),
    )
    return pl.concat([lines, places], how="diagonal").sort("row", maintain_order=True)


def second_numbers(lines: pl.DataFrame, labels: Mapping[str, str]) -> pl.DataFrame:
    """Return holder lines with another number as telephone where the first column has none.

    ``labels``: heading by column of cells that hold numbers; what is no field is in the remark.
    """
    if not labels or not {"phone", "remark"} <= set(lines.columns):
        return lines
    phones, remarks = lines["phone"].to_list(), lines["remark"].to_list()
    for column, label in labels.items():
        for at, number in enumerate(lines[column].to_list()):
            if number is not None and phones[at] is None:
                phones[at] = number
                pieces = (remarks[at] or "").split("; ")
                left = [piece for piece in pieces if piece != f"{label}: {number}"]
                remarks[at] = "; ".join(left) or None
    return lines.with_columns(
        pl.Series("phone", phones, dtype=pl.String), pl.Series("remark", remarks, dtype=pl.String)
    )


def is_number(heading: str) -> bool:
    """Tell whether a heading is one of telephone numbers."""
    return fold_heading(heading) in {"tel", "mob", "mobile", "phone", "landline", "telephone"}

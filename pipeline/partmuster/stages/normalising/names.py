"""Names of people, places, vehicles and families; marks and phases of builds."""

from __future__ import annotations

import re

import polars as pl

from partmuster.reading.builds import read_build
from partmuster_trade import assemblies

from .columns import Findings, read_column
from .identity import name_key

_NAMED = ("holder", "owner", "keeper", "place", "vehicle")
_FIRST_WORD = re.compile(r"^\s*([A-Za-z][A-Za-z'-]{2,})(?:\s+(.*)|\s*)$")
_BUILD_WORD = re.compile(
    r"^(?:mk|mark|m\d|early|mid|late|all|any|both|every|up\b|to\b|from|after|before|until|only|"
    r"not|except|nos?\b|number|serial|s/n|sn\b|eng|hull|fits?|later|earlier|first|last|and\b|"
    r"or\b|various|unknown|[ivx]+[a-h]?\b|\d)",
    re.IGNORECASE,
)
#: "All Mk 1s", "any late one": the range is the build itself.
_RANGE = re.compile(
    r"^(?:all|any|every|each)(?: of)?(?: the)? (?=(?:mk|mark|early|mid|late)\b|(?:mk|mark)\d)"
    r"|(?<=\w) (?:ones?|types?|patterns?|vehicles?|examples?|machines?)$", re.IGNORECASE,
)  # fmt: skip
_PLURAL_MARK = re.compile(r"(?<=\d)['’]?s\b")
_NOBODY = frozenset({"", "-", "?", "n a", "na", "none", "nobody", "unknown", "tbc"})
_ANY = frozenset({*_NOBODY, "all", "any", "every", "all marks", "any mark", "all builds",
                  "any build", "every mark", "every build", "all vehicles", "any vehicle",
                  "all of them", "the lot", "whole range", "both", "all types"})  # fmt: skip


def read_names(frame: pl.DataFrame) -> pl.DataFrame:
    """Add the folded key of each name column; a placeholder is no name.

    Side by side ``assembly`` words become assembly ids, from the row's own column, else the
    section it stands under.
    """
    for column in _NAMED:
        key = f"{column}_key"
        frame = read_column(frame, column, _key, {key: pl.String})
        frame = frame.with_columns(
            pl.when(pl.col(key).is_not_null()).then(pl.col(column)).alias(column)
        )
    return read_column(frame, "assembly", _assembly, {"_assembly": pl.String}).with_columns(
        pl.coalesce("_assembly", pl.col("assembly").str.to_lowercase()).alias("assembly")
    ).drop("_assembly")  # fmt: skip


def read_families(frame: pl.DataFrame) -> pl.DataFrame:
    """Take a family that stands before a build out of its words; write every family one way.

    "Otter Mk 2 late" in a build column is family Otter, build "Mk 2 late". A family is a word that
    is no word of a build and no assembly, so nothing but the line itself needs to be known.
    """
    for column, family in (
        ("build", "family"), ("effectivity", "family"), ("mark", "family"),
        ("to_build", "to_family"), ("to_mark", "to_family"),
    ):  # fmt: skip
        if frame.get_column(column).null_count() == frame.height:
            continue
        frame = read_column(frame, column, _leading_family,
                            {"_family": pl.String, "_rest": pl.String})  # fmt: skip
        frame = frame.with_columns(
            pl.coalesce(family, "_family").alias(family), pl.col("_rest").alias(column)
        ).drop("_family", "_rest")
    for column in ("family", "to_family"):
        frame = read_column(frame, column, _family, {"_spelt": pl.String})
        frame = frame.with_columns(pl.col("_spelt").alias(column)).drop("_spelt")
    return frame


def _leading_family(text: str) -> tuple[str | None, str | None]:
    """Split "Otter Mk 2 late" into family and build; a text that names no family stays whole."""
    found = _FIRST_WORD.match(text)
    if found is None or not _may_be_family(found.group(1)):
        return None, text or None
    rest = (found.group(2) or "").strip(" ,;:-")
    if rest and not _BUILD_WORD.match(rest):
        return None, text
    return _family(found.group(1))[0], rest or None


def _may_be_family(word: str) -> bool:
    """Tell whether a word can name a family: it is no word of a build, and no assembly."""
    return not _BUILD_WORD.match(word) and assemblies.assembly_id(word) is None


def _family(text: str) -> tuple[str | None]:
    """Return a family's name in one spelling: each word with a capital."""
    key = name_key(text)
    if key in _NOBODY:
        return (None,)
    return (" ".join(word.capitalize() for word in text.split()),)


def read_builds(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Type mark and phase, of the line's own build and of the one a part goes on."""
    frame = _build(frame, "", findings)
    return _build(frame, "to_", findings)


def _build(frame: pl.DataFrame, prefix: str, findings: Findings) -> pl.DataFrame:
    mark, phase, build = f"{prefix}mark", f"{prefix}phase", f"{prefix}build"
    typed = {"_mark": pl.String, "_phase": pl.String, "_problem": pl.String}
    parts = [
        read_column(frame, column, _mark_and_phase, typed).select(
            pl.col("_mark").alias(f"_{column}_mark"), pl.col("_phase").alias(f"_{column}_phase"),
            pl.col("_problem").alias(f"_{column}_problem"),
        )
        for column in (mark, phase, build)
    ]  # fmt: skip
    frame = pl.concat([frame, *parts], how="horizontal")
    if not prefix:
        builds = pl.col("kind").is_in(["vehicle", "build", "want", "fit"])
        for column in (mark, build):
            findings.fault(
                frame.filter(builds & pl.col(f"_{column}_problem").is_not_null()), column,
                "build-not-read", "this is not a mark or phase that can be read",
                "write it as 'Mk 2', 'Mk 2 late' or 'late'",
            )  # fmt: skip
    return frame.with_columns(
        pl.coalesce(f"_{mark}_mark", f"_{build}_mark").alias(mark),
        pl.coalesce(f"_{phase}_phase", f"_{mark}_phase", f"_{build}_phase").alias(phase),
    ).drop(
        f"_{column}_{what}"
        for column in (mark, phase, build)
        for what in ("mark", "phase", "problem")
    )


def _key(text: str) -> tuple[str | None]:
    key = name_key(text)
    return (None if key in _NOBODY else key,)


def _assembly(text: str) -> tuple[str | None]:
    return (assemblies.assembly_id(text) if text else None,)


def _mark_and_phase(text: str) -> tuple[str | None, str | None, str | None]:
    text = _RANGE.sub("", _PLURAL_MARK.sub("", text))
    if name_key(text) in _ANY:
        return None, None, None
    reading = read_build(text)
    return reading.mark, reading.phase, reading.problem

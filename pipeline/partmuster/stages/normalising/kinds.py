"""What is read for one kind of line only, and what each kind cannot do without."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

import polars as pl

from partmuster.reading.fit_cells import read_fit_cell
from partmuster.reading.presence import TICKED_TWICE, read_presence
from partmuster.reading.roles import read_aim, read_role
from partmuster.reading.stages import read_stage
from partmuster_schemas import words as w

from .build_lines import read_build_lines, read_features
from .changes import read_changes
from .columns import Findings, nothing_to_none, read_column
from .contacts import read_contacts
from .effects import read_effects
from .fit_words import with_alterations
from .list_quantities import basis, on_the_vehicle
from .serials import read_serials

if TYPE_CHECKING:
    from collections.abc import Callable

Effects = pl.DataFrame | None

_ITEM = ("description", "part_number_normal", "casting_number", "stock_number")
_NO_ITEM = ("no-description", "nothing says which part this is",
            "write a description or a part number")  # fmt: skip
_NO_VEHICLE = ("no-vehicle", "nothing says which vehicle this is about",
               "name the vehicle as the register does")  # fmt: skip

#: For each kind: fields of which at least one must be filled, code, problem, what to do.
NEEDED: Final[dict[str, tuple[tuple[tuple[str, ...], str, str, str], ...]]] = {
    "requirement": ((_ITEM, *_NO_ITEM),),
    "holding": ((_ITEM, *_NO_ITEM),),
    "want": ((_ITEM, *_NO_ITEM),),
    "survey": ((_ITEM, *_NO_ITEM), (("vehicle_key",), *_NO_VEHICLE)),
    "fit": ((_ITEM, *_NO_ITEM),),
    "vehicle": ((("vehicle_key",), *_NO_VEHICLE),),
    "holder": ((("holder_key",), "no-name", "nothing says who this is", "write the name"),),
    "place": ((("place_key",), "no-name", "nothing says which place this is",
               "write the name of the place"),),
    "feature": ((("vehicle_key",), *_NO_VEHICLE),
                (("feature",), "no-feature", "nothing says what was seen", "write what was seen")),
    "history": ((("vehicle_key",), *_NO_VEHICLE),
                (("statement",), "no-words", "nothing is told", "write what was told")),
    "promise": ((_ITEM, *_NO_ITEM),),
    "lead": ((("statement",), "no-words", "nothing is told", "write what was said"),),
}  # fmt: skip

#: A remark by which an owner accepts a stand-in (common practice, no source).
_NOT_HUNTING = r"(?i)\bnot (?:hunting|looking)\b|\bhappy with it\b|\bowner(?: is)? happy\b"
_TRUE = frozenset({"y", "yes", "true", "1", "x", "✓", "✔", "agreed", "agrees", "ok", "okay"})
_FALSE = frozenset({"n", "no", "false", "0", "", "refused", "never"})


def for_kind(
    kind: str, frame: pl.DataFrame, country: str | None, findings: Findings
) -> tuple[pl.DataFrame, Effects]:
    """Return the frame with the kind's own columns typed, and its effectivity clauses if any."""
    readers: dict[str, Callable[[pl.DataFrame, str | None, Findings], Any]] = {
        "requirement": _requirement,
        "holding": _holding,
        "want": _want,
        "survey": _survey,
        "fit": _fit,
        "vehicle": _vehicle,
        "holder": _holder,
        "place": _place,
        "build": _build_standard,
        "feature": _feature,
        "history": _as_it_is,
        "promise": _promise,
        "lead": _lead,
    }
    typed, effects = readers[kind](frame, country, findings)
    return typed, effects


def _as_it_is(frame: pl.DataFrame, _country: str | None, _f: Findings) -> tuple[Any, Effects]:
    return frame, None


def _requirement(
    frame: pl.DataFrame, _country: str | None, findings: Findings
) -> tuple[Any, Effects]:
    findings.doubt(frame.filter(pl.col("family").is_null()), "which family is this list for?")
    frame, effects = read_effects(frame, ("effectivity", "build"), findings, needed=True)
    # A line with no number of its own still asks for the part once.
    once = pl.col("quantity_text").is_null()
    frame = frame.with_columns(
        pl.when(once).then(1.0).otherwise("at_least").alias("at_least"),
        pl.when(once).then(1.0).otherwise("at_most").alias("at_most"),
        pl.col("companions").alias("companions_text"),
        basis(),
        pl.col("level").cast(pl.Int32, strict=False).alias("level"),
        _yes("attaching").fill_null(value=False).alias("attaching"),
    )
    frame = on_the_vehicle(frame)
    frame = read_column(frame, "needed_for", _needed_for, {"_aims": pl.String})
    return frame.with_columns(pl.col("_aims").alias("needed_for")), effects


def _holding(frame: pl.DataFrame, _country: str | None, findings: Findings) -> tuple[Any, Effects]:
    frame, effects = read_effects(frame, ("effectivity", "build"), findings, needed=False)
    words = pl.concat_str(
        [pl.col(name).fill_null("") for name in ("remark", "condition_text", "section")],
        separator=" ",
    ).str.to_lowercase()
    return frame.with_columns(
        pl.coalesce("holder", "owner").alias("holder"),
        pl.coalesce("holder_key", "owner_key").alias("holder_key"),
        (pl.col("struck") | pl.col("_gone")).alias("gone"),
        (words.str.contains(r"\bsurplus\b|\bleft over\b|\bleftover\b") | pl.col("_surplus")).alias(
            "surplus"
        ),
    ), effects


def _want(frame: pl.DataFrame, _country: str | None, _f: Findings) -> tuple[Any, Effects]:
    once = pl.col("quantity_text").is_null()
    return frame.with_columns(
        pl.coalesce("holder", "owner").alias("holder"),
        pl.coalesce("holder_key", "owner_key").alias("holder_key"),
        pl.when(once).then(1.0).otherwise("at_least").alias("at_least"),
        pl.when(once).then(1.0).otherwise("at_most").alias("at_most"),
        (pl.col("struck") | pl.col("_met")).alias("closed"),
    ), None  # fmt: skip


def _survey(frame: pl.DataFrame, _country: str | None, findings: Findings) -> tuple[Any, Effects]:
    frame = read_changes(frame)

    def reader(text: str) -> tuple[Any, ...]:
        reading = read_presence(text)
        quantity = reading.quantity
        return (
            reading.presence, reading.service, reading.making, reading.accepted_stand_in,
            reading.hedged, reading.ambiguous, nothing_to_none(reading.rest),
            *((None, None, None, None) if quantity is None else
              (quantity.at_least, quantity.at_most, quantity.of_total, quantity.text)),
        )  # fmt: skip

    number = pl.Float64
    fields = {"_presence": pl.String, "_service": pl.String, "_making": pl.String,
              "_accepted": pl.Boolean, "_hedged": pl.Boolean, "_ambiguous": pl.Boolean,
              "_rest": pl.String, "_least": number, "_most": number, "_total": number,
              "_counted": pl.String}  # fmt: skip
    frame = frame.with_columns(
        pl.coalesce("presence", "condition").alias("_state"), pl.col("_presence").alias("_in_words")
    )
    frame = read_column(frame, "_state", reader, fields)
    unsure = pl.col("_ambiguous").fill_null(value=False)
    otherwise = (
        pl.col("presence").is_not_null()
        & (pl.col("_in_words") == "missing") & (pl.col("_presence") == "fitted")
    )  # fmt: skip
    findings.doubt(
        frame.filter(otherwise.fill_null(value=False)),
        pl.format("is it there? its condition is said to be '{}'", pl.col("condition_text")),
    )
    twice = pl.col("presence").str.starts_with(TICKED_TWICE).fill_null(value=False)
    findings.fault(
        frame.filter(twice), "presence", "several-states-ticked",
        "several states are ticked that cannot all be so", "tick one, or write which it is",
    )  # fmt: skip
    findings.doubt(
        frame.filter(unsure & ~twice),
        pl.format("what does '{}' mean on this sheet?", pl.col("_state")),
    )
    findings.fault(
        frame.filter(pl.col("_presence").is_null() & ~unsure & pl.col("_state").is_not_null()),
        "presence", "state-not-read", "this does not say whether the part is there",
        "write fitted, missing, stand-in, unserviceable or not looked at",
    )  # fmt: skip
    counted = pl.col("_counted").is_not_null()
    said = pl.col("quantity_text").is_not_null()
    # "poor" in a condition column beside "fitted" tells the service the mark leaves open.
    known = pl.col("_service").is_in(["serviceable", "unserviceable"])
    made = pl.col("_making") != "unknown"
    return frame.with_columns(
        pl.when(unsure | pl.col("_presence").is_null()).then(pl.lit("not-looked-at"))
        .otherwise("_presence").alias("presence"),
        pl.when(known).then("_service").otherwise("service").alias("service"),
        pl.when(made).then("_making").otherwise("making").alias("making"),
        (pl.col("_accepted").fill_null(value=False)
         | (pl.col("_presence").eq_missing("stand-in")
            & pl.col("remark").fill_null("").str.contains(_NOT_HUNTING)))
        .alias("accepted_stand_in"),
        (pl.col("sure") & ~pl.col("_hedged").fill_null(value=False)).alias("sure"),
        pl.when(counted).then("_least").otherwise("at_least").alias("at_least"),
        pl.when(counted).then("_most").otherwise("at_most").alias("at_most"),
        pl.coalesce("_counted", "quantity_text").alias("quantity_text"),
        pl.coalesce("_total", "of_total").alias("of_total"),
        (counted | said).alias("quantified"),
        pl.coalesce(
            pl.when(pl.col("presence").is_not_null()).then("condition"), "state_said", "_state"
        ).alias("condition_text"),
        pl.when(~unsure)
        .then(pl.concat_str(["remark", "_rest"], separator="; ", ignore_nulls=True))
        .otherwise("remark").replace("", None).alias("remark"),
    ), None  # fmt: skip


def _fit(frame: pl.DataFrame, country: str | None, findings: Findings) -> tuple[Any, Effects]:
    from .items import one_side_only, side_and_position  # noqa: PLC0415 - items reads kinds' shared columns

    fields = {"_g": pl.String, "_work": pl.String, "_why": pl.String, "_together": pl.String,
              "_side": pl.String, "_hedged": pl.Boolean, "_asked": pl.Boolean,
              "_unread": pl.Boolean}  # fmt: skip
    frame = read_column(frame, "fit_grade", _grade, fields)
    findings.fault(
        frame.filter("_unread"),
        "fit_grade", "grade-not-read", "this is not a fit grade that can be read",
        "write as is, one way, with work, only as a set or never",
    )  # fmt: skip
    findings.doubt(
        frame.filter("_asked"),
        pl.format("'{}': how does it go: as is, one way, with work, only as a set?", "fit_grade"),
    )
    frame = one_side_only(frame, "_side", country, findings)
    same = pl.col("to_description").is_null() & pl.col("to_part_number").is_null()
    frame = side_and_position(frame, "to_description", "to_side", "to_position", country)
    frame = with_alterations(frame.with_columns(pl.coalesce("work", "_work").alias("work")))
    return frame.with_columns(
        pl.col("_g").fill_null("unknown").alias("fit_grade"),
        pl.coalesce("reason", "_why").alias("reason"),
        (pl.col("sure") & ~pl.col("_hedged")).alias("sure"),
        pl.coalesce("companions", "_together").alias("companions_text"),
        # "Late guard goes on early": the same part on the other side of the statement.
        pl.when(same).then("description").otherwise("to_description").alias("to_description"),
        pl.when(same).then("side").otherwise(pl.coalesce("to_side", "side")).alias("to_side"),
        pl.when(same).then("position").otherwise(pl.coalesce("to_position", "position"))
        .alias("to_position"),
        pl.coalesce("to_family", "family").alias("to_family"),
    ), None  # fmt: skip


def _vehicle(frame: pl.DataFrame, _country: str | None, findings: Findings) -> tuple[Any, Effects]:
    frame = read_column(frame, "role", lambda t: (nothing_to_none(read_role(t).role),),
                        {"_role": pl.String})  # fmt: skip
    frame = read_column(frame, "aim", _aim, {"_aim": pl.String, "_target": pl.String})
    for column, word, code in (("role", "_role", "role-not-read"), ("aim", "_aim", "aim-not-read")):
        words = ", ".join(w.ROLES if column == "role" else w.AIMS)
        findings.fault(
            frame.filter(pl.col(word).is_null() & pl.col(column).is_not_null()), column, code,
            f"this is not a {column} that can be read", f"write one of: {words}",
        )  # fmt: skip
    frame = frame.with_columns(
        pl.col("_role").alias("role"), pl.col("_aim").alias("aim"),
        pl.coalesce("aim_target", "_target").alias("aim_target"),
        _yes("owner_agrees").alias("owner_agrees"),
        pl.coalesce("series", "assembly").alias("series"),
    )  # fmt: skip
    parts = [frame]
    for assembly in ("hull", "engine"):
        column = f"{assembly}_serial"
        numbered = frame.filter(pl.col(column).is_not_null() & pl.col("assembly").is_null())
        nothing = pl.lit(None, dtype=pl.String)
        parts.append(
            numbered.with_columns(
                pl.lit(assembly).alias("assembly"), pl.lit(assembly).alias("series"),
                pl.col(column).alias("serial"),
                *(nothing.alias(name) for name in (
                    "mark", "phase", "owner", "owner_key", "keeper", "keeper_key", "place",
                    "place_key", "role", "aim", "aim_target", "works_number", "service_number",
                    "civil_number")),
            )
        )  # fmt: skip
    return read_serials(pl.concat(parts).sort("raw_number", maintain_order=True), "serial",
                    "serial_value", findings), None  # fmt: skip


def _holder(frame: pl.DataFrame, _country: str | None, _f: Findings) -> tuple[Any, Effects]:
    frame = read_contacts(frame)
    country = pl.col("country").str.strip_chars().str.to_uppercase()
    return frame.with_columns(
        country.replace({"UK": "GB", "USA": "US", "ENGLAND": "GB", "AUSTRALIA": "AU"})
        .alias("country")
    ), None  # fmt: skip


def _place(frame: pl.DataFrame, _country: str | None, findings: Findings) -> tuple[Any, Effects]:
    for column in ("latitude", "longitude"):
        frame = _number(frame, column, column, pl.Float64, findings)
    half = frame.filter(pl.col("latitude").is_null() != pl.col("longitude").is_null())
    findings.fault(half, "latitude", "half-a-position", "one of latitude and longitude is missing",
                   "give both, in degrees, or neither")  # fmt: skip
    return frame, None


def _build_standard(
    frame: pl.DataFrame, _country: str | None, findings: Findings
) -> tuple[Any, Effects]:
    return read_build_lines(frame, findings), None


def _feature(frame: pl.DataFrame, _country: str | None, findings: Findings) -> tuple[Any, Effects]:
    return read_features(frame, findings), None


def _promise(frame: pl.DataFrame, _country: str | None, findings: Findings) -> tuple[Any, Effects]:
    frame = frame.with_columns(pl.col("stage").fill_null("offered"))
    frame = read_column(frame, "stage", lambda t: (read_stage(t),), {"_stage": pl.String})
    findings.fault(
        frame.filter(pl.col("_stage").is_null()), "stage", "stage-not-read",
        "this is not a stage of a promise", f"write one of: {', '.join(w.STAGES)}",
    )  # fmt: skip
    return frame.with_columns(pl.coalesce("_stage", "stage").alias("stage")), None


def _lead(frame: pl.DataFrame, _country: str | None, _f: Findings) -> tuple[Any, Effects]:
    return frame.with_columns(pl.coalesce("statement", "words").alias("statement")), None


def _number(
    frame: pl.DataFrame, column: str, into: str, dtype: Any, findings: Findings
) -> pl.DataFrame:
    number = pl.col(column).str.strip_chars("° \t").str.replace(",", ".").cast(dtype, strict=False)
    findings.fault(
        frame.filter(pl.col(column).is_not_null() & number.is_null()), column, "not-a-number",
        "this is not a number", "write it in digits, with a point for decimals",
    )  # fmt: skip
    return frame.with_columns(number.alias(into))


def _yes(column: str) -> pl.Expr:
    text = pl.col(column).str.strip_chars().str.to_lowercase()
    return pl.when(text.is_in(list(_TRUE))).then(pl.lit(value=True)).when(
        text.is_in(list(_FALSE))
    ).then(pl.lit(value=False))  # fmt: skip


def _needed_for(text: str) -> tuple[str | None]:
    """Return the aims a list names; "all" or "runner, display" as the contract's words."""
    lowered = text.lower()
    if not lowered.strip():
        return (None,)
    found = [
        aim
        for aim, pattern in (
            ("static-display", r"display|static|show|all\b|every"),
            ("runner", r"runn|drive|all\b|every"),
        )
        if re.search(pattern, lowered)
    ]
    return (";".join(found) if found else "full-original",)


def _grade(text: str) -> tuple[Any, ...]:
    read = read_fit_cell(text)
    return (read.grade, read.work, read.reason, read.companions, read.side, read.hedged,
            read.asked, read.problem)  # fmt: skip


def _aim(text: str) -> tuple[str | None, str | None]:
    reading = read_aim(text)
    return nothing_to_none(reading.aim), nothing_to_none(reading.target)

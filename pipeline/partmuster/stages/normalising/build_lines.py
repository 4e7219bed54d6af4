"""Lines of family files and of features seen: how usual, in which serials, was it there.

"Hull nos 1001-1250 and 1300-1310" makes two lines of one build; those that overlap stay as said.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.absent import read_absence
from partmuster.reading.builds import read_build, read_effectivity
from partmuster.reading.features import (
    evidence_in,
    read_changeable,
    read_likelihood,
    read_seen,
)
from partmuster.reading.hybrids import AssemblyBuild, read_assembly_build
from partmuster.reading.text import fold
from partmuster.reading.works_hybrids import read_works_hybrid, says_works
from partmuster_trade import assemblies

from .columns import Findings, read_column
from .serials import read_serials

if TYPE_CHECKING:
    from collections.abc import Sequence

#: Where a last serial would stand: there is none yet (common practice, no source).
_OPEN = (
    r"(?i)^(?:(?:&|and|all|to)\s*)*(?:on|onwards?|up(?:wards?)?|subs?(?:eq\w*)?\.?|later|after|end|"
    r"last|finish|end of production|current|present|now|date|to date|open|above|over|latest)$"
    r"|^[-–—+.…]+$"
)
_START = (
    r"(?i)^(?:the\s*)?(?:start|begin\w*|first|earliest|introduction|start of production|up ?to)$"
    r"|^[-–—.…]+$"
)
_NO_SERIALS = frozenset({"unsure-build"})
_SEVERAL = frozenset({"several-marks", "several-phases", "words-not-read"})
_NOT_KNOWN = re.compile(r"(?i)\b(?:not known|unknown|n/?k|nobody knows|not recorded|tbc)\b")
_LIKELIHOODS = "usual, possible or unlikely"
_ANSWERS = "yes, no, ? or not looked at, or what it reads"
_VALUE = re.compile(
    r"(?i:\b(?:reads?|reading|says|saying|stamped|marked|nos?|number|code|dated?)\b[.:]?|[:=])\s*"
    r"[\"'“]?(?P<value>(?:[A-Z]{1,4}[ .-]?)?\d[\dA-Z]*(?:[./ -]\d[\dA-Z]*)*)\b"
)
#: Kinds of evidence of which a cell tells what was read.
_READ = ["plate", "casting", "date code", "part number"]


def read_build_lines(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return lines of builds, typed; several runs of serials make several lines."""
    frame = _hybrids(_sentences(frame, findings), findings)
    frame = _serials(frame, findings)
    frame = read_column(frame, "likelihood", _likelihood, {
        "_likely": pl.String, "_unlike": pl.String, "_more": pl.String,
    })  # fmt: skip
    findings.fault(
        frame.filter(pl.col("_unlike").is_not_null()), "likelihood", "likelihood-not-read",
        "this does not say how usual the feature is on this build",
        f"write {_LIKELIHOODS}; always, sometimes and never are read too",
    )  # fmt: skip
    frame = read_column(frame, "changeable", read_changeable,
                        {"_changeable": pl.Boolean, "_changed": pl.String})  # fmt: skip
    unread = pl.when(pl.col("_changeable").is_null()).then(
        pl.format("changeable: {}", "_changed")
    )  # fmt: skip
    beside = [
        pl.col("remark"), pl.col("_more"), unread, pl.format("reads: {}", "feature_value"),
        pl.format("evidence: {}", "evidence"),
    ]  # fmt: skip
    return frame.with_columns(
        _joined(beside).alias("remark"),
        pl.col("_likely").alias("likelihood"),
        pl.col("_changeable").alias("changeable"),
    )


def read_features(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return lines of features seen on vehicles: whether it was there, what it read, what sort."""
    answer = pl.coalesce("presence", "status").alias("_answer")
    frame = read_column(frame.with_columns(answer), "_answer", _seen, {
        "_seen": pl.Boolean, "_hedged": pl.Boolean, "_value": pl.String, "_rest": pl.String,
        "_unread": pl.Boolean,
    })  # fmt: skip
    frame = read_column(frame, "feature", lambda t: (evidence_in(t),), {"_told": pl.String})
    frame = read_column(frame, "evidence", _evidence, {"_kind": pl.String, "_other": pl.String})
    sort = pl.coalesce("_kind", pl.when(pl.col("evidence").is_null()).then("_told"), "_other")
    frame = frame.with_columns(sort.alias("evidence"))
    reads = pl.col("_unread") & pl.col("evidence").is_in(_READ)
    unread = pl.col("_unread") & ~reads.fill_null(value=False)
    findings.fault(
        frame.filter(unread), "presence", "seen-not-read",
        "this does not say whether the feature was there", f"write {_ANSWERS}",
    )  # fmt: skip
    unseen = pl.col("_answer").is_not_null() & pl.col("_seen").is_null() & ~pl.col("_unread")
    findings.doubt(frame.filter(unseen), pl.format("'{}': was it there?", "_answer"))
    frame = _denied(frame, findings)
    frame = read_column(frame, "location", lambda t: (_place(t),), {"_where": pl.String})
    numbered = pl.when(pl.col("evidence").is_in(_READ)).then("feature")
    frame = read_column(frame.with_columns(numbered.alias("_numbered")), "_numbered",
                        lambda t: (_value_in(t),), {"_reads": pl.String})  # fmt: skip
    return frame.with_columns(
        pl.coalesce("assembly", "_where").alias("assembly"),
        pl.when(pl.col("_answer").is_null()).then("_there")
        .otherwise(pl.col("_seen") | reads).alias("seen"),
        pl.coalesce("feature_value", "_value", "_reads").alias("feature_value"),
        (pl.col("sure") & ~pl.col("_hedged").fill_null(value=False)).alias("sure"),
        _joined([pl.col("remark"), pl.col("_rest"),
                 pl.when(pl.col("_where").is_null()).then("location")]).alias("remark"),
    )  # fmt: skip


def _denied(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return lines with ``_there``: False where a feature without an answer is told as lacking.

    "No oil filler on the left" is an oil filler on the left that is not there.
    """
    silent = pl.col("_answer").is_null() & pl.col("feature_value").is_null()
    frame = frame.with_columns(pl.when(silent).then("feature").alias("_bare"))
    frame = read_column(frame, "_bare", _absence, {"_there": pl.Boolean, "_denied": pl.String})
    findings.doubt(
        frame.filter(pl.col("_there").is_null()),
        pl.format("'{}': is it there, or not?", "feature"),
    )
    return frame.with_columns(pl.coalesce("_denied", "feature").alias("feature"))


def _absence(text: str) -> tuple[bool | None, str | None]:
    return read_absence(text) if text else (True, None)


def _place(text: str) -> str | None:
    """Return the assembly that a place on a vehicle is."""
    return assemblies.assembly_id(text) if text else None


def _value_in(text: str) -> str | None:
    """Return the number that words about a plate or casting give: "plate reads H 1234"."""
    match = _VALUE.search(text)
    return match["value"].strip(" .") if match else None


def _joined(texts: Sequence[pl.Expr]) -> pl.Expr:
    joined = pl.concat_str(texts, separator="; ", ignore_nulls=True)
    return pl.when(joined != "").then(joined)


def _likelihood(text: str) -> tuple[str | None, str | None, str | None]:
    reading = read_likelihood(text)
    return reading.likelihood, reading.problem, reading.rest


def _seen(text: str) -> tuple[Any, ...]:
    if not text:
        return None, False, None, None, False
    reading = read_seen(text)
    return reading.seen, reading.hedged, reading.value, reading.rest, reading.problem


def _evidence(text: str) -> tuple[str | None, str | None]:
    """Return the kind of evidence that a column names, or its own words."""
    return evidence_in(text, column=True), fold(text) or None


def _hybrids(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Type with what an assembly left the works, said in one column or in several."""
    said = {"_assembly": pl.String, "_mark": pl.String, "_phase": pl.String, "_not": pl.Boolean}
    frame = read_column(frame, "with_build", _other, said)
    findings.fault(
        frame.filter(pl.col("_not")), "with_build", "hybrid-not-read",
        "this does not name one other assembly and its build",
        "write the other assembly and its build, such as 'turret Mk 2 early'",
    )  # fmt: skip
    named = {"_named": pl.String}
    frame = read_column(frame, "with_assembly", lambda t: (_assembly(t),), named)
    build = pl.concat_str("with_mark", "with_phase", separator=" ", ignore_nulls=True)
    frame = frame.with_columns(pl.when(build != "").then(build).alias("_build"))
    frame = read_column(frame, "_build", _build, {"_m": pl.String, "_p": pl.String,
                                                               "_unread": pl.Boolean})  # fmt: skip
    bare = pl.col("with_assembly").is_not_null() & pl.col("_named").is_null()
    findings.fault(
        frame.filter(bare | pl.col("_unread")), "with_assembly", "hybrid-not-read",
        "this does not name one other assembly and its build",
        "write the other assembly's name, and its mark and phase in their columns",
    )  # fmt: skip
    return frame.with_columns(
        pl.coalesce("_named", "_assembly").alias("with_assembly"),
        pl.coalesce("_m", "_mark").alias("with_mark"),
        pl.coalesce("_p", "_phase").alias("with_phase"),
    )


def _other(text: str) -> tuple[str | None, str | None, str | None, bool]:
    if not text:
        return None, None, None, False
    one = read_assembly_build(text)
    return (None, None, None, True) if one is None else (one.assembly, one.mark, one.phase, False)


def _assembly(text: str) -> str | None:
    one = read_assembly_build(f"{text} Mk 1") if text else None
    return one.assembly if one is not None else None


def _build(text: str) -> tuple[str | None, str | None, bool]:
    reading = read_build(text)
    return reading.mark, reading.phase, bool(text) and reading.problem is not None


def _sentences(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return lines, those of which a feature tells of a hybrid in a sentence with what it says."""
    texts = [text for text in frame["feature"].drop_nulls().unique().to_list() if says_works(text)]
    told = {text: found for text in texts if (found := read_works_hybrid(text)) is not None}
    bare = pl.all_horizontal(pl.col("mark", "phase", "effectivity", "with_build").is_null())
    findings.fault(
        frame.filter(bare & pl.col("feature").is_in(texts) & ~pl.col("feature").is_in(list(told))),
        "feature", "hybrid-not-read", "this does not plainly name two assemblies and their builds",
        "write them as 'Mk 2 superstructure left the works on Mk 1 hulls 1201 to 1260'",
    )  # fmt: skip
    if not told:
        return frame
    is_told = pl.col("feature").is_in(list(told))

    def of(values: dict[str, str | None]) -> pl.Expr:
        return pl.col("feature").replace_strict(values, default=None, return_dtype=pl.String)

    def one(name: str) -> pl.Expr:
        return of({text: getattr(found.one, name) for text, found in told.items()})

    def serial(at: int) -> pl.Expr:
        ends = {text: found.serials and found.serials[at] for text, found in told.items()}
        return of({text: None if end is None else str(end) for text, end in ends.items()})

    family = of({text: found.family for text, found in told.items()})
    same = family.str.to_lowercase().str.starts_with(pl.col("family").str.to_lowercase())
    return frame.with_columns(
        *(pl.when(is_told).then(one(name)).otherwise(name).alias(name)
          for name in ("assembly", "mark", "phase")),
        pl.coalesce("with_build", of({text: _words(found.other) for text, found in told.items()}))
        .alias("with_build"),
        pl.when(same).then("family").otherwise(pl.coalesce(family, "family")).alias("family"),
        pl.coalesce("series", of({text: found.series for text, found in told.items()}))
        .alias("series"),
        pl.coalesce("first_serial", serial(0)).alias("first_serial"),
        pl.coalesce("last_serial", serial(1)).alias("last_serial"),
        pl.when(~is_told).then("feature").alias("feature"),
    )  # fmt: skip


def _words(build: AssemblyBuild) -> str:
    return " ".join(filter(None, (build.assembly, build.mark, build.phase)))


def _serials(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Type the series and the serials of builds, given as two ends or as runs in one column."""
    frame = frame.with_columns(
        pl.when(~pl.col("first_serial").str.contains(_START)).then("first_serial"),
        pl.when(~pl.col("last_serial").str.contains(_OPEN)).then("last_serial"),
    )
    frame = read_serials(frame, "first_serial", "first_serial", findings)
    frame = read_serials(frame, "last_serial", "last_serial", findings)
    backwards = pl.col("first_serial") > pl.col("last_serial")
    findings.fault(
        frame.filter(backwards.fill_null(value=False)), "last_serial", "range-reversed",
        "the last serial is lower than the first", "write the lower serial first",
    )  # fmt: skip
    frame = read_column(frame, "series", _series, {"_series": pl.String})
    frame = _with_runs(frame, findings).with_columns(
        pl.coalesce("_series", "_run_series").alias("series")
    )
    numbered = pl.col("first_serial").is_not_null() | pl.col("last_serial").is_not_null()
    whose = {one.assembly_id: one.assembly_id for one in assemblies.load_assemblies()}
    own = pl.col("series").replace_strict(whose, default=None, return_dtype=pl.String)
    return frame.with_columns(
        # Serials of a series that is an assembly's own tell the build of that assembly.
        pl.coalesce("assembly", own).alias("assembly"),
        pl.when(numbered).then(pl.coalesce("series", "assembly")).otherwise("series")
        .alias("series"),
    )  # fmt: skip


def _series(text: str) -> tuple[str | None]:
    """Return a series by the assembly it is named after ("Hull nos": hull), or its folded name."""
    bare = fold(text).strip(" .")
    for end in (" numbers", " number", " nos", " no", " serials", " serial", " s/n", " series"):
        bare = bare.removesuffix(end)
    return (assemblies.assembly_id(bare) or bare or None,)


def with_several_builds(frame: pl.DataFrame) -> pl.DataFrame:
    """Return lines, several builds in the column of one ("Mk 1 late, Mk 2") where runs stand."""
    is_build = pl.col("kind") == "build"
    texts = frame.filter(is_build)["build"].drop_nulls().unique().to_list()
    several = [
        text
        for text in texts
        if read_build(text).problem in _SEVERAL and len(read_effectivity(text).clauses) > 1
    ]
    if not several:
        return frame
    said = (is_build & pl.col("build").is_in(several)).fill_null(value=False)
    return frame.with_columns(
        pl.when(said)
        .then(pl.coalesce("effectivity", "build"))
        .otherwise("effectivity")
        .alias("effectivity"),
        pl.when(~said).then("build").alias("build"),
    )


def _with_runs(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return lines with the runs of serials, or the builds, that a column says, one line each."""
    runs: list[dict[str, Any]] = []
    unread: dict[str, str] = {}
    for text in frame["effectivity"].drop_nulls().unique().to_list():
        found = read_effectivity(text)
        plain = [one for one in found.clauses if one.reach is None] if not found.doubt else []
        if found.clauses or found.problem == "open-mark-range":
            if len(plain) < len(found.clauses) or not plain:
                unread[text] = "build"
            runs += [{"effectivity": text, "_run_mark": one.mark, "_run_phase": one.phase}
                     for one in plain]  # fmt: skip
            continue
        none = found.all or found.problem in _NO_SERIALS or _NOT_KNOWN.search(text) is not None
        if not found.intervals and not none and any(map(str.isdigit, text)):
            found = read_effectivity(f"nos {text}")
        if not found.intervals and not none:
            unread[text] = "serial"
        runs += [
            {"effectivity": text, "_run_series": one.series, "_first": one.first, "_last": one.last}
            for one in found.intervals
        ]
    schema = {"effectivity": pl.String, "_run_series": pl.String, "_first": pl.Int64,
              "_last": pl.Int64, "_run_mark": pl.String, "_run_phase": pl.String}  # fmt: skip
    for what, problem, to_do in (
        ("serial", "these are no serial numbers that can be read",
         "write the first and the last, such as 'hull nos 1001-1250' or '1251 on'"),
        ("build", "this is not a mark or phase that can be read",
         "write each build by itself: 'Mk 2', 'Mk 2 late' or 'late', with commas between"),
    ):  # fmt: skip
        own = [text for text, sort in unread.items() if sort == what]
        findings.fault(frame.filter(pl.col("effectivity").is_in(own)), "effectivity",
                       f"{what}-not-read", problem, to_do)  # fmt: skip
    joined = frame.join(
        pl.DataFrame(runs, schema=schema), on="effectivity", how="left", maintain_order="left_right"
    )
    return joined.with_columns(
        pl.coalesce("first_serial", "_first").alias("first_serial"),
        pl.coalesce("last_serial", "_last").alias("last_serial"),
        pl.coalesce("mark", "_run_mark").alias("mark"),
        pl.coalesce("phase", "_run_phase").alias("phase"),
    )

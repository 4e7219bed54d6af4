"""Load: a version that was read, matched and checked goes into the club, with its history.

Works inside the transaction of the connection it is given (``Club.writing``). Nothing is lost:
every raw line has an outcome, and the sum is checked before the transaction can be committed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.model import FileReport
from partmuster.store.feature_names import identify_features
from partmuster.store.frames import insert, shaped, stage
from partmuster.store.identifications import load_identifications
from partmuster.store.lines import (
    Arrival,
    end_missing,
    standing_kinds,
    write_effectivity,
    write_lines,
)
from partmuster.store.names import identify_names
from partmuster.store.outcomes import bring_up_to_date, set_source_questions
from partmuster.store.same_people import ask_same_people
from partmuster.store.twice import settle_twice
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import (
    ArchivedLayout,
    ChoiceName,
    Effectivity,
    ItemKey,
    Mended,
    Mending,
    Question,
    RawLine,
)
from partmuster_schemas.said import MODELS

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    import pandera.polars as pa
    from duckdb import DuckDBPyConnection

    from partmuster.store.put_aside import LinesOfKind

_SOURCE_COLUMNS = ("source_id", "source_version")
#: A raw line that was taken for data although nothing came of it and nobody doubted it.
NOTHING_READ = "nothing was read from it"


def _columns(model: type[pa.DataFrameModel], *without: str) -> dict[str, Any]:
    return {n: t for n, t in polars_schema(model).items() if n not in without}


RAW_SCHEMA = _columns(RawLine, *_SOURCE_COLUMNS)
MENDING_SCHEMA = _columns(Mending, *_SOURCE_COLUMNS)
MENDED_SCHEMA = _columns(Mended, *_SOURCE_COLUMNS)
CHOICE_SCHEMA = _columns(ChoiceName, *_SOURCE_COLUMNS)
LAYOUT_SCHEMA = _columns(ArchivedLayout, *_SOURCE_COLUMNS)
EFFECTIVITY_SCHEMA = {
    "line_base": pl.String(),
    "raw_number": pl.Int64(),
    **_columns(Effectivity, "line_id", "revision"),
}
QUESTION_SCHEMA = _columns(Question, "question_id", "source_id", "recorded_from", "recorded_to")
DOUBT_SCHEMA = {"raw_number": pl.Int64(), "reason": pl.String()}


@dataclass(frozen=True, slots=True)
class ReadyVersion:
    """One version of a source, ready to be loaded.

    ``raw``: columns of ``RawLine`` without the source's, outcome line, not-data or mending.
    ``lines``: by kind, the model's columns without those the store gives, and ``line_base`` and
    ``raw_number``. ``effectivity`` belongs to (``line_base``, ``raw_number``). ``mended``: what
    people put in place of what could not be read. ``doubts``: raw lines that need a decision
    whatever is identified. ``questions``: what the source gives reason to ask (topic, subject,
    question, choices, lines). ``choices``: the names that it was chosen by between readings.
    ``ends_missing``: false where the version looks partial. Frames may
    lack columns that would be empty.
    """

    source_id: str
    version: int
    name: str
    content_hash: str
    size: int
    importer: str
    importer_version: str
    said_on: dt.date | None
    said_on_basis: str | None
    raw: pl.DataFrame
    lines: Mapping[str, LinesOfKind]
    effectivity: pl.DataFrame = field(
        default_factory=partial(pl.DataFrame, schema=EFFECTIVITY_SCHEMA)
    )
    mending: pl.DataFrame = field(default_factory=partial(pl.DataFrame, schema=MENDING_SCHEMA))
    mended: pl.DataFrame = field(default_factory=partial(pl.DataFrame, schema=MENDED_SCHEMA))
    questions: pl.DataFrame = field(default_factory=partial(pl.DataFrame, schema=QUESTION_SCHEMA))
    layout: pl.DataFrame = field(default_factory=partial(pl.DataFrame, schema=LAYOUT_SCHEMA))
    choices: pl.DataFrame = field(default_factory=partial(pl.DataFrame, schema=CHOICE_SCHEMA))
    doubts: pl.DataFrame = field(default_factory=partial(pl.DataFrame, schema=DOUBT_SCHEMA))
    ends_missing: bool = True


def load(
    con: DuckDBPyConnection,
    version: ReadyVersion,
    identifications: pl.DataFrame,
    item_keys: pl.DataFrame,
    now: dt.datetime,
) -> FileReport:
    """Load one version and return what became of its lines.

    ``identifications``: columns of ``Identification`` without the recorded ones; ``item_keys``:
    columns of ``ItemKey``.

    Raises:
        ValueError: the frames do not fit each other, or the raw lines do not add up. The caller's
            transaction must then be undone.
    """
    return load_versions(con, [version], identifications, item_keys, now)[0]


def load_versions(
    con: DuckDBPyConnection,
    versions: Sequence[ReadyVersion],
    identifications: pl.DataFrame,
    item_keys: pl.DataFrame,
    now: dt.datetime,
) -> list[FileReport]:
    """Load several versions at once, settling names and questions only when all lines are in.

    See :func:`load`; the reports are in the order of the versions, all counted at the end.
    """
    reports = [
        FileReport(name=version.name, outcome=_outcome(version), source_id=version.source_id,
                   importer=version.importer)
        for version in versions
    ]  # fmt: skip
    for chosen in _rounds(versions):
        _load_lines(con, [(versions[at], reports[at]) for at in chosen], now)
    _write_item_keys(con, item_keys)
    load_identifications(con, identifications, now)
    settle(con, now)
    recount_reports(con, reports, [version.version for version in versions])
    for version, report in zip(versions, reports, strict=True):
        if not report.adds_up or report.read != version.raw.height:
            raise ValueError(
                f"{version.name}: {version.raw.height} lines were read but {report.loaded} "
                f"loaded, {report.decision} to decide, {report.mending} to mend, "
                f"{report.not_data} not data"
            )
    return reports


def _rounds(versions: Sequence[ReadyVersion]) -> list[list[int]]:
    """Return places of versions to be written together: one version a source in each round."""
    rounds: list[list[int]] = []
    written: dict[str, int] = {}
    for at, version in enumerate(versions):
        number = written.get(version.source_id, 0)
        written[version.source_id] = number + 1
        if number == len(rounds):
            rounds.append([])
        rounds[number].append(at)
    return rounds


def _load_lines(
    con: DuckDBPyConnection, versions: Sequence[tuple[ReadyVersion, FileReport]], now: dt.datetime
) -> None:
    """Write the lines of versions of different sources, and what belongs to them.

    Their reports' sums are still open.
    """
    arrivals = []
    for version, _ in versions:
        first = version.version == 1
        if first and not version.ends_missing:
            raise ValueError("a first version cannot be partial: there is nothing it could end")
        _check_numbers(version)
        said_on = version.said_on or now.date()
        # A first version finds nothing that it could end.
        ends = version.ends_missing and not first
        arrivals.append(Arrival(version.source_id, version.version, said_on, now, ends))
    _write_versions(con, [version for version, _ in versions], now)
    effects = _of_all(versions, "effectivity", EFFECTIVITY_SCHEMA)
    ending = [one.source_id for one in arrivals if one.ends_missing]
    to_end = standing_kinds(con, ending) if ending else frozenset()
    for kind in MODELS:
        lines = [version.lines.get(kind) for version, _ in versions]
        if all(frame is None for frame in lines) and kind not in to_end:
            continue
        counts = write_lines(con, kind, list(zip(arrivals, lines, strict=True)))
        if effects.height:
            write_effectivity(con, effects)
        for (version, report), frame in zip(versions, lines, strict=True):
            if frame is not None and frame.height:
                report.kinds[kind] = frame.height
            found = counts[version.source_id]
            report.lines_new += found.new
            report.lines_changed += found.changed
            report.lines_ended += found.ended
    raised = _of_all(versions, "questions", QUESTION_SCHEMA)
    set_source_questions(con, raised, [version.source_id for version, _ in versions], now)


def _of_all(
    versions: Sequence[tuple[ReadyVersion, FileReport]], name: str, schema: dict[str, Any]
) -> pl.DataFrame:
    """Return one of the frames of several versions as one, with their ``source_id``."""
    return pl.concat([
        shaped(getattr(version, name), schema).select(
            pl.lit(version.source_id).alias("source_id"), pl.all()
        )
        for version, _ in versions
    ])  # fmt: skip


def settle(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Work out all names, the outcomes that follow from them, and what is to be asked.

    To be called when identifications, registers or decisions have changed; ``load`` does.
    """
    identify_names(con, now)
    identify_features(con, now)
    settle_twice(con, now)
    ask_same_people(con, now)
    bring_up_to_date(con, now)


def rematch(con: DuckDBPyConnection, identifications: pl.DataFrame, now: dt.datetime) -> int:
    """Record new conclusions about items already loaded; return how many item keys changed."""
    changed = load_identifications(con, identifications, now)
    settle(con, now)
    return changed


def confirm_complete(
    con: DuckDBPyConnection, source_id: str, version: int, said_on: dt.date, now: dt.datetime
) -> int:
    """End what a version that looked partial omits, now that it is known to be whole.

    Returns how many lines ended.
    """
    ended = end_missing(con, Arrival(source_id, version, said_on, now, ends_missing=True))
    settle(con, now)
    return ended


def recount_reports(
    con: DuckDBPyConnection, reports: Sequence[FileReport], versions: Sequence[int]
) -> None:
    """Fill the reports' sums, and those of their versions, with the outcomes as they stand now.

    Later files of the same import may settle what earlier ones left open.
    """
    counted = pl.DataFrame(
        {"source_id": [report.source_id for report in reports], "source_version": versions},
        schema={"source_id": pl.String, "source_version": pl.Int32},
    )
    stage(con, "counted", counted)
    rows = con.execute(
        "SELECT source_id, source_version, outcome, count(*) FROM raw_line "
        "JOIN counted USING (source_id, source_version) GROUP BY ALL"
    ).fetchall()
    found = {(source_id, version, outcome): count for source_id, version, outcome, count in rows}
    for report, version in zip(reports, versions, strict=True):

        def count(outcome: str, of: tuple[str | None, int] = (report.source_id, version)) -> int:
            return int(found.get((*of, outcome), 0))

        report.loaded, report.decision = count("loaded"), count("decision")
        report.mending, report.not_data = count("mending"), count("not-data")
        report.read = report.loaded + report.decision + report.mending + report.not_data
    sums = counted.with_columns(
        pl.Series(name, [getattr(report, name) for report in reports], dtype=pl.Int64)
        for name in ("read", "loaded", "decision", "mending", "not_data")
    )
    stage(con, "sums", sums)
    con.execute(
        "UPDATE source_version v SET lines_read = s.read, lines_loaded = s.loaded, "
        "lines_decision = s.decision, lines_mending = s.mending, lines_not_data = s.not_data "
        "FROM sums s WHERE v.source_id = s.source_id AND v.version = s.source_version"
    )


def _outcome(version: ReadyVersion) -> Any:
    if not version.ends_missing:
        return "partial"
    return "new" if version.version == 1 else "new version"


def _check_numbers(version: ReadyVersion) -> None:
    """Refuse frames that name a raw line that is not there, or one twice.

    Raises:
        ValueError: with the frame's name and the first such number.
    """
    numbers = version.raw.get_column("raw_number")
    if numbers.n_unique() != numbers.len():
        raise ValueError(f"{version.name}: a raw line's number stands twice")
    frames = {**version.lines, "mending": version.mending, "doubts": version.doubts}
    for name, frame in frames.items():
        strays = frame.get_column("raw_number").unique().cast(pl.Int64)
        strays = strays.filter(~strays.is_in(numbers.cast(pl.Int64).implode()))
        if strays.len():
            raise ValueError(f"{version.name}: {name} names raw line {strays[0]}; there is none")


def _write_versions(
    con: DuckDBPyConnection, versions: Sequence[ReadyVersion], now: dt.datetime
) -> None:
    for version in versions:
        con.execute(
            "INSERT INTO source (source_id, name, first_recorded) SELECT ?, ?, ? "
            "WHERE NOT EXISTS (SELECT 1 FROM source WHERE source_id = ?)",
            [version.source_id, version.name, now, version.source_id],
        )
        con.execute(
            "INSERT INTO source_version VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 0, 0, 0, 0, 0, ?)",
            [version.source_id, version.version, version.name, version.content_hash, version.size,
             version.importer, version.importer_version, version.said_on, version.said_on_basis,
             now, not version.ends_missing],
        )  # fmt: skip
    tables: dict[str, list[pl.DataFrame]] = {
        "raw_line": [_with_outcomes(version) for version in versions],
        "mending": [shaped(version.mending, MENDING_SCHEMA) for version in versions],
        "mended": [shaped(version.mended, MENDED_SCHEMA) for version in versions],
        "choice_name": [shaped(version.choices, CHOICE_SCHEMA) for version in versions],
        "layout_taken": [shaped(version.layout, LAYOUT_SCHEMA) for version in versions],
    }
    for table, frames in tables.items():
        placed = [
            frame.select(
                pl.lit(version.source_id).alias("source_id"),
                pl.lit(version.version, pl.Int32).alias("source_version"),
                pl.all(),
            )
            for version, frame in zip(versions, frames, strict=True)
        ]
        arriving = pl.concat(placed)
        if arriving.height:
            insert(con, table, arriving)


def _with_outcomes(version: ReadyVersion) -> pl.DataFrame:
    """Return the raw lines; those that are data as loaded, or in doubt with the reason.

    Whether parts and vehicles are identified is settled afterwards.
    """
    raw = shaped(version.raw, RAW_SCHEMA)
    doubts = shaped(version.doubts, DOUBT_SCHEMA).group_by("raw_number").agg(
        pl.col("reason").drop_nulls().unique(maintain_order=True).str.join("; ").alias("doubt")
    )  # fmt: skip
    lines = [frame.select(pl.col("raw_number").cast(pl.Int64)) for frame in version.lines.values()]
    said = pl.concat(lines).unique() if lines else pl.DataFrame(schema={"raw_number": pl.Int64})
    raw = raw.join(doubts, on="raw_number", how="left").join(
        said.with_columns(said=pl.lit(value=True)), on="raw_number", how="left"
    )
    data = pl.col("outcome") == "line"
    doubt = pl.coalesce(
        pl.col("doubt"), pl.when(pl.col("said").is_null()).then(pl.lit(NOTHING_READ))
    )
    return raw.sort("raw_number").select(
        *(name for name in RAW_SCHEMA if name not in ("outcome", "reason")),
        pl.when(data & doubt.is_not_null()).then(pl.lit("decision"))
        .when(data).then(pl.lit("loaded")).otherwise(pl.col("outcome")).alias("outcome"),
        pl.when(data).then(doubt).otherwise(pl.col("reason")).alias("reason"),
    )  # fmt: skip


def _write_item_keys(con: DuckDBPyConnection, item_keys: pl.DataFrame) -> None:
    if not item_keys.height:
        return
    stage(con, "arriving", shaped(item_keys, polars_schema(ItemKey)))
    con.execute(
        "INSERT INTO item_key BY NAME SELECT DISTINCT ON (item_key) * FROM arriving "
        "ANTI JOIN (SELECT item_key FROM item_key) USING (item_key)"
    )

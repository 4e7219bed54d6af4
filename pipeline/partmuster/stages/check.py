"""Check: every typed line against its kind's pandera model; what fails needs mending, kept whole.

All failures of a frame come at once (``lazy=True``), joined back to their raw line by index.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

import pandera.errors
import polars as pl

from partmuster_schemas.columns import described
from partmuster_schemas.said import MODELS

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    import pandera.polars as pa

#: Columns that the store fills in after the check.
_LATER = frozenset(
    {"line_id", "revision", "source_id", "source_version", "said_until", "recorded_from",
     "recorded_to"}
)  # fmt: skip

#: What the checks of the models say of a column, by pandera's names for them.
_SAYS: dict[str, Callable[..., pl.Expr]] = {
    "isin": lambda column, allowed_values: column.is_in(list(allowed_values)),
    "greater_than_or_equal_to": lambda column, min_value: column >= min_value,
    "less_than_or_equal_to": lambda column, max_value: column <= max_value,
}


def check(lines: Mapping[str, pl.DataFrame]) -> tuple[dict[str, pl.DataFrame], pl.DataFrame]:
    """Return the lines that pass, by kind, and the faults of the rest.

    ``lines``: frames as ``normalise`` gives them. The faults have columns raw_number, line_kind,
    field, value, code (``<check>-<field>``), problem, what_to_do. A raw line with one faulty line
    is held back with all the lines split from it, of every kind.
    """
    return check_several([lines])[0]


def check_several(
    sources: Sequence[Mapping[str, pl.DataFrame]],
) -> list[tuple[dict[str, pl.DataFrame], pl.DataFrame]]:
    """Check the lines of several sources; return for each what :func:`check` does.

    They are checked together: for a short sheet the check costs more than anything else.
    """
    faults = [_no_faults().with_columns(pl.lit(0, pl.Int64).alias("_source"))]
    for kind in MODELS:
        frames = [
            lines[kind].with_columns(pl.lit(number, pl.Int64).alias("_source"))
            for number, lines in enumerate(sources)
            if kind in lines and lines[kind].height
        ]
        if frames:
            faults.append(_faults(kind, pl.concat(frames)))
    found = pl.concat(faults)
    return [
        _without(lines, found.filter(pl.col("_source") == number).drop("_source"))
        for number, lines in enumerate(sources)
    ]


def _without(
    lines: Mapping[str, pl.DataFrame], found: pl.DataFrame
) -> tuple[dict[str, pl.DataFrame], pl.DataFrame]:
    """Return the lines of raw lines that no fault was found in, and the faults."""
    held = found.get_column("raw_number").unique().to_list()
    passed = {
        kind: kept
        for kind, frame in lines.items()
        if (kept := frame.filter(~pl.col("raw_number").is_in(held)) if held else frame).height
    }
    return passed, found


@cache
def _schema(kind: str) -> tuple[list[str], pa.DataFrameSchema]:
    """Return the columns that are checked, and the schema of just those."""
    checked = [name for name in described(MODELS[kind]) if name not in _LATER]
    return checked, MODELS[kind].to_schema().remove_columns(sorted(_LATER))


@cache
def _all_pass(kind: str) -> tuple[dict[str, Any], pl.Expr] | None:
    """Return the types that a kind's columns have, and what is true where every check passes.

    None where a check is of a sort that is not known here.
    """
    checked, schema = _schema(kind)
    passes = []
    for name in checked:
        column = schema.columns[name]
        if not column.nullable:
            passes.append(pl.col(name).is_not_null().all())
        for one in column.checks:
            if one.name not in _SAYS:
                return None
            said = _SAYS[one.name](pl.col(name), **one.statistics)
            passes.append(said.fill_null(value=True).all())
    return {name: schema.columns[name].dtype.type for name in checked}, pl.all_horizontal(passes)


def _is_faultless(kind: str, frame: pl.DataFrame) -> bool:
    """Tell at once whether a frame surely passes: most do, and to hear it of pandera costs more
    than anything else that is done with a short sheet.
    """  # noqa: D205  (one sentence)
    told = _all_pass(kind)
    if told is None:
        return False
    types, passes = told
    have = frame.schema
    return all(have.get(name) == dtype for name, dtype in types.items()) and bool(
        frame.select(passes).item()
    )


def _faults(kind: str, frame: pl.DataFrame) -> pl.DataFrame:
    checked, schema = _schema(kind)
    try:
        if not _is_faultless(kind, frame):
            schema.validate(frame.select(checked), lazy=True)
    except pandera.errors.SchemaErrors as errors:
        return _explained(kind, frame, errors.failure_cases)
    return _no_faults().with_columns(pl.lit(0, pl.Int64).alias("_source"))


def _explained(kind: str, frame: pl.DataFrame, cases: pl.DataFrame) -> pl.DataFrame:
    """Join pandera's failure cases back to raw lines, each with words for a person."""
    meanings = described(MODELS[kind])
    rows = []
    numbers, sources = frame.get_column("raw_number"), frame.get_column("_source")
    for case in cases.iter_rows(named=True):
        if case["index"] is None:
            # A wrong type or a missing column is a fault of the program, not of the sheet.
            raise TypeError(f"{kind}.{case['column']}: {case['check']} ({case['failure_case']})")
        field = str(case["column"])
        check_name = str(case["check"])
        code = check_name.split("(", maxsplit=1)[0].replace("_", "-")
        value = None if case["failure_case"] is None else str(case["failure_case"])
        meaning = meanings[field]["doc"]
        if code == "not-nullable":
            problem, to_do = f"nothing stands for: {meaning}", "fill it in"
        else:
            problem = f"this cannot be: {meaning} ({check_name.replace('_', ' ')})"
            to_do = "correct it in the sheet and import the sheet again"
        row = int(case["index"])
        rows.append(
            (numbers[row], kind, field, value, f"{code}-{field}", problem, to_do, sources[row])
        )
    return pl.DataFrame(rows, schema={**_no_faults().schema, "_source": pl.Int64}, orient="row")


def _no_faults() -> pl.DataFrame:
    text = pl.String
    return pl.DataFrame(
        schema={"raw_number": pl.Int64, "line_kind": text, "field": text, "value": text,
                "code": text, "problem": text, "what_to_do": text}
    )  # fmt: skip

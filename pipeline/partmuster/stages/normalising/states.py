"""Survey cells that say several things become a line for each."""

from __future__ import annotations

import polars as pl

from partmuster.reading.states import State, read_states


def split_states(frame: pl.DataFrame) -> pl.DataFrame:
    """Return lines, those of a survey with one state each; ``state_said`` is what the cell says.

    A side that a state names goes to the side column; where the row has a side of its own it goes
    beside it, so that sides that disagree are asked about.
    """
    frame = frame.with_columns(pl.lit(None, pl.String).alias("state_said"))
    survey = frame.get_column("kind") == "survey"
    if not survey.any():
        return frame
    said = pl.coalesce("presence", "condition")
    frame = frame.with_columns(pl.when(pl.col("kind") == "survey").then(said).alias("state_said"))
    several: dict[str, tuple[State, ...]] = {}
    for text in frame.get_column("state_said").drop_nulls().unique().to_list():
        states = read_states(text)
        if len(states) > 1 or states[0].side or states[0].words != text:
            several[text] = states
    if not several:
        return frame
    table = pl.DataFrame(
        [(text, s.words, s.side, s.remark) for text, states in several.items() for s in states],
        schema={"state_said": pl.String, "_words": pl.String, "_side": pl.String,
                "_more": pl.String},
        orient="row",
    )  # fmt: skip
    frame = frame.join(table, on="state_said", how="left", maintain_order="left_right")
    taken, both = pl.col("_side").is_not_null(), pl.col("side").is_not_null()
    return frame.with_columns(
        pl.coalesce("_words", "presence").alias("presence"),
        pl.coalesce("side", "_side").alias("side"),
        pl.when(taken & both)
        .then(pl.concat_str(["position", "_side"], separator=" ", ignore_nulls=True))
        .otherwise("position").alias("position"),
        pl.concat_str(["remark", "_more"], separator="; ", ignore_nulls=True).replace("", None)
        .alias("remark"),
    ).drop("_words", "_side", "_more")  # fmt: skip

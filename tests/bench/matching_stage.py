"""The matching stage by itself, in a process whose memory can be looked at.

``python -m tests.bench.matching_stage LINES TERMS OUT``: matches the texts of a parquet file
against the terms of another, as an import does, some at a time, and writes what each text means.
Prints the seconds it took, with the making of the index.
"""

from __future__ import annotations

import gc
import json
import sys
import time

import polars as pl

from partmuster.running.shared_matching import SharedMatching
from partmuster.stages.match import no_numbers
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Decision, ItemKey

from .matching_lines import vocabulary_of

_KEYS = polars_schema(ItemKey)
#: Texts of one partition: what another process, or another machine, would be handed.
_AT_ONCE = 100_000


def keys_of(texts: pl.Series) -> pl.DataFrame:
    """Return item keys for texts, nothing said beside them; a text is its own key."""
    return pl.DataFrame({"item_key": texts, "description": texts}).select(
        pl.col(name) if name in {"item_key", "description"} else pl.lit(None, dtype).alias(name)
        for name, dtype in _KEYS.items()
    )


def main(lines: str, terms: str, out: str) -> None:
    """Match the lines of one file against the terms of another."""
    texts = pl.read_parquet(lines, columns=["text"]).get_column("text")
    vocabulary = vocabulary_of(pl.read_parquet(terms).get_column("term").to_list())
    nothing = no_numbers(), pl.DataFrame(schema=polars_schema(Decision))
    gc.freeze()  # as the command that imports does
    gc.set_threshold(200_000)
    started = time.perf_counter()
    texts = texts.str.to_lowercase()
    distinct = texts.unique()
    found = []
    with SharedMatching(vocabulary) as matching:
        for some in distinct.to_frame().iter_slices(_AT_ONCE):
            keys = keys_of(some.to_series())
            told = matching.match(keys, vocabulary, *nothing, region="GB")
            found.append(told.filter(pl.col("rank") == 1).select("key", "target", "accepted"))
    seconds = time.perf_counter() - started
    meant = pl.concat(found)
    texts.to_frame("key").join(meant, on="key", how="left", maintain_order="left").write_parquet(
        out
    )
    json.dump({"seconds": seconds, "distinct": distinct.len()}, sys.stdout)


if __name__ == "__main__":
    main(*sys.argv[1:])

import polars as pl

from partmuster.plugin_api import Claim, Grid, Lines, NotData, hookimpl

ROW = {"row": pl.Int32, "1": pl.String}
GOOD = pl.DataFrame({"row": [1], "1": ["a"]}, ROW)

#: Batches that are none, by the words that must tell why.
RUBBISH = {
    "a dict is no Grid": {"part": "bolt"},
    "not a polars DataFrame": Grid([["a", "b"]]),
    "not a polars DataFrame, lazily": Grid(GOOD.lazy()),
    "no column 'row'": Grid(GOOD.drop("row")),
    "'row' is Int64": Grid(GOOD.cast({"row": pl.Int64})),
    "is Float64, not text": Grid(GOOD.with_columns(pl.lit(2.5).alias("2"))),
    "not named by a sheet column": Grid(GOOD.rename({"1": "Part"})),
    "column '0' is not named": Grid(GOOD.rename({"1": "0"})),
    "stands twice": Grid(pl.concat([GOOD, GOOD])),
    "below 1": Grid(GOOD.with_columns(pl.lit(-3, pl.Int32).alias("row"))),
    "has no number": Grid(GOOD.with_columns(pl.lit(None, pl.Int32).alias("row"))),
    "not in the order": Grid(pl.DataFrame({"row": [2, 1], "1": ["a", "b"]}, ROW)),
    "marks have columns": Grid(GOOD, marks=GOOD),
    "saved_on is no date": Grid(GOOD, saved_on="2026-03-05"),
    "sheet's name is no text": Grid(GOOD, sheet=3),
    "page 0": Grid(GOOD, page=0),
    "no column kind": Lines(pl.DataFrame({"words": ["a bolt"]})),
    "no such field": Lines(pl.DataFrame({"kind": ["want"], "words": ["a"], "colour": ["red"]})),
    "a line has no words": Lines(
        pl.DataFrame({"kind": ["want"], "words": [None]}, {"kind": pl.String, "words": pl.String})
    ),
    "has no reason": NotData(" "),
}


class YieldsRubbish:
    name = "yields-rubbish"
    version = "1"

    def __init__(self, batch):
        self.batch = batch

    def sniff(self, source):
        return Claim(1.0)

    def read(self, source):
        yield Grid(GOOD)
        yield self.batch


class NoIterator(YieldsRubbish):
    name = "no-iterator"

    def read(self, source):
        return None


@hookimpl
def partmuster_importers():
    return [YieldsRubbish(None), NoIterator(None)]

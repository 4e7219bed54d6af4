import polars as pl

from partmuster.plugin_api import Claim, Grid, hookimpl


class RaisesOnRead:
    name = "raises-on-read"
    version = "1"

    def sniff(self, source):
        return Claim(1.0)

    def read(self, source):
        yield Grid(pl.DataFrame({"row": [1], "1": ["a"]}, {"row": pl.Int32, "1": pl.String}))
        raise IndexError("list index out of range")


@hookimpl
def partmuster_importers():
    return [RaisesOnRead()]

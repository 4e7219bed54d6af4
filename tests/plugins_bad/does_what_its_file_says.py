import contextlib
import ctypes
import datetime as dt
import os
import re
import resource
import sys
import time

import polars as pl

from partmuster.plugin_api import Claim, Grid, Lines, NotData, SourceUnreadableError, hookimpl

CELLS = pl.DataFrame(
    {"row": [1, 4], "1": ["a", None], "12": ["Kühler ½", "-"]},
    {"row": pl.Int32, "1": pl.String, "12": pl.String},
)
MARKS = pl.DataFrame(
    {"row": [1], "column": [None], "mark": ["struck"], "value": ["row"]},
    {"row": pl.Int32, "column": pl.Int32, "mark": pl.String, "value": pl.String},
)


class Trouble:
    """Reads a file of one word, and does what it says: most of it is trouble."""

    name = "trouble"
    version = "1"

    def sniff(self, source):
        return Claim(1.0) if source.suffix == ".trouble" else None

    def read(self, source):
        word, _, rest = source.path.read_text().partition(" ")
        yield from getattr(self, word)(rest)

    def pid(self, rest):
        yield NotData(str(os.getpid()))

    def everything(self, rest):
        yield Grid(
            CELLS,
            sheet="Card",
            page=3,
            title="Loose",
            marks=MARKS,
            saved_on=dt.date(2026, 3, 5),
            stated_on=dt.date(2025, 1, 2),
        )
        yield Grid(CELLS.clear())
        yield Lines(pl.DataFrame({"kind": ["want"], "words": ["a dynamo"]}))
        yield NotData("a picture", sheet="S", page=2, row=7, words="\x00 \ud83d words")

    def abort(self, rest):
        yield NotData("before")
        os.abort()

    def segfault(self, rest):
        yield NotData(ctypes.string_at(0).decode())

    def leave(self, rest):
        os.write(2, b"native code gave up\n")
        os._exit(3)

    def exit(self, rest):
        yield NotData("before")
        sys.exit("good bye")

    def python_memory(self, rest):
        kept = []
        while True:
            kept.append(bytearray(1 << 26))

    def native_memory(self, rest):
        frames = pl.DataFrame({"row": range(1 << 20)})
        while True:
            frames = pl.concat([frames, frames], rechunk=True)

    def sleep(self, rest):
        time.sleep(600)
        yield NotData("awake")

    def pages(self, rest):
        for page in range(1, 5):
            time.sleep(float(rest))
            yield NotData("an empty page", page=page)

    def hold(self, rest):
        re.match("(a+)+$", "a" * 64 + "b")  # never lets another thread of Python run
        yield NotData("done")

    def index(self, rest):
        yield NotData("before")
        raise IndexError("list index out of range")

    def unreadable(self, rest):
        raise SourceUnreadableError("the card is torn. Ask for it again.")
        yield

    def rubbish(self, rest):
        yield Grid(CELLS)
        yield {"part": "bolt"}

    def silent(self, rest):
        return iter(())

    def prints(self, rest):
        sys.stdout.write("words of a plugin\n")
        os.write(1, b"words of its library")
        yield NotData("printed")

    def babble(self, rest):
        for number in range(3, 20):  # one of these is where answers go
            with contextlib.suppress(OSError):
                os.write(number, b"\0" * 7 + b"\4read" + b"\0" * 7 + b"\2{]")
        time.sleep(600)
        yield NotData("nobody heard")

    def started(self, rest):
        with open(rest, "a") as stream:  # noqa: PTH123 - a file handle as any plugin opens one
            stream.write("read\n")
        yield NotData("started")

    def limits(self, rest):
        said = os.environ["POLARS_MAX_THREADS"]
        yield NotData(f"{resource.getrlimit(resource.RLIMIT_AS)[0]} {said} {pl.thread_pool_size()}")


@hookimpl
def partmuster_importers():
    return [Trouble()]

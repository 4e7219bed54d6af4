"""Every hook, filled by a plugin as its author would, and what the core makes of it."""

from __future__ import annotations

import inspect
import sys
from pathlib import Path

import polars as pl
import pytest

from partmuster.cli import plugins
from partmuster.hooks import Importer, Matcher, Publisher, Specification
from partmuster.host import load_plugins
from partmuster.plugin_api import Claim, Grid, hookimpl
from partmuster_plugins import spreadsheets

HOOKS = [name for name in vars(Specification) if name.startswith("partmuster_")]


class Letters:
    """Reads files that end in .letter: a part and a number a line."""

    name, version = "letters", "1"

    def sniff(self, source):
        return Claim(0.9) if source.suffix == ".letter" else None

    def read(self, source):
        rows = [line.split("=") for line in source.path.read_text("utf-8").splitlines()]
        columns = {str(at): [row[at - 1] for row in rows] for at in (1, 2)}
        numbers = pl.Series("row", range(1, len(rows) + 1), dtype=pl.Int32)
        yield Grid(pl.DataFrame({"row": numbers, **columns}))


class Nicknames:
    """Knows a nickname, and is as sure of another part of the wrong hand."""

    name, version = "nicknames", "1"

    def candidates(self, batch, names):
        assert {"part_id", "name", "region", "style"} <= set(names.columns)
        known = batch.filter(pl.col("description").str.contains("(?i)thingummy"))
        return known.select(
            "item_key", pl.lit("radiator").alias("part_id"), pl.lit(0.7).alias("probability"),
            pl.lit("so they call it here").alias("reasons"),
        )  # fmt: skip


class Notices:
    """Writes what it is shown."""

    name, version = "notices", "1"

    def publish(self, club_view, out_dir):
        path = out_dir / f"{club_view.audience}.csv"
        club_view.ask("holders", "radiator").write_csv(path)
        return [path]


class Plugin:
    """One plugin that fills every hook."""

    __name__ = "everything"

    @hookimpl
    def partmuster_importers(self):
        return [Letters()]

    @hookimpl
    def partmuster_matchers(self):
        return [Nicknames()]

    @hookimpl
    def partmuster_publishers(self):
        return [Notices()]


@pytest.fixture
def host():
    host = load_plugins([spreadsheets, Plugin()], outside=False)
    assert host.failures == []
    return host


def test_partmuster_importers(host, small):
    small.host = host
    small.write("spares.letter", "What=How many\nRadiator=2\n")
    report = small.load()
    assert [(file.importer, file.loaded) for file in report.files] == [("letters", 1)]
    [row] = small.holders("radiator").to_dicts()
    assert row["quantity"] == "2"
    assert all(isinstance(one, Importer) for one in host.importers)


def test_partmuster_matchers(host, small):
    small.host = host
    small.write("spares.csv", "What,How many\nThingummy,1\n")
    small.load()
    [(target, accepted, reasons)] = small.rows(
        "SELECT target, accepted, reasons FROM identification_now WHERE role = 'part' AND rank = 1"
    )
    # a suggestion of 0.7 is shown and waits for a person; it is not accepted for the matcher's sake
    assert (target, accepted) == ("radiator", False)
    assert "nicknames: so they call it here" in reasons
    [(topic,)] = small.rows("SELECT topic FROM open_question WHERE topic = 'part'")
    assert topic == "part"
    assert all(isinstance(one, Matcher) for one in host.matchers)


def test_partmuster_publishers(host, tmp_path):
    class View:
        audience = "circulated"

        def ask(self, question, *arguments):
            return pl.DataFrame({"question": [question], "of": list(arguments)})

    [publisher] = host.publishers
    assert isinstance(publisher, Publisher)
    [path] = publisher.publish(View(), tmp_path)
    assert path.read_text() == "question,of\nholders,radiator\n"


@pytest.mark.parametrize("hook", HOOKS)
def test_every_hook_has_a_test(hook):
    test = getattr(sys.modules[__name__], f"test_{hook}", None)
    assert test is not None, f"{hook} has no test"
    assert inspect.isfunction(test)


def test_there_are_hooks():
    assert HOOKS == ["partmuster_importers", "partmuster_matchers", "partmuster_publishers"]
    assert Path(inspect.getfile(Specification)).name == "hooks.py"


def test_the_command_line_brings_the_built_in_plugins():
    assert [one.name for one in plugins(outside=False).importers] == [
        "spreadsheets",
        "parts_lists",
        "hand_notes",
    ]

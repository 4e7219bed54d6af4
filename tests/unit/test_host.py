"""The host: good plugins work, bad ones are named and left out."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

from partmuster.host import ClaimFailure, load_plugins
from partmuster.model import Claim, NotData, SourceUnreadableError
from partmuster.plugin_api import hookimpl
from partmuster.stages.read import read_source
from partmuster_plugins import spreadsheets

BAD = Path(__file__).parents[1] / "plugins_bad"
TABLE = "Part,Qty,Shelf\nBrake band,2,B4\nDip switch,1,B2\n"


def bad_plugin(name):
    spec = importlib.util.spec_from_file_location(name, BAD / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def failure_of(host, plugin):
    [text] = [text for name, text in host.failures if name == plugin]
    return text


class Plugin:
    """A plugin with one importer that claims what it is told to claim."""

    def __init__(self, name, strength):
        self.__name__ = f"plugin-{name}"
        self.name = name
        self.version = "1"
        self.strength = strength

    @hookimpl
    def partmuster_importers(self):
        return [self]

    def sniff(self, source):
        return None if self.strength is None else Claim(self.strength)

    def read(self, source):
        yield NotData("nothing")


@pytest.fixture
def installed(tmp_path, monkeypatch):
    """Install bad plugins as outside ones: a file on the path and its entry point."""

    def install(*names):
        for name in names:
            (tmp_path / f"{name}.py").write_text((BAD / f"{name}.py").read_text())
            about = tmp_path / f"{name}-1.0.dist-info"
            about.mkdir()
            (about / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: 1.0\n")
            (about / "entry_points.txt").write_text(f"[partmuster]\n{name} = {name}\n")
        monkeypatch.syspath_prepend(tmp_path)

    yield install
    for path in BAD.glob("*.py"):
        sys.modules.pop(path.stem, None)


def test_a_built_in_plugin_hands_over_its_importer(make_source):
    host = load_plugins([spreadsheets], outside=False)
    assert host.failures == []
    assert host.claim(make_source("list.csv", TABLE)).name == "spreadsheets"


@pytest.mark.parametrize(
    ("plugin", "words"),
    [
        ("raises_on_import", "RuntimeError: no such driver"),
        ("leaves_on_import", "SystemExit: good bye"),
        ("misspelt_hook", "partmuster_importer"),
        ("wrong_argument", "club"),
        ("unmarked_hook", "none of the hooks"),
        ("raises_in_hook", "KeyError: 'settings'"),
        ("not_a_list", "not a list"),
    ],
)
def test_a_bad_outside_plugin_is_named_and_the_others_work(installed, make_source, plugin, words):
    installed(plugin, "claims_everything")
    host = load_plugins([spreadsheets])
    assert words in failure_of(host, plugin)
    assert f"plugin '{plugin}'" in failure_of(host, plugin)
    assert [one.name for one in host.importers if one.name == "claims-everything"]
    assert host.claim(make_source("letter.doc", b"\xd0\xcf")).name == "claims-everything"


def test_outside_plugins_are_left_alone_unless_asked_for(installed):
    installed("raises_on_import")
    assert load_plugins([spreadsheets], outside=False).failures == []


def test_nonsense_among_importers_is_left_out_item_by_item():
    host = load_plugins([bad_plugin("hands_over_nonsense")], outside=False)
    assert [one.name for one in host.importers] == ["good-among-nonsense"]
    texts = [text for _, text in host.failures]
    assert len(texts) == 4
    assert "'importer'" in texts[0]
    assert "needs name, version, sniff, read" in texts[1]
    assert "must be texts" in texts[2]
    assert "hand over an instance" in texts[3]


def test_two_importers_of_one_name_are_not_both_taken():
    host = load_plugins([Plugin("cards", 0.5), Plugin2("cards", 0.9)], outside=False)
    assert len(host.importers) == 1
    assert "taken by plugin" in host.failures[0][1]


class Plugin2(Plugin):
    def __init__(self, name, strength):
        super().__init__(name, strength)
        self.__name__ = f"other-{name}"


def test_the_strongest_claim_wins(make_source):
    host = load_plugins([Plugin("weak", 0.2), Plugin("strong", 0.7)], outside=False)
    assert host.claim(make_source("a.txt", "a")).name == "strong"


def test_equal_strongest_claims_are_an_error_that_names_both(make_source):
    host = load_plugins(
        [Plugin("one", 0.7), Plugin("two", 0.7), Plugin("weak", 0.1)], outside=False
    )
    failure = host.claim(make_source("a.txt", "a"))
    assert isinstance(failure, ClaimFailure)
    assert failure.kind == "claimed equally"
    assert set(failure.importers) == {"one", "two"}
    assert "'one'" in failure.text
    assert "'two'" in failure.text
    assert "a.txt" in failure.text


def test_a_file_nobody_claims_is_said_to_be_so(make_source):
    failure = load_plugins([Plugin("shy", None)], outside=False).claim(make_source("a.png", "a"))
    assert failure.kind == "not claimed"
    assert "a.png" in failure.text


def test_claiming_everything_ties_with_the_rightful_importer_by_name(make_source):
    host = load_plugins([spreadsheets, bad_plugin("claims_everything")], outside=False)
    failure = host.claim(make_source("list.csv", TABLE))
    assert set(failure.importers) == {"spreadsheets", "claims-everything"}


def test_an_importer_that_raises_on_sniff_counts_as_no_claim(make_source):
    host = load_plugins([bad_plugin("raises_on_sniff"), spreadsheets], outside=False)
    assert host.claim(make_source("list.csv", TABLE)).name == "spreadsheets"
    text = failure_of(host, "raises-on-sniff")
    assert "list.csv" in text
    assert "ZeroDivisionError: empty head" in text


def test_claims_that_are_none_are_reported_and_ignored(make_source):
    host = load_plugins([bad_plugin("bad_claims"), spreadsheets], outside=False)
    assert host.claim(make_source("list.csv", TABLE)).name == "spreadsheets"
    assert {name for name, _ in host.failures} == {
        "claims-words-alone",
        "claims-too-much",
        "claims-nothing-known",
        "claims-words",
    }


def test_an_importer_that_fails_while_reading_is_named_with_the_file(make_source):
    [importer] = load_plugins([bad_plugin("raises_on_read")], outside=False).importers
    with pytest.raises(SourceUnreadableError) as caught:
        read_source(importer, make_source("list.csv", TABLE))
    text = str(caught.value)
    for words in ("list.csv", "'raises-on-read'", "after 1 batches", "IndexError", "author"):
        assert words in text


RUBBISH = bad_plugin("yields_rubbish")


@pytest.mark.parametrize("words", RUBBISH.RUBBISH)
def test_rubbish_is_refused_with_the_plugins_name(make_source, words):
    importer = RUBBISH.YieldsRubbish(RUBBISH.RUBBISH[words])
    with pytest.raises(SourceUnreadableError) as caught:
        read_source(importer, make_source("list.csv", TABLE))
    text = str(caught.value)
    assert words.partition(",")[0] in text
    assert "'yields-rubbish'" in text
    assert "batch 2" in text
    assert "batch 1" not in text


def test_a_read_that_returns_nothing_at_all_is_refused(make_source):
    with pytest.raises(SourceUnreadableError, match="no-iterator"):
        read_source(RUBBISH.NoIterator(None), make_source("list.csv", TABLE))


def test_reading_nothing_is_told(make_source):
    class Silent(Plugin):
        def read(self, source):
            return iter(())

    result = read_source(Silent("silent", 1.0), make_source("list.csv", TABLE))
    assert result.batches == []
    assert [problem.code for problem in result.problems] == ["nothing-read"]


def test_the_host_loads_no_data_library():
    code = (
        "import sys, partmuster.host, partmuster_plugins.spreadsheets as s\n"
        "partmuster.host.load_plugins([s], outside=False)\n"
        "print({'polars', 'duckdb', 'pandera', 'fastexcel', 'openpyxl'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"

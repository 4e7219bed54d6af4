"""The documentation is held to the code: what there is is described, what is described is there."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest

from partmuster import cli
from partmuster.hooks import Specification
from partmuster.store.club import Club
from partmuster_schemas.answers import ANSWERS
from partmuster_schemas.columns import described
from partmuster_schemas.words import KINDS

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SAMPLES = (ROOT / "samples" / "README.md").read_text(encoding="utf-8")
COMMANDS = cli.main.commands

#: Things that a heading in front of a table row or a code block may stand for.
BLOCK = re.compile(r"^( *)```(\w+)\n(.*?)^ *```", re.MULTILINE | re.DOTALL)


def blocks(text, language):
    """Return the code blocks of a language, without their indentation."""
    return [
        "".join(line.removeprefix(indent) for line in code.splitlines(keepends=True))
        for indent, named, code in BLOCK.findall(text)
        if named == language
    ]


def section(title, text=DEVELOPERS):
    """Return what stands under a heading, up to the next of its level or above."""
    level = len(title) - len(title.lstrip("#"))
    start = text.index(f"\n{title}\n")
    end = re.search(rf"\n#{{1,{level}}} ", text[start + 1 :])
    return text[start : start + 1 + end.start()] if end else text[start:]


def coded(text):
    """Return the words that stand in code, calls without their arguments."""
    return {word.split("(")[0] for word in re.findall(r"`([^`\n]+)`", text)}


def row_of(command):
    [row] = [line for line in section("## Commands").splitlines()
             if re.match(rf"\| `{re.escape(command)}[ `]", line)]  # fmt: skip
    return row


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_and_option_is_described(command):
    row = row_of(command)
    for option in COMMANDS[command].params:
        if isinstance(option, click.Option) and option.name != "form":
            assert f"`{option.opts[0]}" in row, option.opts
        elif isinstance(option, click.Argument):
            assert option.make_metavar(click.Context(COMMANDS[command])).strip("[].") in row


@pytest.mark.parametrize("command", COMMANDS)
def test_no_option_is_described_that_there_is_not(command):
    there = {opt for option in COMMANDS[command].params for opt in option.opts}
    assert set(re.findall(r"--[a-z-]+", row_of(command))) <= there


def test_what_goes_with_every_command_is_described():
    text = section("## Commands")
    for option in cli.main.params:
        assert f"`{option.opts[0]}" in text
    assert "`--format table|csv|json`" in text
    assert "PARTMUSTER_CLUB" in text


def test_every_topic_of_questions_and_setting_is_described():
    from partmuster.commands.club import SETTINGS

    for topic in cli.TOPICS:
        assert topic in row_of("questions")
    for name in SETTINGS:
        assert name in row_of("settings")


HOOKS = [name for name in vars(Specification) if name.startswith("partmuster_")]


def test_every_hook_is_described_and_no_other():
    named = {word for word in coded(section("## Write a plugin")) if word.startswith("partmuster_")}
    assert {word for word in named if "." not in word} == set(HOOKS)


@pytest.fixture(scope="module")
def database(tmp_path_factory):
    club = Club.open(tmp_path_factory.mktemp("docs") / "club", create=True)
    with club.reading() as con:
        found = con.execute(
            "SELECT view_name, NULL FROM duckdb_views() WHERE NOT internal UNION ALL "
            "SELECT function_name, parameters FROM duckdb_functions() "
            "WHERE NOT internal AND function_type IN ('macro', 'table_macro')"
        ).fetchall()
    return dict(found)


def test_every_view_and_macro_is_described_and_no_other(database):
    named = coded(section("## The database: views and macros"))
    assert set(database) - named == set()
    looks_like_one = {word for word in named if re.fullmatch(r"[a-z]+_[a-z_]+", word)}
    assert looks_like_one - set(database) - {"known_now"} == set()


def test_macros_are_described_with_their_parameters(database):
    text = section("### What a club asks")
    shown = re.findall(r"`(\w+)\(([^)]*)\)`", text)
    assert len(shown) >= 8
    for name, parameters in shown:
        assert parameters.split(", ") == database[name], name


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_line_is_described(kind):
    assert f"\n| `{kind}` | " in section("## The data contract in short")
    assert f"\n| `{kind}` | `{kind}_as_of` |" in section("### What sources say")


def test_every_exit_code_is_described():
    text = DEVELOPERS[DEVELOPERS.index("**Exit codes**") :]
    for code in (cli.DONE, cli.FAILED, cli.WRONG_CALL):
        assert f"`{code}`" in text.split("\n\n")[0]


@pytest.mark.parametrize("answer", ANSWERS)
def test_every_column_of_every_answer_is_described_in_its_order(answer):
    rows = re.findall(r"^\| `(\w+)` \| (.+) \| (\w+) \|$", section(f"### `{answer}`"), re.MULTILINE)
    assert rows == [
        (name, spec["doc"], spec["audience"]) for name, spec in described(ANSWERS[answer]).items()
    ]


@pytest.mark.parametrize("code", blocks(DEVELOPERS, "python"))
def test_code_in_the_guide_runs(code, monkeypatch):
    monkeypatch.syspath_prepend(ROOT / "samples" / "outside_plugin")
    names = {"__file__": str(ROOT / "samples" / "outside_plugin" / "test_cards.py")}
    exec(compile(code, "DEVELOPERS.md", "exec"), names)
    assert len(names) > 2


def test_the_guides_plugin_is_the_one_in_samples():
    outside = ROOT / "samples" / "outside_plugin"
    [entry_point] = blocks(section("## Write a plugin"), "toml")
    assert entry_point in (outside / "pyproject.toml").read_text(encoding="utf-8")
    assert (outside / "spares.cards").exists()


def commands_in(text):
    """Yield the words of each call of partmuster in the shell blocks and code of a text."""
    lines = [line for block in blocks(text, "sh") for line in block.splitlines()]
    lines += re.findall(r"`(partmuster [^`\n]+)`", text)
    for line in lines:
        for part in line.split("&&"):
            words = shlex.split(part)
            if words and Path(words[0]).name == "partmuster":
                yield words[1:]


@pytest.mark.parametrize(
    "words", [*commands_in(README), *commands_in(DEVELOPERS), *commands_in(SAMPLES)], ids=" ".join
)
def test_commands_in_the_texts_exist(words):
    if words[:1] == ["--club"]:
        words = words[2:]
    if words[0].startswith("--"):
        assert words[0] in ("--help", "--version")
        return
    command = COMMANDS[words[0]]
    there = {opt for option in command.params for opt in option.opts} | {"--help"}
    assert {word for word in words if word.startswith("--")} <= there


def test_the_readmes_two_commands_stand_first_and_set_up_alike():
    first, second = [block for block in blocks(README, "sh") if "venv" in block][:2]
    setup = "python3 -m venv .venv && .venv/bin/python -m pip install -q -e "
    assert first.strip() == f"{setup}. && .venv/bin/partmuster demo"
    assert second.strip() == f"{setup}'.[dev]' && .venv/bin/python -m pytest -q -n auto"


def test_files_that_the_texts_name_are_there():
    missing = []
    for text, folder in ((README, ROOT), (DEVELOPERS, ROOT), (SAMPLES, ROOT / "samples")):
        targets = re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", text)
        named = re.findall(r"`((?:tests|samples|schemas|shared|pipeline)/[\w/.-]+)`", text)
        # in a name such as AREA.csv the capitals stand for any
        any_of = {re.sub(r"[A-Z]{3,}(?=\.csv)", "*", one) for one in named}
        missing += [one for one in any_of if not list(ROOT.glob(one.rstrip("/")))]
        missing += [one for one in targets if not (folder / one).exists()]
    assert missing == []


def test_every_sheet_of_the_demo_club_is_described():
    sheets = [one.name for one in (ROOT / "samples" / "ashmere").iterdir()]
    assert sheets
    assert [name for name in sheets if f"| `{name}` |" not in SAMPLES] == []


def test_layers_named_in_the_guide_are_folders_or_modules():
    house = blocks(f"```text{section('## The house in one page').split('```')[1]}```", "text")[0]
    named = re.findall(r"^    ([\w./ ]+?)  ", house, re.MULTILINE)
    assert len(named) >= 8
    for name in " ".join(named).split():
        assert (ROOT / "pipeline" / "partmuster" / name).exists(), name

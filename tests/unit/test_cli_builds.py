"""What a vehicle's assemblies are, as a registrar asks for it, sets it, and takes it back."""

from __future__ import annotations

import csv
import io
import shutil

import pytest
from click.testing import CliRunner

from partmuster.cli import main

SHEETS = {
    "register.csv": "Vehicle,Family,Mark\nOtter 1,Otter,\nOtter 2,Otter,Mk 1\n",
    "engines.csv": (
        "Family,Assembly,Build standard,Recognition feature,How common\n"
        "Otter,Engine,Mk 1,Magneto drive,always\nOtter,Engine,Mk 2,Magneto drive,never\n"
        "Otter,Engine,Mk 1,Two outlets,never\nOtter,Engine,Mk 2,Two outlets,always\n"
        "Otter,Engine,Mk 1,Cast cover,always\nOtter,Engine,Mk 2,Cast cover,never\n"
    ),
    "seen.csv": (
        "Vehicle,Assembly,What was seen,Seen,By,Date,Remarks\n"
        "Otter 1,Engine,Magneto drive,yes,Ivo Larch,2026-06-20,\n"
        "Otter 2,Engine,Two outlets,yes,Ivo Larch,2026-06-20,a later change\n"
    ),
}


def call(club, *words):
    result = CliRunner().invoke(main, ["--club", str(club), *words])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def rows(club, *words):
    result = call(club, *words, "--format", "csv")
    assert result.exit_code == 0, result.output
    return list(csv.DictReader(io.StringIO(result.stdout)))


def standings(club, *words):
    return {row["build"]: row["standing"] for row in rows(club, "builds", "Otter 1", *words)}


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    """A club with the sheets imported, to be copied."""
    folder = tmp_path_factory.mktemp("imported")
    sheets, club = folder / "sheets", folder / "club"
    sheets.mkdir()
    for name, text in SHEETS.items():
        (sheets / name).write_text(text, encoding="utf-8")
    assert call(club, "init", "--country", "GB").exit_code == 0
    assert call(club, "import", str(sheets)).exit_code == 0
    return folder


@pytest.fixture
def club(tmp_path, imported):
    return shutil.copytree(imported / "club", tmp_path / "club")


def test_candidates_are_told_with_what_speaks_for_them_and_what_to_look_at(club):
    found = rows(club, "builds", "Otter 1")
    assert [row["build"] for row in found] == ["Mk 1", "Mk 2", "none of these, or converted"]
    assert found[0]["standing"] == "not settled"
    assert float(found[0]["probability"]) == pytest.approx(0.86, abs=0.005)
    assert "Magneto drive: seen" in found[0]["evidence_for"]
    assert found[0]["look_at"].startswith(("Cast cover", "Two outlets"))
    traced = call(club, "trace", found[0]["trace"].split(";")[0])
    assert "seen.csv" in traced.stdout


def test_a_table_names_assembly_evidence_and_what_to_do_next(club):
    shown = call(club, "builds", "otter 1").stdout
    for words in ("Engine", "Mk 1", "0.86", "Magneto drive: seen", "to look at next", "set-build"):
        assert words.lower() in shown.lower(), shown


def test_what_was_seen_and_does_not_count_is_shown_with_the_reason(club):
    shown = " ".join(call(club, "builds", "Otter 2").stdout.split())
    assert "nothing is known that tells" in shown
    assert "Two outlets: seen a later change" in shown


def test_one_assembly_can_be_asked_for_by_any_of_its_names(club):
    assert set(standings(club, "--assembly", "ENGINE")) == {
        "Mk 1", "Mk 2", "none of these, or converted",
    }  # fmt: skip
    assert standings(club, "--assembly", "hull") == {}
    wrong = call(club, "builds", "Otter 1", "--assembly", "wombat")
    assert wrong.exit_code == 1
    assert "wombat" in wrong.output


def test_a_build_that_is_set_holds_is_kept_and_can_be_taken_back(club):
    done = call(club, "set-build", "Otter 1", "engine", "mk2", "--by", "Ada Finch", "--note",
                "stamped on the block")  # fmt: skip
    assert done.exit_code == 0, done.output
    assert "against it" in done.output  # the evidence speaks for Mk 1
    assert standings(club)["Mk 2"] == "set by the registrar"
    [kept] = rows(club, "decisions")
    assert (kept["topic"], kept["answer"], kept["note"]) == (
        "build", "Mk 2", "stamped on the block",
    )  # fmt: skip
    undone = call(club, "undo", kept["decision_id"], "--by", "Ada Finch")
    assert undone.exit_code == 0, undone.output
    assert standings(club)["Mk 2"] == "not settled"


def test_what_was_set_survives_export_and_rebuild(club, tmp_path):
    call(club, "set-build", "Otter 1", "engine", "Mk 1", "--by", "Ada Finch")
    assert call(club, "export", str(tmp_path / "out")).exit_code == 0
    assert call(tmp_path / "again", "rebuild", str(tmp_path / "out")).exit_code == 0
    assert standings(tmp_path / "again")["Mk 1"] == "set by the registrar"


@pytest.mark.parametrize(("words", "said"), [
    (("Otter 9", "engine", "Mk 1"), "Otter 9"),
    (("Otter 1", "wombat", "Mk 1"), "wombat"),
    (("Otter 1", "engine", "the good one"), "the good one"),
    (("Otter 1", "engine", "Mk 1 or 2"), "Mk 1 or 2"),
])  # fmt: skip
def test_what_cannot_be_set_is_refused_and_nothing_is_kept(club, words, said):
    refused = call(club, "set-build", *words, "--by", "Ada Finch")
    assert refused.exit_code == 1
    assert said in refused.output
    assert rows(club, "decisions") == []


def test_a_build_that_no_family_file_names_is_set_and_told_of(club):
    done = call(club, "set-build", "Otter 1", "engine", "Mk 4", "--by", "Ada Finch")
    assert done.exit_code == 0
    assert "Mk 1, Mk 2" in done.output
    assert standings(club)["Mk 4"] == "set by the registrar"


def test_none_of_these_can_be_set(club):
    call(club, "set-build", "Otter 1", "engine", "none", "--by", "Ada Finch")
    assert standings(club)["none of these, or converted"] == "set by the registrar"


def test_two_different_builds_settle_nothing_and_it_is_said(club):
    call(club, "set-build", "Otter 1", "engine", "Mk 1", "--by", "Ada Finch")
    second = call(club, "set-build", "Otter 1", "engine", "Mk 2", "--by", "Ivo Larch")
    assert "Different things are decided" in second.output
    assert "set by the registrar" not in standings(club).values()

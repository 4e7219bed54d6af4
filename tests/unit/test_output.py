"""What a table shows of texts that are beyond all measure."""

from __future__ import annotations

import polars as pl
import pytest

from partmuster.output import show

from .test_cli_deciding import call, rows

LONG = "gasket " * 5000


def test_a_table_cuts_what_is_long_and_says_so(capsys):
    show(pl.DataFrame({"question": [f"What is {LONG}?"], "lines": [3]}), "table")
    shown = capsys.readouterr().out
    assert len(shown) < 3000
    assert "What is gasket gasket" in shown
    assert "... (cut: --format csv has all)" in " ".join(shown.split())


@pytest.mark.parametrize("form", ["csv", "json"])
def test_programs_get_all_of_it(capsys, form):
    show(pl.DataFrame({"question": [LONG]}), form)
    assert LONG in capsys.readouterr().out


def test_ids_are_never_cut(capsys):
    ids = ";".join(f"holding-{number:016x}.1" for number in range(200))
    show(pl.DataFrame({"part": ["dynamo"], "trace": [ids]}), "table")
    shown = "".join(capsys.readouterr().out.split())
    assert "holding-00000000.1" in shown
    assert "cut" not in shown


def test_a_heading_of_thirty_thousand_letters_is_asked_about_in_a_few_lines(tmp_path):
    club, sheet = tmp_path / "club", tmp_path / "odd.csv"
    sheet.write_text(f"Zonk,{LONG}\nDynamo,what now\nHorn,and then\n", encoding="utf-8")
    call(club, "init")
    done = call(club, "import", str(sheet))
    assert len(done.stdout) < 5000
    assert rows(club, "questions") or rows(club, "mending")
    for command in ("questions", "mending"):
        assert len(call(club, command).stdout) < 10_000
    assert len(call(club, "layout", "odd.csv").stdout) < 10_000

"""A round of review on the demo club: what a second member writes in the same words is accepted."""

from __future__ import annotations

import json
import shutil

import openpyxl
from click.testing import CliRunner

from partmuster.cli import main

#: Words that the vocabulary does not have, and what the registrar says they are.
MEANT = {
    "Twirly gubbins": "dynamo",
    "Humming pot": "horn",
    "Thingummy with two ears": "none of these",
}
WRITTEN = [*MEANT, "humming pots", "Gubbins, twirly"]


def call(club, *words):
    done = CliRunner().invoke(main, ["--club", str(club), *map(str, words)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    assert done.exit_code == 0, done.output
    return done.stdout


def accepted(club, sheets, holder):
    """Import the words as one member's list; return the share of them that counts at once."""
    path = sheets / f"{holder}.csv"
    rows = "".join(f'"{words}",{number},{holder}\n' for number, words in enumerate(WRITTEN, 1))
    path.write_text(f"What,Qty,Whose\n{rows}", encoding="utf-8")
    [report] = json.loads(call(club, "import", path, "--separate", "--format", "json"))
    assert report["loaded"] + report["decision"] == len(WRITTEN)
    return report["loaded"] / len(WRITTEN)


def test_a_round_of_review_raises_what_is_accepted_at_the_next_import(walked, tmp_path):
    club = shutil.copytree(walked.club, tmp_path / "club")
    assert accepted(club, tmp_path, "Hester") == 0
    form = tmp_path / "review.xlsx"
    call(club, "review", "--workbook", form)
    book = openpyxl.load_workbook(form)
    sheet = book["Review"]
    sheet["B3"].value = "Registrar"
    [top] = [row for row in sheet.iter_rows() if "Answer" in [cell.value for cell in row]]
    at = {cell.value: cell.column for cell in top}
    for row in range(top[0].row + 1, sheet.max_row + 1):
        asked = [
            sheet.cell(row, at["Words"]).value,
            *(sheet.cell(row, at["Also"]).value or "").split("; "),
        ]
        answers = [MEANT[words] for words in asked if words in MEANT]
        sheet.cell(row, at["Answer"]).value = answers[0] if answers else None
    book.save(form)
    call(club, "import", form)
    assert accepted(club, tmp_path, "Ivo") == 1
    left = json.loads(call(club, "review", "--format", "json"))
    assert not {row["words"] for row in left if row["topic"] in ("unknown", "part")} & {*WRITTEN}

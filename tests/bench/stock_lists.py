"""Stock lists of any length in a club member's words, from a fixed seed: invented."""

from __future__ import annotations

import csv
import io
import itertools
import random
from typing import TYPE_CHECKING

import openpyxl
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

from partmuster_trade import load_vocabulary

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

#: Shares of rows: with words like no other row's, with a number, with another number.
OWN_WORDS, NUMBERED, OTHER_NUMBER = 0.05, 0.4, 0.1
HEADINGS = ("What", "How many", "State", "Where is it", "Whose", "Part No.", "Seen", "Remarks")
_SIDES = ("", "", "", " LH", " RH", ", left", " n/s")
_STATES = ("good", "fair", "u/s", "NOS", "rusty but sound", "needs work", "")
_COUNTS = ("1", "2", "several", "10+", "?", "1 pr")
_MESSY_COUNTS = ("1", "2", "3 (1 u/s)", "2 + 1 poor", "~10", "1 pr", "", "several")
_SEED = 20260301


def rows(count: int) -> Iterator[tuple[str | None, ...]]:
    """Yield that many rows under :data:`HEADINGS`.

    Of 100,000 rows' descriptions 21 % are distinct, and 35 % of the pairs of description and
    number; in the real lists of the practice data (10,629 rows, counted with polars) it is 21 and
    36 %. Of a million rows it is 7 and 11 %: the vocabulary and its numbers grow no longer.
    """
    rng = random.Random(_SEED)
    names = sorted({entry.name for entry in load_vocabulary().names()})
    for number in range(count):
        at = rng.randrange(len(names))
        words = names[at] + (rng.choice(_SIDES) if at % 2 else "")
        if rng.random() < OWN_WORDS:
            words += f" no. {number}"
        # A part has a number of its own, and a few have been given others since.
        part_number = f"ZK{at * 7 + (rng.randrange(7) if rng.random() < OTHER_NUMBER else 0):05d}"
        yield (
            words, rng.choice(_COUNTS), rng.choice(_STATES), f"shelf {rng.randrange(400)}",
            f"Member {rng.randrange(60)}", part_number if rng.random() < NUMBERED else None,
            f"2025-{rng.randrange(1, 13):02d}-{rng.randrange(1, 28):02d}", None,
        )  # fmt: skip


def make_workbook(path: Path, count: int) -> None:
    """Write a stock list of that many rows as a workbook of one sheet."""
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet("Stock")
    for row in (HEADINGS, *rows(count)):
        sheet.append(row)
    book.save(path)


def make_csv(path: Path, count: int) -> None:
    """Write a stock list of that many rows as separated text."""
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(itertools.chain((HEADINGS,), rows(count)))


def make_small_lists(folder: Path, count: int) -> None:
    """Write that many messy lists of 10 to 60 rows: every other one a workbook, else text.

    Titles, ditto marks, sections, totals, two-row headings, struck rows, comments and colours
    among them; separators and encodings in turn.
    """
    rng = random.Random(_SEED)
    names = sorted({entry.name for entry in load_vocabulary().names()})
    for number in range(count):
        chosen = rng.sample(names, rng.randrange(10, 60))
        body = [
            (name if rng.random() < 0.97 else '"', rng.choice(_MESSY_COUNTS), rng.choice(_STATES),
             f"shelf {rng.randrange(40)}")
            for name in chosen
        ]  # fmt: skip
        body[0] = (chosen[0], *body[0][1:])
        title = f"Spares of Member {number}, as at 2026-{number % 12 + 1:02d}-01"
        table = [(title,), (), ("Part", "Qty", "Condition", "Location"), *body]
        if number % 5 == 0:
            table.insert(3 + len(body) // 2, ("ENGINE",))
        if number % 7 == 0:
            table.append(("Total", str(len(body))))
        if number % 2:
            _save_messy_workbook(folder / f"list {number:03d}.xlsx", table, rng)
        else:
            sign = ",;\t"[number // 2 % 3]
            text = io.StringIO()
            csv.writer(text, delimiter=sign, lineterminator="\n").writerows(table)
            encoding = ("utf-8", "cp1252", "utf-16")[number // 6 % 3]
            name = f"list {number:03d}.{'tsv' if sign == chr(9) else 'csv'}"
            (folder / name).write_text(text.getvalue(), encoding=encoding, errors="replace")


def _save_messy_workbook(path: Path, table: list[tuple[str, ...]], rng: random.Random) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    for row in table:
        sheet.append(row)
    for at in rng.sample(range(4, sheet.max_row + 1), 3):
        for cell in sheet[at]:
            cell.font = Font(strike=True)
    sheet.cell(rng.randrange(4, sheet.max_row + 1), 2).comment = Comment("1 is u/s", "member")
    sheet.cell(rng.randrange(4, sheet.max_row + 1), 1).fill = PatternFill("solid", "FFFF00")
    book.save(path)

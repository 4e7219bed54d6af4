"""Write the demo club's sheets, ``../ashmere``, from the tables beside this file.

Running it again gives the same bytes for the text files, the same cells for the workbooks and the
same pages of the scanned list, which are typed with reportlab, as tests need it.
"""

from __future__ import annotations

import csv
import io

import bramble_rows
import club_rows
import otter_rows
from marked_tables import SHEETS, Sheet, write_ods, write_workbook
from scanned_pages import write_scan


def rows(text: str) -> list[list[str]]:
    """Cut a table of text into rows of cells."""
    return [line.split("|") for line in lines(text)]


def lines(text: str) -> list[str]:
    """Cut a table of text into its rows; a row in it may be empty."""
    return text.strip("\n").split("\n")


def write_text(name: str, table: list[list[str]], encoding: str, separator: str = ",") -> None:
    """Write one text table in the encoding its keeper's program uses."""
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\r\n").writerows(table)
    (SHEETS / name).write_bytes(out.getvalue().encode(encoding))


def main() -> None:
    """Write every sheet."""
    write_workbook(
        "register.xlsx",
        [
            Sheet("Vehicles", lines(club_rows.VEHICLES), club_rows.VEHICLES_MERGED),
            Sheet("Contacts", lines(club_rows.CONTACTS)),
            Sheet("Places", lines(club_rows.PLACES), hidden=True),
        ],
    )
    otter_list = [
        ["OTTER CARRIER - PARTS LIST, copied as at 12 January 2026"],
        ["Line", "Part No.", "Designation", "No. off", "Used on", "Needed for", "Remarks"],
        *([*line, ""] if len(line) > 1 else line for line in rows(otter_rows.PARTS)),
        ["END OF LIST"],
    ]
    write_text("otter_parts_list.csv", otter_list, "utf-8")
    write_scan()
    parts = Sheet("Parts", lines(bramble_rows.PARTS), bramble_rows.PARTS_MERGED)
    write_workbook("bramble_parts_list.xlsm", [parts])
    shed = Sheet("Shed", lines(club_rows.SHED), club_rows.SHED_MERGED, hidden_columns="E")
    write_workbook("shed_list.xlsx", [shed])
    for name, headings, body, encoding, separator in (
        ("crane_spares.csv", club_rows.CRANE_HEADINGS, club_rows.CRANE, "cp1252", ";"),
        ("okafor_stock.tsv", club_rows.OKAFOR_HEADINGS, club_rows.OKAFOR, "utf-16", "\t"),
        ("brandt_parts.csv", club_rows.BRANDT_HEADINGS, club_rows.BRANDT, "utf-8-sig", ","),
        ("notice_board.csv", club_rows.BOARD_HEADINGS, club_rows.BOARD, "utf-8", ","),
        ("fits.csv", club_rows.FIT_HEADINGS, club_rows.FITS, "utf-8", ","),
    ):
        write_text(name, [*rows(headings), *rows(body)], encoding, separator)
    write_text("what_fits_what.csv", rows(club_rows.FITS_TOLD), "utf-8")
    survey = lines(otter_rows.SURVEY)
    sections = [f"A{n}:F{n}" for n, line in enumerate(survey[5:], start=6) if "|" not in line]
    merged = ["A1:F1", "A2:F2", "A4:A5", "B4:F4", *sections]
    write_workbook("survey_otters.xlsx", [Sheet("Survey", survey, merged)])
    write_ods("yard_book.ods", Sheet("Walks", lines(otter_rows.YARD)))
    brambles = [f"Bramble {number}" for number in range(1, 6)]
    walk = [
        ["Brambles, walked round 21 March 2026"],
        ["Part", *brambles],
        *rows(bramble_rows.SURVEY),
    ]
    write_text("survey_brambles.csv", walk, "utf-8")
    answers = [["sheet", "mark", "meaning"], *rows(bramble_rows.ANSWERS)]
    write_text("../ashmere_making/answers.csv", answers, "utf-8")


if __name__ == "__main__":
    main()

"""Write the demo club's sheets from the tables beside this file: ``python make_sheets.py``.

Running it again gives the same bytes for the text files and the same cells for the workbooks.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import zipfile
from pathlib import Path

import bramble_rows
import club_rows
import otter_rows
from openpyxl import Workbook

HERE = Path(__file__).parent
SAVED = dt.datetime(2026, 3, 21, 12, 0, 0)  # noqa: DTZ001 - a workbook's dates carry no zone
ZIP_DATE = (2026, 3, 21, 12, 0, 0)


def rows(text: str) -> list[list[str]]:
    """Cut a table of text into rows of cells."""
    return [line.split("|") for line in text.strip().splitlines()]


def cell(text: str) -> str | int | float | None:
    """Give numbers as a spreadsheet stores them, blanks as empty cells."""
    if text == "":
        return None
    if text.isdigit():
        return int(text)
    try:
        return float(text)
    except ValueError:
        return text


def write_workbook(name: str, sheets: dict[str, list[list[str]]]) -> None:
    """Write one workbook, then pack it again with fixed dates so that it can be committed."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for title, lines in sheets.items():
        sheet = book.create_sheet(title)
        for line in lines:
            sheet.append([cell(text) for text in line])
    book.properties.creator = "Vale of Ashmere Vehicle Club"
    book.properties.created = SAVED
    book.properties.modified = SAVED
    packed = io.BytesIO()
    book.save(packed)
    stamp = SAVED.strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    with (
        zipfile.ZipFile(packed) as made,
        zipfile.ZipFile(HERE / name, "w", zipfile.ZIP_DEFLATED) as out,
    ):
        for entry in made.namelist():
            content = made.read(entry)
            if entry == "docProps/core.xml":  # saving stamps the hour of the run
                head, _, rest = content.partition(b'<dcterms:modified xsi:type="dcterms:W3CDTF">')
                _, close, tail = rest.partition(b"</dcterms:modified>")
                content = (
                    head + b'<dcterms:modified xsi:type="dcterms:W3CDTF">' + stamp + close + tail
                )
            out.writestr(zipfile.ZipInfo(entry, ZIP_DATE), content, zipfile.ZIP_DEFLATED)


def write_text(name: str, lines: list[list[str]], encoding: str, separator: str = ",") -> None:
    """Write one text table in the encoding its keeper's program uses."""
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\r\n").writerows(lines)
    (HERE / name).write_bytes(out.getvalue().encode(encoding))


def main() -> None:
    """Write every sheet."""
    register = [["Vale of Ashmere Vehicle Club"], ["Register, as at 1 March 2026"], []]
    write_workbook(
        "register.xlsx",
        {
            title: [*register, *rows(headings), *rows(body)]
            for title, headings, body in (
                ("Vehicles", club_rows.VEHICLE_HEADINGS, club_rows.VEHICLES),
                ("Builds", club_rows.BUILD_HEADINGS, club_rows.BUILDS),
                ("Members", club_rows.MEMBER_HEADINGS, club_rows.MEMBERS),
                ("Places", club_rows.PLACE_HEADINGS, club_rows.PLACES),
            )
        },
    )
    otter_list = [
        ["OTTER CARRIER - PARTS LIST, copied as at 12 January 2026"],
        ["Line", "Part No.", "Designation", "No. off", "Used on", "Needed for", "Remarks"],
        *([*line, ""] if len(line) > 1 else line for line in rows(otter_rows.PARTS)),
        ["END OF LIST"],
    ]
    write_text("otter_parts_list.csv", otter_list, "utf-8")
    bramble_list = [
        ["Bramble 4x4 light truck: parts list"],
        ["typed out by Gwen Saddler, as at 18 January 2026"],
        [],
        ["Ref", "Part number", "Description", "Qty", "Fitted to", "Notes"],
        *rows(bramble_rows.PARTS),
    ]
    write_workbook("bramble_parts_list.xlsx", {"Parts": bramble_list})
    shed = [
        ["Shed list, Wilfred Tansley"],
        ["as at 3 March 2026"],
        [],
        *rows(club_rows.SHED_HEADINGS),
        *rows(club_rows.SHED),
    ]
    write_workbook("shed_list.xlsx", {"Shed": shed})
    for name, headings, body, encoding, separator in (
        ("crane_spares.csv", club_rows.CRANE_HEADINGS, club_rows.CRANE, "cp1252", ";"),
        ("okafor_stock.tsv", club_rows.OKAFOR_HEADINGS, club_rows.OKAFOR, "utf-16", "\t"),
        ("brandt_parts.csv", club_rows.BRANDT_HEADINGS, club_rows.BRANDT, "utf-8-sig", ","),
        ("wants.csv", club_rows.WANT_HEADINGS, club_rows.WANTS, "utf-8", ","),
        ("fits.csv", club_rows.FIT_HEADINGS, club_rows.FITS, "utf-8", ","),
    ):
        write_text(name, [*rows(headings), *rows(body)], encoding, separator)
    otters = [f"Otter {number}" for number in range(1, 6)]
    survey = [
        ["Otter survey"],
        ["as seen 3 March 2026, Maud Pettifer and Ivo Larch"],
        [],
        ["Part", *otters],
        *rows(otter_rows.SURVEY),
    ]
    write_workbook("survey_otters.xlsx", {"Survey": survey})
    brambles = [f"Bramble {number}" for number in range(1, 6)]
    walk = [
        ["Brambles, walked round 21 March 2026"],
        ["Part", *brambles],
        *rows(bramble_rows.SURVEY),
    ]
    write_text("survey_brambles.csv", walk, "utf-8")
    later = [["Vehicle", "Part", "State", "Date", "Remark"], *rows(otter_rows.LATER_SURVEY)]
    write_text("survey_otter_3_2026-05.csv", later, "utf-8")
    hulk = [
        ["Vehicle", "Part", "State", "How many", "Date", "Remark"],
        *rows(otter_rows.HULK_SURVEY),
    ]
    write_text("survey_otter_6_2024-08.csv", hulk, "utf-8")
    answers = [["sheet", "mark", "meaning"], *rows(bramble_rows.ANSWERS)]
    write_text("answers.csv", answers, "utf-8")


if __name__ == "__main__":
    main()

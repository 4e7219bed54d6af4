"""Pieces of text on a page become tables: rows and columns, one table after the other."""

from __future__ import annotations

from dataclasses import replace

from partmuster.batches import batch_faults
from partmuster_plugins.parts_lists.grids import grids_of
from partmuster_plugins.parts_lists.pieces import Piece

HEIGHT = 20.0
LETTER = 14.0
STEP = 42.0
HEAD = ("Item", "Part No.", "Description", "Qty")
PARTS = [
    ("1", "H-101-2", "HOUSING", "1"),
    ("2", "H-102-2", "SHAFT, sector, upper", "1"),
    ("3", "H-103-1", "BOLT, hexagon, 3/8 in. BSF", "4"),
    ("4", "H-104-1", "WASHER", "4"),
    ("5", "H-105-3", "ARM, drop, left", "1"),
    ("6", "H-107-3", "LEVER, brake", "12"),
]


def put(x: float, y: float, text: str, sure: float = 0.99) -> Piece:
    at = tuple(x + LETTER * (n + 0.5) for n in range(len(text)))
    return Piece(x, y, x + LETTER * len(text), y + HEIGHT, text, (sure,) * len(text), at)


def table(rows, places, top=200.0, step=STEP) -> list[Piece]:
    return [
        put(x, top + step * n, text)
        for n, row in enumerate(rows)
        for x, text in zip(places, row, strict=True)
        if text
    ]


def grids(pieces: list[Piece], width: float = 1600.0):
    return grids_of(pieces, HEIGHT, width, 1, lambda one: (one.x0, one.y0, one.x1, one.y1))


def read(pieces: list[Piece], width: float = 1600.0) -> list[list[tuple[str, ...]]]:
    return [
        [tuple(cell or "" for cell in row) for row in grid.cells.drop("row").iter_rows()]
        for grid in grids(pieces, width)
    ]


def test_two_halves_whose_rows_are_not_level_are_two_tables_in_the_order_of_reading() -> None:
    left, right = [HEAD, *PARTS[:3]], [HEAD, *PARTS[3:]]
    title = put(60, 100, "OTTER CARRIER - GROUP 3. STEERING")
    foot = put(700, 900, "- 27 -")
    pieces = [title, foot, *table(left, (60, 150, 300, 740)),
              *table(right, (860, 950, 1100, 1520), top=218.0)]  # fmt: skip
    first, second = read(pieces, 1700)
    assert first == [(title.text, "", "", ""), *left, ("", "", "", "- 27 -")]
    assert second == right


def test_a_title_above_all_tables_of_a_page_is_each_ones() -> None:
    pieces = [put(60, 60, "OTTER CARRIER"), put(500, 120, "GROUP 3. STEERING"),
              *table([HEAD, *PARTS[:3]], (60, 150, 300, 740)),
              *table([HEAD, *PARTS[3:]], (860, 950, 1100, 1520), top=218.0)]  # fmt: skip
    first, second = grids(pieces, 1700)
    assert first.title is None
    assert second.title == "OTTER CARRIER - GROUP 3. STEERING"


def test_the_rows_of_a_page_are_numbered_once() -> None:
    pieces = [*table([HEAD, *PARTS[:3]], (60, 150, 300, 740)),
              *table([HEAD, *PARTS[3:]], (860, 950, 1100, 1520), top=218.0)]  # fmt: skip
    found = list(grids(pieces, 1700))
    assert [list(grid.cells["row"]) for grid in found] == [[1, 2, 3, 4], [5, 6, 7, 8]]
    assert [batch_faults(grid) for grid in found] == [[], []]
    assert found[1].marks is not None
    (box,) = found[1].marks.filter(mark="box", row=6, column=1)["value"]
    assert box == "860,260,874,280"


def test_three_tables_side_by_side_are_three() -> None:
    head = ("Item", "Part No.", "Qty")
    rows = [(item, number, count) for item, number, _, count in PARTS]
    pieces = [
        piece
        for n in range(3)
        for piece in table([head, *rows[2 * n : 2 * n + 2]],
                           (60 + 560 * n, 150 + 560 * n, 400 + 560 * n), top=200.0 + 7 * n)
    ]  # fmt: skip
    assert read(pieces, 1700) == [[head, *rows[2 * n : 2 * n + 2]] for n in range(3)]


def test_a_table_with_a_heading_twice_is_one() -> None:
    head = ("Item", "Part No.", "Qty", "Item off", "Part off", "Qty")
    rows = [("1", "H-101-2", "1", "a", "b", "2"), ("2", "H-102-2", "1", "c", "d", "3")]
    places = (60, 200, 400, 600, 800, 1000)
    assert read(table([head, *rows], places)) == [[head, *rows]]


def test_columns_that_one_row_fills_are_columns() -> None:
    head = ("Item", "Part No.", "Old No.", "Description", "Qty", "Note")
    rows = [(r[0], r[1], "7714" if r[0] == "4" else "", r[2], r[3], "A" if r[0] == "6" else "")
            for r in PARTS]  # fmt: skip
    places = (60, 150, 330, 500, 1100, 1250)
    assert read(table([head, *rows], places)) == [[head, *rows]]


def test_headings_read_as_one_piece_are_parted_where_the_columns_are() -> None:
    rows = table(PARTS, (60, 150, 300, 740), top=242.0)
    for one in ("Item Part No.", "ItemPart No."):
        pieces = [put(60, 200, one), put(300, 200, "Description"), put(740, 200, "Qty"), *rows]
        ((head, *body),) = read(pieces)
        assert head == HEAD
        assert body == PARTS


def test_a_number_mended_by_its_neighbours_says_how_it_was_read() -> None:
    rows = [HEAD, *PARTS, ("7", "8-108-3", "PLATE", "2"), ("8", "H.109-1", "PLATE", "2")]
    (grid,) = grids(table(rows, (60, 150, 300, 740)))
    assert list(grid.cells["2"])[-2:] == ["B-108-3", "H.109-1"]
    assert grid.marks is not None
    assert grid.marks.filter(mark="repaired").rows() == [(8, 2, "repaired", "8-108-3")]
    doubted = grid.marks.filter(mark="confidence")
    sure = {(row, column): float(value) for row, column, _, value in doubted.rows()}
    assert sure[9, 2] < 0.8 <= min(value for place, value in sure.items() if place != (9, 2))


def test_a_letter_in_a_column_of_figures_says_how_it_was_read() -> None:
    rows = [HEAD, ("I", *PARTS[0][1:]), *PARTS[1:]]
    (grid,) = grids(table(rows, (60, 150, 300, 740)))
    assert grid.cells["1"][1] == "1"
    assert grid.marks is not None
    assert grid.marks.filter(mark="repaired").rows() == [(2, 1, "repaired", "I")]


def test_a_sign_that_all_neighbours_have_there_too_is_not_doubted() -> None:
    faint = put(150, 242 + STEP, "H-102-2", 0.95)
    faint = Piece(*[getattr(faint, name) for name in ("x0", "y0", "x1", "y1", "text")],
                  (0.95, 0.4, 0.95, 0.95, 0.95, 0.4, 0.95), faint.at)  # fmt: skip
    pieces = [piece for piece in table([HEAD, *PARTS], (60, 150, 300, 740))
              if piece.text != faint.text]  # fmt: skip
    (grid,) = grids([*pieces, faint])
    assert grid.marks is not None
    (value,) = grid.marks.filter(mark="confidence", row=3, column=2)["value"]
    assert float(value) == 0.95


def test_running_heads_and_feet_of_several_pieces_leave_the_columns_as_they_are() -> None:
    head = [put(60, 60, "OTTER CARRIER"), put(420, 60, "GROUP 3. STEERING AND BRAKES"),
            put(1200, 60, "PAGE 27")]  # fmt: skip
    foot = [put(60, 900, "LIST No. 61"), put(420, 900, "AMENDED IN MARCH OF 1957"),
            put(1200, 900, "SHEET 2")]  # fmt: skip
    rows = [HEAD, *PARTS, *PARTS[:2]]
    ((first, *body, last),) = read([*head, *foot, *table(rows, (60, 150, 300, 740))])
    assert body == rows
    assert [" ".join(filter(None, one)) for one in (first, last)] == [
        "OTTER CARRIER GROUP 3. STEERING AND BRAKES PAGE 27",
        "LIST No. 61 AMENDED IN MARCH OF 1957 SHEET 2",
    ]


def test_numbers_set_to_the_right_and_headings_set_in_the_middle_keep_their_columns() -> None:
    rows = [(item, number, words, f"{count:>3}") for item, number, words, count in PARTS]
    body = [
        piece
        for n, (item, number, words, count) in enumerate(rows)
        for piece in table(
            [(item, number, words, count.strip())],
            (60, 150, 300, 900 + LETTER * (3 - len(count.strip()))),
            top=242 + STEP * n,
        )
    ]
    head = [put(50, 200, "Item"), put(160, 200, "Number"), put(450, 200, "Description"),
            put(820, 200, "No. off in all")]  # fmt: skip
    ((first, *found),) = read([*head, *body])
    assert first == ("Item", "Number", "Description", "No. off in all")
    assert found == PARTS


def test_a_list_of_two_columns_is_one() -> None:
    rows = [(number, words) for _, number, words, _ in PARTS]
    assert read(table(rows, (60, 300))) == [rows]


def test_two_halves_of_a_page_without_headings_are_two_tables_too() -> None:
    pieces = [*table(PARTS[:3], (60, 150, 300, 740)),
              *table(PARTS[3:], (860, 950, 1100, 1540), top=218.0)]  # fmt: skip
    assert read(pieces, 1700) == [PARTS[:3], PARTS[3:]]


def test_a_table_of_many_columns_of_one_width_is_one() -> None:
    rows = [(item, words, *[str((n + int(item)) % 5) for n in range(10)])
            for item, _, words, _ in PARTS]  # fmt: skip
    assert read(table(rows, (60, 150, *range(600, 1600, 100))), 1700) == [rows]


def test_a_table_with_remarks_far_right_is_one() -> None:
    rows = [(*row, "A", "H-7", "see Group 4", "2") for row in PARTS]
    assert read(table(rows, (60, 150, 300, 740, 860, 930, 1100, 1500)), 1700) == [rows]


def unsure(piece: Piece, letters: str, sure: float = 0.8) -> Piece:
    """Return a piece in which some letters were hard to read."""
    each = tuple(sure if letter in letters else 0.99 for letter in piece.text)
    return replace(piece, sure=each)


def words_of(text: str, letters: str) -> tuple[str, list[str]]:
    """Return how a description is taken that was read so, and its marks ``repaired``."""
    pieces = [piece for piece in table([HEAD, *PARTS], (60, 150, 300, 740)) if piece.y0 != 242]
    pieces += [put(60, 242, "1"), put(150, 242, "H-101-2"), put(740, 242, "1"),
               unsure(put(300, 242, text), letters)]  # fmt: skip
    (grid,) = grids(pieces)
    assert grid.marks is not None
    return grid.cells["3"][1], list(grid.marks.filter(mark="repaired", row=2, column=3)["value"])


def test_u_and_n_that_a_hand_draws_alike_are_read_as_the_word_that_there_is() -> None:
    assert words_of("PLATE, bouuet, frout", "u") == (
        "PLATE, bonnet, front", ["PLATE, bouuet, frout"]
    )  # fmt: skip


def test_letters_surely_read_and_words_not_known_stay_as_they_were_read() -> None:
    for text, letters in (
        ("PLATE, frout", ""),  # surely read
        ("PLATE, Dourley", "u"),  # no word of the trade
        ("BUSH, bonnet", "un"),  # a word as it is
        ("PLATE, troat", "t"),  # other letters are not guessed at
    ):
        assert words_of(text, letters) == (text, [])

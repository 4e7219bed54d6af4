"""Pages in scripts that the reader does not know: it never takes their letters for Latin ones.

The pictures in ``tests/pages/scripts`` are a list of eight rows with headings, part numbers and
quantities in Latin letters and figures, and descriptions in the script of the picture's name.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from partmuster.model import Grid
from partmuster.plugin_api import NotData, SourceFile
from partmuster_plugins.parts_lists.importer import PartsLists
from partmuster_plugins.parts_lists.pieces import Piece
from partmuster_plugins.parts_lists.scripts import without_other_scripts

PICTURES = Path(__file__).parents[1] / "pages" / "scripts"
UNREAD = "\N{REPLACEMENT CHARACTER}"
NUMBERS = ["H-101-2", "H-102-2", "H-103-1", "H-104-1", "H-107-3", "H-120-1", "H-118-6", "H-131-8"]
QUANTITIES = ["1", "1", "4", "4", "2", "1", "12", "16"]


@pytest.mark.parametrize("path", sorted(PICTURES.glob("*.png")), ids=lambda path: path.stem)
def test_words_in_another_script_are_not_read_as_latin_ones(path):
    head = path.read_bytes()[:4096]
    source = SourceFile(path, path.name, path.stat().st_size, head, None)
    grid, told = PartsLists().read(source)
    assert isinstance(grid, Grid)
    rows = grid.cells.drop("row").rows()[1:]
    assert [row[1] for row in rows] == NUMBERS
    assert [row[3] for row in rows] == QUANTITIES
    assert [row[2] for row in rows] == [UNREAD] * len(rows)
    assert isinstance(told, NotData)
    assert told.reason.startswith("8 pieces of text could not be read")
    assert "in a script that is not known here" in told.reason


def pieces_of(*words, sure=1.0):
    return [
        Piece(10.0, 40.0 * at, 200.0, 40.0 * at + 30, text, (sure,) * len(text),
              tuple(10.0 + 20 * n for n in range(len(text))))
        for at, text in enumerate(words)
    ]  # fmt: skip


def told(pieces, others=None):
    left, is_other = without_other_scripts(pieces, others or [0] * len(pieces))
    return [piece.text for piece in left], is_other


@pytest.mark.parametrize(
    "words",
    [
        ["BOX, steering", "SHAFT, sector", "BOLT, hexagon", "WASHER", "COVER", "NUT, castle"],
        ["CAP", "HOOK", "PACKET", "TAP", "COCK", "BOX", "CHECK NUT", "PATCH, hood", "BOLT"],
        ["Kappe", "Haken", "Bolzen", "Mutter", "Scheibe", "Deckel", "Achse"],
        ["KPX 300", "MTA 204", "HOP-33-1", "CAB 17", "AB-1-1", "BOLT", "BOLT"],
        ["TOP", "MAP"],
    ],
)
def test_lists_in_latin_letters_stay_as_they_were_read(words):
    assert told(pieces_of(*words)) == (words, False)


def test_unsure_hands_stay_as_they_were_read():
    words = ["BOX, steering", "SHaFT", "BOLJ", "WaSHEL", "COVEE", "NuJ", "PINION"]
    assert told(pieces_of(*words, sure=0.88)) == (words, False)


def test_a_few_unsure_words_make_no_other_script():
    clear, faint = pieces_of("Box", "Shaft", "Bolt", "Washer"), pieces_of("xkzw", "qqj", sure=0.4)
    assert told(clear + faint)[1] is False


def test_words_of_another_alphabet_among_latin_ones_are_left_out():
    heads = pieces_of("Part No.", "Description", "H-101-2")
    words = pieces_of("KIBOTIO", "AEONAE TOMEA", "KOXAIAE", "POLEAA", "KAAYMMA", "MOXAOZ")
    left, is_other = told(heads + words, [0, 0, 0, 3, 2, 2, 2, 0, 2])
    assert is_other
    assert left == ["Part No.", "Description", "H-101-2", *[UNREAD] * 6]

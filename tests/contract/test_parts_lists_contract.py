"""The shipped contract suite, on the importer of pages; a PDF that carries its text is quick."""

from __future__ import annotations

import pytest
from reportlab.pdfgen.canvas import Canvas

from partmuster.plugin_api import PageDrawing
from partmuster.testing.contract import ImporterContract
from partmuster_plugins.parts_lists.importer import PartsLists
from tests.unit.proof_club import write_list


@pytest.fixture(scope="session")
def parts_list(tmp_path_factory):
    return write_list(tmp_path_factory.mktemp("pages") / "list.pdf")


@pytest.fixture(scope="session")
def note(tmp_path_factory):
    path = tmp_path_factory.mktemp("pages") / "note.pdf"
    canvas = Canvas(str(path), pagesize=(595, 842))
    canvas.drawString(60, 760, "The dynamo of Otter 1 is missing, and we saw no horn.")
    canvas.save()
    return path


class TestPartsLists(ImporterContract):
    may_claim = frozenset({".png", ".jpg", ".pdf"})

    @pytest.fixture
    def importer(self):
        return PartsLists()

    @pytest.fixture
    def samples(self, parts_list, note):
        return [parts_list, note]


def test_the_suite_finds_a_page_drawn_in_other_units(parts_list):
    class Shrinking(PartsLists):
        def draw(self, source, page):
            drawing = super().draw(source, page)
            return PageDrawing(drawing.picture, drawing.width / 3, drawing.height / 3)

    with pytest.raises(AssertionError, match=r"list\.pdf"):
        ImporterContract().test_pages_are_drawn_around_their_boxes(Shrinking(), [parts_list])

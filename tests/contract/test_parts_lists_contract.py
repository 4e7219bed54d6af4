"""The shipped contract suite, on the importer of pages; a PDF that carries its text is quick."""

from __future__ import annotations

import pytest

from partmuster.plugin_api import PageDrawing
from partmuster.testing.contract import ImporterContract
from partmuster_plugins.parts_lists.importer import PartsLists
from tests.unit.proof_club import write_list


@pytest.fixture(scope="session")
def parts_list(tmp_path_factory):
    return write_list(tmp_path_factory.mktemp("pages") / "list.pdf")


class TestPartsLists(ImporterContract):
    may_claim = frozenset({".png", ".jpg", ".pdf"})

    @pytest.fixture
    def importer(self):
        return PartsLists()

    @pytest.fixture
    def samples(self, parts_list):
        return [parts_list]


def test_the_suite_finds_a_page_drawn_in_other_units(parts_list):
    class Shrinking(PartsLists):
        def draw(self, source, page):
            drawing = super().draw(source, page)
            return PageDrawing(drawing.picture, drawing.width / 3, drawing.height / 3)

    with pytest.raises(AssertionError, match=r"list\.pdf"):
        ImporterContract().test_pages_are_drawn_around_their_boxes(Shrinking(), [parts_list])

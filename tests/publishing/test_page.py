"""The page: all that the view holds, safe and whole, in one file that fetches nothing."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise

import polars as pl
import pytest

from partmuster.plugin_api import PartmusterError, Publisher
from partmuster_plugins.publishers.page import Page
from partmuster_plugins.publishers.setting import MOST_ROWS

from .sample_views import TEXTS, SampleView
from .views import SmallView, column, section

VOID = {"meta", "br", "wbr", "hr", "img", "link", "input"}


class Read(HTMLParser):
    """What a browser would see: elements with their attributes, and the text of each."""

    def __init__(self, text):
        super().__init__()
        self.elements, self.open, self.faults = [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        element = {"tag": tag, "text": "", **dict(attrs)}
        self.elements.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag, attrs):
        self.elements.append({"tag": tag, "text": "", **dict(attrs)})

    def handle_endtag(self, tag):
        if not self.open or self.open[-1]["tag"] != tag:
            self.faults.append(tag)
        else:
            self.open.pop()

    def handle_data(self, data):
        for element in self.open:
            element["text"] += data

    def all(self, *tags):
        return [one for one in self.elements if one["tag"] in tags]


def text_of(view, folder):
    [path] = Page().publish(view, folder)
    return path.read_text(encoding="utf-8")


def plain(text):
    return " ".join(text.split())


@pytest.fixture(scope="module")
def text(tmp_path_factory):
    return text_of(SampleView(), tmp_path_factory.mktemp("page"))


@pytest.fixture(scope="module")
def page(text):
    return Read(text)


def test_it_is_one_file_named_as_the_view_says(tmp_path):
    assert isinstance(Page(), Publisher)
    assert Page().publish(SampleView(), tmp_path) == [tmp_path / "2026-10-registrar.html"]
    assert len(list(tmp_path.iterdir())) == 1


def test_the_same_view_gives_the_same_bytes(tmp_path):
    for name in ("first", "second"):
        (tmp_path / name).mkdir()
    first, second = (
        Page().publish(SampleView(), tmp_path / name)[0] for name in ("first", "second")
    )
    assert first.read_bytes() == second.read_bytes()


def test_elements_are_closed_in_order_and_ids_are_unique(page):
    assert page.faults == []
    assert page.open == []
    ids = [one["id"] for one in page.elements if "id" in one]
    assert len(ids) == len(set(ids))


def test_the_head_says_club_title_audience_day_and_what_every_copy_carries(page):
    view = SampleView()
    [header] = page.all("header")
    for words in (view.club, view.title, "registrar", "31 October 2026", *view.head):
        assert words in plain(header["text"])
    title = page.all("title")[0]  # charts have titles too
    assert view.title in title["text"]
    assert view.club in title["text"]
    assert page.all("html")[0]["lang"] == "en"


@pytest.mark.parametrize("audience", ["registrar", "members", "circulated"])
def test_every_section_and_column_is_there_and_can_be_linked_to(audience, tmp_path):
    view = SampleView(audience)
    page = Read(text_of(view, tmp_path))
    there = {one["id"]: one for one in page.all("section")}
    targets = [one["href"].removeprefix("#") for one in page.all("a") if one["href"] != "#content"]
    for one in view.sections():
        words = plain(there[one.name]["text"])
        assert plain(one.title) in words
        assert plain(one.lead.replace("`", "")) in words
        for each in one.columns:
            assert each.heading in words, (one.name, each.name)
        assert one.name in targets
    assert audience in plain(page.all("footer")[-1]["text"])


def test_every_column_is_explained(page):
    meanings = plain(next(one for one in page.all("section") if one["id"] == "columns")["text"])
    for one in SampleView().sections():
        for each in one.columns:
            assert each.heading in meanings
            assert plain(each.meaning) in meanings


def test_every_word_of_the_rows_is_there_and_none_is_markup(page, text):
    whole = plain(page.all("main")[0]["text"])
    for words in filter(None, TEXTS):
        assert plain(words) in whole
    assert "<b>bold" not in text
    nasty = ('"><img src=x onerror=alert(1)>', "</style><script>x</script>", "{{ 7 * 7 }}", "]]>")
    assert not page.all("img", "script", "iframe", "object", "form")
    assert nasty[0] not in text


def test_markup_anywhere_in_a_view_is_shown_as_it_stands(tmp_path):
    nasty = '"><img src=x onerror=alert(1)></style></title><script>x</script>{{ 7*7 }}'
    one = section(
        column("part", meaning=nasty), column("n", "number"),
        name="an odd/name\"'", title=nasty, lead=nasty, chart=("part", "n"),
    )  # fmt: skip
    other = section(column("part"), name="an odd name", if_empty=nasty)
    rows = pl.DataFrame({"part": [nasty], "n": [2.0]})
    view = SmallView(
        ((one, rows), (other, pl.DataFrame({"part": []}))),
        club=nasty, title=nasty, audience=nasty, head=(nasty,),
    )  # fmt: skip
    page = Read(text_of(view, tmp_path))
    assert page.faults == []
    assert not page.all("img", "script")
    assert page.all("main")[0]["text"].count("{{ 7*7 }}") >= 4
    ids = [one["id"] for one in page.elements if "id" in one]
    assert len(ids) == len(set(ids))
    assert all(re.fullmatch(r"[A-Za-z][\w-]*", each) for each in ids)


def test_nothing_is_fetched_and_nothing_runs(page, text):
    for one in page.elements:
        for name in ("src", "href", "data", "action", "srcset", "poster", "xlink:href"):
            assert (one.get(name) or "#").startswith("#"), one
        assert not [name for name in one if name.startswith("on")]
    assert all(each.startswith("#") for each in re.findall(r"url\(['\"]?([^)'\"]*)", text))
    assert "@import" not in text
    assert not page.all("link", "base", "script")
    [policy] = [one for one in page.all("meta") if one.get("http-equiv")]
    assert "default-src 'none'" in policy["content"]


def test_tables_have_captions_headings_and_a_region_that_keyboards_reach(page):
    tables = page.all("table")
    assert len(tables) == len(page.all("caption")) == len(SampleView().sections())
    assert all(one.get("scope") in ("col", "row") for one in page.all("th"))
    regions = [one for one in page.all("div") if one.get("role") == "region"]
    captions = {one["id"] for one in page.all("caption")}
    assert len(regions) == len(tables)
    assert all(one["tabindex"] == "0" and one["aria-labelledby"] in captions for one in regions)


def test_headings_are_in_order_and_the_way_to_the_content_is_first(page):
    levels = [int(one["tag"][1]) for one in page.all("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert page.all("a")[0]["href"] == "#content"
    assert page.all("main")[0]["id"] == "content"


def test_an_empty_section_says_what_that_means(tmp_path):
    page = Read(text_of(SampleView(rows=0), tmp_path))
    assert not page.all("table")
    for one in SampleView(rows=0).sections():
        [shown] = [each for each in page.all("section") if each["id"] == one.name]
        assert one.if_empty in plain(shown["text"])


def test_a_view_without_sections_is_a_page(tmp_path):
    assert "Nothing" in text_of(SmallView(), tmp_path)


def test_a_big_section_is_cut_and_says_so(tmp_path):
    one = section(column("part"))
    rows = pl.DataFrame({"part": [f"part {n}." for n in range(MOST_ROWS + 1034)]})
    text = plain(text_of(SmallView(((one, rows),)), tmp_path))
    assert f"part {MOST_ROWS - 1}." in text
    assert f"part {MOST_ROWS}." not in text
    assert "The first 200 of 1,234 rows: the workbook has them all." in text


def test_what_does_not_fit_beside_stands_beneath_its_row_and_nothing_is_lost(tmp_path):
    columns = [column(f"c{n}") for n in range(24)]
    rows = pl.DataFrame({f"c{n}": [f"value {n} of the row", None] for n in range(24)})
    page = Read(text_of(SmallView(((section(*columns), rows),)), tmp_path))
    heads = [one["text"] for one in page.all("th") if one.get("scope") == "col"]
    assert 4 <= len(heads) < 24
    body = plain(page.all("table")[0]["text"])
    for n in range(24):
        assert f"value {n} of the row" in body


def test_columns_in_which_nothing_is_said_are_named_where_room_is_short(tmp_path):
    columns = [column(f"c{n}") for n in range(40)]
    rows = pl.DataFrame({f"c{n}": [None if n > 2 else "word"] for n in range(40)})
    page = Read(text_of(SmallView(((section(*columns), rows),)), tmp_path))
    heads = [one["text"] for one in page.all("th") if one.get("scope") == "col"]
    assert heads == ["c0", "c1", "c2"]
    assert "Nothing is said under: c3, c4, c5," in plain(page.all("section")[0]["text"])


def test_a_very_long_word_stands_beneath_its_row_whole(tmp_path):
    story = "It stood in a barn. " * 500
    one = section(column("part"), column("story"))
    rows = pl.DataFrame({"part": ["a", "b", "c", story], "story": ["short", "x", story, None]})
    page = Read(text_of(SmallView(((one, rows),)), tmp_path))
    first, second = [each for each in page.all("tr") if each.get("class") == "beneath"]
    assert plain(first["text"]) == f"story: {story.strip()}"
    assert plain(second["text"]) == f"part: {story.strip()}"
    titles = [each["text"] for each in page.all("th") if each["scope"] == "row"]
    assert titles[:3] == ["a", "b", "c"]
    assert titles[3].endswith("…")
    assert len(titles[3]) < 210


def test_words_in_backticks_are_set_as_a_command(tmp_path):
    one = section(column("part"), lead="Ask `partmuster trace`.", if_empty="One ` alone stays.")
    page = Read(text_of(SmallView(((one, pl.DataFrame({"part": []})),)), tmp_path))
    assert "partmuster trace" in [each["text"] for each in page.all("code")]
    words = plain(page.all("main")[0]["text"])
    assert "Ask partmuster trace." in words
    assert "One ` alone stays." in words


def test_what_is_to_be_written_by_hand_has_room_beside_its_row(tmp_path):
    columns = [column(f"c{n}") for n in range(24)]
    hand = column("taken", meaning="to be written: how many were taken")
    rows = pl.DataFrame({f"c{n}": ["value of the row"] for n in range(24)}).with_columns(
        taken=pl.lit(None, pl.String)
    )
    page = Read(text_of(SmallView(((section(*columns, hand), rows),)), tmp_path))
    assert "taken" in [one["text"] for one in page.all("th") if one.get("scope") == "col"]
    [room] = [one for one in page.all("td") if "hand" in one.get("class", "").split()]
    assert room["text"] == ""
    assert "Nothing is said" not in page.all("main")[0]["text"]


def test_a_word_longer_than_a_column_may_be_broken_and_stays_whole(tmp_path):
    word = "<&" + "x" * 100
    view = SmallView(((section(column("part")), pl.DataFrame({"part": [word]})),))
    page = Read(text_of(view, tmp_path))
    [title] = [one for one in page.all("th") if one["scope"] == "row"]
    assert title["text"] == word
    assert page.all("wbr")


def test_a_row_is_named_by_its_first_words_that_differ(tmp_path):
    # on a phone a card is titled so: the vehicle of a list for one vehicle tells nothing
    one = section(column("vehicle"), column("part"), column("place"))
    rows = pl.DataFrame(
        {"vehicle": ["Otter 1"] * 2, "part": ["dynamo", "idler"], "place": ["a", "b"]}
    )
    page = Read(text_of(SmallView(((one, rows),)), tmp_path))
    assert [each["text"] for each in page.all("th") if each["scope"] == "row"] == [
        "dynamo",
        "idler",
    ]
    assert [each["text"] for each in page.all("td")] == ["Otter 1", "a", "Otter 1", "b"]


def test_an_id_is_not_torn_at_its_hyphen(tmp_path):
    one = section(column("part"), column("trace", "ids"))
    rows = pl.DataFrame({"part": ["a"], "trace": ["holding-1.1;holding-2.1"]})
    page = Read(text_of(SmallView(((one, rows),)), tmp_path))
    ids = [each["text"] for each in page.all("span") if each.get("class") == "id"]
    assert ids == ["holding-1.1;", "holding-2.1"]


def test_a_view_that_fails_leaves_no_file(tmp_path):
    class Failing(SampleView):
        def ask(self, section):
            raise PartmusterError("no such section")

    with pytest.raises(PartmusterError):
        Page().publish(Failing(), tmp_path)
    assert not list(tmp_path.iterdir())

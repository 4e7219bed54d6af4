"""The page in a real browser, against WCAG 2.2 AA: contrast, reflow, keyboard, targets, order."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise

import polars as pl
import pytest

from partmuster_plugins.publishers.page import Page
from tests.publishing.sample_views import SampleView
from tests.publishing.views import SmallView, column, section

#: What the page's own colours are worked out from: each text with its ink and its ground.
CONTRASTS = """() => {
  const rgb = c => {
    const n = c.match(/[\\d.]+/g).map(Number);
    return [...n.slice(0, 3), n[3] ?? 1];
  };
  const light = ([r, g, b]) => [r, g, b].map(v => v / 255)
    .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)
    .reduce((sum, v, i) => sum + v * [0.2126, 0.7152, 0.0722][i], 0);
  const over = (a, b) => a.slice(0, 3).map((v, i) => v * a[3] + b[i] * (1 - a[3]));
  const ground = e => {
    const layers = [];
    for (; e; e = e.parentElement) layers.push(rgb(getComputedStyle(e).backgroundColor));
    return layers.reverse().reduce((below, layer) => over(layer, below), [255, 255, 255]);
  };
  const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p);
    return (x + 0.05) / (y + 0.05); };
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || e.closest('title, desc')) continue;
    if (!e.getClientRects().length) continue;
    const style = getComputedStyle(e);
    const ink = rgb(e instanceof SVGElement ? style.fill : style.color);
    const under = ground(e);
    found.push(['text', e.tagName + '.' + e.getAttribute('class'), ratio(over(ink, under), under)]);
  }
  for (const e of document.querySelectorAll('svg .first, svg .unsure, svg .second, svg .third')) {
    if (e.closest('defs')) continue;
    const style = getComputedStyle(e);
    const ink = rgb(e.matches('.first') ? style.fill : style.stroke);
    const track = rgb(getComputedStyle(e.parentElement.querySelector('.track')).fill);
    found.push(['bar', e.getAttribute('class'), ratio(ink, ground(e.closest('figure')))]);
    found.push(['bar', e.getAttribute('class') + ' on its track', ratio(ink, track)]);
  }
  for (const p of document.querySelectorAll('pattern')) {
    const [under, line] = [...p.children].map(e => rgb(getComputedStyle(e).fill));
    found.push(['bar', 'hatch ' + p.id, ratio(under, line)]);
  }
  return found;
}"""

TARGETS = """() => [...document.querySelectorAll('a')].filter(e => !e.matches('.skip')).map(e => {
  const box = e.getBoundingClientRect(); return [e.textContent, box.width, box.height]; })"""

#: Anything that reaches beyond the window, but for what scrolls in a region of its own.
BEYOND = """() => [...document.querySelectorAll('body *')]
  .filter(e => !e.closest('.skip, defs, thead') && (!e.closest('.wide') || innerWidth < 700))
  .filter(e => e.getBoundingClientRect().right > innerWidth + 1)
  .map(e => e.tagName + '.' + e.getAttribute('class') + ': ' + e.textContent.slice(0, 40))"""

#: Text spacing that readers may set for themselves (1.4.12).
SPACING = """* { line-height: 1.5 !important; letter-spacing: .12em !important;
  word-spacing: .16em !important } p { margin-bottom: 2em !important }"""

CHART_LETTERS = """() => [...document.querySelectorAll('svg.chart')].flatMap(svg => {
  const edge = svg.getBoundingClientRect().right;
  return [...svg.querySelectorAll('text')]
    .map(t => [t.textContent, edge - t.getBoundingClientRect().right]);
})"""


@pytest.mark.parametrize("width", [320, 1280])
def test_words_without_a_blank_do_not_make_a_page_wide(opened, tmp_path, width):
    word = "x" * 130
    one = section(column("part"), column("other"), title=word, lead=word, if_empty=word)
    rows = pl.DataFrame({"part": [word, "a"], "other": [word, "b"]})
    view = SmallView(((one, rows), (section(column("part"), name="none"), rows.clear())), club=word)
    [path] = Page().publish(view, tmp_path)
    page = opened(path, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert (
        page.evaluate("(e => e.scrollWidth - e.clientWidth)(document.querySelector('.wide'))") == 0
    )


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    [path] = Page().publish(SampleView(), tmp_path_factory.mktemp("page"))
    return path


@pytest.mark.parametrize("scheme", ["light", "dark", "own colours"])
@pytest.mark.parametrize("width", [390, 1280])
def test_every_text_and_bar_stands_out_from_its_ground(opened, path, scheme, width):
    found = opened(path, width, scheme=scheme).evaluate(CONTRASTS)
    assert {kind for kind, _, _ in found} == {"text", "bar"}
    least = {"text": 4.5, "bar": 3.0}
    assert {tuple(one) for one in found if one[2] < least[one[0]]} == set()


@pytest.mark.parametrize("width", [320, 390, 820, 1280])
def test_the_page_never_scrolls_sideways(opened, path, width):
    page = opened(path, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(BEYOND) == []


def test_words_stay_in_their_place_on_a_narrow_phone_with_wide_letters(opened, path):
    page = opened(path, 320)
    page.add_style_tag(content=SPACING)
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    letters = page.evaluate(CHART_LETTERS)
    assert letters
    assert [one for one in letters if one[1] < 0] == []


def test_targets_are_large_enough_for_a_thumb(opened, path):
    for text, wide, high in opened(path, 390).evaluate(TARGETS):
        assert wide >= 24, text
        assert high >= 24, text


def test_a_keyboard_reaches_every_link_and_every_wide_table_and_shows_where_it_is(opened, path):
    page = opened(path, 820)
    wanted = page.evaluate("""() => [...document.querySelectorAll('a, [tabindex="0"]')].length""")
    seen = []
    for _ in range(wanted):
        page.keyboard.press("Tab")
        seen.append(
            page.evaluate("""() => { const e = document.activeElement;
          const all = [...document.querySelectorAll('a, [tabindex="0"]')];
          const style = getComputedStyle(e), box = e.getBoundingClientRect();
          return [all.indexOf(e), style.outlineStyle, parseFloat(style.outlineWidth),
            box.bottom > 0 && box.top < innerHeight && box.right > 0]; }""")
        )
    assert [one[0] for one in seen] == list(range(wanted))
    assert all(style != "none" and wide >= 2 and inside for _, style, wide, inside in seen)


def test_the_first_link_leads_past_the_contents(opened, path):
    page = opened(path)
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "content"


def test_a_wide_table_scrolls_by_keyboard(opened, path):
    page = opened(path, 820)
    wide = page.evaluate("""() => { const e = [...document.querySelectorAll('.wide')]
      .find(e => e.scrollWidth > e.clientWidth + 50); e?.focus(); return !!e; }""")
    assert wide
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    for _ in range(100):  # it glides there
        if page.evaluate("document.activeElement.scrollLeft") > 0:
            break
        page.wait_for_timeout(50)
    assert page.evaluate("document.activeElement.scrollLeft") > 0


@pytest.mark.parametrize("width", [390, 1280])
def test_a_screen_reader_hears_tables_regions_and_charts(opened, path, width):
    page = opened(path, width)
    # as the browser tells it to a screen reader: on a phone, where a row is a card, it is a row
    # of a table all the same
    tree = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")["nodes"]
    heard = Counter(one["role"]["value"] for one in tree if not one["ignored"])
    tables = page.locator("table").count()
    assert heard["table"] == tables
    assert heard["caption"] == tables
    assert heard["columnheader"] == page.locator("thead th").count()
    assert heard["rowheader"] == page.locator("tbody th").count()
    assert heard["row"] == page.locator("tr").count()
    assert heard["region"] == tables
    charts = [one for one in tree if one["role"]["value"] == "image"]
    assert len(charts) == page.locator("svg.chart").count() > 0
    told = [one.get("description", {}).get("value", "") + one["name"]["value"] for one in charts]
    assert all(re.search(r"\d", each) for each in told)
    assert page.locator("html").get_attribute("lang") == "en"
    assert "Monthly report" in page.title()


def test_headings_go_down_by_one_level_at_most(opened, path):
    levels = opened(path).evaluate(
        "[...document.querySelectorAll('h1,h2,h3,h4,h5,h6')].map(e => +e.tagName[1])"
    )
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_a_link_shows_its_section(opened, path):
    page = opened(path, 390)
    page.goto(path.as_uri() + "#scarcest")
    top = page.evaluate("document.getElementById('scarcest').getBoundingClientRect().top")
    assert 0 <= top < 100


def test_printed_pages_repeat_heads_and_say_for_whom_they_are(opened, path, tmp_path):
    import pypdfium2

    printed = tmp_path / "printed.pdf"
    opened(path).pdf(path=str(printed), prefer_css_page_size=True)
    with pypdfium2.PdfDocument(str(printed)) as document:
        pages = [page.get_textpage().get_text_range() for page in document]
        wide, high = document[0].get_size()
    assert (round(wide), round(high)) == (842, 595)
    assert len(pages) > 3
    for number, text in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in text
        assert "audience: registrar" in text


def test_the_page_asks_for_nothing_and_has_no_fault(opened, path):
    page = opened(path)
    asked, faults = [], []
    page.on("request", lambda one: asked.append(one.url))
    page.on("console", lambda one: faults.append(one.text))
    page.on("pageerror", lambda one: faults.append(str(one)))
    page.reload()
    assert asked == [path.as_uri()]
    assert faults == []

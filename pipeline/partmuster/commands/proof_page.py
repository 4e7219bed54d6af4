"""The text of a proof: one HTML file with each page beside the lines read from it."""

from __future__ import annotations

import base64
import html
import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster.answers.proof import CELLS

from .proof_style import STYLE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from partmuster.answers.proof import ReadLine
    from partmuster.model import PageDrawing

#: A file that carries these words was written by the command, and may be written over.
MARK = '<meta name="generator" content="partmuster proof">'
ONLY = "For the registrar: not to be passed round"
_HEADINGS = {
    "item": "Item", "number": "Part number", "description": "Description",
    "quantity": "Quantity", "used_on": "Used on", "remark": "Remark",
}  # fmt: skip
#: An outcome's sign and words, of one line and in a sum.
_OUTCOMES = {
    "loaded": ("✓", "loaded", "loaded"),
    "decision": ("?", "needs a decision", "need a decision"),
    "mending": ("!", "needs mending", "need mending"),
    "not-data": ("–", "not data", "not data"),
}
_UNFIT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
#: A line's number on the picture is so high, in parts of the page's longer side.
_LETTER = 0.0115


@dataclass(frozen=True, slots=True)
class About:
    """What a proof says of its source."""

    name: str
    club: str
    version: int
    imported: str
    importer: str
    trace: str


def shown(text: object) -> str:
    """Return text as HTML shows it, letter for letter; controls as a mark."""
    return html.escape(_UNFIT.sub("\ufffd", str(text)), quote=True)


def opening(about: About, lines: Sequence[ReadLine], pages: Sequence[int | None]) -> str:
    """Return what stands before the first page: whom it is for, the sum, and what waits."""
    name = shown(about.name)
    club = f"{shown(about.club)}. " if about.club else ""
    listed = "\n".join(_listed(page, [one for one in lines if one.page == page]) for page in pages)
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
{MARK}
<meta name="robots" content="noindex">
<meta http-equiv="Content-Security-Policy"
 content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">
<title>What was read from {name}</title>
<style>{STYLE}</style>
</head>
<body>
<header>
<p class="only">{ONLY}</p>
<h1>What was read from {name}</h1>
<p>{club}Version {about.version}, imported {shown(about.imported)}, read by
 {shown(about.importer)}. Each page stands beside its lines; a box on the page and its line have
 the same number.</p>
<p class="sum">{_sum(lines)}</p>
<nav aria-labelledby="pages">
<h2 id="pages">Pages</h2>
<ul>
{listed}
</ul>
</nav>
</header>
<main>
"""


def page_section(
    about: About, page: int | None, lines: Sequence[ReadLine], drawing: PageDrawing | str
) -> str:
    """Return one page: its picture with a box for each line, or why it is not shown; its lines."""
    title = _title(page)
    if isinstance(drawing, str):
        picture = f'<p class="quiet">{shown(_sentence(drawing))}</p>'
        layout = "spread alone"
    else:
        picture, layout = _figure(about, title, lines, drawing), "spread"
    rows = "\n".join(_row(one) for one in lines)
    heads = "".join(
        f'<th scope="col" role="columnheader">{heading}</th>'
        for heading in ("Line", *_HEADINGS.values(), "Outcome")
    )
    identifier = _identifier(page)
    return f"""<section id="{identifier}" aria-labelledby="{identifier}-title">
<div class="head"><h2 id="{identifier}-title">{title}</h2>
<p class="quiet">{shown(about.name)}. {ONLY}.</p></div>
<div class="{layout}">
{picture}
<div>
<table role="table">
<caption>{title}: {_sum(lines)}</caption>
<thead role="rowgroup"><tr role="row">{heads}</tr></thead>
<tbody role="rowgroup">
{rows}
</tbody>
</table>
</div>
</div>
</section>
"""


def closing(about: About) -> str:
    """Return what stands after the last page: what to do about lines that wait."""
    example = f"partmuster trace {shown(about.trace)}.NUMBER"
    return f"""</main>
<footer>
<p>A line that needs a decision: <code>partmuster questions</code> lists what is asked. One that
 needs mending: <code>partmuster mending --workbook FILE.xlsx</code> writes a form to fill in.
 All that is known of a line: <code>{example}</code>, with the line's number.</p>
<p>{ONLY}.</p>
</footer>
</body>
</html>
"""


def _title(page: int | None) -> str:
    return "Without a page" if page is None else f"Page {page}"


def _identifier(page: int | None) -> str:
    return "page-none" if page is None else f"page-{page}"


def _sentence(words: str) -> str:
    ended = words if words.endswith((".", "?", "!")) else f"{words}."
    return f"{ended[:1].upper()}{ended[1:]}"


def _sum(lines: Sequence[ReadLine]) -> str:
    """Return how many lines were read and what became of them, as the import prints it."""
    counts = Counter(one.outcome for one in lines)
    parts = " + ".join(f"{counts[key]} {words}" for key, (_, _, words) in _OUTCOMES.items())
    return f"{len(lines)} line{'' if len(lines) == 1 else 's'} read = {parts}"


def _listed(page: int | None, lines: Sequence[ReadLine]) -> str:
    """Return a page for the list of pages, with links to its lines that wait."""
    parts = []
    for key in ("mending", "decision"):
        numbers = [one.number for one in lines if one.outcome == key]
        if numbers:
            sign, words, several = _OUTCOMES[key]
            links = ", ".join(_link(first, last) for first, last in _runs(numbers))
            many = len(numbers) > 1
            parts.append(f"line{'s' if many else ''} {links} {sign} {several if many else words}")
    waiting = "; ".join(parts) or "nothing waits"
    return f'<li><a href="#{_identifier(page)}">{_title(page)}</a>: {waiting}</li>'


def _runs(numbers: Sequence[int]) -> list[tuple[int, int]]:
    """Return numbers as runs without a gap: 3, 4, 5, 9 as 3 to 5 and 9."""
    runs: list[tuple[int, int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], number)
        else:
            runs.append((number, number))
    return runs


def _link(first: int, last: int) -> str:
    text = f"{first}" if first == last else f"{first} to {last}"
    return f'<a href="#line-{first}">{text}</a>'


def _figure(about: About, title: str, lines: Sequence[ReadLine], drawing: PageDrawing) -> str:
    data = base64.b64encode(drawing.picture).decode("ascii")
    placed = [(one, box) for one in lines if (box := _within(one, drawing)) is not None]
    letter = max(drawing.width, drawing.height) * _LETTER
    boxes = "\n".join(_box(one, box, letter) for one, box in placed)
    without = len(lines) - len(placed)
    left = f" {without} of its lines have no place on it." if without else ""
    alt = (f"{title} of {about.name}, as it came, with a numbered box around each of {len(placed)} "
           "lines. What was read of them stands in the table that follows.")  # fmt: skip
    return f"""<figure style="--ratio: {drawing.width / drawing.height:.4f}">
<div class="sheet">
<img src="data:{drawing.media_type};base64,{data}" alt="{shown(alt)}" width="{drawing.width:.0f}"
 height="{drawing.height:.0f}">
<svg aria-hidden="true" focusable="false" viewBox="0 0 {drawing.width:g} {drawing.height:g}"
 preserveAspectRatio="none" font-size="{letter:.4g}">
{boxes}
</svg>
</div>
<figcaption>{title} as it came.{left} ✓ thin line: loaded. ? dashed: needs a decision.
 ! thick: needs mending. – dotted: not data.</figcaption>
</figure>"""


def _within(line: ReadLine, drawing: PageDrawing) -> tuple[float, float, float, float] | None:
    """Return a line's box, as far as it is within the page."""
    if line.box is None:
        return None
    left, right = (min(max(side, 0.0), drawing.width) for side in line.box[::2])
    top, bottom = (min(max(side, 0.0), drawing.height) for side in line.box[1::2])
    return (left, top, right, bottom) if left < right and top < bottom else None


def _box(line: ReadLine, box: tuple[float, float, float, float], letter: float) -> str:
    left, top, right, bottom = box
    sign = _OUTCOMES[line.outcome][0] if line.outcome in ("decision", "mending") else ""
    number = f"{line.number}{sign}"
    upright = bottom - top > right - left
    room = letter * (0.7 * len(number) + 0.4)
    x, y, anchor = left - letter * 0.3, (top + bottom) / 2 + letter * 0.36, "end"
    if upright and top > letter * 1.4:
        x, y, anchor = (left + right) / 2, top - letter * 0.3, "middle"
    elif left < room:
        x, anchor = left + letter * 0.2, "start"
    return (
        f'<a id="box-{line.number}" class="{line.outcome}" href="#line-{line.number}" '
        f'tabindex="-1"><rect x="{left:.5g}" y="{top:.5g}" width="{right - left:.5g}" '
        f'height="{bottom - top:.5g}"/>'
        f'<text x="{x:.5g}" y="{y:.5g}" text-anchor="{anchor}">{number}</text></a>'
    )


def _row(line: ReadLine) -> str:
    """Return a line of the table."""
    sign, words, _ = _OUTCOMES[line.outcome]
    if line.outcome == "not-data":
        words += f": {line.reason}" if line.reason else ""
    told = "".join(
        f" <p>{shown(_sentence(one.words))}"
        f"{' ' + shown(_sentence(one.what_to_do)) if one.what_to_do else ''}</p>"
        for one in line.doubts
    )
    doubtful = {one.cell for one in line.doubts}
    if line.cells:
        cells = "".join(_cell(line, name, sign if name in doubtful else "") for name in CELLS)
    else:
        cells = (f'<td role="cell" colspan="{len(CELLS)}" data-heading="Words">'
                 f"{shown(line.words)}</td>")  # fmt: skip
    return (
        f'<tr role="row" id="line-{line.number}" class="{line.outcome}">'
        f'<th scope="row" role="rowheader" data-heading="Line">{line.number}</th>{cells}'
        f'<td role="cell" class="outcome" data-heading="Outcome"><span class="state">'
        f'<span aria-hidden="true">{sign}</span> {shown(words)}</span>{told}</td></tr>'
    )


def _cell(line: ReadLine, name: str, sign: str) -> str:
    text = shown(line.cells.get(name, ""))
    if not sign:
        return f'<td role="cell" class="{name}" data-heading="{_HEADINGS[name]}">{text}</td>'
    return (
        f'<td role="cell" class="{name} doubt" data-heading="{_HEADINGS[name]}">'
        f'<span class="flag"><span aria-hidden="true">{sign}</span> doubtful:</span> '
        f"{text or 'nothing was read'}</td>"
    )

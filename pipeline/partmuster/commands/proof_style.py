"""How a proof looks: on a screen, on a phone, and printed. Nothing is fetched for it."""

from __future__ import annotations

#: Every ink is read on every ground: the least contrast is tested.
STYLE = """
:root {
  --page-ground: #f5f3ec; --sheet-ground: #ffffff; --decision-ground: #fdf3d3;
  --mending-ground: #fce9e6; --head-ground: #e9ece4;
  --text-ink: #1e2420; --quiet-ink: #4a524d; --link-ink: #0f4c66; --loaded-ink: #23573a;
  --decision-ink: #6a4200; --mending-ink: #8a1a12;
  --rule: #b9bfb6;
}
* { box-sizing: border-box; }
html { scroll-behavior: auto; -webkit-text-size-adjust: 100%; }
body {
  margin: 0 auto; padding: 1rem clamp(.75rem, 2vw, 2rem) 3rem; max-width: 110rem;
  font: 1rem/1.45 "Source Sans 3", "Segoe UI", "Helvetica Neue", "DejaVu Sans", sans-serif;
  color: var(--text-ink); background: var(--page-ground);
}
h1, h2 { font-family: Charter, Cambria, Georgia, "DejaVu Serif", serif; font-weight: 600;
  line-height: 1.2; overflow-wrap: anywhere; }
h1 { font-size: clamp(1.4rem, 3vw, 2rem); margin: .4rem 0; }
h2 { font-size: 1.35rem; margin: 0; }
p { margin: .4rem 0; max-width: 75ch; }
a { color: var(--link-ink); }
a:focus-visible { outline: .2rem solid var(--link-ink); outline-offset: .15rem; }
code { font: .95em ui-monospace, "DejaVu Sans Mono", Consolas, monospace; overflow-wrap: anywhere; }
.only { display: inline-block; margin: 0; padding: .15rem .6rem; font-weight: 600;
  border: .125rem solid var(--mending-ink); color: var(--mending-ink);
  background: var(--sheet-ground); }
.sum { font-weight: 600; }
.quiet, figcaption, caption, footer { color: var(--quiet-ink); }
nav ul { padding-left: 1.2rem; margin: .4rem 0; columns: 22rem; }
nav li { break-inside: avoid; margin-bottom: .35rem; }
section { margin-top: 2rem; padding-top: 1rem; border-top: .19rem solid var(--text-ink);
  scroll-margin-top: .5rem; }
.head { display: flex; flex-wrap: wrap; gap: .4rem 1.2rem; align-items: baseline;
  justify-content: space-between; margin-bottom: .8rem; }
.spread { display: grid; grid-template-columns: minmax(0, 4fr) minmax(0, 7fr); gap: 1.5rem;
  align-items: start; }
.spread.alone { display: block; }
figure { margin: 0; }
figcaption { font-size: .9rem; margin-top: .4rem; }
.sheet { position: relative; background: var(--sheet-ground); border: 1px solid var(--rule); }
.sheet img { display: block; width: 100%; height: auto; }
/* the print shows through where a box of a slanting line crosses it */
.sheet svg { position: absolute; inset: 0; width: 100%; height: 100%; overflow: hidden;
  mix-blend-mode: multiply; }
svg rect { fill: none; pointer-events: all; stroke: var(--loaded-ink); stroke-width: 1px;
  stroke-opacity: .6; vector-effect: non-scaling-stroke; }
svg text { fill: var(--loaded-ink); font-weight: 700;
  font-family: "Segoe UI", "Helvetica Neue", "DejaVu Sans", sans-serif; }
svg .decision rect { stroke: var(--decision-ink); stroke-width: 1.25px;
  stroke-dasharray: 6 3; }
svg .decision text { fill: var(--decision-ink); }
svg .mending rect { stroke: var(--mending-ink); stroke-width: 2.25px;
  stroke-opacity: 1; }
svg .mending text { fill: var(--mending-ink); }
svg .not-data rect { stroke: var(--quiet-ink); stroke-dasharray: 2 3; }
svg .not-data text { fill: var(--quiet-ink); }
svg a:target rect { stroke-width: 4px; fill: var(--link-ink); fill-opacity: .15; }
table { width: 100%; border-collapse: collapse; background: var(--sheet-ground);
  font-size: .9rem; }
caption { text-align: left; padding-bottom: .4rem; font-size: .9rem; }
th, td { text-align: left; vertical-align: top; padding: .3rem .45rem;
  border: 1px solid var(--rule); overflow-wrap: anywhere; }
thead th { background: var(--head-ground); font-weight: 600; overflow-wrap: normal; }
tbody th { font-weight: 600; white-space: nowrap; }
td.number, td.item, td.quantity { font-variant-numeric: tabular-nums lining-nums; }
td.number { min-width: 6.5em; }
td.outcome { min-width: 9em; }
td p { margin: .2rem 0 0; }
.state, .flag { font-weight: 700; white-space: nowrap; }
.loaded .state { color: var(--loaded-ink); }
.decision .state, .decision .flag { color: var(--decision-ink); }
.mending .state, .mending .flag { color: var(--mending-ink); }
.not-data td, .not-data .state { color: var(--quiet-ink); }
.decision td.outcome, .decision td.doubt { background: var(--decision-ground); }
.mending td.outcome, .mending td.doubt { background: var(--mending-ground); }
td.doubt { border: .125rem dashed var(--decision-ink); }
.mending td.doubt { border: .125rem solid var(--mending-ink); }
tr:target > * { border-top: .25rem solid var(--link-ink); border-bottom: .25rem solid
  var(--link-ink); }
tr { scroll-margin-top: 1rem; }
footer { margin-top: 2.5rem; border-top: 1px solid var(--rule); padding-top: .8rem; }
@media screen and (min-width: 68.01rem) and (min-height: 45rem) {
  .spread figure { position: sticky; top: .5rem; }
  .sheet { width: min(100%, calc((100vh - 6rem) * var(--ratio))); }
}
@media screen and (max-width: 68rem) {
  .spread { grid-template-columns: minmax(0, 1fr); }
}
@media screen and (max-width: 44rem) {
  table, caption, tbody, tr, th, td { display: block; }
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  table { background: var(--page-ground); }
  tbody tr { background: var(--sheet-ground); border: 1px solid var(--rule);
    margin-bottom: .7rem; padding: .35rem .5rem; }
  tbody th, td { border: 0; padding: .15rem .2rem; }
  td:empty { display: none; }
  tbody th::before, td[data-heading]::before { content: attr(data-heading) ": ";
    font-weight: 400; color: var(--quiet-ink); }
  td.doubt { padding: .25rem .35rem; }
  .not-data { font-size: .95em; }
}
@media print {
  @page { size: A4 landscape; margin: 10mm; }
  body { padding: 0; max-width: none; font-size: 8.5pt; background: var(--sheet-ground); }
  nav, footer .screen { display: none; }
  section { break-before: page; margin-top: 0; padding-top: 2mm; }
  h2 { font-size: 12pt; }
  .spread { grid-template-columns: 112mm minmax(0, 1fr); gap: 5mm; }
  figure { break-inside: avoid; }
  figcaption, caption { font-size: 7.5pt; }
  table { font-size: 7.5pt; }
  th, td { padding: .8mm 1mm; }
  td.number { min-width: 0; }
  td p { display: inline; }
  tr { break-inside: avoid; }
  a { color: var(--text-ink); text-decoration: none; }
}
"""

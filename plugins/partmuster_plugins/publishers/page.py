"""The form "page": one HTML file that fetches nothing, for a phone, a screen and A4."""

from __future__ import annotations

import re
from importlib import resources
from typing import TYPE_CHECKING

from .charts import pictures
from .setting import MOST_ROWS, meanings, set_sections
from .values import clean, ids_apart, long_day, pieces

if TYPE_CHECKING:
    from pathlib import Path

    from partmuster.plugin_api import ClubView


#: A piece of a word that is longer than a column is wide.
_LONG = re.compile(r"(\S{30})(?=\S{10})")


class Page:
    """Writes a document as one self-contained HTML file."""

    name = "page"
    version = "1"

    def publish(self, club_view: ClubView, out_dir: Path) -> list[Path]:
        """Write the page into ``out_dir`` and return its path."""
        text = page_text(club_view)
        path = out_dir / f"{club_view.file_name}.html"
        path.write_text(text, encoding="utf-8", newline="\n")
        return [path]


def page_text(view: ClubView) -> str:
    """Return the page of a view."""
    # A template engine takes a while to load, and few commands write pages.
    import jinja2  # noqa: PLC0415

    environment = jinja2.Environment(
        autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined
    )
    audience = clean(view.audience)
    club, title = clean(view.club), clean(view.title)
    foot = f"{title} · {club} · audience: {audience}"
    return environment.from_string(_own_text("page.html.jinja")).render(
        style=_own_text("page.css").replace('"RUNNING-FOOT"', _css_text(foot)),
        club=club, title=title, audience=audience,
        day=long_day(view.as_of), head=[clean(one) for one in view.head],
        sections=set_sections(view), meanings=meanings(view), most=MOST_ROWS,
        pictures=pictures, pieces=pieces, ids_apart=ids_apart, breakable=_breakable,
    )  # fmt: skip


def _breakable(text: str) -> str:
    """Return text as markup in which words too long for a column may be broken."""
    from markupsafe import Markup, escape  # noqa: PLC0415 - comes with the template engine

    if not _LONG.search(text):
        return text
    parts = _LONG.split(text)
    return Markup("<wbr>").join(escape(one) for one in parts if one)


def _own_text(name: str) -> str:
    return resources.files(__package__).joinpath(name).read_text(encoding="utf-8")


def _css_text(text: str) -> str:
    """Return text as a string of a style sheet, which no sign of it can end."""
    escaped = re.sub(r"[^\w .,·:-]", lambda sign: f"\\{ord(sign[0]):x} ", " ".join(text.split()))
    return f'"{escaped}"'

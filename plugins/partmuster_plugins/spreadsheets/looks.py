"""What a cell's style says that marks are made of: struck through, its fill and its ink."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

#: More steps are no indenture.
MOST_INDENT = 15
_NO_MARK = frozenset({"ffffff", "000000"})


@dataclass(frozen=True, slots=True)
class Look:
    """A cell's look; colours are ``rrggbb``, None where automatic, white or black.

    ``indent``: how many steps its text is set in from the left.
    """

    struck: bool = False
    fill: str | None = None
    ink: str | None = None
    indent: int = 0

    @property
    def is_plain(self) -> bool:
        """Whether there is nothing to mark."""
        return not (self.struck or self.fill or self.ink or self.indent)


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of one cell's text with a font of its own; None: as the cell's style says."""

    text: str
    struck: bool | None = None
    ink: str | None = None


def colour(rrggbb: str | None) -> str | None:
    """Return a colour in lower case, or None for one that is no mark."""
    if rrggbb is None:
        return None
    rrggbb = rrggbb.lower()
    return None if rrggbb in _NO_MARK else rrggbb


def look_of_runs(runs: Sequence[Run], style: Look) -> tuple[Look, str | None]:
    """Return the look of a text in runs, and the words left standing where it is partly struck.

    A run with a font of its own follows that, the others the cell's style. Ink counts where all
    of the text has it.
    """
    written = [run for run in runs if run.text.strip()]
    struck = [style.struck if run.struck is None else run.struck for run in written]
    inks = {style.ink if run.struck is None else run.ink for run in written}
    ink = inks.pop() if len(inks) == 1 else None
    look = Look(bool(struck) and all(struck), style.fill, ink)
    if not any(struck) or all(struck):
        return look, None
    left = "".join(
        run.text for run in runs if not (style.struck if run.struck is None else run.struck)
    )
    return look, left.strip()

"""Notes that stand on another page or sheet than the mark: at a list's end, or on its first page.

One counts where all notes for its mark say the same; what it says is followed by where it stands.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    Place = tuple[str | None, int | None]


@dataclass(frozen=True, slots=True)
class OtherNote:
    """What other pages or sheets say of a mark: a note's number and words, or that they differ."""

    note: tuple[int, str] | None
    differ: str
    of_page: bool


class Elsewhere:
    """The notes of a source, as they are seen from each page or sheet of it."""

    def __init__(self, notes: Mapping[Place, Mapping[str, tuple[int, str]]]) -> None:
        self._by_mark: dict[str, list[tuple[Place, int, str]]] = {}
        for place, own in notes.items():
            for mark, (number, words) in own.items():
                self._by_mark.setdefault(mark, []).append((place, number, words))

    def seen_from(self, place: Place) -> dict[str, OtherNote]:
        """Return what other pages, or other sheets, say of each mark."""
        of_page = place[1] is not None
        found = {}
        for mark, notes in self._by_mark.items():
            others = [one for one in notes
                      if one[0] != place and (one[0][1] is not None) == of_page]  # fmt: skip
            if not others:
                continue
            where, number, words = others[0]
            at = f"page {where[1]}" if of_page else f"sheet '{where[0]}'"
            differ = len({one[2].casefold() for one in others}) > 1
            note = None if differ else (number, f"{words} (note on {at})")
            found[mark] = OtherNote(note, _differ(others, of_page=of_page), of_page)
        return found


def _differ(notes: list[tuple[Place, int, str]], *, of_page: bool) -> str:
    """Return in words that notes on several pages or sheets do not say the same."""
    places = [str(place[1]) if of_page else f"'{place[0]}'" for place, _, _ in notes]
    named = f"{', '.join(places[:-1])} and {places[-1]}"
    return f"the notes on {'pages' if of_page else 'sheets'} {named} say different things"

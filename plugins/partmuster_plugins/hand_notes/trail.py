"""What a note has named so far, for the way back from a statement to the vehicle it is about."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from .settling import key_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

#: So many names are offered with a statement, and so many are kept that stood before a list.
MOST, _FEW = 12, 4


@dataclass(frozen=True, slots=True)
class Near:
    """A name that may be a vehicle's. ``sure``: it is one, whoever knows it.

    ``placed``: it stands where one names what is looked at; ``turns``: the words turn to it.
    """

    text: str
    sure: bool = False
    placed: bool = False
    turns: bool = False


@dataclass(slots=True)
class Trail:
    """What a note has named so far, the nearest first.

    ``title``: what title, subject and file name offer; ``headings``: what stands over the words;
    ``spoken`` and ``earlier``: what this paragraph and those before it spoke of; ``every``: what
    the whole note names. ``hosts``: at whose place it was; ``before_list``: with what a sentence of
    the paragraph before a list began, the last one first.
    """

    title: list[Near] = field(default_factory=list)
    headings: list[Near] = field(default_factory=list)
    spoken: list[Near] = field(default_factory=list)
    earlier: list[Near] = field(default_factory=list)
    every: list[Near] = field(default_factory=list)
    hosts: list[str] = field(default_factory=list)
    before_list: list[Near] = field(default_factory=list)

    def paragraph(self, *, item: bool = False) -> None:
        """Begin a paragraph; an item of a list is about what those before it opened with."""
        self.before_list = self.before_list if item else []
        if self.spoken:
            self.earlier = [*self.spoken, *self.earlier][:MOST]
            self.spoken = []

    def heading(self, names: Iterable[Near]) -> None:
        """Begin what a heading stands over."""
        self.headings, self.spoken, self.earlier = list(names), [], []
        self.before_list = []

    def speak(self, names: Iterable[Near], text: str, *, item: bool = False) -> None:
        """Keep what a sentence names; ``item``: it stands in a list."""
        said = list(names)
        if not item:
            begins = re.sub(r"^(?:(?:and|but|now|then|so|next|on|the)\b\W*)+", "", text.casefold())
            opened = [replace(one, placed=True) for one in said
                      if begins.startswith(one.text.casefold())]  # fmt: skip
            self.before_list = [*opened, *self.before_list][:_FEW]
        texts = {one.text for one in said}
        turned = [one for one in said if one.turns and not one.sure]
        self.headings = [*turned, *(one for one in self.headings if one.text not in texts)]
        self.spoken = [*said, *(one for one in self.spoken if one.text not in texts)][:MOST]

    def turned(self, to: Sequence[str]) -> list[str]:
        """Return names that the words turned to since they turned to the vehicle ``to``."""
        found: list[str] = []
        for layer in (self.spoken, self.headings):
            for one in layer:
                if one.text in to:
                    return found
                if one.turns:
                    found.append(one.text)
        return found

    def walk(
        self, nearest: Iterable[Near], *, back: bool, but: frozenset[str]
    ) -> tuple[tuple[str, ...], bool]:
        """Return names from the nearest on, as far as one that is surely a vehicle's.

        ``back``: whether the words point back to what was spoken of last ("she"). ``but``: names
        that are left out.
        """
        behind = [self.headings, self.title]
        layers = [self.spoken, *behind] if back else [*behind, self.spoken]
        found: dict[str, bool] = {}
        for layer in ([*nearest], *layers, self.earlier, self._only()):
            for one in layer:
                if len(found) == MOST:
                    return tuple(found), False
                if one.text in but:
                    continue
                found.setdefault(one.text, one.sure)
                if one.sure:
                    return tuple(found), True
        return tuple(found), False

    def _only(self) -> list[Near]:
        """Return the one vehicle that the whole note names, if it is one."""
        texts = {key_of(one.text) for one in self.every}
        return self.every[:1] if len(texts) == 1 else []

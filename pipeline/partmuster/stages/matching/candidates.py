"""One reading of an item key while it is being weighed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal, NamedTuple

if TYPE_CHECKING:
    from partmuster_trade.part import Region

    from .near import NearName

#: Words used in several regions: then no region settles them, the club's own neither.
MIXED: Final = "mixed"
#: What begins a reason for which something is not accepted.
NOT_ACCEPTED: Final = "not accepted: "


class Reading(NamedTuple):
    """A part an item key may mean; ``objections`` are reasons for which it is not accepted.

    ``part_id`` is None for "names nothing known". ``acceptable`` says whether the evidence is of
    a kind that may be accepted at all (exact names and known numbers are, likeness is not).
    """

    part_id: str | None
    probability: float
    method: str
    reasons: tuple[str, ...]
    acceptable: bool = False
    objections: tuple[str, ...] = ()
    contradicts: bool = False  # a known number's hand or position is not the line's
    namesake: bool = False  # waits only because another part has the same name
    near: NearName | None = None  # what a likeness rests on

    @property
    def accepted(self) -> bool:
        """Whether it counts in answers."""
        return self.acceptable and not self.objections

    def objected(self, *objections: str) -> Reading:
        """Return it with further reasons not to accept it, and no surer than 0.6."""
        if not any(objections):
            return self
        added = tuple(text for text in objections if text and text not in self.objections)
        if not added:
            return self
        return self._replace(
            objections=self.objections + added, probability=min(self.probability, 0.6)
        )

    def text(self) -> str:
        """Return the reasons in words, what speaks against it last."""
        # The reasons of a likeness are put into words only where somebody is told.
        reasons = self.near.reasons if self.near is not None and not self.reasons else self.reasons
        return "; ".join([*reasons, *(f"{NOT_ACCEPTED}{text}" for text in self.objections)])


class Item(NamedTuple):
    """The columns of an item key that weigh in, empty text as None.

    ``family_parts``: parts that the parts lists of its family name; empty where none is known.
    """

    key: str
    description: str | None
    number: str | None
    casting: str | None
    maker: str | None
    supply_class: str | None
    side: str | None
    position: str | None
    family: str | None
    assembly: str | None
    region: Region | Literal["mixed"] | None
    family_parts: frozenset[str] = frozenset()

"""What can serve in place of what, by a plain walk on a networkx graph: the check of the closure.

Nothing of the answers' code or database is used. A node of the graph is a part at all those builds
of which the same statements speak; a statement is an edge from each node it speaks of to each. From
the wanted part the walk goes against the edges, shortest chains first, and keeps every chain that
another one to the same part and hand does not beat in all that makes it worse.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

import networkx as nx

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

GRADES = ("as-is", "one-way", "with-work", "only-as-a-set", "unknown", "never")
LONGEST = 8


class Side(NamedTuple):
    """A part at a build, as a statement names it or as it is wanted; None = not stated."""

    part: str
    family: str | None
    mark: str | None
    phase: str | None


#: A part, and the sides of statements that speak of it.
Node = tuple[str, frozenset[Side]]


@dataclass(frozen=True, slots=True)
class Statement:
    """A fit statement in one direction. ``order``: the lowest counts first."""

    order: tuple[Any, ...]
    on: Side
    on_hand: str | None
    to: Side
    to_hand: str | None
    grade: str
    sure: bool
    backwards: bool


@dataclass(frozen=True, slots=True)
class _Chain:
    node: Node
    hand: str | None
    one_way: bool = False
    works: int = 0
    as_set: bool = False
    doubt: int = 0
    nevers: frozenset[int] = frozenset()
    path: tuple[tuple[Node, str | None], ...] = ()
    verdict: str = "link"

    @property
    def grade(self) -> str:
        """The grade of the worst link, or unknown."""
        if self.verdict == "never":
            return "never"
        if (
            self.verdict == "open" or self.works > 1 or self.doubt == 2
            or (self.doubt == 1 and len(self.path) > 1)
        ):  # fmt: skip
            return "unknown"
        if self.as_set:
            return "only-as-a-set"
        return "with-work" if self.works else "one-way" if self.one_way else "as-is"

    def beats(self, other: _Chain) -> bool:
        """Whether nothing about this chain is worse than about the other."""
        if len(self.path) == 1 and (
            self.verdict == "never" or (self.verdict == "link" and self.doubt == 0)
        ):
            return True
        return (
            self.verdict == "link" and self.one_way <= other.one_way and self.works <= other.works
            and self.as_set <= other.as_set and self.doubt <= other.doubt
            and self.nevers <= other.nevers
        )  # fmt: skip


class Fits:
    """Statements as a graph, to be asked what serves for a part."""

    def __init__(self, statements: Iterable[dict[str, Any]], builds: Iterable[Side]) -> None:
        said = [one for row in statements for one in _both_ways(row)]
        self._node_of = _nodes(said, list(builds))
        self._of_side: dict[Side, set[Node]] = defaultdict(set)
        self.members: dict[Node, list[Side]] = defaultdict(list)
        for one_of, node in self._node_of.items():
            self.members[node].append(one_of)
            for side in node[1]:
                self._of_side[side].add(node)
        self._nevers = [one for one in said if one.grade == "never" and not one.backwards]
        self._never_on: dict[Node, set[int]] = defaultdict(set)
        self._never_to: dict[Node, set[int]] = defaultdict(set)
        for number, one in enumerate(self._nevers):
            for node in self._of_side[one.on]:
                self._never_on[node].add(number)
            for node in self._of_side[one.to]:
                self._never_to[node].add(number)
        #: Of the last that was asked for: whether a chain from its own node serves best there, and
        #: the grade of what is said of that node itself.
        self.leads_back = False
        self.said_of_itself: str | None = None
        self.graph: nx.MultiDiGraph[Node] = nx.MultiDiGraph()
        for one in said:
            for node in self._of_side[one.on]:
                for to in self._of_side[one.to]:
                    self.graph.add_edge(node, to, said=one)

    def serving(self, wanted: Side, hand: str | None) -> dict[tuple[Node, str | None], str]:
        """Return the grade of everything that is told to serve, or not to, for a part."""
        target = self._node_of.get(wanted)
        if target is None or target not in self.graph:
            return {}
        start = _Chain(target, hand, nevers=self._wanted_by(target, hand), path=())
        kept: dict[tuple[Node, str | None], list[_Chain]] = defaultdict(list)
        ends = [start]
        for _ in range(LONGEST):
            found: dict[tuple[Node, str | None], list[_Chain]] = defaultdict(list)
            for chain in ends:
                for longer in self._longer(chain, (target, hand)):
                    found[longer.node, longer.hand].append(longer)
            ends = []
            for place, chains in found.items():
                new = [c for c in chains if not any(k.beats(c) for k in kept[place])]
                kept[place] += new
                ends += [
                    c for c in new
                    if c.verdict == "link" and place not in (*c.path[:-1], (target, hand))
                ]  # fmt: skip
        best = {place: min(chains, key=_counts) for place, chains in kept.items() if chains}
        self.leads_back = (target, hand) in best and len(best[target, hand].path) > 1
        direct = [c for c in kept[target, hand] if len(c.path) == 1]
        self.said_of_itself = min(direct, key=_counts).grade if direct else None
        return {place: chain.grade for place, chain in best.items()}

    def _wanted_by(self, node: Node, hand: str | None) -> frozenset[int]:
        return frozenset(n for n in self._never_to[node] if self._nevers[n].to_hand in (None, hand))

    def _longer(self, chain: _Chain, target: tuple[Node, str | None]) -> Iterator[_Chain]:
        """Return the chains that are one link longer."""
        for node in self.graph.predecessors(chain.node):
            by_hand: dict[str | None, list[Statement]] = defaultdict(list)
            for edge in self.graph[node][chain.node].values():
                one = edge["said"]
                if one.to_hand not in (None, chain.hand) and not (
                    chain.hand is None and one.grade != "never"
                ):
                    continue
                # a hand that only the source names is that of the wanted part
                by_hand[one.on_hand or chain.hand or one.to_hand].append(one)
            for hand, several in by_hand.items():
                yield from self._by(chain, node, hand, several, target)

    def _by(
        self, chain: _Chain, node: Node, hand: str | None, several: list[Statement],
        target: tuple[Node, str | None],
    ) -> Iterator[_Chain]:  # fmt: skip
        """Return the chain by the statement that counts most, if there is one."""
        best = min(several, key=lambda one: one.order)
        link = min((one for one in several if one.grade != "never"), key=lambda one: one.order,
                   default=None)  # fmt: skip
        met = [
            self._nevers[n] for n in self._never_on[node] & chain.nevers
            if self._nevers[n].on_hand in (None, hand)
        ]  # fmt: skip
        never = any(one.sure for one in met) or (best.grade == "never" and best.sure)
        first = not chain.path
        # a chain that leads back to where it began serves for the other builds there
        if not first and (link is None or never or (node, hand) in chain.path):
            return
        by = link or best
        yield _Chain(
            node, hand, chain.one_way or by.grade == "one-way",
            min(2, chain.works + (by.grade == "with-work")),
            chain.as_set or by.grade == "only-as-a-set",
            max(chain.doubt, 2 if any(not one.sure for one in met) else int(not by.sure)),
            chain.nevers | self._wanted_by(node, hand), (*chain.path, (node, hand)),
            "never" if never else "open" if link is None else "link",
        )  # fmt: skip


def _counts(chain: _Chain) -> tuple[Any, ...]:
    return (
        chain.verdict != "never", chain.grade == "unknown", chain.verdict == "open", chain.doubt,
        GRADES.index(chain.grade), len(chain.path),
    )  # fmt: skip


def _both_ways(row: dict[str, Any]) -> Iterator[Statement]:
    """Return a statement, and what it says of the other direction."""
    on = Side(row["part_id"], _folded(row["family"]), row["mark"], row["phase"])
    to = Side(row["to_part_id"] or row["part_id"], _folded(row["to_family"]), row["to_mark"],
              row["to_phase"])  # fmt: skip
    to_hand = row["to_hand"] or row["hand"]
    never = row["grade"] == "never"
    rank = (0 if row["sure"] else 1) if never else 2
    yield Statement((rank, not row["sure"], False, -row["number"]), on, row["hand"], to, to_hand,
                    row["grade"], row["sure"], backwards=False)  # fmt: skip
    if row["grade"] in ("as-is", "one-way"):
        back = "never" if row["grade"] == "one-way" else "as-is"
        yield Statement((2, not row["sure"], True, -row["number"]), to, to_hand, on, row["hand"],
                        back, row["sure"], backwards=True)  # fmt: skip


def _nodes(said: list[Statement], builds: list[Side]) -> dict[Side, Node]:
    """Return the node of each part at each build that is named or known."""
    named: dict[str, set[Side]] = defaultdict(set)
    for one in said:
        named[one.on.part].add(one.on)
        named[one.to.part].add(one.to)
    nodes: dict[Side, Node] = {}
    for part, sides in named.items():
        families = {side.family for side in sides}
        at = sides | {build._replace(part=part) for build in builds if build.family in families}
        for one_of in at:
            nodes[one_of] = (part, frozenset(side for side in sides if _speaks_of(side, one_of)))
    return nodes


def _speaks_of(side: Side, one: Side) -> bool:
    return all(said in (None, its) for said, its in zip(side[1:], one[1:], strict=True))


def _folded(family: str | None) -> str | None:
    return None if family is None else family.lower()

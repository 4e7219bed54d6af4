"""Which kind of lines a table holds."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from partmuster_trade.headings import fold_heading, title_kinds

from .headings import Heading, Taken, take_fields
from .kind_words import section_kind
from .titles import surveys_one

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

_ITEM = {
    "description": 2.0, "part_number": 1.0, "casting_number": 0.0, "drawing_number": 0.0,
    "stock_number": 1.0, "maker_number": 0.0, "maker": 0.0, "supply_class": 0.0, "side": 0.0,
    "position": 0.0, "location": 0.0, "remark": 0.0,
}  # fmt: skip
_HOW_MANY = {"quantity": 1.0, "unit": 0.0}
_BUILD = {"family": 0.0, "assembly": 0.0, "mark": 0.0, "phase": 0.0, "build": 0.0,
          "effectivity": 0.0}  # fmt: skip
_WHO_WHEN = {"date": 0.0, "said_by": 0.0, "remark": 0.0}

#: The fields a table of each kind may have, and how much each speaks for the kind.
#: Weighed by what tells the kinds apart in practice (common practice, no source).
KIND_FIELDS: dict[str, dict[str, float]] = {
    "holding": {**_ITEM, **_HOW_MANY, **_BUILD, **_WHO_WHEN, "condition": 2, "availability": 2,
                "price": 2, "making": 1, "holder": 2, "owner": 2, "place": 2, "from_vehicle": 2,
                "item_number": 0, "gone": 1, "gone_to": 2, "gone_on": 2, "had": 1},
    "requirement": {**_ITEM, **_HOW_MANY, **_BUILD, **_WHO_WHEN, "effectivity": 2, "figure": 3,
                    "item_number": 1, "level": 2, "needed_for": 3, "quantity_basis": 2,
                    "first_serial": 3, "last_serial": 3,
                    "parent_words": 1, "attaching": 2, "companions": 2, "mated_set": 2,
                    "superseded_by": 3},
    "want": {**_ITEM, **_HOW_MANY, **_BUILD, **_WHO_WHEN, "holder": 1.5, "vehicle": 2, "since": 3,
             "status": 1, "condition": 0, "price": 0, "item_number": 0},
    "survey": {**_ITEM, **_HOW_MANY, **_WHO_WHEN, "assembly": 0.5, "vehicle": 2, "presence": 3,
               "condition": 1, "making": 1, "item_number": 0, "later_change": 1, "change_by": 1,
               "change_when": 0, "displaced": 1, "change_stays": 1},
    "fit": {**_ITEM, **_BUILD, **_WHO_WHEN, "build": 1, "to_description": 2, "to_part_number": 2,
            "to_build": 3, "to_family": 2, "to_mark": 2, "to_phase": 2, "to_side": 2,
            "to_position": 2, "fit_grade": 3, "work": 3, "companions": 2, "reason": 2,
            "supersedes": 4, "superseded_by": 0},
    "vehicle": {**_WHO_WHEN, "vehicle": 2, "club_number": 2, "works_number": 2,
                "service_number": 2, "civil_number": 3, "family": 1, "mark": 1, "phase": 1,
                "build": 1, "assembly": 1, "hull_serial": 3, "engine_serial": 3, "series": 1,
                "serial": 1, "owner": 1, "keeper": 2, "place": 1, "role": 3, "aim": 3,
                "aim_target": 2, "owner_agrees": 2},
    "holder": {**_WHO_WHEN, "holder": 2, "code": 2, "known_as": 2, "region": 1, "town": 2,
               "country": 1, "phone": 3, "email": 3, "address": 2},
    "place": {**_WHO_WHEN, "place": 2, "keeper": 1, "region": 1, "address": 1, "latitude": 3,
              "longitude": 3},
    "build": {**_WHO_WHEN, "family": 1, "assembly": 1, "mark": 1, "phase": 1, "build": 1,
              "series": 2, "first_serial": 3, "last_serial": 3, "feature": 2, "feature_value": 2,
              "likelihood": 3, "feature_group": 3, "changeable": 3, "evidence": 1,
              "effectivity": 1, "with_build": 3, "with_assembly": 3, "with_mark": 2,
              "with_phase": 2},
    "feature": {**_WHO_WHEN, "vehicle": 2, "assembly": 1, "feature": 3, "feature_value": 2,
                "evidence": 3, "presence": 1, "location": 0},
    "history": {**_WHO_WHEN, "vehicle": 2, "assembly": 1, "statement": 3, "conclusion": 3,
                "happened_on": 2, "said_by": 1},
    "promise": {**_ITEM, **_HOW_MANY, **_WHO_WHEN, "holder": 1, "vehicle": 1, "stage": 5},
    "lead": {**_ITEM, **_HOW_MANY, **_BUILD, **_WHO_WHEN, "holder": 1, "place": 1, "statement": 2,
             "said_by": 1},
}  # fmt: skip

_AN_ITEM = frozenset({"description", "part_number", "stock_number"})
#: Of each group a table of the kind must have one field; ``vehicle`` may come from its title.
_MUST: dict[str, tuple[frozenset[str], ...]] = {
    "holding": (_AN_ITEM,),
    "requirement": (_AN_ITEM,),
    "want": (_AN_ITEM,),
    "survey": (_AN_ITEM, frozenset({"presence", "condition"}), frozenset({"vehicle"})),
    "fit": (_AN_ITEM | {"to_description"}, frozenset({"fit_grade", "to_build", "to_description",
                                                      "to_mark", "to_part_number",
                                                      "supersedes"})),
    "vehicle": (frozenset({"vehicle", "club_number", "hull_serial", "civil_number",
                           "service_number", "works_number"}),),
    "holder": (frozenset({"holder"}), frozenset({"code", "region", "town", "phone", "email",
                                                 "address", "country", "known_as"})),
    "place": (frozenset({"place"}), frozenset({"keeper", "region", "address", "latitude"})),
    "build": (frozenset({"mark", "phase", "build", "effectivity"}),
              frozenset({"first_serial", "last_serial", "series", "feature", "with_build",
                         "with_assembly", "effectivity"})),
    "feature": (frozenset({"vehicle"}), frozenset({"feature"})),
    "history": (frozenset({"vehicle"}), frozenset({"statement"})),
    "promise": (frozenset({"stage"}), _AN_ITEM),
    "lead": (_AN_ITEM | {"statement"}, frozenset({"holder", "place", "said_by", "statement"})),
}  # fmt: skip
#: A lead needs words that say so: a list of parts, holders and places is a list of holdings.
_ONLY_IF_TOLD = frozenset({"lead"})
_MIN_SCORE = 3.0
#: "Surplus to my needs", "No longer wanted": a title of what is held, and no want.
_LEFT_OVER = re.compile(
    r" (?:(?:surplus|excess) to (?:\w+ ){0,2}(?:needs?|requirements?|wants?)|"
    r"(?:no longer|not|never) (?:needed|wanted|required)|i dont (?:need|want)) "
)


@dataclass(frozen=True, slots=True)
class KindTaken:
    """The kind of a table's lines (None: not clear), the field of each column, and why."""

    kind: str | None
    fields: dict[str, Taken]
    reason: str


def kinds_in_titles(titles: Sequence[tuple[str, float]]) -> dict[str, float]:
    """Return how strongly titles (text, weight) speak for each kind.

    "Spares wanted" speaks for wants: words for holdings give way to any others.
    """
    spoken: dict[str, float] = {}
    for text, weight in titles:
        folded = _LEFT_OVER.sub(" surplus ", f" {fold_heading(text)} ")
        found = {kind for words, kind in title_kinds().items() if f" {words} " in folded}
        if not found and (kind := section_kind(text)) is not None:
            found = {kind}  # a sheet called "Have"
        if not found - {"holding"} and surveys_one(text):
            found = {"survey"}  # "State of Otter 4"
        if len(found) > 1:
            found.discard("holding")
        for kind in found:
            spoken[kind] = max(spoken.get(kind, 0.0), weight)
    return spoken


def take_kind(
    headings: Sequence[Heading], titles: Mapping[str, float], given: Sequence[str],
    told: str | None = None,
) -> KindTaken:  # fmt: skip
    """Return the kind of lines a table with these headings holds.

    ``titles``: from :func:`kinds_in_titles`. ``given``: fields its title or a person's answer
    gives for all rows. ``told``: the kind a person named, which rules.
    """
    if told in KIND_FIELDS:
        return KindTaken(told, take_fields(headings, told, KIND_FIELDS[told], given), "told")
    best: tuple[float, str, dict[str, Taken]] | None = None
    for kind, weights in KIND_FIELDS.items():
        fields = take_fields(headings, kind, weights, given)
        have = {taken.field for taken in fields.values()}
        # A sheet headed "Survey" is one, even if it forgets to say of which vehicle.
        named = "vehicle" in given or (kind == "survey" and kind in titles)
        with_given = have | ({"vehicle"} if named else set())
        told_by_words = kind in titles or any(t.tells == kind for t in fields.values())
        must = _MUST[kind]
        if kind == "fit" and told_by_words and len(headings) == 1:
            must = must[:1]  # whole sentences: "late guard goes on early"
        if any(not group & with_given for group in must):
            continue
        if kind in _ONLY_IF_TOLD and not told_by_words:
            continue
        score = sum(weights[field] for field in have) + titles.get(kind, 0.0)
        score += 2.0 * sum(taken.tells == kind for taken in fields.values())
        score -= sum(1.0 for h in headings if h.meanings and h.column not in fields)
        if best is None or score > best[0]:
            best = (score, kind, fields)
    if best is None or best[0] < _MIN_SCORE:
        return KindTaken(None, {}, "headings fit no kind of line")
    _, kind, fields = best
    if unclear := _unclear(kind, headings, fields, titles, vehicle_given="vehicle" in given):
        return KindTaken(None, {}, unclear)
    told_by_title = "title and headings" if kind in titles else "headings"
    return KindTaken(kind, fields, told_by_title)


def _unclear(
    kind: str, headings: Sequence[Heading], fields: Mapping[str, Taken],
    titles: Mapping[str, float], *, vehicle_given: bool,
) -> str | None:  # fmt: skip
    """Return why a person must say what a table lists, though its headings speak for a kind."""
    if kind == "holding" and "survey" in titles and "holding" not in titles:
        return "a survey, but no column says what was found"
    if kind == "want" and vehicle_given and not titles and _found(headings, fields):
        return "wants that are found, or what was found on the vehicle"
    return _not_clearly_held(headings, fields, titles) if kind == "holding" else None


def _found(headings: Sequence[Heading], fields: Mapping[str, Taken]) -> bool:
    """Tell whether a table is of wants for a column alone that may say what was seen: "Found"."""
    own = {taken.field for taken in fields.values()} & {"status", "since", "vehicle", "holder"}
    meant = {heading.column: {m.field for m in heading.meanings} for heading in headings}
    return own == {"status"} and any(
        "presence" in meant[column] for column, taken in fields.items() if taken.field == "status"
    )


#: Of columns without a balance: what came, and what went (common practice, no source).
_CAME = frozenset({"in", "came in", "qty in", "received", "bought", "came"})
_WENT = frozenset({"out", "went out", "qty out", "issued", "went", "used"})
_A_VEHICLE = re.compile(r"[A-Z][a-z]{2,} ?\d{1,3}[A-Za-z]?")


def _not_clearly_held(
    headings: Sequence[Heading], fields: Mapping[str, Taken], titles: Mapping[str, float]
) -> str | None:
    """Return why a table may not be of what is held as it stands, or None."""
    named = {fold_heading(heading.text) for heading in headings if heading.text}
    own = {taken.field for taken in fields.values()}
    if named & _CAME and named & _WENT and "quantity" not in own:
        return "what came in and what went out, and not what is left"
    described = [h for h in headings if h.column in fields
                 and fields[h.column].field == "description" and h.content]  # fmt: skip
    vehicles = all(
        _A_VEHICLE.fullmatch(text)
        for h in described
        for text in h.content.examples  # type: ignore[union-attr]
    )
    may = {"effectivity", "mark", "family", "build"} & own and "quantity" not in own
    return "vehicles, or parts" if described and vehicles and may and not titles else None

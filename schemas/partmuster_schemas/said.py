"""What a line of each kind must be: one pandera model a kind.

Lines hold what a source said, in typed form, beside the words it was said in. Which part, vehicle
or person is meant is concluded elsewhere (``records.Identification``).
"""

from __future__ import annotations

import pandera.polars as pa
import polars as pl

from . import words as w
from .columns import about


class SaidLine(pa.DataFrameModel):
    """Columns that every kind of line has: identity, origin, dates, and how sure it is."""

    line_id: pl.String = about(
        "permanent id of the statement: hash of source, kind, subject, words, side, "
        "holder or vehicle, occurrence",
        "circulated", nullable=False,
    )  # fmt: skip
    revision: pl.Int32 = about("1 for the first value, one more for each changed value",
                                "circulated", nullable=False, ge=1)  # fmt: skip
    source_id: pl.String = about("the source that says it", "members", nullable=False)
    source_version: pl.Int32 = about("version of the source in which this revision began",
                                      "members", nullable=False)  # fmt: skip
    words: pl.String = about("the words of the source", nullable=False)
    section: pl.String = about("the section row, title or sheet it stood under")
    remark: pl.String = about("what else stood in the row")
    sure: pl.Boolean = about("false where the source hedges", "members", nullable=False)
    first_hand: pl.Boolean = about("false for hearsay", "members", nullable=False)
    withdrawn: pl.Boolean = about("struck through in the source: it says so no more", "members")
    said_by: pl.String = about("who says so, where the line names somebody")
    rule: pl.String = about("the rule that read it, of a statement in prose", "members")
    said_on: pl.Date = about("the day it was said", "circulated", nullable=False)
    said_on_basis: pl.String = about("what gave that day", "circulated", nullable=False,
                                      isin=w.SAID_ON_BASES)  # fmt: skip
    said_until: pl.Date = about("the day from which the source says otherwise", "circulated")
    recorded_from: pl.Datetime = about("when the club's records took it in", "circulated")
    recorded_to: pl.Datetime = about("when a newer version replaced it", "circulated")
    values_hash: pl.String = about("tells a changed value from an unchanged one")

    class Config:
        """Frames are cast before they are checked, so nothing is coerced here."""

        strict = True
        coerce = False


class ItemWords(pa.DataFrameModel):
    """How a line describes a part: words, numbers, side and position."""

    description: pl.String = about("the part in the source's words")
    item_key: pl.String = about("same words, numbers and context: same key", "circulated")
    part_number: pl.String = about("part number as written", "circulated")
    part_number_normal: pl.String = about("part number without separators", "circulated")
    casting_number: pl.String = about("casting number, often shared by both hands", "circulated")
    drawing_number: pl.String = about("drawing number", "circulated")
    stock_number: pl.String = about("stock number as written", "circulated")
    maker_number: pl.String = about("the maker's own number", "circulated")
    maker: pl.String = about("who made it", "circulated")
    supply_class: pl.String = about("four-digit supply class", "circulated")
    side: pl.String = about("side as said; near and off stay so while no country is known",
                             "circulated", isin=w.SIDES)  # fmt: skip
    position: pl.String = about("position words in fixed order, such as 'front upper'",
                                 "circulated")  # fmt: skip
    location: pl.String = about("where it sits: wheel station, bank, axle", "circulated")


class Quantity(pa.DataFrameModel):
    """How many: a range with the words it came from."""

    at_least: pl.Float64 = about("how many there surely are, in units", "circulated", ge=0)
    at_most: pl.Float64 = about("how many there can be; empty where open", "circulated", ge=0)
    quantity_text: pl.String = about("quantity as written")
    unit: pl.String = about("unit the quantity counts in", "circulated")


class Build(pa.DataFrameModel):
    """A build standard, as far as it is said."""

    family: pl.String = about("basic vehicle, over all its marks", "circulated")
    assembly: pl.String = about("assembly id", "circulated")
    mark: pl.String = about("named variant, 'Mk 2'", "circulated")
    phase: pl.String = about("early, mid or late within the mark", "circulated", isin=w.PHASES)


class Requirement(SaidLine, ItemWords, Quantity):
    """A parts-list line: these builds have this part here, so many off."""

    family: pl.String = about("basic vehicle the list is for", "circulated")
    assembly: pl.String = about("assembly the part belongs to", "circulated")
    effectivity_text: pl.String = about("used-on as written")
    all_builds: pl.Boolean = about("true where no build or serial is named", "circulated",
                                    nullable=False)  # fmt: skip
    quantity_basis: pl.String = about("per vehicle, per figure, or per next higher assembly",
                                       "circulated",
                                       isin=("vehicle", "figure", "assembly"))  # fmt: skip
    quantity_special: pl.String = about("as-required, reference, variable, not-procurable",
                                         "circulated")  # fmt: skip
    needed_for: pl.String = about("aims it counts for, where the list says so; ';' between",
                                   "circulated")  # fmt: skip
    figure: pl.String = about("figure or page in the list", "circulated")
    item_number: pl.String = about("item in the figure", "circulated")
    level: pl.Int32 = about("indenture below the figure's assembly", "circulated")
    parent_words: pl.String = about("the line it belongs under")
    attaching: pl.Boolean = about("an attaching part of the line above", "circulated")
    companions_text: pl.String = about("what must come with it, as written")
    mated_set: pl.String = about("name of the set worked together", "circulated")
    superseded_by: pl.String = about("number that took its place", "circulated")


class Holding(SaidLine, ItemWords, Quantity, Build):
    """A loose part somebody has."""

    holder: pl.String = about("who has it, as said", "members")
    holder_key: pl.String = about("holder, folded for comparing", "members")
    owner: pl.String = about("whose it is, where that differs", "members")
    owner_key: pl.String = about("owner, folded for comparing", "members")
    place: pl.String = about("where it is kept")
    place_key: pl.String = about("place, folded for comparing")
    availability: pl.String = about("offered, swap, kept, promised or unknown", "circulated",
                                     nullable=False, isin=w.AVAILABILITIES)  # fmt: skip
    service: pl.String = about("does it work", "circulated", nullable=False, isin=w.SERVICES)
    making: pl.String = about("original, or made since", "circulated", nullable=False,
                               isin=w.MAKINGS)  # fmt: skip
    grade: pl.String = about("condition", "circulated", nullable=False,
                              isin=w.CONDITION_GRADES)  # fmt: skip
    condition_text: pl.String = about("condition as written")
    unserviceable: pl.Float64 = about("how many of them do not work", "circulated", ge=0)
    effectivity_text: pl.String = about("builds it is for, as written")
    all_builds: pl.Boolean = about("said to be for every build", "circulated", nullable=False)
    from_vehicle: pl.String = about("vehicle it came off, as said", "members")
    surplus: pl.Boolean = about("left over by a restoration", "circulated", nullable=False)
    gone: pl.Boolean = about("struck through: sold or used", "circulated", nullable=False)
    price: pl.String = about("price or swap, as written")


class Want(SaidLine, ItemWords, Quantity, Build):
    """A part somebody is looking for."""

    holder: pl.String = about("who wants it, as said", "members")
    holder_key: pl.String = about("holder, folded for comparing", "members")
    vehicle: pl.String = about("for which vehicle, as said", "members")
    vehicle_key: pl.String = about("vehicle, folded for comparing", "members")
    since: pl.Date = about("wanted since", "circulated")
    closed: pl.Boolean = about("found or withdrawn", "circulated", nullable=False)


class Survey(SaidLine, ItemWords, Quantity):
    """What was seen of one item on one vehicle on one day."""

    vehicle: pl.String = about("vehicle as said", "members", nullable=False)
    vehicle_key: pl.String = about("vehicle, folded for comparing", "members")
    assembly: pl.String = about("assembly it stood under", "circulated")
    presence: pl.String = about("fitted, missing, stand-in ...", "circulated", nullable=False,
                                 isin=w.PRESENCES)  # fmt: skip
    service: pl.String = about("does it work", "circulated", nullable=False, isin=w.SERVICES)
    making: pl.String = about("original, or made since", "circulated", nullable=False,
                               isin=w.MAKINGS)  # fmt: skip
    accepted_stand_in: pl.Boolean = about("owner is not hunting for the original", "circulated",
                                           nullable=False)  # fmt: skip
    quantified: pl.Boolean = about("a quantity was stated", "circulated", nullable=False)
    of_total: pl.Float64 = about("the 8 in '3 of 8'", "circulated", ge=0)
    condition_text: pl.String = about("state as written")
    later_change: pl.Boolean = about("made after it left the works", "circulated")
    change_by: pl.String = about("who made the later change, as said", "members")
    change_when: pl.String = about("when it was made, as said", "circulated")
    displaced: pl.String = about("what the later change took the place of, as said")
    change_stays: pl.String = about("is the later change kept, reversed or undecided", "circulated",
                                     isin=w.CHANGE_STAYS)  # fmt: skip


class Fit(SaidLine, ItemWords):
    """A statement that one part at a build goes, or does not go, in place of another.

    The ``ItemWords`` describe the part that is put on; ``to_`` columns where it is put.
    """

    family: pl.String = about("family it comes from", "circulated")
    assembly: pl.String = about("assembly it comes from", "circulated")
    mark: pl.String = about("mark it comes from; empty = any", "circulated")
    phase: pl.String = about("phase it comes from; empty = any", "circulated", isin=w.PHASES)
    to_description: pl.String = about("the part it takes the place of, as said")
    to_item_key: pl.String = about("key of those words", "circulated")
    to_part_number: pl.String = about("number it takes the place of", "circulated")
    to_side: pl.String = about("side it is put on", "circulated", isin=w.SIDES)
    to_position: pl.String = about("position it is put in", "circulated")
    to_family: pl.String = about("family it goes on", "circulated")
    to_mark: pl.String = about("mark it goes on; empty = any", "circulated")
    to_phase: pl.String = about("phase it goes on; empty = any", "circulated", isin=w.PHASES)
    fit_grade: pl.String = about("as is, one way, with work, only as a set, never",
                                  "circulated", nullable=False, isin=w.GRADES)  # fmt: skip
    work: pl.String = about("the work it takes")
    alters: pl.String = about("what the work alters", "circulated", isin=w.ALTERED)
    can_be_undone: pl.Boolean = about("the work can be undone", "circulated")
    companions_text: pl.String = about("what must come with it")
    reason: pl.String = about("why")


class Vehicle(SaidLine, Build):
    """What a register says of a vehicle; with an assembly, of that assembly on it."""

    vehicle: pl.String = about("the vehicle's name in the club", "members", nullable=False)
    vehicle_key: pl.String = about("vehicle, folded for comparing", "members")
    club_number: pl.String = about("number in the club's register", "circulated")
    works_number: pl.String = about("number given at the works", "members")
    service_number: pl.String = about("number in service", "members")
    civil_number: pl.String = about("civil registration", "members")
    series: pl.String = about("named serial series: hull, engine ...", "circulated")
    serial: pl.String = about("serial as written", "members")
    serial_value: pl.Int64 = about("serial as a number", "members", ge=0)
    owner: pl.String = about("owner as said", "members")
    owner_key: pl.String = about("owner, folded for comparing", "members")
    keeper: pl.String = about("who keeps it, as said", "members")
    keeper_key: pl.String = about("keeper, folded for comparing", "members")
    place: pl.String = about("where it is kept")
    place_key: pl.String = about("place, folded for comparing")
    role: pl.String = about("kept whole, under restoration, hulk, breaking, on loan",
                             "circulated", isin=w.ROLES)  # fmt: skip
    aim: pl.String = about("what the owner wants it to be", "circulated", isin=w.AIMS)
    aim_target: pl.String = about("to what: works, as served, a date", "circulated")
    owner_agrees: pl.Boolean = about("owner agrees to parts being taken", "circulated")


class Holder(SaidLine):
    """A member, or somebody else who holds, owns or wants things."""

    holder: pl.String = about("name", "members", nullable=False)
    holder_key: pl.String = about("holder, folded for comparing", "members")
    code: pl.String = about("code used in circulated copies", "circulated")
    known_as: pl.String = about("other names; ';' between", "members")
    region: pl.String = about("region", "circulated")
    town: pl.String = about("town")
    country: pl.String = about("two-letter country code (ISO 3166-1)", "circulated")
    phone: pl.String = about("telephone")
    email: pl.String = about("e-mail")
    address: pl.String = about("address")


class Place(SaidLine):
    """A place where vehicles or parts are kept."""

    place: pl.String = about("name of the place", nullable=False)
    place_key: pl.String = about("place, folded for comparing")
    keeper: pl.String = about("whose it is, as said", "members")
    keeper_key: pl.String = about("keeper, folded for comparing", "members")
    region: pl.String = about("region", "circulated")
    address: pl.String = about("address")
    latitude: pl.Float64 = about("degrees north (WGS 84)", ge=-90, le=90)
    longitude: pl.Float64 = about("degrees east (WGS 84)", ge=-180, le=180)


class BuildStandard(SaidLine, Build):
    """What one assembly was built to, and a feature that tells it."""

    series: pl.String = about("named serial series", "circulated")
    first_serial: pl.Int64 = about("first serial of the build", "circulated", ge=0)
    last_serial: pl.Int64 = about("last serial; empty = open", "circulated", ge=0)
    feature: pl.String = about("feature that tells this build", "circulated")
    likelihood: pl.String = about("usual, possible or unlikely", "circulated",
                                   isin=w.LIKELIHOODS)  # fmt: skip
    feature_group: pl.String = about("features that come together", "circulated")
    changeable: pl.Boolean = about("can be changed later", "circulated")
    with_assembly: pl.String = about("left the works with this other assembly", "circulated")
    with_mark: pl.String = about("of this mark", "circulated")
    with_phase: pl.String = about("of this phase", "circulated", isin=w.PHASES)


class Feature(SaidLine):
    """Something seen on a vehicle that may tell its build."""

    vehicle: pl.String = about("vehicle as said", "members", nullable=False)
    vehicle_key: pl.String = about("vehicle, folded for comparing", "members")
    assembly: pl.String = about("assembly it was seen on", "circulated")
    feature: pl.String = about("what was seen", nullable=False)
    feature_value: pl.String = about("what it read or measured")
    evidence: pl.String = about("construction, plate, casting, date code, part number, wear",
                                 "circulated")  # fmt: skip
    seen: pl.Boolean = about("false where it was looked for and not found", "circulated")


class History(SaidLine):
    """What is told of a vehicle; words, conclusion and speaker kept apart."""

    vehicle: pl.String = about("vehicle as said", "members", nullable=False)
    vehicle_key: pl.String = about("vehicle, folded for comparing", "members")
    assembly: pl.String = about("assembly it is about", "circulated")
    statement: pl.String = about("what was seen or told", nullable=False)
    conclusion: pl.String = about("what the speaker concluded from it")
    happened_on: pl.String = about("when it happened, as said")


class Promise(SaidLine, ItemWords, Quantity):
    """A holding bound to a vehicle's requirement, stage by stage."""

    holder: pl.String = about("who promised, as said", "members")
    holder_key: pl.String = about("holder, folded for comparing", "members")
    vehicle: pl.String = about("for which vehicle, as said", "members")
    vehicle_key: pl.String = about("vehicle, folded for comparing", "members")
    stage: pl.String = about("offered, agreed, collected, fitted, or withdrawn, lapsed, broken",
                              "circulated", nullable=False, isin=w.STAGES)  # fmt: skip
    holding_line_id: pl.String = about("the holding it binds", "circulated")
    requirement_line_id: pl.String = about("the requirement it serves", "circulated")


class Lead(SaidLine, ItemWords, Quantity, Build):
    """Somebody may have something somewhere."""

    holder: pl.String = about("who may have it, as said", "members")
    holder_key: pl.String = about("holder, folded for comparing", "members")
    place: pl.String = about("where it may be")
    place_key: pl.String = about("place, folded for comparing")
    statement: pl.String = about("what was said", nullable=False)


MODELS: dict[str, type[SaidLine]] = {
    "requirement": Requirement,
    "holding": Holding,
    "want": Want,
    "survey": Survey,
    "fit": Fit,
    "vehicle": Vehicle,
    "holder": Holder,
    "place": Place,
    "build": BuildStandard,
    "feature": Feature,
    "history": History,
    "promise": Promise,
    "lead": Lead,
}

"""What stands in a vehicle file, and in a yard list: sections and columns, and who may see them.

Both name a vehicle, and so are for the registrar or members: nothing here is classed wider.
"""

from __future__ import annotations

import pandera.polars as pa
import polars as pl

from . import words as w
from .answers import CONDITIONS, CORRECTNESS, EVIDENCE_SORTS, LACKING, STANDINGS, WHERE_FROM, Answer
from .columns import about
from .report import CautionLine, ReportSection

#: What a restorer makes of an item that was seen.
MADE = (
    "original", "other original", "new made to drawing", "adapted", "stand-in", "not known",
    "is not there",
)  # fmt: skip


class Identity(Answer):
    """What the register says of the vehicle."""

    fact: pl.String = about("what is told", "members", nullable=False)
    value: pl.String = about("as it is written", "members", nullable=False)
    counts: pl.Boolean = about("false for what a better statement gainsays", "members",
                                nullable=False)  # fmt: skip
    said_on: pl.Date = about("the day it was said last", "members")
    source: pl.String = about("the files that say so")
    trace: pl.String = about("line ids; ';' between", "members", nullable=False)


class BuildLine(Answer):
    """What an assembly was built to."""

    assembly: pl.String = about("assembly", "members", nullable=False)
    build: pl.String = about("mark and phase, or none of these, or converted", "members",
                              nullable=False)  # fmt: skip
    probability: pl.Float64 = about("how likely by the evidence", "members", ge=0, le=1.000001)
    standing: pl.String = about("how it is known", "members", nullable=False)
    agrees: pl.String = about("whether the evidence agrees with what somebody settled", "members")
    evidence_for: pl.String = about("what speaks for it, in order of weight")
    evidence_against: pl.String = about("what speaks against it, in order of weight")
    look_at: pl.String = about("what to look at next", "members")
    trace: pl.String = about("line and decision ids; ';' between", "members")


class EvidenceLine(Answer):
    """One piece of evidence of a build."""

    assembly: pl.String = about("assembly; empty where it names none", "members")
    build: pl.String = about("the build it speaks for or against", "members")
    evidence: pl.String = about("what was seen, read or said", nullable=False)
    sort: pl.String = about("feature, plate, serial, number, said", "members", nullable=False,
                             isin=EVIDENCE_SORTS)  # fmt: skip
    bits: pl.Float64 = about("how much it speaks for the build; below 0 against it", "members")
    not_counted: pl.String = about("why it does not count", "members")
    trace: pl.String = about("line id", "members", nullable=False)


class Fabric(Answer):
    """What was seen of an item of the vehicle."""

    assembly: pl.String = about("assembly", "members", nullable=False)
    part: pl.String = about("the part", "members", nullable=False)
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, size of hardware, or where it sits", "members")
    made: pl.String = about("original, replaced, made since, adapted, or not there", "members",
                             nullable=False, isin=MADE)  # fmt: skip
    presence: pl.String = about("fitted, off and kept for it, missing ...", "members",
                                 nullable=False, isin=w.PRESENCES)  # fmt: skip
    service: pl.String = about("does it work", "members", isin=w.SERVICES)
    later_change: pl.String = about("by whom, when, and does it stay", "members")
    words: pl.String = about("the state as written")
    seen_on: pl.Date = about("the day it was seen", "members")
    trace: pl.String = about("line id", "members", nullable=False)


class Told(Answer):
    """What is told of the vehicle's past."""

    said_on: pl.Date = about("the day it was said", "members")
    happened_on: pl.String = about("when it happened, as said")
    assembly: pl.String = about("assembly it is about", "members")
    statement: pl.String = about("what was seen or told", nullable=False)
    conclusion: pl.String = about("what the speaker concluded from it")
    said_by: pl.String = about("who says so")
    sure: pl.Boolean = about("false where it is hedged", "members", nullable=False)
    first_hand: pl.Boolean = about("false for hearsay", "members", nullable=False)
    source: pl.String = about("the file")
    trace: pl.String = about("line id", "members", nullable=False)


class Complete(Answer):
    """How complete the vehicle is for an aim."""

    aim: pl.String = about("for which aim", "members", nullable=False, isin=w.AIMS)
    sort: pl.String = about("part, hardware or consumable", "members", nullable=False)
    assembly: pl.String = about("assembly; empty for the whole vehicle", "members")
    required: pl.Float64 = about("how many items are required", "members")
    had: pl.Float64 = about("fitted, off and kept, or away for repair", "members")
    not_looked_at: pl.Float64 = about("not looked at", "members")
    low: pl.Float64 = about("share that it surely has", "members", ge=0, le=1)
    high: pl.Float64 = about("the same, if all that nobody looked at is there", "members", ge=0,
                              le=1)  # fmt: skip


class OwnLack(Answer):
    """What the vehicle lacks."""

    assembly: pl.String = about("assembly", "members", nullable=False)
    part: pl.String = about("the part; empty for a whole assembly", "members")
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    state: pl.String = about("missing, unserviceable, stand-in, not looked at ...", "members",
                              nullable=False, isin=LACKING)  # fmt: skip
    quantity: pl.Float64 = about("how many are in this state", "members")
    required: pl.Float64 = about("how many the vehicle should have", "members")
    needed_for: pl.String = about("aims for which it counts", "members")
    seen_on: pl.Date = about("day of the survey that says so", "members")
    depends_on: pl.String = about("the remaining builds on which it depends", "members")
    disagrees: pl.String = about("what others say, with where it stands")
    basis: pl.String = about("which requirement: file, row, words")
    trace: pl.String = about("line ids; ';' between", "members")


class SourceOfVehicle(Answer):
    """A source that says something of the vehicle."""

    source: pl.String = about("the file")
    first_said: pl.Date = about("the first day it tells of", "members")
    last_said: pl.Date = about("the last day it tells of", "members")


class Take(Answer):
    """Something to take at a yard, for a vehicle that lacks it."""

    vehicle: pl.String = about("the vehicle that lacks it", "members")
    part: pl.String = about("the part", "members", nullable=False)
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    lacking: pl.Float64 = about("how many are lacking", "members")
    source: pl.String = about("who has it, or the vehicle it is on", "members")
    from_: pl.String = pa.Field(alias="from", nullable=True, isin=WHERE_FROM, metadata={
        "doc": "kind of place it is taken from", "audience": "members"})  # fmt: skip
    standing: pl.String = about("offered, or ask first", "members", isin=STANDINGS)
    fit: pl.String = about("as is, one way, with work, only as a set", "members", isin=w.GRADES)
    correctness: pl.String = about("is it right for the vehicle's build", "members",
                                    isin=CORRECTNESS)  # fmt: skip
    condition: pl.String = about("condition, or unserviceable", "members", isin=CONDITIONS)
    reason: pl.String = about("why it fits, and what to ask")
    work: pl.String = about("the work it takes, as said")
    companions: pl.String = about("what must come with it")
    place: pl.String = about("where it is kept")
    caution: pl.String = about("what is dangerous about the part", "members")
    taken: pl.String = about("to be written: how many were taken", "members")
    remark: pl.String = about("to be written: what was found", "members")
    trace: pl.String = about("line ids; ';' between", "members")


class Refuse(Answer):
    """A look-alike that never goes there."""

    vehicle: pl.String = about("the vehicle it does not go on", "members")
    part: pl.String = about("the part that is lacking", "members", nullable=False)
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    source: pl.String = about("who has it, or the vehicle it is on", "members")
    reason: pl.String = about("why it never goes")
    place: pl.String = about("where it is kept")
    trace: pl.String = about("line ids; ';' between", "members")


class Measure(Answer):
    """Something that may go: to be looked at, measured and asked about before it is taken."""

    vehicle: pl.String = about("the vehicle that lacks it", "members")
    part: pl.String = about("the part", "members", nullable=False)
    hand: pl.String = about("left or right", "members", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware", "members")
    source: pl.String = about("who has it, or the vehicle it is on", "members")
    standing: pl.String = about("offered, or ask first", "members", isin=STANDINGS)
    to_check: pl.String = about("what to look at, measure or ask", "members")
    reason: pl.String = about("what is known, as said")
    place: pl.String = about("where it is kept")
    found: pl.String = about("to be written: what was found", "members")
    trace: pl.String = about("line ids; ';' between", "members")


VEHICLE_FILE: dict[str, ReportSection] = {
    "identities": ReportSection(
        Identity, "What it is", "Names and numbers, with what better statements gainsay.",
        "members", "The register says nothing of it.",
    ),
    "complete": ReportSection(
        Complete, "How complete it is",
        "For the aim of its owner, or for each, as a range: what it surely has, and what it has if "
        "all that nobody looked at is there.", "members", "Nothing is required of it.",
    ),
    "builds": ReportSection(
        BuildLine, "What each assembly was built to",
        "Every candidate that remains, with what tells it. A vehicle whose assemblies disagree is "
        "a hybrid.", "members", "Nothing is known of its builds.",
    ),
    "evidence": ReportSection(
        EvidenceLine, "The evidence of its builds",
        "What was seen, read or said, and how much it speaks for a build, in bits.",
        "members", "No evidence of a build was seen.",
    ),
    "fabric": ReportSection(
        Fabric, "What is original, replaced, new-made or adapted",
        "The best statement about each item that was looked at.",
        "members", "Nobody has surveyed it.",
    ),
    "told": ReportSection(
        Told, "What is told of it", "Words, conclusion and speaker kept apart.",
        "members", "Nothing is told of its past.",
    ),
    "lacks": ReportSection(
        OwnLack, "What it lacks",
        "For the aim of its owner, or for each.",
        "members", "It lacks nothing, as far as is known.",
    ),
    "cautions": ReportSection(
        CautionLine, "Cautions",
        "For parts named above. Local law and licensed practice decide what may be done, and by "
        "whom.", "members", "None of the parts named carries a caution.",
    ),
    "sources": ReportSection(
        SourceOfVehicle, "What this rests on", "The sources that say something of the vehicle.",
        "members", "No source says anything of it.",
    ),
}  # fmt: skip

YARD_LIST: dict[str, ReportSection] = {
    "take": ReportSection(
        Take, "Take this",
        "What is lacking, goes on, and is offered or may be asked for; the best first. Write down "
        "how many you took, and what you found.",
        "members", "Nothing there is known to go on what is lacking.",
    ),
    "refuse": ReportSection(
        Refuse, "Refuse this look-alike", "It has the name, and never goes there.",
        "members", "No look-alike is known.",
    ),
    "measure": ReportSection(
        Measure, "Measure this, and ask",
        "It may go on: nobody has said, or something is not stated. Write down what you found.",
        "members", "Nothing has to be measured.",
    ),
    "cautions": ReportSection(
        CautionLine, "Cautions",
        "For the parts above. Heavy assemblies are for people with rated gear and the licence for "
        "it; local law and licensed practice decide.",
        "members", "None of the parts above carries a caution.",
    ),
}  # fmt: skip

"""What each answer's columns mean, and who may see them.

One pandera model an answer, in the order of its columns; ``ANSWERS`` names them. The SQL is in
``sql/answers_*.sql``.
"""

from __future__ import annotations

import pandera.polars as pa
import polars as pl

from . import words as w
from .columns import about

#: States of an item that count as lacking.
LACKING = ("missing", "unserviceable", "stand-in", "not-looked-at", "build-not-known")
#: States shown on top of those when everything is asked for.
NOT_LACKING = (
    "fitted", "off-and-kept", "away-for-repair", "stand-in accepted", "stand-in serves",
    "later change serves", "not-there-to-be-fitted",
)  # fmt: skip
#: Where a part is taken from, in order of preference; empty for a vehicle that is not for breaking.
WHERE_FROM = (
    "loose spare offered",
    "surplus left over by a restoration",
    "hulk being broken",
    "incomplete hulk, if its owner agrees",
    "loose, not known to be offered",
)
STANDINGS = ("offered", "ask first", "not offered")
CORRECTNESS = ("correct", "goes on, not correct for it", "unknown")
CONDITIONS = (*w.CONDITION_GRADES, "unserviceable")
#: Where a build comes from; of an assembly that somebody settled, the other candidates are
#: "settled otherwise".
BUILD_STANDINGS = (
    "set by the registrar", "stated", "told by features", "by the vehicle's mark", "not settled",
    "possible", "unlikely", "settled otherwise",
)  # fmt: skip
#: What evidence of a build is.
EVIDENCE_SORTS = ("feature", "plate", "serial", "number", "said")


class Answer(pa.DataFrameModel):
    """Exact columns, in order."""

    class Config:
        """Answers are cast by the database."""

        strict = True
        ordered = True
        coerce = False


class Lack(Answer):
    """One row per vehicle, assembly, item and state."""

    vehicle: pl.String = about("the vehicle's name", "members")
    assembly: pl.String = about("assembly id", "circulated", nullable=False)
    build: pl.String = about("build of that assembly on the vehicle, and where it is taken from",
                              "circulated", nullable=False)  # fmt: skip
    part: pl.String = about("part id; empty where a row stands for a whole assembly", "circulated")
    hand: pl.String = about("left or right; empty for a part that has no hand, or none stated",
                             "circulated", isin=w.HANDS)  # fmt: skip
    position: pl.String = about("position, or size of hardware, by which it differs", "circulated")
    state: pl.String = about("missing, unserviceable, stand-in, not-looked-at, build-not-known",
                              "circulated", nullable=False,
                              isin=(*LACKING, *NOT_LACKING))  # fmt: skip
    required: pl.Float64 = about("how many the vehicle should have", "circulated")
    quantity: pl.Float64 = about("how many are in this state", "circulated", gt=0)
    opens_into: pl.Int64 = about("how many items of its parts the row stands for", "circulated")
    needed_for: pl.String = about("aims for which it counts as lacking; ';' between", "circulated",
                                   nullable=False)  # fmt: skip
    basis: pl.String = about("which requirement: file, row, words")
    seen_on: pl.Date = about("day of the survey that says so", "circulated")
    disagrees: pl.String = about("older, weaker or other statements: words, day, source, id")
    depends_on: pl.String = about("on what it depends, or which one it is: the remaining builds "
                                  "with their probabilities", "circulated")  # fmt: skip
    later_change: pl.String = about("what later change displaced it: by whom, when, does it stay",
                                     "members")  # fmt: skip
    comes_free: pl.String = about("what was made or adapted for another make's assembly, and comes "
                                  "free when the original returns", "members")  # fmt: skip
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated")


class Completeness(Answer):
    """How complete a vehicle is: per aim and sort, for each assembly and for the whole."""

    vehicle: pl.String = about("the vehicle's name", "members")
    aim: pl.String = about("for which aim", "circulated", nullable=False, isin=w.AIMS)
    sort: pl.String = about("part, hardware or consumable", "circulated", nullable=False)
    assembly: pl.String = about("assembly id; empty = the whole vehicle", "circulated")
    required: pl.Float64 = about("how many items are required", "circulated", gt=0)
    had: pl.Float64 = about("fitted, off and kept, or away for repair", "circulated", ge=0)
    not_looked_at: pl.Float64 = about("not looked at", "circulated", ge=0)
    low: pl.Float64 = about("share that is surely had; of the whole: mean by weight of assembly",
                             "circulated", ge=0, le=1)  # fmt: skip
    high: pl.Float64 = about("the same, if all that was not looked at is there", "circulated",
                              ge=0, le=1)  # fmt: skip


class Holder(Answer):
    """Who has a part."""

    holder: pl.String = about("who has it; of a part on a hulk: the vehicle's keeper", "members")
    part: pl.String = about("part id; empty for what nobody has identified", "circulated")
    hand: pl.String = about("left or right", "circulated", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware, by which it differs", "circulated")
    quantity: pl.String = about("how many, as written")
    at_least: pl.Float64 = about("how many there surely are", "circulated")
    condition: pl.String = about("condition, or unserviceable", "circulated", isin=CONDITIONS)
    availability: pl.String = about("offered, swap, unknown, promised, kept, or on which vehicle",
                                     "members", nullable=False)  # fmt: skip
    place: pl.String = about("where it is kept")
    builds: pl.String = about("builds it is for, as said")
    part_number: pl.String = about("part number as written", "circulated")
    match: pl.Float64 = about("how sure it is this part, 0 to 1", "circulated", ge=0, le=1)
    match_reason: pl.String = about("why, and what to ask")
    said_on: pl.Date = about("the day it was said", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated")


class Donor(Answer):
    """Where a lacking item could come from; a lack without a candidate has one row, no rank."""

    vehicle: pl.String = about("the vehicle that lacks it", "members")
    part: pl.String = about("part id", "circulated", nullable=False)
    hand: pl.String = about("left or right", "circulated", isin=w.HANDS)
    position: pl.String = about("position, or size of hardware, by which it differs", "circulated")
    state: pl.String = about("missing, unserviceable or stand-in", "circulated", nullable=False,
                              isin=("missing", "unserviceable", "stand-in"))  # fmt: skip
    lacking: pl.Float64 = about("how many are lacking", "circulated", gt=0)
    rank: pl.Int64 = about("1 for the best", "circulated", ge=1)
    standing: pl.String = about("offered, ask first, not offered", "circulated", isin=STANDINGS)
    source: pl.String = about("who has it, or the vehicle it is on", "members")
    from_: pl.String = pa.Field(alias="from", nullable=True, isin=WHERE_FROM, metadata={
        "doc": "kind of place it is taken from", "audience": "circulated"})  # fmt: skip
    fit: pl.String = about("as-is, one-way, with-work, only-as-a-set, never, unknown",
                            "circulated", isin=w.GRADES)  # fmt: skip
    correctness: pl.String = about("is it right for the vehicle's build", "circulated",
                                    isin=CORRECTNESS)  # fmt: skip
    reason: pl.String = about("why it fits or not, and what to ask", nullable=False)
    work: pl.String = about("the work it takes, as said")
    companions: pl.String = about("what must come with it, as said")
    condition: pl.String = about("condition, or unserviceable", "circulated", isin=CONDITIONS)
    quantity: pl.String = about("how many there are, as written")
    place: pl.String = about("where it is kept")
    distance_km: pl.Float64 = about("great-circle distance to the vehicle", "members", ge=0)
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated")


class Fit(Answer):
    """What can serve for a part at a build, or never goes there."""

    for_part: pl.String = about("the part that is wanted", "circulated", nullable=False)
    for_hand: pl.String = about("its hand; empty for any", "circulated", isin=w.HANDS)
    for_position: pl.String = about("its position; empty for any", "circulated")
    for_build: pl.String = about("the build of the assembly it is wanted for", "circulated")
    part: pl.String = about("the part that may serve", "circulated", nullable=False)
    hand: pl.String = about("its hand", "circulated", isin=w.HANDS)
    position: pl.String = about("its position", "circulated")
    build: pl.String = about("its build or number, a whole range as one", "circulated")
    fit: pl.String = about("grade of the worst link", "circulated", nullable=False,
                            isin=w.GRADES)  # fmt: skip
    correctness: pl.String = about("is it right for the build it is put on", "circulated",
                                    nullable=False, isin=CORRECTNESS)  # fmt: skip
    derived: pl.Boolean = about("true where it follows from more than one statement", "circulated",
                                 nullable=False)  # fmt: skip
    chain: pl.String = about("from the part that serves to the one that is wanted, '>' between",
                              "circulated")  # fmt: skip
    work: pl.String = about("the work of all links, as said")
    alters: pl.String = about("what the work alters: part, vehicle, both or neither", "circulated",
                               isin=w.ALTERED)  # fmt: skip
    can_be_undone: pl.Boolean = about("true where all of the work can be undone; empty: not said",
                                       "circulated")  # fmt: skip
    companions: pl.String = about("what must come with it, of all links")
    reason: pl.String = about("why it goes or not, of all links")
    disputed: pl.String = about("statements that say otherwise, with who says so")
    sources: pl.String = about("where the statements stand, and their words")
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated")


class Explanation(Answer):
    """Why each part that may serve goes, or does not go, on a vehicle."""

    part: pl.String = about("the part that is asked about", "circulated", nullable=False)
    hand: pl.String = about("its hand on the vehicle", "circulated", isin=w.HANDS)
    position: pl.String = about("its position on the vehicle", "circulated")
    build: pl.String = about("build of its assembly on the vehicle", "circulated")
    from_: pl.String = pa.Field(alias="from", nullable=True, metadata={
        "doc": "who has it, the vehicle it is on, or 'any' with the build that is spoken of",
        "audience": "members"})  # fmt: skip
    verdict: pl.String = about("does it go: the grade of its fit", "circulated", nullable=False,
                                isin=w.GRADES)  # fmt: skip
    correctness: pl.String = about("is it right for the vehicle", "circulated", isin=CORRECTNESS)
    standing: pl.String = about("offered, ask first, not offered", "circulated", isin=STANDINGS)
    chain: pl.String = about("from the part that serves to the one on the vehicle, '>' between",
                              "circulated")  # fmt: skip
    why: pl.String = about("why it goes or not, and what to ask", nullable=False)
    work: pl.String = about("the work it takes, as said")
    companions: pl.String = about("what must come with it, and who has it")
    sources: pl.String = about("where all that stands, and its words")
    caution: pl.String = about("what is dangerous about the part", "circulated")
    trace: pl.String = about("line ids; ';' between", "circulated")


class Trace(Answer):
    """Where a line stands and what it is taken to mean; a row per revision and conclusion."""

    id: pl.String = about("line id, or raw line", "circulated", nullable=False)
    kind: pl.String = about("kind of line", "circulated", nullable=False)
    revision: pl.Int32 = about("1 for the first value", "circulated")
    file: pl.String = about("file of the version in which the revision began")
    sheet: pl.String = about("sheet")
    page: pl.Int32 = about("page", "members")
    row: pl.Int32 = about("row in the file, from 1", "members")
    column: pl.Int32 = about(
        "column of a matrix cell, or at which a table begins that has another at its left",
        "members",
    )
    box: pl.String = about("left,top,right,bottom on the page picture")
    words: pl.String = about("the words there")
    rule: pl.String = about("the rule that read them, of a statement in prose", "members")
    sure: pl.Boolean = about("false where the source hedges", "members")
    first_hand: pl.Boolean = about("false for hearsay", "members")
    said_by: pl.String = about("who says so")
    said_on: pl.Date = about("the day it was said", "circulated")
    said_on_basis: pl.String = about("what gave that day", "circulated")
    said_until: pl.Date = about("the day from which the source says otherwise", "circulated")
    recorded_from: pl.Datetime = about("taken into the records", "circulated")
    recorded_to: pl.Datetime = about("replaced in the records", "circulated")
    names: pl.String = about(
        "what it is about: part, vehicle, holder, or a field put right", "circulated"
    )
    meaning: pl.String = about(
        "part, vehicle or person id, or what was put in; empty = not known", "members"
    )
    accepted: pl.Boolean = about("counts in answers", "circulated")
    probability: pl.Float64 = about("how sure, 0 to 1", "circulated")
    method: pl.String = about("number, exact, fuzzy, name or decision", "circulated")
    reasons: pl.String = about("why; of a raw line, what became of it")
    concluded: pl.Datetime = about("when it was concluded", "circulated")
    concluded_until: pl.Datetime = about("when it was concluded otherwise", "circulated")
    decided_by: pl.String = about("who decided, and when")


class Build(Answer):
    """What an assembly on a vehicle was built to: a row for each candidate."""

    vehicle: pl.String = about("the vehicle's name", "members")
    assembly: pl.String = about("assembly id", "circulated", nullable=False)
    build: pl.String = about("the candidate: mark and phase, or none of these, or converted",
                              "circulated", nullable=False)  # fmt: skip
    probability: pl.Float64 = about(
        "how likely by the evidence, 0 to 1; empty where there is none", "circulated", ge=0,
        le=1.000001,
    )  # fmt: skip
    standing: pl.String = about(
        "set by the registrar, stated, told by features, by the vehicle's mark, not settled, "
        "possible, unlikely, settled otherwise", "circulated", nullable=False,
        isin=BUILD_STANDINGS,
    )  # fmt: skip
    agrees: pl.String = about("whether the evidence agrees with what somebody settled",
                               "circulated")  # fmt: skip
    evidence_for: pl.String = about("what speaks for it, in order of weight, in bits")
    evidence_against: pl.String = about("what speaks against it, in order of weight, in bits")
    contradiction: pl.String = about("evidence about the assembly that contradicts itself")
    look_at: pl.String = about("features nobody has looked for that would tell most, in bits",
                                "circulated")  # fmt: skip
    trace: pl.String = about("line and decision ids; ';' between", "circulated")


class BuildEvidence(Answer):
    """One piece of evidence, and what it says of one candidate."""

    vehicle: pl.String = about("the vehicle's name", "members")
    assembly: pl.String = about("assembly id; empty where it names none", "circulated")
    build: pl.String = about("the candidate; empty for what does not count", "circulated")
    evidence: pl.String = about("what was seen, read or said", nullable=False)
    sort: pl.String = about("feature, plate, serial, number, said", "circulated", nullable=False,
                             isin=EVIDENCE_SORTS)  # fmt: skip
    feature_group: pl.String = about("features that come together and count as one", "circulated")
    bits: pl.Float64 = about(
        "how much it speaks for the candidate against the others together; below 0 against it",
        "circulated",
    )
    not_counted: pl.String = about("why it does not count", "circulated")
    trace: pl.String = about("line id", "circulated", nullable=False)


ANSWERS: dict[str, type[pa.DataFrameModel]] = {
    "lacks": Lack,
    "completeness": Completeness,
    "holders": Holder,
    "donors": Donor,
    "fits": Fit,
    "explain": Explanation,
    "trace": Trace,
    "builds": Build,
    "build_evidence": BuildEvidence,
}

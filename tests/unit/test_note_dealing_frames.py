"""What a clause tells of having, wanting, promising or hearing of, by its verb and who is named."""

from __future__ import annotations

import pytest

from partmuster_plugins.hand_notes.context import Context
from partmuster_plugins.hand_notes.reading import read_paragraph
from tests.unit.told_dealings import told as told_of_all


def told(text, **known):
    """Return what a paragraph says of dealings alone."""
    return told_of_all(text, without={"survey", "history", "feature"}, **known)


WANTS = {
    "Toby seeks: dynamo, two headlamps; a starter.": [
        "want, Toby's, dynamo", "want, Toby's, headlamps, quantity 2", "want, Toby's, starter"],
    "Gwen would bite your hand off for a silencer.": ["want, Gwen's, silencer"],
    "What Nell is still short of: a carb and a left headlamp.": [
        "want, Nell's, carb", "want, Nell's, headlamp, side left"],
    "Ivo is looking high and low for a magneto.": ["want, Ivo's, magneto"],
    "I'd be much obliged for a fuel pump.": ["want, Wilf's, fuel pump"],
    "Hester would dearly like a starter.": ["want, Hester's, starter"],
    "Rupert demands a radiator and a fuel tank.": [
        "want, Rupert's, radiator", "want, Rupert's, fuel tank"],
    "Things I could really use: a dynamo, a carb.": ["want, Wilf's, dynamo", "want, Wilf's, carb"],
    "Nell hunts for a water pump.": ["want, Nell's, water pump"],
    "Piers asked if I knew of an oil pump.": ["want, Piers's, oil pump"],
    "Maud is keen to lay hands on a headlamp.": ["want, Maud's, headlamp"],
}  # fmt: skip

HOLDINGS = {
    "Ivo possesses two dynamos.": ["holding, Ivo's, dynamos, quantity 2"],
    "Toby has turned up a starter in his loft, going begging.": [
        "holding, Toby's, starter, availability offered"],
    "Nell has no use for her second radiator and anyone can have it.": [
        "holding, Nell's, radiator, availability offered"],
    "Gwen will not be parted from the magneto.": ["holding, Gwen's, magneto, availability kept"],
    "I am left with three headlamps.": ["holding, Wilf's, headlamps, quantity 3"],
    "Rupert has come by a carb.": ["holding, Rupert's, carb"],
    "Things I shall not part with: the fuel tank and the starter.": [
        "holding, Wilf's, fuel tank, availability kept",
        "holding, Wilf's, starter, availability kept"],
}  # fmt: skip

OF_BUILDS = {
    "I have a Mk 1 Otter magneto for sale.": [
        "holding, Wilf's, magneto, availability offered, build Otter Mk 1"],
    "I have a dynamo for an Otter Mk 1 late.": [
        "holding, Wilf's, dynamo, build Otter Mk 1 late"],
    "I have a magneto for an Otter for sale.": [
        "holding, Wilf's, magneto, availability offered, build Otter"],
    "For sale: late Mk 2 headlamp.": [
        "holding, Wilf's, headlamp, availability offered, build late Mk 2"],
}  # fmt: skip

PROMISES = {
    "Ivo undertakes that Nell may have a dynamo.": ["promise, Ivo's, dynamo, stage offered"],
    "Toby put his name down to give Gwen a radiator.": ["promise, Toby's, radiator, stage offered"],
    "Hester means to let Ivo have a carb.": ["promise, Hester's, carb, stage offered"],
    "Dale will donate a starter to Rosalind.": ["promise, Dale's, starter, stage offered"],
    "I can give Nell two headlamps.": ["promise, Wilf's, headlamps, stage offered, quantity 2"],
    "Ivo undertakes that Nell may have a dynamo. Nell accepts the dynamo.": [
        "promise, Ivo's, dynamo, stage agreed", "promise, Ivo's, dynamo, stage offered"],
    "Toby has promised Gwen a radiator. Radiator fetched by Gwen on Sunday.": [
        "promise, Toby's, radiator, stage collected", "promise, Toby's, radiator, stage offered"],
    "Toby has promised Gwen a radiator. Toby has had second thoughts about the radiator.": [
        "promise, Toby's, radiator, stage offered", "promise, Toby's, radiator, stage withdrawn"],
    "Ivo has promised Nell a dynamo. The dynamo is bolted up on Old Patience.": [
        "promise, Ivo's, dynamo, stage fitted, for Old Patience",
        "promise, Ivo's, dynamo, stage offered"],
    "Ivo has promised Nell a dynamo. No sign of the dynamo, I am crossing it off.": [
        "promise, Ivo's, dynamo, stage lapsed", "promise, Ivo's, dynamo, stage offered"],
    "Ivo has promised Nell a dynamo. He has sold the dynamo to a stranger.": [
        "promise, Ivo's, dynamo, stage broken", "promise, Ivo's, dynamo, stage offered"],
    "The wiper Rupert offered Nell in the winter: Nell has since fetched it.": [
        "promise, Rupert's, wiper, stage collected"],
    "The carb that Ivo promised Gwen has come to nothing.": [
        "promise, Ivo's, carb, stage lapsed"],
    "Nell can have a radiator off Ivo.": ["promise, Ivo's, radiator, stage offered"],
    "Toby withdrew the offer of a carb to Nell.": ["promise, Toby's, carb, stage withdrawn"],
}  # fmt: skip

LEADS = {
    "The blacksmith at Kintarn might have a pair of track guards.": ["track guards"],
    "A nursery in Pellow may be hiding a gearbox under the ferns.": ["gearbox"],
    "His cousin knows of a starter in a greenhouse.": ["starter"],
    "The butcher says his uncle keeps a radiator in the dairy.": ["radiator"],
}

NOTHING = [
    "Gwen seeks peace and quiet.",
    "Nobody here seeks a dynamo.",
    "If Ivo accepts the dynamo we shall see.",
    "The radiator is fetched from the stores every spring.",
    "Does Nell have a carb?",
    "Toby has no use for a lecture about dynamos.",
    "I don't want a starter.",
    "Will Ivo take the radiator?",
    "I would be obliged for a pair of trousers.",
    "A late sprocket on an early hub requires the spacer.",
    "We took the cover off Maud's Otter.",
]


@pytest.mark.parametrize("text", WANTS)
def test_who_looks_for_what(text):
    assert told(text) == sorted(WANTS[text])


@pytest.mark.parametrize("text", OF_BUILDS)
def test_a_part_is_of_the_family_and_mark_it_is_said_to_be_for(text):
    assert told(text) == sorted(OF_BUILDS[text])


@pytest.mark.parametrize("text", HOLDINGS)
def test_who_has_what(text):
    assert told(text) == sorted(HOLDINGS[text])


@pytest.mark.parametrize("text", PROMISES)
def test_who_lets_whom_have_what_and_how_far_it_is(text):
    assert told(text) == sorted(PROMISES[text])


@pytest.mark.parametrize("text", LEADS)
def test_who_may_have_something(text):
    context = Context(people=("Wilf",), writer="Wilf")
    leads = [one for one in read_paragraph(text, context) if one.kind == "lead"]
    assert [one.fields["description"].lower() for one in leads] == LEADS[text]
    assert not any(one.first_hand for one in leads)


@pytest.mark.parametrize("text", NOTHING)
def test_what_says_nothing_of_a_dealing(text):
    assert told(text) == []

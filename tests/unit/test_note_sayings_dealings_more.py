"""Further ways in which members say what they have, want, let each other have and have heard of."""

from __future__ import annotations

import pytest

from partmuster_plugins.hand_notes.context import Context
from partmuster_plugins.hand_notes.reading import read_paragraph
from tests.unit.test_note_sayings_dealings import said, told

SAID = {
    "Two headlamps surplus to requirements here.": ["holding, Wilf's, headlamps, quantity 2"],
    "Ivo has more track pins than he knows what to do with.": ["holding, Ivo's, track pins"],
    "Gwen's got a radiator she wants rid of.": [
        "holding, Gwen's, radiator, availability offered"],
    "The spare starter stays with me.": ["holding, Wilf's, starter, availability kept"],
    "Not selling the left headlamp.": [
        "holding, Wilf's, headlamp, availability kept, side left"],
    "Swap dynamo for starter.": [
        "holding, Wilf's, dynamo, availability swap", "want, Wilf's, starter"],
    "Have dynamo, want starter.": ["holding, Wilf's, dynamo", "want, Wilf's, starter"],
    "My starter is going to whoever asks first.": [
        "holding, Wilf's, starter, availability offered"],
    "A carb, £15 or nearest offer.": [
        "holding, Wilf's, carb, availability offered, price £15"],
    "Nell would let her spare magneto go for a tenner.": [
        "holding, Nell's, magneto, availability offered, price a tenner"],
    "Fuel tank, no longer for sale.": ["holding, Wilf's, fuel tank, availability kept"],
    "Still got that fuel tank if you want it.": [
        "holding, Wilf's, fuel tank, availability offered"],
    "Desperately seeking a water pump.": ["want, Wilf's, water pump"],
    "I'd give anything for a starter.": ["want, Wilf's, starter"],
    "Otter 1 still needs a dynamo.": ["want, Wilf's, dynamo, for Otter 1"],
    "Ivo is hunting a right hand track guard.": ["want, Ivo's, track guard, side right"],
    "Please keep an eye out for a magneto.": ["want, Wilf's, magneto"],
    "In the market for a carb, any condition.": ["want, Wilf's, carb"],
    "Rupert after a silencer.": ["want, Rupert's, silencer"],
    "Wanted urgently, fuel pump for Bramble 2.": ["want, Wilf's, fuel pump, for Bramble 2"],
    "On my list: carb, starter.": ["want, Wilf's, carb", "want, Wilf's, starter"],
    "I am short of two bogie wheels.": ["want, Wilf's, bogie wheels, quantity 2"],
    "Maud, the fan cowl is yours.": ["promise, Wilf's, fan cowl, stage offered"],
    "I've promised Toby the starter.": ["promise, Wilf's, starter, stage offered"],
    "Toby has first refusal on my dynamo.": [
        "holding, Wilf's, dynamo, availability promised",
        "promise, Wilf's, dynamo, stage offered"],
    "Dale will send Gwen a starter.": ["promise, Dale's, starter, stage offered"],
    "Nell collected her headlamp from me on Sunday.": [
        "promise, Wilf's, headlamp, stage collected"],
    "Ivo let Rupert down over the radiator.": ["promise, Ivo's, radiator, stage broken"],
    "The radiator Toby promised Nell went to somebody else.": [
        "promise, Toby's, radiator, stage broken"],
    "Gwen has accepted my offer of a spare carb.": [
        "holding, Wilf's, carb, availability promised", "promise, Wilf's, carb, stage agreed"],
    "Maud said I could have her spare horn and I said yes.": [
        "holding, Maud's, horn, availability promised", "promise, Maud's, horn, stage agreed"],
    "Required: a dynamo, two left hand road wheels.": [
        "want, Wilf's, dynamo", "want, Wilf's, road wheels, quantity 2, side left"],
    "I am at liberty to part with a pair of shackles.": [
        "holding, Wilf's, shackles, availability offered, quantity 2"],
    "One headlamp can go to whoever shouts first.": [
        "holding, Wilf's, headlamp, availability offered, quantity 1"],
    "Track pins x 40, 1.50 each.": [
        "holding, Wilf's, track pins, availability offered, quantity 40, price 1.50 each"],
    "Fan blade x 5, take 'em.": [
        "holding, Wilf's, fan blade, availability offered, quantity 5"],
    "Magneto ........ 140 ono": ["holding, Wilf's, magneto, availability offered, price 140 ono"],
    "Ivo has said no about the dynamo.": ["promise, Ivo's, dynamo, stage withdrawn"],
    "My dynamo to Maud for Otter 1 - shook on it.": [
        "holding, Wilf's, dynamo, availability promised",
        "promise, Wilf's, dynamo, stage agreed, for Otter 1"],
    "Maud was to get my spare starter.": [
        "holding, Wilf's, starter, availability promised",
        "promise, Wilf's, starter, stage agreed"],
    "Gwen's spare radiator, I can come for it any time, for Otter 1.": [
        "holding, Gwen's, radiator, availability promised",
        "promise, Gwen's, radiator, stage offered, for Otter 1"],
    "Ivo is still without a dipstick.": ["want, Ivo's, dipstick"],
    "I've a dynamo, reserved for Nell.": [
        "holding, Wilf's, dynamo, availability promised", "promise, Wilf's, dynamo, stage agreed"],
}  # fmt: skip

LEADS = {
    "A lad at work reckons his grandad has a gearbox in his barn.": "gearbox",
    "Try the scrapyard at Nethercombe, they might have a radiator.": "radiator",
    "I'm told there's a hull up at the quarry.": "hull",
    "Somebody's uncle may have a dynamo.": "dynamo",
    "Old Tom at the garage is said to have two starters.": "starters",
    "Supposedly there are bogie wheels behind the mill.": "bogie wheels",
    "The baker swears there was a radiator in the old dairy.": "radiator",
}

NOTHING = [
    "If you have a spare minute, come round.",
    "We wanted to swap stories.",
    "I've got the gearbox in bits.",
    "Ivo has the engine running.",
    "She has her track guards back on.",
    "I have a spare hour.",
    "We had two radiators in the end and both leaked.",
    "I used to have a magneto.",
    "I wish I had a magneto.",
    "Should I sell the carb?",
    "He sold his dynamo to a dealer.",
    "Don't buy a carb from that man.",
    "No spares at all.",
    "Would anyone swap a carb for a dynamo?",
    "The raffle tickets are for sale at the door.",
    "Nobody wants the old dynamo.",
    "There is a gusset in the corner of the engine deck.",
    "Three magnetos there, he wanted the earth for them.",
    "You can have the early coil bracket only if you take the coil.",
    "Ivo has the starter off and in bits.",
    "The dynamo is for nothing to use.",
]


def dealt(text):
    context = Context(people=("Wilf",), writer="Wilf")
    kinds = {"holding", "want", "promise", "lead"}
    return [one for one in read_paragraph(text, context) if one.kind in kinds]


@pytest.mark.parametrize("text", SAID)
def test_dealings_said_in_other_words(text):
    lines = [line for line in told(text) if line.split(",")[0] in {"holding", "want", "promise"}]
    assert lines == said(*SAID[text])


@pytest.mark.parametrize("text", LEADS)
def test_hearsay_of_a_part_somewhere_is_a_lead(text):
    [one] = dealt(text)
    assert (one.kind, one.fields["description"], one.first_hand) == ("lead", LEADS[text], False)


@pytest.mark.parametrize("text", NOTHING)
def test_talk_of_parts_that_is_no_dealing(text):
    assert dealt(text) == []


def test_what_follows_in_a_next_sentence_is_said_of_the_last_part():
    carb = told("I've got a spare carb. Anyone can have it.")
    assert "holding, Wilf's, carb, availability offered" in carb
    tank = told("Gwen offered Toby her header tank. He said yes.")
    assert "promise, Gwen's, header tank, stage agreed" in tank

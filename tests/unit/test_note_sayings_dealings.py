"""What members have, want, let each other have and have heard of, in many ways of saying it."""

from __future__ import annotations

import pytest

from partmuster_plugins.hand_notes.context import Context
from partmuster_plugins.hand_notes.reading import read_paragraph
from tests.unit.told_dealings import told


def said(*lines):
    return sorted(lines)


HOLDINGS = {
    "I've got two spare dynamos.": ["holding, Wilf's, dynamos, quantity 2"],
    "I have got a dynamo going spare.": ["holding, Wilf's, dynamo, availability offered"],
    "Nell has a carb on her shelf.": ["holding, Nell's, carb"],
    "There's a pair of track guards in Ivo's barn.": ["holding, Ivo's, track guards, quantity 2"],
    "Hester's got a magneto, not for sale.": ["holding, Hester's, magneto, availability kept"],
    "Hester still has that magneto but she is hanging on to it.": [
        "holding, Hester's, magneto, availability kept"],
    "Ivo has three starters and anyone can have one.": [
        "holding, Ivo's, starters, availability offered, quantity 3"],
    "For sale: radiator, £40.": [
        "holding, Wilf's, radiator, availability offered, price £40"],
    "Headlamps, £5 the pair.": [
        "holding, Wilf's, headlamps, availability offered, price £5 the pair"],
    "Gwen is selling a radiator and two headlamps.": [
        "holding, Gwen's, radiator, availability offered",
        "holding, Gwen's, headlamps, availability offered, quantity 2"],
    "Fuel pump free to collect.": ["holding, Wilf's, fuel pump, availability offered"],
    "Fuel pump, free to a good home.": ["holding, Wilf's, fuel pump, availability offered"],
    "One dynamo up for grabs.": ["holding, Wilf's, dynamo, availability offered, quantity 1"],
    "I would swap my spare magneto for a carb.": [
        "holding, Wilf's, magneto, availability swap", "want, Wilf's, carb"],
    "Ivo will swap a magneto for a left headlamp.": [
        "holding, Ivo's, magneto, availability swap", "want, Ivo's, headlamp, side left"],
    "I'm keeping the starter.": ["holding, Wilf's, starter, availability kept"],
    "Two water pumps (keeping).": ["holding, Wilf's, water pumps, availability kept, quantity 2"],
    "Nell won't part with the radiator.": ["holding, Nell's, radiator, availability kept"],
    "Spare radiator here if anybody wants it.": [
        "holding, Wilf's, radiator, availability offered"],
    "I can spare two headlamps.": ["holding, Wilf's, headlamps, availability offered, quantity 2"],
    "Rupert would let a radiator go for forty quid.": [
        "holding, Rupert's, radiator, availability offered, price forty quid"],
    "Got a spare dynamo, Mk 2, works.": ["holding, Wilf's, dynamo, build Mk 2"],
    "There's a starter under my bench.": ["holding, Wilf's, starter"],
    "In my loft I have a fuel tank and a silencer.": [
        "holding, Wilf's, fuel tank", "holding, Wilf's, silencer"],
    "Nell owns a spare magneto.": ["holding, Nell's, magneto"],
    "Spares with me: two headlamps, a dynamo.": [
        "holding, Wilf's, headlamps, quantity 2", "holding, Wilf's, dynamo"],
    "My spare dynamo is reserved.": ["holding, Wilf's, dynamo, availability promised"],
    "Ivo probably has a spare carb.": ["holding, Ivo's, carb, unsure"],
    "Magneto - exchange for a carb.": [
        "holding, Wilf's, magneto, availability swap", "want, Wilf's, carb"],
    "Toby is giving away four headlamps.": [
        "holding, Toby's, headlamps, availability offered, quantity 4"],
    "I've a box of track pins, help yourselves.": [
        "holding, Wilf's, track pins, availability offered, quantity several"],
    "I have two radiators, one of them for sale, the other I'm keeping.": [
        "holding, Wilf's, radiators, availability offered, quantity 1",
        "holding, Wilf's, radiators, availability kept, quantity 1"],
}  # fmt: skip

WANTS = {
    "Still after a dynamo and two headlamps.": [
        "want, Wilf's, dynamo", "want, Wilf's, headlamps, quantity 2"],
    "I'm on the lookout for a magneto.": ["want, Wilf's, magneto"],
    "Wtd: carb, starter": ["want, Wilf's, carb", "want, Wilf's, starter"],
    "If anyone comes across a radiator, shout.": ["want, Wilf's, radiator"],
    "Ivo is desperate for a left headlamp.": ["want, Ivo's, headlamp, side left"],
    "That leaves us short of a starter.": ["want, Wilf's, starter"],
    "Hester needs a fuel pump for Otter 2.": ["want, Hester's, fuel pump, for Otter 2"],
    "Gwen could do with a silencer.": ["want, Gwen's, silencer"],
    "Nell would like a magneto, any condition.": ["want, Nell's, magneto"],
    "Dynamo wanted for Otter 1.": ["want, Wilf's, dynamo, for Otter 1"],
    "I am also looking for a track guard, nearside.": ["want, Wilf's, track guard, side near"],
    "A starter would be welcome.": ["want, Wilf's, starter"],
    "Rupert seeks a radiator.": ["want, Rupert's, radiator"],
    "What I'm after is a carb.": ["want, Wilf's, carb"],
    "If you hear of a magneto, I'm in the market.": ["want, Wilf's, magneto"],
    "To get: dynamo, fuel pump.": ["want, Wilf's, dynamo", "want, Wilf's, fuel pump"],
    "All I need now is a headlamp.": ["want, Wilf's, headlamp"],
    "Anyone with a spare carb please ring.": ["want, Wilf's, carb"],
    "We could use an oil pump.": ["want, Wilf's, oil pump"],
    "Ivo wants a dynamo, he says.": ["want, Ivo's, dynamo"],
    "Toby is crying out for track pins.": ["want, Toby's, track pins"],
    "Trying to get hold of a fuel tank.": ["want, Wilf's, fuel tank"],
    "Hester would give her eye teeth for a starter.": ["want, Hester's, starter"],
}  # fmt: skip

PROMISES = {
    "Ivo says Hester can have his spare magneto for Otter 2.": [
        "holding, Ivo's, magneto, availability promised",
        "promise, Ivo's, magneto, stage offered, for Otter 2"],
    "Hester can have my spare dynamo.": [
        "holding, Wilf's, dynamo, availability promised", "promise, Wilf's, dynamo, stage offered"],
    "Ivo has offered Hester a carb.": ["promise, Ivo's, carb, stage offered"],
    "Ivo offered a carb to Hester.": ["promise, Ivo's, carb, stage offered"],
    "Ivo promised Hester a radiator for Otter 2.": [
        "promise, Ivo's, radiator, stage offered, for Otter 2"],
    "The dynamo is promised to Hester.": [
        "holding, Wilf's, dynamo, availability promised", "promise, Wilf's, dynamo, stage agreed"],
    "Dynamo put by for Hester.": [
        "holding, Wilf's, dynamo, availability promised", "promise, Wilf's, dynamo, stage agreed"],
    "Nell is welcome to my spare radiator.": [
        "holding, Wilf's, radiator, availability promised",
        "promise, Wilf's, radiator, stage offered"],
    "Ivo will let Hester have the radiator and she said yes.": [
        "promise, Ivo's, radiator, stage agreed"],
    "Ivo is letting Gwen have a headlamp.": ["promise, Ivo's, headlamp, stage offered"],
    "Hester has agreed to take Ivo's spare carb.": [
        "holding, Ivo's, carb, availability promised", "promise, Ivo's, carb, stage agreed"],
    "Ivo and Hester shook on the starter.": ["promise, Ivo's, starter, stage agreed"],
    "Hester picked up the carb from Ivo.": ["promise, Ivo's, carb, stage collected"],
    "Gwen collected Ivo's radiator yesterday.": ["promise, Ivo's, radiator, stage collected"],
    "I've fetched the starter from Nell.": ["promise, Nell's, starter, stage collected"],
    "Ivo handed the carb over to Hester.": ["promise, Ivo's, carb, stage collected"],
    "Toby brought Gwen the dynamo he'd promised her.": [
        "promise, Toby's, dynamo, stage collected"],
    "The carb Ivo promised Hester is on Otter 2 now.": [
        "promise, Ivo's, carb, stage fitted, for Otter 2"],
    "Ivo has changed his mind about the radiator.": ["promise, Ivo's, radiator, stage withdrawn"],
    "Ivo has gone back on the starter he promised Hester.": [
        "promise, Ivo's, starter, stage withdrawn"],
    "Hester can't have the radiator after all.": ["promise, Wilf's, radiator, stage withdrawn"],
    "Ivo's radiator for Otter 2 fell through.": [
        "promise, Ivo's, radiator, stage lapsed, for Otter 2"],
    "Hester never came for the starter, so that has lapsed.": [
        "promise, Wilf's, starter, stage lapsed"],
    "Ivo promised us the magneto and then sold it to somebody else.": [
        "promise, Ivo's, magneto, stage broken"],
    "Ivo sold the magneto from under us.": ["promise, Ivo's, magneto, stage broken"],
    "You can have my spare starter.": [
        "holding, Wilf's, starter, availability promised",
        "promise, Wilf's, starter, stage offered"],
    "The radiator is yours if you want it.": ["promise, Wilf's, radiator, stage offered"],
    "I told Ivo he could have the carb.": ["promise, Wilf's, carb, stage offered"],
    "Gwen is having my spare coil.": [
        "holding, Wilf's, coil, availability promised", "promise, Wilf's, coil, stage agreed"],
    "Ivo to Hester: dynamo for Otter 2, collected.": [
        "promise, Ivo's, dynamo, stage collected, for Otter 2"],
}  # fmt: skip

LEADS = {
    "Old Benbow reckons there are two more dynamos up the valley.": ["dynamos"],
    "Word is the quarry still has a radiator.": ["radiator"],
    "I hear that a Mr Stone of Cold Elm has side doors in his hayloft.": ["side doors"],
    "There is supposed to be a hull in the nettles behind the chapel.": ["hull"],
    "They say the council depot kept a stack of headlamps.": ["headlamps"],
    "A chap called Corrie might have a starter.": ["starter"],
    "Rumour has it there's a gearbox under the stage at the church hall.": ["gearbox"],
    "Apparently the sawmill has a winch.": ["winch"],
    "Might be worth asking at the quarry, they had a radiator.": ["radiator"],
    "Ask old Mr Penn about a magneto, he used to break them.": ["magneto"],
    "Somebody in the pub said there was a fuel tank in a barn near Overwick.": ["fuel tank"],
}

NOTHING = [
    "I sold the dynamo.",
    "Has anyone got a spare carb?",
    "Who wants tea?",
    "The dynamo has been sold.",
    "We should get a new shed.",
    "Ivo wants his lunch.",
    "Nell had a cake for everybody.",
    "No promises were made.",
    "I have no spare dynamo.",
    "If I had a spare radiator you could have it.",
    "Ivo has a cold.",
    "Is the radiator for sale?",
    "We are looking for volunteers.",
]


@pytest.mark.parametrize("text", HOLDINGS)
def test_what_somebody_has_and_whether_he_parts_with_it(text):
    assert told(text) == said(*HOLDINGS[text])


@pytest.mark.parametrize("text", WANTS)
def test_what_somebody_looks_for(text):
    assert told(text) == said(*WANTS[text])


@pytest.mark.parametrize("text", PROMISES)
def test_who_lets_somebody_have_what_and_how_far_it_is(text):
    assert told(text) == said(*PROMISES[text])


@pytest.mark.parametrize("text", LEADS)
def test_what_somebody_may_have_is_a_lead_and_never_first_hand(text):
    context = Context(people=("Wilf",), writer="Wilf")
    found = list(read_paragraph(text, context))
    assert [(one.kind, one.fields.get("description")) for one in found] == [
        ("lead", part) for part in LEADS[text]
    ]
    assert not any(one.first_hand for one in found)


@pytest.mark.parametrize("text", NOTHING)
def test_nobody_has_or_wants_anything_in_chat_questions_and_sales(text):
    kinds = {"holding", "want", "promise", "lead"}
    context = Context(people=("Wilf",), writer="Wilf")
    assert [one for one in read_paragraph(text, context) if one.kind in kinds] == []

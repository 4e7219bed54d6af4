"""Dealings in verbs and orders of words that few members use twice."""

from __future__ import annotations

import pytest

from tests.unit.test_note_sayings_dealings import told

SAID = {
    "Gwen demands a starter.": ["want, Gwen's, starter"],
    "Nell would bite your arm off for a set of headlamps.": ["want, Nell's, headlamps"],
    "Rupert would be much obliged for a horn and for a tow hook.": [
        "want, Rupert's, horn", "want, Rupert's, tow hook"],
    "Toby is after, in no special order, a magneto and a clutch plate.": [
        "want, Toby's, magneto", "want, Toby's, clutch plate"],
    "Ivo can give Gwen two headlamps.": ["promise, Ivo's, headlamps, stage offered, quantity 2"],
    "Gwen hereby offers a starter to Nell.": ["promise, Gwen's, starter, stage offered"],
    "Toby put his name down to give Nell a drain plug.": [
        "promise, Toby's, drain plug, stage offered"],
    "Nell has my word for the radiator.": ["promise, Wilf's, radiator, stage offered"],
    "Ivo withdrew his offer of a carb to Toby.": ["promise, Ivo's, carb, stage withdrawn"],
    "Ivo is not going to let Toby have that dynamo after all.": [
        "promise, Ivo's, dynamo, stage withdrawn"],
    "Ivo -> Toby: hatch spring": ["promise, Ivo's, hatch spring, stage offered"],
}  # fmt: skip

NOTHING = [
    "Pick-up at the pump 7.30 SHARP, and the driver does not wait.",
    "The heaters are on. First they come for the biscuits.",
    "Ivo no longer needs, thank heaven, a dynamo.",
    "I am looking at a photograph of a starter.",
    "Gwen wants to paint the bonnet.",
    "Toby needs to look at the gearbox.",
    "Anybody who demands to see the engine may.",
    "The manifold needs two studs, an hour's work.",
    "The horn wants two bolts.",
    "I asked after the exhaust flange.",
    "Bert searched for a hull number.",
    "The seats are waiting for springs.",
    "If Ivo can give Gwen a lift the starter can wait.",
]


@pytest.mark.parametrize("text", SAID)
def test_what_a_clause_says_of_dealings(text):
    assert told(text) == sorted(SAID[text])


@pytest.mark.parametrize("text", NOTHING)
def test_what_is_no_dealing(text):
    assert [one for one in told(text) if not one.startswith("survey")] == []

"""Who may see what: every column is classed, and what is private stays with the registrar."""

from __future__ import annotations

import pandera.polars as pa
import polars as pl  # noqa: TC002 - pandera reads the annotations when the class is made
import pytest

from partmuster_schemas import records, said
from partmuster_schemas.answers import ANSWERS
from partmuster_schemas.columns import AUDIENCES, about, described
from partmuster_schemas.ddl import table_models

MODELS = {**table_models(), **{f"answer {name}": model for name, model in ANSWERS.items()}}

#: Columns that must never leave the registrar, wherever they stand: contact details, places where
#: things are kept, the words of sources, free text, and names of files, which people name freely.
PRIVATE = {
    "contact": {"phone", "email", "address", "town"},
    "places": {"place", "place_key", "latitude", "longitude"},
    "words": {
        "words", "description", "to_description", "section", "heading", "sheet", "file", "box",
        "quantity_text", "condition_text", "effectivity_text", "companions_text", "parent_words",
        "price", "happened_on",
    },
    "free text": {
        "remark", "note", "statement", "conclusion", "work", "answer", "question", "choices",
        "subject", "problem", "reasons", "match_reason", "basis", "disagrees", "value",
        "said_by", "decided_by",
    },
}  # fmt: skip

#: The same, where the name of the column does not say it.
PRIVATE_HERE = {
    "said_fit": {"reason"},
    "said_feature": {"feature", "feature_value"},
    "identification": {"key", "target"},
    "source": {"name"},
    "source_version": {"name"},
    "answer holders": {"quantity", "builds"},
    "answer donors": {"reason", "quantity", "companions"},
}

#: Names and numbers of people and vehicles go no further than the members.
MEMBERS_ONLY = {
    "holder", "holder_key", "owner", "owner_key", "keeper", "keeper_key", "vehicle", "vehicle_key",
    "known_as", "works_number", "service_number", "civil_number", "serial", "serial_value",
    "from_vehicle", "meaning",
}  # fmt: skip


@pytest.mark.parametrize("model", MODELS)
def test_every_column_has_a_meaning_and_an_audience(model):
    for name, spec in described(MODELS[model]).items():
        assert spec["audience"] in AUDIENCES, name
        assert spec["doc"].strip(), name


@pytest.mark.parametrize("model", MODELS)
def test_what_is_private_stays_with_the_registrar(model):
    private = set.union(*PRIVATE.values()) | PRIVATE_HERE.get(model, set())
    seen = {
        name: spec["audience"]
        for name, spec in described(MODELS[model]).items()
        if name in private and spec["audience"] != "registrar"
    }
    assert seen == {}


@pytest.mark.parametrize("model", MODELS)
def test_names_of_people_and_vehicles_do_not_go_round(model):
    going_round = {
        name for name, spec in described(MODELS[model]).items() if spec["audience"] == "circulated"
    }
    assert going_round & MEMBERS_ONLY == set()


def test_the_lists_name_columns_that_there_are():
    every = {name for model in MODELS.values() for name in described(model)}
    assert set.union(*PRIVATE.values()) - every == set()
    assert MEMBERS_ONLY - every == set()
    for model, names in PRIVATE_HERE.items():
        assert names <= set(described(MODELS[model])), model


def test_an_unclassed_column_is_found():
    class Careless(said.SaidLine):
        shelf: pl.String = pa.Field(nullable=True)

    with pytest.raises(ValueError, match=r"Careless\.shelf has no audience"):
        described(Careless)


def test_an_unknown_audience_is_found():
    class Public(records.Record):
        shelf: pl.String = about("where it lies", "everybody")

    with pytest.raises(ValueError, match=r"Public\.shelf"):
        described(Public)

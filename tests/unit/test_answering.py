"""What answers a question takes, whoever asks it."""

from __future__ import annotations

import pytest

from partmuster.model import PartmusterError
from partmuster.running.answering import Question, checked


def kept(vocabulary, topic, answer, choices=None):
    return checked(None, vocabulary, Question(topic, "x", None, choices), answer)


def test_a_part_is_kept_by_its_id_however_it_is_named(vocabulary):
    assert {kept(vocabulary, "part", said) for said in ("dynamo", "Dynamo", "generator")} == {
        "dynamo"
    }


def test_a_name_that_several_parts_have_is_no_answer(vocabulary):
    with pytest.raises(PartmusterError, match="road-wheel-tracked, road-wheel-wheeled"):
        kept(vocabulary, "part", "road wheel")


def test_a_topic_with_choices_takes_one_of_them_only(vocabulary):
    assert kept(vocabulary, "same-thing", "YES", "yes;no") == "yes"
    with pytest.raises(PartmusterError, match="perhaps"):
        kept(vocabulary, "same-thing", "perhaps", "yes;no")

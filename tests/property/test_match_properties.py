"""What must hold of matching whatever is written round a name."""

import polars as pl
from hypothesis import given, settings
from hypothesis import strategies as st

from partmuster.stages.match import match, no_numbers
from partmuster.stages.matching.index import index_of, words_of
from partmuster.stages.matching.tokens import folded, plain
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Decision, ItemKey
from partmuster_trade import load_vocabulary
from tests.long import examples

KEYS = polars_schema(ItemKey)
VOCABULARY = load_vocabulary()
NO_DECISIONS = pl.DataFrame(schema=polars_schema(Decision))
INDEX = index_of(VOCABULARY)
NAMES = sorted((entry.name, entry.part_id) for entry in VOCABULARY.names())
WORDS = sorted({word for name, _ in NAMES for word in name.split()})
# "spare" is not here: it makes a wheel another part.
NOISE = ("old", "for Otter", "(dented)", "c/w bolts", "Mk 2", "24v", "NOS", "x 2", "zzkx",
         "needs paint", "early type", "LH", "R/H", "off a wreck", "complete", "assy", "??", "no. 7",
         "stay", "bracket", "cover", "bolts", "set", "kit")  # fmt: skip


def read(*rows, known=None):
    full = [{**dict.fromkeys(KEYS), "item_key": str(n), **row} for n, row in enumerate(rows)]
    found = match(pl.DataFrame(full, schema=KEYS), VOCABULARY,
                  no_numbers() if known is None else known, NO_DECISIONS,
                  region="GB", families=["Otter"])  # fmt: skip
    return [found.filter(pl.col("key") == str(n)) for n in range(len(rows))]


def accepted(rows):
    found = rows.filter(pl.col("accepted"))
    return found["target"].item() if found.height else None


@settings(max_examples=examples(150), deadline=None)
@given(st.sampled_from(NAMES), st.lists(st.sampled_from(NOISE), max_size=3), st.booleans())
def test_words_that_say_nothing_never_lead_to_another_part(name, noise, shout):
    """Noise may cost the acceptance; what is accepted is said by the words themselves."""
    text, part_id = name
    plain = [
        word for word in noise if word not in {"stay", "bracket", "cover", "bolts", "set", "kit"}
    ]
    written = " ".join([text, *plain])
    bare, noisy = read(
        {"description": text}, {"description": written.upper() if shout else written}
    )
    if accepted(noisy) is not None:
        assert accepted(noisy) in {accepted(bare), part_id}


@settings(max_examples=examples(150), deadline=None)
@given(st.lists(st.sampled_from(WORDS), min_size=1, max_size=3), st.lists(st.sampled_from(NOISE)))
def test_noise_never_turns_an_unaccepted_description_into_a_part_it_does_not_name(words, noise):
    bare = " ".join(words)
    for rows in read({"description": bare}, {"description": " ".join([bare, *noise])}):
        target = accepted(rows)
        if target is None:
            continue
        text = folded(" ".join([bare, *noise]))
        said = {word for order in words_of(INDEX, text) for word in order}
        said |= {word for piece in text.replace("(", " ").split() for word in plain(piece)}
        said |= {first + second for first in said for second in said}  # compounds
        named = any(said.issuperset(n.words) for n in INDEX.names if n.part_id == target)
        assert named or " = " in rows["reasons"][0], (text, target)


@settings(max_examples=examples(100), deadline=None)
@given(st.text(max_size=40), st.sampled_from([None, "left", "right", "near", "off"]),
       st.sampled_from([None, "front", "rear upper", "somewhere"]))  # fmt: skip
def test_any_text_is_matched_without_raising(text, side, position):
    (rows,) = read({"description": text, "side": side, "position": position})
    assert 1 <= rows.height <= 3
    assert rows["rank"].to_list() == list(range(1, rows.height + 1))


@settings(max_examples=examples(100), deadline=None)
@given(st.sampled_from(NAMES), st.sampled_from(["left", "right"]), st.booleans())
def test_a_number_of_the_other_hand_is_never_accepted(name, side, with_words):
    text, part_id = name
    other = "right" if side == "left" else "left"
    known = pl.DataFrame([("AB1234", None, part_id, other, None)], schema=no_numbers().schema,
                         orient="row")  # fmt: skip
    (rows,) = read({"description": text if with_words else None, "side": side,
                    "part_number_normal": "AB1234"}, known=known)  # fmt: skip
    assert accepted(rows) != part_id


@settings(max_examples=examples(60), deadline=None)
@given(st.lists(st.sampled_from(NAMES), min_size=2, max_size=6, unique=True), st.randoms())
def test_neither_order_nor_company_of_keys_matters(names, random):
    rows = [{"item_key": text, "description": text} for text, _ in names]
    shuffled = list(rows)
    random.shuffle(shuffled)
    frames = [pl.DataFrame([{**dict.fromkeys(KEYS), **row} for row in some], schema=KEYS)
              for some in (rows, shuffled, rows[:1])]  # fmt: skip
    first, second, alone = (match(frame, VOCABULARY, no_numbers(), NO_DECISIONS)
                            for frame in frames)  # fmt: skip
    assert first.equals(second)
    assert first.filter(pl.col("key") == rows[0]["item_key"]).equals(alone)


@given(st.text(alphabet=st.characters(min_codepoint=32, max_codepoint=126), max_size=60))
def test_the_quick_way_of_folding_agrees_with_the_full_one(text):
    from partmuster.reading.text import fold

    assert folded(text) == fold(text)

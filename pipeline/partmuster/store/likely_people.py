"""How likely two names are one person's, by given name, surname, place, telephone and mail.

Pure: frames in, frame out. Whatever two people share (surname, place, postcode, ...) brings them
together, so that not everybody is compared with everybody; spellings are compared once for each
two that differ. The weights were learned from labelled lists of people (``people_weights.json``,
written by ``tests/bench/learn_people.py``); those of short names, initials, telephone and mail are
judgement: the labelled lists have none.
"""

from __future__ import annotations

import functools
import json
from importlib.resources import files
from typing import TYPE_CHECKING, Final

import numpy as np
import polars as pl
from rapidfuzz import process
from rapidfuzz.distance import DamerauLevenshtein

from partmuster_trade.given_names import given_name_forms

from .person_names import read_person

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

#: One reading of one record; a record may have several. ``loose``: it counts for less.
PEOPLE_SCHEMA: Final = {
    "record": pl.UInt32(), "given": pl.String(), "middle": pl.String(), "surname": pl.String(),
    "rank": pl.String(), "loose": pl.Boolean(), "shed": pl.Boolean(), "place": pl.String(),
    "postcode": pl.String(), "phone": pl.String(), "email": pl.String(),
}  # fmt: skip
_LIKELY_SCHEMA: Final = {"one": pl.UInt32(), "other": pl.UInt32(), "probability": pl.Float64()}
#: From which likeness of letters on a spelling is of a level, by field.
_LEVELS: Final = {
    "given": (0.84, 0.74, 0.6, 0.4), "surname": (0.84, 0.74, 0.6, 0.4),
    "place": (0.84, 0.74, 0.6, 0.4), "postcode": (0.74, 0.49),
}  # fmt: skip
_CONTACTS: Final = ("phone", "email")
#: What more than so many have brings nobody together by itself, and a contact tells nobody.
_MOST_TOGETHER: Final = 300
_MOST_OF_CONTACT: Final = 4
_MOST_DIGITS: Final = 9  # of a telephone number, from its end: before them stands the country's
_FEWEST_DIGITS: Final = 5
_COMMON: Final = 5.0  # log of one in how many has a value that is neither common nor rare
_RARE: Final = (-4.0, 3.0)
#: People and places beyond the list, so that a value is not rare because the list is short: added
#: to how many there are, with one more that has the value.
_BEYOND: Final = {"given": 1000, "surname": 1000, "place": 300, "postcode": 300,
                  "phone": 0, "email": 0}  # fmt: skip
_DIFFERENT: Final = 0.5  # likeness under which two spellings are two names

#: Judgement, not learned; log odds. A short name says nearly what the whole one does.
JUDGED: Final = {
    "given_form": 2.0, "given_initial": 1.0, "middle_same": 0.7, "middle_other": -6.0,
    "rank_one": -2.0, "rank_other": -12.0, "contact": 9.5, "shed": 0.5, "shed_other": -6.0,
    "house": -6.0, "first_letter": -3.5,
}  # fmt: skip
#: Log of how many other spellings of each name a club's sheets have: in the labelled lists every
#: person stands twice.
_SELDOM: Final = -3.0


@functools.cache
def learned_weights() -> Mapping[str, float]:
    """Return the weights (log odds) of what two records may have in common, as learned."""
    text = files("partmuster.store").joinpath("people_weights.json").read_text(encoding="utf-8")
    learned: dict[str, float] = json.loads(text)["weights"]
    return learned


@functools.cache
def club_weights() -> Mapping[str, float]:
    """Return the learned weights with what is judged of the names in a club's sheets."""
    learned = learned_weights()
    return {**learned, **JUDGED, "start": learned["start"] + _SELDOM}


def people_of(records: pl.DataFrame) -> pl.DataFrame:
    """Return the readings of records: columns record, name, and place, postcode, phone, email.

    Several rows of one record are its places, telephones and mails. Names that are no person's
    give no reading.
    """
    names = records.get_column("name").unique().to_list()
    read = [
        (name, one.given, one.middle, one.surname, one.rank, one.loose, one.shed)
        for name in names
        for one in read_person(name)
    ]
    readings = pl.DataFrame(
        read, schema=["name", "given", "middle", "surname", "rank", "loose", "shed"], orient="row",
        schema_overrides={"loose": pl.Boolean, "shed": pl.Boolean} | dict.fromkeys(
            ("name", "given", "middle", "surname", "rank"), pl.String),
    )  # fmt: skip
    missing = [
        pl.lit(None, pl.String).alias(name)
        for name in ("place", "postcode", "phone", "email") if name not in records.columns
    ]  # fmt: skip
    return comparable(records.with_columns(missing).join(readings, on="name", how="inner"))


def comparable(people: pl.DataFrame) -> pl.DataFrame:
    """Return readings in the form in which they are compared; absent columns count as empty."""
    people = people.select(
        (pl.col(name) if name in people.columns else pl.lit(None)).cast(dtype).alias(name)
        for name, dtype in PEOPLE_SCHEMA.items()
    )
    letters = [
        pl.col(name).str.to_lowercase().str.replace_all(r"[^\pL\pN]", "").replace("", None)
        for name in ("given", "surname", "place", "postcode")
    ]
    digits = pl.col("phone").str.replace_all(r"\D", "").str.tail(_MOST_DIGITS)
    return people.with_columns(
        *letters,
        pl.col("middle").str.to_lowercase().replace("", None),
        pl.col("rank").replace("", None),
        pl.when(digits.str.len_chars() >= _FEWEST_DIGITS).then(digits).alias("phone"),
        pl.when(pl.col("email").str.contains("@"))
        .then(pl.col("email").str.to_lowercase().str.strip_chars()).alias("email"),
        pl.col("loose", "shed").fill_null(value=False),
    ).unique(maintain_order=True)  # fmt: skip


def likely_same(
    people: pl.DataFrame, others: pl.DataFrame | None = None,
    weights: Mapping[str, float] | None = None,
) -> pl.DataFrame:  # fmt: skip
    """Return (one, other, probability) of each two records that have something in common.

    Among ``people``, or between them and ``others``; see :data:`PEOPLE_SCHEMA`. In the first case
    ``one`` is the smaller number. ``weights``: those of a club's sheets unless others are given.
    """
    together = _paired(people, others)
    if together.is_empty():
        return pl.DataFrame(schema=_LIKELY_SCHEMA)
    pairs = _compare(people, others, together)
    weights = weights or club_weights()
    told = [name for name in pairs.columns if name in weights]
    logit = pl.sum_horizontal(
        pl.lit(weights["start"]),
        -pl.col("how_many").log(),
        *(pl.col(name).cast(pl.Float64) * weights[name] for name in told),
    )
    return (
        pairs.select("one", "other", (1 / (1 + (-logit).exp())).alias("probability"))
        .group_by("one", "other").agg(pl.col("probability").max()).sort("one", "other")
    )  # fmt: skip


def compared(people: pl.DataFrame, others: pl.DataFrame | None = None) -> pl.DataFrame:
    """Return what each two readings have in common: columns one, other, and those of weights.

    ``how_many``: the people in all. The more there are, the less likely is each to be another.
    """
    return _compare(people, others, _paired(people, others))


def _compare(
    people: pl.DataFrame, others: pl.DataFrame | None, pairs: pl.DataFrame
) -> pl.DataFrame:
    one = people.with_row_index("i")
    other = one if others is None else others.with_row_index("i")
    everybody = people if others is None else pl.concat([people, others])
    rare = _rarities(everybody)
    pairs = (
        pairs.join(_with_rarity(one, rare).select(pl.all().name.suffix("_a")),
                   left_on="i", right_on="i_a", how="left")
        .join(_with_rarity(other, rare).select(pl.all().name.suffix("_b")),
              left_on="j", right_on="i_b", how="left")
    )  # fmt: skip
    for field in _LEVELS:
        pairs = _with_likeness(pairs, field)
    return pairs.select(
        pl.col("record_a").alias("one"),
        pl.col("record_b").alias("other"),
        *_told(),
        how_many=pl.lit(float(max(everybody.get_column("record").n_unique(), 1))),
    )


def _paired(people: pl.DataFrame, others: pl.DataFrame | None) -> pl.DataFrame:
    """Return the pairs (i, j) of readings that share something."""
    one = _keyed(people)
    other = one if others is None else _keyed(others)
    whole = _within_bounds(one.filter(~pl.col("loose")))
    found = [_sharing(whole, _within_bounds(other))]
    if others is None:  # loose readings of the second with whole ones of the first, too
        found.append(_sharing(_within_bounds(one.filter(pl.col("loose"))), whole))
    pairs = pl.concat(found)
    if others is None:
        pairs = pairs.filter(pl.col("record") < pl.col("record_b"))
    return pairs.select("i", "j").unique().sort("i", "j")


def _keyed(people: pl.DataFrame) -> pl.DataFrame:
    """Return a row for each reading and each thing by which it may be found."""
    return (
        people.with_row_index("i")
        .select("i", "record", "loose", *(key.alias(f"{n}") for n, key in enumerate(_blocks())))
        .unpivot(index=["i", "record", "loose"], variable_name="block", value_name="key")
        .drop_nulls("key")
    )


def _blocks() -> Iterable[pl.Expr]:
    given, surname = pl.col("given"), pl.col("surname")
    place, postcode = pl.col("place"), pl.col("postcode")
    return (
        surname, given, postcode, place,
        surname.str.head(3) + given.str.head(3), given + place.str.head(2),
        surname.str.head(2) + postcode.str.head(2), given.str.head(2) + place.str.head(3),
        surname.str.head(3) + place.str.head(2), pl.col("phone"), pl.col("email"),
    )  # fmt: skip


def _within_bounds(keyed: pl.DataFrame) -> pl.DataFrame:
    return keyed.filter(pl.len().over("block", "key") <= _MOST_TOGETHER)


def _sharing(keyed: pl.DataFrame, others: pl.DataFrame) -> pl.DataFrame:
    return keyed.join(others, on=["block", "key"], suffix="_b").select(
        "i", "record", "record_b", j="i_b"
    )


def _rarities(everybody: pl.DataFrame) -> dict[str, pl.DataFrame]:
    """Return the log of one in how many has each value, by field."""
    how_many = max(everybody.get_column("record").n_unique(), 1)
    rare = {}
    for field in (*_LEVELS, *_CONTACTS):
        counted = everybody.filter(~pl.col("loose")) if field in ("given", "surname") else everybody
        rare[field] = (
            counted.drop_nulls(field)
            .group_by(field)
            .agg(pl.col("record").n_unique().alias("had"))
            .select(
                field,
                "had",
                ((how_many + _BEYOND[field]) / (pl.col("had") + 1)).log().alias("rare"),
            )
        )
    return rare


def _with_rarity(people: pl.DataFrame, rare: Mapping[str, pl.DataFrame]) -> pl.DataFrame:
    low, high = _RARE
    for field in _LEVELS:
        people = people.join(
            rare[field].select(
                field, (pl.col("rare") - _COMMON).clip(low, high).alias(f"{field}_rare")
            ),
            on=field, how="left", maintain_order="left",
        ).with_columns(pl.col(f"{field}_rare").fill_null(0.0))  # fmt: skip
    for field in _CONTACTS:  # what many have is a club's, not a person's
        few = rare[field].filter(pl.col("had") <= _MOST_OF_CONTACT).get_column(field)
        people = people.with_columns(
            pl.when(pl.col(field).is_in(few.implode())).then(pl.col(field)).alias(field)
        )
    return people


def _with_likeness(pairs: pl.DataFrame, field: str) -> pl.DataFrame:
    """Add how like the spellings are, 0 to 1; each two are compared once."""
    a, b = f"{field}_a", f"{field}_b"
    spellings = pairs.select(a, b).drop_nulls().unique()
    like = process.cpdist(
        spellings.get_column(a).to_list(), spellings.get_column(b).to_list(),
        scorer=DamerauLevenshtein.normalized_similarity,
    ) if spellings.height else np.empty(0)  # fmt: skip
    spellings = spellings.with_columns(pl.Series(f"{field}_like", like, dtype=pl.Float64))
    if field == "given":
        spellings = spellings.with_columns(
            pl.Series("given_form", _forms_of_one(spellings), dtype=pl.Boolean)
        )
    return pairs.join(spellings, on=[a, b], how="left")


def _forms_of_one(spellings: pl.DataFrame) -> pl.Series:
    """Tell for each two given names whether they are forms of one: Bob and Robert."""
    forms = pl.DataFrame(
        [(form, name) for form, names in given_name_forms().items() for name in names],
        schema=["form", "whole"], orient="row",
    )  # fmt: skip
    at = spellings.select("given_a", "given_b").with_row_index("n")
    shared = (
        at.join(forms, left_on="given_a", right_on="form")
        .join(forms, left_on=["given_b", "whole"], right_on=["form", "whole"])
    )  # fmt: skip
    return at.get_column("n").is_in(shared.get_column("n").unique().implode())


def _told() -> list[pl.Expr]:
    """Return what is told of each pair, as expressions over it."""
    told: list[pl.Expr] = []
    levels = {field: _level(field) for field in _LEVELS}
    for field, level in levels.items():
        told += [
            (level == n).fill_null(value=False).alias(f"{field}_{n}")
            for n in range(len(_LEVELS[field]) + 2)
        ]
        least = pl.min_horizontal(f"{field}_rare_a", f"{field}_rare_b")
        near = level.is_in([1, 2]).fill_null(value=False)
        told.append(pl.when(level == 0).then(least).otherwise(0.0).alias(f"{field}_rare"))
        told.append(pl.when(near).then(least).otherwise(0.0).alias(f"{field}_near_rare"))
    said = list(levels.values())
    same = pl.sum_horizontal((level == 0).fill_null(value=False) for level in said)
    other = pl.sum_horizontal(
        ((pl.col(f"{field}_like") < _DIFFERENT) & (level > 0)).fill_null(value=False)
        for field, level in levels.items()
    )
    told += [(same >= n).alias(f"same_{n}") for n in (2, 3)]
    told += [(other >= n).alias(f"other_{n}") for n in (2, 3)]
    told.append((pl.col("loose_a") | pl.col("loose_b")).alias("turned"))
    return told + _told_of_names(levels["given"], levels["surname"])


def _told_of_names(given: pl.Expr, surname: pl.Expr) -> list[pl.Expr]:
    """Return what is told by more than the spellings."""
    middle = [pl.col(f"middle_{side}").str.head(1) for side in "ab"]
    initials = [pl.col(f"surname_{side}").str.head(1) for side in "ab"]
    ranks = pl.col("rank_a"), pl.col("rank_b")
    one_shed = pl.col("shed_a") != pl.col("shed_b")
    fits = given.is_null() | (given <= 2) | _form() | _initial()  # noqa: PLR2004 - levels that are near
    contact = pl.any_horizontal(
        (pl.col(f"{field}_a") == pl.col(f"{field}_b")).fill_null(value=False)
        for field in _CONTACTS
    )  # fmt: skip
    return [
        _form().alias("given_form"),
        _initial().alias("given_initial"),
        (middle[0] == middle[1]).fill_null(value=False).alias("middle_same"),
        (middle[0] != middle[1]).fill_null(value=False).alias("middle_other"),
        (ranks[0].is_null() != ranks[1].is_null()).alias("rank_one"),
        (ranks[0] != ranks[1]).fill_null(value=False).alias("rank_other"),
        (contact & fits).alias("contact"),  # those of one house have one telephone
        (one_shed & (surname == 0)).fill_null(value=False).alias("shed"),
        (one_shed & (surname != 0)).fill_null(value=True).alias("shed_other"),
        # those of one house share surname and place; the labelled people are nobody's kin
        ((given > 2) & (surname == 0)).fill_null(value=False).alias("house"),  # noqa: PLR2004
        (initials[0] != initials[1]).fill_null(value=False).alias("first_letter"),
    ]


def _form() -> pl.Expr:
    return pl.col("given_form").fill_null(value=False) & (pl.col("given_like") < 1)


def _initial() -> pl.Expr:
    """Tell an initial of the other's name."""
    a, b = pl.col("given_a"), pl.col("given_b")
    short = (a.str.len_chars() == 1) != (b.str.len_chars() == 1)
    return (short & (a.str.head(1) == b.str.head(1))).fill_null(value=False)


def _level(field: str) -> pl.Expr:
    """Return 0 for the same, 1 and up the less like they are; null where one is not said."""
    like = pl.col(f"{field}_like")
    unsaid = like.is_null() | (_form() | _initial() if field == "given" else pl.lit(value=False))
    level = pl.when(unsaid).then(None).when(like == 1.0).then(0)
    for n, least in enumerate(_LEVELS[field], start=1):
        level = level.when(like >= least).then(n)
    return level.otherwise(len(_LEVELS[field]) + 1)

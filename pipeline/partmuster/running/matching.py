"""What descriptions mean, worked out from everything the club says, whatever came in first.

A number names a part once lines accepted by name have taught it, wherever those lines stand. So
the keys of an import are matched by name first, the numbers are learned from old and new lines
together, and every key that carries such a number is matched again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.stages.match import learn_numbers, match
from partmuster.stages.normalising.identity import with_item_key
from partmuster.store.frames import fetch
from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import ItemKey
from partmuster_schemas.said import MODELS

from .context import families_of, listed_parts, with_regions, words_of_new_members

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from duckdb import DuckDBPyConnection

    from partmuster.hooks import Matcher
    from partmuster.stages.matching.trust import Standard
    from partmuster.store.put_aside import LinesOfKind
    from partmuster_trade import Vocabulary

    from .shared_matching import SharedMatching

KEY_SCHEMA = polars_schema(ItemKey)
NO_NUMBERS = {"number": pl.String, "maker": pl.String, "part_id": pl.String, "hand": pl.String,
              "position": pl.String}  # fmt: skip
NO_DECISIONS = {"topic": pl.String, "subject": pl.String, "answer": pl.String}
#: What stands for the family of a line that names none, such as a survey's.
_ANY_FAMILY = "the club"
_NUMBERED = tuple(
    kind for kind, model in MODELS.items() if "part_number_normal" in polars_schema(model)
)


class HandedParts:
    """Which descriptions name a part with a left and a right hand, by exact name alone."""

    def __init__(self, vocabulary: Vocabulary, region: str | None) -> None:
        self._vocabulary = vocabulary
        self._region = region
        self._known: dict[str, str | None] = {}

    def __call__(self, descriptions: list[str]) -> set[str]:
        """Return those of the descriptions that surely name a handed part."""
        self._learn(descriptions)
        return {one for one in descriptions if self._known[one] == "handed"}

    def same(self, descriptions: list[str]) -> set[str]:
        """Return those of the descriptions that surely name a part without a hand."""
        self._learn(descriptions)
        return {one for one in descriptions if self._known[one] in {"same", "reversible"}}

    def _learn(self, descriptions: list[str]) -> None:
        fresh = [one for one in descriptions if one not in self._known]
        if fresh:
            self._known |= dict.fromkeys(fresh) | self._handed(fresh)

    def _handed(self, descriptions: list[str]) -> dict[str, str | None]:
        """Return whether parts are handed by the descriptions that surely name one.

        All that a description may mean is without a hand: so is it, whichever is meant.
        """
        keys = with_item_key(pl.DataFrame({"description": descriptions}))
        keys = keys.with_columns(
            pl.lit(None, dtype=dtype).alias(name)
            for name, dtype in KEY_SCHEMA.items()
            if name not in keys.columns
        ).select(list(KEY_SCHEMA))
        found = match(
            keys, self._vocabulary, pl.DataFrame(schema=NO_NUMBERS),
            pl.DataFrame(schema=NO_DECISIONS), region=self._region, exact_only=True,
        )  # fmt: skip
        named = found.filter(pl.col("target").is_not_null())
        meant = named.join(keys, left_on="key", right_on="item_key")
        readings: dict[str, set[str]] = {}
        told: dict[str, str | None] = {}
        for description, target, accepted in meant.select(
            "description", "target", "accepted"
        ).iter_rows():
            handed = self._vocabulary.by_id(target).handed
            readings.setdefault(description, set()).add(handed)
            if accepted:
                told[description] = handed
        without = {one: "same" for one, found in readings.items() if "handed" not in found}
        return without | told


def identify(
    con: DuckDBPyConnection,
    new_lines: Sequence[Mapping[str, LinesOfKind]],
    new_keys: pl.DataFrame,
    vocabulary: Vocabulary,
    matchers: Sequence[Matcher],
    *,
    region: str | None,
    again: Collection[str] | None = None,
    everything: bool = False,
    failures: list[str] | None = None,
    shared: SharedMatching | None = None,
    standard: Standard | None = None,
    judge_again: bool = False,
) -> pl.DataFrame:
    """Return what the new keys mean, and old keys that new lines or new words tell otherwise.

    ``new_lines``: typed frames by kind, one mapping a version. Item keys in ``again`` are
    matched again, with ``everything`` all that the club has. A plugin's matcher that fails is
    left out and named in ``failures``. ``shared``: the processes among which much is shared.
    ``standard``: what likeness must reach; with ``judge_again`` it is another than before, and all
    that was judged by likeness is judged again. Columns: those of ``Identification`` without the
    recorded ones.
    """
    old_keys = fetch(con, f"SELECT {', '.join(KEY_SCHEMA)} FROM item_key").select(  # noqa: S608 - own names
        pl.col(name).cast(dtype) for name, dtype in KEY_SCHEMA.items()
    )
    keys = pl.concat([new_keys.select(list(KEY_SCHEMA)), old_keys]).unique(
        "item_key", keep="first", maintain_order=True
    )
    keys = with_regions(con, keys, new_lines)
    # A family's name is no part of a part's: one never heard of before may change any reading.
    everything = everything or bool(
        old_keys.height and set(families_of(con, new_lines)) - set(families_of(con, ()))
    )
    fresh = keys if everything else keys.join(old_keys, on="item_key", how="anti")
    once_more = {*(again or ()), *words_of_new_members(con, new_lines)}
    if judge_again:
        once_more |= _judged_by_likeness(con)
    if once_more:
        fresh = pl.concat([fresh, keys.filter(pl.col("item_key").is_in(list(once_more)))]).unique(
            "item_key", maintain_order=True
        )
    families = families_of(con, new_lines)
    # The store lets people's decisions rule over all this.
    undecided = pl.DataFrame(schema=NO_DECISIONS)
    no_numbers = pl.DataFrame(schema=NO_NUMBERS)
    matched = shared.match if shared is not None else match
    by_name = matched(
        fresh, vocabulary, no_numbers, undecided, matchers, region, families, failures, None,
        standard,
    )  # fmt: skip
    lines = _numbered_lines(con, new_lines)
    numbers = learn_numbers(lines, _taught(con, by_name), vocabulary)
    # Only what the new lines say of a number can change what older lines with it mean; and a new
    # line only where its number is known at all.
    touched = lines if everything else _numbered_lines(None, new_lines)
    carrying = _carrying(
        keys, fresh, numbers.get_column("number"), touched.get_column("part_number_normal")
    )
    told_again = pl.concat([carrying, _namesakes(con, keys, by_name, new_lines)]).unique(
        "item_key", maintain_order=True
    )
    if not told_again.height:
        return by_name
    second = matched(
        told_again.with_columns(pl.col("family").fill_null(_ANY_FAMILY)),
        vocabulary, numbers, undecided, matchers, region, families, failures,
        listed_parts(con, new_lines, by_name, _ANY_FAMILY), standard,
    )  # fmt: skip
    rest = by_name.join(told_again, left_on="key", right_on="item_key", how="anti")
    return pl.concat([rest, second])


def _judged_by_likeness(con: DuckDBPyConnection) -> set[str]:
    """Return the item keys whose leading part is one that the words only come near to."""
    found = fetch(
        con,
        "SELECT key FROM identification_now "
        "WHERE role = 'part' AND rank = 1 AND method = 'fuzzy' AND NOT starts_with(key, 'line:')",
    )
    return set(found.get_column("key").to_list())


def _namesakes(
    con: DuckDBPyConnection,
    keys: pl.DataFrame,
    by_name: pl.DataFrame,
    new_lines: Sequence[Mapping[str, LinesOfKind]],
) -> pl.DataFrame:
    """Return the keys that a family's lists may settle: "road wheel" of a tracked family.

    Those just read that wait between several parts; and where new lists came in, all that wait,
    or were settled by the lists as they were.
    """
    several = (
        by_name.group_by("key")
        .agg((pl.len() > 1).alias("several"), pl.col("accepted").any())
        .filter(pl.col("several") & ~pl.col("accepted"))
        .get_column("key")
    )
    waiting = [several]
    if any("requirement" in lines for lines in new_lines):
        standing = fetch(
            con,
            "SELECT key FROM identification_now WHERE role = 'part' AND method <> 'decision' "
            "GROUP BY key HAVING (count(*) > 1 AND NOT bool_or(accepted)) "
            "OR bool_or(contains(reasons, 'the lists of '))",
        )
        waiting.append(standing.get_column("key").cast(pl.String))
    return keys.filter(pl.col("item_key").is_in(pl.concat(waiting).unique().to_list()))


def _taught(con: DuckDBPyConnection, by_name: pl.DataFrame) -> pl.DataFrame:
    """Return what teaches numbers: names just read, names read before, and people's decisions."""
    standing = fetch(
        con,
        "SELECT role, key, rank, target, probability, method, reasons, accepted "
        "FROM identification_now WHERE role = 'part' AND method IN ('exact', 'decision')",
    ).cast(dict(by_name.schema))  # type: ignore[arg-type]
    decided = standing.filter(pl.col("method") == "decision")
    named = by_name.filter(pl.col("method") == "exact").join(decided, on="key", how="anti")
    before = standing.filter(pl.col("method") == "exact").join(by_name, on="key", how="anti")
    return pl.concat([frame.select(by_name.columns) for frame in (named, before, decided)])


def _carrying(
    keys: pl.DataFrame, fresh: pl.DataFrame, known: pl.Series, touched: pl.Series
) -> pl.DataFrame:
    """Return the keys that carry a number: a known one if they are fresh, else a touched one."""
    is_fresh = pl.col("item_key").is_in(fresh.get_column("item_key").to_list())
    return keys.filter(
        pl.any_horizontal(
            pl.when(is_fresh)
            .then(pl.col(column).is_in(known.to_list()))
            .otherwise(pl.col(column).is_in(touched.to_list()))
            for column in ("part_number_normal", "casting_number")
        ).fill_null(value=False)
    )


def _numbered_lines(
    con: DuckDBPyConnection | None, new_lines: Sequence[Mapping[str, LinesOfKind]]
) -> pl.DataFrame:
    """Return item key, number, maker, side and position of lines with a part number.

    Of the new lines, and of the club's too where a connection is given.
    """
    columns = ["item_key", "part_number_normal", "maker", "side", "position"]
    selects = " UNION ".join(
        f"SELECT {', '.join(columns)} FROM {kind} WHERE part_number_normal IS NOT NULL"  # noqa: S608 - own names
        for kind in _NUMBERED
    )
    nothing = pl.DataFrame(schema=dict.fromkeys(columns, pl.String))
    frames = [nothing if con is None else fetch(con, selects).cast(pl.String)]
    for lines in new_lines:
        frames += [
            frame.select(columns).filter(pl.col("part_number_normal").is_not_null())
            for kind, frame in lines.items()
            if kind in _NUMBERED
        ]
    return pl.concat(frames).unique(maintain_order=True)

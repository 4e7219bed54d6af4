"""One door to every answer, by its name: what the command line and publishers use."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from partmuster.model import PartmusterError

from .donors import donors
from .explain import explain
from .fits import fits
from .holders import holders
from .lacks import lacks
from .trace import trace

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    import polars as pl
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

#: The answers there are, each with the frame columns of a model in ``partmuster_schemas.answers``.
ANSWERS: Final = ("lacks", "completeness", "holders", "donors", "fits", "explain", "trace")


def answer(
    con: DuckDBPyConnection,
    name: str,
    vocabulary: Vocabulary,
    *,
    vehicle: str | None = None,
    words: str | None = None,
    on: str | None = None,
    identify: Callable[[str], pl.DataFrame] | None = None,
    as_of: dt.date | None = None,
    known_now: bool = False,
    include_all: bool = False,
) -> pl.DataFrame:
    """Return an answer's rows.

    ``words``: the part for ``holders``, ``donors``, ``fits`` and ``explain``, the id for
    ``trace``; ``on``: the vehicle or build for ``fits``. ``as_of`` limits what was said and
    recorded to a day; ``known_now`` lifts the limit on when it was recorded.

    Raises:
        PartmusterError: there is no such answer, or what is asked about is not known.
    """
    if name in ("lacks", "completeness"):
        both = lacks(con, vocabulary, vehicle, as_of, known_now, include_all)
        return both.rows if name == "lacks" else both.completeness
    if name == "donors":
        return donors(
            con, vocabulary, vehicle, words, identify, as_of, known_now, include_all
        )  # fmt: skip
    if name == "holders":
        return holders(con, vocabulary, _needed(words, "a part"), identify, as_of, known_now)
    if name == "fits":
        return fits(
            con, vocabulary, _needed(words, "a part"), _needed(on or vehicle, "a vehicle or build"),
            identify, as_of, known_now,
        )  # fmt: skip
    if name == "explain":
        return explain(
            con, vocabulary, _needed(words, "a part"), _needed(vehicle, "a vehicle"), identify,
            as_of, known_now,
        )  # fmt: skip
    if name == "trace":
        return trace(con, _needed(words, "an id"))
    raise PartmusterError(f"there is no answer '{name}'. There are: {', '.join(ANSWERS)}.")


def _needed(words: str | None, what: str) -> str:
    if not words or not words.strip():
        raise PartmusterError(f"the question needs {what}.")
    return words

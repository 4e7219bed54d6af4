"""What likeness must reach in this club: set from its decisions, kept as a setting.

It is set anew at an import or a full ``rematch``, and only when it is due: when a fifth more is
confirmed than it was set from, when something was taken back, or when the error was set otherwise.
So probabilities do not move with every answer.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Final

from partmuster.stages.matching.candidates import Item
from partmuster.stages.matching.confirmed import confirmed_lines
from partmuster.stages.matching.trust import Standard
from partmuster.stages.matching.trust_model import as_json, of_json, shipped_model
from partmuster.stages.matching.trust_standard import ERROR, LEAST_CONFIRMED, Tested, set_standard
from partmuster.store.decisions import standing_decisions
from partmuster.store.settings import ERROR_SETTING, put_setting, read_settings

from .context import families_of, region_of

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from partmuster_trade import Vocabulary

STANDARD_SETTING: Final = "match-standard"
_GROWN: Final = 1.2  # times what it was set from
_ITEM = ("item_key", "description", "part_number_normal", "casting_number", "maker",
         "supply_class", "side", "position", "family", "assembly", "region")  # fmt: skip


def error_of(con: DuckDBPyConnection) -> float:
    """Return the share of accepted matches that may be wrong in this club."""
    said = read_settings(con).get(ERROR_SETTING)
    return float(said) if said else ERROR


def standard_in_force(con: DuckDBPyConnection) -> Tested:
    """Return the standard that was set last; before any, the one that ships."""
    kept = read_settings(con).get(STANDARD_SETTING)
    if kept:
        try:
            return _of_text(json.loads(kept))
        except (KeyError, TypeError, ValueError):  # kept by another version: it is set anew
            pass
    return set_standard((), error_of(con))


def standard_anew(
    con: DuckDBPyConnection, vocabulary: Vocabulary, *, always: bool = False
) -> tuple[Tested, bool]:
    """Return the standard that is due now, and whether it is another than was in force.

    ``always``: set it anew also where nothing makes it due.
    """
    before = standard_in_force(con)
    error = error_of(con)
    decided = {
        subject: said.answer
        for subject, said in standing_decisions(con, "part").items()
        if said.answer is not None and not subject.startswith("line:")
    }
    if len(decided) < LEAST_CONFIRMED and before.standard.threshold is None:
        return set_standard((), error), False
    lines = confirmed_lines(
        _answers(con, decided), vocabulary, region_of(read_settings(con).get("country")),
        families_of(con, ()),
    )  # fmt: skip
    own = len({line.words for line in lines})
    due = (
        always or error != before.error or own < before.confirmed
        or own >= _GROWN * max(before.confirmed, 1) or before.standard.threshold is None
    )  # fmt: skip
    if not due:
        return before, False
    after = set_standard(lines, error)
    if after.standard.threshold is None:
        after = _without(after)
    return after, after.standard != before.standard


def keep_standard(con: DuckDBPyConnection, tested: Tested) -> None:
    """Keep a standard as the one in force."""
    text = json.dumps(_as_text(tested), sort_keys=True)
    before = read_settings(con).get(STANDARD_SETTING)
    unset = before is None and tested.standard.threshold is None
    if not unset and text != before:
        put_setting(con, STANDARD_SETTING, text)


def _without(tested: Tested) -> Tested:
    """Return a standard without threshold with the shipped model: nothing is to move for it."""
    return Tested(Standard(shipped_model()), tested.error, tested.confirmed, waits=tested.waits)


def _answers(con: DuckDBPyConnection, decided: dict[str, str]) -> list[tuple[Item, str]]:
    rows = con.execute(
        f"SELECT {', '.join(_ITEM)} FROM item_key WHERE item_key IN "  # noqa: S608 - own names
        "(SELECT unnest($1)) ORDER BY item_key",
        [sorted(decided)],
    ).fetchall()
    return [(Item(*row), decided[row[0]]) for row in rows]


def _as_text(tested: Tested) -> dict[str, Any]:
    return {
        "model": as_json(tested.standard.model), "threshold": tested.standard.threshold,
        "error": tested.error, "confirmed": tested.confirmed, "tested": tested.tested,
        "wrong": tested.wrong, "likened": tested.likened, "waits": tested.waits,
    }  # fmt: skip


def _of_text(kept: dict[str, Any]) -> Tested:
    threshold = kept["threshold"]
    return Tested(
        Standard(of_json(kept["model"]), None if threshold is None else float(threshold)),
        float(kept["error"]), int(kept["confirmed"]), int(kept["tested"]), int(kept["wrong"]),
        int(kept["likened"]), str(kept["waits"]),
    )  # fmt: skip

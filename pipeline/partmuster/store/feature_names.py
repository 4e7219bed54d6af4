"""Which feature of the family files the words of what was seen on a vehicle mean.

Equal words are accepted; words that are nearly alike are proposed, and a person is asked. An answer
holds for all lines with those words in that family and assembly. What no family file names stays
as it was said, and nobody is asked.
"""

from __future__ import annotations

import re
from collections import defaultdict
from typing import TYPE_CHECKING, Any

import polars as pl

from .decisions import NONE, standing_decisions
from .feature_words import likeness
from .frames import stage
from .identifications import CONCLUSION_SCHEMA, record_concluded
from .kinds_said import kinds_said
from .outcomes import ask_staged

if TYPE_CHECKING:
    import datetime as dt

    from duckdb import DuckDBPyConnection

    from .decisions import Standing

TOPIC = "feature"
_MOST_CHOICES = 5
_QUESTION = {"topic": pl.String, "subject": pl.String, "question": pl.String,
             "choices": pl.String, "lines": pl.Int64}  # fmt: skip

#: Features that family files name, folded as they are compared, with their words.
_KNOWN = """
    SELECT lower(family), coalesce(assembly, ''), folded_feature(feature), min(feature)
    FROM build WHERE feature IS NOT NULL AND family IS NOT NULL GROUP BY ALL ORDER BY ALL
"""
#: What was seen on vehicles whose family is known, each words of a family and assembly once.
_SAID = """
    WITH vehicles AS (
        SELECT n.key, lower(v.family) AS family
        FROM vehicles_as_of(NULL, true) v
        JOIN identification_now n ON n.role = 'vehicle' AND n.accepted AND n.target = v.vehicle_id
        WHERE v.family IS NOT NULL
    )
    SELECT v.family, coalesce(f.assembly, ''), folded_feature(f.feature), min(f.feature),
        count(DISTINCT f.line_id)
    FROM feature f JOIN vehicles v ON v.key = f.vehicle_key
    GROUP BY ALL ORDER BY ALL
"""


def identify_features(con: DuckDBPyConnection, now: dt.datetime) -> int:
    """Conclude which features the words of feature lines mean, and ask about those in doubt.

    To be called when the names of vehicles are concluded. Returns how many words changed.
    """
    said: list[tuple[Any, ...]] = []
    known: dict[str, dict[tuple[str, str], str]] = defaultdict(dict)
    if {"build", "feature"} <= kinds_said(con):
        said = con.execute(_SAID).fetchall()
        for family, assembly, folded, words in con.execute(_KNOWN).fetchall():
            known[family].setdefault((assembly, folded), words)
    decisions = standing_decisions(con, TOPIC) if said else {}
    rows: list[dict[str, Any]] = []
    asked: list[dict[str, Any]] = []
    for family, assembly, folded, words, lines in said:
        if not folded or family not in known:
            continue
        key = f"{family}|{assembly}|{folded}"
        named = _named(known[family], assembly)
        found, question = _meant(key, words, folded, named, decisions.get(key))
        rows += found
        if question is not None:
            asked.append({"topic": TOPIC, "subject": key, "lines": lines, **question})
    stage(con, "concluded", pl.DataFrame(rows, schema=CONCLUSION_SCHEMA))
    changed = record_concluded(con, now)
    _ask(con, asked, now)
    return changed


def _named(known: dict[tuple[str, str], str], assembly: str) -> dict[str, str]:
    """Return the words of the features that a family has on an assembly, by their folded words."""
    return {
        folded: words for (own, folded), words in known.items() if not assembly or own == assembly
    }


def _meant(
    key: str, words: str, folded: str, named: dict[str, str], said: Standing | None
) -> tuple[list[dict[str, Any]], dict[str, str] | None]:
    """Return the conclusions about some words, and what is to be asked about them."""
    if said is not None and said.answer is not None:
        target = None if said.answer == NONE else said.answer
        reason = f"decided by {said.decided_by}"
        return [_row(key, 1, target, 1.0, reason, method="decision",
                     accepted=target is not None)], None  # fmt: skip
    if folded in named:
        return [_row(key, 1, folded, 1.0, "the family file's own words", accepted=True)], None
    same = [one for one in named if _bare(one) == _bare(folded)]
    if len(same) == 1:
        return [_row(key, 1, same[0], 1.0, "the same words", accepted=True)], None
    near = sorted(
        ((likeness(folded, one), one) for one in named), key=lambda pair: (-pair[0], pair[1])
    )
    near = [pair for pair in near if pair[0] > 0][:_MOST_CHOICES]
    if not near:
        reason = "no family file names such a feature"
        return [_row(key, 1, None, 0.0, reason, accepted=False)], None
    reason = "nearly the same words"
    if said is not None:
        reason = "two decisions contradict each other"
    rows = [_row(key, rank, one, chance, reason, method="fuzzy", accepted=False)
            for rank, (chance, one) in enumerate(near, start=1)]  # fmt: skip
    return rows, _question(key, words, [named[one] for _, one in near])


def _bare(folded: str) -> str:
    """Return words without the signs between them."""
    return re.sub(r"[^\w]+", " ", folded).strip()


def _question(key: str, words: str, named: list[str]) -> dict[str, str]:
    family, assembly, _ = key.split("|", 2)
    whose = f"the {family.title()} {assembly.replace('-', ' ')}".strip()
    if len(named) == 1:
        question = f'Is "{words}" the feature "{named[0]}" of {whose}?'
    else:
        question = f'Which feature of {whose} is "{words}"?'
    return {"question": question, "choices": ";".join([*map(as_choice, named), NONE])}


def as_choice(words: str) -> str:
    """Return a feature's words as one of the choices, which are parted by ';'."""
    return words.replace(";", ",")


def feature_meant(con: DuckDBPyConnection, subject: str, answer: str) -> str | None:
    """Return the feature that an answer to such a question means, folded, or ``none``.

    None where it means nothing: any feature that the family files name there will do, and yes or
    no where one is asked about.
    """
    family, assembly, _ = subject.split("|", 2)
    named = {
        folded: words for own, of, folded, words in con.execute(_KNOWN).fetchall()
        if own == family and (not assembly or of == assembly)
    }  # fmt: skip
    wanted = _bare(answer.casefold())
    proposed = [target for (target,) in con.execute(
        "SELECT target FROM identification_now WHERE role = 'feature' AND key = ? "
        "AND target IS NOT NULL ORDER BY rank", [subject],
    ).fetchall()]  # fmt: skip
    if wanted == "yes" and len(proposed) == 1:
        return str(proposed[0])
    if wanted in {NONE, "no"}:
        return NONE
    return next((folded for folded in named if _bare(folded) == wanted), None)


def _ask(con: DuckDBPyConnection, asked: list[dict[str, Any]], now: dt.datetime) -> None:
    """Ask what is in doubt, and close what is settled."""
    stage(con, "raised", pl.DataFrame(asked, schema=_QUESTION))
    con.execute(
        "CREATE OR REPLACE TEMP TABLE asked AS "
        "SELECT substr(md5(topic || chr(31) || subject), 1, 10) AS question_id, * FROM raised"
    )
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL AND topic = ? "
        "AND question_id NOT IN (SELECT question_id FROM asked)",
        [now, TOPIC],
    )
    ask_staged(con, now)


def _row(
    key: str, rank: int, target: str | None, probability: float, reason: str, *,
    method: str = "name", accepted: bool,
) -> dict[str, Any]:  # fmt: skip
    return {
        "role": "feature", "key": key, "rank": rank, "target": target, "probability": probability,
        "method": method, "reasons": reason, "accepted": accepted,
    }  # fmt: skip

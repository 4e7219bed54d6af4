"""One person in several spellings: suspected by name, place, telephone and mail, and asked about.

Nobody is taken for another until a person says so. Telephone, mail and place are compared, and
never told: the question names the two spellings and what agrees.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import polars as pl

from .decided_pairs import DIFFERENT, SAME, SAME_PERSON, subject_of
from .decisions import all_standing
from .frames import fetch, first_row, stage
from .kinds_said import kinds_said, united
from .likely_people import likely_same, people_of
from .outcomes import ask_staged

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from duckdb import DuckDBPyConnection

#: From which probability on people are asked about.
ASK_FROM: Final = 0.5
_ASKED = {"question_id": pl.String, "topic": pl.String, "subject": pl.String,
          "question": pl.String, "choices": pl.String, "lines": pl.Int64}  # fmt: skip
#: Names of people, each with whom it means; one row for each place, telephone and mail.
_NAMES = """
    WITH meant AS (
        SELECT key AS name, min(target) AS target FROM identification_now
        WHERE role = 'holder' AND accepted AND target IS NOT NULL GROUP BY key
    ), told AS (
        SELECT holder_key AS name, place, NULL AS phone, NULL AS email
        FROM holding WHERE holder_key IS NOT NULL
        UNION SELECT keeper_key, place, NULL, NULL FROM vehicle WHERE keeper_key IS NOT NULL
        UNION SELECT owner_key, place, NULL, NULL FROM vehicle
        WHERE owner_key IS NOT NULL AND keeper_key IS NULL
        UNION SELECT keeper_key, place, NULL, NULL FROM place WHERE keeper_key IS NOT NULL
        UNION SELECT holder_key, town, phone, email FROM holder WHERE holder_key IS NOT NULL
    )
    SELECT DISTINCT name, target, place, phone, email FROM meant LEFT JOIN told USING (name)
    ORDER BY ALL
"""


def ask_same_people(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Ask which names may be one person's, and close what is asked no more.

    To be called when names are settled.
    """
    _ask(con, list(_suspected(con)), now)


def _suspected(con: DuckDBPyConnection) -> Iterable[dict[str, Any]]:
    frame = fetch(con, _NAMES)
    if frame.get_column("target").n_unique() < 2:  # noqa: PLR2004 - two people
        return
    # what is told of one name of a person is told of all of them
    whole = (
        frame.select("name", "target")
        .unique()
        .join(frame.select("target", "place", "phone", "email").unique(), on="target")
    )
    ids = whole.select("name").unique().sort("name").with_row_index("record")
    found = likely_same(people_of(whole.join(ids, on="name").cast({"record": pl.UInt32})))
    standing = all_standing(con).get(SAME_PERSON, {})
    target = dict(whole.select("name", "target").unique().iter_rows())
    names = ids.get_column("name").to_list()
    likeliest: dict[tuple[str, str], tuple[float, str, str]] = {}
    for one, other, chance in found.filter(pl.col("probability") >= ASK_FROM).iter_rows():
        a, b = names[one], names[other]
        who = tuple(sorted((target[a], target[b])))
        if who[0] != who[1]:
            told = (chance, *sorted((a, b)))
            likeliest[who[0], who[1]] = max(likeliest.get((who[0], who[1]), told), told)
    said = united("said_name", kinds_said(con))
    lines = dict(con.execute(
        f"SELECT key, count(DISTINCT line_id) FROM ({said}) WHERE role = 'holder' GROUP BY key"  # noqa: S608 - own views
    ).fetchall())  # fmt: skip
    for chance, one, other in sorted(likeliest.values(), key=lambda told: told[1:]):
        decided = standing.get(subject_of(one, other))
        if decided is not None and decided.answer is not None:
            continue
        yield {
            "question_id": None, "topic": SAME_PERSON, "subject": subject_of(one, other),
            "question": f'Are "{_written(one)}" and "{_written(other)}" one person? '
                        f"The names{_what_else(frame, one, other)} agree ({chance:.0%})",
            "choices": f"{SAME};{DIFFERENT}",
            "lines": min(lines.get(one, 0), lines.get(other, 0)),
        }  # fmt: skip


def _written(name: str) -> str:
    """Return a name as one writes it."""
    return name.replace(" s ", "'s ").title().replace("'S ", "'s ")


def _what_else(frame: pl.DataFrame, one: str, other: str) -> str:
    """Say what more than the names agrees, without telling it."""
    words = {"place": " and places", "phone": " and telephones", "email": " and mails"}
    shared = []
    for column, word in words.items():
        had = [
            set(
                frame.filter(pl.col("name") == name)
                .get_column(column)
                .drop_nulls()
                .str.to_lowercase()
            )
            for name in (one, other)
        ]
        if had[0] & had[1]:
            shared.append(word)
    return "".join(shared)


def _ask(con: DuckDBPyConnection, asked: list[dict[str, Any]], now: dt.datetime) -> None:
    is_open = first_row(
        con, "SELECT 1 FROM question WHERE recorded_to IS NULL AND topic = ? LIMIT 1", [SAME_PERSON]
    )
    if not asked and is_open is None:
        return
    stage(con, "asked", pl.DataFrame(asked, schema=_ASKED))
    con.execute("UPDATE asked SET question_id = substr(md5(topic || chr(31) || subject), 1, 10)")
    con.execute(
        "UPDATE question SET recorded_to = ? WHERE recorded_to IS NULL AND topic = ? "
        "AND question_id NOT IN (SELECT question_id FROM asked)",
        [now, SAME_PERSON],
    )
    ask_staged(con, now)

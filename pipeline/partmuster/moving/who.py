"""Who is meant by a name, and all that the club's records call that person."""
# ruff: noqa: S608 - tables are this package's own; all else is handed over as a value

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING, Any

from partmuster.model import PartmusterError
from partmuster_schemas.columns import described
from partmuster_schemas.said import MODELS

from .person import Person, name_key
from .rows import NAMES

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from duckdb import DuckDBPyConnection

#: Shorter texts are no address or number by which somebody could be known.
_CONTACT_LENGTH = 6
_PEOPLE = ("holder_key", "owner_key", "keeper_key")


def find_person(
    con: DuckDBPyConnection,
    schema: str,
    name: str,
    also: Sequence[str],
    pseudonym: Callable[[str], str],
) -> Person:
    """Return the person that a name means, with every name, contact and place of theirs.

    ``schema``: where the club's tables are; ``pseudonym`` makes one of a folded name.

    Raises:
        PartmusterError: it is no name, or several people go by it.
    """
    key = name_key(name)
    if not any(sign.isalpha() for sign in key):
        raise PartmusterError(f"'{name}' is no name of a person")
    keys = _keys(con, schema, name, key)
    turned = {" ".join(reversed(one.split())) for one in keys if one.count(" ") == 1}
    keys = [*keys, *sorted(turned - set(keys))]
    places, addresses = _places(con, schema, keys)
    return Person(
        pseudonym=pseudonym(keys[0]),
        keys=tuple(keys),
        also=tuple(dict.fromkeys(filter(None, map(name_key, also)))),
        contacts=tuple(dict.fromkeys([*_contacts(con, schema, keys), *addresses])),
        places=tuple(places),
    )


def written(con: DuckDBPyConnection, schema: str, keys: Sequence[str]) -> list[str]:
    """Return how folded names are written in the columns of people and places, in their order."""
    found: dict[str, Counter[str]] = {}
    for column in (*NAMES, "place"):
        for kind, model in MODELS.items():
            if column in described(model):
                for text, times in con.execute(
                    f"SELECT {column}, count(*) FROM {schema}.said_{kind} "
                    f"WHERE {column} IS NOT NULL GROUP BY ALL"
                ).fetchall():
                    found.setdefault(name_key(text), Counter())[text] += times
    return [
        max(found[key].items(), key=lambda pair: (pair[1], pair[0]))[0]
        for key in keys if key in found
    ]  # fmt: skip


def _keys(con: DuckDBPyConnection, schema: str, name: str, key: str) -> list[str]:
    """Return all folded names that are taken to mean the person, the leading one first.

    Raises:
        PartmusterError: the name is open between several people.
    """
    rows = con.execute(
        f"SELECT DISTINCT target, accepted FROM {schema}.identification "
        "WHERE role = 'holder' AND key = ? AND recorded_to IS NULL AND target IS NOT NULL "
        "ORDER BY 1",
        [key],
    ).fetchall()
    accepted = [target for target, sure in rows if sure]
    called = _other_names(con, schema)
    meant = sorted(owner for owner, names in called.items() if key in names)
    if not accepted and (len(rows) > 1 or len(meant) > 1):
        several = ", ".join(meant or [target for target, _ in rows])
        raise PartmusterError(f"'{name}' may mean several people: {several}. Give the full name.")
    if not accepted and meant and meant != [key]:
        return _keys(con, schema, name, meant[0])
    leading = accepted[0].replace("-", " ") if accepted else key
    others = con.execute(
        f"SELECT DISTINCT key FROM {schema}.identification WHERE role = 'holder' AND accepted "
        "AND list_contains(?, target)",
        [accepted],
    ).fetchall()
    keys = {key, *(one for (one,) in others)}
    shared = Counter(one for names in called.values() for one in names)
    keys |= {one for owner in keys & set(called) for one in called[owner] if shared[one] == 1}
    return sorted(keys, key=lambda one: (one != leading, one != key, one))


def _other_names(con: DuckDBPyConnection, schema: str) -> dict[str, set[str]]:
    """Return what each registered person goes by beside the name: codes, other names; folded."""
    called: dict[str, set[str]] = {}
    for owner, code, known_as in con.execute(
        f"SELECT DISTINCT holder_key, code, known_as FROM {schema}.said_holder "
        "WHERE holder_key IS NOT NULL ORDER BY ALL"
    ).fetchall():
        names = [code or "", *(known_as or "").split(";")]
        called.setdefault(owner, set()).update(filter(None, map(name_key, names)))
    return called


def _contacts(con: DuckDBPyConnection, schema: str, keys: Sequence[str]) -> list[str]:
    rows = con.execute(
        f"SELECT DISTINCT phone, email, address FROM {schema}.said_holder "
        "WHERE list_contains(?, holder_key) ORDER BY ALL",
        [list(keys)],
    ).fetchall()
    return _long_enough(
        part
        for row in rows
        for text in row
        if text
        for part in (text, *re.split(r"[;,/]", text if "@" in text or _digits(text) else ""))
    )


def _places(
    con: DuckDBPyConnection, schema: str, keys: Sequence[str]
) -> tuple[list[str], list[str]]:
    """Return the folded names of places where only the person keeps anything; their addresses."""
    said = []
    for kind, model in MODELS.items():
        has = described(model)
        if "place_key" in has:
            people = ", ".join(f"s.{key}" for key in _PEOPLE if key in has)
            # Something of nobody's at a place makes it more than theirs; a list of places does not.
            nobody = "NULL" if kind == "place" else "''"
            said.append(
                f"SELECT place_key, unnest(CASE WHEN coalesce({people}) IS NULL THEN [{nobody}] "
                f"ELSE [{people}] END) AS person FROM {schema}.said_{kind} s "
                "WHERE place_key IS NOT NULL"
            )
    rows = con.execute(
        f"SELECT place_key FROM ({' UNION ALL '.join(said)}) WHERE person IS NOT NULL "
        "GROUP BY place_key HAVING bool_and(list_contains(?, person)) ORDER BY 1",
        [list(keys)],
    ).fetchall()
    places = [place for (place,) in rows]
    addresses = con.execute(
        f"SELECT DISTINCT address FROM {schema}.said_place "
        "WHERE list_contains(?, place_key) AND address IS NOT NULL ORDER BY 1",
        [places],
    ).fetchall()
    return places, _long_enough(text for (text,) in addresses)


def _long_enough(texts: Any) -> list[str]:
    found = (text.strip() for text in texts)
    return list(dict.fromkeys(text for text in found if len(text) >= _CONTACT_LENGTH))


def _digits(text: str) -> bool:
    return sum(sign.isdigit() for sign in text) >= _CONTACT_LENGTH

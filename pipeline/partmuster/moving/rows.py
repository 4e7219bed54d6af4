"""What each row of a club says once a person is forgotten. Quantities, dates and ids stay."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from .person import name_key

if TYPE_CHECKING:
    from .person import Person

Row = dict[str, Any]

#: Columns in which a name stands.
NAMES = ("holder", "owner", "keeper", "said_by", "decided_by")
#: Keys of names, beside the columns they are folded from.
KEYS = ("holder_key", "owner_key", "keeper_key", "place_key", "vehicle_key")
_MAKE_IT_THEIRS = (*NAMES, "holder_key", "owner_key", "keeper_key", "place_key")
_CONTACTS = ("town", "phone", "email", "address", "latitude", "longitude")
#: Hashes and ids that say nothing of anybody.
_STAY = frozenset(
    {"line_id", "source_id", "item_key", "to_item_key", "content_hash", "question_id",
     "decision_id", "forgotten_id", "undoes"}
)  # fmt: skip
#: Tables whose rows belong to a raw line.
OF_RAW_LINES = ("raw_line", "mending", "mended")
_ROLES = ("holder", "place", "vehicle")
#: Subjects of decisions on whose list it is, or who was put in: "source|sheet|holder".
_NAMES_SOMEBODY = re.compile(rf"\|\s*({'|'.join(NAMES)})\s*(\||$)")
#: The setting by which pseudonyms are made.
SALT = "pseudonym-salt"


def said_row(row: Row, person: Person, notice: str) -> tuple[Row, bool]:
    """Return a said line without the person, and whether it is a line of theirs."""
    new = {name: _text(name, value, person) for name, value in row.items()}
    for key in KEYS:
        if row.get(key) is not None:
            new[key] = _key(key, row, new, person)
    own = any(new[name] != row[name] for name in _MAKE_IT_THEIRS if name in row)
    if row.get("known_as") is not None:
        names = row["known_as"].split(";")
        new["known_as"] = ";".join(person.name_without(name) for name in names)
    if own and "code" in row:
        new["code"] = row["code"] and person.standing(name_key(row["code"]))
    if own:
        new["words"], new["remark"] = notice, None
        if "phone" in row or ("latitude" in row and new["place"] != row["place"]):
            new.update(dict.fromkeys(name for name in _CONTACTS if name in row))
    elif new["words"] != row["words"]:
        new["words"] = notice
    if new != row:
        # a newer version of the sheet that still says it is a changed line
        new["values_hash"] = None
    return new, own


def other_row(table: str, row: Row, person: Person, notice: str, *, own: bool) -> Row:
    """Return a row of another table without the person; ``own``: its raw line is one of theirs."""
    if table == "setting" and row["name"] == SALT:
        return row
    new = {name: _text(name, value, person) for name, value in row.items()}
    if table in OF_RAW_LINES:
        _raw(row, new, notice, own=own)
    elif table == "layout_taken" and row["heading"] is not None:
        new["heading"] = person.name_without(row["heading"])
    elif table == "identification" and row["role"] in _ROLES:
        new["key"] = _subject(row["role"], row["key"], person)
        new["target"] = _id(row["role"], row["target"], person)
    elif table == "choice_name" and row["role"] in _ROLES:
        new["key"] = _subject(row["role"], row["key"], person)
        state, *ids = row["meaning"].split(" ")
        new["meaning"] = " ".join([state, *(str(_id(row["role"], one, person)) for one in ids)])
    elif table in ("question", "decision") and row["topic"] in _ROLES:
        new["subject"] = _subject(row["topic"], row["subject"], person)
        _answers(row, new, person)
    elif table == "decision" and row["topic"] == "build":
        vehicle_id, *rest = row["subject"].split("|")
        new["subject"] = "|".join([str(_id("vehicle", vehicle_id, person)), *rest])
    elif table == "decision" and row["answer"] and _NAMES_SOMEBODY.search(row["subject"]):
        new["answer"] = person.name_without(row["answer"])
    if table == "decision" and new["decided_by"] != row["decided_by"]:
        new["note"] = None
    return new


def _raw(row: Row, new: Row, notice: str, *, own: bool) -> None:
    """Take the words from a raw line that is theirs or names them; from its faults, the values."""
    if "words" in row:
        if row["words"] is not None and (own or new["words"] != row["words"]):
            new["words"] = notice
    elif own:
        new.update(dict.fromkeys(name for name in ("value", "stood", "put") if name in row))


def _answers(row: Row, new: Row, person: Person) -> None:
    """Replace ids and names among the choices of a question, and in the answer of a decision."""
    if row.get("choices") is not None:
        ids = row["choices"].split(";")
        new["choices"] = ";".join(str(_id(row["topic"], one, person)) for one in ids)
    if row.get("answer") is not None:
        new["answer"] = _answer(row["topic"], row["answer"], person)


def _text(name: str, value: Any, person: Person) -> Any:
    if not isinstance(value, str) or name in _STAY:
        return value
    if name in NAMES:
        return person.name_without(value)
    if name == "place":
        return person.place_without(value)
    return person.without(value)


def _key(key: str, row: Row, new: Row, person: Person) -> str:
    """Return the key of a name as it stands now: it follows the text it is folded from."""
    text = key.removesuffix("_key")
    if row.get(text) is not None and new[text] != row[text]:
        return name_key(new[text])
    role = {"place_key": "place", "vehicle_key": "vehicle"}.get(key, "holder")
    return _subject(role, row[key], person)


def _subject(role: str, key: str, person: Person) -> str:
    if role == "holder":
        return person.name_without(key)
    return name_key(changed) if (changed := _place_or_text(role, key, person)) != key else key


def _place_or_text(role: str, text: str, person: Person) -> str:
    return person.place_without(text) if role == "place" else person.without(text)


def _id(role: str, target: str | None, person: Person) -> str | None:
    return target and person.id_without(target, place=role == "place")


def _answer(role: str, answer: str, person: Person) -> str | None:
    """Return a decision's answer: an id, or a name."""
    if "-" in answer:
        return _id(role, answer, person)
    return person.name_without(answer) if role == "holder" else _subject(role, answer, person)

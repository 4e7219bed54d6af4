"""Comments and drawings of one sheet of a workbook, from the parts it links to."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from .drawings import Drawings
from .zipped import local

if TYPE_CHECKING:
    from collections.abc import Iterator
    from xml.etree import ElementTree as ET

    from .package import Package

_ADDRESS = re.compile(r"\$?([A-Za-z]{1,3})\$?([0-9]{1,7})")

#: How a comment with answers stands in the part that older programs read.
_THREADED = re.compile(r"^\[Threaded comment\].*?\n\s*Comment:\s*", re.DOTALL)


def place_of(address: str) -> tuple[int, int] | None:
    """Return row and column, from 1, of an address such as ``B12``."""
    found = _ADDRESS.fullmatch(address)
    if found is None:
        return None
    column = 0
    for letter in found[1].upper():
        column = column * 26 + ord(letter) - 64
    return int(found[2]), column


def sheet_comments(package: Package, path: str) -> list[tuple[int, int, str]]:
    """Return row, column and words of a sheet's comments; an author's name in front is left out.

    A comment and its answers are one, a line each.
    """
    threads: dict[tuple[int, int], list[str]] = {}
    for part in package.linked(path, "threadedComment"):
        for one in package.zipped.tree(part).iter():
            place = place_of(one.get("ref", ""))
            if local(one.tag) == "threadedComment" and place is not None:
                threads.setdefault(place, []).append(_text(one.find("{*}text")))
    found = {place: "\n".join(said) for place, said in threads.items()}
    for part in package.linked(path, "comments"):
        for place, words in _plain_comments(package.zipped.tree(part)):
            found.setdefault(place, words)
    return [(*place, words.strip()) for place, words in found.items() if words.strip()]


def _plain_comments(comments: ET.Element) -> Iterator[tuple[tuple[int, int], str]]:
    authors = [one.text or "" for one in comments.findall("{*}authors/{*}author")]
    for one in comments.findall("{*}commentList/{*}comment"):
        place = place_of(one.get("ref", ""))
        if place is None:
            continue
        number = one.get("authorId", "")
        author = authors[int(number)] if number.isdigit() and int(number) < len(authors) else ""
        words = _THREADED.sub("", _text(one.find("{*}text")))
        yield place, without_author(words, author)


def without_author(words: str, author: str) -> str:
    """Return a comment's words without the name that programs write in front of them."""
    start = f"{author.strip()}:"
    return words.lstrip().removeprefix(start).strip() if len(start) > 1 else words.strip()


def _text(element: ET.Element | None) -> str:
    if element is None:
        return ""
    plain = [element.text or ""] if len(element) == 0 else []
    pieces = [*element.findall("{*}t"), *element.findall("{*}r/{*}t")]
    return "".join([*plain, *(one.text or "" for one in pieces)])


def sheet_drawings(package: Package, path: str) -> Drawings:
    """Return what is drawn on a sheet."""
    drawn = Drawings()
    for part in package.linked(path, "drawing"):
        _count(package.zipped.tree(part), drawn)
    return drawn


def _count(element: ET.Element, drawn: Drawings) -> None:
    for one in element:
        name = local(one.tag)
        if name == "pic":
            drawn.pictures += 1
        elif name == "graphicFrame":
            drawn.charts += 1
        elif name in {"sp", "cxnSp"}:
            words = [
                "".join(text.text or "" for text in line.iter() if local(text.tag) == "t")
                for line in one.iter()
                if local(line.tag) == "p"
            ]
            written = "\n".join(words).strip()
            if written:
                drawn.boxes += 1
                drawn.words.append(written)
            else:
                drawn.shapes += 1
        elif name != "Fallback":  # the same drawing again, for older programs
            _count(one, drawn)

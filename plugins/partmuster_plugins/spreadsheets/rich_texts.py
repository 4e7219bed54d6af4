"""Texts of a workbook whose letters have fonts of their own: struck or coloured in part."""

from __future__ import annotations

import re
from typing import IO, TYPE_CHECKING
from xml.etree import ElementTree as ET

from .looks import Run
from .styles import is_struck
from .zipped import declared, local

if TYPE_CHECKING:
    from .colours import Colours

_CHUNK = 1 << 22
_FONT = re.compile(rb"<(?:\w+:)?rPr\b")
_TELLING = re.compile(rb"<(?:\w+:)?(?:strike|color)\b")


def rich_shared_texts(stream: IO[bytes], colours: Colours) -> dict[int, list[Run]]:
    """Return the runs of each shared text that has fonts of its own, by its number from 0."""
    found: dict[int, list[Run]] = {}
    rest = stream.read(_CHUNK)
    root = re.search(rb"<(?:(\w+):)?sst\b[^>]*>", rest)
    if b"<!DOCTYPE" in rest:
        raise declared("with texts")
    if root is None:
        while stream.read(_CHUNK):
            pass
        return found
    prefix = root[1] + b":" if root[1] else b""
    p = re.escape(prefix)
    start = re.compile(rb"<" + p + rb"si(?=[\s/>])")
    whole = re.compile(rb"<" + p + rb"si(?:\s[^>]*)?(?:/>|>(.*?)</" + p + rb"si\s*>)", re.DOTALL)
    end_sign = b"</" + prefix + b"si"
    number = 0
    while True:
        chunk = stream.read(_CHUNK)
        rest += chunk
        end = rest.rfind(end_sign) + len(end_sign) if chunk else len(rest)
        if end >= len(end_sign):
            piece, rest = rest[:end], rest[end:]
            if _FONT.search(piece) and _TELLING.search(piece):
                texts = whole.finditer(piece + b">")
                for place, text in enumerate(texts, start=number):
                    if text[1] and _FONT.search(text[1]) and _TELLING.search(text[1]):
                        found[place] = runs_of(text[1], root[0], colours)
            number += len(start.findall(piece))
        if not chunk:
            return found


def runs_of(inside: bytes, root: bytes, colours: Colours) -> list[Run]:
    """Return the runs of a text's XML; ``root``: the part's start tag, which names its prefixes."""
    name = re.match(rb"<([\w:]+)", root)
    assert name is not None
    text = ET.fromstring(root.removesuffix(b"/>") + inside + b"</" + name[1] + b">")  # noqa: S314 - a piece without declarations
    runs = []
    for one in text:
        if local(one.tag) == "t":
            runs.append(Run(one.text or ""))
        elif local(one.tag) == "r":
            words = one.findtext("{*}t") or ""
            font = one.find("{*}rPr")
            if font is None:
                runs.append(Run(words))
            else:
                runs.append(Run(words, is_struck(font), colours.of(font.find("{*}color"))))
    return runs

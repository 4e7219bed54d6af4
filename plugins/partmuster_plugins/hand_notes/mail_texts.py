"""The text of an e-mail parted: what its writer wrote, older mails, forwarded ones, the rest."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import TYPE_CHECKING

from .lines import BLANK, Line, NotRead, blocks_of, left_out
from .mail_heads import inner_head
from .mail_words import (
    ADDED,
    CLOSE,
    FORWARDED,
    FORWARDING_SUBJECT,
    ORIGINAL,
    RULE,
    SHORT_ATTRIBUTION,
    SIGNATURE,
    is_attribution,
    is_contact,
    is_of_signature,
    is_small_print,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .documents import Header

_OLDER = "it is an older mail, or quoted from one"
_ANSWERED = "it is quoted, and answered or taken up below"
_CLOSING = "it closes the mail: names, numbers and addresses"
_PRINT = "it is small print"
#: So many lines that hold anything may stand below a close.
_LONGEST_CLOSE = 14
#: What is answered is no longer than so many lines; more is an older mail.
_LONGEST_QUESTION = 12
#: An attribution wraps over so many lines at most; a line longer than this is none.
_WRAPS, _LONGEST = 3, 400


@dataclass(slots=True)
class MailText:
    """What one writer wrote; ``forwarded`` is another's, with the head that stands above it."""

    lines: list[Line] = field(default_factory=list)
    not_read: NotRead = field(default_factory=list)
    forwarded: tuple[Header | None, list[Line]] | None = None


def parted(lines: Sequence[Line], header: Header | None) -> MailText:
    """Return the text that is the sender's own; what is left out is named."""
    text = MailText()
    forwards = header is not None and bool(FORWARDING_SUBJECT.match(header.subject))
    own = _without_older(lines, text, forwards=forwards)
    sender = frozenset(
        word.strip(".,").lower() for word in (header.sender if header else "").split("@")[0].split()
    )
    text.lines = _without_close(_without_small_print(own, text.not_read), sender, text.not_read)
    return text


def _without_older(lines: Sequence[Line], text: MailText, *, forwards: bool) -> list[Line]:
    own: list[Line] = []
    at = 0
    signed: int | None = None
    while at < len(lines):
        line = lines[at]
        said = line.text.strip()
        if len(said) > _LONGEST:
            own.append(line)
            at += 1
            continue
        body = _forwarded_at(lines, at, forwards=forwards)
        if body is not None:
            text.forwarded = body
            break
        taken = _attribution_at(lines, at)
        if taken:
            after = _next_filled(lines, at + taken)
            quoted = after < len(lines) and lines[after].level > line.level
            end = at + taken if quoted else len(lines)
        elif ORIGINAL.fullmatch(said) or (not line.level and inner_head(lines[at:])) or (
            RULE.fullmatch(said) and inner_head(lines[_next_filled(lines, at + 1) :])
        ):  # fmt: skip
            end = len(lines)
        else:
            if signed is None and SIGNATURE.fullmatch(line.text) and line.text.startswith("--"):
                signed = len(own)
            own.append(line)
            at += 1
            continue
        left_out(lines[at:end], _OLDER, text.not_read)
        own.append(BLANK)
        at = end
    if signed is not None:
        left_out(own[signed + 1 :], _CLOSING, text.not_read)
        own = own[:signed]
    return _without_quoted(own, text.not_read)


def _without_quoted(lines: Sequence[Line], not_read: NotRead) -> list[Line]:
    """Return lines without quoted ones, but for what the writer's next words answer or take up."""
    last = max((at for at, line in enumerate(lines) if line.text.strip() and not line.level),
               default=-1)  # fmt: skip
    done: list[Line] = []
    for is_quoted, run in groupby(enumerate(lines), lambda one: bool(one[1].level)):
        numbers, own = zip(*run, strict=True)
        filled = [line for line in own if line.text.strip()]
        if not is_quoted:
            done += own
        elif numbers[0] < last and filled and len(filled) <= _LONGEST_QUESTION:
            done += [BLANK, *(line for line in own if line.level == 1), BLANK]
            left_out(own, _ANSWERED, not_read)
        else:
            done.append(BLANK)
            left_out(own, _OLDER, not_read)
    return done


def _forwarded_at(
    lines: Sequence[Line], at: int, *, forwards: bool
) -> tuple[Header | None, list[Line]] | None:
    """Return the forwarded mail that begins at a line, or None."""
    said = lines[at].text.strip()
    marked = bool(FORWARDED.fullmatch(said))
    if not marked and not (forwards and (ORIGINAL.fullmatch(said) or RULE.fullmatch(said))):
        head = inner_head(lines[at:]) if forwards and said else None
        return (head.header, _lifted(lines[at + head.length :], lines[at].level)) if head else None
    start = _next_filled(lines, at + 1)
    head = inner_head(lines[start:]) if start < len(lines) else None
    if head is None:
        return (None, _lifted(lines[start:], 0)) if marked else None
    return head.header, _lifted(lines[start + head.length :], lines[start].level)


def _lifted(lines: Sequence[Line], level: int) -> list[Line]:
    """Return lines quoted less by so many levels."""
    return [replace(line, level=max(0, line.level - level)) for line in lines]


def _attribution_at(lines: Sequence[Line], at: int) -> int:
    """Return how many lines say who wrote what follows; 0 if none does."""
    said = ""
    for taken in range(1, _WRAPS + 1):
        line = lines[at + taken - 1] if at + taken <= len(lines) else BLANK
        if not line.text.strip() or line.level != lines[at].level:
            return 0
        said = f"{said} {line.text.strip()}".strip()
        if len(said) > _LONGEST:
            return 0
        if is_attribution(said):
            return taken
        after = _next_filled(lines, at + taken)
        quoted = after < len(lines) and lines[after].level > line.level
        if taken == 1 and quoted and SHORT_ATTRIBUTION.fullmatch(said):
            return taken
    return 0


def _next_filled(lines: Sequence[Line], at: int) -> int:
    while at < len(lines) and not lines[at].text.strip():
        at += 1
    return at


def _without_small_print(lines: Sequence[Line], not_read: NotRead) -> list[Line]:
    done: list[Line] = []
    for block in blocks_of(lines):
        if is_small_print(" ".join(line.text.strip() for line in block)):
            left_out(block, _PRINT, not_read)
        else:
            done += block
        done.append(BLANK)
    return done


def _without_close(lines: Sequence[Line], sender: frozenset[str], not_read: NotRead) -> list[Line]:
    """Return lines without closes, and the names and numbers below them; what follows is kept."""
    done: list[Line] = []
    at = 0
    while at < len(lines):
        said = lines[at].text.strip()
        if ADDED.fullmatch(said):
            left_out(lines[at : at + 1], "a telephone or program added it", not_read)
            at += 1
        elif said and CLOSE.fullmatch(said):
            end = _end_of_close(lines, at + 1, sender)
            left_out(lines[at:end], _CLOSING, not_read)
            at = end
        else:
            done.append(lines[at])
            at += 1
    return _without_name(done, sender, not_read)


def _end_of_close(lines: Sequence[Line], at: int, sender: frozenset[str]) -> int:
    filled = 0
    end = at
    while at < len(lines) and filled < _LONGEST_CLOSE:
        said = lines[at].text.strip()
        if said and not is_of_signature(said, sender) and not CLOSE.fullmatch(said):
            break
        filled += bool(said)
        at += 1
        end = at if said else end
    return end


def _without_name(lines: Sequence[Line], sender: frozenset[str], not_read: NotRead) -> list[Line]:
    """Return lines without a last block of the sender's name, or of a name and numbers."""
    blocks = list(blocks_of(lines))
    if not blocks:
        return list(lines)
    last = blocks[-1]
    said = [line.text.strip() for line in last]
    signs = all(is_of_signature(one, sender) for one in said)
    words = {word.strip(".,-!").lower() for one in said for word in one.split()}
    if not signs or not (any(map(is_contact, said)) or words <= sender | {"x", "xx", ""}):
        return list(lines)
    left_out(last, _CLOSING, not_read)
    return list(lines[: list(lines).index(last[0])])

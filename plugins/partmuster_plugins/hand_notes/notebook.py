"""A note read paragraph by paragraph: whose words, of which vehicle, on which day, in what list."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from .about import looks_sure, points_back, says_no_more, with_ways_back
from .context import Context
from .dates import days_in, entry_day
from .file_names import in_file_name
from .listing import caption_of, ditto_of, heading_of, items_of, place_heading_of, with_part_above
from .nearness import names_near
from .note_days import NoteDays
from .note_people import GREETS, settle_people
from .otherwise import with_other_reading
from .parts import PartMention
from .reading import read_sentence
from .sentences import sentences_of
from .settling import key_of, settle
from .states import StateMention
from .tables import Columns, row_as_sentence, terms_of
from .titles import named_vehicles, proper_words, vehicle_of_file, vehicles_in
from .topics import alone_of, topic_of
from .trail import Near, Trail
from .view import view_of
from .writers import speakers_in, without_speaker, writer_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from .documents import Note, Paragraph
    from .patterns import Patterns
    from .sentences import Sentence
    from .statement import Statement
    from .tables import Said
    from .topics import Topic
    from .view import View

#: So many paragraphs at the head may be the title.
_HEAD, _LONGEST_TITLE, _LONGEST_LINE = 3, 160, 60
_HOUR = re.compile(r"^\[?\d{1,2}[:.]\d\d(?::\d\d)?\]?\s+(?=\w)")
_BEGINS = re.compile(r"^ (?:(?:and|but|now|then|the) )*<[vnh]\d+> ")
_SUBJECT = re.compile(r"^(?:\s*(?:re|fwd?|aw|wg)\s*:\s*|\[[^\]]{1,30}\]\s*)+", re.IGNORECASE)
_ITEM_OF = re.compile(
    r"^(?P<who>(?:(?:Mr|Mrs|Miss|Ms|Dr)\.? )?[A-Z][a-z'’]+(?: "
    r"[A-Z][a-z'’]+)?)(?:\s*\([^)]{1,50}\))?"
    r"\s*(?::|[-–—]{1,2}|>)\s+(?=\S)"
)


@dataclass(frozen=True, slots=True)
class Read:
    """A sentence with its statements. ``reason``: why it has none, where it names a part."""

    words: str
    statements: tuple[Statement, ...]
    names_part: bool
    reason: str = "no rule reads this sentence"


class Notebook:
    """Reads the paragraphs of one note in order, and remembers what still holds."""

    def __init__(self, note: Note, file_name: str, known: Patterns) -> None:
        self._known = known
        texts = [one.text for one in note.paragraphs if not one.quoted]
        self._proper = proper_words(texts)
        writer = writer_of(note, file_name)
        self._days = NoteDays(note, file_name, texts)
        starts = [found[0] for text in texts if (found := re.search("[A-Za-z]", text))]
        self.context = Context(
            writer=writer, people=(writer,) if writer else (), proper=self._proper,
            small=sum(one.islower() for one in starts) * 2 > len(starts),
        )  # fmt: skip
        self._writer = writer
        self._speakers = {id(one): said for one, said in speakers_in(note)}
        settle_people(note, self.context, [who for who, _ in self._speakers.values()])
        #: What was named before, and how near.
        self._trail = Trail()
        self._section: tuple[str, ...] = self._title(note, file_name, texts)
        self.context.vehicles = self._section
        named = named_vehicles(texts)
        self._trail.every = [Near(one, sure=True) for one in sorted(named)]
        #: Whether a vehicle that the note only names in passing is the one it speaks of.
        self._one_vehicle = len(named) <= 1
        #: Whether a table tells the vehicle of its row.
        self._by_table = False
        self._columns = Columns()
        self._in_items = False
        self._heading_holds = ""
        self._days.start(self.context)
        #: A mail's first words greet somebody.
        self._greeting = note.paragraphs[0] if note.header and note.paragraphs else None

    # what the head says

    def _title(self, note: Note, file_name: str, texts: list[str]) -> tuple[str, ...]:
        """Return the vehicles that subject, title, first lines and file name offer."""
        subject = _SUBJECT.sub("", note.header.subject) if note.header else ""
        first = [one.text for one in note.paragraphs[: _HEAD + 2] if not (one.item or one.quoted)]
        head = [subject] if subject else [
            text
            for number, text in enumerate(first[:_HEAD])
            if _is_title(text, first=number == 0)
        ]  # fmt: skip
        greeted = next((at for at, one in enumerate(first) if GREETS.match(one)), None)
        if greeted is not None and not subject:  # above it stands where the writer lives
            head = []
        found: tuple[str, ...] = ()
        for number, text in enumerate(head):
            given = bool(subject) or not days_in(text) or len(text) > 40  # noqa: PLR2004 - more than a name
            named = vehicles_in(text, self.context, given=given)
            sure = [one for one in named if _is_sure(one)]
            if sure:
                found = tuple(sure)
                break
            if not found and number == 0:
                found = named
        if not found or not _is_sure(found[0]):
            in_name = vehicle_of_file(file_name, " ".join(texts))
            if in_name and (_is_sure(in_name[0]) or not found):
                found = in_name
        for name in found:
            if len(found) == 1 or _is_sure(name):
                self.context.settled.setdefault(key_of(name.split(" (")[0]), "vehicle")
        self._trail.title = [
            *(Near(one, looks_sure(one, self.context)) for one in found),
            *(one for text in head for one in self._names_in(text)), *in_file_name(file_name),
        ]  # fmt: skip
        return found

    def _names_in(self, text: str) -> list[Near]:
        """Return the names in a title or heading that may be a vehicle's."""
        return [
            one for sentence in sentences_of(text)
            for one in names_near(view_of(sentence), self.context, self._trail)
        ]  # fmt: skip

    # paragraphs

    def read(self, paragraph: Paragraph) -> Iterator[Read]:
        """Yield the sentences of a paragraph with what they state."""
        if paragraph.table_row is not None:
            yield from self._row(paragraph, paragraph.table_row)
            return
        self._columns = Columns() if self._columns.roles else self._columns
        if paragraph.heading:
            yield from self._under(paragraph)
            return
        text = self._opened(paragraph)
        if not text.strip():  # a speaker and an hour
            return
        if paragraph.item:
            self._in_items = True
        elif self._in_items:
            self._in_items = False
            self._end_list("caption")
        greets = paragraph is self._greeting and len(text.split()) <= 5  # noqa: PLR2004 - few words
        yield from self._sentences(text, item=paragraph.item, quiet=greets)
        heading = None if paragraph.item else caption_of(text, self._about())
        if heading:
            self.context.heading = {"kind": heading.kind, **heading.fields}
            self._heading_holds = "caption"

    def _about(self) -> list[str]:
        """Return the vehicles that the note is about, with shelves and floors of their own."""
        return [*self._section, *(one for one in self.context.vehicles if _is_sure(one))]

    def _opened(self, paragraph: Paragraph) -> str:
        """Take the day, the speaker and "ditto" at a paragraph's head; return the rest."""
        context = self.context
        text = with_part_above(paragraph.text, context)
        entry, text = self._days.entry(text, context)
        if entry:
            self._end_list("section")
        text = _HOUR.sub("", text)
        context.loose = context.loose if paragraph.item else ()
        said = self._speakers.get(id(paragraph))
        if said:
            context.writer, text = said[0], said[1] if text == paragraph.text else text
            text = without_speaker(text, said[0])
            context.people = (context.writer,)
        else:
            context.writer = self._writer
            if not self._heading_holds:
                context.people = (self._writer,) if self._writer else ()
            self._at_section(item=paragraph.item)
            self._days.paragraph(context, item=paragraph.item)
        return text

    def _under(self, paragraph: Paragraph) -> Iterator[Read]:
        """Take a heading; what it says itself is read, too."""
        context = self.context
        text = paragraph.text
        self._in_items = False
        context.loose = ()
        heading = heading_of(text) or (None if self._about() else place_heading_of(text))
        caption = text.rstrip().endswith(":")
        self._end_list("section")
        entry = entry_day(text, self._days.last, day_first=self._days.day_first)
        if entry and len(entry[1].split()) < 4:  # noqa: PLR2004 - a day, and a word or two
            self._days.entry(text, context)
        elif heading is None or not (caption or "place" in heading.fields):
            self._turn_to(vehicles_in(text, context), text)
        if heading:
            context.heading = {"kind": heading.kind, **heading.fields} if heading.kind else {}
            self._heading_holds = "caption" if caption else "section"
            if heading.person:
                context.people = (heading.person,)
            if heading.rest:
                named = vehicles_in(heading.rest, context, given=False)
                if any(_is_sure(one) for one in named):
                    self._turn_to(named, heading.rest)
        if heading is None or heading.rest:
            yield from self._sentences(text, item=False, quiet=True)

    def _turn_to(self, vehicles: tuple[str, ...], heading: str) -> None:
        """Go on with the vehicles of a heading; what may be no name leaves the last ones, too."""
        context, trail = self.context, self._trail
        near = [Near(one, looks_sure(one, context)) for one in vehicles] + self._names_in(heading)
        if not vehicles:
            opening = [replace(one, turns=True) for one in near if _opens_with(heading, one)]
            trail.headings = [*opening, *near, *trail.headings]
            return
        settled = context.settled.get(key_of(vehicles[0])) == "vehicle"
        alone = len(heading.split()) <= len(vehicles[0].split()) + 1
        kept = [] if settled or alone or _is_sure(vehicles[0]) else trail.headings
        trail.heading([*near, *kept])
        self._section = vehicles
        self._at_section()

    def _at_section(self, *, item: bool = False) -> None:
        self.context.vehicles = self._section
        self._trail.paragraph(item=item)

    def _listed(self, view: View, *, quiet: bool) -> list[Statement]:
        """Return what a heading says of an item whose own words only count."""
        if quiet or not self.context.heading or not re.search(r" <s\d+> ", view.text):
            return []
        states = [one.text for one in view.mentions if isinstance(one, StateMention)]
        if not set(states) <= {"both", "all", "complete", "pair", "the pair"}:
            return []
        plain = replace(view, text=re.sub(r" <s\d+>", " ,", view.text))
        return list(items_of(plain, self.context, item=True))

    def _end_list(self, holds: str) -> None:
        """End a list that holds no longer than to a next paragraph or heading."""
        if self._heading_holds in {holds, "caption"}:
            self.context.heading = {}
            self._heading_holds = ""
            self.context.people = (self._writer,) if self._writer else ()

    def _row(self, paragraph: Paragraph, cells: tuple[str, ...]) -> Iterator[Read]:
        """Yield what a table's row says, by the heads of its columns."""
        context = self.context
        if not self._columns.roles:
            if not self._columns.head(cells):
                for read in self._sentences(row_as_sentence(cells), item=True):
                    yield _in_words(read, paragraph.text)
            return
        kept = (context.vehicles, context.people, context.heading, context.writer)
        statements: list[Statement] = []
        names_part = False
        for said in self._columns.said(cells):
            for read in self._cell(said):
                statements += _in_words(read, paragraph.text).statements
                names_part = names_part or read.names_part
        context.vehicles, context.people, context.heading, context.writer = kept
        self._by_table = False
        yield Read(paragraph.text, tuple(statements), names_part)

    def _cell(self, said: Said) -> Iterator[Read]:
        context = self.context
        if said.vehicle:
            context.vehicles = vehicles_in(said.vehicle, context) or (said.vehicle,)
            self._by_table = True
        if said.person:
            own = said.person.casefold() in {"me", "self", "us", "i"}
            who = re.sub(r"\s*\([^)]*\)$", "", said.person)
            context.people = (self._writer,) if own and self._writer else (who,)
            context.writer = context.people[0]
        if said.kind:
            context.heading = {"kind": said.kind, **terms_of(said.terms)}
        for read in self._sentences(said.text, item=True):
            if said.by and said.by.casefold() not in {"me", "i"}:
                told = (replace(one, first_hand=False, said_by=one.said_by or said.by)
                        for one in read.statements)  # fmt: skip
                yield replace(read, statements=tuple(told))
            else:
                yield read

    def _sentences(self, text: str, *, item: bool, quiet: bool = False) -> Iterator[Read]:
        """Yield the sentences of a text; ``quiet``: a heading, of which nothing need be said."""
        context = self.context
        owner = self._owner(text) if item and context.heading else None
        kept = context.people
        if owner:
            context.people, text = (owner[0],), owner[1]
        sentences = sentences_of(text)
        for number, sentence in enumerate(sentences):
            whole = len(sentences) == 1 or (item and number == 0)
            yield self._sentence(sentence, quiet=quiet, whole=whole)
        context.people = kept if owner else context.people

    def _owner(self, text: str) -> tuple[str, str] | None:
        """Return whose a list's item is ("Ivo - dynamo"), and the rest of it."""
        found = _ITEM_OF.match(text)
        if not found or self.context.heading.get("kind") not in {"want", "holding"}:
            return None
        view = view_of(sentences_of(found["who"])[0])
        if any(isinstance(one, PartMention) for one in view.mentions):
            return None
        return found["who"], text[found.end() :]

    def _sentence(self, sentence: Sentence, *, quiet: bool, whole: bool = False) -> Read:
        context = self.context
        view = settle(view_of(sentence), context)
        before = context.before = context.vehicles
        topic = None if quiet else topic_of(view, context, self._proper, whole=whole)
        here = names_near(view, context, self._trail)
        here += self._trail.before_list if self._in_items else []
        if topic is None and not quiet:
            topic = alone_of(here, sentence)
        if topic:
            if whole and says_no_more(view) and looks_sure(topic.vehicles[0], context):
                topic = replace(topic, turn=True)
            self._turn(topic, opens=sentence.first)
        self._days.sentence(sentence.text, context)
        made = self._listed(view, quiet=quiet) or list(
            read_sentence(sentence, context, self._known, view)
        )
        if not made and not quiet:
            made = list(ditto_of(view, sentence.text, context))
            if not made and context.heading:
                made = list(
                    items_of(view, context, item=self._in_items or bool(self._columns.roles))
                )
            context.said = tuple(one for one in made if one.kind == "survey") or context.said
        made = [
            with_other_reading(self._days.dated(one, sentence.text), view, context) for one in made
        ]
        if not self._by_table:
            back = points_back(sentence)
            named = topic is not None and topic.vehicles != before
            made = [
                with_ways_back(one, context, self._trail, here, topic=named, back=back)
                for one in made
            ]
        about = [Near(one, looks_sure(one, context)) for one in (topic.vehicles if topic else ())]
        self._trail.speak([*about, *here], sentence.text, item=self._in_items)
        if topic and not (topic.turn or self._opens(view, topic)) and before:
            context.vehicles = before
        names = any(isinstance(one, PartMention) and not one.pronoun for one in view.mentions)
        return Read(sentence.text, tuple(made), names and not quiet)

    def _opens(self, view: View, topic: Topic) -> bool:
        """Tell whether a paragraph begins with a vehicle, and so speaks of it."""
        sure = looks_sure(topic.vehicles[0], self.context)
        return view.sentence.first and (sure or bool(_BEGINS.match(view.text)))

    def _turn(self, topic: Topic, *, opens: bool) -> None:
        """Go on with the vehicle that a sentence is about, or turns to."""
        context, trail = self.context, self._trail
        carried = not self._section and not self._in_items and self._one_vehicle
        if topic.turn or carried:
            self._section = topic.vehicles
        if topic.turn:
            near = [Near(one, looks_sure(one, context)) for one in topic.vehicles]
            if (topic.else_of and not opens) or self._speakers:  # it may be no name
                trail.headings = [*near, *trail.headings]
            else:
                trail.heading(near)
        context.vehicles = topic.vehicles


def _in_words(read: Read, words: str) -> Read:
    told = tuple(replace(one, words=words) for one in read.statements)
    return replace(read, words=words, statements=told)


def _opens_with(heading: str, name: Near) -> bool:
    return heading.casefold().lstrip(" *_#(").startswith(name.text.casefold())


def _is_title(text: str, *, first: bool) -> bool:
    """Tell whether a paragraph may be a title: a short line, and behind the first no sentences."""
    if first:
        return len(text) <= _LONGEST_TITLE
    return len(text) <= _LONGEST_LINE and len(sentences_of(text)) == 1


def _is_sure(name: str) -> bool:
    """Tell whether a name shows that it is a vehicle's: by number, registration or owner."""
    return bool(re.search(r"\d|['’]s ", name)) or bool(re.search(r"\b[A-Z]$", name))

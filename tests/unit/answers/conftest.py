"""A small club, said line by line, in a database in memory."""

from __future__ import annotations

import datetime as dt
import functools
import itertools

import duckdb
import polars as pl
import pytest

from partmuster.answers.donors import donors
from partmuster.answers.holders import holders
from partmuster.answers.lacks import lacks
from partmuster.store.frames import shaped, stage
from partmuster.store.migrations import CONFIG, refresh_views
from partmuster.store.vocabulary_tables import store_vocabulary
from partmuster_schemas.columns import described, polars_schema
from partmuster_schemas.ddl import create_table_sql, table_models
from partmuster_trade.part import Assembly, Part
from partmuster_trade.vocabulary import Vocabulary

MARCH = dt.date(2026, 3, 3)
MAY = dt.date(2026, 5, 16)
LONG_AGO = dt.datetime.combine(dt.date(2020, 1, 1), dt.time())


def part(part_id, assembly="engine", *, handed="same", positions=(), needed_for=("runner",),
         sort="part", identity_bearing=False, replaced_by=None, companions=(), mated_with=(),
         caution=()):  # fmt: skip
    return Part(
        part_id=part_id, name=part_id.replace("-", " "), noun_first=part_id.upper(),
        assembly=assembly, handed=handed, positions=tuple(positions), unit="each",
        supply_class="", needed_for=tuple(needed_for), sort=sort,
        mated_with=tuple(mated_with), companions=tuple(companions), caution=tuple(caution),
        identity_bearing=identity_bearing,
        names_any=(), names_uk=(), names_us=(), names_au=(), names_period=(),
        replaced_by=replaced_by, source="invented for the tests",
    )  # fmt: skip


def assembly(assembly_id, weight):
    given = {"assembly_id": assembly_id, "name": assembly_id, "weight": weight,
             "names": (), "area": "tests", "source": "invented for the tests"}  # fmt: skip
    return Assembly(**{name: given[name] for name in Assembly.__dataclass_fields__})


PARTS = (
    part("magneto"),
    part("dynamo", "electrics"),
    part("lamp", "electrics", needed_for=("static-display", "runner")),
    part("tray", "stowage", needed_for=("static-display",)),
    part("clip", "stowage", needed_for=()),
    part("road-wheel", "running-gear", needed_for=("static-display", "runner")),
    part("mudguard", "hull", handed="handed", positions=("front", "rear"),
         needed_for=("static-display",)),
    part("track-guard", "hull", handed="handed", needed_for=("static-display",)),
    part("radiator", "cooling", needed_for=("static-display", "runner")),
    part("lorry-radiator", "cooling"),
    part("data-plate", "hull", identity_bearing=True, needed_for=("static-display",)),
    part("lining", "brakes", sort="consumable"),
    part("bolt", "hardware", sort="hardware"),
    part("bolt-hexagon", "hardware", sort="hardware"),
    part("setscrew", "hardware", sort="hardware"),
    part("oil-seal", "hardware", sort="consumable"),
    part("sprocket-bolt", "running-gear", sort="hardware"),
    part("old-magneto", replaced_by="magneto"),
    part("bracket", "electrics"),
    part("idler", "running-gear"),
    part("track-adjuster", "running-gear"),
    part("crown-wheel", "running-gear", mated_with=("pinion",)),
    part("pinion", "running-gear", mated_with=("crown-wheel",)),
    part("belt", "cooling", companions=("bracket",)),
    part("engine", needed_for=("static-display", "runner")),
    part("crankcase"),
    part("sump", needed_for=()),
    part("adapter-plate", needed_for=()),
    part("final-drive", "final-drive", handed="handed"),
    part("final-drive-casing", "final-drive", handed="handed"),
    part("final-drive-gear", "final-drive"),
    *(part(f"valve-{number}", "radio", needed_for=("static-display",)) for number in range(14)),
)  # fmt: skip
ASSEMBLIES = tuple(
    assembly(name, weight)
    for name, weight in (
        ("engine", 3), ("electrics", 1), ("stowage", 1), ("running-gear", 2), ("hull", 2),
        ("cooling", 1), ("brakes", 1), ("final-drive", 1), ("radio", 1), ("hardware", 1),
        ("steering", 1),
    )
)  # fmt: skip
VOCABULARY = Vocabulary(PARTS, ASSEMBLIES)

_STAND_IN_VALUES = {"VARCHAR": "unknown", "BOOLEAN": False, "INTEGER": 1, "BIGINT": 1,
                    "DOUBLE": 0.0, "DATE": MARCH, "TIMESTAMP": LONG_AGO}  # fmt: skip


@functools.cache
def empty_club():
    """Return the one database of these tests; making its views takes longer than any test."""
    con = duckdb.connect(config=CONFIG)
    for table, model in table_models().items():
        con.execute(create_table_sql(table, model))
    refresh_views(con)
    store_vocabulary(con, VOCABULARY)
    return con


class Club:
    """Says lines; every method returns the id of the line it said."""

    def __init__(self):
        self.rows = {}
        self.number = itertools.count(1)
        self.names = {}
        self.con = None

    def say(self, kind, *, source="list", said_on=MARCH, sure=True, first_hand=True,
            basis="line", recorded=None, until=None, recorded_to=None, words=None,
            **columns):  # fmt: skip
        line_id = f"{kind}-{next(self.number):03}"
        given = {
            "line_id": line_id, "revision": 1, "source_id": source, "source_version": 1,
            "words": words or line_id, "sure": sure, "first_hand": first_hand,
            "said_on": said_on, "said_on_basis": basis, "said_until": until,
            "recorded_from": recorded or dt.datetime.combine(said_on, dt.time(12)),
            "recorded_to": recorded_to,
        } | columns  # fmt: skip
        self.add(f"said_{kind}", given)
        return line_id

    def add(self, table, given):
        spec = described(table_models()[table])
        unknown = set(given) - set(spec)
        assert not unknown, f"{table} has no {unknown}"
        row = {
            name: _STAND_IN_VALUES[about["type"]] if not about["nullable"] else None
            for name, about in spec.items()
        }
        if "said_on_basis" in row:
            row["said_on_basis"] = "line"
        self.rows.setdefault(table, []).append(row | given)
        self.con = None

    def name(self, role, key, target, *, accepted=True, probability=1.0, rank=1, recorded=None):
        if key is None or (role, key, target) in self.names:
            return
        self.names[role, key, target] = True
        self.add("identification", {
            "role": role, "key": key, "rank": rank, "target": target, "method": "exact",
            "probability": probability, "accepted": accepted, "reasons": "the same words",
            "recorded_from": recorded or LONG_AGO,
        })  # fmt: skip

    def item(self, part_id, *, reading=None):
        """Return the key of a part's words; ``reading`` = (part, probability) of an unsure one."""
        if reading:
            key = f"unsure {reading[0]}"
            self.name("part", key, reading[0], accepted=False, probability=reading[1])
            return key
        self.name("part", part_id, part_id)
        return part_id

    def person(self, name):
        if name:
            self.name("holder", name.lower(), name.lower())
        return {"holder": name, "holder_key": name.lower()} if name else {}

    def vehicle(self, name, family="Otter", mark=None, phase=None, *, keeper=None, place=None,
                **more):  # fmt: skip
        self.name("vehicle", name.lower(), name.lower())
        if place:
            self.name("place", place.lower(), place.lower())
        if keeper:
            self.name("holder", keeper.lower(), keeper.lower())
        return self.say(
            "vehicle", source=more.pop("source", "register"), vehicle=name,
            vehicle_key=name.lower(), family=family, mark=mark, phase=phase, place=place,
            place_key=place and place.lower(), keeper=keeper, keeper_key=keeper and keeper.lower(),
            **more,
        )  # fmt: skip

    def build(self, name, assembly_id, mark=None, phase=None, **more):
        return self.say("vehicle", source="register", vehicle=name, vehicle_key=name.lower(),
                        assembly=assembly_id, mark=mark, phase=phase, **more)  # fmt: skip

    def serial(self, name, series, value):
        return self.say("vehicle", source="register", vehicle=name, vehicle_key=name.lower(),
                        series=series, serial=str(value), serial_value=value)  # fmt: skip

    def clauses(self, line_id, *clauses):
        for clause in clauses:
            self.add("effectivity", {
                "line_id": line_id, "revision": 1,
                "is_interval": "first_serial" in clause or "last_serial" in clause,
            } | clause)  # fmt: skip

    def requirement(self, part_id, quantity=1, *clauses, family="Otter", number=None, **more):
        line_id = self.say(
            "requirement", source=more.pop("source", "parts list"), family=family,
            description=part_id, item_key=self.item(part_id), at_least=quantity,
            at_most=quantity, all_builds=not clauses, part_number=number,
            part_number_normal=number, **more,
        )  # fmt: skip
        self.clauses(line_id, *clauses)
        return line_id

    def survey(self, vehicle, part_id, presence, quantity=None, **more):
        low, high = quantity if isinstance(quantity, tuple) else (quantity, quantity)
        more = {"service": "unknown", "making": "unknown", "source": "survey"} | more
        return self.say(
            "survey", vehicle=vehicle, vehicle_key=vehicle.lower(), description=part_id,
            item_key=self.item(part_id), presence=presence, at_least=low, at_most=high,
            quantified=quantity is not None, **more,
        )  # fmt: skip

    def holding(self, holder, part_id, quantity=1, *, place=None, reading=None, number=None,
                **more):  # fmt: skip
        low, high = quantity if isinstance(quantity, tuple) else (quantity, quantity)
        if place:
            self.name("place", place.lower(), place.lower())
        more = {"availability": "offered", "service": "unknown", "making": "unknown",
                "grade": "good", "source": f"{holder}'s sheet"} | more  # fmt: skip
        return self.say(
            "holding", description=part_id, item_key=self.item(part_id, reading=reading),
            at_least=low, at_most=high, quantity_text=f"{low}", place=place,
            place_key=place and place.lower(), part_number=number, part_number_normal=number,
            **self.person(holder), **more,
        )  # fmt: skip

    def fit(self, part_id, grade, *, to_part=None, **more):
        more = {"source": "fits"} | more
        return self.say(
            "fit", description=part_id, item_key=self.item(part_id), fit_grade=grade,
            to_description=to_part, to_item_key=to_part and self.item(to_part), **more,
        )  # fmt: skip

    def promise(self, holder, part_id, vehicle, stage="agreed", quantity=1, **more):
        if vehicle:
            self.name("vehicle", vehicle.lower(), vehicle.lower())
        more = {"source": "promises"} | more
        return self.say(
            "promise", description=part_id, item_key=self.item(part_id), stage=stage,
            vehicle=vehicle, vehicle_key=vehicle and vehicle.lower(), at_least=quantity,
            at_most=quantity, **self.person(holder), **more,
        )  # fmt: skip

    def place(self, name, north, east):
        self.name("place", name.lower(), name.lower())
        return self.say("place", place=name, place_key=name.lower(), latitude=north,
                        longitude=east)  # fmt: skip

    def connect(self):
        if self.con is None:
            self.con = empty_club()
            for table in (*table_models(),):
                if table not in ("part", "assembly", "setting"):
                    self.con.execute(f"TRUNCATE {table}")
            for table, rows in self.rows.items():
                schema = polars_schema(table_models()[table])
                frame = pl.DataFrame(rows, infer_schema_length=None)
                stage(self.con, "said_now", shaped(frame, schema))
                self.con.execute(f"INSERT INTO {table} BY NAME SELECT * FROM said_now")
        return self.con

    def lacks(self, vehicle="Otter 1", **more):
        """Return {(part, hand, position, state): quantity}."""
        rows = lacks(self.connect(), VOCABULARY, vehicle, **more).rows
        return {
            (r["part"], *(r[n] for n in ("hand", "position") if r[n]), r["state"]): r["quantity"]
            for r in rows.to_dicts()
        }

    def lack_rows(self, vehicle="Otter 1", **more):
        return lacks(self.connect(), VOCABULARY, vehicle, **more).rows.to_dicts()

    def complete(self, vehicle="Otter 1", aim=None, assembly_id=None, sort="part", **more):
        """Return (low, high) of the whole vehicle, or of an assembly."""
        rows = lacks(self.connect(), VOCABULARY, vehicle, **more).completeness.to_dicts()
        found = [
            (r["low"], r["high"]) for r in rows
            if r["assembly"] == assembly_id and r["sort"] == sort and aim in (None, r["aim"])
        ]  # fmt: skip
        assert len(found) == 1, rows
        return found[0]

    def donors(self, vehicle="Otter 1", part_id=None, **more):
        return donors(self.connect(), VOCABULARY, vehicle, part_id, **more).to_dicts()

    def fits(self, part_id, on, **more):
        from partmuster.answers.fits import fits  # each answer loads its own

        return fits(self.connect(), VOCABULARY, part_id, on, **more).to_dicts()

    def explain(self, part_id, vehicle="Otter 1", **more):
        from partmuster.answers.explain import explain  # as above

        return explain(self.connect(), VOCABULARY, part_id, vehicle, **more).to_dicts()

    def holders(self, words, identify=None, **more):
        return holders(self.connect(), VOCABULARY, words, identify, **more).to_dicts()


@pytest.fixture
def club():
    return Club()


@pytest.fixture
def make_club():
    """A maker of clubs, for tests that need many."""
    return Club


@pytest.fixture
def vocabulary():
    return VOCABULARY

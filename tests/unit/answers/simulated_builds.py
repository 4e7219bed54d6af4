"""A club of simulated vehicles of known builds: to see whether what is told of them holds.

They are not made by the model's own assumptions: how usual a feature really is differs from what
the family file calls it, features of a group come together, workshops changed some later and mostly
without a word, plates travelled, assemblies were swapped, builds were made in unequal numbers, and
converted assemblies are a mixture of two builds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import polars as pl

from partmuster.store.frames import shaped, stage
from partmuster_schemas.columns import described, polars_schema
from partmuster_schemas.ddl import table_models

from .conftest import LONG_AGO, MARCH

ASSEMBLIES = ("hull", "engine", "cooling")
BUILDS = (("Mk 1", "early"), ("Mk 1", "late"), ("Mk 2", "early"), ("Mk 2", "late"), ("Mk 3", None))
FEATURES = 14
#: What the file says, and between which shares it really is.
REALLY = {"usual": (0.86, 1.0), "possible": (0.2, 0.8), "unlikely": (0.0, 0.14)}
STATES = ("usual", "possible", "unlikely")


@dataclass(frozen=True, slots=True)
class World:
    """How often things go otherwise than the model has them."""

    misseen: float = 0.05
    converted: float = 0.05
    swapped: float = 0.25
    reworked: float = 0.2  # all that can be changed, brought to the latest build
    owned_up: float = 0.4  # of those, noted as a later change
    plates: float = 0.4
    travelled: float = 0.1
    serials: float = 0.3
    marked: float = 0.7


def file_of_family(rng):
    """Return what the family file says: an array [assembly, build, feature], groups, changeable."""
    said = np.empty((len(ASSEMBLIES), len(BUILDS), FEATURES), dtype=int)
    for of_assembly in range(len(ASSEMBLIES)):
        for feature in range(FEATURES):
            turn = rng.integers(1, len(BUILDS))  # from this build on, or up to it
            has = np.arange(len(BUILDS)) >= turn
            has = has if rng.random() < 0.5 else ~has
            states = np.where(has, 0, 2)
            blurred = rng.random(len(BUILDS)) < 0.2
            said[of_assembly, :, feature] = np.where(blurred, 1, states)
    groups = np.full((len(ASSEMBLIES), FEATURES), -1)
    groups[:, 0:3], groups[:, 3:5] = 0, 1  # three that come together, and two
    said[:, :, 1], said[:, :, 2] = said[:, :, 0], said[:, :, 0]
    said[:, :, 4] = said[:, :, 3]
    changeable = np.zeros((len(ASSEMBLIES), FEATURES), dtype=bool)
    changeable[:, 10:] = True
    return said, groups, changeable


def simulate(vehicles, seed, world=World()):
    """Return frames by table, and the true build of each vehicle and assembly (-1: converted)."""
    rng = np.random.default_rng(seed)
    said, groups, changeable = file_of_family(rng)
    low, high = (np.array([REALLY[state][end] for state in STATES]) for end in (0, 1))
    really = low[said] + (high - low)[said] * rng.random(said.shape)
    made = np.array([0.3, 0.25, 0.2, 0.15, 0.1])
    own = rng.choice(len(BUILDS), size=vehicles, p=made)
    truth = np.repeat(own[:, None], len(ASSEMBLIES), axis=1)
    swapped = rng.random(truth.shape) < world.swapped
    truth = np.where(swapped, rng.choice(len(BUILDS), size=truth.shape, p=made), truth)
    converted = rng.random(truth.shape) < world.converted

    # features there: a group is drawn as one
    chance = np.stack([really[a][truth[:, a]] for a in range(len(ASSEMBLIES))], axis=1)
    other = np.stack(
        [really[a][rng.choice(len(BUILDS), size=vehicles)] for a in range(len(ASSEMBLIES))], axis=1
    )
    mixed = np.where(rng.random(chance.shape) < 0.5, chance, other)
    chance = np.where(converted[:, :, None], mixed, chance)
    draw = rng.random(chance.shape)
    for group in (0, 1):
        members = np.flatnonzero(groups[0] == group)
        together = rng.random(draw.shape[:2]) < 0.9
        draw[:, :, members] = np.where(
            together[:, :, None], draw[:, :, members[:1]], draw[:, :, members]
        )
    there = draw < chance
    # workshops bring all that can be changed to the state of the latest build
    reworked = (rng.random(truth.shape) < world.reworked)[:, :, None] & changeable[None]
    latest = (said[:, -1, :] == 0)[None]
    changed = reworked & (there != latest)
    there = np.where(reworked, latest, there)
    noted = changed & (rng.random(truth.shape) < world.owned_up)[:, :, None]

    looked = rng.random(there.shape) < rng.uniform(0.1, 0.8, size=truth.shape)[:, :, None]
    seen = there ^ (rng.random(there.shape) < world.misseen)
    frames = {
        "said_build": build_lines(said, groups, changeable),
        "said_vehicle": vehicle_lines(rng, own, truth, world),
        "said_feature": pl.concat([
            feature_lines(looked, seen, noted), plate_lines(rng, truth, world),
        ], how="diagonal"),
        "identification": pl.DataFrame([
            {"role": "vehicle", "key": f"v{n}", "rank": 1, "target": f"v{n}", "method": "exact",
             "probability": 1.0, "accepted": True, "recorded_from": LONG_AGO}
            for n in range(vehicles)
        ]),
    }  # fmt: skip
    return frames, np.where(converted, -1, truth)


def build_lines(said, groups, changeable):
    rows = []
    for a, assembly in enumerate(ASSEMBLIES):
        for b, (mark, phase) in enumerate(BUILDS):
            rows += [
                {"assembly": assembly, "mark": mark, "phase": phase, "feature": f"feature {f}",
                 "likelihood": STATES[said[a, b, f]], "changeable": bool(changeable[a, f]),
                 "feature_group": f"group {groups[a, f]}" if groups[a, f] >= 0 else None}
                for f in range(FEATURES)
            ]  # fmt: skip
            # serials by build, with some overlap at either end
            rows.append(
                {"assembly": assembly, "mark": mark, "phase": phase, "series": assembly,
                 "first_serial": 1000 * b + 1, "last_serial": 1000 * (b + 1) + 60}
            )  # fmt: skip
    return pl.DataFrame(rows, infer_schema_length=None).with_columns(
        family=pl.lit("Otter"), line_id=pl.format("build-{}", pl.int_range(pl.len()))
    )


def vehicle_lines(rng, own, truth, world):
    marked = rng.random(len(own)) < world.marked
    rows = [
        {"vehicle": f"V{n}", "vehicle_key": f"v{n}", "family": "Otter",
         "mark": BUILDS[own[n]][0] if marked[n] else None,
         "phase": BUILDS[own[n]][1] if marked[n] else None, "serial_value": None}
        for n in range(len(own))
    ]  # fmt: skip
    known = rng.random(truth.shape) < world.serials
    misread = rng.random(truth.shape) < 0.03
    for n, a in zip(*np.nonzero(known), strict=True):
        build = rng.integers(len(BUILDS)) if misread[n, a] else truth[n, a]
        rows.append({"vehicle": f"V{n}", "vehicle_key": f"v{n}", "series": ASSEMBLIES[a],
                     "serial_value": int(1000 * build + rng.integers(1, 1061))})  # fmt: skip
    return pl.DataFrame(rows, infer_schema_length=None).with_columns(
        pl.col("serial_value").cast(pl.Int64),
        serial=pl.col("serial_value").cast(pl.String),
        line_id=pl.format("vehicle-{}", pl.int_range(pl.len())),
    )


def feature_lines(looked, seen, noted):
    vehicle, assembly, feature = np.nonzero(looked)
    frame = pl.DataFrame({
        "vehicle": vehicle, "a": assembly, "f": feature, "seen": seen[looked],
        "noted": noted[looked],
    })  # fmt: skip
    return frame.select(
        pl.format("V{}", "vehicle").alias("vehicle"),
        pl.format("v{}", "vehicle").alias("vehicle_key"),
        pl.col("a").replace_strict(dict(enumerate(ASSEMBLIES))).alias("assembly"),
        pl.format("feature {}", "f").alias("feature"),
        "seen",
        pl.when("noted").then(pl.lit("a later change")).alias("remark"),
        pl.format("feature-{}", pl.int_range(pl.len())).alias("line_id"),
    )


def plate_lines(rng, truth, world):
    there = rng.random(truth.shape) < world.plates
    travelled = rng.random(truth.shape) < world.travelled
    read = np.where(travelled, rng.choice(len(BUILDS), size=truth.shape), truth)
    rows = [
        {"vehicle": f"V{n}", "vehicle_key": f"v{n}", "assembly": ASSEMBLIES[a],
         "feature": "data plate", "evidence": "plate", "seen": True,
         "feature_value": " ".join(filter(None, BUILDS[read[n, a]])), "line_id": f"plate-{n}-{a}"}
        for n, a in zip(*np.nonzero(there), strict=True)
    ]  # fmt: skip
    return pl.DataFrame(rows, schema={
        "vehicle": pl.String, "vehicle_key": pl.String, "assembly": pl.String,
        "feature": pl.String, "evidence": pl.String, "seen": pl.Boolean,
        "feature_value": pl.String, "line_id": pl.String,
    })  # fmt: skip


def put_into(con, frames):
    """Write the frames into the tables of a club."""
    for table, frame in frames.items():
        spec = described(table_models()[table])
        given = {
            "revision": 1, "source_id": "simulated", "source_version": 1, "words": "simulated",
            "sure": True, "first_hand": True, "said_on": MARCH, "said_on_basis": "line",
            "recorded_from": LONG_AGO,
        }  # fmt: skip
        missing = {name: pl.lit(value) for name, value in given.items()
                   if name in spec and name not in frame.columns}  # fmt: skip
        stage(
            con,
            "said_now",
            shaped(frame.with_columns(**missing), polars_schema(table_models()[table])),
        )
        con.execute(f"INSERT INTO {table} BY NAME SELECT * FROM said_now")


def told_of(con, truth):
    """Return a row for each candidate: probability, whether it is the true one."""
    frame = pl.DataFrame(con.sql(
        "SELECT vehicle_id, assembly, mark, phase, probability "
        "FROM build_probabilities_as_of(NULL, false)"
    ))  # fmt: skip
    n, a = np.indices(truth.shape)
    true = pl.DataFrame({
        "vehicle_id": [f"v{one}" for one in n.ravel()],
        "assembly": [ASSEMBLIES[one] for one in a.ravel()],
        "true_mark": [None if b < 0 else BUILDS[b][0] for b in truth.ravel()],
        "true_phase": [None if b < 0 else BUILDS[b][1] for b in truth.ravel()],
    })  # fmt: skip
    return frame.join(true, on=["vehicle_id", "assembly"]).with_columns(
        right=pl.col("mark").eq_missing(pl.col("true_mark"))
        & pl.col("phase").eq_missing(pl.col("true_phase"))
    )

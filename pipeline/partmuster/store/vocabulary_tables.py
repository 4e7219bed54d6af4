"""The vocabulary as tables ``part`` and ``assembly``, which the answers' SQL joins."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

import polars as pl

from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import VocabularyAssembly, VocabularyPart
from partmuster_trade.assemblies import whole_parts
from partmuster_trade.cautions import caution

from .frames import shaped, stage
from .settings import put_setting, read_settings

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

    from partmuster_trade.vocabulary import Vocabulary

VOCABULARY_HASH = "vocabulary-hash"


def part_rows(vocabulary: Vocabulary) -> pl.DataFrame:
    """Return one row a part: the columns of ``VocabularyPart``, lists joined by ';'.

    ``replaced_by`` is the part that stands for it now, at the end of the chain; ``caution`` the
    caution texts in plain words.
    """
    rows = [
        {
            "part_id": part.part_id,
            "name": part.name,
            "noun_first": part.noun_first,
            "assembly": part.assembly,
            "handed": part.handed,
            "positions": ";".join(part.positions),
            "unit": part.unit,
            "needed_for": ";".join(part.needed_for),
            "sort": part.sort,
            "mated_with": ";".join(part.mated_with),
            "companions": ";".join(part.companions),
            "caution": " ".join(caution(name).text for name in part.caution) or None,
            "identity_bearing": part.identity_bearing,
            "replaced_by": (
                vocabulary.in_force(part.part_id).part_id if part.replaced_by else None
            ),
        }
        for part in vocabulary.parts
    ]
    return shaped(pl.DataFrame(rows, infer_schema_length=None), polars_schema(VocabularyPart))


def assembly_rows(vocabulary: Vocabulary) -> pl.DataFrame:
    """Return one row an assembly: the columns of ``VocabularyAssembly``."""
    whole = whole_parts()
    rows = [
        {
            "assembly_id": one.assembly_id,
            "name": one.name,
            "weight": float(one.weight),
            "whole_part": whole.get(one.assembly_id),
        }
        for one in vocabulary.assemblies()
    ]
    return shaped(pl.DataFrame(rows, infer_schema_length=None), polars_schema(VocabularyAssembly))


def store_vocabulary(con: DuckDBPyConnection, vocabulary: Vocabulary) -> bool:
    """Write the vocabulary into a club open for writing; return whether it had changed."""
    digest = vocabulary_hash(vocabulary)
    if read_settings(con).get(VOCABULARY_HASH) == digest:
        return False
    for table, rows in _TABLES.items():
        stage(con, f"{table}_fresh", rows(vocabulary))
        con.execute(f"DELETE FROM main.{table}")  # noqa: S608  (names are this module's own)
        con.execute(f"INSERT INTO main.{table} BY NAME SELECT * FROM {table}_fresh")  # noqa: S608  (as above)
        con.execute(f"DROP TABLE {table}_fresh")
    put_setting(con, VOCABULARY_HASH, digest)
    return True


def use_vocabulary(con: DuckDBPyConnection, vocabulary: Vocabulary) -> str:
    """Let this connection's answers use a vocabulary; return its hash.

    Where it differs from the club's own (a newer program, a club file edited since the last
    import) temporary tables stand before the club's: names are looked up among temporary tables
    first.
    """
    digest = vocabulary_hash(vocabulary)
    settings = dict(con.execute(_IN_USE).fetchall())
    if settings.get("temporary") == digest:
        return digest
    for table, rows in _TABLES.items():
        if settings.get("stored") == digest:
            con.execute(f"DROP TABLE IF EXISTS temp.{table}")
        else:
            stage(con, table, rows(vocabulary))
            con.execute(f"COMMENT ON TABLE temp.{table} IS '{digest}'")
    return digest


def vocabulary_hash(vocabulary: Vocabulary) -> str:
    """Return the hash that tells whether a club's tables say what a vocabulary says."""
    if vocabulary not in _HASHES:
        text = "\n".join(rows(vocabulary).write_csv() for rows in _TABLES.values())
        _HASHES[vocabulary] = hashlib.sha256(text.encode()).hexdigest()[:16]
    return _HASHES[vocabulary]


_TABLES = {"part": part_rows, "assembly": assembly_rows}
#: A vocabulary does not change once it is made.
_HASHES: WeakKeyDictionary[Vocabulary, str] = WeakKeyDictionary()
_IN_USE = f"""
    SELECT 'stored', value FROM setting WHERE name = '{VOCABULARY_HASH}'
    UNION ALL
    SELECT 'temporary', comment FROM duckdb_tables() WHERE temporary AND table_name = 'part'
"""  # noqa: S608  (a constant)

"""Which lines of different sheets may be one item: suspected by all that two lines say.

Lines are compared where they are of one part (or carry one number that nobody has identified) and
share a person, a place, a serial number, or words that hardly any other line has. What agrees and
what differs adds up, in bits, to how likely they are one thing. That two people have a common part
is no reason.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from partmuster_trade.words import load_words

from .frames import first_row

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

#: How much each agreement or difference says, in bits (common practice, no source): the logarithm
#: of how much oftener it comes of one item than of two of the same part. 0 bits in all are an even
#: chance, and are asked about.
BITS: Final = {
    "prior": -5.0,
    "same_person": 5.0, "other_person": -4.0,
    "same_place": 4.5, "same_place_of_person": 1.5, "other_place": -3.0,
    "same_serial": 12.0, "same_words": 3.0,
    "same_condition": 1.5, "other_condition": -0.5,
    "one_each": 0.5, "as_many": 2.0, "other_number": -3.0,
    "other_part_number": -6.0, "other_casting": -4.0,
    "other_build": -3.0, "other_family": -6.0,
}  # fmt: skip
#: So many words that hardly another line has count at most.
_WORDS_COUNTED = 3
#: Of a person, or a place, that has one part on so many lines of a sheet, the first are compared.
_OF_ONE = 40

_SERIAL = (
    r"(?i)\b(?:s/?n|serial|ser\.|unit no)\b\s*(?:number|no|nr)?[\s.:#]*"
    r"([a-z]{0,4}[ /-]?\d[\w/-]*)"
)

#: Holdings that count now and have the like in another sheet, with what is compared.
_SIGHTINGS = f"""
    CREATE OR REPLACE TEMP TABLE sighting AS
    WITH parts AS (
        SELECT i.key, coalesce(p.replaced_by, p.part_id) AS part_id
        FROM identification i JOIN part p ON p.part_id = i.target
        WHERE i.role = 'part' AND i.accepted AND i.recorded_to IS NULL
    ), names AS (
        SELECT role, key, target FROM identification
        WHERE role IN ('holder', 'place') AND accepted AND target IS NOT NULL
          AND recorded_to IS NULL
    ), said AS MATERIALIZED (
        SELECT h.line_id, h.source_id, p.part_id, p.handed, p.positions,
            h.side, h.position, h.part_number_normal AS number, h.casting_number AS casting,
            h.description, h.words, h.quantity_text, h.at_least, h.at_most, h.family, h.mark,
            h.holder, h.place, h.said_on, o.target AS holder_id, w.target AS owner_id,
            l.target AS place_id,
            CASE WHEN h.service = 'unserviceable' THEN 'unserviceable'
                 ELSE nullif(h.grade, 'unknown') END AS condition,
            p.sort IN ('hardware', 'consumable') AS sized,
            concat_ws(' ', h.remark, h.condition_text, h.from_vehicle,
                array_to_string(regexp_extract_all(h.description, '\\(([^)]*)\\)', 1), ' '))
                AS told,
            coalesce('part ' || p.part_id, 'number ' || h.part_number_normal,
                'number ' || h.stock_number, 'number ' || h.casting_number,
                'words ' || h.item_key) AS thing
        FROM said_holding h
        LEFT JOIN parts k ON k.key = h.item_key
        LEFT JOIN parts d ON d.key = 'line:' || h.line_id
        LEFT JOIN part p ON p.part_id = coalesce(d.part_id, k.part_id)
        LEFT JOIN names o ON o.role = 'holder' AND o.key = h.holder_key
        LEFT JOIN names w ON w.role = 'holder' AND w.key = h.owner_key
        LEFT JOIN names l ON l.role = 'place' AND l.key = h.place_key
        WHERE h.recorded_to IS NULL AND NOT h.gone AND h.at_most IS DISTINCT FROM 0
    ), shared AS (
        SELECT thing FROM said WHERE thing IS NOT NULL
        GROUP BY thing HAVING min(source_id) <> max(source_id)
    )
    SELECT s.* EXCLUDE (handed, positions, told),
        item_hand(side, handed) AS hand, item_position(position, positions) AS stands,
        list_distinct([holder_id, owner_id]) AS people,
        nullif(upper(regexp_replace(regexp_extract(words, '{_SERIAL}', 1), '[^A-Za-z0-9]', '',
            'g')), '') AS serial,
        CASE WHEN told <> '' THEN list_distinct(words_of(told)) ELSE [] END AS told,
        CASE WHEN sized THEN list_sort(regexp_extract_all(description, '\\d[\\d/.]*')) END AS sizes
    FROM said s SEMI JOIN shared USING (thing)
"""  # noqa: S608  (no outside text)

#: Pairs of lines that share more than the part, each once, the earlier id first.
_PAIRS = f"""
    CREATE OR REPLACE TEMP TABLE twin AS
    WITH names AS (
        SELECT DISTINCT w.word FROM (SELECT unnest(words_of(name)) AS word FROM part) w
    ), word AS (
        SELECT line_id, source_id, thing, unnest(told) AS word FROM sighting WHERE len(told) > 0
    ), rare AS (
        SELECT line_id, source_id, thing, word FROM word
        WHERE len(word) >= 4 AND NOT list_contains($1, word) AND word NOT IN (FROM names)
        QUALIFY count(*) OVER (PARTITION BY word) <= 4 + (SELECT count(*) FROM sighting) / 5000
    ), keys AS (
        SELECT 'who ' || person AS key, * FROM (
            SELECT line_id, source_id, thing, unnest(people) AS person FROM sighting)
        WHERE person IS NOT NULL
        UNION ALL BY NAME
        SELECT 'where ' || place_id AS key, line_id, source_id, thing FROM sighting
        WHERE place_id IS NOT NULL
        UNION ALL BY NAME
        SELECT 'word ' || word AS key, line_id, source_id, thing FROM rare
        UNION ALL BY NAME
        SELECT 'serial ' || serial AS key, line_id, source_id, thing FROM sighting
        WHERE serial IS NOT NULL
    ), few AS (
        SELECT key, line_id, source_id, thing FROM keys
        QUALIFY row_number() OVER (PARTITION BY key, thing, source_id ORDER BY line_id)
            <= {_OF_ONE}
    )
    SELECT a.line_id AS one, b.line_id AS other,
        list(DISTINCT substr(a.key, 6)) FILTER (starts_with(a.key, 'word ')) AS words
    FROM few a JOIN few b ON b.thing = a.thing AND b.key = a.key
        AND a.source_id <> b.source_id AND a.line_id < b.line_id
    GROUP BY a.line_id, b.line_id
"""  # noqa: S608  (no outside text)

#: What speaks for each pair and against it, in bits; of several possible twins the likeliest.
_WEIGHED = f"""
    CREATE OR REPLACE TEMP TABLE twin_weighed AS
    WITH compared AS (
        SELECT t.one, t.other, a.source_id AS of_one, b.source_id AS of_other, a.thing,
            coalesce(t.words, []) AS words,
            list_filter(list_intersect(a.people, b.people), lambda x: x IS NOT NULL)
                AS people_shared,
            len(list_filter(a.people, lambda x: x IS NOT NULL)) > 0
                AND len(list_filter(b.people, lambda x: x IS NOT NULL)) > 0 AS people_known,
            a.place_id = b.place_id AS same_place, a.serial = b.serial AS same_serial,
            a.condition = b.condition AS same_condition,
            CASE WHEN a.at_least > 0 AND b.at_least > 0 AND a.at_most IS NOT NULL
                      AND b.at_most IS NOT NULL
                 THEN a.at_least = b.at_least AND a.at_most = b.at_most END AS same_number,
            a.at_least AS number_held, a.condition, a.serial, a.place, a.holder,
            a.number <> b.number AS other_part_number, a.casting <> b.casting AS other_casting,
            a.family <> b.family AS other_family, a.mark <> b.mark AS other_mark,
            row_number() OVER (PARTITION BY t.one, b.source_id ORDER BY b.line_id)
                - row_number() OVER (PARTITION BY t.other, a.source_id ORDER BY a.line_id) AS apart
        FROM twin t
        JOIN sighting a ON a.line_id = t.one
        JOIN sighting b ON b.line_id = t.other
        WHERE (a.hand = b.hand) IS NOT FALSE AND (a.stands = b.stands) IS NOT FALSE
          AND (a.serial = b.serial) IS NOT FALSE
          AND (a.sizes = b.sizes) IS NOT FALSE
    ), weighed AS (
        SELECT *, {{prior}}
            + CASE WHEN len(people_shared) > 0 THEN {{same_person}}
                   WHEN people_known THEN {{other_person}} ELSE 0 END
            + CASE WHEN same_place AND len(people_shared) > 0 THEN {{same_place_of_person}}
                   WHEN same_place THEN {{same_place}}
                   WHEN NOT same_place THEN {{other_place}} ELSE 0 END
            + CASE WHEN same_serial THEN {{same_serial}} ELSE 0 END
            + least(len(words), {_WORDS_COUNTED}) * {{same_words}}
            + CASE WHEN same_condition THEN {{same_condition}}
                   WHEN NOT same_condition THEN {{other_condition}} ELSE 0 END
            + CASE WHEN same_number AND number_held = 1 THEN {{one_each}}
                   WHEN same_number THEN {{as_many}}
                   WHEN NOT same_number THEN {{other_number}} ELSE 0 END
            + CASE WHEN other_part_number THEN {{other_part_number}} ELSE 0 END
            + CASE WHEN other_casting THEN {{other_casting}} ELSE 0 END
            + CASE WHEN other_family THEN {{other_family}} ELSE 0 END
            + CASE WHEN other_mark THEN {{other_build}} ELSE 0 END AS bits
        FROM compared
    ), likely AS (SELECT * FROM weighed WHERE bits >= 0
    )
    SELECT one, other, of_one, of_other, thing, bits, 1 / (1 + pow(2, -bits)) AS score,
        concat_ws('; ',
            CASE WHEN same_serial THEN 'same serial number ' || serial END,
            CASE WHEN len(people_shared) > 0 THEN 'same holder'
                 WHEN people_known THEN 'but other holders' END,
            CASE WHEN same_place THEN 'same place'
                 WHEN NOT same_place THEN 'but other places' END,
            CASE WHEN same_condition THEN 'same condition'
                 WHEN NOT same_condition THEN 'but another condition' END,
            CASE WHEN same_number AND number_held = 1 THEN 'one each'
                 WHEN same_number THEN 'as many: ' || printf('%g', number_held)
                 WHEN NOT same_number THEN 'but not as many' END,
            CASE WHEN len(words) > 0 THEN 'same words: ' || array_to_string(list_sort(words), ', ')
            END,
            CASE WHEN other_mark THEN 'but for other builds' END) AS reasons
    FROM likely
    QUALIFY row_number() OVER (PARTITION BY one, of_other
                ORDER BY bits DESC, abs(apart), other) = 1
        AND row_number() OVER (PARTITION BY other, of_one
                ORDER BY bits DESC, abs(apart), one) = 1
"""  # noqa: S608  (no outside text)

_NONE = """
    CREATE OR REPLACE TEMP TABLE twin_weighed (one VARCHAR, other VARCHAR, of_one VARCHAR,
        of_other VARCHAR, thing VARCHAR, bits DOUBLE, score DOUBLE, reasons VARCHAR)
"""


def find_twins(con: DuckDBPyConnection) -> bool:
    """Weigh which holdings of different sources may be one item; return whether there are two.

    Makes the temporary tables ``sighting`` (line_id, source_id, thing, hand, stands, people ...)
    and ``twin_weighed`` (one, other, of_one, of_other, score, reasons), each pair once.
    """
    sources = con.execute(
        "SELECT DISTINCT source_id FROM said_holding WHERE recorded_to IS NULL LIMIT 2"
    ).fetchall()
    if len(sources) < 2:  # noqa: PLR2004 - no two sheets
        return False
    con.execute(_SIGHTINGS)
    if first_row(con, "SELECT 1 FROM sighting LIMIT 1") is None:
        return False
    con.execute(_PAIRS, [_words_that_do_not_tell()])
    if first_row(con, "SELECT 1 FROM twin LIMIT 1") is None:
        con.execute(_NONE)  # to plan how they are weighed takes longer than all else
    else:
        con.execute(_WEIGHED.format(**BITS))
    return True


def _words_that_do_not_tell() -> list[str]:
    return sorted({word for row in load_words("not_telling") for word in row.words.split()})

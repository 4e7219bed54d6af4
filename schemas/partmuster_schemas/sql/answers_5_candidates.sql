-- donors: which parts to look for, and what must come with them.

-- Which parts some parts (NULL = any) are mated with, by the vocabulary or in a set of a parts list:
-- worked together, and only ever from one source.
CREATE OR REPLACE MACRO mates_of(part_ids, day, known_now) AS TABLE
    WITH sets AS (
        SELECT DISTINCT r.source_id, lower(r.mated_set) AS mated_set, p.part_id
        FROM requirement_as_of(day, known_now) r
        JOIN identification_as_of(day, known_now) i
          ON i.role = 'part' AND i.accepted AND i.key = r.item_key
        JOIN ids_of_parts(NULL) p USING (target)
        WHERE r.mated_set IS NOT NULL
    )
    SELECT p.part_id, m.part_id AS mate
    FROM (SELECT part_id, unnest(string_split(mated_with, ';')) AS target FROM part
          WHERE mated_with <> '') p
    JOIN ids_of_parts(NULL) m USING (target)
    WHERE part_ids IS NULL OR list_contains(part_ids, p.part_id)
    UNION
    SELECT a.part_id, b.part_id
    FROM sets a JOIN sets b USING (source_id, mated_set)
    WHERE a.part_id <> b.part_id AND (part_ids IS NULL OR list_contains(part_ids, a.part_id));

-- The parts that words name somewhere within them ("with its track adjuster"), the longest names.
CREATE OR REPLACE MACRO parts_in_words(texts) AS TABLE
    WITH told AS (
        SELECT said, words_of(said) AS words FROM (SELECT DISTINCT unnest(texts) AS said)
    ),
    begun AS (
        SELECT said, words, unnest(range(1, len(words) + 1)) AS first FROM told
    ),
    spans AS (
        SELECT said, first, words, unnest(range(first, least(first + 5, len(words)) + 1)) AS last
        FROM begun
    ),
    names AS (
        SELECT array_to_string(words_of(name), ' ') AS name, coalesce(replaced_by, part_id)
                   AS part_id
        FROM part
    ),
    found AS (
        SELECT DISTINCT s.said, s.first, s.last, n.part_id
        FROM spans s
        JOIN (SELECT name, part_id FROM names UNION SELECT name || 's', part_id FROM names) n
          ON n.name = array_to_string(s.words[s.first:s.last], ' ')
    )
    SELECT DISTINCT f.said, f.part_id
    FROM found f
    ANTI JOIN found w ON w.said = f.said AND w.first <= f.first AND w.last >= f.last
                     AND w.last - w.first > f.last - f.first;

-- What must come with some parts: part, companion, and by which words ('' = the vocabulary).
CREATE OR REPLACE MACRO companions_of(part_ids, day, known_now) AS TABLE
    WITH texts AS (
        SELECT DISTINCT for_part AS part_id, companions AS said
        FROM fit_statements(part_ids, day, known_now) WHERE companions IS NOT NULL
        UNION
        SELECT p.part_id, r.companions_text
        FROM requirement_as_of(day, known_now) r
        JOIN identification_as_of(day, known_now) i
          ON i.role = 'part' AND i.accepted AND i.key = r.item_key
        JOIN ids_of_parts(part_ids) p USING (target)
        WHERE r.companions_text IS NOT NULL
    )
    SELECT p.part_id, '' AS said, m.part_id AS companion
    FROM (SELECT part_id, unnest(string_split(companions, ';')) AS target FROM part
          WHERE companions <> '') p
    JOIN ids_of_parts(NULL) m USING (target)
    WHERE part_ids IS NULL OR list_contains(part_ids, p.part_id)
    UNION
    SELECT t.part_id, t.said, w.part_id
    FROM texts t JOIN parts_in_words((SELECT list(said) FROM texts)) w USING (said);

-- Parts that may take the place of these, along chains of statements, those themselves among them.
CREATE OR REPLACE MACRO parts_in_chains(part_ids, day, known_now) AS TABLE
    WITH RECURSIVE links AS MATERIALIZED (
        SELECT DISTINCT for_part, on_part FROM fit_statements(NULL, day, known_now)
    ),
    reached(part_id) AS (
        SELECT unnest(part_ids)
        UNION
        SELECT l.on_part FROM reached r JOIN links l ON l.for_part = r.part_id
    )
    SELECT part_id FROM reached;

-- All parts to look for where these are wanted: what may take their place, and what must come with
-- that.
CREATE OR REPLACE MACRO candidate_parts(part_ids, day, known_now) AS TABLE
    WITH reached AS MATERIALIZED (SELECT * FROM parts_in_chains(part_ids, day, known_now))
    SELECT part_id FROM reached
    UNION
    SELECT companion FROM companions_of((SELECT list(part_id) FROM reached), day, known_now)
    UNION
    SELECT mate FROM mates_of((SELECT list(part_id) FROM reached), day, known_now);

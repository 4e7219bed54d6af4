-- months: what a club held, wanted and waited for at the end of a day. The report compares two days.

-- Every loose part that somebody has, known or not: a row a line, and one for an item that people
-- decided is in several lists (`lines`). What is sold or used up is left out.
CREATE OR REPLACE MACRO held_as_of(day, known_now) AS TABLE
    WITH known AS MATERIALIZED (
        SELECT * FROM loose_parts(NULL, day, known_now) WHERE accepted
        QUALIFY row_number() OVER (PARTITION BY line_id ORDER BY part_id) = 1
    ),
    said AS (
        SELECT line_id, lines, part_id, hand, position, part_number, at_least, condition,
               availability, builds, holder, holder_key, place, said_on
        FROM known
        UNION ALL BY NAME
        SELECT line_id, line_id AS lines, part_number, at_least,
               condition_word(service, grade) AS condition, availability,
               builds_said(family, effectivity_text, mark, phase) AS builds,
               coalesce(nullif(trim(holder), ''), 'not named') AS holder, holder_key, place, said_on
        FROM holding_as_of(day, known_now)
        WHERE NOT gone AND at_most IS DISTINCT FROM 0
          AND line_id NOT IN (SELECT unnest(string_split(lines, ';')) FROM known)
          AND line_id NOT IN (SELECT line_id FROM older_sightings(day, known_now))
    )
    SELECT s.* EXCLUDE (holder, holder_key), coalesce(n.person_id, s.holder_key) AS person,
           coalesce(n.name, s.holder) AS holder, h.words
    FROM said s
    LEFT JOIN people_as_of(day, known_now) n ON n.key = s.holder_key
    LEFT JOIN (SELECT line_id, words FROM holding_as_of(day, known_now)) h USING (line_id)
    ORDER BY lower(coalesce(n.name, s.holder)), person, s.part_id NULLS LAST, s.hand NULLS FIRST,
             s.position NULLS FIRST, s.line_id;

-- Holding lines that said on a day that the part is sold, used up or all gone.
CREATE OR REPLACE MACRO gone_as_of(day, known_now) AS TABLE
    SELECT line_id FROM holding_as_of(day, known_now)
    WHERE gone OR at_most IS NOT DISTINCT FROM 0;

-- Every want, open or closed: who looks for what, and for which vehicle. One that names nobody is
-- that of the vehicle's owner.
CREATE OR REPLACE MACRO wants_as_of(day, known_now) AS TABLE
    WITH read AS (
        SELECT w.*, i.part_id
        FROM want_as_of(day, known_now) w
        LEFT JOIN part_readings(NULL, 2, day, known_now) i ON i.key = w.item_key
        WHERE w.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now))
        UNION ALL BY NAME
        SELECT w.*, i.part_id
        FROM want_as_of(day, known_now) w
        JOIN lines_decided(day, known_now) i USING (line_id)
    )
    SELECT r.line_id, r.part_id, item_hand(r.side, p.handed) AS hand,
           item_position(r.position, p.positions) AS position,
           greatest(1, coalesce(r.at_least, 1)) AS quantity,
           coalesce(n.person_id, r.holder_key, v.owner_key) AS person,
           coalesce(n.name, nullif(trim(r.holder), ''), v.owner) AS holder,
           v.vehicle_id, coalesce(v.vehicle, r.vehicle) AS vehicle,
           coalesce(r.since, r.said_on) AS since, r.closed OR r.withdrawn IS TRUE AS closed,
           r.words
    FROM read r
    LEFT JOIN part p ON p.part_id = r.part_id
    LEFT JOIN accepted_names('vehicle', day, known_now) m ON m.key = r.vehicle_key
    LEFT JOIN vehicles_as_of(day, known_now) v ON v.vehicle_id = m.target
    LEFT JOIN people_as_of(day, known_now) n ON n.key = coalesce(r.holder_key, v.owner_key)
    QUALIFY row_number() OVER (PARTITION BY r.line_id ORDER BY r.part_id) = 1
    ORDER BY p.name NULLS LAST, hand NULLS FIRST, position NULLS FIRST, lower(holder), r.line_id;

-- People of the members' list: name, the code that a list gives them, region and country.
CREATE OR REPLACE MACRO members_as_of(day, known_now) AS TABLE
    WITH told AS (
        SELECT n.target AS person, h.*,
               statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
                   || line_id AS weight
        FROM holder_as_of(day, known_now) h
        JOIN accepted_names('holder', day, known_now) n ON n.key = h.holder_key
    )
    SELECT person, arg_max(holder, weight) AS holder, arg_max(code, weight) AS code,
           arg_max(region, weight) AS region, arg_max(country, weight) AS country
    FROM told GROUP BY person ORDER BY person;

-- The newest version of each source that was taken in by the end of a day; with known_now of all.
CREATE OR REPLACE MACRO sources_as_of(day, known_now) AS TABLE
    SELECT source_id, arg_max(v, version) AS newest
    FROM source_version v
    WHERE CAST(day AS DATE) IS NULL OR known_now
       OR recorded_from < CAST(day AS DATE) + INTERVAL 1 DAY
    GROUP BY source_id;

-- Whether anything was known of vehicles, parts or wants at the end of a day.
CREATE OR REPLACE MACRO anything_known(day, known_now) AS TABLE
    SELECT EXISTS (FROM vehicle_as_of(day, known_now)) OR EXISTS (FROM holding_as_of(day, known_now))
        OR EXISTS (FROM want_as_of(day, known_now)) OR EXISTS (FROM survey_as_of(day, known_now))
        OR EXISTS (FROM requirement_as_of(day, known_now)) AS known;

-- Questions that were open at the end of a day; with known_now those that are open today.
CREATE OR REPLACE MACRO questions_as_of(day, known_now) AS TABLE
    SELECT q.* FROM question q
    WHERE CASE WHEN CAST(day AS DATE) IS NULL OR known_now THEN recorded_to IS NULL
               ELSE recorded_from < CAST(day AS DATE) + INTERVAL 1 DAY
                    AND (recorded_to IS NULL
                         OR recorded_to >= CAST(day AS DATE) + INTERVAL 1 DAY) END;

-- What waited for a decision or for mending: what settles most comes first.
CREATE OR REPLACE MACRO waiting_as_of(day, known_now) AS TABLE
    WITH sources AS MATERIALIZED (FROM sources_as_of(day, known_now))
    SELECT 'decision' AS waits_for, q.topic, q.lines, q.question,
           'partmuster answer ' || q.question_id || ' ...' AS what_to_do, s.newest.name AS source,
           CAST(q.recorded_from AS DATE) AS asked_on, q.question_id AS trace
    FROM questions_as_of(day, known_now) q LEFT JOIN sources s USING (source_id)
    UNION ALL BY NAME
    SELECT 'mending' AS waits_for, m.field AS topic, 1 AS lines,
           m.problem || coalesce(': ' || m.value, '') AS question, m.what_to_do,
           concat_ws(', ', s.newest.name, r.sheet, 'page ' || r.page, 'row ' || r.row) AS source,
           CAST(s.newest.recorded_from AS DATE) AS asked_on,
           m.source_id || '.' || m.source_version || '.' || m.raw_number AS trace
    FROM mending m
    JOIN sources s ON s.source_id = m.source_id AND s.newest.version = m.source_version
    JOIN raw_line r ON r.source_id = m.source_id AND r.source_version = m.source_version
        AND r.raw_number = m.raw_number
    ORDER BY lines DESC, waits_for, topic, question, trace;

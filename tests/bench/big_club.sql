-- Says the facts of big_club.py (tables fact_*) as the lines of a club.

CREATE TEMP MACRO id_of(kind, number) AS
    kind || '-' || substr(md5(kind || ' ' || number), 1, 16) || '.1';
CREATE TEMP MACRO source_of(name) AS substr(md5(name), 1, 12);
CREATE TEMP MACRO key_of(number) AS substr(md5('item ' || number), 1, 16);
CREATE TEMP MACRO vehicle_id(name) AS replace(lower(name), ' ', '-');
CREATE TEMP MACRO recorded() AS TIMESTAMP '2026-06-01 09:00:00';

-- Members, their names and the places where they keep things.
INSERT INTO said_holder BY NAME
    SELECT id_of('holder', number) AS line_id, 1 AS revision, source_of('members') AS source_id,
           1 AS source_version, name AS words, true AS sure, true AS first_hand,
           DATE '2026-01-05' AS said_on, 'file-name' AS said_on_basis, recorded() AS recorded_from,
           name AS holder, lower(name) AS holder_key
    FROM fact_members;
INSERT INTO said_place BY NAME
    SELECT id_of('place', number) AS line_id, 1 AS revision, source_of('places') AS source_id,
           1 AS source_version, place AS words, true AS sure, true AS first_hand,
           DATE '2026-01-05' AS said_on, 'file-name' AS said_on_basis, recorded() AS recorded_from,
           place, lower(place) AS place_key, latitude, longitude
    FROM fact_members;

-- Vehicles, and the builds of engines that are not of the vehicle's mark.
INSERT INTO said_vehicle BY NAME
    SELECT id_of('vehicle', v.number) AS line_id, 1 AS revision,
           source_of('register') AS source_id, 1 AS source_version, v.name AS words,
           true AS sure, true AS first_hand, DATE '2026-02-01' AS said_on,
           'line' AS said_on_basis, recorded() AS recorded_from, v.name AS vehicle,
           lower(v.name) AS vehicle_key, v.number::VARCHAR AS club_number, v.family, v.mark, v.phase,
           v.role, v.aim, m.name AS keeper, lower(m.name) AS keeper_key,
           p.place, lower(p.place) AS place_key
    FROM fact_vehicles v JOIN fact_members m ON m.number = v.keeper
    JOIN fact_members p ON p.number = v.place;
INSERT INTO said_vehicle BY NAME
    SELECT id_of('vehicle', 'engine of ' || number) AS line_id, 1 AS revision,
           source_of('register') AS source_id, 1 AS source_version,
           name || ' engine ' || engine_mark AS words, true AS sure, true AS first_hand,
           DATE '2026-02-01' AS said_on, 'line' AS said_on_basis, recorded() AS recorded_from,
           name AS vehicle, lower(name) AS vehicle_key, 'engine' AS assembly, engine_mark AS mark
    FROM fact_vehicles WHERE engine_mark IS NOT NULL;

-- Ways of describing an item. Surveys and lists describe each item in one way of their own.
CREATE TEMP TABLE item_words AS
    SELECT 'k' || key AS number, part_id, name || ' ' || key % 40 AS description, hand, position,
           accepted, probability, part_number
    FROM fact_keys
    UNION ALL
    SELECT DISTINCT concat_ws(' ', 'i', part_id, hand, position), part_id, p.name, hand, position,
           true, 1.0, NULL
    FROM fact_requirements JOIN fact_parts p USING (part_id)
    UNION ALL
    SELECT 'p' || part_id, part_id, name, NULL, NULL, true, 1.0, NULL FROM fact_parts;
INSERT INTO item_key BY NAME
    SELECT key_of(number) AS item_key, description, part_number AS part_number_normal,
           hand AS side, position
    FROM item_words;

INSERT INTO identification BY NAME
    SELECT 'part' AS role, key_of(number) AS key, 1 AS rank,
           CASE WHEN probability IS NOT NULL THEN part_id END AS target,
           coalesce(probability, 0) AS probability, 'fuzzy' AS method,
           'the words are alike' AS reasons, accepted, recorded() AS recorded_from
    FROM item_words
    UNION ALL BY NAME
    SELECT 'part' AS role, key_of(number) AS key, 2 AS rank, part_id AS target,
           0.3 AS probability, 'fuzzy' AS method, 'some words are alike' AS reasons,
           false AS accepted, recorded() AS recorded_from
    FROM (SELECT number, lead(part_id, 1, 'cylinder-head') OVER (ORDER BY number) AS part_id,
                 accepted FROM item_words)
    WHERE NOT accepted
    UNION ALL BY NAME
    -- what was thought of one in five before it was thought better
    SELECT 'part' AS role, key_of(number) AS key, 1 AS rank, part_id AS target,
           0.7 AS probability, 'fuzzy' AS method, 'the words are alike' AS reasons,
           false AS accepted, TIMESTAMP '2026-05-01 09:00:00' AS recorded_from,
           recorded() AS recorded_to
    FROM item_words WHERE hash(number) % 5 = 0
    UNION ALL BY NAME
    SELECT role, lower(name) AS key, 1 AS rank, target, 1.0 AS probability, 'name' AS method,
           'the same name' AS reasons, true AS accepted, recorded() AS recorded_from
    FROM (
        SELECT 'vehicle' AS role, name, vehicle_id(name) AS target FROM fact_vehicles
        UNION ALL SELECT 'holder', name, 'person-' || number FROM fact_members
        UNION ALL SELECT 'place', place, 'place-' || number FROM fact_members
    );

-- Parts lists, two a family, and the marks each line is for.
CREATE TEMP TABLE requirement_lines AS
    SELECT *, id_of('requirement', number) AS line_id FROM fact_requirements;
INSERT INTO said_requirement BY NAME
    SELECT r.line_id, 1 AS revision, source_of(r.family || ' list ' || r.list) AS source_id,
           1 AS source_version, p.name AS words, true AS sure, true AS first_hand,
           CASE r.list WHEN 'new' THEN DATE '2024-03-01' ELSE DATE '2012-03-01' END AS said_on,
           'sheet' AS said_on_basis, recorded() AS recorded_from, r.family, r.assembly,
           p.name AS description,
           key_of(concat_ws(' ', 'i', r.part_id, r.hand, r.position)) AS item_key,
           r.hand AS side, r.position, r.quantity AS at_least, r.quantity AS at_most,
           r.part_number, r.part_number AS part_number_normal,
           r.marks IS NULL AS all_builds, array_to_string(r.marks, ', ') AS effectivity_text
    FROM requirement_lines r JOIN fact_parts p USING (part_id);
INSERT INTO effectivity BY NAME
    SELECT line_id, 1 AS revision, unnest(marks) AS mark, phase, false AS is_interval
    FROM requirement_lines WHERE marks IS NOT NULL;

INSERT INTO said_survey BY NAME
    SELECT id_of('survey', s.number) AS line_id, 1 AS revision,
           source_of('survey ' || year(s.seen_on)) AS source_id, 1 AS source_version,
           concat_ws(' ', p.name, s.hand, s.position, s.presence) AS words, true AS sure,
           true AS first_hand, s.seen_on AS said_on, 'sheet' AS said_on_basis,
           recorded() AS recorded_from, v.name AS vehicle, lower(v.name) AS vehicle_key,
           p.name AS description,
           key_of(concat_ws(' ', 'i', s.part_id, s.hand, s.position)) AS item_key,
           s.hand AS side, s.position, s.presence, s.service, 'unknown' AS making,
           false AS accepted_stand_in, s.quantity IS NOT NULL AS quantified,
           s.quantity AS at_least, s.quantity AS at_most
    FROM fact_surveys s JOIN fact_parts p USING (part_id)
    JOIN fact_vehicles v ON v.number = s.vehicle;

-- What members hold, a sheet a member; of some lines there is an earlier revision.
CREATE TEMP TABLE holding_lines AS
    SELECT id_of('holding', h.number) AS line_id, 1 + h.earlier::INTEGER AS revision,
           source_of('stock of ' || h.member) AS source_id, 1 AS source_version,
           concat_ws(' ', k.name, k.hand, k.position, k.part_number) AS words, true AS sure,
           true AS first_hand, DATE '2025-01-01' + (h.number % 500)::INTEGER AS said_on,
           'line' AS said_on_basis, recorded() AS recorded_from,
           k.name || ' ' || h.key % 40 AS description, key_of('k' || h.key) AS item_key,
           k.hand AS side, k.position, k.part_number, k.part_number AS part_number_normal,
           m.name AS holder, lower(m.name) AS holder_key, m.place, lower(m.place) AS place_key,
           h.family, h.mark, h.quantity AS at_least,
           CASE WHEN h.quantity > 0 THEN h.quantity END AS at_most,
           CASE WHEN h.quantity > 0 THEN printf('%g', h.quantity) ELSE '?' END AS quantity_text,
           h.availability, 'unknown' AS making, h.grade, false AS all_builds, false AS surplus,
           CASE WHEN h.unserviceable THEN 'unserviceable' ELSE 'unknown' END AS service, h.gone
    FROM fact_holdings h JOIN fact_keys k USING (key) JOIN fact_members m ON m.number = h.member;
INSERT INTO said_holding BY NAME FROM holding_lines;
INSERT INTO said_holding BY NAME
    SELECT * REPLACE (1 AS revision, TIMESTAMP '2026-05-01 09:00:00' AS recorded_from,
                      said_on - 200 AS said_on, 'kept' AS availability),
           recorded() AS recorded_to, said_on AS said_until
    FROM holding_lines WHERE revision = 2;

INSERT INTO said_fit BY NAME
    SELECT id_of('fit', f.number) AS line_id, 1 AS revision, source_of('fits') AS source_id,
           1 AS source_version, concat_ws(' ', p.name, f.mark, 'on', f.to_mark, f.grade) AS words,
           true AS sure, true AS first_hand, DATE '2026-03-03' AS said_on,
           'sheet' AS said_on_basis, recorded() AS recorded_from, p.name AS description,
           key_of('p' || f.part_id) AS item_key, f.family, f.mark, f.family AS to_family,
           f.to_mark, f.grade AS fit_grade
    FROM fact_fits f JOIN fact_parts p USING (part_id);

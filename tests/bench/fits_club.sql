-- Says what fits_club.py adds to the facts of a big club as lines; between big_club.sql and standing.sql.

-- Joint parts depend on the build of another assembly as well, some parts on the chassis number.
INSERT INTO effectivity BY NAME
    SELECT line_id, 1 AS revision, joint AS assembly, unnest(marks) AS mark, phase,
           false AS is_interval
    FROM requirement_lines WHERE joint IS NOT NULL;
INSERT INTO effectivity BY NAME
    SELECT line_id, 1 AS revision, 'chassis' AS series, from_serial AS first_serial,
           true AS is_interval
    FROM requirement_lines WHERE from_serial IS NOT NULL;
UPDATE said_requirement SET all_builds = false
WHERE all_builds AND line_id IN (SELECT line_id FROM effectivity);

INSERT INTO said_vehicle BY NAME
    SELECT id_of('vehicle', 'hybrid ' || number) AS line_id, 1 AS revision,
           source_of('register') AS source_id, 1 AS source_version,
           concat_ws(' ', name, assembly, mark, phase) AS words, true AS sure,
           true AS first_hand, DATE '2026-02-01' AS said_on, 'line' AS said_on_basis,
           recorded() AS recorded_from, name AS vehicle, lower(name) AS vehicle_key, assembly,
           mark, phase
    FROM fact_hybrids;
INSERT INTO said_vehicle BY NAME
    SELECT id_of('vehicle', 'chassis ' || vehicle) AS line_id, 1 AS revision,
           source_of('register') AS source_id, 1 AS source_version,
           name || ' chassis ' || serial AS words, true AS sure, true AS first_hand,
           DATE '2026-02-01' AS said_on, 'line' AS said_on_basis, recorded() AS recorded_from,
           name AS vehicle, lower(name) AS vehicle_key, 'chassis' AS series,
           serial::VARCHAR AS serial, serial AS serial_value
    FROM fact_serials;

-- What tells builds, and what was seen of it.
INSERT INTO said_build BY NAME
    SELECT id_of('build', number) AS line_id, 1 AS revision,
           source_of(family || ' builds') AS source_id, 1 AS source_version, feature AS words,
           true AS sure, true AS first_hand, DATE '2024-03-01' AS said_on,
           'sheet' AS said_on_basis, recorded() AS recorded_from, family, assembly, mark, phase,
           feature, likelihood, feature_group, changeable
    FROM fact_standards;
INSERT INTO said_feature BY NAME
    SELECT id_of('feature', number) AS line_id, 1 AS revision,
           source_of('features seen') AS source_id, 1 AS source_version, feature AS words,
           true AS sure, true AS first_hand, DATE '2026-04-01' AS said_on,
           'sheet' AS said_on_basis, recorded() AS recorded_from, name AS vehicle,
           lower(name) AS vehicle_key, assembly, feature, 'construction' AS evidence, seen
    FROM fact_features;
INSERT INTO identification BY NAME
    SELECT DISTINCT 'feature' AS role, concat_ws('|', lower(family), assembly, lower(feature)) AS key,
           1 AS rank, feature AS target, 1.0 AS probability, 'name' AS method,
           'the same words' AS reasons, true AS accepted, recorded() AS recorded_from
    FROM fact_standards;

INSERT INTO said_fit BY NAME
    SELECT id_of('fit', 'statement ' || f.number) AS line_id, 1 AS revision,
           source_of('fits ' || f.number % 20) AS source_id, 1 AS source_version,
           concat_ws(' ', p.name, f.mark, f.phase, 'on', q.name, f.to_mark, f.to_phase, f.grade)
               AS words,
           f.sure, true AS first_hand, DATE '1960-01-01' + f.number::INTEGER AS said_on,
           'sheet' AS said_on_basis, recorded() AS recorded_from, p.name AS description,
           key_of('p' || f.part_id) AS item_key, f.hand AS side, f.family, f.mark, f.phase,
           q.name AS to_description, key_of('p' || f.to_part_id) AS to_item_key,
           f.to_hand AS to_side, f.to_family, f.to_mark, f.to_phase, f.grade AS fit_grade,
           f.work, f.alters, f.undone AS can_be_undone, f.companions AS companions_text, f.reason
    FROM fact_statements f
    JOIN fact_parts p USING (part_id) LEFT JOIN fact_parts q ON q.part_id = f.to_part_id;
INSERT INTO identification BY NAME
    SELECT DISTINCT 'to-part' AS role, key_of('p' || to_part_id) AS key, 1 AS rank,
           to_part_id AS target, 1.0 AS probability, 'name' AS method,
           'the same name' AS reasons, true AS accepted, recorded() AS recorded_from
    FROM fact_statements WHERE to_part_id IS NOT NULL;

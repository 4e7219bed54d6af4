-- Where every line of a club that was made from facts stands; the last file of SQL that is run.
CREATE TEMP TABLE standing AS
    SELECT line_id, source_id, words, row_number() OVER (PARTITION BY source_id) AS raw_number
    FROM (SELECT line_id, source_id, words FROM said_holding WHERE recorded_to IS NULL
          UNION ALL SELECT line_id, source_id, words FROM said_survey
          UNION ALL SELECT line_id, source_id, words FROM said_requirement
          UNION ALL SELECT line_id, source_id, words FROM said_vehicle
          UNION ALL SELECT line_id, source_id, words FROM said_holder
          UNION ALL SELECT line_id, source_id, words FROM said_place
          UNION ALL SELECT line_id, source_id, words FROM said_fit
          UNION ALL SELECT line_id, source_id, words FROM said_build
          UNION ALL SELECT line_id, source_id, words FROM said_feature);
INSERT INTO raw_line BY NAME
    SELECT source_id, 1 AS source_version, raw_number, raw_number + 1 AS row, words,
           'loaded' AS outcome
    FROM standing;
INSERT INTO line_origin BY NAME
    SELECT line_id, source_id, 1 AS source_version, raw_number FROM standing;
INSERT INTO source BY NAME
    SELECT DISTINCT source_id, source_id || '.csv' AS name, recorded() AS first_recorded
    FROM standing;
INSERT INTO source_version BY NAME
    SELECT source_id, 1 AS version, source_id || '.csv' AS name, md5(source_id) AS content_hash,
           0 AS size, 'bench' AS importer, '1' AS importer_version, recorded() AS recorded_from,
           count(*) AS lines_read, count(*) AS lines_loaded, 0 AS lines_decision,
           0 AS lines_mending, 0 AS lines_not_data, false AS partial
    FROM standing GROUP BY source_id;

DROP TABLE standing;
DROP TABLE holding_lines;
DROP TABLE requirement_lines;
DROP TABLE item_words;
DROP MACRO id_of;
DROP MACRO source_of;
DROP MACRO key_of;
DROP MACRO vehicle_id;
DROP MACRO recorded;

-- Gives a club 36 months of history, to be run before standing.sql: in each month some holdings
-- changed, some came in, some ended, and some wants were opened or closed.

-- The month in which something happened to a line: 0 is November 2023, 35 October 2026.
CREATE TEMP MACRO happened(line_id, salt) AS (hash(line_id || salt) % 36)::INTEGER;
CREATE TEMP MACRO in_month(number) AS
    TIMESTAMP '2023-11-10 09:00:00' + number * INTERVAL 1 MONTH;

-- Four in ten lines came in at some time, or changed their number then.
UPDATE said_holding SET recorded_from = in_month(happened(line_id, 'came')),
                        said_on = CAST(in_month(happened(line_id, 'came')) AS DATE)
WHERE recorded_to IS NULL AND revision = 1 AND hash(line_id) % 10 < 4;
INSERT INTO said_holding BY NAME
    SELECT * REPLACE (TIMESTAMP '2023-10-01 09:00:00' AS recorded_from,
                      DATE '2023-10-01' AS said_on, coalesce(at_least, 0) + 1 AS at_least,
                      NULL AS at_most),
           recorded_from AS recorded_to, said_on AS said_until
    FROM (SELECT * EXCLUDE (recorded_to, said_until) FROM said_holding
          WHERE recorded_to IS NULL AND revision = 1 AND hash(line_id) % 10 < 2);
UPDATE said_holding SET revision = 2
WHERE recorded_to IS NULL AND hash(line_id) % 10 < 2
  AND line_id IN (SELECT line_id FROM said_holding WHERE recorded_to IS NOT NULL);

-- As many again as one in ten were held once, and are no longer.
INSERT INTO said_holding BY NAME
    SELECT * REPLACE (replace(line_id, '.1', '.2') AS line_id, 1 AS revision,
                      TIMESTAMP '2023-10-01 09:00:00' AS recorded_from,
                      DATE '2023-10-01' AS said_on),
           in_month(happened(line_id, 'went')) AS recorded_to,
           CAST(in_month(happened(line_id, 'went')) AS DATE) AS said_until
    FROM (SELECT * EXCLUDE (recorded_to, said_until) FROM said_holding
          WHERE recorded_to IS NULL AND hash(line_id) % 10 = 9);

-- Wants: one of 40 ways of describing a part, opened in some month, one in three closed later.
INSERT INTO said_want BY NAME
    SELECT id_of('want', key) AS line_id, 1 AS revision, source_of('wants') AS source_id,
           1 AS source_version, name AS words, true AS sure, true AS first_hand,
           CAST(opened AS DATE) AS said_on, 'line' AS said_on_basis, opened AS recorded_from,
           CASE WHEN hash('closed ' || key) % 3 = 0 THEN opened + INTERVAL 3 MONTH END
               AS recorded_to,
           name || ' ' || key % 40 AS description, key_of('k' || key) AS item_key, hand AS side,
           position, 1.0 AS at_least, 1.0 AS at_most, 'Member ' || key % 60 AS holder,
           lower('Member ' || key % 60) AS holder_key, false AS closed
    FROM (SELECT *, in_month((hash('want ' || key) % 36)::INTEGER) AS opened FROM fact_keys)
    WHERE key % 15 = 0;
INSERT INTO source_version BY NAME
    SELECT source_of('register of before') AS source_id, 1 AS version, 'before.csv' AS name,
           md5('before') AS content_hash, 0 AS size, 'bench' AS importer,
           '1' AS importer_version, TIMESTAMP '2023-10-01 09:00:00' AS recorded_from,
           0 AS lines_read, 0 AS lines_loaded, 0 AS lines_decision, 0 AS lines_mending,
           0 AS lines_not_data, false AS partial;
DROP MACRO happened;
DROP MACRO in_month;

-- trace: where does a figure come from?

-- Every revision of every line of every kind, with the keys of what it names.
CREATE OR REPLACE VIEW line_history AS
    SELECT 'requirement' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           item_key AS item_key, NULL AS vehicle_key,
           NULL AS holder_key
    FROM said_requirement
    UNION ALL
    SELECT 'holding' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           item_key AS item_key, NULL AS vehicle_key,
           holder_key AS holder_key
    FROM said_holding
    UNION ALL
    SELECT 'want' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           item_key AS item_key, vehicle_key AS vehicle_key,
           holder_key AS holder_key
    FROM said_want
    UNION ALL
    SELECT 'survey' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           item_key AS item_key, vehicle_key AS vehicle_key,
           NULL AS holder_key
    FROM said_survey
    UNION ALL
    SELECT 'fit' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           item_key AS item_key, NULL AS vehicle_key,
           NULL AS holder_key
    FROM said_fit
    UNION ALL
    SELECT 'vehicle' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           NULL AS item_key, vehicle_key AS vehicle_key,
           NULL AS holder_key
    FROM said_vehicle
    UNION ALL
    SELECT 'holder' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           NULL AS item_key, NULL AS vehicle_key,
           holder_key AS holder_key
    FROM said_holder
    UNION ALL
    SELECT 'place' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           NULL AS item_key, NULL AS vehicle_key,
           NULL AS holder_key
    FROM said_place
    UNION ALL
    SELECT 'build' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           NULL AS item_key, NULL AS vehicle_key,
           NULL AS holder_key
    FROM said_build
    UNION ALL
    SELECT 'feature' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           NULL AS item_key, vehicle_key AS vehicle_key,
           NULL AS holder_key
    FROM said_feature
    UNION ALL
    SELECT 'history' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           NULL AS item_key, vehicle_key AS vehicle_key,
           NULL AS holder_key
    FROM said_history
    UNION ALL
    SELECT 'promise' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           item_key AS item_key, vehicle_key AS vehicle_key,
           holder_key AS holder_key
    FROM said_promise
    UNION ALL
    SELECT 'lead' AS kind, line_id, revision, source_id, source_version, words, sure, first_hand,
           said_by, rule, said_on, said_on_basis, said_until, recorded_from, recorded_to,
           item_key AS item_key, NULL AS vehicle_key,
           holder_key AS holder_key
    FROM said_lead;

-- All revisions of some lines (a list of ids), where each stood, what its words are taken to mean
-- and why, who decided where somebody did, and what was put in for what could not be read. A
-- revision stands where the version of the source in which it began has it.
CREATE OR REPLACE MACRO trace_of(line_ids) AS TABLE
    WITH wanted AS MATERIALIZED (
        SELECT * FROM line_history WHERE line_id IN (SELECT unnest(line_ids))
    ),
    -- a line may be said by several raw lines of one version; the first stands for it
    origin AS (
        SELECT line_id, source_version, min(raw_number) AS raw_number
        FROM line_origin WHERE line_id IN (SELECT unnest(line_ids))
        GROUP BY line_id, source_version
    ),
    names AS (
        SELECT DISTINCT line_id, revision, 'source:' || source_id || '|' || item_key AS of_source,
            unnest([
            {'role': 'part', 'key': item_key}, {'role': 'part', 'key': 'line:' || line_id},
            {'role': 'vehicle', 'key': vehicle_key}, {'role': 'holder', 'key': holder_key},
            {'role': 'item', 'key': line_id}
        ]) AS name
        FROM wanted
    ),
    meant AS (
        SELECT n.line_id, n.revision, n.of_source, i.role, i.key, i.target, i.probability, i.method,
               i.reasons, i.accepted, i.recorded_from AS concluded,
               i.recorded_to AS concluded_until
        FROM names n
        JOIN identification i ON i.role = n.name.role AND i.key = n.name.key
        WHERE i.accepted OR i.rank = 1
    ),
    decided AS (
        SELECT d.topic, d.subject, d.answer,
               string_agg(d.decided_by || ' (' || CAST(d.decided_at AS DATE)::VARCHAR || ')', ', '
                          ORDER BY d.decided_at) AS decided_by
        FROM decision d
        WHERE d.undoes IS NULL
          AND d.decision_id NOT IN (SELECT undoes FROM decision WHERE undoes IS NOT NULL)
        GROUP BY ALL
        UNION ALL  -- that lines are one item: said of pairs
        SELECT 'item', subject, NULL,
               string_agg(DISTINCT decided_by || ' (' || CAST(decided_at AS DATE)::VARCHAR || ')',
                          ', ')
        FROM (
            SELECT unnest(string_split(subject, '|')) AS subject, decided_by, decided_at
            FROM decision
            WHERE topic = 'same-item' AND answer = 'same' AND undoes IS NULL
              AND decision_id NOT IN (SELECT undoes FROM decision WHERE undoes IS NOT NULL)
        )
        GROUP BY subject
    ),
    put_in AS (
        SELECT DISTINCT o.line_id, o.source_version, m.field, m.put, m.stood, m.subject
        FROM line_origin o
        JOIN mended m ON m.source_id = o.source_id AND m.source_version = o.source_version
         AND m.raw_number = o.raw_number
        WHERE o.line_id IN (SELECT unnest(line_ids))
    ),
    -- a value that was put in counts as a conclusion, of the person who put it in
    mended_value AS (
        SELECT p.line_id, p.source_version, p.field, coalesce(p.put, '(nothing)') AS put,
               'put in where "' || coalesce(p.stood, '') || '" stood' AS reasons,
               min(d.decided_at) AS decided_at,
               string_agg(d.decided_by || ' (' || CAST(d.decided_at AS DATE)::VARCHAR || ')', ', '
                          ORDER BY d.decided_at) AS decided_by
        FROM put_in p
        JOIN decision d ON d.topic = 'mending' AND d.subject = p.subject AND d.undoes IS NULL
         AND d.answer = coalesce(p.put, '(nothing)')
        GROUP BY ALL
    ),
    concluded AS (
        SELECT m.line_id, m.revision, m.role AS names, m.target AS meaning, m.accepted,
               m.probability, m.method, m.reasons, m.concluded, m.concluded_until, d.decided_by
        FROM meant m
        LEFT JOIN decided d
               ON d.topic = m.role AND d.subject IN (m.key, 'line:' || m.line_id, m.of_source)
              AND (m.role = 'item' OR coalesce(d.answer, 'none') = coalesce(m.target, 'none'))
        UNION ALL
        SELECT w.line_id, w.revision, v.field, v.put, true, NULL, 'decision', v.reasons,
               v.decided_at, NULL, v.decided_by
        FROM wanted w
        JOIN mended_value v ON v.line_id = w.line_id AND v.source_version = w.source_version
    )
    SELECT w.line_id AS id, w.kind, w.revision, v.name AS file, r.sheet, r.page, r.row,
           r."column", r.box, w.words, w.rule, w.sure, w.first_hand, w.said_by, w.said_on,
           w.said_on_basis, w.said_until, w.recorded_from, w.recorded_to, c.names, c.meaning, c.accepted,
           c.probability, c.method, c.reasons, c.concluded, c.concluded_until, c.decided_by
    FROM wanted w
    LEFT JOIN origin o ON o.line_id = w.line_id AND o.source_version = w.source_version
    LEFT JOIN source_version v
           ON v.source_id = w.source_id AND v.version = w.source_version
    LEFT JOIN raw_line r
           ON r.source_id = w.source_id AND r.source_version = w.source_version
          AND r.raw_number = o.raw_number
    LEFT JOIN concluded c ON c.line_id = w.line_id AND c.revision = w.revision
    ORDER BY id, w.revision, names, c.concluded, meaning;

-- What became of some raw lines ("source.version.number"), where they stand, and what is wrong
-- where they wait for mending.
CREATE OR REPLACE MACRO raw_lines_of(raw_ids) AS TABLE
    SELECT r.source_id || '.' || r.source_version || '.' || r.raw_number AS id,
           'raw line' AS kind, v.name AS file, r.sheet, r.page, r.row, r."column", r.box,
           r.words, v.said_on, v.said_on_basis, v.recorded_from,
           concat_ws('; ', r.outcome, r.reason, m.problem, m.what_to_do) AS reasons
    FROM raw_line r
    JOIN source_version v ON v.source_id = r.source_id AND v.version = r.source_version
    LEFT JOIN mending m
           ON m.source_id = r.source_id AND m.source_version = r.source_version
          AND m.raw_number = r.raw_number
    WHERE list_contains(raw_ids, r.source_id || '.' || r.source_version || '.' || r.raw_number)
    ORDER BY id, reasons;

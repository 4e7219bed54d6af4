-- Views on the club's own records: what was imported, what waits for a person.

-- The newest version of each source with the sum of its lines.
CREATE VIEW source_sum AS
    SELECT v.source_id, v.name, v.version, v.importer, v.said_on, v.said_on_basis, v.recorded_from,
        v.lines_read, v.lines_loaded, v.lines_decision, v.lines_mending, v.lines_not_data, v.partial
    FROM source_version v
    JOIN newest_version n ON n.source_id = v.source_id AND n.version = v.version;

-- What is wrong with lines of the newest versions that could not be loaded, and what to do.
CREATE VIEW to_mend AS
    SELECT m.source_id, v.name AS file, r.sheet, r.page, r.row, r."column", r.box, m.field, m.value, m.code,
        m.problem, m.what_to_do, r.words,
        m.source_id || '.' || m.source_version || '.' || m.raw_number AS trace
    FROM mending m
    JOIN newest_version n ON n.source_id = m.source_id AND n.version = m.source_version
    JOIN source_version v ON v.source_id = n.source_id AND v.version = n.version
    JOIN raw_line r ON r.source_id = m.source_id AND r.source_version = m.source_version
        AND r.raw_number = m.raw_number;

-- Questions that nobody has settled yet.
CREATE VIEW open_question AS
    SELECT q.question_id, q.topic, q.subject, q.source_id, v.name AS source, q.question, q.choices,
        q.lines, q.recorded_from
    FROM question q
    LEFT JOIN source_sum v USING (source_id)
    WHERE q.recorded_to IS NULL;

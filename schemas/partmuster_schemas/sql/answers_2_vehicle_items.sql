-- What each vehicle should have, and what surveys saw of it.

-- Every item of every vehicle by what was seen of it: vehicle, assembly, item, seen, quantity.
-- seen is a presence, 'unserviceable', 'stand-in accepted', 'not-looked-at' or 'build-not-known'.
-- `required` is NULL for items that were surveyed but that no list asks for (a hulk without a
-- list). What no statement accounts for was not looked at; statements that do not count are in
-- `dissent`.
CREATE OR REPLACE MACRO vehicle_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH needed AS MATERIALIZED (
        SELECT * FROM required_items(vehicle_ids, part_ids, day, known_now)
    ),
    allotted AS MATERIALIZED (
        SELECT * FROM counted_statements(vehicle_ids, part_ids, day, known_now)
    ),
    seen_items AS (
        SELECT vehicle_id, assembly, part_id, code, seen, sum(given) AS quantity,
               max(said_on) AS seen_on, list_sort(list_distinct(list(line_id))) AS survey_lines,
               max(weight) AS seen_weight, bool_and(works) AS works,
               bool_and(other_make) AS other_make,
               list_sort(list_distinct(list({'number': part_number_normal, 'maker': maker})
                   FILTER (part_number_normal IS NOT NULL))) AS numbers_seen
        FROM allotted
        WHERE given > 0
        GROUP BY vehicle_id, assembly, part_id, code, seen
    ),
    per_item AS MATERIALIZED (
        SELECT vehicle_id, assembly, part_id, code, max(total) AS total, sum(given) AS accounted,
               coalesce(sum(given) FILTER (seen = 'not-there-to-be-fitted'), 0) AS never_there,
               max(said_on) FILTER (given > 0 AND seen IN ('missing', 'stand-in')) AS lack_on
        FROM allotted
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    dissenting AS (
        SELECT vehicle_id, assembly, part_id, code,
               list({'seen': seen, 'text': printf('%s (%s, %s, %s)', words,
                     said_on::VARCHAR, file, line_id)} ORDER BY weight DESC, line_id) AS dissent
        FROM allotted WHERE given = 0 AND NOT afterthought
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    -- what was had before it was seen to be lacking
    earlier AS (
        SELECT vehicle_id, assembly, part_id, code, max(a.claimed) AS had_before
        FROM allotted a JOIN per_item i USING (vehicle_id, assembly, part_id, code)
        WHERE a.seen IN ('fitted', 'off-and-kept', 'away-for-repair', 'unserviceable')
          AND a.said_on < i.lack_on
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    -- what was said of a part that the lists ask for, without the hand or position they name
    unplaced AS (
        SELECT vehicle_id, part_id,
               list({'seen': seen, 'text': printf('%s: ask: %s (%s, %s)',
                     CASE WHEN part_id IN (SELECT part_id FROM requirement_sizes(day, known_now))
                          THEN 'size not stated'
                          WHEN starts_with(code, '|') THEN 'hand not stated'
                          ELSE 'position not stated' END, words, said_on::VARCHAR, line_id)}
                    ORDER BY weight DESC, line_id) AS dissent
        FROM allotted ANTI JOIN needed USING (vehicle_id, assembly, part_id, code)
        WHERE (starts_with(code, '|') OR ends_with(code, '|'))
          AND (vehicle_id, part_id) IN (SELECT (vehicle_id, part_id) FROM needed)
        GROUP BY vehicle_id, part_id
    ),
    universe AS MATERIALIZED (
        SELECT vehicle_id, assembly, part_id, code, nullif(split_part(code, '|', 1), '') AS hand,
               nullif(split_part(code, '|', 2), '') AS position, n.required, n.perhaps,
               n.needed_for, n.lines, n.lines_perhaps, n.numbers, n.for_all_builds, n.companions,
               n.depends_on, n.agreeing, n.others, coalesce(n.required, n.perhaps, i.total) AS total,
               coalesce(i.accounted, 0) AS accounted, coalesce(i.never_there, 0) AS never_there,
               CASE WHEN u.dissent IS NULL OR n.required IS NULL THEN d.dissent
                    ELSE list_concat(coalesce(d.dissent, []), u.dissent) END AS dissent,
               e.had_before
        FROM needed n
        FULL JOIN per_item i USING (vehicle_id, assembly, part_id, code)
        LEFT JOIN dissenting d USING (vehicle_id, assembly, part_id, code)
        LEFT JOIN earlier e USING (vehicle_id, assembly, part_id, code)
        LEFT JOIN unplaced u USING (vehicle_id, part_id)
    ),
    rows AS (
        SELECT * FROM seen_items
        UNION ALL BY NAME
        SELECT vehicle_id, assembly, part_id, code, 'not-looked-at' AS seen,
               total - accounted AS quantity
        FROM universe WHERE required IS NOT NULL AND total > accounted
        UNION ALL BY NAME
        SELECT vehicle_id, assembly, part_id, code, 'build-not-known' AS seen,
               perhaps AS quantity
        FROM universe WHERE perhaps IS NOT NULL
    )
    SELECT u.* EXCLUDE (code, accounted), r.seen, r.quantity, r.seen_on, r.survey_lines,
           r.numbers_seen, r.seen_weight, r.works, r.other_make
    FROM rows r JOIN universe u USING (vehicle_id, assembly, part_id, code);

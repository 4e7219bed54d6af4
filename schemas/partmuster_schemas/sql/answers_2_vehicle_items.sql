-- What each vehicle should have, and what surveys saw of it.

-- Every item of every vehicle by what was seen of it: vehicle, assembly, item, seen, quantity.
-- seen is a presence, 'unserviceable', 'stand-in accepted', 'not-looked-at' or 'build-not-known'.
-- `required` is NULL for items that were surveyed but that no list asks for (a hulk without a
-- list). What no statement accounts for was not looked at; statements that do not count are in
-- `dissent`. `need` is the row of `required_alike` that says more of what is required.
CREATE OR REPLACE MACRO vehicle_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH allotted AS MATERIALIZED (
        SELECT * FROM counted_statements(vehicle_ids, part_ids, day, known_now)
    ),
    contested AS NOT MATERIALIZED (FROM allotted WHERE NOT plain),
    seen_items AS (
        SELECT item, seen, sum(given) AS quantity,
               max(said_on) AS seen_on, list_sort(list_distinct(list(line_id))) AS survey_lines,
               max(weight) AS seen_weight, bool_and(works) AS works,
               bool_and(other_make) AS other_make,
               list_sort(list_distinct(list({'number': part_number_normal, 'maker': maker})
                   FILTER (part_number_normal IS NOT NULL))) AS numbers_seen
        FROM contested
        WHERE given > 0
        GROUP BY item, seen
    ),
    per_item AS MATERIALIZED (
        SELECT item, any_value(need) AS need, any_value(vehicle_id) AS vehicle_id,
               any_value(assembly) AS assembly, any_value(part_id) AS part_id,
               any_value(code) AS code, any_value(required) AS required,
               any_value(perhaps) AS perhaps, any_value(needed_for) AS needed_for,
               max(total) AS total, coalesce(sum(given), 0) AS accounted,
               coalesce(sum(given) FILTER (seen = 'not-there-to-be-fitted'), 0) AS never_there,
               max(said_on) FILTER (given > 0 AND seen IN ('missing', 'stand-in')) AS lack_on
        FROM contested
        GROUP BY item
    ),
    dissenting AS (
        SELECT item, list({'seen': seen, 'text': printf('%s (%s, %s, %s)', words,
                           said_on::VARCHAR, file, line_id)} ORDER BY weight DESC, line_id)
                         AS dissent
        FROM contested WHERE given = 0 AND NOT afterthought
        GROUP BY item
    ),
    -- what was had before it was seen to be lacking
    earlier AS (
        SELECT item, max(a.claimed) AS had_before
        FROM contested a JOIN per_item i USING (item)
        WHERE a.seen IN ('fitted', 'off-and-kept', 'away-for-repair', 'unserviceable')
          AND a.said_on < i.lack_on
        GROUP BY item
    ),
    universe AS MATERIALIZED (
        SELECT i.*, d.dissent, e.had_before
        FROM per_item i
        LEFT JOIN dissenting d USING (item)
        LEFT JOIN earlier e USING (item)
    ),
    -- what was said of a part that the lists ask for, without the hand or position they name
    unplaced AS (
        SELECT hash(vehicle_id, part_id) AS of_part,
               list({'seen': seen, 'text': printf('%s: ask: %s (%s, %s)',
                     CASE WHEN part_id IN (SELECT part_id FROM requirement_sizes(day, known_now))
                          THEN 'size not stated'
                          WHEN starts_with(code, '|') THEN 'hand not stated'
                          ELSE 'position not stated' END, words, said_on::VARCHAR, line_id)}
                    ORDER BY weight DESC, line_id) AS dissent
        FROM allotted
        WHERE elsewhere AND (starts_with(code, '|') OR ends_with(code, '|'))
        GROUP BY vehicle_id, part_id
    ),
    rows AS (
        SELECT * FROM seen_items
        UNION ALL BY NAME
        SELECT item, 'not-looked-at' AS seen, total - accounted AS quantity
        FROM universe WHERE required IS NOT NULL AND total > accounted
        UNION ALL BY NAME
        SELECT item, 'build-not-known' AS seen, perhaps AS quantity
        FROM universe WHERE perhaps IS NOT NULL
    ),
    told AS (
        SELECT u.* EXCLUDE (accounted, lack_on), r.* EXCLUDE (item)
        FROM rows r JOIN universe u USING (item)
        UNION ALL BY NAME
        SELECT item, need, vehicle_id, assembly, part_id, code, required, perhaps, needed_for,
               total, CASE WHEN seen = 'not-there-to-be-fitted' THEN total ELSE 0 END
                   AS never_there,
               coalesce(seen, 'not-looked-at') AS seen, total AS quantity, said_on AS seen_on,
               CASE WHEN line_id IS NOT NULL THEN [line_id] END AS survey_lines,
               weight AS seen_weight, works, other_make,
               CASE WHEN part_number_normal IS NOT NULL
                    THEN [{'number': part_number_normal, 'maker': maker}] END AS numbers_seen
        FROM allotted WHERE plain
    )
    SELECT t.* REPLACE (CASE WHEN u.dissent IS NULL THEN t.dissent
                             ELSE list_concat(coalesce(t.dissent, []), u.dissent) END AS dissent)
    FROM told t
    LEFT JOIN unplaced u
      ON u.of_part = hash(t.vehicle_id, t.part_id) AND t.required IS NOT NULL;

-- What each vehicle should have, by the parts lists, and what surveys saw of it.

-- Requirement lines with the item they name; part_ids limits them, NULL = every part.
-- A reference line counts 0; a line that gives no number ("as required") counts 1.
CREATE OR REPLACE MACRO requirement_items(part_ids, day, known_now) AS TABLE
    SELECT r.line_id, r.revision, r.source_id, lower(r.family) AS family,
           coalesce(r.assembly, p.assembly) AS assembly, p.part_id,
           item_hand(r.side, p.handed) AS hand,
           item_position(r.position, p.positions) AS position,
           CASE WHEN r.quantity_special = 'reference' OR r.at_most = 0 THEN 0
                WHEN coalesce(r.at_least, 0) = 0 THEN 1
                ELSE r.at_least END AS quantity,
           coalesce(r.needed_for, p.needed_for, '') AS needed_for,
           r.all_builds, r.part_number_normal, r.maker, r.companions_text, r.words,
           statement_weight(r.sure, r.first_hand, r.said_on_basis, r.said_on, r.source_id)
               AS weight
    FROM (
        SELECT q.*, i.part_id
        FROM requirement_as_of(day, known_now) q
        JOIN part_readings(part_ids, 2, day, known_now) i ON i.key = q.item_key
        WHERE q.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now))
        UNION ALL
        SELECT q.*, i.part_id
        FROM requirement_as_of(day, known_now) q
        JOIN part_readings(part_ids, 2, day, known_now) i ON i.of_line = q.line_id
    ) r
    JOIN part p ON p.part_id = r.part_id;

-- Which requirement lines hold for which vehicles: applies is true, or NULL where it depends on a
-- build or serial that is not known. All assemblies and all series that a line names must agree
-- (joint parts); within one of them any clause does. vehicle_ids NULL = every vehicle.
CREATE OR REPLACE MACRO applicable_requirements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH lines AS MATERIALIZED (SELECT * FROM requirement_items(part_ids, day, known_now)),
    vehicles AS MATERIALIZED (
        SELECT vehicle_id, lower(family) AS family, mark, nullif(mark_phase, '') AS phase
        FROM vehicles_as_of(day, known_now)
        WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id)
    ),
    stated AS MATERIALIZED (SELECT * FROM stated_builds_as_of(day, known_now)),
    serials AS MATERIALIZED (SELECT * FROM serials_as_of(day, known_now)),
    clauses AS MATERIALIZED (
        SELECT l.line_id, l.family, e.is_interval, coalesce(e.assembly, l.assembly) AS assembly,
               coalesce(e.series, e.assembly, l.assembly) AS series,
               e.mark, e.phase, e.first_serial, e.last_serial
        FROM effectivity e JOIN lines l USING (line_id, revision)
        WHERE NOT l.all_builds
    ),
    checked AS (
        SELECT v.vehicle_id, c.line_id, 'build ' || c.assembly AS about,
               (c.mark IS NULL OR c.mark = CASE WHEN s.vehicle_id IS NULL THEN v.mark
                                                ELSE coalesce(s.build.mark, v.mark) END)
               AND (c.phase IS NULL OR c.phase = CASE WHEN s.vehicle_id IS NULL THEN v.phase
                                                      ELSE s.build.phase END) AS holds
        FROM clauses c
        JOIN vehicles v USING (family)
        LEFT JOIN stated s ON s.vehicle_id = v.vehicle_id AND s.assembly = c.assembly
        WHERE NOT c.is_interval
        UNION ALL
        SELECT v.vehicle_id, c.line_id, 'serial ' || c.series,
               s.serial_value BETWEEN coalesce(c.first_serial, 0)
                                  AND coalesce(c.last_serial, 9223372036854775807)
        FROM clauses c
        JOIN vehicles v USING (family)
        LEFT JOIN serials s ON s.vehicle_id = v.vehicle_id AND s.series = c.series
        WHERE c.is_interval
    ),
    any_clause AS (
        SELECT vehicle_id, line_id,
               CASE WHEN bool_or(holds) THEN true
                    WHEN count(*) = count(holds) THEN false END AS holds
        FROM checked
        GROUP BY vehicle_id, line_id, about
    ),
    verdicts AS (
        SELECT vehicle_id, line_id,
               CASE WHEN bool_or(NOT holds) THEN false
                    WHEN count(*) = count(holds) THEN true END AS holds
        FROM any_clause
        GROUP BY vehicle_id, line_id
    )
    SELECT v.vehicle_id, l.* EXCLUDE (family),
           CASE WHEN l.all_builds THEN true ELSE d.holds END AS applies
    FROM lines l
    JOIN vehicles v USING (family)
    LEFT JOIN verdicts d ON d.vehicle_id = v.vehicle_id AND d.line_id = l.line_id
    WHERE l.all_builds OR d.line_id IS NULL OR d.holds IS DISTINCT FROM false;

-- How many of each item a vehicle should have: one row per vehicle, assembly and item. Lines of
-- one source add; of several sources the best one counts and others that differ are in `others`.
-- `required` NULL: it depends on the build, and is then at most `perhaps` (the largest line, since
-- lines for different builds exclude each other).
CREATE OR REPLACE MACRO required_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH by_source AS (
        SELECT vehicle_id, assembly, part_id, hand, position, source_id,
               sum(quantity) FILTER (applies) AS required,
               max(quantity) FILTER (applies IS NULL) AS perhaps,
               max(weight) AS weight,
               string_agg(needed_for, ';') FILTER (applies) AS needed_for,
               string_agg(needed_for, ';') AS needed_perhaps,
               list(line_id ORDER BY line_id) FILTER (applies) AS lines,
               list(line_id ORDER BY line_id) FILTER (applies IS NULL) AS lines_perhaps,
               list(DISTINCT {'number': part_number_normal, 'maker': maker})
                   FILTER (applies AND part_number_normal IS NOT NULL) AS numbers,
               bool_and(all_builds) FILTER (applies) AS for_all_builds,
               string_agg(DISTINCT companions_text, '; ') AS companions,
               any_value(words ORDER BY line_id) AS words
        FROM applicable_requirements(vehicle_ids, part_ids, day, known_now)
        WHERE quantity > 0
        GROUP BY ALL
    ),
    ranked AS (
        SELECT *, row_number() OVER (
            PARTITION BY vehicle_id, assembly, part_id, hand, position
            ORDER BY required IS NULL, weight DESC
        ) AS place
        FROM by_source
    )
    SELECT best.* EXCLUDE (place, source_id, weight, needed_perhaps, words),
           coalesce(best.needed_for, best.needed_perhaps) AS needed_either,
           other.others
    FROM (SELECT * FROM ranked WHERE place = 1) best
    LEFT JOIN (
        SELECT vehicle_id, assembly, part_id, hand, position,
               list({'required': required, 'text': printf('another list says %g: %s (%s)',
                     required, words, array_to_string(lines, ', '))} ORDER BY weight DESC)
                   AS others
        FROM ranked WHERE place > 1 AND required IS NOT NULL GROUP BY ALL
    ) other
      ON other.vehicle_id = best.vehicle_id AND other.assembly = best.assembly
     AND other.part_id = best.part_id AND other.hand IS NOT DISTINCT FROM best.hand
     AND other.position IS NOT DISTINCT FROM best.position;

-- What surveys say of items, one row a statement. quantity NULL = all of them (a general
-- statement); where NULL = not tied to one place. "Not looked at" says nothing and is left out, so
-- that a later glance does not undo what was seen. "3 of 8 fitted" also says that 5 are missing
-- (afterthought). "0 fitted" says missing.
CREATE OR REPLACE MACRO survey_statements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH told AS (
        SELECT n.target AS vehicle_id, q.*
        FROM survey_as_of(day, known_now) q
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = q.vehicle_key
        WHERE (vehicle_ids IS NULL OR list_contains(vehicle_ids, n.target))
          AND q.presence NOT IN ('not-looked-at', 'could-not-be-seen')
    ),
    lines AS MATERIALIZED (
        SELECT s.vehicle_id, p.part_id, s.assembly, p.assembly AS home,
               item_hand(s.side, p.handed) AS hand,
               item_position(s.position, p.positions) AS position,
               nullif(concat_ws(' ', s.location,
                   CASE WHEN p.handed <> 'handed' THEN s.side END,
                   CASE WHEN coalesce(p.positions, '') = '' THEN s.position END), '') AS spot,
               CASE WHEN s.presence = 'fitted' AND s.at_most = 0 THEN 'missing'
                    WHEN s.presence = 'stand-in' AND s.accepted_stand_in THEN 'stand-in accepted'
                    WHEN s.presence IN ('fitted', 'off-and-kept', 'away-for-repair')
                         AND s.service = 'unserviceable' THEN 'unserviceable'
                    ELSE s.presence END AS seen,
               CASE WHEN s.presence = 'fitted' AND s.at_most = 0 THEN NULL
                    WHEN s.quantified THEN s.at_least END AS counted,
               CASE WHEN s.presence = 'fitted' AND s.at_most = s.at_least
                    THEN s.of_total - s.at_least END AS short,
               s.line_id, s.source_id, s.said_on, s.words, s.part_number_normal, s.maker,
               statement_weight(s.sure, s.first_hand, s.said_on_basis, s.said_on, s.source_id)
                   AS weight
        FROM (
            SELECT q.*, i.part_id, false AS alone FROM told q
            JOIN part_readings(part_ids, 2, day, known_now) i ON i.key = q.item_key
            UNION ALL
            SELECT q.*, i.part_id, true AS alone FROM told q
            JOIN part_readings(part_ids, 2, day, known_now) i ON i.of_line = q.line_id
        ) s
        JOIN part p ON p.part_id = s.part_id
        WHERE s.alone OR s.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now))
    )
    SELECT * EXCLUDE (short, counted), false AS afterthought,
           CASE WHEN spot IS NOT NULL THEN coalesce(counted, 1) ELSE counted END AS quantity
    FROM lines
    UNION ALL
    SELECT * EXCLUDE (short, counted) REPLACE ('missing' AS seen), true, short
    FROM lines WHERE short > 0;

-- Every item of every vehicle by what was seen of it: vehicle, assembly, item, seen, quantity.
-- seen is a presence, 'unserviceable', 'stand-in accepted', 'not-looked-at' or 'build-not-known'.
-- `required` is NULL for items that were surveyed but that no list asks for (a hulk without a
-- list); their number is then the largest stated, and at least 1.
--
-- Per item the best general statement counts for all of it; better statements about some of them
-- (a place, a number) change that many of it; the best of those that give a number without a place
-- counts, and per place the best. The rest were not looked at. Where statements of one day claim
-- more than are required, lacks are believed first. What does not count is in `dissent`.
-- A survey line that names a hand or position where the list names none tells of one of them.
CREATE OR REPLACE MACRO vehicle_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH needed AS MATERIALIZED (
        SELECT *, concat(hand, '|', position) AS code
        FROM required_items(vehicle_ids, part_ids, day, known_now)
    ),
    said AS MATERIALIZED (
        SELECT *, concat(hand, '|', position) AS said_code
        FROM survey_statements(vehicle_ids, part_ids, day, known_now)
    ),
    known_codes AS (
        SELECT vehicle_id, part_id, list(DISTINCT code) AS codes
        FROM needed GROUP BY ALL
    ),
    coded AS (
        SELECT s.*,
               CASE WHEN k.codes IS NULL OR list_contains(k.codes, said_code) THEN said_code
                    WHEN list_contains(k.codes, '|' || coalesce(position, ''))
                        THEN '|' || coalesce(position, '')
                    WHEN list_contains(k.codes, coalesce(hand, '') || '|')
                        THEN coalesce(hand, '') || '|'
                    WHEN list_contains(k.codes, '|') THEN '|'
                    ELSE said_code END AS code
        FROM said s LEFT JOIN known_codes k USING (vehicle_id, part_id)
    ),
    known_assemblies AS (
        SELECT vehicle_id, part_id, code, list(DISTINCT assembly ORDER BY assembly) AS assemblies
        FROM needed GROUP BY ALL
    ),
    placed AS MATERIALIZED (
        SELECT c.* EXCLUDE (assembly, hand, position, home, quantity, spot, said_code),
               unnest(CASE
                   WHEN k.assemblies IS NULL THEN [coalesce(c.assembly, c.home)]
                   WHEN list_contains(k.assemblies, c.assembly) THEN [c.assembly]
                   WHEN c.quantity IS NULL AND c.code = c.said_code THEN k.assemblies
                   WHEN list_contains(k.assemblies, c.home) THEN [c.home]
                   ELSE [k.assemblies[1]] END) AS assembly,
               nullif(split_part(c.code, '|', 1), '') AS hand,
               nullif(split_part(c.code, '|', 2), '') AS position,
               CASE WHEN c.code <> c.said_code THEN concat_ws(' ', c.said_code, c.spot)
                    ELSE c.spot END AS spot,
               CASE WHEN c.code <> c.said_code THEN coalesce(c.quantity, 1)
                    ELSE c.quantity END AS quantity
        FROM coded c LEFT JOIN known_assemblies k USING (vehicle_id, part_id, code)
    ),
    sized AS (
        SELECT p.*,
               coalesce(n.required, n.perhaps, greatest(1, max(p.quantity) OVER (
                   PARTITION BY p.vehicle_id, p.assembly, p.part_id, p.code))) AS total
        FROM placed p
        LEFT JOIN needed n
          ON n.vehicle_id = p.vehicle_id AND n.assembly = p.assembly
         AND n.part_id = p.part_id AND n.code = p.code
    ),
    compared AS (
        SELECT *,
               max(CASE WHEN quantity IS NULL THEN weight END) OVER item AS best_general,
               max(CASE WHEN quantity IS NOT NULL AND spot IS NULL THEN weight END) OVER item
                   AS best_counted,
               max(weight) OVER (PARTITION BY vehicle_id, assembly, part_id, code, spot)
                   AS best_here
        FROM sized
        WINDOW item AS (PARTITION BY vehicle_id, assembly, part_id, code)
    ),
    chosen AS (
        SELECT *,
               CASE WHEN quantity IS NULL THEN weight = best_general
                    WHEN spot IS NULL
                        THEN weight = best_counted AND weight >= coalesce(best_general, '')
                    ELSE weight = best_here AND weight >= coalesce(best_general, '')
                         AND weight >= coalesce(best_counted, '') END AS counts,
               coalesce(quantity, total) AS claimed
        FROM compared
    ),
    running AS (
        SELECT *, sum(CASE WHEN counts THEN claimed ELSE 0 END) OVER (
            PARTITION BY vehicle_id, assembly, part_id, code
            ORDER BY weight DESC, afterthought, quantity IS NULL, spot IS NULL,
                     list_position(['missing', 'stand-in', 'unserviceable', 'stand-in accepted',
                                    'not-there-to-be-fitted', 'away-for-repair', 'off-and-kept',
                                    'fitted'], seen), line_id, afterthought
            ROWS UNBOUNDED PRECEDING) AS reached
        FROM chosen
    ),
    allotted AS MATERIALIZED (
        SELECT *, CASE WHEN counts
                  THEN greatest(0, least(claimed, total - (reached - claimed))) ELSE 0 END
                  AS given
        FROM running
    ),
    seen_items AS (
        SELECT vehicle_id, assembly, part_id, hand, position, code, any_value(total) AS total,
               seen, sum(given) AS quantity, max(said_on) FILTER (given > 0) AS seen_on,
               list(DISTINCT line_id ORDER BY line_id) FILTER (given > 0) AS survey_lines,
               list(DISTINCT {'number': part_number_normal, 'maker': maker})
                   FILTER (given > 0 AND part_number_normal IS NOT NULL) AS numbers_seen
        FROM allotted
        GROUP BY ALL
        HAVING sum(given) > 0
    ),
    per_item AS MATERIALIZED (
        SELECT vehicle_id, assembly, part_id, code, any_value(hand) AS hand,
               any_value(position) AS position, any_value(total) AS total,
               sum(given) AS accounted,
               sum(given) FILTER (seen = 'not-there-to-be-fitted') AS never_there,
               list({'seen': seen, 'text': printf('%s (%s, %s)', words, said_on::VARCHAR,
                     line_id)} ORDER BY weight DESC, line_id)
                   FILTER (given = 0 AND NOT afterthought) AS dissent,
               max(said_on) FILTER (given > 0 AND seen IN ('missing', 'stand-in')) AS lack_on,
               list({'on': said_on, 'had': claimed, 'line': line_id})
                   FILTER (seen IN ('fitted', 'off-and-kept', 'away-for-repair',
                                    'unserviceable')) AS had
        FROM allotted
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    universe AS MATERIALIZED (
        SELECT coalesce(n.vehicle_id, i.vehicle_id) AS vehicle_id,
               coalesce(n.assembly, i.assembly) AS assembly,
               coalesce(n.part_id, i.part_id) AS part_id,
               coalesce(n.code, i.code) AS code,
               coalesce(n.hand, i.hand) AS hand, coalesce(n.position, i.position) AS position,
               n.required, n.perhaps, n.needed_either AS needed_for, n.lines, n.lines_perhaps,
               n.numbers, n.for_all_builds, n.companions, n.others,
               coalesce(n.required, n.perhaps, i.total) AS total,
               coalesce(i.accounted, 0) AS accounted, coalesce(i.never_there, 0) AS never_there,
               i.dissent,
               list_max([h.had FOR h IN i.had IF h.on < i.lack_on]) AS had_before
        FROM needed n
        FULL JOIN per_item i
          ON n.vehicle_id = i.vehicle_id AND n.assembly = i.assembly
         AND n.part_id = i.part_id AND n.code = i.code
    ),
    rows AS (
        SELECT vehicle_id, assembly, part_id, code, seen, quantity, seen_on, survey_lines,
               numbers_seen
        FROM seen_items
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
           r.numbers_seen
    FROM rows r JOIN universe u USING (vehicle_id, assembly, part_id, code);

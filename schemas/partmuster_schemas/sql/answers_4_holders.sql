-- holders: who has this part?

-- Condition in one word, and its order from best to worst; what does not work comes last.
CREATE OR REPLACE MACRO condition_word(of_service, of_grade) AS
    CASE WHEN of_service = 'unserviceable' THEN 'unserviceable' ELSE of_grade END;
CREATE OR REPLACE MACRO condition_order(word) AS
    list_position(['new-old-stock', 'new', 'good', 'fair', 'poor', 'scrap', 'unknown',
                   'unserviceable'], word);

-- The builds a part is said to be for; the family is kept apart from the words of the build.
CREATE OR REPLACE MACRO builds_said(of_family, of_words, of_mark, of_phase) AS
    nullif(concat_ws(' ', of_family, coalesce(of_words, build_words(of_mark, of_phase))), '');

-- Loose parts that are, or may well be, one of these parts (NULL = any). Unsure readings are those
-- that lead with a probability of at least one half. What is sold or used up is left out. A holder
-- who is not named is called by the list.
CREATE OR REPLACE MACRO loose_parts(part_ids, day, known_now) AS TABLE
    SELECT h.line_id, h.revision, h.part_id, h.accepted, h.probability, h.reasons,
           item_hand(h.side, p.handed) AS hand,
           item_position(h.position, p.positions) AS position,
           coalesce(nullif(trim(h.holder), ''), 'not named (list ' || f.file || ')') AS holder,
           h.holder_key, h.place, h.place_key, h.quantity_text, h.at_least, h.availability,
           h.surplus, condition_word(h.service, h.grade) AS condition,
           lower(h.family) AS family, h.mark, h.phase,
           h.all_builds AND h.effectivity_text IS NOT NULL AS for_all_builds,
           builds_said(h.family, h.effectivity_text, h.mark, h.phase) AS builds,
           h.part_number, h.part_number_normal, h.maker, h.said_on,
           -- what is hedged or told by others is no offer
           nullif(concat_ws('; ', CASE WHEN NOT h.sure THEN 'said with doubt: ask' END,
                            CASE WHEN NOT h.first_hand THEN 'hearsay: ask' END), '') AS doubt
    FROM (
        SELECT q.*, i.part_id, i.accepted, i.probability, i.reasons, false AS alone
        FROM holding_as_of(day, known_now) q
        JOIN part_readings(part_ids, 0.5, day, known_now) i ON i.key = q.item_key
        UNION ALL
        SELECT q.*, i.part_id, true, i.probability, i.reasons, true AS alone
        FROM holding_as_of(day, known_now) q
        JOIN line_readings(part_ids, day, known_now) i USING (line_id)
    ) h
    JOIN part p ON p.part_id = h.part_id
    LEFT JOIN (
        SELECT source_id, arg_max(name, version) AS file FROM source_version GROUP BY source_id
    ) f ON f.source_id = h.source_id
    -- checked last: for the few lines that are found, not for the many that are held
    WHERE NOT h.gone AND h.at_most IS DISTINCT FROM 0
      AND (h.alone OR h.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now)));

-- What is promised of loose parts: holding line, to which vehicle, how many. The newest word on a
-- promise counts; withdrawn, lapsed and broken ones bind nothing. A promise that names no holding
-- line binds what its holder has of the item, line after line, until its number is reached.
CREATE OR REPLACE MACRO promised_parts(part_ids, day, known_now) AS TABLE
    WITH told AS MATERIALIZED (
        SELECT q.line_id, q.holding_line_id, coalesce(n.target, q.holder_key) AS person,
               i.part_id, item_hand(q.side, p.handed) AS hand,
               item_position(q.position, p.positions) AS position,
               v.target AS vehicle_id, q.vehicle, q.vehicle_key, q.stage,
               greatest(1, q.at_least) AS quantity,
               statement_weight(q.sure, q.first_hand, q.said_on_basis, q.said_on, q.source_id)
                   || q.line_id AS weight
        FROM promise_as_of(day, known_now) q
        LEFT JOIN part_readings(part_ids, 2, day, known_now) i ON i.key = q.item_key
        LEFT JOIN part p ON p.part_id = i.part_id
        LEFT JOIN accepted_names('holder', day, known_now) n ON n.key = q.holder_key
        LEFT JOIN accepted_names('vehicle', day, known_now) v ON v.key = q.vehicle_key
        WHERE q.holding_line_id IS NOT NULL OR i.part_id IS NOT NULL
    ),
    standing AS (
        SELECT holding_line_id, person, part_id, hand, position,
               coalesce(vehicle_id, vehicle_key) AS vehicle_id,
               arg_max(vehicle, weight) AS vehicle, arg_max(quantity, weight) AS quantity
        FROM told
        GROUP BY holding_line_id, person, part_id, hand, position,
                 coalesce(vehicle_id, vehicle_key)
        HAVING arg_max(stage, weight) IN ('offered', 'agreed', 'collected', 'fitted')
    ),
    numbered AS MATERIALIZED (
        SELECT *, dense_rank() OVER (ORDER BY holding_line_id, person, part_id, hand, position)
                   AS bundle,
               sum(quantity) OVER (
                   PARTITION BY holding_line_id, person, part_id, hand, position
                   ORDER BY vehicle_id) AS until
        FROM standing
    ),
    bound AS (
        SELECT b.bundle, l.line_id, greatest(1, l.at_least) AS held,
               sum(held) OVER (PARTITION BY b.bundle ORDER BY l.line_id) AS until
        FROM (SELECT DISTINCT bundle, holding_line_id, person, part_id, hand, position
              FROM numbered) b
        JOIN (
            SELECT q.*, coalesce(n.target, q.holder_key) AS person
            FROM loose_parts(part_ids, day, known_now) q
            LEFT JOIN accepted_names('holder', day, known_now) n ON n.key = q.holder_key
            WHERE q.accepted AND EXISTS (FROM numbered)
        ) l
          ON l.line_id = b.holding_line_id
          OR (b.holding_line_id IS NULL AND l.person = b.person AND l.part_id = b.part_id
              AND (b.hand IS NULL OR l.hand = b.hand)
              AND (b.position IS NULL OR l.position = b.position))
    )
    SELECT b.line_id, p.vehicle_id, p.vehicle,
           least(b.until, p.until) - greatest(b.until - b.held, p.until - p.quantity) AS quantity
    FROM bound b JOIN numbered p USING (bundle)
    WHERE least(b.until, p.until) > greatest(b.until - b.held, p.until - p.quantity);

-- The same for a club without any promise.
CREATE OR REPLACE MACRO no_promised_parts(part_ids, day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS line_id, NULL::VARCHAR AS vehicle_id, NULL::VARCHAR AS vehicle,
           NULL::DOUBLE AS quantity
    WHERE false;

-- Vehicles that are being taken apart, and hulks.
CREATE OR REPLACE MACRO vehicles_apart(day, known_now) AS TABLE
    SELECT vehicle_id FROM vehicles_as_of(day, known_now) WHERE role IN ('hulk', 'breaking');

-- Items seen on some vehicles (a list of ids), for taking off: fitted, or off and kept for it.
CREATE OR REPLACE MACRO parts_on_vehicles(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH seen AS (
        SELECT vehicle_id, assembly, part_id, code, seen, sum(given) AS quantity,
               max(said_on) AS seen_on, list_sort(list_distinct(list(line_id))) AS survey_lines,
               list_sort(list_distinct(list({'number': part_number_normal, 'maker': maker})
                   FILTER (part_number_normal IS NOT NULL))) AS numbers_seen,
               any_value(required_by) AS lines
        FROM counted_statements(vehicle_ids, part_ids, day, known_now)
        WHERE given > 0 AND seen IN ('fitted', 'off-and-kept', 'unserviceable')
        GROUP BY vehicle_id, assembly, part_id, code, seen
    )
    SELECT i.vehicle_id, i.assembly, i.part_id, nullif(split_part(i.code, '|', 1), '') AS hand,
           nullif(split_part(i.code, '|', 2), '') AS position, i.seen, i.quantity, i.seen_on,
           i.survey_lines, i.numbers_seen, i.lines, v.vehicle, v.family, v.role, v.owner_agrees,
           v.keeper, v.keeper_key, v.place, v.place_key,
           CASE WHEN s.vehicle_id IS NULL THEN v.mark ELSE coalesce(s.build.mark, v.mark) END
               AS mark,
           CASE WHEN s.vehicle_id IS NULL THEN nullif(v.mark_phase, '') ELSE s.build.phase END
               AS phase
    FROM seen i
    JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
    LEFT JOIN stated_builds_as_of(day, known_now) s
      ON s.vehicle_id = i.vehicle_id AND s.assembly = i.assembly;

-- Who has one of these parts, with this side and position (NULL = any). A part that states no hand
-- or position is listed after those that do. Hulks and vehicles being broken come after loose
-- parts.
CREATE OR REPLACE MACRO holders_of(part_ids, wanted_side, wanted_position, day, known_now)
AS TABLE
    WITH found AS (
        SELECT coalesce(n.name, l.holder) AS holder, l.part_id, l.hand, l.position,
               l.quantity_text AS quantity, l.at_least, l.condition,
               -- bound as a whole; where some are left, the reason says how many are not
               CASE WHEN b.promised >= greatest(1, l.at_least) AND l.availability <> 'kept'
                    THEN 'promised' ELSE l.availability END AS availability,
               l.place, l.builds, l.part_number, l.probability AS match,
               concat_ws('; ', l.reasons, b.said, l.doubt) AS reasons, l.accepted, l.said_on,
               l.line_id AS trace
        FROM loose_parts(part_ids, day, known_now) l
        LEFT JOIN people_as_of(day, known_now) n ON n.key = l.holder_key
        LEFT JOIN (
            SELECT line_id, sum(quantity) AS promised,
                   string_agg(printf('%g promised to %s', quantity,
                       coalesce(vehicle, 'somebody')), '; ' ORDER BY vehicle) AS said
            FROM promised_parts(part_ids, day, known_now) GROUP BY line_id
        ) b ON b.line_id = l.line_id
        UNION ALL BY NAME
        SELECT coalesce(n.name, o.keeper) AS holder, o.part_id, o.hand, o.position,
               printf('%g', o.quantity) AS quantity, o.quantity AS at_least,
               condition_word(o.seen, 'unknown') AS condition,
               'on vehicle ' || o.vehicle AS availability, o.place,
               nullif(concat_ws(' ', o.family, o.mark, o.phase), '') AS builds,
               o.numbers_seen[1].number AS part_number, 1.0 AS match,
               'seen on the vehicle' AS reasons, true AS accepted, o.seen_on AS said_on,
               array_to_string(o.survey_lines, ';') AS trace
        FROM parts_on_vehicles(
            (SELECT coalesce(list(vehicle_id), []) FROM vehicles_apart(day, known_now)),
            part_ids, day, known_now) o
        LEFT JOIN people_as_of(day, known_now) n ON n.key = o.keeper_key
    ),
    asked AS (
        SELECT f.*, item_hand(wanted_side, p.handed) AS asked_hand,
               item_position(wanted_position, p.positions) AS asked_position
        FROM found f JOIN part p USING (part_id)
    )
    SELECT holder, part_id AS part, hand, position, quantity, at_least, condition, availability,
           place, builds, part_number, match,
           concat_ws('; ', CASE WHEN NOT accepted THEN 'unsure' END, reasons,
               CASE WHEN asked_hand IS NOT NULL AND hand IS NULL
                    THEN 'hand not stated: ask' END,
               CASE WHEN asked_position IS NOT NULL AND position IS NULL
                    THEN 'position not stated: ask' END) AS match_reason,
           said_on, trace
    FROM asked
    WHERE (asked_hand IS NULL OR hand IS NULL OR hand = asked_hand)
      AND (asked_position IS NULL OR position IS NULL OR position = asked_position)
    ORDER BY NOT accepted,
             (asked_hand IS NOT NULL AND hand IS NULL)
                 OR (asked_position IS NOT NULL AND position IS NULL),
             coalesce(list_position(['offered', 'swap', 'unknown', 'promised', 'kept'],
                                    availability), 6),
             condition_order(condition), holder, part_id, hand NULLS FIRST,
             position NULLS FIRST, availability, trace;

-- Every loose part and every part on a hulk, by who has it, on a day and now.
CREATE OR REPLACE MACRO holders_as_of(day, known_now) AS TABLE
    SELECT * FROM holders_of(NULL, NULL, NULL, day, known_now);
CREATE OR REPLACE VIEW holders AS SELECT * FROM holders_of(NULL, NULL, NULL, NULL, false);

-- Words as a list, for comparing: without accents, case and punctuation.
CREATE OR REPLACE MACRO words_of(text) AS
    list_filter(string_split(regexp_replace(lower(strip_accents(text)), '[^a-z0-9]+', ' ', 'g'),
                             ' '), lambda w: w <> '');

-- Holdings that nobody and nothing has identified, by a number they carry (NULL = none; in normal
-- form: capitals and digits) or else by words that their description all contains. For words that
-- name no part of the vocabulary. The columns are those of `holders`; `part` is empty.
CREATE OR REPLACE MACRO unidentified_holders(wanted_number, wanted_words, day, known_now)
AS TABLE
    WITH alike AS MATERIALIZED (
        SELECT item_key,
               coalesce(list_contains(
                   [regexp_replace(upper(n), '[^A-Z0-9]', '', 'g')
                    FOR n IN [part_number_normal, casting_number, stock_number]],
                   wanted_number), false) AS by_number,
               len(wanted_words) > 0
                   AND coalesce(list_has_all(words_of(description), wanted_words), false)
                   AS by_words
        FROM item_key
        ANTI JOIN part_readings(NULL, 0.5, day, known_now) i ON i.key = item_key
        WHERE by_number OR by_words
    )
    SELECT coalesce(n.name, nullif(trim(h.holder), ''), 'not named (list ' || f.file || ')')
               AS holder,
           NULL::VARCHAR AS part, CASE WHEN h.side IN ('left', 'right') THEN h.side END AS hand,
           h.position, h.quantity_text AS quantity, h.at_least,
           condition_word(h.service, h.grade) AS condition, h.availability, h.place,
           builds_said(h.family, h.effectivity_text, h.mark, h.phase) AS builds,
           h.part_number, CASE WHEN a.by_number THEN 0.4 ELSE 0.2 END::DOUBLE AS match,
           concat('not identified; the ', CASE WHEN a.by_number THEN 'number agrees: '
                  ELSE 'words agree: ' END, h.words) AS match_reason,
           h.said_on, h.line_id AS trace
    FROM holding_as_of(day, known_now) h
    JOIN alike a USING (item_key)
    LEFT JOIN people_as_of(day, known_now) n ON n.key = h.holder_key
    LEFT JOIN (
        SELECT source_id, arg_max(name, version) AS file FROM source_version GROUP BY source_id
    ) f USING (source_id)
    WHERE NOT h.gone AND h.at_most IS DISTINCT FROM 0
      AND (a.by_number OR NOT EXISTS (FROM alike WHERE by_number))
      AND h.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now))
    ORDER BY coalesce(list_position(['offered', 'swap', 'unknown', 'promised', 'kept'],
                                    h.availability), 6),
             condition_order(condition_word(h.service, h.grade)), holder, trace;

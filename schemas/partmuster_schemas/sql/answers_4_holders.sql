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
-- who is not named is called by the list. Every line by itself, also where people decided that
-- several are one item.
CREATE OR REPLACE MACRO loose_lines(part_ids, day, known_now) AS TABLE
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
                            CASE WHEN NOT h.first_hand THEN 'hearsay: ask' END), '') AS doubt,
           h.line_id AS lines, [h.holder_key] AS holder_keys, NULL::VARCHAR AS also, f.file
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

-- The same with one row for an item that several sheets have, as people decided: each field from
-- the best statement that gives it. What only its owner can say, whether it is offered, is taken
-- from lines that name no other. Where the best statement has it gone, it is.
CREATE OR REPLACE MACRO loose_parts(part_ids, day, known_now) AS TABLE
    WITH said AS MATERIALIZED (SELECT * FROM loose_lines(part_ids, day, known_now)),
    seen AS MATERIALIZED (SELECT * FROM sightings_as_of(day, known_now)),
    standing AS (
        SELECT s.*, x.item, x.weight,
               first_value(s.holder_key IGNORE NULLS) OVER (
                   PARTITION BY x.item, s.part_id ORDER BY x.weight DESC
                   ROWS BETWEEN UNBOUNDED PRECEDING AND UNBOUNDED FOLLOWING) AS whose,
               x.weight = max(x.weight) OVER (PARTITION BY x.item, s.part_id) AS best
        FROM said s JOIN seen x USING (line_id)
        WHERE x.item NOT IN (SELECT item FROM seen GROUP BY item HAVING arg_max(gone, weight))
    )
    SELECT * FROM said ANTI JOIN seen USING (line_id)
    UNION ALL BY NAME
    SELECT arg_max(line_id, weight) AS line_id, arg_max(revision, weight) AS revision, part_id,
           bool_or(accepted) AS accepted, max(probability) AS probability,
           arg_max(reasons, weight) AS reasons, arg_max(hand, weight) AS hand,
           arg_max(position, weight) AS position,
           coalesce(arg_max(holder, weight) FILTER (holder_key IS NOT NULL),
                    arg_max(holder, weight)) AS holder,
           any_value(whose) AS holder_key, arg_max(place, weight) AS place,
           arg_max(place_key, weight) AS place_key,
           coalesce(arg_max(quantity_text, weight) FILTER (at_least > 0),
                    arg_max(quantity_text, weight)) AS quantity_text,
           coalesce(arg_max(at_least, weight) FILTER (at_least > 0), arg_max(at_least, weight))
               AS at_least,
           coalesce(arg_max(availability, weight) FILTER (
                        availability <> 'unknown' AND coalesce(holder_key = whose, true)),
                    'unknown') AS availability,
           bool_or(surplus AND coalesce(holder_key = whose, true)) AS surplus,
           coalesce(arg_max(condition, weight) FILTER (condition <> 'unknown'), 'unknown')
               AS condition,
           arg_max(family, weight) AS family, arg_max(mark, weight) AS mark,
           nullif(arg_max(coalesce(phase, ''), weight) FILTER (mark IS NOT NULL), '') AS phase,
           bool_or(for_all_builds) AS for_all_builds, arg_max(builds, weight) AS builds,
           arg_max(part_number, weight) AS part_number,
           arg_max(part_number_normal, weight) AS part_number_normal,
           arg_max(maker, weight) AS maker, arg_max(said_on, weight) AS said_on,
           nullif(arg_max(coalesce(doubt, ''), weight), '') AS doubt,
           string_agg(line_id, ';' ORDER BY weight DESC) AS lines,
           coalesce(list(DISTINCT holder_key) FILTER (holder_key IS NOT NULL), [NULL])
               AS holder_keys,
           'one item, also in ' || string_agg(
               coalesce(file, 'another list') || ' (' || concat_ws(', ', said_on::VARCHAR, holder, place,
                   quantity_text || ' off', nullif(condition, 'unknown')) || ')', '; '
               ORDER BY weight DESC) FILTER (NOT best) AS also,
           arg_max(file, weight) AS file
    FROM standing
    GROUP BY item, part_id;

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
        SELECT *, sum(held) OVER (PARTITION BY bundle ORDER BY line_id) AS until
        FROM (
            SELECT DISTINCT b.bundle, l.line_id, greatest(1, l.at_least) AS held
            FROM (SELECT DISTINCT bundle, holding_line_id, person, part_id, hand, position
                  FROM numbered) b
            JOIN (
                -- an item that several sheets have is also that of whoever had it
                SELECT q.* EXCLUDE (whose), coalesce(n.target, q.whose) AS person
                FROM (SELECT *, unnest(holder_keys) AS whose
                      FROM loose_parts(part_ids, day, known_now)) q
                LEFT JOIN accepted_names('holder', day, known_now) n ON n.key = q.whose
                WHERE q.accepted AND EXISTS (FROM numbered)
            ) l
              ON list_contains(string_split(l.lines, ';'), b.holding_line_id)
              OR (b.holding_line_id IS NULL AND l.person = b.person AND l.part_id = b.part_id
                  AND (b.hand IS NULL OR l.hand = b.hand)
                  AND (b.position IS NULL OR l.position = b.position))
        )
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
        SELECT item, seen, any_value(need) AS need, any_value(vehicle_id) AS vehicle_id,
               any_value(assembly) AS assembly, any_value(part_id) AS part_id,
               any_value(code) AS code, sum(given) AS quantity, max(said_on) AS seen_on, list_sort(list_distinct(list(line_id))) AS survey_lines,
               list_sort(list_distinct(list({'number': part_number_normal, 'maker': maker})
                   FILTER (part_number_normal IS NOT NULL))) AS numbers_seen
        FROM counted_statements(vehicle_ids, part_ids, day, known_now)
        WHERE given > 0 AND seen IN ('fitted', 'off-and-kept', 'unserviceable')
        GROUP BY item, seen
    )
    SELECT i.vehicle_id, i.assembly, i.part_id, nullif(split_part(i.code, '|', 1), '') AS hand,
           nullif(split_part(i.code, '|', 2), '') AS position, i.seen, i.quantity, i.seen_on,
           i.survey_lines, i.numbers_seen, n.lines, v.vehicle, v.family, v.role, v.owner_agrees,
           v.keeper, v.keeper_key, v.place, v.place_key,
           CASE WHEN s.vehicle_id IS NULL THEN v.mark ELSE coalesce(s.build.mark, v.mark) END
               AS mark,
           CASE WHEN s.vehicle_id IS NULL THEN nullif(v.mark_phase, '') ELSE s.build.phase END
               AS phase
    FROM seen i
    JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
    LEFT JOIN required_alike(vehicle_ids, part_ids, day, known_now) n ON n.need = i.need
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
               concat_ws('; ', l.reasons, b.said, l.doubt, l.also) AS reasons, l.accepted,
               l.said_on, l.lines AS trace
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
      AND h.line_id NOT IN (SELECT line_id FROM older_sightings(day, known_now))
    ORDER BY coalesce(list_position(['offered', 'swap', 'unknown', 'promised', 'kept'],
                                    h.availability), 6),
             condition_order(condition_word(h.service, h.grade)), holder, trace;

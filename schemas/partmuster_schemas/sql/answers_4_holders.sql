-- holders: who has this part?

-- Condition in one word, and its order from best to worst; what does not work comes last.
CREATE OR REPLACE MACRO condition_word(of_service, of_grade) AS
    CASE WHEN of_service = 'unserviceable' THEN 'unserviceable' ELSE of_grade END;
CREATE OR REPLACE MACRO condition_order(word) AS
    list_position(['new-old-stock', 'new', 'good', 'fair', 'poor', 'scrap', 'unknown',
                   'unserviceable'], word);

-- Loose parts that are, or may well be, one of these parts (NULL = any). Unsure readings are those
-- that lead with a probability of at least one half. What is sold or used up is left out.
CREATE OR REPLACE MACRO loose_parts(part_ids, day, known_now) AS TABLE
    SELECT h.line_id, h.revision, h.part_id, h.accepted, h.probability, h.reasons,
           item_hand(h.side, p.handed) AS hand,
           item_position(h.position, p.positions) AS position,
           h.holder, h.holder_key, h.place, h.place_key, h.quantity_text, h.at_least, h.at_most,
           h.availability, h.surplus, condition_word(h.service, h.grade) AS condition,
           lower(h.family) AS family, h.mark, h.phase,
           h.all_builds AND h.effectivity_text IS NOT NULL AS for_all_builds,
           coalesce(h.effectivity_text, nullif(concat_ws(' ', h.family, h.mark, h.phase), ''))
               AS builds,
           h.part_number, h.part_number_normal, h.maker, h.said_on
    FROM (
        SELECT q.*, i.part_id, i.accepted, i.probability, i.reasons, false AS alone
        FROM holding_as_of(day, known_now) q
        JOIN part_readings(part_ids, 0.5, day, known_now) i ON i.key = q.item_key
        UNION ALL
        SELECT q.*, i.part_id, i.accepted, i.probability, i.reasons, true AS alone
        FROM holding_as_of(day, known_now) q
        JOIN part_readings(part_ids, 0.5, day, known_now) i ON i.of_line = q.line_id
    ) h
    JOIN part p ON p.part_id = h.part_id
    -- checked last: for the few lines that are found, not for the many that are held
    WHERE NOT h.gone AND h.at_most IS DISTINCT FROM 0
      AND (h.alone OR h.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now)));

-- Items seen on vehicles of these roles, for taking off: fitted, or off and kept for it.
CREATE OR REPLACE MACRO parts_on_vehicles(roles, part_ids, day, known_now) AS TABLE
    SELECT i.*, v.vehicle, v.family, v.role, v.owner_agrees, v.keeper, v.keeper_key, v.place,
           v.place_key,
           CASE WHEN s.vehicle_id IS NULL THEN v.mark ELSE coalesce(s.build.mark, v.mark) END
               AS mark,
           CASE WHEN s.vehicle_id IS NULL THEN nullif(v.mark_phase, '') ELSE s.build.phase END
               AS phase
    FROM vehicle_items(
        (SELECT coalesce(list(vehicle_id), []) FROM vehicles_as_of(day, known_now)
         WHERE list_contains(roles, coalesce(role, 'unknown'))),
        part_ids, day, known_now) i
    JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
    LEFT JOIN stated_builds_as_of(day, known_now) s
      ON s.vehicle_id = i.vehicle_id AND s.assembly = i.assembly
    WHERE i.seen IN ('fitted', 'off-and-kept', 'unserviceable');

-- Who has one of these parts, with this side and position (NULL = any). A part that states no hand
-- or position is listed after those that do. Hulks and vehicles being broken come after loose
-- parts.
CREATE OR REPLACE MACRO holders_of(part_ids, wanted_side, wanted_position, day, known_now)
AS TABLE
    WITH found AS (
        SELECT coalesce(n.name, l.holder) AS holder, l.part_id, l.hand, l.position,
               l.quantity_text AS quantity, l.at_least, l.condition, l.availability, l.place,
               l.builds, l.part_number, l.probability AS match, l.reasons, l.accepted, l.said_on,
               l.line_id AS trace
        FROM loose_parts(part_ids, day, known_now) l
        LEFT JOIN people_as_of(day, known_now) n ON n.key = l.holder_key
        UNION ALL BY NAME
        SELECT coalesce(n.name, o.keeper) AS holder, o.part_id, o.hand, o.position,
               printf('%g', o.quantity) AS quantity, o.quantity AS at_least,
               condition_word(o.seen, 'unknown') AS condition,
               'on vehicle ' || o.vehicle AS availability, o.place,
               nullif(concat_ws(' ', o.family, o.mark, o.phase), '') AS builds,
               o.numbers_seen[1].number AS part_number, 1.0 AS match,
               'seen on the vehicle' AS reasons, true AS accepted, o.seen_on AS said_on,
               array_to_string(o.survey_lines, ';') AS trace
        FROM parts_on_vehicles(['hulk', 'breaking'], part_ids, day, known_now) o
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

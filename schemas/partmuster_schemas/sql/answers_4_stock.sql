-- donors: what is looked for, and what there is to take.

-- The items that parts are looked for: what is missing, does not work, or has a stand-in; and what went
-- with a whole, where it is asked for by itself.
CREATE OR REPLACE MACRO looked_for(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT * REPLACE (CASE state WHEN 'gone-with-it' THEN 'missing' ELSE state END AS state),
           CASE WHEN state = 'gone-with-it' THEN root END AS went_with
    FROM lack_items(vehicle_ids, part_ids, day, known_now)
    WHERE quantity > 0
      AND CASE WHEN part_ids IS NULL THEN state IN ('missing', 'unserviceable', 'stand-in')
               ELSE list_contains(part_ids, part_id)
                    AND state IN ('missing', 'unserviceable', 'stand-in', 'gone-with-it') END;

-- The kind of place that something is taken from, by its order.
CREATE OR REPLACE MACRO where_from(source_order) AS
    CASE source_order
         WHEN 1 THEN 'loose spare offered'
         WHEN 2 THEN 'surplus left over by a restoration'
         WHEN 3 THEN 'hulk being broken'
         WHEN 4 THEN 'incomplete hulk, if its owner agrees'
         WHEN 5 THEN 'loose, not known to be offered' END;

-- How far places are from each other, where both have coordinates.
CREATE OR REPLACE MACRO distances(day, known_now) AS TABLE
    SELECT f.key AS from_place, t.key AS to_place,
           great_circle_km(t.latitude, t.longitude, f.latitude, f.longitude) AS km
    FROM places_as_of(day, known_now) t, places_as_of(day, known_now) f;

-- All that there is of some parts (NULL = all): loose parts, and parts on vehicles that something may
-- be taken from (show_all: on all), with whether each is offered.
CREATE OR REPLACE MACRO donor_stock(candidates, day, known_now, show_all) AS TABLE
    WITH promised AS (
        SELECT line_id, list({'vehicle_id': vehicle_id, 'quantity': quantity,
                              'vehicle': coalesce(vehicle, 'somebody')} ORDER BY vehicle) AS to_whom
        FROM promised_parts(candidates, day, known_now) GROUP BY line_id
    )
    SELECT NULL AS vehicle_id, coalesce(n.person_id, l.holder_key) AS who, l.part_id, l.hand,
           l.position, l.family, l.for_all_builds, l.mark, l.phase,
           CASE WHEN l.mark IS NULL AND l.phase IS NULL THEN e.builds END AS builds,
           l.part_number_normal AS number, l.maker, NULL AS numbers, NULL AS lines,
           coalesce(n.name, l.holder) AS source, l.condition, l.at_least,
           l.quantity_text AS quantity, l.place, l.place_key,
           CASE WHEN l.surplus THEN 2 WHEN l.availability IN ('offered', 'swap') THEN 1
                ELSE 5 END AS source_order,
           CASE WHEN l.availability IN ('kept', 'promised') THEN 'not offered'
                WHEN l.availability = 'unknown' OR coalesce(l.at_least, 0) = 0
                     OR l.doubt IS NOT NULL THEN 'ask first'
                ELSE 'offered' END AS standing,
           concat_ws('; ',
               CASE WHEN l.availability IN ('kept', 'promised') THEN l.availability
                    WHEN coalesce(l.at_least, 0) = 0 THEN 'quantity not known' END,
               l.doubt, l.also) AS notes,
           b.to_whom, l.lines AS trace
    FROM loose_parts(candidates, day, known_now) l
    LEFT JOIN people_as_of(day, known_now) n ON n.key = l.holder_key
    LEFT JOIN promised b ON b.line_id = l.line_id
    LEFT JOIN (
        SELECT line_id, revision, list({'mark': mark, 'phase': phase}) AS builds
        FROM effectivity WHERE NOT is_interval AND mark IS NOT NULL AND reach IS NULL
        GROUP BY ALL
    ) e ON e.line_id = l.line_id AND e.revision = l.revision
    WHERE l.accepted
    UNION ALL BY NAME
    SELECT o.vehicle_id, 'vehicle ' || o.vehicle_id AS who, o.part_id, o.hand, o.position,
           lower(o.family) AS family,
           false AS for_all_builds, o.mark, o.phase,
           o.numbers_seen AS numbers, o.lines, o.vehicle AS source,
           condition_word(o.seen, 'unknown') AS condition, o.quantity AS at_least,
           printf('%g', o.quantity) AS quantity, o.place, o.place_key,
           CASE WHEN o.role = 'breaking' THEN 3
                WHEN o.role = 'hulk' OR o.owner_agrees THEN 4 ELSE 6 END AS source_order,
           CASE WHEN o.owner_agrees = false THEN 'not offered'
                WHEN o.role = 'breaking'
                     AND o.seen_on >= coalesce(CAST(day AS DATE), current_date)
                                      - INTERVAL 1 YEAR THEN 'offered'
                WHEN o.role IN ('breaking', 'hulk') OR o.owner_agrees THEN 'ask first'
                ELSE 'not offered' END AS standing,
           concat_ws('; ',
               CASE WHEN o.role IN ('kept-whole', 'under-restoration', 'on-loan')
                    THEN replace(o.role, '-', ' ')
                    WHEN o.role IS NULL THEN 'role of the vehicle not known' END,
               CASE WHEN o.owner_agrees = false THEN 'owner does not agree'
                    WHEN o.role = 'hulk' AND o.owner_agrees IS NULL
                    THEN 'owner not asked' END,
               CASE WHEN o.seen_on < coalesce(CAST(day AS DATE), current_date)
                                     - INTERVAL 1 YEAR
                    THEN 'sight before travelling' END) AS notes,
           array_to_string(o.survey_lines, ';') AS trace
    FROM parts_on_vehicles(
        (SELECT coalesce(list(vehicle_id), []) FROM vehicles_as_of(day, known_now)
         WHERE show_all OR role IN ('hulk', 'breaking') OR owner_agrees),
        candidates, day, known_now) o;

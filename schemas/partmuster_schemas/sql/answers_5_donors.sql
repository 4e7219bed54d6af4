-- donors: where could each lacking item come from, and does it fit?

-- Fit statements about what may take the place of these parts (NULL = any), once in each direction
-- in which they say something: "as is" holds both ways; the reverse of "one way" is "never".
-- `scoped` is false where a statement about one and the same part names no build or family at all.
-- Without a side to put it on, the side it comes from is meant.
CREATE OR REPLACE MACRO fit_statements(part_ids, day, known_now) AS TABLE
    WITH said AS MATERIALIZED (SELECT * FROM fit_as_of(day, known_now)),
    -- a key may stand under both roles, with one meaning
    meanings AS MATERIALIZED (
        SELECT DISTINCT i.key, p.part_id, p.handed, p.positions
        FROM identification_as_of(day, known_now) i JOIN part p ON p.part_id = i.target
        WHERE i.role IN ('part', 'to-part') AND i.accepted
          AND i.key IN (SELECT unnest([item_key, to_item_key]) FROM said)
    ),
    lines AS (
        SELECT f.line_id, f.fit_grade AS grade, f.sure, f.assembly, f.words, f.reason, f.work,
               f.companions_text AS companions,
               a.part_id AS on_part, coalesce(b.part_id, a.part_id) AS for_part,
               item_hand(f.side, a.handed) AS on_hand,
               item_position(f.position, a.positions) AS on_position,
               item_hand(coalesce(f.to_side, f.side), coalesce(b.handed, a.handed)) AS for_hand,
               item_position(coalesce(f.to_position, f.position),
                             coalesce(b.positions, a.positions)) AS for_position,
               lower(coalesce(f.family, CASE WHEN f.mark IS NOT NULL THEN f.to_family END))
                   AS on_family,
               f.mark AS on_mark, f.phase AS on_phase,
               lower(coalesce(f.to_family, CASE WHEN f.to_mark IS NOT NULL THEN f.family END))
                   AS for_family,
               f.to_mark AS for_mark, f.to_phase AS for_phase,
               statement_weight(f.sure, f.first_hand, f.said_on_basis, f.said_on, f.source_id)
                   || f.line_id AS weight
        FROM said f
        JOIN meanings a ON a.key = f.item_key
        LEFT JOIN meanings b ON b.key = f.to_item_key
        WHERE (f.to_item_key IS NULL OR b.key IS NOT NULL)
          AND (part_ids IS NULL OR list_contains(part_ids, a.part_id)
               OR list_contains(part_ids, b.part_id))
    ),
    scoped AS (
        SELECT *, on_part <> for_part
                  OR coalesce(on_family, on_mark, on_phase, for_mark, for_phase,
                              CASE WHEN on_hand <> for_hand THEN '' END) IS NOT NULL AS scoped
        FROM lines
    ),
    both_ways AS (
        SELECT *, false AS backwards FROM scoped
        UNION ALL BY NAME
        SELECT line_id, CASE grade WHEN 'one-way' THEN 'never' ELSE grade END AS grade, sure,
               assembly, words,
               CASE grade WHEN 'one-way' THEN 'not the other way: ' || words ELSE reason END
                   AS reason,
               work, companions, for_part AS on_part, on_part AS for_part, for_hand AS on_hand,
               for_position AS on_position, on_hand AS for_hand, on_position AS for_position,
               for_family AS on_family, for_mark AS on_mark, for_phase AS on_phase,
               on_family AS for_family, on_mark AS for_mark, on_phase AS for_phase, weight,
               scoped, true AS backwards
        FROM scoped
        WHERE grade IN ('as-is', 'one-way') AND scoped
    )
    SELECT * FROM both_ways WHERE part_ids IS NULL OR list_contains(part_ids, for_part);

-- Parts that may take the place of these: themselves, and those that a fit statement names.
CREATE OR REPLACE MACRO candidate_parts(part_ids, day, known_now) AS TABLE
    SELECT unnest(part_ids) AS part_id
    UNION
    SELECT on_part FROM fit_statements(part_ids, day, known_now);

-- Where each lacking item of some vehicles (NULL = all) could come from. candidates is the list
-- that candidate_parts gives for part_ids, or NULL. show_all adds vehicles that nothing may be
-- taken from.
CREATE OR REPLACE MACRO donors_of(vehicle_ids, part_ids, candidates, day, known_now, show_all)
AS TABLE
    WITH wanted AS MATERIALIZED (
        SELECT w.*, lower(w.family) AS of_family, p.handed, p.positions, p.identity_bearing,
               nullif(p.caution, '') AS caution,
               nullif(array_to_string(list_concat(coalesce(w.lines, []),
                   coalesce(w.survey_lines, [])), ';'), '') AS trace,
               nullif(concat_ws('; ', w.companions, nullif(p.companions, ''),
                   CASE WHEN p.mated_with <> '' THEN 'mated with ' || p.mated_with END), '')
                   AS goes_with,
               row_number() OVER (ORDER BY w.vehicle, w.vehicle_id, w.assembly, w.part_id,
                   w.hand NULLS FIRST, w.position NULLS FIRST, w.state) AS lack,
               g.latitude, g.longitude
        FROM lack_items(vehicle_ids, part_ids, day, known_now) w
        JOIN part p ON p.part_id = w.part_id
        LEFT JOIN places_as_of(day, known_now) g ON g.key = w.place_key
        WHERE w.state IN ('missing', 'unserviceable', 'stand-in') AND w.quantity > 0
    ),
    -- `choice` says which of several statements counts: a sure never, then a hedged one, then what
    -- is sure before what is hedged, what was said of this direction, and the better statement.
    fits AS MATERIALIZED (
        SELECT *, row_number() OVER (ORDER BY
            CASE WHEN grade = 'never' AND NOT backwards AND sure AND scoped THEN 0
                 WHEN grade = 'never' AND NOT backwards THEN 1 ELSE 2 END,
            NOT sure, backwards, weight DESC) AS choice
        FROM fit_statements((SELECT list(DISTINCT part_id) FROM wanted), day, known_now)
    ),
    swaps AS (
        SELECT DISTINCT part_id AS for_part, part_id AS on_part FROM wanted
        WHERE NOT identity_bearing
        UNION
        SELECT for_part, on_part FROM fits
        WHERE for_part IN (SELECT part_id FROM wanted WHERE NOT identity_bearing)
    ),
    promised AS (
        SELECT line_id, list({'vehicle_id': vehicle_id, 'quantity': quantity,
                              'vehicle': coalesce(vehicle, 'somebody')} ORDER BY vehicle) AS to_whom
        FROM promised_parts(candidates, day, known_now) GROUP BY line_id
    ),
    stock AS (
        SELECT NULL AS vehicle_id, l.part_id, l.hand, l.position, l.family, l.for_all_builds,
               l.mark, l.phase,
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
                   l.doubt) AS notes,
               b.to_whom, l.line_id AS trace
        FROM loose_parts(candidates, day, known_now) l
        LEFT JOIN people_as_of(day, known_now) n ON n.key = l.holder_key
        LEFT JOIN promised b ON b.line_id = l.line_id
        LEFT JOIN (
            SELECT line_id, revision, list({'mark': mark, 'phase': phase}) AS builds
            FROM effectivity WHERE NOT is_interval AND mark IS NOT NULL AND reach IS NULL
            GROUP BY ALL
        ) e ON e.line_id = l.line_id AND e.revision = l.revision
        WHERE l.accepted AND l.part_id IN (SELECT on_part FROM swaps)
        UNION ALL BY NAME
        SELECT o.vehicle_id, o.part_id, o.hand, o.position, lower(o.family) AS family,
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
            candidates, day, known_now) o
        WHERE o.part_id IN (SELECT on_part FROM swaps)
    ),
    -- Whether a candidate fits depends on its kind alone, and many are of one kind.
    supply AS MATERIALIZED (
        SELECT *, hash(part_id, hand, position, family, for_all_builds, mark, phase, builds, number,
                       maker, numbers, lines) AS kind
        FROM stock
    ),
    kinds AS MATERIALIZED (
        SELECT kind, any_value(part_id) AS part_id, any_value(hand) AS hand,
               any_value(position) AS position, any_value(family) AS family,
               any_value(for_all_builds) AS for_all_builds,
               coalesce(any_value(builds),
                        [{'mark': any_value(mark), 'phase': any_value(phase)}]) AS builds,
               coalesce(any_value(numbers), CASE WHEN any_value(number) IS NOT NULL THEN
                   [{'number': any_value(number), 'maker': any_value(maker)}] END) AS numbers,
               any_value(lines) AS lines
        FROM supply
        GROUP BY kind
    ),
    builds AS (
        SELECT DISTINCT family, b.mark AS mark, b.phase AS phase
        FROM (SELECT family, unnest(builds) AS b FROM kinds)
        WHERE family IS NOT NULL AND b.mark IS NOT NULL
    ),
    -- Builds for which a requirement line of a lack holds as well. Lines that also depend on a
    -- serial or on another assembly cannot be told from a build alone.
    covered AS MATERIALIZED (
        SELECT DISTINCT lack, family, mark, phase
        FROM (
            SELECT w.lack, w.line_id, b.family, b.mark, b.phase
            FROM (SELECT lack, assembly, of_family, unnest(lines) AS line_id FROM wanted) w
            JOIN requirement_as_of(day, known_now) r ON r.line_id = w.line_id
            JOIN builds b ON b.family = w.of_family
            LEFT JOIN effectivity e
              ON e.line_id = r.line_id AND e.revision = r.revision AND NOT r.all_builds
            GROUP BY w.lack, w.line_id, b.family, b.mark, b.phase
            HAVING bool_or(r.all_builds)
                OR (bool_or(mark_holds(e.mark, e.reach, b.mark)
                            AND phase_holds(e.phase, e.reach, b.phase)
                            AND NOT e.is_interval)
                    AND bool_and(coalesce(mark_holds(e.mark, e.reach, b.mark), false))
                        FILTER (e.reach = 'except') IS DISTINCT FROM false
                    AND NOT bool_or(e.is_interval)
                    AND NOT bool_or(e.assembly IS NOT NULL AND e.assembly <> w.assembly))
        )
    ),
    pairs AS (
        SELECT w.lack, w.part_id AS for_part, w.of_family AS want_family, w.assembly,
               w.mark AS want_mark, w.phase AS want_phase, w.hand AS want_hand,
               w.position AS want_position,
               c.kind, c.part_id AS on_part, c.hand, c.position, c.family,
               c.for_all_builds,
               w.for_all_builds AS list_for_all,
               unnest(c.builds) AS build,
               CASE WHEN w.handed <> 'handed' OR p.handed <> 'handed'
                         OR w.hand = c.hand
                         OR w.hand IS NULL  -- any will do
                    THEN 'same'
                    WHEN c.hand IS NULL THEN 'ask' ELSE 'other' END
                   AS hand_agrees,
               CASE WHEN coalesce(w.positions, '') = '' OR coalesce(p.positions, '') = ''
                         OR w.position = c.position
                         OR w.position IS NULL
                    THEN 'same'
                    WHEN c.position IS NULL THEN 'ask' ELSE 'other' END
                   AS position_agrees,
               len([n FOR n IN w.numbers IF len([m FOR m IN c.numbers IF m.number = n.number
                   AND (m.maker IS NULL OR n.maker IS NULL OR m.maker = n.maker)]) > 0]) > 0
                   AS same_number,
               list_has_any(w.lines, c.lines) AS same_line
        FROM wanted w
        JOIN swaps s ON s.for_part = w.part_id
        JOIN kinds c ON c.part_id = s.on_part
        JOIN part p ON p.part_id = c.part_id
        WHERE NOT p.identity_bearing
    ),
    told AS (
        SELECT p.lack, p.kind, p.build,
               arg_min({'grade': f.grade, 'certain': f.sure AND f.scoped,
                        'reason': coalesce(f.reason, f.words), 'work': f.work,
                        'companions': f.companions, 'line': f.line_id,
                        'hand_told': f.on_hand IS NOT NULL AND f.for_hand IS NOT NULL,
                        'position_told': f.on_position IS NOT NULL
                                         AND f.for_position IS NOT NULL}, f.choice) AS fit
        FROM pairs p
        JOIN fits f
          ON f.for_part = p.for_part AND f.on_part = p.on_part
         AND (f.on_hand IS NULL OR f.on_hand = p.hand)
         AND (f.for_hand IS NULL OR f.for_hand = p.want_hand)
         AND (f.on_position IS NULL OR f.on_position = p.position)
         AND (f.for_position IS NULL OR f.for_position = p.want_position)
         AND (f.on_family IS NULL OR f.on_family = p.family)
         AND (f.on_mark IS NULL OR f.on_mark = p.build.mark)
         AND (f.on_phase IS NULL OR f.on_phase = p.build.phase)
         AND (f.for_family IS NULL OR f.for_family = p.want_family)
         AND (f.for_mark IS NULL OR f.for_mark = p.want_mark)
         AND (f.for_phase IS NULL OR f.for_phase = p.want_phase)
         AND (f.assembly IS NULL OR f.assembly = p.assembly OR f.on_part <> f.for_part)
        GROUP BY p.lack, p.kind, p.build
    ),
    ruled AS (
        SELECT p.*, t.fit AS said,
               p.on_part = p.for_part AND p.family = p.want_family
                   AND p.build.mark = p.want_mark
                   AND p.build.phase IS NOT DISTINCT FROM p.want_phase AS same_build,
               CASE WHEN t.fit.grade = 'never' THEN 1
                    WHEN t.fit IS NOT NULL THEN 2
                    WHEN p.on_part <> p.for_part THEN NULL
                    WHEN p.same_number THEN 3
                    WHEN p.same_line OR c.lack IS NOT NULL THEN 4
                    WHEN same_build THEN 5
                    WHEN p.for_all_builds AND p.family = p.want_family THEN 6
                    WHEN p.build.mark IS NULL AND p.list_for_all AND p.family = p.want_family
                         THEN 7
                    WHEN p.build.mark IS NULL THEN 8
                    ELSE 9 END AS rule
        FROM pairs p
        LEFT JOIN told t ON t.lack = p.lack AND t.kind = p.kind
                        AND t.build IS NOT DISTINCT FROM p.build
        LEFT JOIN covered c ON c.lack = p.lack AND c.family = p.family
                           AND c.mark = p.build.mark
                           AND c.phase IS NOT DISTINCT FROM p.build.phase
        WHERE (p.hand_agrees <> 'other' OR t.fit.hand_told)
          AND (p.position_agrees <> 'other' OR t.fit.position_told)
    ),
    best AS (
        SELECT lack, kind, arg_min({
            'rule': rule, 'said': said, 'same_build': same_build,
            'ask': concat_ws('; ',
                CASE WHEN hand_agrees = 'ask' THEN 'hand not stated: ask' END,
                CASE WHEN position_agrees = 'ask' THEN 'position not stated: ask' END)
        }, rule) AS v
        FROM ruled WHERE rule IS NOT NULL
        GROUP BY lack, kind
    ),
    fitted AS (
        SELECT b.lack, b.kind, b.v,
               CASE WHEN b.v.rule = 1 AND b.v.said.certain THEN 'never'
                    WHEN b.v.rule = 1 OR b.v.ask <> '' THEN 'unknown'
                    WHEN b.v.rule = 2 THEN b.v.said.grade
                    WHEN b.v.rule <= 7 THEN 'as-is'
                    ELSE 'unknown' END AS fit,
               CASE b.v.rule
                    WHEN 1 THEN CASE WHEN b.v.said.certain THEN b.v.said.reason
                                     ELSE 'disputed: ' || b.v.said.reason END
                    WHEN 2 THEN b.v.said.reason || CASE WHEN b.v.said.certain THEN ''
                                                        ELSE ' (said with doubt)' END
                    WHEN 3 THEN 'same part number'
                    WHEN 4 THEN 'one parts-list line covers both'
                    WHEN 5 THEN 'same build'
                    WHEN 6 THEN 'said to be for every build'
                    WHEN 7 THEN 'the list gives one part for all builds'
                    WHEN 8 THEN 'build not stated'
                    ELSE 'nobody has said' END AS because
        FROM best b
    ),
    judged AS MATERIALIZED (
        SELECT lack, kind, fit,
               CASE WHEN fit = 'as-is' THEN 'correct'
                    WHEN fit IN ('one-way', 'with-work')
                    THEN CASE WHEN v.same_build THEN 'correct'
                              ELSE 'goes on, not correct for it' END
                    ELSE 'unknown' END AS correctness,
               list_position(['correct', 'goes on, not correct for it', 'unknown'], correctness)
                   * 10 + list_position(['as-is', 'one-way', 'with-work', 'only-as-a-set',
                                         'unknown', 'never'], fit) AS fit_order,
               concat_ws('; ', nullif(v.ask, ''), because) AS because,
               v.said.work AS work, v.said.companions AS companions, v.said.line AS line
        FROM fitted
    ),
    away AS (
        SELECT f.key AS from_place, t.key AS to_place,
               great_circle_km(t.latitude, t.longitude, f.latitude, f.longitude) AS km
        FROM places_as_of(day, known_now) t, places_as_of(day, known_now) f
        WHERE t.key IN (SELECT place_key FROM wanted)
    ),
    offers AS (
        SELECT j.* EXCLUDE (because, line), c.source, c.source_order, c.condition, c.quantity,
               c.place, a.km AS distance_km,
               concat_ws('; ', j.because, nullif(c.notes, ''),
                   array_to_string([printf('%g promised to %s', b.quantity,
                       CASE WHEN b.vehicle_id = w.vehicle_id THEN 'it' ELSE b.vehicle END)
                       FOR b IN c.to_whom], '; ')) AS reason,
               -- what is promised to this vehicle is kept for it, and for no other
               CASE WHEN j.fit = 'never'
                         OR list_sum([b.quantity FOR b IN c.to_whom
                                      IF b.vehicle_id IS DISTINCT FROM w.vehicle_id])
                            >= greatest(1, c.at_least) THEN 'not offered'
                    WHEN len([b FOR b IN c.to_whom IF b.vehicle_id = w.vehicle_id]) > 0
                         THEN 'offered'
                    ELSE c.standing END AS standing,
               c.vehicle_id IS NULL AND p.sort = 'consumable' AS old_stock,
               concat_ws(';', nullif(c.trace, ''), j.line) AS trace
        FROM judged j
        JOIN supply c USING (kind)
        JOIN wanted w USING (lack)
        JOIN part p ON p.part_id = c.part_id
        LEFT JOIN away a ON a.from_place = c.place_key AND a.to_place = w.place_key
        WHERE c.vehicle_id IS DISTINCT FROM w.vehicle_id
    ),
    -- What comes first, as one number that sorts: what is offered, what may fit, correctness and
    -- fit, condition, where from.
    ranked AS (
        SELECT * EXCLUDE (fit_order), row_number() OVER (
            PARTITION BY lack
            ORDER BY (standing = 'not offered')::INTEGER * 100000 + (fit = 'never')::INTEGER * 10000
                         + fit_order * 100 + condition_order(condition) * 10 + source_order,
                     distance_km NULLS LAST, source, trace) AS rank
        FROM offers
    )
    SELECT w.vehicle, w.part_id AS part, w.hand, w.position, w.state, w.quantity AS lacking,
           r.rank, r.standing, r.source,
           CASE r.source_order
                WHEN 1 THEN 'loose spare offered'
                WHEN 2 THEN 'surplus left over by a restoration'
                WHEN 3 THEN 'hulk being broken'
                WHEN 4 THEN 'incomplete hulk, if its owner agrees'
                WHEN 5 THEN 'loose, not known to be offered' END AS "from",
           r.fit, r.correctness,
           coalesce(r.reason, 'nobody in the club is known to have one'
               || CASE WHEN w.identity_bearing
                       THEN ' to give: it carries the identity of its vehicle' ELSE '' END)
               AS reason,
           r.work,
           CASE WHEN r.rank IS NOT NULL
                THEN nullif(concat_ws('; ', r.companions, w.goes_with), '') END AS companions,
           r.condition, r.quantity, r.place, r.distance_km,
           CASE WHEN r.old_stock
                THEN concat_ws('; ', w.caution, 'old stock is not thereby serviceable')
                ELSE w.caution END AS caution,
           concat_ws(';', w.trace, r.trace) AS trace
    FROM wanted w LEFT JOIN ranked r USING (lack)
    ORDER BY lack, r.rank;

-- Donors for some vehicles and parts (lists of ids; NULL = all) on a day.
CREATE OR REPLACE MACRO donors_as_of(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT * FROM donors_of(vehicle_ids, part_ids,
        (SELECT list(part_id) FROM candidate_parts(part_ids, day, known_now)),
        day, known_now, false);

-- Donors for everything that every vehicle lacks now.
CREATE OR REPLACE VIEW donors AS SELECT * FROM donors_of(NULL, NULL, NULL, NULL, false, false);

-- donors: where could each lacking item come from, and does it fit?

-- All offers for what parts are looked for on some vehicles (NULL = all). candidates is the list
-- that candidate_parts gives for part_ids, or NULL. show_all adds vehicles that nothing may be
-- taken from. closing: only what goes on, and is offered or may be asked for. The columns of
-- `donors`, and the chain and build, how many there are, and the lines of the offer alone.
CREATE OR REPLACE MACRO offers_for(vehicle_ids, part_ids, candidates, day, known_now, show_all,
                                   closing := false) AS TABLE
    WITH wanted AS MATERIALIZED (
        SELECT w.*, lower(w.family) AS of_family, p.handed, p.positions, p.identity_bearing,
               nullif(p.caution, '') AS caution,
               nullif(array_to_string(list_concat(coalesce(w.lines, []),
                   coalesce(w.survey_lines, [])), ';'), '') AS trace,
               row_number() OVER (ORDER BY w.vehicle, w.vehicle_id, w.assembly, w.part_id,
                   w.hand NULLS FIRST, w.position NULLS FIRST, w.state) AS lack,
               g.latitude, g.longitude
        FROM looked_for(vehicle_ids, part_ids, day, known_now) w
        JOIN part p ON p.part_id = w.part_id
        LEFT JOIN places_as_of(day, known_now) g ON g.key = w.place_key
    ),
    wanted_parts AS MATERIALIZED (
        SELECT list(DISTINCT part_id) AS ids FROM wanted WHERE NOT identity_bearing
    ),
    swaps AS MATERIALIZED (
        SELECT * FROM parts_in_chains((SELECT ids FROM wanted_parts), day, known_now)
        UNION
        SELECT on_part FROM hardware_kin(day, known_now)
        WHERE list_contains((SELECT ids FROM wanted_parts), for_part)
    ),
    mates AS MATERIALIZED (
        SELECT * FROM mates_of((SELECT list(part_id) FROM swaps), day, known_now)
    ),
    companions AS MATERIALIZED (
        SELECT * FROM companions_of((SELECT list(part_id) FROM swaps), day, known_now)
    ),
    looked_at AS MATERIALIZED (
        SELECT part_id FROM swaps UNION SELECT mate FROM mates
        UNION SELECT companion FROM companions
    ),
    stock AS MATERIALIZED (
        SELECT * FROM donor_stock(candidates, day, known_now, show_all)
        WHERE part_id IN (SELECT part_id FROM looked_at)
    ),
    -- Whether a candidate fits depends on its kind alone, and many are of one kind.
    supply AS MATERIALIZED (
        SELECT s.*, h.specification,
               hash(part_id, hand, position, family, for_all_builds, mark, phase, builds, number,
                    maker, numbers, lines, h.specification) AS kind
        FROM stock s
        LEFT JOIN (
            SELECT line_id, any_value(specification) AS specification
            FROM hardware_specifications(day, known_now) GROUP BY line_id
        ) h ON h.line_id = split_part(s.trace, ';', 1)
        WHERE part_id IN (SELECT part_id FROM swaps)
    ),
    kinds AS MATERIALIZED (
        SELECT kind, any_value(part_id) AS part_id, any_value(hand) AS hand,
               any_value(position) AS position, any_value(family) AS family,
               any_value(for_all_builds) AS for_all_builds,
               coalesce(any_value(builds),
                        [{'mark': any_value(mark), 'phase': any_value(phase)}]) AS builds,
               coalesce(any_value(numbers), CASE WHEN any_value(number) IS NOT NULL THEN
                   [{'number': any_value(number), 'maker': any_value(maker)}] END) AS numbers,
               any_value(lines) AS lines, any_value(specification) AS specification
        FROM supply
        GROUP BY kind
    ),
    -- What the specification of standard hardware tells; of several that are wanted the best.
    hardware AS MATERIALIZED (
        SELECT *, row_number() OVER (PARTITION BY lack, kind ORDER BY
                   list_position(['as-is', 'unknown', 'never'], fit), NOT decides, words) AS choice
        FROM (
            SELECT w.lack, k.kind, k.part_id AS on_part, s.words, v.fit, v.decides,
                   v.reason, count(DISTINCT s.specification) OVER (PARTITION BY w.lack, k.kind)
                       > 1 AS several
            FROM (SELECT lack, part_id, assembly,
                         unnest(CASE WHEN len(lines) > 0 THEN lines ELSE survey_lines END)
                             AS line_id
                  FROM wanted) w
            JOIN hardware_specifications(day, known_now) s ON s.line_id = w.line_id
            JOIN hardware_verdicts(day, known_now) v
              ON v.wanted = s.specification AND v.for_part = w.part_id
             AND v.duty = hardware_duty(w.assembly)
            JOIN kinds k ON k.specification = v.offered AND k.part_id = v.on_part
        )
        QUALIFY choice = 1
    ),
    fits AS MATERIALIZED (
        SELECT *, row_number() OVER (ORDER BY NOT is_never, NOT denied_outright, derived,
                   list_position(['as-is', 'one-way', 'with-work', 'only-as-a-set', 'unknown',
                                  'never'], grade), depth, lines, chain, reason, on_part,
                   on_hand NULLS FIRST, on_position NULLS FIRST) AS choice
        FROM fit_chains(
            (SELECT list({'target': lack, 'part_id': part_id, 'hand': hand, 'position': position,
                          'assembly': assembly, 'family': of_family, 'mark': mark, 'phase': phase,
                          'numbers': [number_of_maker(n.number, n.maker) FOR n IN numbers]})
             FROM wanted WHERE NOT identity_bearing),
            (SELECT list(DISTINCT k) FROM (
                SELECT unnest(list_concat(
                    [{'part_id': part_id, 'family': family, 'mark': b.mark, 'phase': b.phase,
                      'number': NULL} FOR b IN builds],
                    [{'part_id': part_id, 'family': NULL, 'mark': NULL, 'phase': NULL,
                      'number': number_of_maker(n.number, n.maker)} FOR n IN numbers])) AS k
                FROM kinds)),
            day, known_now)
    ),
    fits_of_nodes AS MATERIALIZED (
        SELECT *, concat_ws('|', coalesce(member.family, ''), coalesce(member.mark, ''),
                            coalesce(member.phase, ''), coalesce(member.number, '')) AS node
        FROM (SELECT *, unnest(members) AS member FROM fits)
    ),
    swapped AS (
        SELECT DISTINCT w.part_id AS for_part, f.on_part
        FROM fits f JOIN wanted w ON w.lack = f.target
        UNION
        SELECT part_id, part_id FROM wanted WHERE NOT identity_bearing
        UNION
        SELECT w.part_id, h.on_part FROM hardware h JOIN wanted w USING (lack)
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
               list_has_any(w.lines, c.lines) AS same_line, c.numbers
        FROM wanted w
        JOIN swapped s ON s.for_part = w.part_id
        JOIN kinds c ON c.part_id = s.on_part
        JOIN part p ON p.part_id = c.part_id
        WHERE NOT p.identity_bearing
    ),
    -- what is said, or follows, of a kind at one of its builds or by one of its numbers
    told AS (
        SELECT p.lack, p.kind, p.build,
               arg_min({'grade': f.grade, 'never': f.is_never AND NOT (f.number_back
                                                                      AND p.same_number),
                        'denied': f.denied_outright, 'derived': f.derived,
                        'reason': f.reason, 'against': f.denied,
                        'disputed': f.disputed, 'chain': f.chain, 'work': f.work,
                        'companions': f.companions, 'lines': f.lines,
                        'hand_told': f.on_hand = p.hand,
                        'position_told': f.on_position = p.position},
                       f.choice) AS fit
        FROM (
            SELECT *, unnest(list_append([concat('|||', number_of_maker(n.number, n.maker))
                                       FOR n IN coalesce(numbers, [])],
                       concat_ws('|', coalesce(family, ''), coalesce(p.build.mark, ''),
                                 coalesce(p.build.phase, ''), ''))) AS node
            FROM pairs p
        ) p
        JOIN fits_of_nodes f
          ON f.target = p.lack AND f.on_part = p.on_part AND f.node = p.node
         -- a hand that is not stated is asked about, but for what never goes with a stated one
         AND (f.on_hand IS NULL OR f.on_hand = p.hand
              OR (p.hand IS NULL AND NOT (f.is_never AND f.hand_told)))
         AND (f.on_position IS NULL OR f.on_position = p.position OR p.position IS NULL)
        GROUP BY p.lack, p.kind, p.build
    ),
    ruled AS (
        SELECT p.*, t.fit AS said,
               {'fit': CASE WHEN h.fit = 'never' AND p.same_number THEN 'unknown' ELSE h.fit END,
                'reason': CASE WHEN h.fit = 'never' AND p.same_number
                               THEN 'disputed: same part number, but ' ELSE '' END || h.reason
                          || CASE WHEN h.several THEN ' (wanted: ' || h.words || ')' ELSE '' END}
                   AS told_by_words,
               p.on_part = p.for_part AND p.family = p.want_family
                   AND p.build.mark = p.want_mark
                   AND p.build.phase IS NOT DISTINCT FROM p.want_phase AS same_build,
               CASE WHEN t.fit.never OR t.fit.denied THEN 1
                    WHEN t.fit IS NOT NULL AND NOT t.fit.derived
                         AND t.fit.grade <> 'never' THEN 2
                    WHEN h.decides THEN 2.5  -- the specification, where the words tell it
                    WHEN h.fit IS NOT NULL AND (p.same_number AND p.on_part = p.for_part) IS NOT TRUE
                    THEN 3.5
                    WHEN p.on_part <> p.for_part THEN CASE WHEN t.fit IS NOT NULL THEN 8 END
                    WHEN p.same_number THEN 3
                    WHEN p.same_line OR c.lack IS NOT NULL THEN 4
                    WHEN same_build THEN 5
                    WHEN p.for_all_builds AND p.family = p.want_family THEN 6
                    WHEN p.build.mark IS NULL AND p.list_for_all AND p.family = p.want_family
                         THEN 7
                    WHEN t.fit IS NOT NULL THEN 8
                    WHEN p.build.mark IS NULL THEN 9
                    ELSE 10 END AS rule
        FROM pairs p
        LEFT JOIN hardware h ON h.lack = p.lack AND h.kind = p.kind
        LEFT JOIN told t ON t.lack = p.lack AND t.kind = p.kind
                        AND t.build IS NOT DISTINCT FROM p.build
        LEFT JOIN covered c ON c.lack = p.lack AND c.family = p.family
                           AND c.mark = p.build.mark
                           AND c.phase IS NOT DISTINCT FROM p.build.phase
        WHERE (p.hand_agrees <> 'other' OR t.fit.hand_told)
          AND (p.position_agrees <> 'other' OR t.fit.position_told)
    ),
    best AS (
        SELECT lack, kind, any_value(on_part) AS part_id, arg_min({
            'rule': rule, 'said': said, 'same_build': same_build, 'words': told_by_words,
            'ask': concat_ws('; ',
                CASE WHEN hand_agrees = 'ask' THEN 'hand not stated: ask' END,
                CASE WHEN position_agrees = 'ask' THEN 'position not stated: ask' END)
        }, rule) AS v
        FROM ruled WHERE rule IS NOT NULL
        GROUP BY lack, kind
    ),
    fitted AS (
        SELECT b.lack, b.kind, b.part_id, b.v,
               CASE WHEN b.v.rule = 1 AND b.v.said.never THEN 'never'
                    WHEN b.v.rule = 1 OR b.v.ask <> '' THEN 'unknown'
                    WHEN b.v.rule IN (2.5, 3.5) THEN b.v.words.fit
                    WHEN b.v.rule IN (2, 8) THEN b.v.said.grade
                    WHEN b.v.rule <= 7 THEN 'as-is'
                    ELSE 'unknown' END AS fit,
               CASE WHEN b.v.rule = 1 AND b.v.said.never THEN b.v.said.reason
                    WHEN b.v.rule = 1 THEN 'disputed: ' || coalesce(b.v.said.against,
                                                                    b.v.said.reason)
                    WHEN b.v.rule IN (2, 8) THEN concat_ws('; ',
                        'disputed: ' || b.v.said.against,
                        CASE WHEN b.v.said.derived THEN 'derived: ' || b.v.said.chain END,
                        b.v.said.reason)
                    WHEN b.v.rule IN (2.5, 3.5) THEN b.v.words.reason
                    WHEN b.v.rule = 3 THEN 'same part number'
                    WHEN b.v.rule = 4 THEN 'one parts-list line covers both'
                    WHEN b.v.rule = 5 THEN 'same build'
                    WHEN b.v.rule = 6 THEN 'said to be for every build'
                    WHEN b.v.rule = 7 THEN 'the list gives one part for all builds'
                    WHEN b.v.rule = 9 THEN 'build not stated'
                    ELSE 'nobody has said' END AS because
        FROM best b
    ),
    judged AS MATERIALIZED (
        SELECT lack, kind, part_id, fit,
               CASE WHEN fit = 'as-is' THEN 'correct'
                    WHEN fit IN ('one-way', 'with-work')
                    THEN CASE WHEN v.same_build THEN 'correct'
                              ELSE 'goes on, not correct for it' END
                    ELSE 'unknown' END AS correctness,
               concat_ws('; ', nullif(v.ask, ''), because,
                   CASE WHEN v.rule IN (1, 2, 8) THEN 'but others say ' || v.said.disputed END)
                   AS because,
               CASE WHEN v.rule IN (1, 2, 8) THEN v.said END AS told
        FROM fitted
    ),
    -- who else has what must come with it
    held AS MATERIALIZED (
        SELECT part_id, who, vehicle_id, source, standing <> 'not offered' AS given,
               CASE standing WHEN 'offered' THEN source WHEN 'ask first' THEN source || ' (ask)'
                    ELSE concat(source, ' (', coalesce(nullif(notes, ''), 'not offered'), ')')
                    END AS said
        FROM stock
        WHERE part_id IN (SELECT mate FROM mates UNION SELECT companion FROM companions)
    ),
    companions_held AS (
        SELECT x.lack, x.kind, string_agg(concat(p.name, ': ', coalesce(h.said,
                   'nobody in the club is known to have one')), '; ' ORDER BY p.name) AS said
        FROM (
            SELECT DISTINCT j.lack, j.kind, w.vehicle_id, c.companion
            FROM judged j
            JOIN wanted w USING (lack)
            JOIN companions c
              ON (c.part_id = j.part_id AND c.said = '')
              OR (c.part_id = w.part_id
                  AND (c.said = '' OR contains(concat_ws('; ', j.told.companions, w.companions),
                                               c.said)))
            WHERE j.fit <> 'never'
        ) x
        JOIN part p ON p.part_id = x.companion
        LEFT JOIN LATERAL (
            SELECT string_agg(said, ', ' ORDER BY NOT given, said) AS said
            FROM (SELECT DISTINCT said, given FROM held o
                  WHERE o.part_id = x.companion AND o.vehicle_id IS DISTINCT FROM x.vehicle_id)
        ) h ON true
        GROUP BY x.lack, x.kind
    ),
    mates_held AS (
        SELECT j.lack, j.kind, s.who, bool_and(h.who IS NOT NULL) AS complete,
               string_agg(concat('mated: only with its ', p.name, ' from the same source, ',
                   CASE WHEN h.who IS NOT NULL THEN 'which has it'
                        ELSE 'which is not known to have it; never make a set of two' END),
                   '; ' ORDER BY p.name) AS said
        FROM judged j
        JOIN (SELECT DISTINCT kind, who FROM supply) s USING (kind)
        JOIN mates m ON m.part_id = j.part_id
        JOIN part p ON p.part_id = m.mate
        LEFT JOIN (SELECT DISTINCT part_id, who FROM held WHERE given) h
          ON h.part_id = m.mate AND h.who = s.who
        WHERE j.fit <> 'never'
        GROUP BY j.lack, j.kind, s.who
    ),
    away AS (FROM distances(day, known_now) WHERE to_place IN (SELECT place_key FROM wanted)),
    offers AS (
        SELECT j.lack, c.source, c.source_order, c.condition, c.quantity, c.at_least, c.place,
               c.trace AS offered_lines,
               a.km AS distance_km,
               CASE WHEN m.complete AND j.fit IN ('as-is', 'one-way', 'with-work')
                    THEN 'only-as-a-set'
                    WHEN NOT m.complete THEN 'unknown' ELSE j.fit END AS fit,
               CASE WHEN NOT m.complete THEN 'unknown' ELSE j.correctness END AS correctness,
               list_position(['correct', 'goes on, not correct for it', 'unknown'], correctness)
                   * 10 + list_position(['as-is', 'one-way', 'with-work', 'only-as-a-set',
                                         'unknown', 'never'], fit) AS fit_order,
               j.told.work AS work,
               concat_ws('; ', j.told.companions, m.said, o.said) AS companions,
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
                    WHEN NOT m.complete AND c.standing = 'offered' THEN 'ask first'
                    ELSE c.standing END AS standing,
               c.vehicle_id IS NULL AND p.sort = 'consumable' AS old_stock,
               concat_ws(';', nullif(c.trace, ''), nullif(array_to_string(j.told.lines, ';'), ''))
                   AS trace,
               CASE WHEN NOT j.told.never THEN j.told.chain END AS chain
        FROM judged j
        JOIN supply c USING (kind)
        JOIN wanted w USING (lack)
        JOIN part p ON p.part_id = c.part_id
        LEFT JOIN away a ON a.from_place = c.place_key AND a.to_place = w.place_key
        LEFT JOIN mates_held m ON m.lack = j.lack AND m.kind = j.kind AND m.who = c.who
        LEFT JOIN companions_held o ON o.lack = j.lack AND o.kind = j.kind
        WHERE c.vehicle_id IS DISTINCT FROM w.vehicle_id
          AND (NOT closing OR (j.fit NOT IN ('unknown', 'never') AND c.standing <> 'not offered'))
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
           where_from(r.source_order) AS "from",
           r.fit, r.correctness,
           concat_ws('; ',
               CASE w.went_with.seen WHEN 'missing' THEN 'part of the missing ' || g.name
                                     WHEN 'stand-in' THEN concat('part of the ', g.name,
                                                                 ' that has a stand-in') END,
               coalesce(r.reason, 'nobody in the club is known to have one'
                   || CASE WHEN w.identity_bearing
                           THEN ' to give: it carries the identity of its vehicle' ELSE '' END))
               AS reason,
           r.work,
           CASE WHEN r.rank IS NOT NULL
                THEN nullif(concat_ws('; ', w.companions, nullif(r.companions, '')), '')
                END AS companions,
           r.condition, r.quantity, r.place, r.distance_km,
           CASE WHEN r.old_stock
                THEN concat_ws('; ', w.caution, 'old stock is not thereby serviceable')
                ELSE w.caution END AS caution,
           concat_ws(';', w.trace, r.trace) AS trace, r.chain, w.build, w.lack, r.at_least,
           r.offered_lines
    FROM wanted w
    LEFT JOIN ranked r USING (lack)
    LEFT JOIN part g ON g.part_id = w.went_with.part_id;

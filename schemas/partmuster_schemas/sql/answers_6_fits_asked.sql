-- fits and explain: what can serve for a part there, and why or why not?

-- Where lines of any kind stand, with their words.
CREATE OR REPLACE MACRO places_of_said(line_ids) AS TABLE
    SELECT line_id, concat(concat_ws(', ', file, sheet, 'page ' || page, 'row ' || row,
                                     'column ' || "column"), ': ', words) AS said_at
    FROM line_address WHERE line_id IN (SELECT unnest(line_ids));

-- What can serve for the targets of some parts (see fit_targets), best first: what the parts list has
-- there, then what statements say or what follows from them, then what never goes.
CREATE OR REPLACE MACRO fits_of(part_ids, day, known_now) AS TABLE
    WITH targets AS MATERIALIZED (SELECT * FROM fit_targets(part_ids, day, known_now)),
    chains AS MATERIALIZED (SELECT * FROM chains_of_targets(part_ids, day, known_now)),
    families AS MATERIALIZED (SELECT * FROM family_names(day, known_now)),
    said_for AS (
        SELECT t.target, array_to_string(list_sort(list_distinct(list(
                   CASE WHEN r.all_builds THEN f.name
                        ELSE coalesce(node_words(f.name, e.mark, e.phase, NULL),
                                      concat_ws(' ', f.name, r.effectivity_text)) END))), ', ')
                   AS builds,
               array_to_string(list_sort(list_distinct(list(r.part_number))), ', ') AS numbers
        FROM (SELECT target, unnest(lines) AS line_id FROM targets) t
        JOIN requirement_as_of(day, known_now) r USING (line_id)
        LEFT JOIN effectivity e
          ON e.line_id = r.line_id AND e.revision = r.revision AND NOT r.all_builds
        LEFT JOIN families f ON f.family = lower(r.family)
        GROUP BY t.target
    ),
    found AS (
        SELECT t.target, t.part_id AS on_part, t.hand AS on_hand, t.position AS on_position,
               s.builds AS build, 'as-is' AS fit, 'correct' AS correctness, false AS derived,
               concat_ws(': ', 'the parts list has it for this build', s.numbers) AS reason,
               list_sort(t.lines) AS lines, 0 AS depth
        FROM targets t JOIN said_for s USING (target)
        UNION ALL BY NAME
        SELECT c.target, c.on_part, c.on_hand, c.on_position,
               coalesce(node_words(f.name, c.widest.mark, c.widest.phase, c.widest.number),
                        'any build') AS build,
               c.grade AS fit,
               CASE WHEN c.grade = 'as-is' THEN 'correct'
                    WHEN c.grade IN ('one-way', 'with-work')
                    THEN CASE WHEN c.on_part = t.part_id AND list_contains(c.members, {
                                   'family': t.family, 'mark': t.mark, 'phase': t.phase,
                                   'number': NULL}) AND t.mark IS NOT NULL THEN 'correct'
                              ELSE 'goes on, not correct for it' END
                    ELSE 'unknown' END AS correctness,
               c.derived, CASE WHEN NOT c.is_never THEN c.chain END AS chain, c.work, c.alters,
               c.can_be_undone, c.companions, c.reason, c.disputed, c.lines, c.depth
        FROM chains c
        JOIN targets t USING (target)
        LEFT JOIN families f ON f.family = c.widest.family
        -- each family has a row of its own beside a mark of no family
        WHERE c.widest.family IS NOT NULL OR coalesce(c.widest.mark, c.widest.phase) IS NULL
           OR NOT EXISTS (FROM families)
    ),
    places AS (
        SELECT * FROM places_of_said((SELECT list_distinct(flatten(list(lines))) FROM found))
    ),
    sources AS (
        SELECT lines, string_agg(p.said_at, '; ' ORDER BY list_position(lines, line_id)) AS said_at
        FROM (SELECT DISTINCT lines, unnest(lines) AS line_id FROM found) JOIN places p USING (line_id)
        GROUP BY lines
    )
    SELECT t.part_id AS for_part, t.hand AS for_hand, t.position AS for_position,
           node_words(g.name, t.mark, t.phase, NULL) AS for_build, f.on_part AS part,
           f.on_hand AS hand, f.on_position AS position, f.build, f.fit, f.correctness, f.derived,
           f.chain, f.work, f.alters, f.can_be_undone, f.companions, f.reason, f.disputed,
           s.said_at AS sources, nullif(p.caution, '') AS caution,
           array_to_string(f.lines, ';') AS trace
    FROM found f
    JOIN targets t USING (target)
    JOIN part p ON p.part_id = t.part_id
    LEFT JOIN families g ON g.family = t.family
    LEFT JOIN sources s ON s.lines = f.lines
    ORDER BY t.part_id, t.hand NULLS FIRST, t.position NULLS FIRST, t.target, f.fit = 'never',
             list_position(['correct', 'goes on, not correct for it', 'unknown'], f.correctness),
             list_position(['as-is', 'one-way', 'with-work', 'only-as-a-set', 'unknown', 'never'],
                           f.fit), f.depth, f.on_part, f.build, f.on_hand;

-- The items of some vehicles and parts whatever their state, for `explain`: one row an item.
CREATE OR REPLACE MACRO items_asked_about(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT *, CASE WHEN state = 'gone-with-it' THEN root END AS went_with
    FROM lack_items(vehicle_ids, part_ids, day, known_now)
    QUALIFY row_number() OVER (PARTITION BY vehicle_id, assembly, part_id, hand, position
                               ORDER BY NOT lacking, state) = 1;

-- Why yes, and why no: each holding of what may serve for some parts on some vehicles, and each
-- statement that is about no holding. Takes what looked_for and fit_targets give.
CREATE OR REPLACE MACRO explain_of(vehicle_ids, part_ids, candidates, day, known_now) AS TABLE
    WITH offers AS MATERIALIZED (
        SELECT *, string_split(trace, ';') AS lines
        FROM offers_for(vehicle_ids, part_ids, candidates, day, known_now, true)
    ),
    said AS MATERIALIZED (
        SELECT *, string_split(trace, ';') AS lines FROM fits_of(part_ids, day, known_now)
        WHERE reason IS NULL OR NOT starts_with(reason, 'the parts list has it')
    ),
    rows AS (
        SELECT part, hand, position, build, source AS "from", coalesce(fit, 'unknown') AS verdict,
               correctness, standing, chain, reason AS why, work, companions, lines, lack AS place,
               rank
        FROM offers
        UNION ALL BY NAME
        SELECT s.for_part AS part, s.for_hand AS hand, s.for_position AS position,
               coalesce((SELECT any_value(o.build) FROM offers o
                         WHERE o.part = s.for_part
                           AND o.hand IS NOT DISTINCT FROM s.for_hand
                           AND o.position IS NOT DISTINCT FROM s.for_position),
                        s.for_build) AS build,
               concat_ws(' ', 'any', s.hand, CASE WHEN s.part <> s.for_part THEN p.name END,
                         CASE WHEN s.build <> 'any build' THEN s.build END) AS "from",
               s.fit AS verdict, s.correctness, s.chain, concat_ws('; ',
                   CASE WHEN s.derived THEN 'derived' END, s.reason,
                   'but others say ' || s.disputed) AS why,
               s.work, s.companions, s.lines, 1000000 AS place, row_number() OVER () AS rank
        FROM said s
        JOIN part p ON p.part_id = s.part
        WHERE NOT EXISTS (
            FROM offers o
            WHERE o.part = s.for_part AND o.hand IS NOT DISTINCT FROM s.for_hand
              AND list_has_all(o.lines, s.lines))
    ),
    places AS (
        SELECT * FROM places_of_said((SELECT list_distinct(flatten(list(lines))) FROM rows))
    ),
    sources AS (
        SELECT lines, string_agg(p.said_at, '; ' ORDER BY list_position(lines, line_id)) AS said_at
        FROM (SELECT DISTINCT lines, unnest(lines) AS line_id FROM rows) JOIN places p USING (line_id)
        GROUP BY lines
    )
    SELECT r.part, r.hand, r.position, r.build, r."from", r.verdict, r.correctness, r.standing,
           r.chain, r.why, r.work, r.companions, s.said_at AS sources,
           nullif(p.caution, '') AS caution, array_to_string(r.lines, ';') AS trace
    FROM rows r
    JOIN part p ON p.part_id = r.part
    LEFT JOIN sources s USING (lines)
    ORDER BY r.place, r.rank NULLS FIRST;

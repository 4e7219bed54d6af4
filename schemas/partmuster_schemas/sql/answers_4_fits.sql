-- fits: what can serve in place of what, along chains of statements?

-- A build as a chain shows it: "Otter Mk 2 late", a number, or both empty for any build.
CREATE OR REPLACE MACRO node_words(of_family, of_mark, of_phase, of_number) AS
    nullif(concat_ws(' ', of_number, of_family, of_mark, of_phase), '');

-- What can serve, or never serves, for some targets, from statements and chains of them.
--
-- `targets` is a list of {target, part_id, hand, position, assembly, family, mark, phase, numbers},
-- `kinds` one of {part_id, family, mark, phase, number} of which it shall be told whether they serve.
--
-- A node is a part at a build or with a number. Nodes of which the same sides of statements speak
-- are one class, so that a statement about a whole range stands for each build in it at the cost of
-- one; `members` are the nodes of the class, and the widest of them gives it its name.
--
-- From each target the walk goes backwards, the shortest chains first, over the statement that
-- counts most of each two classes. A chain keeps its hand and position (`hand` and `position` are
-- what is wanted, '' for any) unless a statement names both. It ends where a sure `never` speaks of
-- its source and of the target or any part on the way (`hits` are the nevers that its parts so far
-- are wanted by), and where something sure is said of source and target themselves. Of chains to one
-- class those are kept that another does not beat in everything that makes them worse.
CREATE OR REPLACE MACRO fit_chains(targets, kinds, day, known_now) AS TABLE
    WITH RECURSIVE
    wanted AS MATERIALIZED (SELECT t.* FROM (SELECT unnest(targets) AS t)),
    all_said AS MATERIALIZED (SELECT * FROM statements_by_side(day, known_now)),
    reached(part_id) AS (
        SELECT DISTINCT part_id FROM wanted
        UNION
        SELECT s.on_part FROM reached r JOIN all_said s ON s.for_part = r.part_id
    ),
    said AS MATERIALIZED (
        SELECT s.* FROM all_said s SEMI JOIN reached r ON r.part_id = s.for_part
    ),
    sides AS MATERIALIZED (
        SELECT DISTINCT on_side AS side, on_part AS part_id, on_family AS family,
               on_mark AS mark, on_phase AS phase, on_number AS number
        FROM said
        UNION
        SELECT DISTINCT for_side, for_part, for_family, for_mark, for_phase, for_number FROM said
    ),
    nodes AS (
        SELECT part_id, nullif(family, '') AS family, mark, phase, number FROM sides
        UNION
        SELECT part_id, family, mark, phase, NULL FROM wanted
        UNION
        SELECT part_id, NULL, NULL, NULL, unnest(numbers) FROM wanted
        UNION
        SELECT k.* FROM (
            SELECT k.part_id, k.family, k.mark, k.phase, k.number FROM (SELECT unnest(kinds) AS k)
        ) k SEMI JOIN sides USING (part_id)
        UNION
        SELECT s.part_id, b.family, b.mark, b.phase, NULL
        FROM (SELECT DISTINCT part_id, family FROM sides WHERE number IS NULL) s
        JOIN known_builds(day, known_now) b ON b.family = s.family
    ),
    spoken_of AS MATERIALIZED (
        -- 'side?': it may be that number, but one of the two states no maker
        SELECT n.part_id, n.family, n.mark, n.phase, n.number,
               list_sort(list(s.side || CASE WHEN s.number <> n.number THEN '?' ELSE '' END))
                   AS by_sides
        FROM nodes n
        JOIN sides s ON s.part_id = n.part_id
         AND (s.number IS NULL OR s.number = n.number OR s.number = number_alone(n.number)
              OR number_alone(s.number) = n.number)
         AND (s.family IS NULL OR s.family = coalesce(n.family, ''))
         AND (s.mark IS NULL OR s.mark = n.mark)
         AND (s.phase IS NULL OR s.phase = n.phase)
        GROUP BY ALL
    ),
    classed AS MATERIALIZED (
        SELECT *, dense_rank() OVER (ORDER BY part_id, by_sides) AS class FROM spoken_of
    ),
    class_sides AS MATERIALIZED (
        SELECT class, rtrim(said_side, '?') AS side, ends_with(said_side, '?') AS doubted
        FROM (SELECT class, unnest(any_value(by_sides)) AS said_side FROM classed GROUP BY class)
    ),
    nevers AS (
        SELECT on_side, for_side, {'said': choice, 'certain': certain, 'on_hand': on_hand,
               'on_position': on_position, 'for_hand': for_hand, 'for_position': for_position,
               'assembly': CASE WHEN on_part = for_part THEN assembly END} AS never
        FROM said WHERE grade = 'never' AND NOT backwards
    ),
    classes AS MATERIALIZED (
        SELECT c.*, coalesce(n.nevers, []) AS on_nevers, coalesce(w.nevers, []) AS for_nevers,
               p.handed = 'handed' AS has_hand, p.positions, p.name
        FROM (
            SELECT class, any_value(part_id) AS part_id,
                   list({'family': family, 'mark': mark, 'phase': phase, 'number': number}
                        ORDER BY family NULLS FIRST, mark NULLS FIRST, phase NULLS FIRST, number)
                       AS members,
                   arg_min({'family': family, 'mark': mark, 'phase': phase, 'number': number},
                           concat((number IS NOT NULL)::INTEGER, (family IS NOT NULL)::INTEGER
                                  + (mark IS NOT NULL)::INTEGER + (phase IS NOT NULL)::INTEGER,
                                  family, mark, phase, number)) AS widest
            FROM classed GROUP BY class
        ) c
        JOIN part p USING (part_id)
        LEFT JOIN (SELECT class, list(never ORDER BY never.said) AS nevers FROM nevers
                   JOIN class_sides ON side = on_side AND NOT doubted GROUP BY class) n
               USING (class)
        LEFT JOIN (SELECT class, list(never ORDER BY never.said) AS nevers FROM nevers
                   JOIN class_sides ON side = for_side AND NOT doubted GROUP BY class) w
               USING (class)
    ),
    pairs AS MATERIALIZED (
        SELECT s.choice, o.class AS on_class, f.class AS for_class, s.grade,
               s.certain AND NOT (o.doubted OR f.doubted) AS certain, s.backwards,
               s.by_list, s.on_hand, s.for_hand, s.on_position, s.for_position, s.line_id,
               CASE WHEN s.on_part = s.for_part THEN s.assembly END AS assembly
        FROM said s
        JOIN class_sides o ON o.side = s.on_side
        JOIN class_sides f ON f.side = s.for_side
    ),
    -- a target may be of several classes: by its build, and by each number
    starts AS MATERIALIZED (
        SELECT w.target, w.assembly, coalesce(w.hand, '') AS hand,
               coalesce(w.position, '') AS position, c.class, k.for_nevers
        FROM wanted w
        JOIN classed c ON c.part_id = w.part_id
         AND (list_contains(w.numbers, c.number)
              OR (c.number IS NULL AND c.family IS NOT DISTINCT FROM w.family
                  AND c.mark IS NOT DISTINCT FROM w.mark
                  AND c.phase IS NOT DISTINCT FROM w.phase))
        JOIN classes k ON k.class = c.class
    ),
    wanted_by AS (
        SELECT target, any_value(assembly) AS assembly,
               list(DISTINCT concat_ws('|', class, hand, position)) AS path,
               list_sort(list_distinct([n.said FOR n IN flatten(list(for_nevers))
                   IF (n.for_hand IS NULL OR n.for_hand = any_value(hand))
                  AND (n.for_position IS NULL OR n.for_position = any_value(position))
                  AND (n.assembly IS NULL OR any_value(assembly) IS NULL
                       OR n.assembly = any_value(assembly))])) AS hits
        FROM starts GROUP BY target
    ),
    walk USING KEY (target, class, hand, position, one_way, works, is_set, doubt, hit) AS (
        SELECT s.target, s.class, s.hand, s.position, false AS one_way, 0 AS works,
               false AS is_set, 0 AS doubt, b.hits::VARCHAR AS hit, b.hits, b.hits AS first_hits,
               b.path, b.assembly, s.class AS start,
               len(b.path) AS starts, CAST([] AS BIGINT[]) AS links, CAST([] AS INTEGER[]) AS by_class,
               CAST([] AS BIGINT[]) AS against, 0 AS depth, 'link' AS verdict, true AS goes_on
        FROM (SELECT DISTINCT target, class, hand, position FROM starts) s
        JOIN wanted_by b USING (target)
        UNION
        SELECT target, class, hand, position, one_way, works, is_set, doubt, hit, r.*
        FROM (
            SELECT target, class, hand, position, one_way, works, is_set, doubt, hit,
                   arg_min({'hits': hits, 'first_hits': first_hits, 'path': path,
                            'assembly': assembly, 'start': start, 'starts': starts,
                            'links': links, 'by_class': by_class,
                            'against': against, 'depth': depth, 'verdict': verdict,
                            'goes_on': goes_on}, (links, by_class, path, start, against)) AS r
            FROM (
                -- what is said of two nodes themselves stays beside every chain
                SELECT * REPLACE (concat((depth = 1)::INTEGER, hits::VARCHAR) AS hit) FROM (
                    SELECT x.target, x.class, x.hand, x.position,
                           x.one_way OR coalesce(x.link.grade = 'one-way', false) AS one_way,
                           least(2, x.works + coalesce(x.link.grade = 'with-work', false)::INTEGER)
                               AS works,
                           x.is_set OR coalesce(x.link.grade = 'only-as-a-set', false) AS is_set,
                           greatest(x.doubt, CASE WHEN len(x.met) > 0 THEN 2
                                                  WHEN NOT x.link.certain THEN 1
                                                  ELSE 0 END) AS doubt,
                           '' AS hit,
                           list_sort(list_distinct(list_concat(x.hits,
                               [n.said FOR n IN x.for_nevers
                                IF (n.for_hand IS NULL OR n.for_hand = x.hand)
                               AND (n.for_position IS NULL OR n.for_position = x.position)])))
                               AS hits,
                           x.first_hits, list_append(x.path, x.place) AS path, x.assembly, x.start,
                           x.starts,
                           list_append(x.links, coalesce(
                               CASE WHEN x.never THEN coalesce(x.met_surely[1].said, x.best.choice)
                               END, x.link.choice, x.best.choice)) AS links,
                           list_append(x.by_class, x.class::INTEGER) AS by_class,
                           list_concat(x.against, [n.said FOR n IN x.met]) AS against,
                           x.depth,
                           CASE WHEN x.never THEN 'never' WHEN x.link IS NULL THEN 'open'
                                ELSE 'link' END AS verdict,
                           NOT x.never AND x.link IS NOT NULL
                               AND NOT list_contains(x.path, x.place) AS goes_on
                    FROM (
                        SELECT g.*, k.for_nevers, concat_ws('|', g.class, g.hand, g.position)
                                   AS place,
                               [n FOR n IN k.on_nevers IF list_contains(g.hits, n.said)
                                AND (n.on_hand IS NULL OR n.on_hand = g.hand)
                                AND (n.on_position IS NULL OR n.on_position = g.position)]
                                   AS met_all,
                               [n FOR n IN met_all IF n.certain] AS met_surely,
                               [n FOR n IN met_all IF NOT n.certain] AS met,
                               len(met_surely) > 0 OR (g.best.grade = 'never' AND g.best.certain)
                                   AS never
                        FROM (
                            SELECT w.target, p.on_class AS class, w.class AS from_class,
                                   w.hand AS from_hand, w.position AS from_position,
                                   CASE WHEN p.on_hand IS NOT NULL THEN p.on_hand
                                        WHEN w.hand <> '' THEN w.hand
                                        ELSE coalesce(p.for_hand, '') END AS hand,
                                   CASE WHEN p.on_position IS NOT NULL THEN p.on_position
                                        WHEN w.position <> '' THEN w.position
                                        ELSE coalesce(p.for_position, '') END AS position,
                                   w.one_way, w.works, w.is_set, w.doubt, w.hit,
                                   any_value(w.hits) AS hits,
                                   any_value(w.first_hits) AS first_hits,
                                   any_value(w.path) AS path, any_value(w.assembly) AS assembly,
                                   any_value(w.start) AS start,
                                   any_value(w.starts) AS starts,
                                   any_value(w.links) AS links,
                                   any_value(w.by_class) AS by_class,
                                   any_value(w.against) AS against,
                                   any_value(w.depth) + 1 AS depth,
                                   arg_min({'choice': p.choice, 'grade': p.grade,
                                            'certain': p.certain}, p.choice) AS best,
                                   arg_min({'choice': p.choice, 'grade': p.grade,
                                            'certain': p.certain}, p.choice)
                                       FILTER (p.grade NOT IN ('never', 'unknown')) AS link
                            FROM walk w
                            JOIN pairs p ON p.for_class = w.class
                             AND (p.for_hand IS NULL OR p.for_hand = w.hand
                                  OR (w.hand = '' AND p.grade <> 'never'))
                             AND (p.on_hand IS NULL OR p.for_hand IS NOT NULL
                                  OR w.hand IN ('', p.on_hand))
                             AND (p.for_position IS NULL OR p.for_position = w.position
                                  OR (w.position = '' AND p.grade <> 'never'))
                             AND (p.on_position IS NULL OR p.for_position IS NOT NULL
                                  OR w.position IN ('', p.on_position))
                             AND (p.assembly IS NULL OR w.assembly IS NULL
                                  OR p.assembly = w.assembly)
                            WHERE w.goes_on AND w.depth < 8
                            GROUP BY ALL
                        ) g
                        JOIN classes k ON k.class = g.class
                    ) x
                    WHERE x.depth = 1
                       OR (x.link IS NOT NULL AND NOT x.never
                           -- back in its own class it serves for the other builds there
                           AND coalesce(list_position(x.path, x.place), 0) <= x.starts)
                )
            ) n
            ANTI JOIN recurring.walk r
              ON r.target = n.target AND r.class = n.class AND r.hand = n.hand
             AND r.position = n.position AND r.depth > 0
             AND ((r.depth = 1 AND (r.verdict = 'never'
                                    OR (r.verdict = 'link' AND r.doubt = 0)))
                  OR (r.verdict = 'link' AND r.one_way <= n.one_way AND r.works <= n.works
                      AND r.is_set <= n.is_set AND r.doubt <= n.doubt
                      AND list_has_all(n.hits, r.hits)))
            GROUP BY ALL
        )
    ),
    graded AS (
        SELECT *, CASE WHEN verdict = 'never' THEN 'never'
                       WHEN verdict = 'open' OR works > 1 OR doubt = 2
                            OR (doubt = 1 AND depth > 1) THEN 'unknown'
                       WHEN is_set THEN 'only-as-a-set'
                       WHEN works = 1 THEN 'with-work'
                       WHEN one_way THEN 'one-way'
                       ELSE 'as-is' END AS grade
        FROM walk WHERE depth > 0
    ),
    -- the best, and what is said of the target's own class where a better chain leads back to it
    counted AS MATERIALIZED (
        SELECT *, row_number() OVER () AS chain_id FROM (
            SELECT *, row_number() OVER best_first > 1 AS of_itself FROM graded
            WINDOW best_first AS (
                PARTITION BY target, class, hand, position
                ORDER BY verdict <> 'never', grade = 'unknown', verdict = 'open', doubt,
                         list_position(['as-is', 'one-way', 'with-work', 'only-as-a-set',
                                        'unknown', 'never'], grade), depth, links,
                         by_class, path, start, against
                ROWS UNBOUNDED PRECEDING)
            QUALIFY NOT of_itself
                 OR (depth = 1 AND list_contains(path[:starts], path[starts + 1])
                     AND count(*) FILTER (depth = 1) OVER best_first = 1)
        )
    ),
    links AS MATERIALIZED (
        SELECT chain_id, place, links[place] AS choice, by_class[place] AS on_class,
               CASE WHEN place > 1 THEN by_class[place - 1] ELSE start END AS for_class
        FROM (SELECT *, unnest(range(1, len(links) + 1)) AS place FROM counted)
    ),
    -- what else is said of a link: statements of another grade about the same two classes
    besides AS (
        SELECT DISTINCT l.chain_id, q.choice
        FROM links l
        JOIN pairs s ON s.choice = l.choice AND s.on_class = l.on_class
                    AND s.for_class = l.for_class
        JOIN pairs q ON q.on_class = s.on_class AND q.for_class = s.for_class
         AND q.grade <> s.grade AND q.line_id <> s.line_id
         AND NOT (q.by_list OR s.by_list) AND q.grade <> 'unknown'
         AND (q.on_hand IS NULL OR s.on_hand IS NULL OR q.on_hand = s.on_hand)
         AND (q.for_hand IS NULL OR s.for_hand IS NULL OR q.for_hand = s.for_hand)
         AND (q.on_position IS NULL OR s.on_position IS NULL OR q.on_position = s.on_position)
         AND (q.for_position IS NULL OR s.for_position IS NULL
              OR q.for_position = s.for_position)
        WHERE NOT (s.grade = 'never' AND s.backwards AND q.backwards)
    ),
    speakers AS MATERIALIZED (
        SELECT s.choice, s.line_id, s.grade, s.certain, s.by_list, s.on_hand, s.for_hand,
               coalesce(s.on_number, s.for_number) IS NOT NULL AND s.backwards AS number_back,
               coalesce(s.reason, s.words) AS why, s.work, s.alters, s.can_be_undone, s.companions,
               concat(s.grade, ': ', coalesce(s.reason, s.words),
                      ' (' || coalesce(s.said_by, v.name) || ')') AS said_so
        FROM said s
        LEFT JOIN (SELECT source_id, arg_max(name, version) AS name FROM source_version
                   GROUP BY source_id) v USING (source_id)
    ),
    said_of_links AS (
        SELECT l.chain_id,
               string_agg(s.why, '; ' ORDER BY l.place DESC) AS why,
               string_agg(s.work, '; ' ORDER BY l.place DESC) AS work,
               string_agg(s.companions, '; ' ORDER BY l.place DESC) AS companions,
               list(s.alters) FILTER (s.grade = 'with-work') AS altered,
               bool_and(coalesce(s.can_be_undone, true)) FILTER (s.grade = 'with-work')
                   AND (bool_and(s.can_be_undone IS NOT NULL) FILTER (s.grade = 'with-work')
                        OR NULL) AS all_undone,
               bool_or(s.can_be_undone = false) AS not_undone,
               list(s.line_id ORDER BY l.place DESC) AS lines,
               bool_or(s.by_list) AS by_list, bool_or(s.number_back) AS number_back,
               bool_or(s.on_hand IS NOT NULL AND s.for_hand IS NOT NULL) AS hand_told,
               bool_or(s.on_hand IS NOT NULL) AS on_hand_told
        FROM links l JOIN speakers s USING (choice)
        GROUP BY l.chain_id
    ),
    disputes AS (
        SELECT a.chain_id, string_agg(s.said_so, '; ' ORDER BY a.choice) AS said_so,
               string_agg(s.why, '; ' ORDER BY a.choice) FILTER (a.denies) AS denied,
               list(s.line_id ORDER BY a.choice) AS lines
        FROM (
            SELECT chain_id, choice, bool_or(denies) AS denies FROM (
                SELECT chain_id, unnest(against) AS choice, true AS denies FROM counted
                UNION ALL
                SELECT chain_id, choice, false FROM besides
            ) GROUP BY ALL
        ) a JOIN speakers s USING (choice)
        GROUP BY a.chain_id
    ),
    spelt AS (
        SELECT c.*, t.part_id AS for_part, list_append(list_reverse(c.by_class), c.start) AS nodes,
               -- no chain leads from what is wanted to itself
               [m FOR m IN k.members IF (c.depth = 1 AND NOT c.of_itself) OR c.of_itself = (
                   k.part_id = w.part_id AND c.hand = coalesce(w.hand, '')
                   AND c.position = coalesce(w.position, '')
                   AND (coalesce(list_contains(w.numbers, m.number), false)
                        OR (m.mark IS NOT NULL AND m.mark IS NOT DISTINCT FROM w.mark
                            AND m.family IS NOT DISTINCT FROM w.family
                            AND m.phase IS NOT DISTINCT FROM w.phase)))] AS members
        FROM counted c
        JOIN classes t ON t.class = c.start
        JOIN classes k ON k.class = c.class
        JOIN wanted w ON w.target = c.target
    ),
    worded AS (
        SELECT s.chain_id, string_agg(
                   coalesce(nullif(concat_ws(' ',
                       CASE WHEN k.part_id <> s.for_part THEN k.name END,
                       node_words(f.name, k.widest.mark, k.widest.phase, k.widest.number)), ''),
                       'any build'), ' > ' ORDER BY s.place) AS chain
        FROM (SELECT chain_id, for_part, nodes, unnest(range(1, len(nodes) + 1)) AS place
              FROM spelt) s
        JOIN classes k ON k.class = s.nodes[s.place]
        LEFT JOIN family_names(day, known_now) f ON f.family = k.widest.family
        GROUP BY s.chain_id
    )
    SELECT s.target, k.part_id AS on_part,
           CASE WHEN k.has_hand AND (s.verdict <> 'never' OR l.on_hand_told OR s.hand <> '')
                THEN nullif(s.hand, '') END AS on_hand,
           item_position(nullif(s.position, ''), k.positions) AS on_position,
           CASE WHEN s.of_itself THEN s.members[1] ELSE k.widest END AS widest, s.members, s.class,
           s.grade, s.depth > 1 OR l.by_list AS derived, w.chain,
           l.work,
           CASE WHEN list_contains(l.altered, 'both')
                     OR (list_contains(l.altered, 'part') AND list_contains(l.altered, 'vehicle'))
                THEN 'both'
                WHEN len(list_distinct(l.altered)) = 1 AND len(l.altered) = s.works
                THEN l.altered[1]
                WHEN list_contains(l.altered, 'vehicle') THEN 'vehicle'
                WHEN list_contains(l.altered, 'part') THEN 'part' END AS alters,
           CASE WHEN l.not_undone THEN false ELSE l.all_undone END AS can_be_undone,
           l.companions,
           concat_ws('; ', CASE WHEN s.works > 1 THEN 'more than one link with work' END,
               l.why || CASE WHEN s.doubt = 1 AND s.verdict = 'link'
                             THEN ' (said with doubt)' ELSE '' END) AS reason,
           d.said_so AS disputed, d.denied,
           -- hedged nevers about source and target themselves
           list_has_any(s.against, s.first_hits)
               OR (s.verdict = 'open' AND d.denied IS NOT NULL) AS denied_outright,
           [e FOR e, i IN list_concat(l.lines, coalesce(d.lines, []))
            IF list_position(list_concat(l.lines, coalesce(d.lines, [])), e) = i] AS lines,
           l.hand_told, l.number_back, s.verdict = 'never' AS is_never, s.doubt, s.depth
    FROM spelt s
    JOIN classes k ON k.class = s.class
    JOIN said_of_links l USING (chain_id)
    JOIN worded w USING (chain_id)
    LEFT JOIN disputes d USING (chain_id)
    WHERE len(s.members) > 0;

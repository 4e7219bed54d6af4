-- What each vehicle should have, by the parts lists, and what surveys saw of it.

-- Readings of all that lists and the surveys of some vehicles describe. What part_readings gives
-- for every part, but for these keys alone.
CREATE OR REPLACE MACRO readings_for_vehicles(vehicle_ids, day, known_now) AS TABLE
    SELECT * FROM part_readings(NULL, 2, day, known_now)
    WHERE key IN (
        SELECT item_key FROM requirement_as_of(day, known_now)
        UNION
        SELECT q.item_key FROM survey_as_of(day, known_now) q
        JOIN accepted_names('vehicle', day, known_now) v ON v.key = q.vehicle_key
        WHERE list_contains(vehicle_ids, v.target)
    );

-- The sizes by which requirement and survey lines of standard hardware tell items apart, where lists
-- have several of one part: told by the answers (answers/sizes.py). Asked as they are, nothing is.
CREATE OR REPLACE MACRO requirement_sizes(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS line_id, NULL::VARCHAR AS part_id, NULL::VARCHAR AS size WHERE false;
CREATE OR REPLACE MACRO survey_sizes(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS line_id, NULL::VARCHAR AS size WHERE false;

-- Requirement lines with the item they name; part_ids limits them, NULL = every part.
-- A reference line counts 0; a line that gives no number ("as required") counts 1.
CREATE OR REPLACE MACRO requirement_items(part_ids, day, known_now) AS TABLE
    SELECT r.line_id, r.revision, r.source_id, lower(r.family) AS family,
           coalesce(r.assembly, p.assembly) AS assembly, p.part_id,
           item_hand(r.side, p.handed) AS hand,
           coalesce(z.size, item_position(r.position, p.positions)) AS position,
           CASE WHEN r.quantity_special = 'reference' OR r.at_most = 0 THEN 0
                WHEN coalesce(r.at_least, 0) = 0 THEN 1
                ELSE r.at_least END AS quantity,
           coalesce(r.needed_for, p.needed_for, '') AS needed_for,
           r.all_builds, r.part_number, r.part_number_normal, r.maker, r.companions_text, r.words,
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
        JOIN line_readings(part_ids, day, known_now) i USING (line_id)
    ) r
    JOIN part p ON p.part_id = r.part_id
    LEFT JOIN requirement_sizes(day, known_now) z ON z.line_id = r.line_id;

-- The candidates for the build of each assembly of some vehicles (NULL = all) by which requirements
-- are judged: those that evidence left over; where nothing is known of the assembly itself, the
-- vehicle's mark. 'None of these' says nothing of any build while there is another candidate.
CREATE OR REPLACE MACRO judged_builds(vehicle_ids, day, known_now) AS TABLE
    WITH told AS (
        SELECT * FROM assembly_builds_as_of(day, known_now)
        QUALIFY mark IS NOT NULL OR phase IS NOT NULL
             OR count(coalesce(mark, phase)) OVER (PARTITION BY vehicle_id, assembly) = 0
    ),
    unsettled AS (
        SELECT vehicle_id, assembly FROM told GROUP BY ALL HAVING count(*) > 1
    ),
    asked AS (
        SELECT assembly_id AS assembly FROM assembly
        UNION
        SELECT assembly FROM effectivity WHERE assembly IS NOT NULL
        UNION
        SELECT assembly FROM requirement_as_of(day, known_now) WHERE assembly IS NOT NULL
    )
    SELECT v.vehicle_id, lower(v.family) AS family, a.assembly,
           CASE WHEN t.vehicle_id IS NULL OR t.phase IS NOT NULL THEN coalesce(t.mark, v.mark)
                ELSE t.mark END AS mark,
           CASE WHEN t.vehicle_id IS NULL THEN nullif(v.mark_phase, '') ELSE t.phase END AS phase,
           t.probability,
           u.vehicle_id IS NULL AS settled
    FROM vehicles_as_of(day, known_now) v
    CROSS JOIN asked a
    LEFT JOIN told t ON t.vehicle_id = v.vehicle_id AND t.assembly = a.assembly
    LEFT JOIN unsettled u ON u.vehicle_id = v.vehicle_id AND u.assembly = a.assembly
    WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, v.vehicle_id);

-- On what it depends which lines of a part hold for a vehicle: the `assemblies` and `series` that they
-- name; `asks` is one number for the same of these. Most parts ask about nothing.
CREATE OR REPLACE MACRO what_parts_ask(part_ids, day, known_now) AS TABLE
    SELECT family, part_id, coalesce(assemblies, []) AS assemblies, coalesce(series, []) AS series,
           hash(coalesce(assemblies, []), coalesce(series, [])) AS asks
    FROM (
        SELECT l.family, l.part_id,
               list_sort(list(DISTINCT coalesce(e.assembly, l.assembly))
                         FILTER (NOT e.is_interval)) AS assemblies,
               list_sort(list(DISTINCT coalesce(e.series, e.assembly, l.assembly))
                         FILTER (e.is_interval)) AS series
        FROM requirement_items(part_ids, day, known_now) l
        LEFT JOIN effectivity e
          ON e.line_id = l.line_id AND e.revision = l.revision AND NOT l.all_builds
        GROUP BY l.family, l.part_id
    );

-- By default all lines are taken to ask alike (0), and each vehicle to be like no other; the answers
-- about several vehicles keep `what_parts_ask` and `what_vehicles_share` in place of these.
CREATE OR REPLACE MACRO parts_asking(part_ids, day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS family, NULL::VARCHAR AS part_id, CAST([] AS VARCHAR[]) AS assemblies,
           CAST([] AS VARCHAR[]) AS series, 0::UBIGINT AS asks
    WHERE false;

-- Of which vehicles it shall be told whether lines hold: all (NULL), or some.
CREATE OR REPLACE MACRO vehicles_asked_of(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT vehicle_id, lower(family) AS family, 0::UBIGINT AS asks
    FROM vehicles_as_of(day, known_now)
    WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id);

-- Which requirement lines hold for which vehicles of their family: applies is true where they hold
-- for every remaining candidate of every build and for the serials, false where for none, and NULL
-- where it depends; `points` then says on what: {about, of_serial, mark, phase, probability, holds,
-- settled}. All assemblies and all series that a line names must agree (joint parts); within one of
-- them any clause does. vehicle_ids NULL = every vehicle.
CREATE OR REPLACE MACRO applicable_requirements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH vehicles AS MATERIALIZED (
        SELECT * FROM vehicles_asked_of(vehicle_ids, part_ids, day, known_now)
    ),
    lines AS MATERIALIZED (
        SELECT l.*, coalesce(a.asks, 0::UBIGINT) AS asks
        FROM requirement_items(part_ids, day, known_now) l
        LEFT JOIN parts_asking(part_ids, day, known_now) a USING (family, part_id)
        WHERE l.family IN (SELECT family FROM vehicles)
    ),
    clauses AS MATERIALIZED (
        SELECT l.line_id, l.family, l.asks, e.is_interval, coalesce(e.assembly, l.assembly) AS assembly,
               coalesce(e.series, e.assembly, l.assembly) AS series,
               e.mark, e.phase, e.reach, e.first_serial, e.last_serial
        FROM effectivity e JOIN lines l USING (line_id, revision)
        WHERE NOT l.all_builds
    ),
    candidates AS MATERIALIZED (
        SELECT * FROM judged_builds(vehicle_ids, day, known_now)
        WHERE (family, assembly) IN (SELECT (family, assembly) FROM clauses WHERE NOT is_interval)
    ),
    -- a line is judged once for each build there is, and not for each vehicle
    builds AS MATERIALIZED (
        SELECT *, row_number() OVER () AS build
        FROM (SELECT DISTINCT family, assembly, mark, phase FROM candidates)
    ),
    judged AS MATERIALIZED (
        SELECT line_id, asks, build,
               CASE WHEN bool_or(NOT holds) THEN false
                    WHEN count(*) = count(holds) THEN true END AS holds
        FROM (  -- any clause will do, but every exception holds
            SELECT line_id, asks, build, CASE WHEN bool_or(holds) THEN true
                                              WHEN count(*) = count(holds) THEN false END AS holds
            FROM (
                SELECT c.line_id, c.asks, b.build, CASE WHEN c.reach = 'except' THEN c.mark END AS besides,
                       mark_holds(c.mark, c.reach, b.mark)
                       AND phase_holds(c.phase, c.reach, b.phase) AS holds
                FROM clauses c JOIN builds b USING (family, assembly)
                WHERE NOT c.is_interval
            )
            GROUP BY line_id, asks, build, besides
        )
        GROUP BY line_id, asks, build
    ),
    of_builds AS MATERIALIZED (
        SELECT c.vehicle_id, c.assembly, v.asks, b.build, c.probability, c.settled
        FROM candidates c
        JOIN (
            SELECT v.vehicle_id, v.asks, a.assembly
            FROM vehicles v
            JOIN (SELECT DISTINCT family, asks, assembly FROM clauses WHERE NOT is_interval) a
                USING (family, asks)
        ) v USING (vehicle_id, assembly)
        JOIN builds b
          ON b.family = c.family AND b.assembly = c.assembly
         AND b.mark IS NOT DISTINCT FROM c.mark AND b.phase IS NOT DISTINCT FROM c.phase
    ),
    checked AS MATERIALIZED (
        SELECT o.vehicle_id, j.line_id, o.asks, o.assembly AS about, false AS of_serial, j.holds
        FROM of_builds o JOIN judged j USING (build, asks)
        WHERE o.settled
        UNION ALL
        SELECT o.vehicle_id, j.line_id, o.asks, o.assembly, false,
               CASE WHEN bool_and(j.holds IS NOT DISTINCT FROM true) THEN true
                    WHEN bool_and(j.holds IS NOT DISTINCT FROM false) THEN false END
        FROM of_builds o JOIN judged j USING (build, asks)
        WHERE NOT o.settled
        GROUP BY o.vehicle_id, j.line_id, o.asks, o.assembly
        UNION ALL
        SELECT v.vehicle_id, c.line_id, c.asks, c.series, true,
               CASE WHEN bool_or(s.serial_value BETWEEN coalesce(c.first_serial, 0)
                                     AND coalesce(c.last_serial, 9223372036854775807)) THEN true
                    WHEN count(*) = count(s.serial_value) THEN false END
        FROM clauses c
        JOIN vehicles v USING (family, asks)
        LEFT JOIN serials_as_of(day, known_now) s
          ON s.vehicle_id = v.vehicle_id AND s.series = c.series
        WHERE c.is_interval
        GROUP BY v.vehicle_id, c.line_id, c.asks, c.series
    ),
    joint AS (  -- lines that depend on more than one thing
        SELECT line_id FROM (
            SELECT DISTINCT line_id, is_interval, CASE WHEN is_interval THEN series
                                                       ELSE assembly END AS about
            FROM clauses)
        GROUP BY line_id HAVING count(*) > 1
    ),
    verdicts AS MATERIALIZED (
        SELECT vehicle_id, line_id, holds FROM checked ANTI JOIN joint USING (line_id)
        UNION ALL
        SELECT vehicle_id, line_id,
               CASE WHEN bool_or(NOT holds) THEN false
                    WHEN count(*) = count(holds) THEN true END
        FROM checked SEMI JOIN joint USING (line_id)
        GROUP BY vehicle_id, line_id
    ),
    points AS (
        SELECT c.vehicle_id, c.line_id,
               list({'about': coalesce(a.name, c.about), 'of_serial': c.of_serial,
                     'mark': b.mark, 'phase': b.phase, 'probability': o.probability,
                     'holds': j.holds, 'settled': coalesce(o.settled, true)}
                    ORDER BY c.of_serial, c.about, o.probability DESC, b.mark, b.phase) AS points
        FROM checked c
        JOIN verdicts v ON v.vehicle_id = c.vehicle_id AND v.line_id = c.line_id
                       AND v.holds IS NULL
        LEFT JOIN of_builds o ON o.vehicle_id = c.vehicle_id AND o.assembly = c.about
                             AND o.asks = c.asks AND NOT c.of_serial
        LEFT JOIN judged j ON j.line_id = c.line_id AND j.build = o.build
        LEFT JOIN builds b ON b.build = o.build
        LEFT JOIN assembly a ON a.assembly_id = c.about AND NOT c.of_serial
        WHERE c.holds IS NULL
        GROUP BY c.vehicle_id, c.line_id
    )
    SELECT v.vehicle_id, l.*,
           CASE WHEN l.all_builds THEN true ELSE d.holds END AS applies, p.points
    FROM lines l
    JOIN vehicles v USING (family, asks)
    LEFT JOIN verdicts d ON d.vehicle_id = v.vehicle_id AND d.line_id = l.line_id
    LEFT JOIN points p ON p.vehicle_id = v.vehicle_id AND p.line_id = l.line_id;

-- A build in words with its probability: 'Mk 1 late (62 %)'.
CREATE OR REPLACE MACRO candidate_said(of_mark, of_phase, of_probability) AS
    coalesce(build_words(of_mark, of_phase), 'none of these, or converted')
    || coalesce(printf(' (%d %%)', round(100 * of_probability)::INTEGER), '');

-- Whether something is needed, by the candidates for one build: texts of those for which it is, is
-- not, and cannot be told.
CREATE OR REPLACE MACRO needed_if(about, needed, not_needed, not_told) AS
    CASE WHEN len(needed) > 0
         THEN concat_ws(', ',
             'needed if the ' || about || ' is ' || array_to_string(needed, ' or '),
             CASE WHEN len(not_needed) > 0
                  THEN 'not if ' || array_to_string(not_needed, ' or ') END,
             CASE WHEN len(not_told) > 0
                  THEN 'not to be told if ' || array_to_string(not_told, ' or ') END)
         ELSE concat_ws(', ',
             CASE WHEN len(not_needed) > 0 THEN
                  'not needed if the ' || about || ' is ' || array_to_string(not_needed, ' or ') END,
             'not to be told if the ' || about || ' is ' || array_to_string(not_told, ' or ')) END;

-- On what it depends whether a line holds, in words, from its `points`: of one thing, of all.
CREATE OR REPLACE MACRO point_said(candidates) AS
    CASE WHEN candidates[1].of_serial
         THEN 'the number in the series ' || candidates[1].about || ' is not known'
         WHEN NOT candidates[1].settled
         THEN needed_if(candidates[1].about,
                  [candidate_said(p.mark, p.phase, p.probability) FOR p IN candidates IF p.holds],
                  [candidate_said(p.mark, p.phase, p.probability) FOR p IN candidates
                   IF NOT p.holds],
                  [candidate_said(p.mark, p.phase, p.probability) FOR p IN candidates
                   IF p.holds IS NULL])
         ELSE 'the build of the ' || candidates[1].about || ' is not known'
              || coalesce(' but for ' || build_words(candidates[1].mark, candidates[1].phase), '')
    END;
CREATE OR REPLACE MACRO points_said(points) AS
    array_to_string(list_transform(
        list_sort(list_distinct([{'of_serial': p.of_serial, 'about': p.about} FOR p IN points])),
        lambda a: point_said([p FOR p IN points
                              IF p.about = a.about AND p.of_serial = a.of_serial])), '; and ');

-- What of an item is needed by the candidates for one build, {said, least, most, numbers}: how many
-- if it differs, else whether, else which number; NULL where it makes no difference.
CREATE OR REPLACE MACRO amounts_said(about, candidates) AS
    CASE WHEN len(list_distinct([c.most FOR c IN candidates IF c.most > 0])) > 1
         THEN array_to_string(list_transform(candidates, lambda c, n: concat(
             CASE WHEN c.most = 0 THEN 'none'
                  WHEN c.least < c.most THEN printf('%g to %g', c.least, c.most)
                  ELSE printf('%g', c.most) END,
             ' if ', CASE WHEN n = 1 THEN 'the ' || about || ' is ' ELSE '' END, c.said)), ', ')
         WHEN len([c.least FOR c IN candidates IF c.least = 0]) > 0
         THEN needed_if(about, [c.said FOR c IN candidates IF c.least > 0],
                        [c.said FOR c IN candidates IF c.most = 0],
                        [c.said FOR c IN candidates IF c.least = 0 AND c.most > 0])
         WHEN len(list_distinct([coalesce(c.numbers, '') FOR c IN candidates])) > 1
         THEN array_to_string(list_transform(candidates, lambda c, n: concat(
             coalesce(c.numbers, 'no number'),
             ' if ', CASE WHEN n = 1 THEN 'the ' || about || ' is ' ELSE '' END, c.said)), ', ')
    END;

-- Vehicles that are alike in all that some lines ask about need the same of them: each of some vehicles
-- (NULL = all), for what is asked of its family, with the one that stands for all of its like. Serials
-- tell vehicles apart only by the ends of intervals that they are beyond.
CREATE OR REPLACE MACRO what_vehicles_share(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH builds AS (
        SELECT vehicle_id,
               list({'assembly': assembly, 'mark': mark, 'phase': phase,
                     'share': CASE WHEN told_by = 'not settled'
                                   THEN round(100 * probability)::INTEGER END}
                    ORDER BY assembly, mark, phase) AS list
        FROM assembly_builds_as_of(day, known_now) GROUP BY vehicle_id
    ),
    ends AS (
        SELECT list_sort(list(DISTINCT serial)) AS list
        FROM (SELECT unnest([first_serial, last_serial + 1]) AS serial
              FROM effectivity WHERE is_interval)
        WHERE serial IS NOT NULL
    ),
    serials AS (
        SELECT vehicle_id,
               list({'series': series,
                     'beyond': len(list_filter((SELECT list FROM ends), lambda e:
                                               e <= serial_value))} ORDER BY series) AS list
        FROM serials_as_of(day, known_now)
        GROUP BY vehicle_id
    ),
    asked AS (
        SELECT DISTINCT family, asks, assemblies, series
        FROM parts_asking(part_ids, day, known_now)
    )
    SELECT v.vehicle_id, a.family, a.asks,
           min(v.vehicle_id) OVER (PARTITION BY a.family, a.asks, hash(
               CASE WHEN len(a.assemblies) > 0
                    THEN {'mark': v.mark, 'phase': nullif(v.mark_phase, '')} END,
               [x FOR x IN coalesce(b.list, []) IF list_contains(a.assemblies, x.assembly)],
               [x FOR x IN coalesce(s.list, []) IF list_contains(a.series, x.series)]))
               AS like_vehicle
    FROM vehicles_as_of(day, known_now) v
    JOIN asked a ON a.family = lower(v.family)
    LEFT JOIN builds b USING (vehicle_id)
    LEFT JOIN serials s USING (vehicle_id)
    WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, v.vehicle_id);

-- By default, each vehicle by itself.
CREATE OR REPLACE MACRO vehicles_alike(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT vehicle_id, lower(family) AS family, 0::UBIGINT AS asks, vehicle_id AS like_vehicle
    FROM vehicles_as_of(day, known_now)
    WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id);

-- Of which vehicles lines are judged: of those that stand for their like.
CREATE OR REPLACE MACRO vehicles_standing(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT DISTINCT like_vehicle AS vehicle_id, family, asks
    FROM vehicles_alike(vehicle_ids, part_ids, day, known_now);

-- Whether part numbers, {number, maker}, have one in common; where either has none nothing differs.
CREATE OR REPLACE MACRO numbers_agree(numbers_one, numbers_two) AS
    numbers_one IS NULL OR numbers_two IS NULL
    OR len([n FOR n IN numbers_one IF len([m FOR m IN numbers_two IF m.number = n.number
            AND (m.maker IS NULL OR n.maker IS NULL OR m.maker = n.maker)]) > 0]) > 0;

-- Items of which it depends on the build how many of them a list asks for, or which: what the least of
-- the candidates needs (`least`), how many more any may (`beyond`), and `told` in words.
CREATE OR REPLACE MACRO depending_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH hanging AS MATERIALIZED (
        SELECT vehicle_id, assembly, part_id, concat(hand, '|', position) AS code, source_id,
               line_id, quantity, part_number, unnest(points) AS point,
               len(list_distinct([p.about FOR p IN points])) = 1 AND NOT points[1].settled
                   AS on_one
        FROM applicable_requirements(vehicle_ids, part_ids, day, known_now)
        WHERE applies IS NULL AND quantity > 0
    ),
    by_candidate AS (
        SELECT vehicle_id, assembly, part_id, code, source_id, point.about AS about,
               point.probability AS probability,
               candidate_said(point.mark, point.phase, point.probability) AS said,
               coalesce(sum(quantity) FILTER (point.holds), 0) AS least,
               coalesce(sum(quantity) FILTER (point.holds IS DISTINCT FROM false), 0) AS most,
               string_agg(DISTINCT part_number, ' or ' ORDER BY part_number)
                   FILTER (point.holds) AS numbers
        FROM hanging WHERE on_one
        GROUP BY ALL
    ),
    by_build AS (
        SELECT vehicle_id, assembly, part_id, code, source_id, min(least) AS least,
               max(most) - min(least) AS beyond,
               amounts_said(about, list({'said': said, 'least': least, 'most': most,
                                         'numbers': numbers}
                                        ORDER BY probability DESC, said)) AS told
        FROM by_candidate
        GROUP BY vehicle_id, assembly, part_id, code, source_id, about
        UNION ALL
        SELECT vehicle_id, assembly, part_id, code, source_id, 0, any_value(quantity),
               points_said(list(point ORDER BY point.about, point.probability DESC,
                                point.mark, point.phase))
        FROM hanging WHERE NOT on_one
        GROUP BY vehicle_id, assembly, part_id, code, source_id, line_id
    )
    SELECT vehicle_id, assembly, part_id, code, source_id, nullif(sum(least), 0) AS least,
           nullif(max(beyond), 0) AS beyond,
           string_agg(DISTINCT told, '; ' ORDER BY told) AS told
    FROM by_build
    GROUP BY vehicle_id, assembly, part_id, code, source_id;

-- The same where nothing depends on anything.
CREATE OR REPLACE MACRO no_depending_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS vehicle_id, NULL::VARCHAR AS assembly, NULL::VARCHAR AS part_id,
           NULL::VARCHAR AS code, NULL::VARCHAR AS source_id, NULL::DOUBLE AS least,
           NULL::DOUBLE AS beyond, NULL::VARCHAR AS told
    WHERE false;

-- How many of each item vehicles that are alike in `asks` should have, by the one that stands for all
-- of its like: one row per vehicle, assembly and item (part, and
-- `code`: hand and position). Lines of one list add; of several lists the best one counts.
-- `agreeing` are the lines of others that say the same, `others` what those say that differ:
-- {told, lines}. `required` NULL: it depends on the build, and is then at most `perhaps` (the
-- largest line, since lines for different builds exclude each other).
--
-- Two lists that have an item under different assemblies mean one item if one of them names the
-- other's assembly and does not have it there: it counts `under` the better list's. Lists that name
-- other assemblies have other items. What a list says of an item without its hand or position is, where
-- another list has it with them, of all of those together (`unplaced`).
--
-- Where lines hang on the candidates for one build, what the least of them needs is required, though
-- it may be another line for each; `depends_on` says what differs.
CREATE OR REPLACE MACRO required_alike(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH alike AS MATERIALIZED (
        SELECT * FROM vehicles_alike(vehicle_ids, part_ids, day, known_now)
    ),
    applicable AS MATERIALIZED (
        SELECT *, concat(hand, '|', position) AS code
        FROM applicable_requirements(
            (SELECT list(DISTINCT like_vehicle) FROM alike), part_ids, day, known_now)
        WHERE quantity > 0
    ),
    by_line AS (
        SELECT vehicle_id, assembly, part_id, code, source_id, family, any_value(asks) AS asks,
               sum(quantity) FILTER (applies) AS required,
               -- what surely applies counts before what may
               max(weight + (coalesce(applies, false)::BIGINT << 58)) AS weight,
               string_agg(needed_for, ';') FILTER (applies) AS needed_for,
               string_agg(needed_for, ';') AS needed_perhaps,
               list_sort(list(line_id) FILTER (applies)) AS lines,
               list_sort(list(line_id) FILTER (applies IS NULL)) AS lines_perhaps,
               list({'number': part_number_normal, 'maker': maker})
                   FILTER (applies AND part_number_normal IS NOT NULL) AS numbers,
               bool_and(all_builds) FILTER (applies) AS for_all_builds,
               array_to_string(list_sort(list_distinct(list(companions_text))), '; ')
                   AS companions
        FROM applicable
        WHERE applies IS DISTINCT FROM false
        GROUP BY vehicle_id, assembly, part_id, code, source_id, family
    ),
    by_source AS MATERIALIZED (
        SELECT l.* REPLACE (
                   CASE WHEN d.least IS NULL THEN l.required
                        ELSE coalesce(l.required, 0) + d.least END AS required,
                   -- which of several numbers it is depends as well
                   CASE WHEN d.least IS NULL THEN l.numbers END AS numbers),
               d.beyond AS perhaps, d.told AS depends_on
        FROM by_line l
        LEFT JOIN depending_items(
            (SELECT list(DISTINCT like_vehicle) FROM alike), part_ids, day, known_now) d
          USING (vehicle_id, assembly, part_id, code, source_id)
    ),
    named AS MATERIALIZED (
        SELECT DISTINCT source_id, lower(family) AS family, assembly
        FROM requirement_as_of(day, known_now)
        WHERE assembly IS NOT NULL
    ),
    apart AS (
        SELECT s.vehicle_id, s.part_id, s.code, s.source_id, s.assembly, s.family,
               b.source_id AS better, b.assembly AS under
        FROM by_source s
        JOIN (
            FROM by_source SEMI JOIN (
                SELECT vehicle_id, part_id, code FROM by_source GROUP BY ALL HAVING count(*) > 1
            ) USING (vehicle_id, part_id, code)
            QUALIFY weight = max(weight) OVER (PARTITION BY vehicle_id, part_id, code)
        ) b USING (vehicle_id, part_id, code)
        WHERE s.source_id <> b.source_id AND s.assembly <> b.assembly
          AND numbers_agree(s.numbers, b.numbers)
    ),
    moved AS (
        SELECT a.vehicle_id, a.part_id, a.code, a.source_id, a.assembly,
               min(a.under) AS under
        FROM apart a
        ANTI JOIN by_source h ON (h.vehicle_id, h.part_id, h.code, h.source_id, h.assembly)
                                 = (a.vehicle_id, a.part_id, a.code, a.better, a.assembly)
        ANTI JOIN by_source t ON (t.vehicle_id, t.part_id, t.code, t.source_id, t.assembly)
                                 = (a.vehicle_id, a.part_id, a.code, a.source_id, a.under)
        WHERE (a.better, a.family, a.assembly) IN (SELECT (source_id, family, assembly) FROM named)
           OR (a.source_id, a.family, a.under) IN (SELECT (source_id, family, assembly) FROM named)
        GROUP BY ALL
    ),
    unplaced AS (
        SELECT s.vehicle_id, s.assembly, s.part_id, s.code, s.source_id,
               list(DISTINCT b.code) AS codes
        FROM by_source s
        JOIN (
            FROM by_source ANTI JOIN moved USING (vehicle_id, part_id, code, source_id, assembly)
        ) b USING (vehicle_id, assembly, part_id)
        ANTI JOIN by_source o ON (o.vehicle_id, o.assembly, o.part_id, o.source_id, o.code)
                                 = (s.vehicle_id, s.assembly, s.part_id, s.source_id, b.code)
        WHERE b.source_id <> s.source_id AND b.code <> s.code
          AND split_part(s.code, '|', 1) IN ('', split_part(b.code, '|', 1))
          AND split_part(s.code, '|', 2) IN ('', split_part(b.code, '|', 2))
        GROUP BY ALL
    ),
    listed AS MATERIALIZED (
        SELECT *, coalesce(lines, lines_perhaps) AS said
        FROM by_source
        LEFT JOIN moved USING (vehicle_id, part_id, code, source_id, assembly)
        LEFT JOIN unplaced USING (vehicle_id, part_id, code, source_id, assembly)
    ),
    heaviest AS (
        SELECT vehicle_id, assembly, part_id, code, max(weight) AS weight
        FROM listed
        WHERE under IS NULL AND codes IS NULL
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    best AS MATERIALIZED (
        SELECT * FROM listed
        JOIN heaviest USING (vehicle_id, assembly, part_id, code, weight)
        WHERE under IS NULL AND codes IS NULL
    ),
    compared AS (
        SELECT b.vehicle_id, b.assembly, b.part_id, b.code, s.said AS lines, s.weight,
               CASE WHEN s.required <> b.required AND s.under IS NOT NULL
                        THEN printf('another list says %g, under %s', s.required, s.assembly)
                    WHEN s.under IS NOT NULL
                        THEN printf('another list has it under %s', s.assembly)
                    WHEN s.required <> b.required
                        THEN printf('another list says %g', s.required)
                    WHEN s.required IS NULL AND b.required IS NOT NULL
                        THEN 'another list has it for some builds only'
                    WHEN NOT numbers_agree(s.numbers, b.numbers)
                        THEN 'another list gives another number' END AS told
        FROM best b
        JOIN listed s ON (s.vehicle_id, s.part_id, s.code) = (b.vehicle_id, b.part_id, b.code)
                     AND coalesce(s.under, s.assembly) = b.assembly AND s.weight < b.weight
        UNION ALL
        SELECT b.vehicle_id, b.assembly, b.part_id, b.code, s.said, s.weight,
               CASE WHEN coalesce(s.required, s.perhaps) IS DISTINCT FROM
                         sum(b.required) OVER (PARTITION BY s.source_id, s.vehicle_id, s.assembly,
                                                            s.part_id, s.code)
                    THEN printf('another list says %g, %s not stated',
                                coalesce(s.required, s.perhaps),
                                CASE WHEN split_part(s.code, '|', 1) = split_part(b.code, '|', 1)
                                     THEN 'position' ELSE 'hand' END) END
        FROM listed s
        JOIN best b ON (b.vehicle_id, b.assembly, b.part_id)
                       = (s.vehicle_id, s.assembly, s.part_id)
                   AND list_contains(s.codes, b.code)
        UNION ALL
        -- the same part, which another list has for other vehicles and not for this one
        SELECT b.vehicle_id, b.assembly, b.part_id, b.code, list_sort(list(l.line_id)),
               max(l.weight), 'another list has it for other builds'
        FROM best b
        JOIN (
            SELECT *, CASE WHEN part_number_normal IS NOT NULL
                           THEN [{'number': part_number_normal, 'maker': maker}] END AS numbers
            FROM applicable WHERE NOT applies
        ) l ON (l.vehicle_id, l.part_id, l.code) = (b.vehicle_id, b.part_id, b.code)
        WHERE l.source_id <> b.source_id
          AND (b.vehicle_id, b.part_id, b.code, l.source_id) NOT IN
              (SELECT (vehicle_id, part_id, code, source_id) FROM listed)
          AND numbers_agree(l.numbers, b.numbers)
          AND (b.for_all_builds OR (l.numbers IS NOT NULL AND b.numbers IS NOT NULL))
        GROUP BY b.vehicle_id, b.assembly, b.part_id, b.code, l.source_id
    ),
    beside AS (
        SELECT vehicle_id, assembly, part_id, code,
               list_sort(flatten(list(lines) FILTER (told IS NULL))) AS agreeing,
               list({'told': told, 'lines': lines} ORDER BY weight DESC)
                   FILTER (told IS NOT NULL) AS others
        FROM compared
        GROUP BY vehicle_id, assembly, part_id, code
    )
    SELECT b.vehicle_id, b.family, b.asks, b.assembly, b.part_id, b.code, b.required, b.perhaps,
           coalesce(b.needed_for, b.needed_perhaps) AS needed_for, b.lines, b.lines_perhaps,
           b.numbers, b.for_all_builds, nullif(b.companions, '') AS companions, b.depends_on,
           d.agreeing, d.others
    FROM best b
    LEFT JOIN beside d USING (vehicle_id, assembly, part_id, code);

-- Does an item count for an aim? A full original needs every item; with no aim stated all count.
CREATE OR REPLACE MACRO counts_for(of_aim, of_needed_for) AS
    of_aim IS NULL OR of_aim = 'full-original'
    OR list_contains(string_split(replace(of_needed_for, ' ', ''), ';'), of_aim);

-- Assemblies of vehicles that are worked out apart from the rest (answers_3_apart.sql): by default none.
CREATE OR REPLACE MACRO unseen_assemblies(vehicle_ids, day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS vehicle_id, NULL::VARCHAR AS assembly, NULL::VARCHAR AS aim,
           NULL::BIGINT AS opens_into, NULL::BOOLEAN AS for_display, NULL::BOOLEAN AS for_runner
    WHERE false;

-- The same for each vehicle. Of assemblies that are set apart those of more than a dozen items that
-- its aim needs are left out, since they fold, and what its aim does not need.
CREATE OR REPLACE MACRO required_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT r.* EXCLUDE (family, asks) REPLACE (a.vehicle_id AS vehicle_id)
    FROM required_alike(vehicle_ids, part_ids, day, known_now) r
    JOIN vehicles_alike(vehicle_ids, part_ids, day, known_now) a
      ON a.like_vehicle = r.vehicle_id AND a.family = r.family AND a.asks = r.asks
    LEFT JOIN unseen_assemblies(vehicle_ids, day, known_now) u
      ON u.vehicle_id = a.vehicle_id AND u.assembly = r.assembly
    WHERE u.vehicle_id IS NULL
       OR (u.opens_into BETWEEN 1 AND 12 AND counts_for(u.aim, r.needed_for));

-- What surveys say of items, one row a statement. quantity NULL = all of them (a general
-- statement); spot NULL = not tied to one place. "Not looked at" says nothing and is left out, so
-- that a later glance does not undo what was seen. "3 of 8 fitted" also says that 5 are missing
-- (afterthought). "0 fitted" says missing. A whole assembly of another make is a stand-in.
CREATE OR REPLACE MACRO survey_statements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH lines AS MATERIALIZED (
        SELECT v.target AS vehicle_id, p.part_id, s.assembly, p.assembly AS home,
               concat(item_hand(s.side, p.handed), '|',
                      coalesce(z.size, item_position(s.position, p.positions))) AS code,
               nullif(concat_ws(' ', s.location,
                   CASE WHEN p.handed <> 'handed' THEN s.side END,
                   CASE WHEN coalesce(p.positions, '') = '' THEN s.position END), '') AS spot,
               CASE WHEN s.presence = 'fitted' AND s.at_most = 0 THEN 'missing'
                    WHEN (s.presence = 'stand-in' OR s.other_make) AND s.accepted_stand_in
                    THEN 'stand-in accepted'
                    WHEN s.other_make THEN 'stand-in'
                    WHEN s.presence IN ('fitted', 'off-and-kept', 'away-for-repair')
                         AND s.service = 'unserviceable' THEN 'unserviceable'
                    ELSE s.presence END AS seen,
               CASE WHEN s.presence = 'fitted' AND s.at_most = 0 THEN NULL
                    WHEN s.quantified THEN s.at_least END AS counted,
               CASE WHEN s.presence = 'fitted' AND s.at_most = s.at_least
                    THEN s.of_total - s.at_least END AS short,
               s.service <> 'unserviceable' AS works, s.other_make,
               s.line_id, s.said_on, s.words, coalesce(f.file, s.source_id) AS file,
               s.part_number_normal, s.maker,
               statement_weight(s.sure, s.first_hand, s.said_on_basis, s.said_on, s.source_id)
                   AS weight
        FROM (
            SELECT *, presence = 'fitted' AND making = 'other-original'
                      AND part_id IN (SELECT whole_part FROM assembly WHERE whole_part IS NOT NULL)
                          AS other_make
            FROM (
                SELECT q.*, i.part_id, false AS alone FROM survey_as_of(day, known_now) q
                JOIN part_readings(part_ids, 2, day, known_now) i ON i.key = q.item_key
                UNION ALL
                SELECT q.*, i.part_id, true AS alone FROM survey_as_of(day, known_now) q
                JOIN line_readings(part_ids, day, known_now) i USING (line_id)
            )
        ) s
        JOIN accepted_names('vehicle', day, known_now) v ON v.key = s.vehicle_key
        JOIN part p ON p.part_id = s.part_id
        LEFT JOIN survey_sizes(day, known_now) z ON z.line_id = s.line_id
        LEFT JOIN (
            SELECT source_id, arg_max(name, version) AS file FROM source_version GROUP BY source_id
        ) f ON f.source_id = s.source_id
        WHERE (vehicle_ids IS NULL OR list_contains(vehicle_ids, v.target))
          AND s.presence NOT IN ('not-looked-at', 'could-not-be-seen')
          AND (s.alone OR s.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now)))
    )
    SELECT * EXCLUDE (short, counted), false AS afterthought,
           CASE WHEN spot IS NOT NULL THEN coalesce(counted, 1) ELSE counted END AS quantity
    FROM lines
    UNION ALL
    SELECT * EXCLUDE (short, counted) REPLACE ('missing' AS seen), true, short
    FROM lines WHERE short > 0;

-- Survey statements with how many of the required number each accounts for (`given`), by the item
-- (assembly, part, code) that the lists know.
--
-- Per item the best general statement counts for all of it; better statements about some of them
-- (a place, a number) change that many of it; the best of those that give a number without a place
-- counts, and per place the best. Where statements of one day claim more than are required, lacks
-- are believed first. Of an item that no list asks for the largest stated number is required, and
-- at least 1. A survey line that names a hand or position where the list names none tells of one
-- of them.
CREATE OR REPLACE MACRO counted_statements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH needed AS MATERIALIZED (
        SELECT * FROM required_items(vehicle_ids, part_ids, day, known_now)
    ),
    -- the items of each part that the lists know on a vehicle: two lists side by side
    listed AS (
        SELECT vehicle_id, part_id, list(code) AS codes, list(assembly) AS assemblies
        FROM needed GROUP BY vehicle_id, part_id
    ),
    coded AS (
        SELECT s.* EXCLUDE (code), s.code AS said_code, l.codes, l.assemblies,
               CASE WHEN l.codes IS NULL OR list_contains(l.codes, s.code) THEN s.code
                    WHEN list_contains(l.codes, '|' || split_part(s.code, '|', 2))
                        THEN '|' || split_part(s.code, '|', 2)
                    WHEN list_contains(l.codes, split_part(s.code, '|', 1) || '|')
                        THEN split_part(s.code, '|', 1) || '|'
                    WHEN list_contains(l.codes, '|') THEN '|'
                    ELSE s.code END AS code
        FROM survey_statements(vehicle_ids, part_ids, day, known_now) s
        LEFT JOIN listed l USING (vehicle_id, part_id)
    ),
    -- where the lists have the item: one assembly as a rule
    housed AS (
        SELECT *, list_sort(list_filter(assemblies, lambda a, n: codes[n] = code)) AS places
        FROM coded
    ),
    placed AS MATERIALIZED (
        SELECT h.* EXCLUDE (assembly, home, quantity, spot, said_code, codes, assemblies, places),
               unnest(CASE
                   WHEN coalesce(len(places), 0) = 0 THEN [coalesce(assembly, home)]
                   WHEN list_contains(places, assembly) THEN [assembly]
                   WHEN quantity IS NULL AND code = said_code THEN places
                   WHEN list_contains(places, home) THEN [home]
                   ELSE [places[1]] END) AS assembly,
               CASE WHEN code <> said_code THEN concat_ws(' ', said_code, spot)
                    ELSE spot END AS spot,
               CASE WHEN code <> said_code THEN coalesce(quantity, 1) ELSE quantity END
                   AS quantity
        FROM housed h
    ),
    -- how good the best statements of each sort are
    items AS (
        SELECT vehicle_id, assembly, part_id, code, count(*) AS statements,
               greatest(1, max(quantity)) AS largest,
               max(weight) FILTER (quantity IS NULL) AS best_general,
               max(weight) FILTER (quantity IS NOT NULL AND spot IS NULL) AS best_counted
        FROM placed GROUP BY vehicle_id, assembly, part_id, code
    ),
    spots AS (
        SELECT vehicle_id, assembly, part_id, code, spot, max(weight) AS best_here
        FROM placed WHERE spot IS NOT NULL GROUP BY vehicle_id, assembly, part_id, code, spot
    ),
    states AS (
        SELECT vehicle_id, assembly, part_id, code, seen, max(weight) AS best_of_state
        FROM placed WHERE quantity IS NOT NULL AND spot IS NULL
        GROUP BY vehicle_id, assembly, part_id, code, seen
    ),
    chosen AS MATERIALIZED (
        SELECT p.*, n.lines AS required_by, coalesce(n.required, n.perhaps, i.largest) AS total,
               coalesce(p.quantity, total) AS claimed,
               CASE WHEN i.statements = 1 THEN true
                    WHEN p.quantity IS NULL THEN p.weight = i.best_general
                    WHEN p.spot IS NULL
                        THEN (p.weight = i.best_counted
                              OR (p.weight = t.best_of_state AND p.quantity >= total))
                             AND p.weight >= coalesce(i.best_general, 0)
                    ELSE p.weight = s.best_here AND p.weight >= coalesce(i.best_general, 0)
                         AND p.weight >= coalesce(i.best_counted, 0) END AS counts
        FROM placed p
        JOIN items i USING (vehicle_id, assembly, part_id, code)
        LEFT JOIN spots s USING (vehicle_id, assembly, part_id, code, spot)
        LEFT JOIN states t USING (vehicle_id, assembly, part_id, code, seen)
        LEFT JOIN needed n USING (vehicle_id, assembly, part_id, code)
    ),
    overfull AS (
        SELECT vehicle_id, assembly, part_id, code FROM chosen WHERE counts
        GROUP BY vehicle_id, assembly, part_id, code
        HAVING sum(claimed) > max(total)
    )
    SELECT *, CASE WHEN counts THEN claimed ELSE 0 END AS given
    FROM chosen ANTI JOIN overfull USING (vehicle_id, assembly, part_id, code)
    UNION ALL
    SELECT *, CASE WHEN counts THEN greatest(0, least(claimed, total - coalesce(
        sum(CASE WHEN counts THEN claimed ELSE 0 END) OVER (
            PARTITION BY vehicle_id, assembly, part_id, code
            ORDER BY weight DESC, afterthought, quantity IS NULL, spot IS NULL,
                     list_position(['missing', 'stand-in', 'unserviceable',
                                    'stand-in accepted', 'not-there-to-be-fitted',
                                    'away-for-repair', 'off-and-kept', 'fitted'], seen),
                     line_id, afterthought
            ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0))) ELSE 0 END
    FROM chosen SEMI JOIN overfull USING (vehicle_id, assembly, part_id, code);

-- Every item of every vehicle by what was seen of it: vehicle, assembly, item, seen, quantity.
-- seen is a presence, 'unserviceable', 'stand-in accepted', 'not-looked-at' or 'build-not-known'.
-- `required` is NULL for items that were surveyed but that no list asks for (a hulk without a
-- list). What no statement accounts for was not looked at; statements that do not count are in
-- `dissent`.
CREATE OR REPLACE MACRO vehicle_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH needed AS MATERIALIZED (
        SELECT * FROM required_items(vehicle_ids, part_ids, day, known_now)
    ),
    allotted AS MATERIALIZED (
        SELECT * FROM counted_statements(vehicle_ids, part_ids, day, known_now)
    ),
    seen_items AS (
        SELECT vehicle_id, assembly, part_id, code, seen, sum(given) AS quantity,
               max(said_on) AS seen_on, list_sort(list_distinct(list(line_id))) AS survey_lines,
               max(weight) AS seen_weight, bool_and(works) AS works,
               bool_and(other_make) AS other_make,
               list_sort(list_distinct(list({'number': part_number_normal, 'maker': maker})
                   FILTER (part_number_normal IS NOT NULL))) AS numbers_seen
        FROM allotted
        WHERE given > 0
        GROUP BY vehicle_id, assembly, part_id, code, seen
    ),
    per_item AS MATERIALIZED (
        SELECT vehicle_id, assembly, part_id, code, max(total) AS total, sum(given) AS accounted,
               coalesce(sum(given) FILTER (seen = 'not-there-to-be-fitted'), 0) AS never_there,
               max(said_on) FILTER (given > 0 AND seen IN ('missing', 'stand-in')) AS lack_on
        FROM allotted
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    dissenting AS (
        SELECT vehicle_id, assembly, part_id, code,
               list({'seen': seen, 'text': printf('%s (%s, %s, %s)', words,
                     said_on::VARCHAR, file, line_id)} ORDER BY weight DESC, line_id) AS dissent
        FROM allotted WHERE given = 0 AND NOT afterthought
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    -- what was had before it was seen to be lacking
    earlier AS (
        SELECT vehicle_id, assembly, part_id, code, max(a.claimed) AS had_before
        FROM allotted a JOIN per_item i USING (vehicle_id, assembly, part_id, code)
        WHERE a.seen IN ('fitted', 'off-and-kept', 'away-for-repair', 'unserviceable')
          AND a.said_on < i.lack_on
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    -- what was said of a part that the lists ask for, without the hand or position they name
    unplaced AS (
        SELECT vehicle_id, part_id,
               list({'seen': seen, 'text': printf('%s: ask: %s (%s, %s)',
                     CASE WHEN part_id IN (SELECT part_id FROM requirement_sizes(day, known_now))
                          THEN 'size not stated'
                          WHEN starts_with(code, '|') THEN 'hand not stated'
                          ELSE 'position not stated' END, words, said_on::VARCHAR, line_id)}
                    ORDER BY weight DESC, line_id) AS dissent
        FROM allotted ANTI JOIN needed USING (vehicle_id, assembly, part_id, code)
        WHERE (starts_with(code, '|') OR ends_with(code, '|'))
          AND (vehicle_id, part_id) IN (SELECT (vehicle_id, part_id) FROM needed)
        GROUP BY vehicle_id, part_id
    ),
    universe AS MATERIALIZED (
        SELECT vehicle_id, assembly, part_id, code, nullif(split_part(code, '|', 1), '') AS hand,
               nullif(split_part(code, '|', 2), '') AS position, n.required, n.perhaps,
               n.needed_for, n.lines, n.lines_perhaps, n.numbers, n.for_all_builds, n.companions,
               n.depends_on, n.agreeing, n.others, coalesce(n.required, n.perhaps, i.total) AS total,
               coalesce(i.accounted, 0) AS accounted, coalesce(i.never_there, 0) AS never_there,
               CASE WHEN u.dissent IS NULL OR n.required IS NULL THEN d.dissent
                    ELSE list_concat(coalesce(d.dissent, []), u.dissent) END AS dissent,
               e.had_before
        FROM needed n
        FULL JOIN per_item i USING (vehicle_id, assembly, part_id, code)
        LEFT JOIN dissenting d USING (vehicle_id, assembly, part_id, code)
        LEFT JOIN earlier e USING (vehicle_id, assembly, part_id, code)
        LEFT JOIN unplaced u USING (vehicle_id, part_id)
    ),
    rows AS (
        SELECT * FROM seen_items
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
           r.numbers_seen, r.seen_weight, r.works, r.other_make
    FROM rows r JOIN universe u USING (vehicle_id, assembly, part_id, code);

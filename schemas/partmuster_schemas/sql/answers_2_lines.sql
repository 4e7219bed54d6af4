-- Which lines of parts lists hold for which vehicles, and which vehicles are alike in that.

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

-- The same for every part, of the lists of some families (NULL = all).
CREATE OR REPLACE MACRO requirements_of_families(families, day, known_now) AS TABLE
    SELECT * FROM requirement_items(NULL, day, known_now)
    WHERE families IS NULL OR list_contains(families, family);

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
-- them any clause does. Lines whose clauses are the same (`demand`) are judged once for all of them.
-- vehicle_ids NULL = every vehicle.
CREATE OR REPLACE MACRO applicable_requirements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH vehicles AS MATERIALIZED (
        SELECT * FROM vehicles_asked_of(vehicle_ids, part_ids, day, known_now)
    ),
    lines AS MATERIALIZED (
        SELECT l.line_id, l.revision, l.part_id, l.family, l.assembly, l.all_builds,
               coalesce(a.asks, 0::UBIGINT) AS asks
        FROM requirement_items(part_ids, day, known_now) l
        LEFT JOIN parts_asking(part_ids, day, known_now) a USING (family, part_id)
        WHERE l.family IN (SELECT family FROM vehicles)
    ),
    demands AS MATERIALIZED (
        SELECT l.line_id, l.part_id, l.family, l.asks,
               list_sort(list_distinct(list({
                   'is_interval': e.is_interval, 'assembly': coalesce(e.assembly, l.assembly),
                   'series': coalesce(e.series, e.assembly, l.assembly), 'mark': e.mark,
                   'phase': e.phase, 'reach': e.reach, 'first_serial': e.first_serial,
                   'last_serial': e.last_serial}))) AS clauses,
               hash(l.family, l.asks, clauses) AS demand
        FROM effectivity e JOIN lines l USING (line_id, revision)
        WHERE NOT l.all_builds
        GROUP BY l.line_id, l.part_id, l.family, l.asks
    ),
    clauses AS MATERIALIZED (
        SELECT demand, family, asks, unnest(clauses, recursive := true)
        FROM (SELECT DISTINCT demand, family, asks, clauses FROM demands)
    ),
    candidates AS MATERIALIZED (
        SELECT * FROM judged_builds(vehicle_ids, day, known_now)
        WHERE (family, assembly) IN (SELECT (family, assembly) FROM clauses WHERE NOT is_interval)
    ),
    -- a demand is judged once for each build there is, and not for each vehicle
    builds AS MATERIALIZED (
        SELECT *, row_number() OVER () AS build
        FROM (SELECT DISTINCT family, assembly, mark, phase FROM candidates)
    ),
    judged AS MATERIALIZED (
        SELECT demand, asks, build,
               CASE WHEN bool_or(NOT holds) THEN false
                    WHEN count(*) = count(holds) THEN true END AS holds
        FROM (  -- any clause will do, but every exception holds
            SELECT demand, asks, build, CASE WHEN bool_or(holds) THEN true
                                             WHEN count(*) = count(holds) THEN false END AS holds
            FROM (
                SELECT c.demand, c.asks, b.build, CASE WHEN c.reach = 'except' THEN c.mark END AS besides,
                       mark_holds(c.mark, c.reach, b.mark)
                       AND phase_holds(c.phase, c.reach, b.phase) AS holds
                FROM clauses c JOIN builds b USING (family, assembly)
                WHERE NOT c.is_interval
            )
            GROUP BY demand, asks, build, besides
        )
        GROUP BY demand, asks, build
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
        SELECT o.vehicle_id, j.demand, o.asks, o.assembly AS about, false AS of_serial,
               CASE WHEN bool_and(j.holds IS NOT DISTINCT FROM true) THEN true
                    WHEN bool_and(j.holds IS NOT DISTINCT FROM false) THEN false END AS holds
        FROM of_builds o JOIN judged j USING (build, asks)
        GROUP BY o.vehicle_id, j.demand, o.asks, o.assembly
        UNION ALL
        SELECT v.vehicle_id, c.demand, c.asks, c.series, true,
               CASE WHEN bool_or(s.serial_value BETWEEN coalesce(c.first_serial, 0)
                                     AND coalesce(c.last_serial, 9223372036854775807)) THEN true
                    WHEN count(*) = count(s.serial_value) THEN false END
        FROM clauses c
        JOIN vehicles v USING (family, asks)
        LEFT JOIN serials_as_of(day, known_now) s
          ON s.vehicle_id = v.vehicle_id AND s.series = c.series
        WHERE c.is_interval
        GROUP BY v.vehicle_id, c.demand, c.asks, c.series
    ),
    verdicts AS MATERIALIZED (  -- where a line depends on more than one thing, all must hold
        SELECT vehicle_id, demand,
               CASE WHEN bool_or(NOT holds) THEN false
                    WHEN count(*) = count(holds) THEN true END AS holds
        FROM checked
        GROUP BY vehicle_id, demand
    ),
    points AS (
        SELECT c.vehicle_id, c.demand,
               list({'about': coalesce(a.name, c.about), 'of_serial': c.of_serial,
                     'mark': b.mark, 'phase': b.phase, 'probability': o.probability,
                     'holds': j.holds, 'settled': coalesce(o.settled, true)}
                    ORDER BY c.of_serial, c.about, o.probability DESC, b.mark, b.phase) AS points
        FROM checked c
        JOIN verdicts v ON v.vehicle_id = c.vehicle_id AND v.demand = c.demand
                       AND v.holds IS NULL
        LEFT JOIN of_builds o ON o.vehicle_id = c.vehicle_id AND o.assembly = c.about
                             AND o.asks = c.asks AND NOT c.of_serial
        LEFT JOIN judged j ON j.demand = c.demand AND j.build = o.build
        LEFT JOIN builds b ON b.build = o.build
        LEFT JOIN assembly a ON a.assembly_id = c.about AND NOT c.of_serial
        WHERE c.holds IS NULL
        GROUP BY c.vehicle_id, c.demand
    ),
    told AS MATERIALIZED (
        SELECT v.*, p.points
        FROM verdicts v LEFT JOIN points p USING (vehicle_id, demand)
    )
    SELECT v.vehicle_id, l.line_id, l.part_id, l.family, l.asks,
           CASE WHEN l.all_builds THEN true ELSE t.holds END AS applies, t.points
    FROM vehicles v
    JOIN lines l USING (family, asks)
    LEFT JOIN demands d ON d.line_id = l.line_id AND d.part_id = l.part_id
    LEFT JOIN told t ON t.vehicle_id = v.vehicle_id AND t.demand = d.demand;

-- Vehicles that are alike in all that some lines ask about need the same of them: each of some vehicles
-- (NULL = all), for what is asked of its family, with the one that stands for all of its like. Serials
-- tell vehicles apart only by the ends of the lines' intervals that they are beyond.
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
        SELECT l.family, p.asks, coalesce(e.series, e.assembly, l.assembly) AS series,
               list_distinct(flatten(list([e.first_serial, e.last_serial + 1]))) AS list
        FROM requirement_items(part_ids, day, known_now) l
        JOIN parts_asking(part_ids, day, known_now) p USING (family, part_id)
        JOIN effectivity e
          ON e.line_id = l.line_id AND e.revision = l.revision AND NOT l.all_builds
        WHERE e.is_interval
        GROUP BY ALL
    ),
    serials AS (
        SELECT v.vehicle_id, e.asks,
               list({'series': s.series, 'beyond': len(list_filter(e.list, lambda x:
                                                                   x <= s.serial_value))}
                    ORDER BY s.series) AS list
        FROM vehicles_as_of(day, known_now) v
        JOIN serials_as_of(day, known_now) s USING (vehicle_id)
        JOIN ends e ON e.family = lower(v.family) AND e.series = s.series
        GROUP BY v.vehicle_id, e.asks
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
               s.list)) AS like_vehicle
    FROM vehicles_as_of(day, known_now) v
    JOIN asked a ON a.family = lower(v.family)
    LEFT JOIN builds b USING (vehicle_id)
    LEFT JOIN serials s ON s.vehicle_id = v.vehicle_id AND s.asks = a.asks
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

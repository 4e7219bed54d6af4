-- lacks: what does each vehicle lack, and how complete is it?

-- The aims an item counts for, in fixed order, but for those that what is there serves (a list);
-- what does not work is no lack of a static display.
CREATE OR REPLACE MACRO aims_of(of_needed_for, of_state, served) AS
    concat_ws(';',
        CASE WHEN of_state <> 'unserviceable' AND counts_for('static-display', of_needed_for)
                  AND NOT list_contains(served, 'static-display')
             THEN 'static-display' END,
        CASE WHEN counts_for('runner', of_needed_for) AND NOT list_contains(served, 'runner')
             THEN 'runner' END,
        CASE WHEN NOT list_contains(served, 'full-original') THEN 'full-original' END);

-- For which aims what is there serves though the original is not: a whole assembly of another make
-- that works lets a runner run, and so do its parts in place of the original's; a later change serves
-- a runner and a static display, and a full original where the target has it.
CREATE OR REPLACE MACRO served_aims(of_seen, is_whole, works, root, displaced, change_serves) AS
    CASE WHEN displaced AND change_serves THEN ['static-display', 'runner', 'full-original']
         WHEN displaced THEN ['static-display', 'runner']
         WHEN (is_whole AND of_seen = 'stand-in' AND works) OR (root.seen = 'stand-in' AND root.works)
         THEN ['runner'] ELSE [] END;

-- Every row about every item that a vehicle's aim needs, by state; `lacking` marks the lacks.
-- Ids and lists for donors come with it. For the columns of the answer see `lacks_as_of`.
CREATE OR REPLACE MACRO lack_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH rows AS (
        SELECT i.* REPLACE (CASE WHEN v.aim = 'as-found' THEN least(i.quantity, i.had_before)
                                 ELSE i.quantity END AS quantity),
               v.vehicle, v.family, v.role, v.aim, v.place_key,
               CASE WHEN s.vehicle_id IS NULL THEN v.mark ELSE s.mark END AS mark,
               CASE WHEN s.vehicle_id IS NULL THEN nullif(v.mark_phase, '')
                    ELSE s.phase END AS phase,
               CASE WHEN s.vehicle_id IS NOT NULL THEN s.build
                    WHEN v.mark IS NULL AND v.mark_phase IS NULL THEN 'not known'
                    ELSE build_said('taken from the vehicle''s mark', v.mark,
                                    nullif(v.mark_phase, '')) END AS build,
               served_aims(i.seen, i.is_whole, i.works, i.root, i.displaced, i.change_serves)
                   AS served,
               CASE WHEN list_contains(served, v.aim)
                         OR (v.aim IS NULL AND len(served) = 3)
                    THEN CASE WHEN i.displaced THEN 'later change serves'
                              ELSE 'stand-in serves' END
                    WHEN v.aim = 'static-display' AND i.seen = 'unserviceable' THEN 'fitted'
                    ELSE i.seen END AS state
        FROM told_items(vehicle_ids, part_ids, day, known_now) i
        JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
        LEFT JOIN builds_for_reading(vehicle_ids, day, known_now) s
          ON s.vehicle_id = i.vehicle_id AND s.assembly = i.assembly
        WHERE CASE WHEN v.aim = 'as-found'
                   THEN i.seen IN ('missing', 'stand-in', 'gone-with-it') AND i.had_before > 0
                   WHEN i.seen = 'build-not-known' THEN counts_for(v.aim, i.needed_for)
                   ELSE (i.required IS NOT NULL OR i.opens IS NOT NULL)
                        AND counts_for(v.aim, i.needed_for) END
    )
    SELECT r.* EXCLUDE (code), nullif(split_part(r.code, '|', 1), '') AS hand,
           nullif(split_part(r.code, '|', 2), '') AS position,
           n.lines, n.lines_perhaps, n.numbers, n.for_all_builds, n.companions, n.depends_on,
           n.agreeing, n.others,
           r.state IN ('missing', 'gone-with-it', 'unserviceable', 'stand-in', 'not-looked-at',
                       'build-not-known') AS lacking
    FROM rows r
    LEFT JOIN required_alike(vehicle_ids, part_ids, day, known_now) n ON n.need = r.need;

-- Where lines of parts lists stand: line, and "file, sheet, row: words" from the newest version that
-- says it. Takes a list so that the big tables are read for those lines only; which sources they are
-- from is looked up first, since the tables of all lines are read much faster for few sources.
CREATE OR REPLACE MACRO places_of_lines(line_ids) AS TABLE
    WITH wanted AS MATERIALIZED (SELECT unnest(line_ids) AS line_id),
    sources AS MATERIALIZED (
        SELECT DISTINCT source_id FROM said_requirement WHERE line_id IN (FROM wanted)
    ),
    origin AS (
        SELECT line_id, source_id, max(source_version) AS version,
               arg_max(raw_number, source_version) AS raw_number
        FROM line_origin
        WHERE source_id IN (FROM sources) AND line_id IN (FROM wanted)
        GROUP BY line_id, source_id
    )
    SELECT o.line_id,
           concat(concat_ws(', ', v.name, r.sheet, 'page ' || r.page, 'row ' || r.row,
                            'column ' || r."column"), ': ', r.words) AS said_at
    FROM origin o
    JOIN source_version v ON v.source_id = o.source_id AND v.version = o.version
    JOIN (SELECT * FROM raw_line WHERE source_id IN (FROM sources)) r
      ON r.source_id = o.source_id AND r.source_version = o.version
     AND r.raw_number = o.raw_number;

-- The rows of the answer with their items folded: a whole that is gone stands for what belongs to it,
-- and an assembly of more than a dozen items of which nothing was looked at for all of them; either
-- opens into so many items (`opens_into`). With `opened` (assembly and part ids) only what belongs to
-- those, item by item.
CREATE OR REPLACE MACRO folded_lacks(vehicle_ids, part_ids, opened, day, known_now, show_all) AS TABLE
    WITH rows AS MATERIALIZED (
        SELECT * REPLACE (CASE state WHEN 'gone-with-it' THEN 'missing' ELSE state END AS state),
               CASE WHEN depends_on IS NULL AND lines IS NOT NULL
                    THEN list_concat(lines, agreeing)
                    ELSE list_sort(list_concat(list_concat(lines, lines_perhaps), agreeing)) END
                   AS of_lines,
               CASE WHEN aim = 'as-found' THEN 'as-found'
                    ELSE aims_of(coalesce(needed_for, ''), state, served) END AS counts_for_aims
        FROM lack_items(vehicle_ids, part_ids, day, known_now)
        WHERE (lacking OR show_all) AND quantity > 0
          AND (opened IS NULL OR list_contains(opened, assembly) OR list_contains(opened, part_id)
               OR list_contains(opened, root.assembly) OR list_contains(opened, root.part_id))
    ),
    unseen AS MATERIALIZED (
        SELECT vehicle_id, assembly FROM rows
        WHERE opened IS NULL AND part_ids IS NULL
        GROUP BY vehicle_id, assembly
        HAVING NOT bool_or(looked_at) AND bool_and(state IN ('not-looked-at', 'build-not-known'))
           AND bool_and(root IS NULL)
           AND count(DISTINCT item) > 12
    ),
    marked AS MATERIALIZED (
        SELECT r.*, CASE WHEN opened IS NOT NULL THEN NULL
                         WHEN r.root IS NOT NULL THEN r.root.part_id
                         WHEN u.vehicle_id IS NOT NULL THEN '' END AS fold,
               CASE WHEN r.root IS NOT NULL THEN r.root.assembly ELSE r.assembly END
                   AS fold_assembly
        FROM rows r LEFT JOIN unseen u USING (vehicle_id, assembly)
    ),
    folds AS (
        SELECT vehicle_id, fold, fold_assembly AS assembly, root.hand AS hand,
               root.position AS position, any_value(vehicle) AS vehicle, any_value(aim) AS aim,
               any_value(family) AS family,
               any_value(root) AS root,
               arg_min(build, (assembly <> fold_assembly, assembly)) AS build,
               count(DISTINCT item) AS opens_into,
               CASE WHEN fold = '' OR any_value(root.seen) = 'away' THEN 'not-looked-at'
                    WHEN bool_and(state = 'stand-in serves') THEN 'stand-in serves'
                    ELSE any_value(root.seen) END AS state,
               CASE WHEN any_value(aim) = 'as-found' THEN 'as-found' ELSE concat_ws(';',
                   CASE WHEN bool_or(contains(counts_for_aims, 'static-display'))
                        THEN 'static-display' END,
                   CASE WHEN bool_or(contains(counts_for_aims, 'runner')) THEN 'runner' END,
                   CASE WHEN bool_or(contains(counts_for_aims, 'full-original'))
                        THEN 'full-original' END) END AS counts_for_aims
        FROM marked WHERE fold IS NOT NULL
        GROUP BY vehicle_id, fold, fold_assembly, root.hand, root.position
    ),
    shown AS (
        SELECT m.* EXCLUDE (opens, fold, fold_assembly), f.opens_into
        FROM marked m
        LEFT JOIN folds f
          ON f.vehicle_id = m.vehicle_id AND f.fold = m.part_id AND f.assembly = m.assembly
         AND f.hand IS NOT DISTINCT FROM m.hand AND f.position IS NOT DISTINCT FROM m.position
         AND f.state = m.state
        WHERE m.fold IS NULL
    )
    SELECT * FROM shown
    UNION ALL BY NAME
    -- a fold of which the whole itself has no row
    SELECT f.vehicle_id, f.vehicle, f.aim, f.family, f.assembly, nullif(f.fold, '') AS part_id,
           f.hand, f.position, f.build, f.state, f.counts_for_aims, f.opens_into,
           1.0::DOUBLE AS total, 1.0::DOUBLE AS quantity, f.root.seen_on AS seen_on,
           f.root.survey_lines AS survey_lines, f.state NOT LIKE '% serves' AS lacking,
           f.fold <> '' AS is_whole
    FROM folds f
    ANTI JOIN shown m
      ON m.vehicle_id = f.vehicle_id AND m.part_id = f.fold AND m.assembly = f.assembly
     AND m.hand IS NOT DISTINCT FROM f.hand AND m.position IS NOT DISTINCT FROM f.position
     AND m.state = f.state
    UNION ALL BY NAME
    SELECT * FROM unseen_lacks(vehicle_ids, day, known_now);

-- The answer itself, for some vehicles (NULL = all). show_all adds what is there and what is
-- accepted. Where the same lines give several states of an item, each state is a row. For `opened`
-- see `folded_lacks`.
CREATE OR REPLACE MACRO lacks_of(vehicle_ids, part_ids, day, known_now, show_all, opened := NULL)
AS TABLE
    WITH rows AS MATERIALIZED (
        SELECT *, flatten([o.lines FOR o IN others]) AS lines_beside
        FROM folded_lacks(vehicle_ids, part_ids, opened, day, known_now, show_all)
    ),
    said AS MATERIALIZED (
        SELECT * FROM places_of_lines(
            (SELECT flatten(list(list_concat(of_lines, lines_beside))) FROM rows))
    ),
    bases AS (
        SELECT of_lines, string_agg(said_at, '; ' ORDER BY said_at) AS basis
        FROM (SELECT DISTINCT of_lines, unnest(of_lines) AS line_id FROM rows) JOIN said
            USING (line_id)
        GROUP BY of_lines
    ),
    -- what other lists say that differs, each with where it stands
    told_beside AS (
        SELECT others, string_agg(told || ': ' || said_at, '; ' ORDER BY place) AS told
        FROM (
            SELECT others, place, told,
                   string_agg(concat_ws(' ', said_at, '(' || line_id || ')'), ', '
                              ORDER BY said_at, line_id) AS said_at
            FROM (SELECT others, place, others[place].told AS told,
                         unnest(others[place].lines) AS line_id
                  FROM (SELECT DISTINCT others, unnest(range(1, len(others) + 1)) AS place
                        FROM rows))
            LEFT JOIN said USING (line_id)
            GROUP BY ALL
        )
        GROUP BY others
    )
    SELECT r.vehicle, r.assembly, r.build, r.part_id AS part, r.hand, r.position, r.state,
           coalesce(CASE WHEN r.state = 'build-not-known' AND r.required IS NULL
                         THEN r.perhaps END, r.required, r.total) AS required,
           r.quantity, r.opens_into, r.counts_for_aims AS needed_for,
           coalesce(b.basis, CASE WHEN r.of_lines IS NULL AND r.opens_into IS NULL
                                  THEN 'seen fitted earlier' END) AS basis,
           r.seen_on,
           nullif(concat_ws('; ',
               array_to_string([d.text FOR d IN r.dissent IF d.seen <> r.seen], '; '),
               t.told), '') AS disagrees,
           r.depends_on::VARCHAR AS depends_on, r.change_said::VARCHAR AS later_change,
           CASE WHEN r.is_whole AND r.state IN ('stand-in', 'stand-in serves', 'stand-in accepted')
                THEN a.said END::VARCHAR AS comes_free,
           p.caution,
           array_to_string(list_concat(coalesce(r.of_lines, []), coalesce(r.survey_lines, [])),
                           ';') AS trace
    FROM rows r
    LEFT JOIN part p ON p.part_id = r.part_id
    LEFT JOIN bases b ON b.of_lines = r.of_lines
    LEFT JOIN told_beside t ON t.others = r.others
    LEFT JOIN adapted_beside(vehicle_ids, day, known_now) a
      ON a.vehicle_id = r.vehicle_id AND a.assembly = r.assembly
    ORDER BY r.vehicle, r.assembly, r.part_id NULLS FIRST, r.hand NULLS FIRST,
             r.position NULLS FIRST, r.state, r.vehicle_id, r.quantity;

-- What every vehicle lacked on a day.
CREATE OR REPLACE MACRO lacks_as_of(day, known_now) AS TABLE
    SELECT * FROM lacks_of(NULL, NULL, day, known_now, false);

-- What every vehicle lacks now.
CREATE OR REPLACE VIEW lacks AS SELECT * FROM lacks_of(NULL, NULL, NULL, false, false);

-- How complete is each vehicle? Rows with an assembly, and one without for the whole vehicle; for
-- each aim, or for the one stated. low = had / required; high counts what was not looked at as
-- had. The whole is the mean of its assemblies by their weight (an assembly the vocabulary does
-- not know weighs 1). Parts, hardware and consumables are each apart (`sort`). What depends on an
-- unknown build is left out; what was never there is not required; an accepted stand-in is
-- required and not had; what serves the aim is had, and what it has in place of the parts of an
-- absent original was not looked at. As found: required is what was had and what was taken since.
CREATE OR REPLACE MACRO completeness_of(vehicle_ids, day, known_now) AS TABLE
    WITH items AS MATERIALIZED (
        SELECT i.item, i.vehicle_id, v.vehicle, a.aim, i.assembly,
               coalesce(p.sort, 'part') AS sort, i.required, i.never_there, i.seen,
               CASE WHEN a.aim = 'as-found' AND i.seen IN ('missing', 'stand-in', 'gone-with-it')
                    THEN least(i.quantity, coalesce(i.had_before, 0))
                    ELSE i.quantity END AS quantity,
               served_aims(i.seen, i.is_whole, i.works, i.root, i.displaced, i.change_serves)
                   AS served,
               i.seen IN ('fitted', 'off-and-kept', 'away-for-repair')
                   OR (i.seen = 'unserviceable' AND a.aim IN ('static-display', 'as-found'))
                   OR (list_contains(served, a.aim) AND i.root IS NULL)
                   AS is_had,
               i.seen = 'not-looked-at' OR (list_contains(served, a.aim) AND i.root IS NOT NULL)
                   AS is_unseen
        FROM told_items(vehicle_ids, NULL, day, known_now) i
        JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
        JOIN part p USING (part_id)
        JOIN (SELECT unnest(['as-found', 'static-display', 'runner', 'full-original']) AS aim) a
          ON a.aim = v.aim OR (v.aim IS NULL AND a.aim <> 'as-found')
        WHERE i.seen <> 'build-not-known'
          AND CASE WHEN a.aim = 'as-found' THEN true
                   ELSE i.required IS NOT NULL AND counts_for(a.aim, i.needed_for) END
    ),
    per_item AS (
        SELECT item, aim, any_value(vehicle_id) AS vehicle_id, any_value(vehicle) AS vehicle,
               any_value(sort) AS sort, any_value(assembly) AS assembly,
               coalesce(sum(quantity) FILTER (is_had), 0) AS had,
               coalesce(sum(quantity) FILTER (is_unseen AND NOT is_had AND aim <> 'as-found'), 0)
                   AS not_looked_at,
               CASE WHEN aim = 'as-found'
                    THEN coalesce(sum(quantity) FILTER (
                        is_had OR seen IN ('missing', 'stand-in', 'gone-with-it')), 0)
                    ELSE any_value(required) - any_value(never_there) END AS required
        FROM items
        GROUP BY item, aim
    ),
    summed AS (
        SELECT vehicle_id, vehicle, aim, sort, assembly AS of_assembly, sum(required) AS required,
               sum(had) AS had, sum(not_looked_at) AS not_looked_at
        FROM per_item
        GROUP BY ALL
        UNION ALL BY NAME
        SELECT *, 0 AS had, required AS not_looked_at
        FROM unseen_sums(vehicle_ids, day, known_now)
    ),
    per_assembly AS MATERIALIZED (
        SELECT s.*, had / required AS low, (had + not_looked_at) / required AS high,
               coalesce(a.weight, 1.0) AS weight
        FROM summed s LEFT JOIN assembly a ON a.assembly_id = s.of_assembly
        WHERE required > 0
    ),
    whole AS (
        SELECT vehicle_id, vehicle, aim, sort, sum(required) AS required, sum(had) AS had,
               sum(not_looked_at) AS not_looked_at,
               sum(low * weight ORDER BY of_assembly) / sum(weight ORDER BY of_assembly) AS low,
               sum(high * weight ORDER BY of_assembly) / sum(weight ORDER BY of_assembly) AS high
        FROM per_assembly
        WHERE weight > 0
        GROUP BY ALL
    )
    SELECT vehicle, aim, sort, of_assembly AS assembly, required, had, not_looked_at, low, high
    FROM (
        SELECT * EXCLUDE (weight) FROM per_assembly
        UNION ALL BY NAME
        SELECT * FROM whole
    )
    ORDER BY vehicle, vehicle_id, list_position(['as-found', 'static-display', 'runner',
             'full-original'], aim), list_position(['part', 'hardware', 'consumable'], sort),
             assembly NULLS FIRST;

-- How complete every vehicle was on a day, and is now.
CREATE OR REPLACE MACRO completeness_as_of(day, known_now) AS TABLE
    SELECT * FROM completeness_of(NULL, day, known_now);
CREATE OR REPLACE VIEW completeness AS SELECT * FROM completeness_of(NULL, NULL, false);

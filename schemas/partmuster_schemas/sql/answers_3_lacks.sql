-- lacks: what does each vehicle lack, and how complete is it?

-- Does an item count for an aim? A full original needs every item; with no aim stated all count.
CREATE OR REPLACE MACRO counts_for(of_aim, of_needed_for) AS
    of_aim IS NULL OR of_aim = 'full-original'
    OR list_contains(string_split(replace(of_needed_for, ' ', ''), ';'), of_aim);

-- The aims an item counts for, in fixed order; what does not work is no lack of a static display.
CREATE OR REPLACE MACRO aims_of(of_needed_for, of_state) AS
    concat_ws(';',
        CASE WHEN of_state <> 'unserviceable' AND counts_for('static-display', of_needed_for)
             THEN 'static-display' END,
        CASE WHEN counts_for('runner', of_needed_for) THEN 'runner' END,
        'full-original');

-- A build for reading, with a word on where it comes from.
CREATE OR REPLACE MACRO build_said(is_stated, stated_mark, stated_phase, own_mark, own_phase) AS
    coalesce(CASE WHEN is_stated THEN build_words(coalesce(stated_mark, own_mark), stated_phase)
                  ELSE build_words(own_mark, nullif(own_phase, ''))
                       || ' (taken from the vehicle''s mark)' END, 'not known');

-- Every row about every item that a vehicle's aim needs, by state; `lacking` marks the lacks.
-- Ids and lists for donors come with it. For the columns of the answer see `lacks_as_of`.
CREATE OR REPLACE MACRO lack_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH rows AS (
        SELECT i.* REPLACE (CASE WHEN v.aim = 'as-found' THEN least(i.quantity, i.had_before)
                                 ELSE i.quantity END AS quantity),
               v.vehicle, v.family, v.role, v.aim, v.place_key,
               CASE WHEN s.vehicle_id IS NULL THEN v.mark
                    ELSE coalesce(s.build.mark, v.mark) END AS mark,
               CASE WHEN s.vehicle_id IS NULL THEN nullif(v.mark_phase, '')
                    ELSE s.build.phase END AS phase,
               build_said(s.vehicle_id IS NOT NULL, s.build.mark, s.build.phase, v.mark,
                          v.mark_phase) AS build,
               CASE WHEN v.aim = 'static-display' AND i.seen = 'unserviceable' THEN 'fitted'
                    ELSE i.seen END AS state
        FROM vehicle_items(vehicle_ids, part_ids, day, known_now) i
        JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
        LEFT JOIN stated_builds_as_of(day, known_now) s
          ON s.vehicle_id = i.vehicle_id AND s.assembly = i.assembly
        WHERE CASE WHEN v.aim = 'as-found'
                   THEN i.seen IN ('missing', 'stand-in') AND i.had_before > 0
                   WHEN i.seen = 'build-not-known' THEN counts_for(v.aim, i.needed_for)
                   ELSE i.required IS NOT NULL AND counts_for(v.aim, i.needed_for) END
    )
    SELECT *, state IN ('missing', 'unserviceable', 'stand-in', 'not-looked-at',
                        'build-not-known') AS lacking
    FROM rows;

-- Where lines stand: line, and "file, sheet, row: words" from the newest version that says it.
-- Takes a list so that the big tables are read for those lines only.
CREATE OR REPLACE MACRO places_of_lines(line_ids) AS TABLE
    WITH origin AS (
        SELECT line_id, source_id, max(source_version) AS version,
               arg_max(raw_number, source_version) AS raw_number
        FROM line_origin
        WHERE line_id IN (SELECT unnest(line_ids))
        GROUP BY line_id, source_id
    )
    SELECT o.line_id,
           concat(concat_ws(', ', v.name, r.sheet, 'page ' || r.page, 'row ' || r.row,
                            'column ' || r."column"), ': ', r.words) AS said_at
    FROM origin o
    JOIN source_version v ON v.source_id = o.source_id AND v.version = o.version
    JOIN raw_line r ON r.source_id = o.source_id AND r.source_version = o.version
                   AND r.raw_number = o.raw_number;

-- The answer itself, for some vehicles (NULL = all). show_all adds what is there and what is
-- accepted. Where the same lines give several states of an item, each state is a row.
CREATE OR REPLACE MACRO lacks_of(vehicle_ids, part_ids, day, known_now, show_all) AS TABLE
    WITH rows AS MATERIALIZED (
        SELECT *, list_concat(coalesce(lines, lines_perhaps), agreeing) AS of_lines,
               flatten([o.lines FOR o IN others]) AS lines_beside
        FROM lack_items(vehicle_ids, part_ids, day, known_now)
        WHERE (lacking OR show_all) AND quantity > 0
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
           coalesce(r.required, CASE WHEN r.state = 'build-not-known' THEN r.perhaps END,
                    r.total) AS required,
           r.quantity,
           CASE WHEN r.aim = 'as-found' THEN 'as-found'
                ELSE aims_of(coalesce(r.needed_for, ''), r.state) END AS needed_for,
           coalesce(b.basis, CASE WHEN r.of_lines IS NULL THEN 'seen fitted earlier' END)
               AS basis,
           r.seen_on,
           nullif(concat_ws('; ',
               array_to_string([d.text FOR d IN r.dissent IF d.seen <> r.seen], '; '),
               t.told), '') AS disagrees,
           p.caution,
           array_to_string(list_concat(coalesce(r.of_lines, []), coalesce(r.survey_lines, [])),
                           ';') AS trace
    FROM rows r
    JOIN part p ON p.part_id = r.part_id
    LEFT JOIN bases b ON b.of_lines = r.of_lines
    LEFT JOIN told_beside t ON t.others = r.others
    ORDER BY r.vehicle, r.assembly, r.part_id, r.hand NULLS FIRST, r.position NULLS FIRST,
             r.state, r.vehicle_id, r.quantity;

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
-- required and not had. As found: required is what was had and what was taken since.
CREATE OR REPLACE MACRO completeness_of(vehicle_ids, day, known_now) AS TABLE
    WITH items AS MATERIALIZED (
        SELECT i.vehicle_id, v.vehicle, a.aim, i.assembly, i.part_id, i.hand, i.position,
               coalesce(p.sort, 'part') AS sort, i.required, i.never_there, i.seen,
               CASE WHEN a.aim = 'as-found' AND i.seen IN ('missing', 'stand-in')
                    THEN least(i.quantity, coalesce(i.had_before, 0))
                    ELSE i.quantity END AS quantity,
               i.seen IN ('fitted', 'off-and-kept', 'away-for-repair')
                   OR (i.seen = 'unserviceable' AND a.aim IN ('static-display', 'as-found'))
                   AS is_had
        FROM vehicle_items(vehicle_ids, NULL, day, known_now) i
        JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
        JOIN part p USING (part_id)
        JOIN (SELECT unnest(['as-found', 'static-display', 'runner', 'full-original']) AS aim) a
          ON a.aim = v.aim OR (v.aim IS NULL AND a.aim <> 'as-found')
        WHERE i.seen <> 'build-not-known'
          AND CASE WHEN a.aim = 'as-found' THEN true
                   ELSE i.required IS NOT NULL AND counts_for(a.aim, i.needed_for) END
    ),
    per_item AS (
        SELECT vehicle_id, vehicle, aim, sort, assembly, part_id, hand, position,
               coalesce(sum(quantity) FILTER (is_had), 0) AS had,
               coalesce(sum(quantity) FILTER (seen = 'not-looked-at' AND aim <> 'as-found'), 0)
                   AS not_looked_at,
               CASE WHEN aim = 'as-found'
                    THEN coalesce(sum(quantity) FILTER (
                        is_had OR seen IN ('missing', 'stand-in')), 0)
                    ELSE any_value(required) - any_value(never_there) END AS required
        FROM items
        GROUP BY vehicle_id, vehicle, aim, sort, assembly, part_id, hand, position
    ),
    summed AS (
        SELECT vehicle_id, vehicle, aim, sort, assembly AS of_assembly, sum(required) AS required,
               sum(had) AS had, sum(not_looked_at) AS not_looked_at
        FROM per_item
        GROUP BY ALL
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

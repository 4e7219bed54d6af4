-- What vehicles lack of assemblies of which nothing was looked at, worked out at once for all that are
-- alike: of many vehicles nearly everything. `lacks` for all vehicles sets these apart from the rest
-- (keep_unseen in answers/apart.py), of which everything is worked out item by item.

-- A build for reading, with a word on where it comes from.
CREATE OR REPLACE MACRO build_said(of_told_by, of_mark, of_phase) AS
    coalesce(coalesce(build_words(of_mark, of_phase),
                      CASE WHEN of_told_by <> 'stated' THEN 'none of these, or converted' END)
             || CASE of_told_by WHEN 'stated' THEN '' ELSE ' (' || of_told_by || ')' END,
             'not known');

-- The build of each assembly of some vehicles (NULL = all) for reading, with all that remain where it
-- is not settled; mark and phase as far as all agree. Only where something is known of the assembly.
CREATE OR REPLACE MACRO builds_for_reading(vehicle_ids, day, known_now) AS TABLE
    WITH told AS (
        SELECT b.vehicle_id, b.assembly, b.probability, b.told_by, b.phase,
               CASE WHEN b.phase IS NULL THEN b.mark ELSE coalesce(b.mark, v.mark) END AS mark
        FROM assembly_builds_as_of(day, known_now) b
        JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
        WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id)
    )
    SELECT vehicle_id, assembly,
           CASE WHEN count(DISTINCT mark) = 1 THEN any_value(mark) END AS mark,
           CASE WHEN count(DISTINCT phase) = 1 AND count(*) = count(phase)
                THEN any_value(phase) END AS phase,
           CASE WHEN bool_or(told_by = 'not settled')
                THEN string_agg(candidate_said(mark, phase, probability), ' or '
                                ORDER BY mark IS NULL AND phase IS NULL, probability DESC, mark,
                                         phase)
                ELSE any_value(build_said(told_by, mark, phase)) END AS build
    FROM told
    GROUP BY vehicle_id, assembly;

-- What the lists require of each assembly, for vehicles that are alike in `asks`, by sort of part:
-- items, and how many where it is certain, that count for a static display, a runner, both and all.
CREATE OR REPLACE MACRO required_sums(vehicle_ids, day, known_now) AS TABLE
    SELECT r.vehicle_id AS like_vehicle, r.family, r.asks, r.assembly,
           coalesce(p.sort, 'part') AS sort, count(*) AS items,
           count(*) FILTER (for_display) AS display_items,
           count(*) FILTER (for_runner) AS runner_items,
           count(*) FILTER (for_display AND for_runner) AS both_items,
           coalesce(sum(required), 0) AS required,
           coalesce(sum(required) FILTER (for_display), 0) AS display_required,
           coalesce(sum(required) FILTER (for_runner), 0) AS runner_required
    FROM (
        SELECT *, counts_for('static-display', needed_for) AS for_display,
               counts_for('runner', needed_for) AS for_runner
        FROM required_alike(vehicle_ids, NULL, day, known_now)
    ) r
    JOIN part p USING (part_id)
    GROUP BY ALL;

-- The assemblies of each vehicle (NULL = all) of which no survey says anything, and which nothing
-- that was said of another assembly can concern, with how many items the vehicle's aim needs.
CREATE OR REPLACE MACRO assemblies_unseen(vehicle_ids, day, known_now) AS TABLE
    WITH vehicles AS MATERIALIZED (
        SELECT vehicle_id, lower(family) AS family, aim FROM vehicles_as_of(day, known_now)
    ),
    needed AS (
        SELECT a.vehicle_id, a.family, r.assembly, v.aim,
               sum(CASE v.aim WHEN 'static-display' THEN r.display_items
                              WHEN 'runner' THEN r.runner_items
                              WHEN 'as-found' THEN 0 ELSE r.items END) AS opens_into,
               sum(CASE v.aim WHEN 'runner' THEN r.both_items ELSE r.display_items END) > 0
                   AS for_display,
               sum(CASE v.aim WHEN 'static-display' THEN r.both_items ELSE r.runner_items END) > 0
                   AS for_runner
        FROM vehicles_alike(vehicle_ids, NULL, day, known_now) a
        JOIN vehicles v USING (vehicle_id)
        JOIN required_sums(vehicle_ids, day, known_now) r
          ON r.like_vehicle = a.like_vehicle AND r.family = a.family AND r.asks = a.asks
        GROUP BY ALL
    ),
    statements AS MATERIALIZED (
        SELECT DISTINCT vehicle_id, part_id, assembly, home
        FROM survey_statements(vehicle_ids, NULL, day, known_now)
    ),
    told AS (
        SELECT vehicle_id, unnest([assembly, home]) AS assembly FROM statements
        UNION
        SELECT s.vehicle_id, r.assembly
        FROM statements s
        JOIN vehicles v USING (vehicle_id)
        JOIN (SELECT DISTINCT family, part_id, assembly
              FROM required_alike(vehicle_ids, NULL, day, known_now)) r
          ON r.family = v.family AND r.part_id = s.part_id
    ),
    -- what may go with a whole of another assembly, and what later changes displaced
    across AS (
        SELECT family, unnest([assembly, under_assembly]) AS assembly
        FROM listed_parents(day, known_now) WHERE under_assembly <> assembly
    ),
    changed AS (
        SELECT n.target FROM survey_as_of(day, known_now) s
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = s.vehicle_key
        WHERE s.displaced IS NOT NULL
    )
    SELECT vehicle_id, assembly, aim, opens_into, for_display, for_runner
    FROM needed
    ANTI JOIN told USING (vehicle_id, assembly)
    ANTI JOIN across USING (family, assembly)
    WHERE vehicle_id NOT IN (FROM changed);

-- The same as required_items without what is set apart: of assemblies of which nothing was looked at,
-- those of more than a dozen items that the vehicle's aim needs, since they fold, and what it does not
-- need.
CREATE OR REPLACE MACRO required_if_looked_at(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH assemblies AS MATERIALIZED (
        SELECT a.vehicle_id, a.like_vehicle, a.asks, r.assembly, u.aim,
               u.vehicle_id IS NOT NULL AS is_unseen
        FROM vehicles_alike(vehicle_ids, part_ids, day, known_now) a
        JOIN (SELECT DISTINCT like_vehicle, asks, assembly
              FROM required_sums(vehicle_ids, day, known_now)) r
          ON r.like_vehicle = a.like_vehicle AND r.asks = a.asks
        LEFT JOIN unseen_assemblies(vehicle_ids, day, known_now) u
          ON u.vehicle_id = a.vehicle_id AND u.assembly = r.assembly
        WHERE u.vehicle_id IS NULL OR u.opens_into BETWEEN 1 AND 12
    )
    SELECT item_number(a.vehicle_id, r.assembly, r.part_id, r.code) AS item, r.need, a.vehicle_id,
           r.assembly, r.part_id, r.code, r.required, r.perhaps, r.needed_for
    FROM required_alike(vehicle_ids, part_ids, day, known_now) r
    JOIN assemblies a
      ON hash(a.like_vehicle, a.asks, a.assembly) = hash(r.vehicle_id, r.asks, r.assembly)
    WHERE NOT a.is_unseen OR counts_for(a.aim, r.needed_for);

-- The rows of `lacks` for assemblies that are set apart.
CREATE OR REPLACE MACRO unseen_lacks(vehicle_ids, day, known_now) AS TABLE
    SELECT v.vehicle_id, v.vehicle, v.aim, v.family, u.assembly,
           CASE WHEN s.vehicle_id IS NOT NULL THEN s.build
                WHEN v.mark IS NULL AND v.mark_phase IS NULL THEN 'not known'
                ELSE build_said('taken from the vehicle''s mark', v.mark, nullif(v.mark_phase, ''))
                END AS build,
           'not-looked-at' AS state,
           concat_ws(';', CASE WHEN u.for_display THEN 'static-display' END,
                     CASE WHEN u.for_runner THEN 'runner' END, 'full-original')
               AS counts_for_aims,
           u.opens_into::BIGINT AS opens_into, 1.0::DOUBLE AS total, 1.0::DOUBLE AS quantity, true AS lacking,
           false AS is_whole
    FROM unseen_assemblies(vehicle_ids, day, known_now) u
    JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
    LEFT JOIN builds_for_reading(vehicle_ids, day, known_now) s
      ON s.vehicle_id = u.vehicle_id AND s.assembly = u.assembly
    WHERE u.opens_into > 12;

-- What is required of them, by aim, for `completeness`.
CREATE OR REPLACE MACRO unseen_sums(vehicle_ids, day, known_now) AS TABLE
    SELECT u.vehicle_id, v.vehicle, a.aim, r.sort, u.assembly AS of_assembly,
           sum(CASE a.aim WHEN 'static-display' THEN r.display_required
                          WHEN 'runner' THEN r.runner_required ELSE r.required END) AS required
    FROM unseen_assemblies(vehicle_ids, day, known_now) u
    JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
    JOIN (SELECT unnest(['static-display', 'runner', 'full-original']) AS aim) a
      ON a.aim = v.aim OR v.aim IS NULL
    JOIN vehicles_alike(vehicle_ids, NULL, day, known_now) k ON k.vehicle_id = u.vehicle_id
    JOIN required_sums(vehicle_ids, day, known_now) r
      ON r.like_vehicle = k.like_vehicle AND r.family = k.family AND r.asks = k.asks
     AND r.assembly = u.assembly
    WHERE u.opens_into > 12
    GROUP BY ALL;

-- The same where nothing is set apart.
CREATE OR REPLACE MACRO no_unseen_lacks(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS vehicle_id WHERE false;
CREATE OR REPLACE MACRO no_unseen_sums(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS vehicle_id, NULL::VARCHAR AS vehicle, NULL::VARCHAR AS aim,
           NULL::VARCHAR AS sort, NULL::VARCHAR AS of_assembly, NULL::DOUBLE AS required
    WHERE false;

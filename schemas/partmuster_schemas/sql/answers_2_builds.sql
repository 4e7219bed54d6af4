-- What each assembly of a vehicle was built to: set by the registrar, stated, or told by evidence.

-- Builds that were set for an assembly of a vehicle (topic 'build', subject 'vehicle|assembly',
-- answer 'Mk 2 early' or 'none'). A decision that was taken back does not count, and where two
-- that stand differ, none does. With known_now: as decided today.
CREATE OR REPLACE MACRO builds_set_as_of(day, known_now) AS TABLE
    WITH made AS (
        SELECT * FROM decision
        WHERE topic = 'build'
          AND (CAST(day AS DATE) IS NULL OR known_now
               OR decided_at < CAST(day AS DATE) + INTERVAL 1 DAY)
    ),
    taken_back AS (  -- by a decision that was not taken back itself
        SELECT undoes FROM made
        WHERE undoes IS NOT NULL
          AND decision_id NOT IN (SELECT undoes FROM made WHERE undoes IS NOT NULL)
    )
    SELECT regexp_extract(subject, '^(.*)\|[^|]*$', 1) AS vehicle_id,
           regexp_extract(subject, '([^|]*)$', 1) AS assembly,
           CASE WHEN answer <> 'none'
                THEN nullif(regexp_extract(answer, '^(.*?) ?(early|mid|late)?$', 1), '') END AS mark,
           nullif(regexp_extract(answer, '(early|mid|late)$', 1), '') AS phase,
           any_value(decided_by ORDER BY decided_at, decision_id) AS set_by,
           min(decided_at) AS set_at,
           any_value(decision_id ORDER BY decided_at, decision_id) AS decision_id
    FROM made
    WHERE answer IS NOT NULL AND decision_id NOT IN (SELECT undoes FROM taken_back)
    GROUP BY subject, answer
    QUALIFY count(*) OVER (PARTITION BY subject) = 1;

-- The build stated for an assembly on a vehicle, from the best line that names the assembly.
-- A phase alone ("final drive: late") takes the vehicle's mark.
CREATE OR REPLACE MACRO builds_stated_as_of(day, known_now) AS TABLE
    SELECT n.target AS vehicle_id, v.assembly,
           arg_max({'mark': v.mark, 'phase': v.phase, 'line_id': line_id},
                   statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
                       || line_id) AS build
    FROM vehicle_as_of(day, known_now) v
    JOIN accepted_names('vehicle', day, known_now) n ON n.key = v.vehicle_key
    WHERE v.assembly IS NOT NULL AND (v.mark IS NOT NULL OR v.phase IS NOT NULL)
    GROUP BY ALL;

-- The remaining candidates for the build of each assembly of which something of its own is known:
-- one row where it is settled, several ('not settled') where it is not. A row without mark and
-- phase is 'none of these, or converted'.
CREATE OR REPLACE MACRO assembly_builds_as_of(day, known_now) AS TABLE
    WITH set_builds AS MATERIALIZED (SELECT * FROM builds_set_as_of(day, known_now)),
    stated AS (
        SELECT vehicle_id, assembly, build.mark AS mark, build.phase AS phase
        FROM builds_stated_as_of(day, known_now)
    )
    SELECT vehicle_id, assembly, mark, phase, 1.0::DOUBLE AS probability,
           'set by the registrar' AS told_by
    FROM set_builds
    UNION ALL
    SELECT vehicle_id, assembly, mark, phase, 1.0::DOUBLE, 'stated'
    FROM stated ANTI JOIN set_builds USING (vehicle_id, assembly);

-- The build of each assembly of a vehicle that is settled. 'None of these' is no build.
CREATE OR REPLACE MACRO stated_builds_as_of(day, known_now) AS TABLE
    SELECT vehicle_id, assembly, {'mark': mark, 'phase': phase} AS build
    FROM assembly_builds_as_of(day, known_now)
    WHERE told_by <> 'not settled' AND (mark IS NOT NULL OR phase IS NOT NULL);

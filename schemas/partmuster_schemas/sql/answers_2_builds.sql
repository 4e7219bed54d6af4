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

-- The builds that somebody settled: set by the registrar before stated by a line.
CREATE OR REPLACE MACRO builds_settled_as_of(day, known_now) AS TABLE
    WITH set_builds AS MATERIALIZED (SELECT * FROM builds_set_as_of(day, known_now))
    SELECT vehicle_id, assembly, mark, phase, 1.0::DOUBLE AS probability,
           'set by the registrar' AS told_by
    FROM set_builds
    UNION ALL
    SELECT vehicle_id, assembly, build.mark, build.phase, 1.0::DOUBLE, 'stated'
    FROM builds_stated_as_of(day, known_now) ANTI JOIN set_builds USING (vehicle_id, assembly);

-- How likely each candidate is by the evidence, for each assembly of which something of its own is
-- known: naive Bayes. `own_likelihood` is the logarithm of the likelihood of what is known of the
-- assembly itself, `by_mark` whether the vehicle's own mark covers the candidate.
CREATE OR REPLACE MACRO build_probabilities_as_of(day, known_now) AS TABLE
    WITH summed AS (
        SELECT of_assembly, number, any_value(vehicle_id) AS vehicle_id,
               any_value(assembly) AS assembly, any_value(family) AS family,
               any_value(own_mark) AS own_mark, any_value(own_phase) AS own_phase,
               sum(share * log_likelihood) AS likelihood,
               sum(share * log_likelihood) FILTER (own) AS own_likelihood
        FROM build_evidence_as_of(day, known_now)
        GROUP BY of_assembly, number
    ),
    weighed AS (
        SELECT s.*, c.mark, c.phase, s.likelihood + ln(c.prior) AS weight
        FROM summed s
        JOIN build_candidates_as_of(day, known_now) c USING (family, assembly, number)
    )
    SELECT vehicle_id, assembly, mark, phase, number, family, own_likelihood,
           own_mark IS NOT NULL AND number > 0 AND build_covers(own_mark, own_phase, mark, phase)
               AS by_mark,
           -- equal candidates stay equal, whatever the order in which they were summed
           round(odds / sum(odds) OVER (PARTITION BY of_assembly), 12) AS probability
    FROM (SELECT *, exp(weight - max(weight) OVER (PARTITION BY of_assembly)) AS odds
          FROM weighed);

-- What the evidence alone tells: a candidate, or those that remain (of which there are at least
-- two). While no other candidate explains what is known of the assembly itself better than the
-- vehicle's own mark does, that mark holds.
CREATE OR REPLACE MACRO builds_told_as_of(day, known_now) AS TABLE
    WITH ranked AS (
        SELECT *, max(probability) OVER of_assembly AS best,
               row_number() OVER (PARTITION BY vehicle_id, assembly
                   ORDER BY probability DESC, mark NULLS LAST, phase NULLS LAST) AS place,
               max(own_likelihood) FILTER (by_mark) OVER of_assembly AS by_its_mark,
               max(own_likelihood) FILTER (NOT by_mark) OVER of_assembly AS by_another
        FROM build_probabilities_as_of(day, known_now)
        WINDOW of_assembly AS (PARTITION BY vehicle_id, assembly)
    )
    SELECT vehicle_id, assembly, mark, phase, probability,
           CASE WHEN best >= build_constant('told')
                THEN CASE WHEN place = 1 THEN 'told by features' ELSE 'unlikely' END
                WHEN by_its_mark + 1e-9 >= by_another
                THEN CASE WHEN by_mark THEN 'by the vehicle''s mark' ELSE 'possible' END
                WHEN probability + 1e-9 >= build_constant('remaining') OR place <= 2 THEN 'not settled'
                ELSE 'unlikely' END AS told_by
    FROM ranked;

-- The remaining candidates for the build of each assembly of which something of its own is known:
-- one row where it is settled, several ('not settled') where it is not. A row without mark and
-- phase is 'none of these, or converted'. Where a mark alone is settled and the evidence tells which
-- of its phases it is, it is that.
CREATE OR REPLACE MACRO assembly_builds_as_of(day, known_now) AS TABLE
    WITH settled AS MATERIALIZED (SELECT * FROM builds_settled_as_of(day, known_now)),
    told AS MATERIALIZED (
        SELECT *, probability / sum(probability) OVER of_mark AS share,
               count(*) OVER of_mark AS phases
        FROM builds_told_as_of(day, known_now)
        WINDOW of_mark AS (PARTITION BY vehicle_id, assembly, mark, phase IS NULL)
    )
    SELECT s.* REPLACE (coalesce(s.phase, t.phase) AS phase,
                        coalesce(t.share, s.probability) AS probability,
                        s.told_by || CASE WHEN t.phase IS NOT NULL
                                          THEN ', phase told by features' ELSE '' END AS told_by)
    FROM settled s
    LEFT JOIN told t
      ON t.vehicle_id = s.vehicle_id AND t.assembly = s.assembly AND t.mark = s.mark
     AND s.phase IS NULL AND t.phase IS NOT NULL AND t.phases > 1
     AND t.share >= build_constant('told')
    UNION ALL
    SELECT vehicle_id, assembly, mark, phase, probability, told_by
    FROM told ANTI JOIN settled USING (vehicle_id, assembly)
    WHERE told_by IN ('told by features', 'not settled');

-- The build of each assembly of a vehicle that is settled. 'None of these' is no build.
CREATE OR REPLACE MACRO stated_builds_as_of(day, known_now) AS TABLE
    SELECT vehicle_id, assembly, {'mark': mark, 'phase': phase} AS build
    FROM assembly_builds_as_of(day, known_now)
    WHERE told_by <> 'not settled' AND (mark IS NOT NULL OR phase IS NOT NULL);

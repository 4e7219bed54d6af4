-- builds: what is each assembly, what speaks for and against it, and what to look at next?

-- Evidence about assemblies with what each piece says of each candidate, in bits against the others
-- together. What does not count has no build and no bits.
CREATE OR REPLACE MACRO weighed_evidence(vehicle_ids, day, known_now) AS TABLE
    WITH counted AS (
        SELECT e.*, c.prior, c.prior * exp(e.log_likelihood) AS joint
        FROM build_evidence_as_of(day, known_now) e
        JOIN build_candidates_as_of(day, known_now) c USING (family, assembly, number)
        WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, e.vehicle_id)
    )
    SELECT vehicle_id, assembly, number, mark, phase, evidence, sort, feature, feature_group,
           line_id, share, own, log_likelihood, NULL AS not_counted,
           share / ln(2) * (log_likelihood
               - ln((sum(joint) OVER piece - joint) / (sum(prior) OVER piece - prior))) AS bits
    FROM counted
    WINDOW piece AS (PARTITION BY of_assembly, line_id, sort, evidence)
    UNION ALL BY NAME
    SELECT vehicle_id, assembly, evidence, sort, feature, line_id, not_counted
    FROM build_pieces_as_of(day, known_now)
    WHERE not_counted IS NOT NULL
      AND (vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id));

-- Evidence of an assembly itself that contradicts itself: statements about one feature that differ,
-- and pieces of which one makes another build four times as likely as the leading one, and another
-- a fourth.
CREATE OR REPLACE MACRO build_contradictions(vehicle_ids, day, known_now) AS TABLE
    WITH pieces AS MATERIALIZED (
        SELECT * FROM weighed_evidence(vehicle_ids, day, known_now)
    ),
    best_one AS (
        SELECT vehicle_id, assembly,
               arg_max({'number': number, 'mark': mark, 'phase': phase}, probability) AS build
        FROM build_probabilities_as_of(day, known_now)
        WHERE number > 0
        GROUP BY ALL
    ),
    against AS (
        SELECT p.vehicle_id, p.assembly, p.mark, p.phase, l.build, p.evidence, p.line_id,
               p.share * (p.log_likelihood - q.log_likelihood) AS better
        FROM best_one l
        JOIN pieces p USING (vehicle_id, assembly)
        JOIN pieces q
          ON q.vehicle_id = p.vehicle_id AND q.assembly = p.assembly AND q.line_id = p.line_id
         AND q.sort = p.sort AND q.evidence = p.evidence AND q.number = l.build.number
        WHERE p.number > 0 AND p.own
    ),
    both_ways AS (
        SELECT vehicle_id, assembly, mark, phase, any_value(build) AS build,
               string_agg(printf('%s (%s)', evidence, line_id), ', ' ORDER BY better, line_id)
                   FILTER (better <= -ln(4)) AS for_leading,
               string_agg(printf('%s (%s)', evidence, line_id), ', ' ORDER BY better DESC, line_id)
                   FILTER (better >= ln(4)) AS for_other
        FROM against GROUP BY vehicle_id, assembly, mark, phase
    ),
    said AS (
        SELECT vehicle_id, assembly, 2 AS place, build_words(mark, phase) AS other,
               printf('for %s and not %s: %s, but for %s: %s',
                      build_words(build.mark, build.phase), build_words(mark, phase), for_leading,
                      build_words(mark, phase), for_other) AS words
        FROM both_ways WHERE for_leading IS NOT NULL AND for_other IS NOT NULL
        UNION ALL
        SELECT vehicle_id, assembly, 1, line_id,
               printf('%s (%s): a better statement says otherwise', evidence, line_id)
        FROM pieces WHERE not_counted = 'a better statement says otherwise'
    )
    SELECT vehicle_id, assembly, string_agg(words, '; ' ORDER BY place, other) AS contradiction
    FROM said GROUP BY vehicle_id, assembly;

-- How much an assembly's features that nobody has looked for would tell of it on average: the
-- expected fall of the entropy of its candidates, in bits (their mutual information, where nothing
-- of the feature's group was seen).
CREATE OR REPLACE MACRO features_to_look_at(vehicle_ids, day, known_now) AS TABLE
    WITH candidates AS MATERIALIZED (
        SELECT * FROM build_probabilities_as_of(day, known_now)
        WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id)
    ),
    seen AS MATERIALIZED (
        SELECT DISTINCT vehicle_id, assembly, feature FROM build_pieces_as_of(day, known_now)
        WHERE feature IS NOT NULL
    ),
    grouped AS (
        SELECT vehicle_id, assembly, feature_group, number, count(*) AS pieces,
               avg(log_likelihood) AS mean
        FROM build_evidence_as_of(day, known_now) WHERE sort = 'feature'
        GROUP BY ALL
    ),
    outcomes AS (
        SELECT c.vehicle_id, c.assembly, c.probability, f.feature,
               f.feature_words, is_there, coalesce(g.pieces, 0) AS pieces,
               coalesce(g.mean, 0) AS mean,
               ln(CASE WHEN is_there THEN chance ELSE 1 - chance END
                  * (1 - build_constant('misseen'))
                  + CASE WHEN is_there THEN 1 - chance ELSE chance END
                  * build_constant('misseen')) AS log_likelihood
        FROM candidates c
        JOIN build_features_as_of(day, known_now) f
          ON f.family = c.family AND f.assembly = c.assembly AND f.number = c.number
        ANTI JOIN seen s ON s.vehicle_id = c.vehicle_id AND s.assembly = c.assembly
                        AND s.feature = f.feature
        LEFT JOIN grouped g ON g.vehicle_id = c.vehicle_id AND g.assembly = c.assembly
              AND g.feature_group = f.feature_group AND g.number = c.number
        CROSS JOIN (VALUES (true), (false)) o(is_there)
    ),
    after_it AS (
        SELECT vehicle_id, assembly, feature, any_value(feature_words) AS feature_words, is_there,
               sum(probability * exp(log_likelihood)) AS chance,
               list({'before': probability,
                     'after': probability * exp((log_likelihood - mean) / (pieces + 1))}) AS builds
        FROM outcomes GROUP BY vehicle_id, assembly, feature, is_there
    ),
    entropies AS (
        SELECT *, list_sum([b.after FOR b IN builds]) AS whole,
               -list_sum([b.before * log2(b.before) FOR b IN builds IF b.before > 0]) AS before
        FROM after_it
    )
    SELECT vehicle_id, assembly, any_value(feature_words) AS feature,
           sum(chance * (before + list_sum([b.after / whole * log2(b.after / whole)
                                            FOR b IN builds IF b.after > 0]))) AS bits
    FROM entropies
    GROUP BY vehicle_id, assembly, entropies.feature;

-- Vehicles whose assemblies disagree, in words, and whether a family file says that the works
-- delivered two of them so. Another assembly than those of which something is known has the
-- vehicle's own mark.
CREATE OR REPLACE MACRO hybrids_as_of(day, known_now) AS TABLE
    WITH vehicles AS MATERIALIZED (
        SELECT vehicle_id, lower(family) AS family, mark, nullif(mark_phase, '') AS phase
        FROM vehicles_as_of(day, known_now)
    ),
    parts AS MATERIALIZED (
        SELECT b.vehicle_id, v.family, b.assembly,
               coalesce(b.build.mark, v.mark) AS mark, b.build.phase AS phase
        FROM stated_builds_as_of(day, known_now) b JOIN vehicles v USING (vehicle_id)
        UNION ALL
        SELECT vehicle_id, family, NULL, mark, phase FROM vehicles WHERE mark IS NOT NULL
    ),
    works AS MATERIALIZED (
        SELECT DISTINCT family, assembly, mark, phase, with_assembly, with_mark, with_phase
        FROM build_lines_as_of(day, known_now)
        WHERE with_assembly IS NOT NULL
    ),
    pairs AS (
        SELECT a.vehicle_id, a.family, a.assembly, a.mark, a.phase,
               b.assembly AS beside, b.mark AS beside_mark, b.phase AS beside_phase
        FROM parts a JOIN parts b
          ON b.vehicle_id = a.vehicle_id AND b.assembly IS DISTINCT FROM a.assembly
        WHERE NOT build_covers(a.mark, a.phase, b.mark, b.phase)
    ),
    by_works AS (
        SELECT p.*, w.with_assembly
        FROM pairs p
        JOIN works w
          ON w.family = p.family AND w.assembly = p.assembly
         AND (w.mark IS NULL OR w.mark = p.mark) AND (w.phase IS NULL OR w.phase = p.phase)
         AND (w.with_mark IS NULL OR w.with_mark = p.beside_mark)
         AND (w.with_phase IS NULL OR w.with_phase = p.beside_phase)
         AND (w.with_assembly = p.beside
              OR p.beside IS NULL AND NOT EXISTS (
                  FROM parts o WHERE o.vehicle_id = p.vehicle_id AND o.assembly = w.with_assembly))
    ),
    so_delivered AS (  -- each assembly of such a pair
        SELECT vehicle_id, assembly FROM by_works
        UNION
        SELECT vehicle_id, beside FROM by_works
    ),
    odd AS (  -- what differs from the vehicle's own mark; without one, all that differ
        SELECT DISTINCT p.vehicle_id, p.assembly
        FROM pairs p JOIN vehicles v USING (vehicle_id)
        WHERE p.assembly IS NOT NULL AND (v.mark IS NULL OR p.beside IS NULL)
        UNION  -- and where none does: all that differ
        SELECT p.vehicle_id, p.assembly FROM pairs p
        WHERE p.assembly IS NOT NULL
          AND p.vehicle_id NOT IN (SELECT vehicle_id FROM pairs WHERE beside IS NULL)
    ),
    judged AS (
        SELECT o.vehicle_id, bool_or(d.vehicle_id IS NOT NULL) AS from_the_works,
               bool_and(d.vehicle_id IS NOT NULL) AS all_from_the_works
        FROM odd o
        LEFT JOIN so_delivered d
          ON d.vehicle_id = o.vehicle_id AND d.assembly IS NOT DISTINCT FROM o.assembly
        GROUP BY o.vehicle_id
    ),
    named AS (
        SELECT vehicle_id,
               string_agg(concat_ws(' ', coalesce(replace(assembly, '-', ' '), 'the rest'),
                                    build_words(mark, phase)), ', ' ORDER BY assembly NULLS LAST)
                   AS words
        FROM parts GROUP BY vehicle_id
    ),
    delivered AS (
        SELECT vehicle_id,
               string_agg(DISTINCT printf('%s %s with %s %s', replace(assembly, '-', ' '),
                   build_words(mark, phase), replace(with_assembly, '-', ' '),
                   build_words(beside_mark, beside_phase)), ', ') AS words
        FROM by_works GROUP BY vehicle_id
    )
    SELECT j.vehicle_id, j.from_the_works,
           concat(CASE WHEN j.all_from_the_works THEN 'hybrid from the works: ' ELSE 'hybrid: ' END,
                  n.words,
                  CASE WHEN j.from_the_works AND NOT j.all_from_the_works
                       THEN printf('; of that the works delivered %s', d.words) END) AS hybrid
    FROM judged j
    JOIN named n USING (vehicle_id)
    LEFT JOIN delivered d USING (vehicle_id);

-- The answer itself, for some vehicles (NULL = all) and assemblies (NULL = all).
CREATE OR REPLACE MACRO builds_of(vehicle_ids, assemblies, day, known_now) AS TABLE
    WITH told AS MATERIALIZED (
        SELECT * FROM builds_told_as_of(day, known_now)
        WHERE (vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id))
          AND (assemblies IS NULL OR list_contains(assemblies, assembly))
    ),
    settled AS MATERIALIZED (
        SELECT s.* EXCLUDE (probability), d.decision_id, l.build.line_id AS line_id
        FROM builds_settled_as_of(day, known_now) s
        LEFT JOIN builds_set_as_of(day, known_now) d
          ON d.vehicle_id = s.vehicle_id AND d.assembly = s.assembly
        LEFT JOIN builds_stated_as_of(day, known_now) l
          ON l.vehicle_id = s.vehicle_id AND l.assembly = s.assembly
        WHERE (vehicle_ids IS NULL OR list_contains(vehicle_ids, s.vehicle_id))
          AND (assemblies IS NULL OR list_contains(assemblies, s.assembly))
    ),
    compared AS (  -- what is settled, beside what the evidence tells
        SELECT s.vehicle_id, s.assembly, s.mark, s.phase, s.told_by, s.decision_id, s.line_id,
               sum(t.probability) FILTER (
                   CASE WHEN s.mark IS NULL AND s.phase IS NULL THEN t.mark IS NULL AND t.phase IS NULL
                        ELSE (t.mark IS NOT NULL OR t.phase IS NOT NULL)
                             AND build_covers(s.mark, s.phase, t.mark, t.phase) END) AS agreeing,
               count(t.probability) AS candidates,
               arg_max({'mark': t.mark, 'phase': t.phase, 'probability': t.probability},
                       t.probability) AS best
        FROM settled s
        LEFT JOIN told t ON t.vehicle_id = s.vehicle_id AND t.assembly = s.assembly
        GROUP BY ALL
    ),
    rows AS (
        SELECT vehicle_id, assembly, mark, phase,
               CASE WHEN candidates > 0 THEN coalesce(agreeing, 0) END AS probability,
               told_by AS standing, coalesce(decision_id, line_id) AS settled_by,
               CASE WHEN candidates = 0 THEN 'nothing was seen that tells its build'
                    WHEN agreeing >= 0.5 THEN printf('the evidence agrees (%.2f)', agreeing)
                    WHEN best.probability >= 0.5
                    THEN printf('the evidence is against it: it speaks for %s (%.2f)',
                         coalesce(build_words(best.mark, best.phase),
                                  'none of these, or a conversion'), best.probability)
                    ELSE 'the evidence does not decide' END AS agrees
        FROM compared
        UNION ALL BY NAME
        SELECT t.vehicle_id, t.assembly, t.mark, t.phase, t.probability,
               CASE WHEN s.vehicle_id IS NULL THEN t.told_by
                    -- a phase of the mark that is settled
                    WHEN s.phase IS NOT NULL OR t.mark IS DISTINCT FROM s.mark
                    THEN 'settled otherwise'
                    WHEN t.probability >= build_constant('told') * s.agreeing
                    THEN 'told by features'
                    WHEN t.probability >= build_constant('remaining') * s.agreeing
                    THEN 'possible' ELSE 'unlikely' END AS standing
        FROM told t
        LEFT JOIN compared s ON s.vehicle_id = t.vehicle_id AND s.assembly = t.assembly
        WHERE s.vehicle_id IS NULL
           OR s.mark IS DISTINCT FROM t.mark OR s.phase IS DISTINCT FROM t.phase
    ),
    pieces AS MATERIALIZED (SELECT * FROM weighed_evidence(vehicle_ids, day, known_now)),
    spoken AS (
        SELECT vehicle_id, assembly, mark, phase,
               string_agg(printf('%+.1f bits: %s', bits, evidence), '; '
                          ORDER BY bits DESC, line_id) FILTER (bits >= 0.05) AS evidence_for,
               string_agg(printf('%+.1f bits: %s', bits, evidence), '; '
                          ORDER BY bits, line_id) FILTER (bits <= -0.05) AS evidence_against,
               string_agg(DISTINCT line_id, ';' ORDER BY line_id) AS lines
        FROM pieces WHERE not_counted IS NULL GROUP BY vehicle_id, assembly, mark, phase
    ),
    to_look_at AS (
        SELECT vehicle_id, assembly,
               string_agg(printf('%s (%.2f bits)', feature, bits), '; ' ORDER BY place) AS look_at
        FROM (
            SELECT *, row_number() OVER (PARTITION BY vehicle_id, assembly
                                         ORDER BY bits DESC, feature) AS place
            FROM features_to_look_at(vehicle_ids, day, known_now)
        )
        WHERE place <= 3 AND bits >= 0.01
        GROUP BY vehicle_id, assembly
    ),
    open_ones AS (
        SELECT vehicle_id, assembly FROM told
        GROUP BY vehicle_id, assembly HAVING max(probability) < build_constant('told')
    )
    SELECT v.vehicle, r.assembly,
           coalesce(build_words(r.mark, r.phase), 'none of these, or converted') AS build,
           r.probability, r.standing, r.agrees, p.evidence_for, p.evidence_against,
           c.contradiction, CASE WHEN o.vehicle_id IS NOT NULL THEN l.look_at END AS look_at,
           concat_ws(';', r.settled_by, p.lines) AS trace
    FROM rows r
    JOIN vehicles_as_of(day, known_now) v ON v.vehicle_id = r.vehicle_id
    LEFT JOIN spoken p ON p.vehicle_id = r.vehicle_id AND p.assembly = r.assembly
     AND p.mark IS NOT DISTINCT FROM r.mark AND p.phase IS NOT DISTINCT FROM r.phase
    LEFT JOIN build_contradictions(vehicle_ids, day, known_now) c
      ON c.vehicle_id = r.vehicle_id AND c.assembly = r.assembly
    LEFT JOIN to_look_at l ON l.vehicle_id = r.vehicle_id AND l.assembly = r.assembly
    LEFT JOIN open_ones o ON o.vehicle_id = r.vehicle_id AND o.assembly = r.assembly
    ORDER BY v.vehicle, r.assembly, r.settled_by IS NULL, r.probability DESC, r.mark, r.phase;

-- The evidence itself: for the build that leads, or is settled, of each assembly, in order of
-- weight, then what does not count.
CREATE OR REPLACE MACRO build_evidence_of(vehicle_ids, assemblies, day, known_now) AS TABLE
    SELECT v.vehicle, e.assembly,
           CASE WHEN e.not_counted IS NULL THEN coalesce(build_words(e.mark, e.phase),
                                             'none of these, or converted') END AS build,
           e.evidence, e.sort,
           CASE WHEN starts_with(e.feature_group, 'group: ')
                THEN substr(e.feature_group, 8) END AS feature_group,
           e.bits, e.not_counted, e.line_id AS trace
    FROM weighed_evidence(vehicle_ids, day, known_now) e
    JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
    WHERE assemblies IS NULL OR list_contains(assemblies, e.assembly)
    ORDER BY v.vehicle, e.assembly, build NULLS LAST, abs(e.bits) DESC, e.line_id, e.evidence;

-- What each assembly of every vehicle was on a day, and is, as far as is known.
CREATE OR REPLACE MACRO builds_as_of(day, known_now) AS TABLE
    SELECT * FROM builds_of(NULL, NULL, day, known_now);
CREATE OR REPLACE VIEW builds AS SELECT * FROM builds_of(NULL, NULL, NULL, false);

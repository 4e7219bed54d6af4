-- What tells the build of an assembly: what family files say of builds, and what was seen and said
-- of vehicles. One row of evidence for each candidate, with the logarithm of its likelihood; see
-- "How a build is told" in DEVELOPERS.md.

-- The numbers of the model, all in one place.
CREATE OR REPLACE MACRO build_constant(which) AS CASE which
    -- how often a build has a feature that a family file calls so: common practice, no source
    WHEN 'usual' THEN 0.95
    WHEN 'possible' THEN 0.5
    WHEN 'unlikely' THEN 0.05
    WHEN 'unstated' THEN 0.5
    -- "none of these, or converted", before anything is seen: common practice, no source
    WHEN 'none of these' THEN 0.05
    -- how often an observation is wrong: 5 in 100 by the task of the model; where the source hedges
    -- or tells hearsay, and where both: common practice, no source
    WHEN 'misseen' THEN 0.05
    WHEN 'misseen, hedged or hearsay' THEN 0.2
    WHEN 'misseen, hedged and hearsay' THEN 0.3
    -- how often a feature that can be changed later stands by chance: common practice, no source,
    -- held to be good enough by the calibration test
    WHEN 'changed' THEN 0.3
    -- how often evidence of these sorts belongs to the assembly; else it points anywhere by chance:
    -- common practice, no source
    WHEN 'own number' THEN 0.95
    WHEN 'plate' THEN 0.9  -- one plate in ten has travelled
    WHEN 'concluded' THEN 0.6
    WHEN 'vehicle' THEN 0.5  -- its mark, numbers and plates, for an assembly that may be swapped
    WHEN 'number on a part' THEN 0.3  -- it dates the part and not the assembly
    WHEN 'hedged' THEN 0.5  -- of any of these that is hedged or hearsay: times this
    -- from which probability a build is told, and from which it remains a candidate
    WHEN 'told' THEN 0.95
    WHEN 'remaining' THEN 0.05
END;

-- The likelihood of evidence that points to some of the builds, for one of them: it belongs to the
-- assembly so often, and else points anywhere by chance. `agrees` NULL: 'none of these', or a build
-- of which the list does not say.
CREATE OR REPLACE MACRO pointing_likelihood(belongs, agrees, builds) AS
    CASE WHEN agrees IS NULL THEN 1.0 / builds
         WHEN agrees THEN belongs + (1 - belongs) / builds
         ELSE (1 - belongs) / builds END;

-- Words of a feature for comparing.
CREATE OR REPLACE MACRO folded_feature(said) AS
    lower(trim(regexp_replace(nfc_normalize(said), '\s+', ' ', 'g'), ' .;,'));

-- Whether words say that something was changed after it left the works: also where they only say
-- that it may have been. What words_later_change.csv has is held to it by a test.
CREATE OR REPLACE MACRO says_later_change(said) AS
    regexp_matches(lower(replace(said, '’', '''')), concat(
        '\b(later|subsequent|recent|post[- ]?war|owner''?s|depot|workshop|field|service|unit|civilian',
        '|farm)( own)? (change|alteration|modification|mod|addition|conversion|replacement|repair',
        '|job|work|fitting|expedient)',
        '|\b(added|fitted|changed|altered|modified|converted|replaced|welded on|cut|moved|done) ',
        '(later|since|after(wards)?\b|by (the|an?|its|his|her|some) (owner|depot|workshop|unit))',
        '|\b(added|fitted|changed|altered|modified|converted|replaced|done) ',
        '(post[- ]?war|in service|at (the )?depot)',
        '|\bsince (added|changed|altered|modified|converted|replaced|fitted)\b',
        '|\bby (an?|the)? ?(previous|last) owner\b|\bby an owner\b|\bowner[- ](added|fitted)\b',
        '|\b(owner''?s own\b|not (from )?(the )?works''?|not original|not as (built|it left)',
        '|not factory|after-?\s?market|retro-?fit|modern (copy|replacement|repro))'))
    AND NOT regexp_matches(lower(replace(said, '’', '''')), concat(
        '\b(not|no|never|isn''t|wasn''t|hardly)( been)?( an?| any)? ',
        '(later|since|subsequent|recent|post-?war|depot|workshop|field|service|added|fitted|changed',
        '|altered|modified|converted|replaced|owner)'));

-- Mark, phase and serial in free words, as far as they stand there plainly.
CREATE OR REPLACE MACRO mark_in_words(said) AS
    'Mk ' || nullif(upper(regexp_extract(said, '(?i)\b(?:mk|mark)\.?\s*(\d+[a-z]?)\b', 1)), '');
CREATE OR REPLACE MACRO phase_in_words(said) AS
    nullif(lower(regexp_extract(said, '(?i)\b(early|mid|late)\b', 1)), '');
CREATE OR REPLACE MACRO serial_in_words(said) AS
    TRY_CAST(coalesce(
        nullif(regexp_extract(said, '(?i)\b(?:nos?|number|nr|serial|s/n)\b\D{0,4}(\d+)', 1), ''),
        nullif(regexp_extract(said, '^\s*(\d+)\s*$', 1), '')) AS BIGINT);

-- A part or casting number without what is put between its signs.
CREATE OR REPLACE MACRO number_for_comparing(said) AS
    upper(regexp_replace(said, '[^A-Za-z0-9]', '', 'g'));

-- Whether what names a mark and phase, either of which may be empty, covers a build.
CREATE OR REPLACE MACRO build_covers(named_mark, named_phase, of_mark, of_phase) AS
    (named_mark IS NULL OR of_mark IS NULL OR named_mark = of_mark)
    AND (named_phase IS NULL OR of_phase IS NULL OR named_phase = of_phase);

-- Lines of family files and of tables of serials, folded for comparing.
CREATE OR REPLACE MACRO build_lines_as_of(day, known_now) AS TABLE
    SELECT line_id, lower(family) AS family, assembly, mark, phase,
           lower(coalesce(series, assembly)) AS series, first_serial, last_serial,
           feature AS feature_words, folded_feature(feature) AS feature, likelihood,
           folded_feature(feature_group) AS feature_group, coalesce(changeable, false)
               AS changeable, with_assembly, with_mark, with_phase,
           statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
               || line_id AS weight
    FROM build_as_of(day, known_now)
    WHERE family IS NOT NULL AND assembly IS NOT NULL;

-- The candidates for each assembly of a family: every build that a line names, and 'none of these,
-- or converted' (no mark, no phase). A build that others divide ('Mk 2' beside 'Mk 2 early' and
-- 'Mk 2 late') is none of its own. `builds` is how many there are besides 'none of these', which has
-- the number 0.
CREATE OR REPLACE MACRO build_candidates_as_of(day, known_now) AS TABLE
    WITH named AS MATERIALIZED (
        SELECT DISTINCT family, assembly, mark, phase FROM build_lines_as_of(day, known_now)
        WHERE mark IS NOT NULL OR phase IS NOT NULL
    ),
    divided AS (
        SELECT n.family, n.assembly, n.mark, n.phase
        FROM named n JOIN named m
          ON m.family = n.family AND m.assembly = n.assembly
         AND (n.mark IS NULL OR n.mark = m.mark) AND (n.phase IS NULL OR n.phase = m.phase)
        GROUP BY ALL HAVING count(*) > 2
    ),
    narrowest AS (
        SELECT n.* FROM named n
        WHERE NOT EXISTS (FROM divided d WHERE d.family = n.family AND d.assembly = n.assembly
            AND d.mark IS NOT DISTINCT FROM n.mark AND d.phase IS NOT DISTINCT FROM n.phase)
    ),
    counted AS (SELECT family, assembly, count(*) AS builds FROM narrowest GROUP BY ALL)
    SELECT family, assembly, mark, phase,
           row_number() OVER (PARTITION BY family, assembly ORDER BY mark, phase) AS number,
           greatest(builds, 2) AS builds, (1 - build_constant('none of these')) / builds AS prior
    FROM narrowest JOIN counted USING (family, assembly)
    UNION ALL
    SELECT family, assembly, NULL, NULL, 0, greatest(builds, 2), build_constant('none of these')
    FROM counted;

-- How often each candidate has each feature that the family files name for its assembly, with
-- what can be changed later mixed with chance. Of several lines for one build the narrowest and
-- then the better statement counts.
CREATE OR REPLACE MACRO build_features_as_of(day, known_now) AS TABLE
    WITH lines AS MATERIALIZED (
        SELECT * FROM build_lines_as_of(day, known_now) WHERE feature IS NOT NULL
    ),
    features AS (
        SELECT family, assembly, feature, arg_max(feature_words, weight) AS feature_words,
               coalesce('group: ' || arg_max(feature_group, weight), feature) AS feature_group,
               bool_or(changeable) AS changeable
        FROM lines GROUP BY family, assembly, feature
    ),
    said AS (
        SELECT c.family, c.assembly, c.mark, c.phase, l.feature,
               arg_max(l.likelihood, printf('%d%s',
                   (l.mark IS NOT NULL)::INT + (l.phase IS NOT NULL)::INT, l.weight))
                   AS likelihood
        FROM build_candidates_as_of(day, known_now) c
        JOIN lines l ON l.family = c.family AND l.assembly = c.assembly
         AND (l.mark IS NULL OR l.mark = c.mark) AND (l.phase IS NULL OR l.phase = c.phase)
        WHERE (c.mark IS NOT NULL OR c.phase IS NOT NULL) AND l.likelihood IS NOT NULL
        GROUP BY ALL
    )
    SELECT f.*, c.number, c.mark, c.phase, s.likelihood,
           CASE WHEN f.changeable
                THEN (1 - build_constant('changed'))
                     * build_constant(coalesce(s.likelihood, 'unstated'))
                     + build_constant('changed') * 0.5
                ELSE build_constant(coalesce(s.likelihood, 'unstated')) END AS chance
    FROM features f
    JOIN build_candidates_as_of(day, known_now) c USING (family, assembly)
    LEFT JOIN said s ON s.family = f.family AND s.assembly = f.assembly
     AND s.feature = f.feature AND s.mark IS NOT DISTINCT FROM c.mark
     AND s.phase IS NOT DISTINCT FROM c.phase;

-- The vehicles of which evidence is weighed: every one, but where an answer asks for some.
CREATE OR REPLACE MACRO vehicles_among(vehicle_ids, day, known_now) AS TABLE
    SELECT * FROM vehicles_as_of(day, known_now)
    WHERE vehicle_ids IS NULL OR list_contains(vehicle_ids, vehicle_id);
CREATE OR REPLACE MACRO vehicles_to_tell(day, known_now) AS TABLE
    SELECT * FROM vehicles_as_of(day, known_now);

-- Every piece of evidence about an assembly of which something of its own is known (`of_assembly`
-- numbers these), and why it does not count. `share`: pieces of one group count as one observation,
-- the mean of their logarithms; `own`: it is of the assembly itself, and not of the whole vehicle.
-- In one macro, since answers name it many times, and each time it is planned anew.
CREATE OR REPLACE MACRO build_pieces_as_of(day, known_now) AS TABLE
    WITH lines AS MATERIALIZED (SELECT * FROM build_lines_as_of(day, known_now)),
    blocks AS MATERIALIZED (
        SELECT DISTINCT family, assembly, series, mark, phase, NULL::VARCHAR AS reach,
               coalesce(first_serial, 0) AS first,
               coalesce(last_serial, 9223372036854775807) AS last
        FROM lines WHERE first_serial IS NOT NULL OR last_serial IS NOT NULL
    ),
    families AS MATERIALIZED (
        SELECT DISTINCT family, assembly FROM lines WHERE mark IS NOT NULL OR phase IS NOT NULL
    ),
    named_features AS MATERIALIZED (
        SELECT family, assembly, feature, arg_max(feature_words, weight) AS feature_words,
               coalesce('group: ' || arg_max(feature_group, weight), feature) AS feature_group
        FROM lines WHERE feature IS NOT NULL GROUP BY family, assembly, feature
    ),
    vehicles AS MATERIALIZED (  -- once for each of its names
        SELECT n.key AS vehicle_key, v.vehicle_id, lower(v.family) AS family, v.mark AS own_mark,
               nullif(v.mark_phase, '') AS own_phase
        FROM vehicles_to_tell(day, known_now) v
        JOIN accepted_names('vehicle', day, known_now) n ON n.target = v.vehicle_id
        WHERE lower(v.family) IN (SELECT family FROM families)
    ),
    known_words AS MATERIALIZED (
        SELECT key, folded_feature(target) AS feature
        FROM identification_as_of(day, known_now)
        WHERE role = 'feature' AND accepted AND target IS NOT NULL
    ),

    -- What was seen: one row a line, with the feature as the file calls it where that is known.
    -- Words of a line that names no assembly mean the one that alone has such a feature.
    observations AS (
        SELECT v.vehicle_id, v.family, q.line_id, q.assembly, q.feature AS said, q.evidence,
               q.feature_value, coalesce(q.seen, true) AS seen, q.sure, q.first_hand,
               CASE WHEN q.remark IS NOT NULL OR q.section IS NOT NULL
                    THEN says_later_change(concat_ws('; ', q.remark, q.section)) ELSE false END
                   AS changed_since,
               coalesce(k.feature, folded_feature(q.feature)) AS called,
               statement_weight(q.sure, q.first_hand, q.said_on_basis, q.said_on, q.source_id)
                   AS weight
        FROM feature_as_of(day, known_now) q
        JOIN vehicles v USING (vehicle_key)
        LEFT JOIN known_words k
          ON k.key = concat(v.family, '|', coalesce(q.assembly, ''), '|', folded_feature(q.feature))
    ),
    placed AS (
        SELECT o.* EXCLUDE (assembly), coalesce(o.assembly, f.assembly) AS assembly,
               f.feature, f.feature_words, f.feature_group
        FROM observations o
        LEFT JOIN (
            SELECT *, count(*) OVER (PARTITION BY family, feature) AS assemblies
            FROM named_features
        ) f ON f.family = o.family AND f.feature = o.called
           AND (f.assembly = o.assembly OR o.assembly IS NULL AND f.assemblies = 1)
    ),
    changed AS (  -- surveys that call the same thing a later change
        SELECT DISTINCT v.vehicle_id, coalesce(k.feature, folded_feature(s.description)) AS feature
        FROM survey_as_of(day, known_now) s
        JOIN vehicles v USING (vehicle_key)
        LEFT JOIN known_words k ON k.key = concat(v.family, '|', coalesce(s.assembly, ''), '|',
                                                  folded_feature(s.description))
        WHERE s.later_change AND s.description IS NOT NULL
    ),
    judged AS (
        SELECT p.*,
               CASE WHEN p.changed_since OR c.vehicle_id IS NOT NULL THEN 'a later change'
                    WHEN p.feature IS NULL AND coalesce(p.evidence, '')
                         NOT IN ('plate', 'casting', 'part number')
                    THEN 'no list says which builds it tells' END AS no_count
        FROM placed p
        LEFT JOIN changed c ON c.vehicle_id = p.vehicle_id AND c.feature = p.called
    ),
    seen AS MATERIALIZED (  -- of statements about one feature the better one counts
        SELECT *, sure AND first_hand AS plain,
               CASE WHEN no_count IS NOT NULL THEN no_count
                    WHEN feature IS NULL OR row_number() OVER of_feature = 1 THEN NULL
                    WHEN seen = first_value(seen) OVER of_feature THEN 'said before'
                    ELSE 'a better statement says otherwise' END AS not_counted,
               coalesce(feature_words, said)
                   || CASE WHEN seen THEN ': seen' ELSE ': looked for and not there' END AS told
        FROM judged
        WINDOW of_feature AS (
            PARTITION BY hash(vehicle_id, assembly, coalesce(feature, line_id), no_count IS NULL)
            ORDER BY weight DESC, line_id)
    ),

    -- What points to some builds: `points_to`, of those of which a list says anything (`about`;
    -- NULL: of all). Without an assembly it is of the whole vehicle.
    register AS MATERIALIZED (
        SELECT v.vehicle_id, v.family, q.line_id, q.assembly, q.mark, q.phase,
               lower(coalesce(q.series, q.assembly)) AS series, q.serial, q.serial_value,
               q.sure AND q.first_hand AS plain,
               statement_weight(q.sure, q.first_hand, q.said_on_basis, q.said_on, q.source_id)
                   || q.line_id AS weight
        FROM vehicle_as_of(day, known_now) q JOIN vehicles v USING (vehicle_key)
    ),
    serials AS (
        SELECT vehicle_id, family, series, arg_max({'serial': serial, 'value': serial_value,
            'line_id': line_id, 'plain': plain}, weight) AS said
        FROM register WHERE serial_value IS NOT NULL AND series IS NOT NULL GROUP BY ALL
    ),
    numbered AS (  -- another assembly is told by the builds of the one whose series it is
        SELECT s.vehicle_id, f.assembly, f.assembly = s.series AS own, s.series,
               any_value(s.said) AS said,
               list({'mark': b.mark, 'phase': b.phase, 'reach': b.reach})
                   FILTER (s.said.value BETWEEN b.first AND b.last) AS points_to,
               list({'mark': b.mark, 'phase': b.phase, 'reach': b.reach}) AS about
        FROM serials s
        JOIN families f ON f.family = s.family
        JOIN blocks b ON b.family = s.family AND b.series = s.series
         AND (b.assembly = f.assembly OR f.assembly <> s.series AND b.assembly = s.series)
        GROUP BY s.vehicle_id, f.assembly, s.series
    ),
    marked AS (
        SELECT vehicle_id, arg_max({'mark': mark, 'phase': phase, 'line_id': line_id,
                                    'plain': plain}, weight) AS said
        FROM register WHERE assembly IS NULL AND mark IS NOT NULL GROUP BY vehicle_id
    ),
    read AS (
        SELECT *, concat_ws(' ', said, feature_value) AS read
        FROM seen WHERE feature IS NULL AND not_counted IS NULL AND seen
    ),
    plates AS (
        SELECT p.vehicle_id, p.assembly, p.read, p.line_id, p.plain,
               CASE WHEN mark_in_words(p.read) IS NOT NULL
                    THEN [{'mark': mark_in_words(p.read), 'phase': phase_in_words(p.read),
                           'reach': NULL::VARCHAR}]
                    ELSE list({'mark': b.mark, 'phase': b.phase, 'reach': b.reach}) FILTER (
                        coalesce(serial_in_words(p.feature_value), serial_in_words(p.said))
                            BETWEEN b.first AND b.last) END AS points_to
        FROM read p
        LEFT JOIN blocks b ON b.family = p.family
         AND b.series = coalesce(p.assembly, 'hull') AND b.assembly = coalesce(p.assembly, 'hull')
        WHERE p.evidence = 'plate'
        GROUP BY p.vehicle_id, p.assembly, p.read, p.line_id, p.plain, p.feature_value, p.said
    ),
    numbers AS MATERIALIZED (
        SELECT vehicle_id, family, assembly, line_id, plain, number_for_comparing(number) AS number
        FROM (
            SELECT v.vehicle_id, v.family, q.assembly, q.line_id,
                   q.sure AND q.first_hand AS plain,
                   unnest([q.part_number_normal, q.casting_number]) AS number
            FROM survey_as_of(day, known_now) q JOIN vehicles v USING (vehicle_key)
            WHERE (q.part_number_normal IS NOT NULL OR q.casting_number IS NOT NULL)
              AND q.later_change IS NOT TRUE AND q.presence IN ('fitted', 'off-and-kept')
            UNION ALL
            SELECT vehicle_id, family, assembly, line_id, plain, feature_value
            FROM read WHERE evidence IN ('casting', 'part number')
        )
        WHERE number IS NOT NULL
    ),
    asked_for AS (  -- numbers that the lists have for some builds of an assembly only
        SELECT r.family, r.number, coalesce(e.assembly, r.assembly) AS assembly,
               list(DISTINCT {'mark': e.mark, 'phase': e.phase, 'reach': e.reach})
                   FILTER (NOT e.is_interval) AS points_to
        FROM (
            SELECT q.*
            FROM (
                SELECT line_id, revision, lower(family) AS family, assembly, all_builds,
                       unnest([part_number_normal, number_for_comparing(casting_number)]) AS number
                FROM requirement_as_of(day, known_now)
            ) q
            SEMI JOIN numbers n ON n.family = q.family AND n.number = q.number
        ) r
        LEFT JOIN effectivity e USING (line_id, revision)
        GROUP BY ALL
        HAVING NOT bool_or(r.all_builds) AND NOT bool_or(coalesce(e.is_interval, false))
    ),
    pointers AS (
        SELECT vehicle_id, assembly, printf('%s number %s', series, said.serial) AS evidence,
               'serial' AS sort,
               CASE WHEN own THEN 'its number' ELSE 'the vehicle' END AS feature_group,
               CASE WHEN own THEN 'own number' ELSE 'vehicle' END AS belongs,
               said.line_id AS line_id, said.plain AS plain, coalesce(points_to, []) AS points_to,
               about, own
        FROM numbered WHERE own OR points_to IS NOT NULL
        UNION ALL BY NAME
        SELECT vehicle_id, printf('%s, said of the vehicle', build_words(said.mark, said.phase))
                   AS evidence,
               'said' AS sort, 'the vehicle' AS feature_group, 'vehicle' AS belongs,
               said.line_id AS line_id, said.plain AS plain,
               [{'mark': said.mark, 'phase': said.phase, 'reach': NULL::VARCHAR}] AS points_to,
               false AS own
        FROM marked
        UNION ALL BY NAME
        SELECT vehicle_id, assembly, read AS evidence, 'plate' AS sort,
               CASE WHEN assembly IS NULL THEN 'the vehicle' ELSE 'plates' END AS feature_group,
               CASE WHEN assembly IS NULL THEN 'vehicle' ELSE 'plate' END AS belongs,
               line_id, plain, points_to, assembly IS NOT NULL AS own
        FROM plates WHERE points_to IS NOT NULL
        UNION ALL BY NAME
        SELECT n.vehicle_id, coalesce(a.assembly, n.assembly) AS assembly,
               printf('number %s', a.number) AS evidence, 'number' AS sort,
               'numbers on parts' AS feature_group, 'number on a part' AS belongs,
               min(n.line_id) AS line_id, bool_or(n.plain) AS plain,
               any_value(a.points_to) AS points_to, false AS own
        FROM numbers n
        JOIN asked_for a
          ON a.family = n.family AND a.number = n.number
         AND (a.assembly IS NULL OR n.assembly IS NULL OR a.assembly = n.assembly)
        WHERE a.points_to IS NOT NULL AND coalesce(a.assembly, n.assembly) IS NOT NULL
        GROUP BY n.vehicle_id, coalesce(a.assembly, n.assembly), a.number
        UNION ALL BY NAME
        SELECT v.vehicle_id, q.assembly, q.conclusion AS evidence, 'said' AS sort,
               CASE WHEN q.assembly IS NULL THEN 'the vehicle' ELSE 'what was concluded' END
                   AS feature_group,
               CASE WHEN q.assembly IS NULL THEN 'vehicle' ELSE 'concluded' END AS belongs,
               q.line_id, q.sure AND q.first_hand AS plain,
               [{'mark': mark_in_words(q.conclusion), 'phase': phase_in_words(q.conclusion),
                 'reach': NULL::VARCHAR}] AS points_to,
               q.assembly IS NOT NULL AS own
        FROM history_as_of(day, known_now) q JOIN vehicles v USING (vehicle_key)
        WHERE mark_in_words(q.conclusion) IS NOT NULL OR phase_in_words(q.conclusion) IS NOT NULL
    ),
    all_pointers AS MATERIALIZED (SELECT * FROM pointers),

    -- All of it, for the assemblies with evidence of their own.
    known AS MATERIALIZED (
        SELECT row_number() OVER () AS of_assembly, o.vehicle_id, v.family, o.assembly,
               v.own_mark, v.own_phase
        FROM (
            SELECT vehicle_id, assembly FROM seen
            WHERE feature IS NOT NULL AND not_counted IS NULL
            UNION
            SELECT vehicle_id, assembly FROM all_pointers WHERE own
        ) o
        JOIN (SELECT DISTINCT vehicle_id, family, own_mark, own_phase FROM vehicles) v
          USING (vehicle_id)
        JOIN families f ON f.family = v.family AND f.assembly = o.assembly
    ),
    counted AS (
        SELECT k.*, s.told AS evidence, 'feature' AS sort, s.feature, s.feature_group, s.line_id,
               s.seen, true AS own,
               CASE WHEN s.plain THEN build_constant('misseen')
                    WHEN s.sure OR s.first_hand THEN build_constant('misseen, hedged or hearsay')
                    ELSE build_constant('misseen, hedged and hearsay') END AS wrong
        FROM seen s JOIN known k ON k.vehicle_id = s.vehicle_id AND k.assembly = s.assembly
        WHERE s.not_counted IS NULL AND s.feature IS NOT NULL
        UNION ALL BY NAME
        SELECT k.*, p.* EXCLUDE (vehicle_id, assembly, belongs, plain),
               build_constant(p.belongs)
                   * CASE WHEN p.plain THEN 1 ELSE build_constant('hedged') END AS belongs
        FROM known k
        JOIN all_pointers p
          ON p.vehicle_id = k.vehicle_id AND coalesce(p.assembly, k.assembly) = k.assembly
    )
    SELECT *, 1.0 / count(*) OVER (PARTITION BY of_assembly, hash(feature_group)) AS share
    FROM counted
    UNION ALL BY NAME
    SELECT vehicle_id, assembly, family, told AS evidence, 'feature' AS sort, feature, line_id,
           coalesce(not_counted, 'no list says which builds it tells') AS not_counted
    FROM seen
    WHERE not_counted IS NOT NULL
       OR feature IS NULL AND line_id NOT IN (SELECT line_id FROM all_pointers);

-- The pieces that count, with the logarithm of the likelihood of each candidate (by its number).
CREATE OR REPLACE MACRO build_evidence_as_of(day, known_now) AS TABLE
    WITH pieces AS MATERIALIZED (
        SELECT * FROM build_pieces_as_of(day, known_now) WHERE not_counted IS NULL
    )
    SELECT p.of_assembly, f.number, p.vehicle_id, p.assembly, p.family, p.own_mark, p.own_phase,
           p.evidence, p.sort,
           p.feature, p.feature_group, p.line_id, p.share, p.own, f.mark, f.phase,
           ln(CASE WHEN p.seen THEN (1 - p.wrong) * f.chance + p.wrong * (1 - f.chance)
                   ELSE (1 - p.wrong) * (1 - f.chance) + p.wrong * f.chance END)
               AS log_likelihood
    FROM pieces p
    JOIN build_features_as_of(day, known_now) f USING (family, assembly, feature)
    WHERE p.sort = 'feature'
    UNION ALL BY NAME
    SELECT p.of_assembly, c.number, p.vehicle_id, p.assembly, p.family, p.own_mark, p.own_phase,
           p.evidence, p.sort,
           p.feature_group, p.line_id, p.share, p.own, c.mark, c.phase,
           ln(pointing_likelihood(p.belongs,
               CASE WHEN c.number = 0 OR len(list_filter(p.about, lambda b:
                             build_covers(b.mark, b.phase, c.mark, c.phase))) = 0
                    THEN NULL
                    ELSE len(list_filter(p.points_to, lambda b:
                        coalesce(mark_holds(b.mark, b.reach, c.mark)
                                 AND phase_holds(b.phase, b.reach, c.phase), true))) > 0 END,
               c.builds)) AS log_likelihood
    FROM pieces p
    JOIN build_candidates_as_of(day, known_now) c USING (family, assembly)
    WHERE p.sort <> 'feature';

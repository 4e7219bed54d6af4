-- What depends on a build that is not settled, in numbers and words.

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

-- Lines of one list about one item of a vehicle, as a number.
CREATE OR REPLACE MACRO entry_number(vehicle_id, assembly, part_id, code, source_id) AS
    hash(vehicle_id, assembly, part_id, code, source_id);

-- Items of which it depends on the build how many of them a list asks for, or which, by `entry_number`:
-- what the least of the candidates needs (`least`), how many more any may (`beyond`), and `told` in
-- words.
CREATE OR REPLACE MACRO depending_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH hanging AS MATERIALIZED (
        SELECT entry_number(a.vehicle_id, l.assembly, part_id, concat(l.hand, '|', l.position),
                            l.source_id) AS entry,
               line_id, l.quantity, l.part_number, unnest(a.points) AS point,
               len(list_distinct([p.about FOR p IN a.points])) = 1 AND NOT a.points[1].settled
                   AS on_one
        FROM applicable_requirements(vehicle_ids, part_ids, day, known_now) a
        JOIN requirement_items(part_ids, day, known_now) l USING (line_id, part_id)
        WHERE a.applies IS NULL AND l.quantity > 0
    ),
    by_candidate AS (
        SELECT entry, point.about AS about, point.probability AS probability,
               candidate_said(point.mark, point.phase, point.probability) AS said,
               coalesce(sum(quantity) FILTER (point.holds), 0) AS least,
               coalesce(sum(quantity) FILTER (point.holds IS DISTINCT FROM false), 0) AS most,
               nullif(array_to_string(list_sort(list_distinct(
                   list(part_number) FILTER (point.holds))), ' or '), '') AS numbers
        FROM hanging WHERE on_one
        GROUP BY ALL
    ),
    by_build AS (
        SELECT entry, min(least) AS least, max(most) - min(least) AS beyond,
               amounts_said(about, list({'said': said, 'least': least, 'most': most,
                                         'numbers': numbers}
                                        ORDER BY probability DESC, said)) AS told
        FROM by_candidate
        GROUP BY entry, about
        UNION ALL
        SELECT entry, 0, any_value(quantity),
               points_said(list(point ORDER BY point.about, point.probability DESC,
                                point.mark, point.phase))
        FROM hanging WHERE NOT on_one
        GROUP BY entry, line_id
    )
    SELECT entry, nullif(sum(least), 0) AS least, nullif(max(beyond), 0) AS beyond,
           nullif(array_to_string(list_sort(list_distinct(list(told))), '; '), '') AS told
    FROM by_build
    GROUP BY entry;

-- The same where nothing depends on anything.
CREATE OR REPLACE MACRO no_depending_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT NULL::UBIGINT AS entry, NULL::DOUBLE AS least, NULL::DOUBLE AS beyond,
           NULL::VARCHAR AS told
    WHERE false;

-- fit statements: what is said to go, or not to go, in place of what; and the builds there are.

-- A part number in capitals and digits alone.
CREATE OR REPLACE MACRO plain_number(said_number) AS
    nullif(regexp_replace(upper(said_number), '[^A-Z0-9]', '', 'g'), '');

-- A number as chains know it: with its maker where one is stated, "OT100 (Acme)", since a maker's
-- number stands for that maker's alone; and the number in it.
CREATE OR REPLACE MACRO number_of_maker(number, maker) AS
    number || coalesce(' (' || maker || ')', '');
CREATE OR REPLACE MACRO number_alone(number) AS split_part(number, ' (', 1);

-- Builds that the club knows of each family: of vehicles and their assemblies, of parts lists and
-- of family files.
CREATE OR REPLACE MACRO known_builds(day, known_now) AS TABLE
    SELECT DISTINCT lower(family) AS family, mark, phase
    FROM (
        SELECT family, mark, nullif(mark_phase, '') AS phase FROM vehicles_as_of(day, known_now)
        UNION ALL
        SELECT v.family, coalesce(a.mark, v.mark), a.phase
        FROM vehicle_as_of(day, known_now) a
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = a.vehicle_key
        JOIN vehicles_as_of(day, known_now) v ON v.vehicle_id = n.target
        WHERE a.assembly IS NOT NULL
        UNION ALL
        SELECT DISTINCT r.family, e.mark, e.phase
        FROM effectivity e JOIN requirement_as_of(day, known_now) r USING (line_id, revision)
        WHERE e.mark IS NOT NULL AND e.reach IS NULL AND NOT e.is_interval
        UNION ALL
        SELECT family, mark, phase FROM build_as_of(day, known_now)
    )
    WHERE family IS NOT NULL AND coalesce(mark, phase) IS NOT NULL;

-- How each family is written, by its folded name.
CREATE OR REPLACE MACRO family_names(day, known_now) AS TABLE
    SELECT lower(said) AS family, min(said) AS name
    FROM (
        SELECT DISTINCT family AS said FROM vehicle_as_of(day, known_now)
        UNION ALL SELECT DISTINCT family FROM requirement_as_of(day, known_now)
        UNION ALL SELECT DISTINCT family FROM build_as_of(day, known_now)
        UNION ALL SELECT unnest([family, to_family]) FROM fit_as_of(day, known_now)
    )
    WHERE said IS NOT NULL
    GROUP BY ALL;

-- The part each requirement line is accepted to name, where a line gives a number in place of its
-- own, or a number that is spoken of (`numbers`).
CREATE OR REPLACE MACRO numbered_requirements(numbers, day, known_now) AS TABLE
    WITH lines AS (
        SELECT * FROM requirement_as_of(day, known_now)
        WHERE part_number_normal IS NOT NULL
          AND (superseded_by IS NOT NULL OR part_number_normal IN (SELECT unnest(numbers)))
    )
    SELECT r.*, p.part_id
    FROM lines r
    JOIN identification_as_of(day, known_now) i
      ON i.role = 'part' AND i.accepted AND i.key = r.item_key
    JOIN ids_of_parts(NULL) p USING (target)
    WHERE r.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now))
    UNION ALL
    SELECT r.*, i.part_id FROM lines r JOIN line_readings(NULL, day, known_now) i USING (line_id);

-- Fit statements about what may take the place of these parts (NULL = any), once in each direction
-- in which they say something: "as is" holds both ways; the reverse of "one way" is "never".
-- A later number replaces the one it supersedes, one way; until that is used up its reverse is left
-- open. Without a side to put it on, the side it comes from is meant.
--
-- A side names a part with hand and position, and a build, or else a number: a number beside a
-- build only describes. `scoped` is false where a statement about one and the same part names
-- nothing that tells the sides apart; `certain` is what is sure and scoped. `by_list` links a number
-- that is spoken of with the builds that a parts list gives it for, both ways.
CREATE OR REPLACE MACRO fit_statements(part_ids, day, known_now) AS TABLE
    WITH said AS MATERIALIZED (SELECT * FROM fit_as_of(day, known_now)),
    -- a key may stand under both roles, with one meaning
    meanings AS MATERIALIZED (
        SELECT DISTINCT i.key, p.part_id, p.handed, p.positions
        FROM identification_as_of(day, known_now) i
        JOIN ids_of_parts(NULL) m USING (target)
        JOIN part p ON p.part_id = m.part_id
        WHERE i.role IN ('part', 'to-part') AND i.accepted
          AND i.key IN (SELECT unnest([item_key, to_item_key]) FROM said)
    ),
    spoken AS (
        SELECT f.line_id, f.source_id, f.said_by, f.fit_grade AS grade, f.sure,
               f.assembly, f.words, f.reason, f.work, f.alters, f.can_be_undone,
               f.companions_text AS companions,
               a.part_id AS on_part, coalesce(b.part_id, a.part_id) AS for_part,
               item_hand(f.side, a.handed) AS on_hand,
               item_position(f.position, a.positions) AS on_position,
               item_hand(coalesce(f.to_side, f.side), coalesce(b.handed, a.handed)) AS for_hand,
               item_position(coalesce(f.to_position, f.position),
                             coalesce(b.positions, a.positions)) AS for_position,
               lower(coalesce(f.family, CASE WHEN f.mark IS NOT NULL THEN f.to_family END))
                   AS on_family,
               f.mark AS on_mark, f.phase AS on_phase,
               CASE WHEN coalesce(f.mark, f.phase) IS NULL
                    THEN coalesce(f.part_number_normal, plain_number(f.part_number)) END
                   AS on_number,
               lower(coalesce(f.to_family, CASE WHEN f.to_mark IS NOT NULL THEN f.family END))
                   AS for_family,
               f.to_mark AS for_mark, f.to_phase AS for_phase,
               CASE WHEN coalesce(f.to_mark, f.to_phase) IS NULL
                    THEN plain_number(f.to_part_number) END AS for_number,
               f.maker AS on_maker, true AS both_if_as_is,
               statement_weight(f.sure, f.first_hand, f.said_on_basis, f.said_on, f.source_id)
                   || f.line_id AS weight
        FROM said f
        JOIN meanings a ON a.key = f.item_key
        LEFT JOIN meanings b ON b.key = f.to_item_key
        WHERE f.to_item_key IS NULL OR b.key IS NOT NULL
    ),
    newer AS (
        SELECT DISTINCT plain_number(superseded_by) AS number
        FROM requirement_as_of(day, known_now)
        -- "OT200 or OT201" says more than can be told here
        WHERE superseded_by IS NOT NULL
          AND NOT regexp_matches(lower(superseded_by), '[&,;/+]|\b(and|or|plus)\b')
    ),
    numbered AS MATERIALIZED (
        SELECT *, statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
                      || line_id AS weight
        FROM numbered_requirements(
            (SELECT list(number) FROM (
                SELECT number FROM newer UNION SELECT unnest([on_number, for_number]) FROM spoken
            ) WHERE number IS NOT NULL), day, known_now)
    ),
    superseded AS (
        SELECT o.line_id, o.source_id, o.said_by, 'one-way' AS grade, o.sure, o.words,
               concat(o.part_number, ' superseded by ', o.superseded_by,
                      CASE WHEN o.until_used_up THEN ' (use until exhausted)' END) AS reason,
               coalesce(n.part_id, o.part_id) AS on_part, o.part_id AS for_part,
               o.newer AS on_number, o.part_number_normal AS for_number,
               o.maker AS on_maker, o.maker AS for_maker,
               NOT o.until_used_up AS both_if_as_is, o.weight
        FROM (
            SELECT *, plain_number(superseded_by) AS newer,
                   regexp_matches(lower(concat_ws(' ', superseded_by, remark, words)),
                                  '\b(exhaust|exhausted|used up|use up)\b') AS until_used_up
            FROM numbered
        ) o
        JOIN newer w ON w.number = o.newer
        LEFT JOIN (SELECT DISTINCT part_number_normal AS number, maker, part_id FROM numbered) n
               ON n.number = w.number
              AND (n.maker IS NULL OR o.maker IS NULL OR n.maker = o.maker)
        WHERE o.part_number_normal <> o.newer
    ),
    lines AS (
        SELECT *, on_part <> for_part
                  OR coalesce(on_family, on_mark, on_phase, for_mark, for_phase, on_number,
                              for_number, CASE WHEN on_hand <> for_hand THEN '' END) IS NOT NULL
                      AS scoped
        FROM (
            -- a number says more than the family beside it
            SELECT * REPLACE (CASE WHEN on_number IS NULL THEN on_family END AS on_family,
                              CASE WHEN for_number IS NULL THEN for_family END AS for_family,
                              number_of_maker(on_number, on_maker) AS on_number)
            FROM spoken
            UNION ALL BY NAME
            SELECT * REPLACE (number_of_maker(on_number, on_maker) AS on_number,
                              number_of_maker(for_number, for_maker) AS for_number)
            FROM superseded
        )
    ),
    listed AS (
        SELECT r.line_id, r.source_id, r.said_by, 'as-is' AS grade, r.sure, r.words,
               concat('the list gives ', r.part_number, ' for it') AS reason, r.part_id,
               number_of_maker(r.part_number_normal, r.maker) AS number,
               lower(r.family) AS family, e.mark, e.phase, r.weight
        FROM numbered r
        JOIN effectivity e ON e.line_id = r.line_id AND e.revision = r.revision
        WHERE NOT r.all_builds AND r.family IS NOT NULL
          AND r.part_number_normal IN (SELECT number_alone(unnest([on_number, for_number]))
                                       FROM lines)
        -- what also depends on a serial or on another assembly is not told by the build alone
        QUALIFY bool_and(NOT e.is_interval AND e.mark IS NOT NULL AND e.reach IS NULL
                         AND e.assembly IS NULL) OVER (PARTITION BY r.line_id)
    ),
    both_ways AS (
        SELECT *, false AS backwards, false AS by_list FROM lines
        UNION ALL BY NAME
        SELECT line_id, source_id, said_by,
               CASE grade WHEN 'one-way' THEN 'never' ELSE grade END AS grade, sure,
               assembly, words,
               CASE grade WHEN 'one-way' THEN 'not the other way: '
                        || CASE WHEN on_number IS NULL THEN words ELSE coalesce(reason, words) END
                    ELSE reason END AS reason,
               work, alters, can_be_undone, companions, for_part AS on_part, on_part AS for_part,
               for_hand AS on_hand, for_position AS on_position, on_hand AS for_hand,
               on_position AS for_position, for_family AS on_family, for_mark AS on_mark,
               for_phase AS on_phase, for_number AS on_number, on_family AS for_family,
               on_mark AS for_mark, on_phase AS for_phase, on_number AS for_number, weight,
               scoped, true AS backwards, false AS by_list
        FROM lines
        WHERE grade IN ('as-is', 'one-way') AND scoped AND both_if_as_is
        UNION ALL BY NAME
        SELECT line_id, source_id, said_by, grade, sure, words, reason, part_id AS on_part,
               part_id AS for_part, number AS on_number, family AS for_family, mark AS for_mark,
               phase AS for_phase, weight, true AS scoped, false AS backwards, true AS by_list
        FROM listed
        UNION ALL BY NAME
        SELECT line_id, source_id, said_by, grade, sure, words, reason, part_id AS on_part,
               part_id AS for_part, family AS on_family, mark AS on_mark, phase AS on_phase,
               number AS for_number, weight, true AS scoped, true AS backwards, true AS by_list
        FROM listed
    )
    SELECT * EXCLUDE (both_if_as_is, on_maker, for_maker), sure AND scoped AS certain
    FROM both_ways WHERE part_ids IS NULL OR list_contains(part_ids, for_part);

-- The same for chains: with the sides as one text each, in the order in which they count (`choice`).
CREATE OR REPLACE MACRO statements_by_side(day, known_now) AS TABLE
    WITH one_family AS (
        SELECT a.family AS on_one, b.family AS for_one
        FROM (SELECT family FROM family_names(day, known_now) UNION SELECT '') a
        JOIN (SELECT family FROM family_names(day, known_now) UNION SELECT '') b
          ON a.family = b.family OR '' IN (a.family, b.family)
    )
    SELECT *, concat_ws('|', on_part, coalesce(on_family, '*'), coalesce(on_mark, ''),
                        coalesce(on_phase, ''), coalesce(on_number, '')) AS on_side,
           concat_ws('|', for_part, coalesce(for_family, '*'), coalesce(for_mark, ''),
                     coalesce(for_phase, ''), coalesce(for_number, '')) AS for_side,
           -- which of several statements counts: a sure never, then a hedged one, then what is
           -- sure before what is hedged, what was said of this direction, the better statement
           row_number() OVER (ORDER BY
               CASE WHEN grade = 'never' AND NOT backwards AND certain THEN 0
                    WHEN grade = 'never' AND NOT backwards THEN 1 ELSE 2 END,
               NOT sure, by_list, backwards, weight DESC, on_side, for_side, line_id,
               on_hand NULLS FIRST, for_hand NULLS FIRST, on_position NULLS FIRST,
               for_position NULLS FIRST) AS choice
    FROM (
        -- marks on both sides and no family are of one family, or of one not stated ('')
        SELECT s.* REPLACE (coalesce(c.on_one, s.on_family) AS on_family,
                            coalesce(c.for_one, s.for_family) AS for_family)
        FROM fit_statements(NULL, day, known_now) s
        LEFT JOIN one_family c
          ON coalesce(s.on_family, s.for_family, s.on_number, s.for_number) IS NULL
         AND coalesce(s.on_mark, s.on_phase) IS NOT NULL
         AND coalesce(s.for_mark, s.for_phase) IS NOT NULL
    );

-- What went with a whole that is gone, what took the place of a whole, and what later changes
-- displaced.

-- What belongs under what by the parts lists: item and parent, each as (assembly, part_id, code). A
-- parent is named by its words, part number or, within its assembly, item number.
CREATE OR REPLACE MACRO listed_parents(day, known_now) AS TABLE
    WITH children AS MATERIALIZED (
        SELECT line_id, source_id, lower(trim(parent_words)) AS name
        FROM requirement_as_of(day, known_now) WHERE parent_words IS NOT NULL
    ),
    named AS (
        SELECT line_id, source_id,
               unnest([lower(trim(description)), lower(trim(part_number)),
                       lower(trim(item_number))]) AS name,
               unnest([false, false, true]) AS by_item
        FROM requirement_as_of(day, known_now)
        WHERE source_id IN (SELECT source_id FROM children)
    ),
    items AS MATERIALIZED (
        SELECT line_id, family, assembly, part_id, concat(hand, '|', position) AS code
        FROM requirement_items(NULL, day, known_now)
        WHERE source_id IN (SELECT source_id FROM children)
    )
    SELECT DISTINCT i.family, i.assembly, i.part_id, i.code, p.assembly AS under_assembly,
           p.part_id AS under_part, p.code AS under_code
    FROM children c
    JOIN named n USING (source_id, name)
    JOIN items i ON i.line_id = c.line_id
    JOIN items p ON p.line_id = n.line_id AND p.family = i.family
    WHERE (NOT n.by_item OR p.assembly = i.assembly)
      AND (i.assembly, i.part_id, i.code) <> (p.assembly, p.part_id, p.code);

-- Since when what is fitted is approved as a build: set by the registrar, or stated.
CREATE OR REPLACE MACRO approved_builds(day, known_now) AS TABLE
    SELECT vehicle_id, assembly, max(set_on) AS set_on, max(stated_on) AS stated_on
    FROM (
        SELECT vehicle_id, assembly, set_at::DATE AS set_on, NULL AS stated_on
        FROM builds_set_as_of(day, known_now)
        WHERE mark IS NOT NULL OR phase IS NOT NULL
        UNION ALL
        SELECT n.target, v.assembly, NULL, v.said_on
        FROM vehicle_as_of(day, known_now) v
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = v.vehicle_key
        WHERE v.assembly IS NOT NULL AND (v.mark IS NOT NULL OR v.phase IS NOT NULL) AND v.sure
    )
    GROUP BY vehicle_id, assembly;

-- Whether a later change that is kept is part of what a vehicle is to be: true where the target says
-- as served, names the change, or a year that it was made by; false where it says works condition or
-- an earlier year; NULL where it says none of this.
CREATE OR REPLACE MACRO target_covers(target, change_year, names) AS
    CASE WHEN len([n FOR n IN names IF len(n) > 2 AND contains(lower(target), n)]) > 0 THEN true
         WHEN regexp_matches(lower(target), '\b(as served|as used|in service|service condition|as in service)\b')
         THEN true
         WHEN regexp_matches(lower(target), '\b(works|factory|as built|as made|as new|as delivered)\b')
         THEN false
         ELSE TRY_CAST(nullif(regexp_extract(target, '\b(1[89]|20)\d\d\b'), '') AS INTEGER)
              >= change_year END;

-- What other names that lines give what was displaced mean, where that is one part: told by the
-- answers (answers/displaced.py), which know all names. Asked as it is, none.
CREATE OR REPLACE MACRO displaced_names(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS name, NULL::VARCHAR AS part_id WHERE false;

-- What later changes displaced, by vehicle and part, with `said` in words: by what, who made it, when,
-- and whether it stays. `serves`: true where the target has the change, false where it has not, NULL
-- where nobody settled that; `reversed`: the change is undone. What is displaced is told by the name
-- of a part, or by words that anywhere else are taken to mean it. `itself`: a later one of the same
-- part took its place.
CREATE OR REPLACE MACRO later_changes(vehicle_ids, day, known_now) AS TABLE
    WITH changes AS MATERIALIZED (
        SELECT n.target AS vehicle_id, s.line_id, s.item_key, s.description, s.change_stays,
               CASE WHEN s.side IN ('left', 'right') THEN s.side END AS hand,
               nullif(concat_ws(', ', s.change_by, s.change_when), '') AS who,
               TRY_CAST(nullif(regexp_extract(s.change_when, '\b(1[89]|20)\d\d\b'), '') AS INTEGER)
                   AS change_year,
               s.displaced, v.aim_target,
               unnest(list_transform(
                   regexp_split_to_array(lower(s.displaced), '\s*([,;&+]|\band\b)\s*'),
                   lambda w: regexp_replace(trim(w), '^((the|an?|its|original)\s+)+', ''))) AS name
        FROM survey_as_of(day, known_now) s
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = s.vehicle_key
        JOIN vehicles_as_of(day, known_now) v ON v.vehicle_id = n.target
        WHERE s.displaced IS NOT NULL
          AND (vehicle_ids IS NULL OR list_contains(vehicle_ids, n.target))
    ),
    meanings AS (
        SELECT unnest([part_id, lower(name), lower(noun_first)]) AS name,
               coalesce(replaced_by, part_id) AS part_id
        FROM part
        UNION
        SELECT lower(k.description), i.part_id
        FROM item_key k JOIN part_readings(NULL, 2, day, known_now) i ON i.key = k.item_key
        WHERE lower(k.description) IN (SELECT name FROM changes)
        UNION
        SELECT name, part_id FROM displaced_names(day, known_now)
    ),
    found AS (
        SELECT c.*, m.part_id, i.part_id IS NOT NULL AS itself,
               CASE c.change_stays
                   WHEN 'kept' THEN target_covers(c.aim_target, c.change_year,
                       [lower(c.description), lower(c.displaced), replace(m.part_id, '-', ' '),
                        replace(lower(c.description), '-', ' ')]) END AS serves
        FROM changes c
        JOIN meanings m USING (name)
        LEFT JOIN part_readings(NULL, 2, day, known_now) i
          ON i.key = c.item_key AND i.part_id = m.part_id
    )
    SELECT vehicle_id, part_id, hand, bool_and(itself) AS itself,
           bool_and(change_stays IS NOT DISTINCT FROM 'reversed') AS reversed,
           CASE WHEN bool_and(coalesce(serves, change_stays IS NOT DISTINCT FROM 'reversed'))
                THEN true
                WHEN bool_or(NOT serves) THEN false END AS serves,
           list(line_id ORDER BY line_id) AS change_lines,
           string_agg(DISTINCT concat('displaced by ', description, coalesce(' (' || who || ')', ''),
               ', ', CASE
                   WHEN change_stays = 'reversed' THEN 'reversed'
                   WHEN serves THEN 'kept, as the target says'
                   WHEN NOT serves THEN 'kept: lacking, since the target is ' || aim_target
                   ELSE coalesce(change_stays, 'not said whether it stays')
                        || ': lacking to works condition, not as served' END), '; ') AS said
    FROM found
    GROUP BY vehicle_id, part_id, hand;

-- The same as told_items for a club in which nothing follows from what was seen of other items.
CREATE OR REPLACE MACRO untold_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH items AS MATERIALIZED (
        SELECT i.*, s.whole_part IS NOT NULL AS is_whole
        FROM vehicle_items(vehicle_ids, part_ids, day, known_now) i
        LEFT JOIN assembly s ON s.assembly_id = i.assembly AND s.whole_part = i.part_id
    )
    SELECT *, hash(vehicle_id, assembly) IN (SELECT hash(vehicle_id, assembly) FROM items
                                             WHERE survey_lines IS NOT NULL) AS looked_at,
           NULL AS change_said, NULL::BOOLEAN AS change_serves, false AS displaced,
           NULL::BIGINT AS opens,
           NULL::STRUCT(item UBIGINT, assembly VARCHAR, part_id VARCHAR, hand VARCHAR,
                        "position" VARCHAR, seen VARCHAR, seen_on DATE, works BOOLEAN,
                        survey_lines VARCHAR[]) AS root
    FROM items;

-- Every item of every vehicle by what was seen of it, as `vehicle_items`, with what follows for it
-- from what was said of others. A whole is a part that stands for its assembly or under which a list
-- has others. What belongs to a whole that is missing, or to a whole assembly that another make's
-- stands in for, is `gone-with-it` unless it was seen itself: kept or away, fitted on that day or
-- later, or not working then. `root` is the whole it went with ({item, assembly, part_id, hand,
-- position, seen, seen_on, works, survey_lines}): the item folds into its line; `opens` how many do.
-- What a later change displaced (`displaced`) is `missing`, or a `stand-in` where a later one of its
-- kind took its place, unless `change_serves`.
CREATE OR REPLACE MACRO told_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH approved AS (
        SELECT a.vehicle_id, a.assembly, s.whole_part AS part_id, a.set_on, a.stated_on
        FROM approved_builds(day, known_now) a
        JOIN assembly s ON s.assembly_id = a.assembly AND s.whole_part IS NOT NULL
    ),
    items AS MATERIALIZED (
        SELECT i.* REPLACE (
                   CASE WHEN i.seen = 'stand-in'
                             AND (a.set_on >= i.seen_on
                                  OR (i.other_make AND a.stated_on >= i.seen_on))
                        THEN 'fitted' ELSE i.seen END AS seen),
               s.whole_part IS NOT NULL AS is_whole
        FROM vehicle_items(vehicle_ids, part_ids, day, known_now) i
        LEFT JOIN assembly s ON s.assembly_id = i.assembly AND s.whole_part = i.part_id
        LEFT JOIN approved a
          ON a.vehicle_id = i.vehicle_id AND a.assembly = i.assembly AND a.part_id = i.part_id
         AND i.seen = 'stand-in'
    ),
    changes AS MATERIALIZED (SELECT * FROM later_changes(vehicle_ids, day, known_now)),
    parents AS MATERIALIZED (SELECT * FROM listed_parents(day, known_now)),
    gone AS MATERIALIZED (
        SELECT item, any_value(vehicle_id) AS vehicle_id, any_value(assembly) AS assembly,
               any_value(part_id) AS part_id, any_value(code) AS code,
               max(is_gone) AS seen, max(seen_weight) >> 32 AS day_weight, max(seen_on) AS seen_on,
               bool_and(coalesce(works, true)) AS works, flatten(list(survey_lines)) AS survey_lines
        FROM (
            SELECT *, CASE WHEN seen IN ('away-for-repair', 'off-and-kept') THEN 'away'
                           WHEN seen IN ('missing', 'stand-in', 'stand-in accepted') THEN seen
                           END AS is_gone
            FROM items
            WHERE seen <> 'not-there-to-be-fitted'
              AND (is_whole OR part_id IN (SELECT under_part FROM parents))
        )
        GROUP BY item
        HAVING count(DISTINCT is_gone) = 1 AND count(*) = count(is_gone)
           AND (bool_and(is_whole) OR any_value(is_gone) IN ('missing', 'away'))
    ),
    -- the items of vehicles from which a whole is gone, and what each belongs under
    present AS MATERIALIZED (
        SELECT DISTINCT i.item, i.vehicle_id, lower(v.family) AS family, i.assembly, i.part_id,
               i.code, nullif(split_part(i.code, '|', 1), '') AS hand,
               nullif(split_part(i.code, '|', 2), '') AS position, i.is_whole
        FROM items i JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
        WHERE (i.vehicle_id, i.assembly) IN (SELECT (vehicle_id, assembly) FROM gone)
           OR (i.vehicle_id IN (SELECT vehicle_id FROM gone)
               AND i.part_id IN (SELECT unnest([part_id, under_part]) FROM parents))
    ),
    listed AS MATERIALIZED (
        SELECT c.vehicle_id, c.item, w.item AS under
        FROM present c
        JOIN parents p USING (family, assembly, part_id, code)
        JOIN present w ON w.vehicle_id = c.vehicle_id AND w.assembly = p.under_assembly
                      AND w.part_id = p.under_part AND w.code = p.under_code
    ),
    edges AS MATERIALIZED (
        SELECT item, under FROM listed
        UNION ALL
        SELECT c.item, w.item
        FROM (FROM present ANTI JOIN listed USING (item)) c
        JOIN present w ON w.vehicle_id = c.vehicle_id AND w.assembly = c.assembly AND w.is_whole
        WHERE NOT c.is_whole
          AND (c.hand IS NULL OR w.hand IS NULL OR c.hand = w.hand)
          AND (c.position IS NULL OR w.position IS NULL OR c.position = w.position)
    ),
    reached AS MATERIALIZED (
        WITH RECURSIVE down AS (
            SELECT item AS root, item FROM gone
            UNION
            SELECT d.root, e.item FROM down d JOIN edges e ON e.under = d.item
        )
        SELECT d.item,
               -- the greatest whole that is gone, before one that is only away
               row_number() OVER (
                   PARTITION BY d.item
                   ORDER BY g.seen = 'away', d.size DESC, g.part_id, g.assembly, g.code)
                   AS choice,
               {'item': g.item, 'assembly': g.assembly, 'part_id': g.part_id,
                'hand': nullif(split_part(g.code, '|', 1), ''),
                'position': nullif(split_part(g.code, '|', 2), ''), 'seen': g.seen,
                'seen_on': g.seen_on, 'works': g.works, 'survey_lines': g.survey_lines} AS root,
               g.seen <> 'away' AS is_gone, g.day_weight
        FROM (SELECT *, count(*) OVER (PARTITION BY root) AS size FROM down) d
        JOIN gone g ON g.item = d.root
        WHERE d.item <> d.root
    ),
    -- seen by itself: what belongs under it did not go with the whole
    kept AS MATERIALIZED (
        SELECT DISTINCT item
        FROM items i JOIN reached r USING (item)
        WHERE r.choice = 1
          AND (i.seen IN ('off-and-kept', 'away-for-repair')
               OR (i.seen IN ('fitted', 'unserviceable')
                   AND (NOT r.is_gone OR i.seen_weight >> 32 >= r.day_weight)))
    ),
    there AS MATERIALIZED (
        WITH RECURSIVE up AS (
            SELECT item FROM kept
            UNION
            SELECT under FROM edges
            WHERE under NOT IN (SELECT item FROM gone UNION ALL SELECT item FROM reached)
            UNION
            SELECT e.item
            FROM up u
            JOIN edges e ON e.under = u.item
            ANTI JOIN gone g ON g.item = e.item
        )
        FROM up
    ),
    under AS MATERIALIZED (
        SELECT * FROM (FROM reached WHERE choice = 1)
        ANTI JOIN (FROM there ANTI JOIN kept USING (item)) t USING (item)
    ),
    -- items of which something follows; all others pass as they are
    touched AS MATERIALIZED (
        SELECT item FROM under
        UNION
        SELECT item FROM gone
    ),
    marked AS MATERIALIZED (
        SELECT i.*, u.root, u.is_gone,
               u.is_gone AND (i.seen = 'not-looked-at'
                   OR (i.seen = 'missing' AND u.root.seen = 'stand-in accepted')
                   OR (i.seen IN ('fitted', 'unserviceable')
                       AND i.seen_weight >> 32 < u.day_weight)) AS went
        FROM (FROM items SEMI JOIN touched USING (item)) i
        LEFT JOIN under u USING (item)
    ),
    -- what was said of it before it went
    before AS (
        SELECT m.item,
               list({'seen': m.seen, 'text': printf('%s (%s, %s, %s)', s.words,
                     s.said_on::VARCHAR, coalesce(f.file, s.source_id), s.line_id)}
                    ORDER BY s.said_on DESC, s.line_id) AS dissent
        FROM (SELECT *, unnest(survey_lines) AS line_id FROM marked
              WHERE went AND seen <> 'not-looked-at') m
        JOIN survey_as_of(day, known_now) s USING (line_id)
        LEFT JOIN (
            SELECT source_id, arg_max(name, version) AS file FROM source_version GROUP BY source_id
        ) f ON f.source_id = s.source_id
        GROUP BY m.item
    ),
    parts_under AS (
        SELECT root.item AS item, count(*) AS opens,
               string_agg(DISTINCT needed_for, ';') AS needed_under
        FROM marked
        WHERE root IS NOT NULL AND coalesce(required, perhaps) IS NOT NULL
          AND (went OR seen = 'build-not-known'
               OR seen = CASE root.seen WHEN 'away' THEN 'not-looked-at' ELSE 'missing' END)
        GROUP BY root.item
    ),
    went AS (
        SELECT * REPLACE (
                   CASE root.seen WHEN 'stand-in accepted' THEN root.seen ELSE 'gone-with-it' END
                       AS seen,
                   root.seen_on AS seen_on,
                   list_concat(coalesce(survey_lines, []), root.survey_lines) AS survey_lines,
                   CASE WHEN seen IN ('fitted', 'unserviceable')
                        THEN greatest(coalesce(had_before, 0), quantity) ELSE had_before END
                       AS had_before)
        FROM marked WHERE went
    ),
    changed AS (
        SELECT * FROM marked WHERE went IS NOT TRUE
        UNION ALL BY NAME
        SELECT any_value(COLUMNS(* EXCLUDE (item, quantity, survey_lines, had_before))),
               item, sum(quantity) AS quantity,
               list_sort(list_distinct(flatten(list(survey_lines)))) AS survey_lines,
               max(had_before) AS had_before
        FROM went
        GROUP BY item
    ),
    told AS (
        SELECT c.* EXCLUDE (went, is_gone) REPLACE (
                   CASE WHEN b.dissent IS NULL THEN c.dissent
                        ELSE list_concat(b.dissent, coalesce(c.dissent, [])) END AS dissent,
                   CASE WHEN c.required IS NULL AND p.opens IS NOT NULL
                        THEN concat_ws(';', nullif(q.own_needed_for, ''), p.needed_under)
                        ELSE c.needed_for END AS needed_for,
                   -- what folds: what went, and what is missing or depends; of what is away, what
                   -- nobody looked at
                   CASE WHEN c.went OR c.seen = 'build-not-known'
                             OR c.seen = CASE c.root.seen WHEN 'away' THEN 'not-looked-at'
                                                          ELSE 'missing' END
                        THEN c.root END AS root),
               p.opens
        FROM changed c
        JOIN (SELECT part_id, needed_for AS own_needed_for FROM part) q USING (part_id)
        LEFT JOIN before b USING (item)
        LEFT JOIN parts_under p USING (item)
    ),
    all_items AS (
        SELECT * FROM items ANTI JOIN touched USING (item)
        UNION ALL BY NAME
        SELECT * FROM told
    ),
    displacing AS (
        SELECT i.*, c.said AS change_said, c.serves AS change_serves, c.change_lines,
               coalesce(NOT c.reversed AND i.required IS NOT NULL
                   AND (CASE WHEN c.itself
                             THEN i.seen = 'fitted'
                                  AND list_has_any(i.survey_lines, c.change_lines)
                             ELSE i.seen IN ('not-looked-at', 'missing') END), false)
                   AS displaced
        FROM all_items i
        LEFT JOIN changes c ON c.vehicle_id = i.vehicle_id AND c.part_id = i.part_id
                           AND (c.hand IS NULL OR starts_with(i.code, '|')
                                OR c.hand = split_part(i.code, '|', 1))
    )
    SELECT * EXCLUDE (change_lines) REPLACE (
               CASE WHEN NOT displaced THEN seen
                    WHEN seen = 'fitted' THEN 'stand-in' ELSE 'missing' END AS seen,
               CASE WHEN displaced
                    THEN list_sort(list_distinct(list_concat(coalesce(survey_lines, []),
                                                             change_lines)))
                    ELSE survey_lines END AS survey_lines),
           hash(vehicle_id, assembly) IN (SELECT hash(vehicle_id, assembly) FROM items
                                          WHERE survey_lines IS NOT NULL) AS looked_at
    FROM displacing;

-- What was made or adapted beside another make's assembly, and comes free with it: by vehicle and
-- assembly. It stood under that assembly in a survey, or its words name it.
CREATE OR REPLACE MACRO adapted_beside(vehicle_ids, day, known_now) AS TABLE
    WITH adapted AS (
        SELECT n.target AS vehicle_id, s.line_id, s.making, s.description,
               coalesce(s.assembly, p.assembly) AS assembly, p.part_id,
               lower(concat_ws(' ', s.description, s.words, s.remark, s.condition_text)) AS words
        FROM survey_as_of(day, known_now) s
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = s.vehicle_key
        LEFT JOIN part_readings(NULL, 2, day, known_now) i ON i.key = s.item_key
        LEFT JOIN part p ON p.part_id = i.part_id
        WHERE s.making IN ('adapted', 'new-made') AND s.presence IN ('fitted', 'stand-in')
          AND (vehicle_ids IS NULL OR list_contains(vehicle_ids, n.target))
    )
    SELECT d.vehicle_id, a.assembly_id AS assembly,
           'when the original returns: '
           || string_agg(DISTINCT concat(d.description, ' (', d.making, ')'), ', '
                         ORDER BY concat(d.description, ' (', d.making, ')')) AS said
    FROM adapted d
    JOIN assembly a ON a.whole_part IS NOT NULL
     AND (a.assembly_id = d.assembly
          OR regexp_matches(d.words, '\b' || regexp_escape(lower(a.name)) || '\b'))
    WHERE d.part_id IS DISTINCT FROM a.whole_part
    GROUP BY d.vehicle_id, a.assembly_id;

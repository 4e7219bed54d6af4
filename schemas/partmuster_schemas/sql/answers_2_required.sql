-- What each vehicle should have, by the parts lists.

-- Whether part numbers, {number, maker}, have one in common; where either has none nothing differs.
CREATE OR REPLACE MACRO numbers_agree(numbers_one, numbers_two) AS
    numbers_one IS NULL OR numbers_two IS NULL
    OR len([n FOR n IN numbers_one IF len([m FOR m IN numbers_two IF m.number = n.number
            AND (m.maker IS NULL OR n.maker IS NULL OR m.maker = n.maker)]) > 0]) > 0;

-- How many of each item vehicles that are alike in `asks` should have, by the one that stands for all
-- of its like: one row per vehicle, assembly and item (part, and
-- `code`: hand and position). Lines of one list add; of several lists the best one counts.
-- `agreeing` are the lines of others that say the same, `others` what those say that differ:
-- {told, lines}. `required` NULL: it depends on the build, and is then at most `perhaps` (the
-- largest line, since lines for different builds exclude each other).
--
-- Two lists that have an item under different assemblies mean one item if one of them names the
-- other's assembly and does not have it there: it counts `under` the better list's. Lists that name
-- other assemblies have other items. What a list says of an item without its hand or position is, where
-- another list has it with them, of all of those together (`unplaced`).
--
-- Where lines hang on the candidates for one build, what the least of them needs is required, though
-- it may be another line for each; `depends_on` says what differs.
CREATE OR REPLACE MACRO required_alike(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH alike AS MATERIALIZED (
        SELECT * FROM vehicles_alike(vehicle_ids, part_ids, day, known_now)
    ),
    lines AS MATERIALIZED (
        SELECT *, concat(hand, '|', position) AS code
        FROM requirement_items(part_ids, day, known_now)
        WHERE quantity > 0
    ),
    -- parts that several lists have; of any other there is nothing to compare
    shared AS MATERIALIZED (
        SELECT family, part_id FROM lines GROUP BY ALL HAVING count(DISTINCT source_id) > 1
    ),
    held AS (
        SELECT * FROM applicable_requirements(
            (SELECT list(DISTINCT like_vehicle) FROM alike), part_ids, day, known_now)
    ),
    applicable AS MATERIALIZED (
        SELECT h.vehicle_id, h.asks, h.applies, l.*,
               entry_number(h.vehicle_id, l.assembly, l.part_id, l.code, l.source_id) AS entry
        FROM held h JOIN lines l USING (line_id, part_id)
        WHERE h.applies IS DISTINCT FROM false
    ),
    several AS MATERIALIZED (
        SELECT entry FROM applicable GROUP BY entry HAVING count(*) > 1
    ),
    by_line AS (
        SELECT entry, any_value(vehicle_id) AS vehicle_id, any_value(assembly) AS assembly,
               any_value(part_id) AS part_id, any_value(code) AS code,
               any_value(source_id) AS source_id, any_value(family) AS family,
               any_value(asks) AS asks, sum(quantity) FILTER (applies) AS required,
               -- what surely applies counts before what may
               max(weight + (coalesce(applies, false)::BIGINT << 58)) AS weight,
               string_agg(needed_for, ';') FILTER (applies) AS needed_for,
               string_agg(needed_for, ';') AS needed_perhaps,
               list_sort(list(line_id) FILTER (applies)) AS lines,
               list_sort(list(line_id) FILTER (applies IS NULL)) AS lines_perhaps,
               list({'number': part_number_normal, 'maker': maker})
                   FILTER (applies AND part_number_normal IS NOT NULL) AS numbers,
               bool_and(all_builds) FILTER (applies) AS for_all_builds,
               array_to_string(list_sort(list_distinct(list(companions_text))), '; ')
                   AS companions
        FROM applicable SEMI JOIN several USING (entry)
        GROUP BY entry
        UNION ALL
        -- of one line there is nothing to sum
        SELECT entry, vehicle_id, assembly, part_id, code, source_id, family, asks,
               CASE WHEN applies THEN quantity END,
               weight + (coalesce(applies, false)::BIGINT << 58),
               CASE WHEN applies THEN needed_for END, needed_for,
               CASE WHEN applies THEN [line_id] END, CASE WHEN applies IS NULL THEN [line_id] END,
               CASE WHEN applies AND part_number_normal IS NOT NULL
                    THEN [{'number': part_number_normal, 'maker': maker}] END,
               CASE WHEN applies THEN all_builds END, companions_text
        FROM applicable ANTI JOIN several USING (entry)
    ),
    of_sources AS MATERIALIZED (
        SELECT l.* EXCLUDE (entry) REPLACE (
                   CASE WHEN d.least IS NULL THEN l.required
                        ELSE coalesce(l.required, 0) + d.least END AS required,
                   -- which of several numbers it is depends as well
                   CASE WHEN d.least IS NULL THEN l.numbers END AS numbers),
               d.beyond AS perhaps, d.told AS depends_on
        FROM by_line l
        LEFT JOIN depending_items(
            (SELECT list(DISTINCT like_vehicle) FROM alike), part_ids, day, known_now) d
          ON d.entry = l.entry
    ),
    by_source AS MATERIALIZED (FROM of_sources SEMI JOIN shared USING (family, part_id)),
    named AS MATERIALIZED (
        SELECT DISTINCT source_id, lower(family) AS family, assembly
        FROM requirement_as_of(day, known_now)
        WHERE assembly IS NOT NULL
    ),
    apart AS (
        SELECT s.vehicle_id, s.part_id, s.code, s.source_id, s.assembly, s.family,
               b.source_id AS better, b.assembly AS under
        FROM by_source s
        JOIN (
            FROM by_source SEMI JOIN (
                SELECT vehicle_id, part_id, code FROM by_source GROUP BY ALL HAVING count(*) > 1
            ) USING (vehicle_id, part_id, code)
            QUALIFY weight = max(weight) OVER (PARTITION BY vehicle_id, part_id, code)
        ) b USING (vehicle_id, part_id, code)
        WHERE s.source_id <> b.source_id AND s.assembly <> b.assembly
          AND numbers_agree(s.numbers, b.numbers)
    ),
    moved AS (
        SELECT a.vehicle_id, a.part_id, a.code, a.source_id, a.assembly,
               min(a.under) AS under
        FROM apart a
        ANTI JOIN by_source h ON (h.vehicle_id, h.part_id, h.code, h.source_id, h.assembly)
                                 = (a.vehicle_id, a.part_id, a.code, a.better, a.assembly)
        ANTI JOIN by_source t ON (t.vehicle_id, t.part_id, t.code, t.source_id, t.assembly)
                                 = (a.vehicle_id, a.part_id, a.code, a.source_id, a.under)
        WHERE (a.better, a.family, a.assembly) IN (SELECT (source_id, family, assembly) FROM named)
           OR (a.source_id, a.family, a.under) IN (SELECT (source_id, family, assembly) FROM named)
        GROUP BY ALL
    ),
    unplaced AS (
        SELECT s.vehicle_id, s.assembly, s.part_id, s.code, s.source_id,
               list(DISTINCT b.code) AS codes
        FROM by_source s
        JOIN (
            FROM by_source ANTI JOIN moved USING (vehicle_id, part_id, code, source_id, assembly)
        ) b USING (vehicle_id, assembly, part_id)
        ANTI JOIN by_source o ON (o.vehicle_id, o.assembly, o.part_id, o.source_id, o.code)
                                 = (s.vehicle_id, s.assembly, s.part_id, s.source_id, b.code)
        WHERE b.source_id <> s.source_id AND b.code <> s.code
          AND split_part(s.code, '|', 1) IN ('', split_part(b.code, '|', 1))
          AND split_part(s.code, '|', 2) IN ('', split_part(b.code, '|', 2))
        GROUP BY ALL
    ),
    listed AS MATERIALIZED (
        SELECT *, coalesce(lines, lines_perhaps) AS said
        FROM by_source
        LEFT JOIN moved USING (vehicle_id, part_id, code, source_id, assembly)
        LEFT JOIN unplaced USING (vehicle_id, part_id, code, source_id, assembly)
    ),
    heaviest AS (
        SELECT vehicle_id, assembly, part_id, code, max(weight) AS weight
        FROM listed
        WHERE under IS NULL AND codes IS NULL
        GROUP BY vehicle_id, assembly, part_id, code
    ),
    best AS MATERIALIZED (
        SELECT * FROM listed
        JOIN heaviest USING (vehicle_id, assembly, part_id, code, weight)
        WHERE under IS NULL AND codes IS NULL
    ),
    compared AS (
        SELECT b.vehicle_id, b.assembly, b.part_id, b.code, s.said AS lines, s.weight,
               CASE WHEN s.required <> b.required AND s.under IS NOT NULL
                        THEN printf('another list says %g, under %s', s.required, s.assembly)
                    WHEN s.under IS NOT NULL
                        THEN printf('another list has it under %s', s.assembly)
                    WHEN s.required <> b.required
                        THEN printf('another list says %g', s.required)
                    WHEN s.required IS NULL AND b.required IS NOT NULL
                        THEN 'another list has it for some builds only'
                    WHEN NOT numbers_agree(s.numbers, b.numbers)
                        THEN 'another list gives another number' END AS told
        FROM best b
        JOIN listed s ON (s.vehicle_id, s.part_id, s.code) = (b.vehicle_id, b.part_id, b.code)
                     AND coalesce(s.under, s.assembly) = b.assembly AND s.weight < b.weight
        UNION ALL
        SELECT b.vehicle_id, b.assembly, b.part_id, b.code, s.said, s.weight,
               CASE WHEN coalesce(s.required, s.perhaps) IS DISTINCT FROM
                         sum(b.required) OVER (PARTITION BY s.source_id, s.vehicle_id, s.assembly,
                                                            s.part_id, s.code)
                    THEN printf('another list says %g, %s not stated',
                                coalesce(s.required, s.perhaps),
                                CASE WHEN split_part(s.code, '|', 1) = split_part(b.code, '|', 1)
                                     THEN 'position' ELSE 'hand' END) END
        FROM listed s
        JOIN best b ON (b.vehicle_id, b.assembly, b.part_id)
                       = (s.vehicle_id, s.assembly, s.part_id)
                   AND list_contains(s.codes, b.code)
        UNION ALL
        -- the same part, which another list has for other vehicles and not for this one
        SELECT b.vehicle_id, b.assembly, b.part_id, b.code, list_sort(list(l.line_id)),
               max(l.weight), 'another list has it for other builds'
        FROM best b
        JOIN (
            SELECT h.vehicle_id, l.*,
                   CASE WHEN l.part_number_normal IS NOT NULL
                        THEN [{'number': l.part_number_normal, 'maker': l.maker}] END AS numbers
            FROM held h
            JOIN (FROM lines SEMI JOIN shared USING (family, part_id)) l USING (line_id, part_id)
            WHERE NOT h.applies
        ) l ON (l.vehicle_id, l.part_id, l.code) = (b.vehicle_id, b.part_id, b.code)
        WHERE l.source_id <> b.source_id
          AND (b.vehicle_id, b.part_id, b.code, l.source_id) NOT IN
              (SELECT (vehicle_id, part_id, code, source_id) FROM listed)
          AND numbers_agree(l.numbers, b.numbers)
          AND (b.for_all_builds OR (l.numbers IS NOT NULL AND b.numbers IS NOT NULL))
        GROUP BY b.vehicle_id, b.assembly, b.part_id, b.code, l.source_id
    ),
    beside AS (
        SELECT vehicle_id, assembly, part_id, code,
               list_sort(flatten(list(lines) FILTER (told IS NULL))) AS agreeing,
               list({'told': told, 'lines': lines} ORDER BY weight DESC)
                   FILTER (told IS NOT NULL) AS others
        FROM compared
        GROUP BY vehicle_id, assembly, part_id, code
    )
    SELECT hash(b.vehicle_id, b.asks, b.assembly, b.part_id, b.code) AS need,
           b.vehicle_id, b.family, b.asks, b.assembly, b.part_id, b.code, b.required, b.perhaps,
           coalesce(b.needed_for, b.needed_perhaps) AS needed_for, b.lines, b.lines_perhaps,
           b.numbers, b.for_all_builds, nullif(b.companions, '') AS companions, b.depends_on,
           b.agreeing, b.others
    FROM (
        SELECT * FROM of_sources ANTI JOIN shared USING (family, part_id)
        UNION ALL BY NAME
        SELECT * EXCLUDE (under, codes, said)
        FROM best LEFT JOIN beside USING (vehicle_id, assembly, part_id, code)
    ) b;

-- Does an item count for an aim? A full original needs every item; with no aim stated all count.
CREATE OR REPLACE MACRO counts_for(of_aim, of_needed_for) AS
    of_aim IS NULL OR of_aim = 'full-original'
    OR list_contains(string_split(replace(of_needed_for, ' ', ''), ';'), of_aim);

-- Assemblies of vehicles that are worked out apart from the rest (answers_3_apart.sql): by default none.
CREATE OR REPLACE MACRO unseen_assemblies(vehicle_ids, day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS vehicle_id, NULL::VARCHAR AS assembly, NULL::VARCHAR AS aim,
           NULL::BIGINT AS opens_into, NULL::BOOLEAN AS for_display, NULL::BOOLEAN AS for_runner
    WHERE false;

-- A number for an item on a vehicle, by which the steps that follow find it sooner than by its words.
CREATE OR REPLACE MACRO item_number(vehicle_id, assembly, part_id, code) AS
    hash(vehicle_id, assembly, part_id, code);

-- How many each vehicle should have: `item` is the item's number, `need` that of the row of
-- `required_alike` that says more of it.
CREATE OR REPLACE MACRO required_items(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT item_number(a.vehicle_id, r.assembly, r.part_id, r.code) AS item, r.need, a.vehicle_id,
           r.assembly, r.part_id, r.code, r.required, r.perhaps, r.needed_for
    FROM required_alike(vehicle_ids, part_ids, day, known_now) r
    JOIN vehicles_alike(vehicle_ids, part_ids, day, known_now) a
      ON a.like_vehicle = r.vehicle_id AND a.family = r.family AND a.asks = r.asks;

-- What surveys say of items, and how many each statement accounts for.

-- What surveys say of items, one row a statement. quantity NULL = all of them (a general
-- statement); spot NULL = not tied to one place. "Not looked at" says nothing and is left out, so
-- that a later glance does not undo what was seen. "3 of 8 fitted" also says that 5 are missing
-- (afterthought). "0 fitted" says missing. A whole assembly of another make is a stand-in.
CREATE OR REPLACE MACRO survey_statements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH lines AS MATERIALIZED (
        SELECT v.target AS vehicle_id, p.part_id, s.assembly, p.assembly AS home,
               concat(item_hand(s.side, p.handed), '|',
                      coalesce(z.size, item_position(s.position, p.positions))) AS code,
               nullif(concat_ws(' ', s.location,
                   CASE WHEN p.handed <> 'handed' THEN s.side END,
                   CASE WHEN coalesce(p.positions, '') = '' THEN s.position END), '') AS spot,
               CASE WHEN s.presence = 'fitted' AND s.at_most = 0 THEN 'missing'
                    WHEN (s.presence = 'stand-in' OR s.other_make) AND s.accepted_stand_in
                    THEN 'stand-in accepted'
                    WHEN s.other_make THEN 'stand-in'
                    WHEN s.presence IN ('fitted', 'off-and-kept', 'away-for-repair')
                         AND s.service = 'unserviceable' THEN 'unserviceable'
                    ELSE s.presence END AS seen,
               CASE WHEN s.presence = 'fitted' AND s.at_most = 0 THEN NULL
                    WHEN s.quantified THEN s.at_least END AS counted,
               CASE WHEN s.presence = 'fitted' AND s.at_most = s.at_least
                    THEN s.of_total - s.at_least END AS short,
               s.service <> 'unserviceable' AS works, s.other_make,
               s.line_id, s.said_on, s.words, coalesce(f.file, s.source_id) AS file,
               s.part_number_normal, s.maker,
               statement_weight(s.sure, s.first_hand, s.said_on_basis, s.said_on, s.source_id)
                   AS weight
        FROM (
            SELECT *, presence = 'fitted' AND making = 'other-original'
                      AND part_id IN (SELECT whole_part FROM assembly WHERE whole_part IS NOT NULL)
                          AS other_make
            FROM (
                SELECT q.*, i.part_id, false AS alone FROM survey_as_of(day, known_now) q
                JOIN part_readings(part_ids, 2, day, known_now) i ON i.key = q.item_key
                UNION ALL
                SELECT q.*, i.part_id, true AS alone FROM survey_as_of(day, known_now) q
                JOIN line_readings(part_ids, day, known_now) i USING (line_id)
            )
        ) s
        JOIN accepted_names('vehicle', day, known_now) v ON v.key = s.vehicle_key
        JOIN part p ON p.part_id = s.part_id
        LEFT JOIN survey_sizes(day, known_now) z ON z.line_id = s.line_id
        LEFT JOIN (
            SELECT source_id, arg_max(name, version) AS file FROM source_version GROUP BY source_id
        ) f ON f.source_id = s.source_id
        WHERE (vehicle_ids IS NULL OR list_contains(vehicle_ids, v.target))
          AND s.presence NOT IN ('not-looked-at', 'could-not-be-seen')
          AND (s.alone OR s.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now)))
    )
    SELECT * EXCLUDE (short, counted), false AS afterthought,
           CASE WHEN spot IS NOT NULL THEN coalesce(counted, 1) ELSE counted END AS quantity
    FROM lines
    UNION ALL
    SELECT * EXCLUDE (short, counted) REPLACE ('missing' AS seen), true, short
    FROM lines WHERE short > 0;

-- Survey statements with how many of the required number each accounts for (`given`), by the item
-- that the lists know; and a row without a statement for each item of which nothing was said.
--
-- Per item the best general statement counts for all of it; better statements about some of them
-- (a place, a number) change that many of it; the best of those that give a number without a place
-- counts, and per place the best. Where statements of one day claim more than are required, lacks
-- are believed first. Of an item that no list asks for the largest stated number is required, and
-- at least 1. A survey line that names a hand or position where the list names none tells of one
-- of them.
--
-- `plain`: there is one general statement about the item, or none, and what is required is certain,
-- so that the row tells all. That is so of nearly all items. `elsewhere`: the lists ask for the part,
-- but not with this hand or position.
CREATE OR REPLACE MACRO counted_statements(vehicle_ids, part_ids, day, known_now) AS TABLE
    WITH needed AS MATERIALIZED (
        SELECT *, hash(vehicle_id, part_id, code) AS named
        FROM required_items(vehicle_ids, part_ids, day, known_now)
    ),
    -- what lists have under several assemblies
    several AS MATERIALIZED (
        SELECT named FROM needed GROUP BY named HAVING count(*) > 1
    ),
    met AS MATERIALIZED (
        SELECT n.item, n.need, n.assembly AS listed_under, n.required, n.perhaps, n.needed_for,
               coalesce(s.vehicle_id, n.vehicle_id) AS vehicle_id,
               coalesce(s.part_id, n.part_id) AS part_id, coalesce(s.code, n.code) AS code,
               s.* EXCLUDE (vehicle_id, part_id, code)
        FROM survey_statements(vehicle_ids, part_ids, day, known_now) s
        FULL JOIN (FROM needed ANTI JOIN several USING (named)) n
          ON n.named = hash(s.vehicle_id, s.part_id, s.code)
    ),
    -- Statements about what no list has by that name, or several times. The items of their parts that
    -- lists know are two lists side by side.
    astray AS MATERIALIZED (
        SELECT * EXCLUDE (item, need, listed_under, required, perhaps, needed_for)
        FROM met WHERE item IS NULL
    ),
    listed AS (
        SELECT vehicle_id, part_id, list(code) AS codes, list(assembly) AS assemblies
        FROM needed
        WHERE hash(vehicle_id, part_id) IN (SELECT hash(vehicle_id, part_id) FROM astray)
        GROUP BY vehicle_id, part_id
    ),
    coded AS (
        SELECT s.* EXCLUDE (code), s.code AS said_code, l.codes, l.assemblies,
               CASE WHEN l.codes IS NULL OR list_contains(l.codes, s.code) THEN s.code
                    WHEN list_contains(l.codes, '|' || split_part(s.code, '|', 2))
                        THEN '|' || split_part(s.code, '|', 2)
                    WHEN list_contains(l.codes, split_part(s.code, '|', 1) || '|')
                        THEN split_part(s.code, '|', 1) || '|'
                    WHEN list_contains(l.codes, '|') THEN '|'
                    ELSE s.code END AS code
        FROM astray s
        LEFT JOIN listed l USING (vehicle_id, part_id)
    ),
    -- where the lists have the item: one assembly as a rule
    housed AS (
        SELECT *, list_sort(list_filter(assemblies, lambda a, n: codes[n] = code)) AS places
        FROM coded
    ),
    settled AS (
        SELECT h.* EXCLUDE (assembly, home, quantity, spot, said_code, codes, assemblies, places),
               unnest(CASE
                   WHEN coalesce(len(places), 0) = 0 THEN [coalesce(assembly, home)]
                   WHEN list_contains(places, assembly) THEN [assembly]
                   WHEN quantity IS NULL AND code = said_code THEN places
                   WHEN list_contains(places, home) THEN [home]
                   ELSE [places[1]] END) AS assembly,
               CASE WHEN code <> said_code THEN concat_ws(' ', said_code, spot)
                    ELSE spot END AS spot,
               CASE WHEN code <> said_code THEN coalesce(quantity, 1) ELSE quantity END
                   AS quantity,
               codes IS NOT NULL AND len(places) = 0 AS elsewhere
        FROM housed h
    ),
    found AS MATERIALIZED (
        SELECT s.*, item_number(s.vehicle_id, s.assembly, s.part_id, s.code) AS item, n.need,
               n.required, n.perhaps, n.needed_for
        FROM settled s
        LEFT JOIN needed n
          ON n.item = item_number(s.vehicle_id, s.assembly, s.part_id, s.code)
    ),
    placed AS NOT MATERIALIZED (
        SELECT * FROM found
        UNION ALL BY NAME
        SELECT * EXCLUDE (home, listed_under) REPLACE (listed_under AS assembly),
               false AS elsewhere
        FROM met WHERE item IS NOT NULL AND line_id IS NOT NULL
    ),
    unsaid AS (
        SELECT item, need, vehicle_id, part_id, code, listed_under AS assembly, required, perhaps,
               needed_for
        FROM met WHERE line_id IS NULL AND item NOT IN (SELECT item FROM found)
        UNION ALL BY NAME
        SELECT * EXCLUDE (named) FROM needed
        WHERE named IN (FROM several) AND item NOT IN (SELECT item FROM found)
    ),
    crowded AS MATERIALIZED (
        SELECT item FROM placed
        GROUP BY item
        HAVING count(*) > 1 OR bool_or(quantity IS NOT NULL OR perhaps IS NOT NULL)
    ),
    rest AS MATERIALIZED (FROM placed SEMI JOIN crowded USING (item)),
    -- how good the best statements of each sort are
    items AS (
        SELECT item, count(*) AS statements, greatest(1, max(quantity)) AS largest,
               max(weight) FILTER (quantity IS NULL) AS best_general,
               max(weight) FILTER (quantity IS NOT NULL AND spot IS NULL) AS best_counted
        FROM rest GROUP BY item
    ),
    spots AS (
        SELECT item, spot, max(weight) AS best_here
        FROM rest WHERE spot IS NOT NULL GROUP BY item, spot
    ),
    states AS (
        SELECT item, seen, max(weight) AS best_of_state
        FROM rest WHERE quantity IS NOT NULL AND spot IS NULL
        GROUP BY item, seen
    ),
    chosen AS MATERIALIZED (
        SELECT p.*, coalesce(p.required, p.perhaps, i.largest) AS total,
               coalesce(p.quantity, total) AS claimed,
               CASE WHEN i.statements = 1 THEN true
                    WHEN p.quantity IS NULL THEN p.weight = i.best_general
                    WHEN p.spot IS NULL
                        THEN (p.weight = i.best_counted
                              OR (p.weight = t.best_of_state AND p.quantity >= total))
                             AND p.weight >= coalesce(i.best_general, 0)
                    ELSE p.weight = s.best_here AND p.weight >= coalesce(i.best_general, 0)
                         AND p.weight >= coalesce(i.best_counted, 0) END AS counts
        FROM rest p
        JOIN items i USING (item)
        LEFT JOIN spots s USING (item, spot)
        LEFT JOIN states t USING (item, seen)
    ),
    overfull AS (
        SELECT item FROM chosen WHERE counts
        GROUP BY item
        HAVING sum(claimed) > max(total)
    )
    SELECT *, true AS counts, total AS given, true AS plain
    FROM (
        SELECT *, coalesce(required, 1) AS total, total AS claimed
        FROM placed ANTI JOIN crowded USING (item)
    )
    UNION ALL BY NAME
    SELECT *, coalesce(required, perhaps) AS total, perhaps IS NULL AS plain FROM unsaid
    WHERE total IS NOT NULL
    UNION ALL BY NAME
    SELECT *, CASE WHEN counts THEN claimed ELSE 0 END AS given, false AS plain
    FROM chosen ANTI JOIN overfull USING (item)
    UNION ALL BY NAME
    SELECT *, CASE WHEN counts THEN greatest(0, least(claimed, total - coalesce(
        sum(CASE WHEN counts THEN claimed ELSE 0 END) OVER (
            PARTITION BY item
            ORDER BY weight DESC, afterthought, quantity IS NULL, spot IS NULL,
                     list_position(['missing', 'stand-in', 'unserviceable',
                                    'stand-in accepted', 'not-there-to-be-fitted',
                                    'away-for-repair', 'off-and-kept', 'fitted'], seen),
                     line_id, afterthought
            ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0))) ELSE 0 END AS given, false AS plain
    FROM chosen SEMI JOIN overfull USING (item);

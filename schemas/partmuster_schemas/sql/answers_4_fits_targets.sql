-- fits: what parts are asked for at, and the chains for that.

-- What some parts (NULL = all that statements speak of) are asked for at: each build that lists or
-- statements name for them, with the numbers that lists give.
CREATE OR REPLACE MACRO fit_targets(part_ids, day, known_now) AS TABLE
    WITH listed AS (
        SELECT r.part_id, r.hand, r.position, r.assembly, r.family, b.mark, b.phase,
               list(DISTINCT number_of_maker(r.part_number_normal, r.maker))
                   FILTER (r.part_number_normal IS NOT NULL) AS numbers, list(DISTINCT r.line_id) AS lines
        FROM requirement_items(part_ids, day, known_now) r
        JOIN known_builds(day, known_now) b USING (family)
        LEFT JOIN effectivity e
          ON e.line_id = r.line_id AND e.revision = r.revision AND NOT r.all_builds
        WHERE r.all_builds OR (NOT e.is_interval AND mark_holds(e.mark, e.reach, b.mark)
                               AND phase_holds(e.phase, e.reach, b.phase))
        GROUP BY ALL
    )
    SELECT row_number() OVER () AS target, * FROM (
        SELECT * FROM listed
        UNION ALL BY NAME
        SELECT DISTINCT s.for_part AS part_id, s.for_hand AS hand, s.for_position AS position,
               s.for_family AS family, s.for_mark AS mark, s.for_phase AS phase,
               CASE WHEN s.for_number IS NOT NULL THEN [s.for_number] END AS numbers
        FROM fit_statements(part_ids, day, known_now) s
        ANTI JOIN listed l
          ON l.part_id = s.for_part AND l.family IS NOT DISTINCT FROM s.for_family
         AND l.mark IS NOT DISTINCT FROM s.for_mark AND l.phase IS NOT DISTINCT FROM s.for_phase
    );

-- The same at one build: an item for each hand and position that the lists have of it there, or
-- the part alone.
CREATE OR REPLACE MACRO fit_targets_at(part_ids, of_family, of_mark, of_phase, day, known_now)
AS TABLE
    WITH listed AS (
        SELECT r.part_id, r.hand, r.position, r.assembly, of_family AS family, of_mark AS mark,
               of_phase AS phase,
               list(DISTINCT number_of_maker(r.part_number_normal, r.maker))
                   FILTER (r.part_number_normal IS NOT NULL) AS numbers, list(DISTINCT r.line_id) AS lines
        FROM requirement_items(part_ids, day, known_now) r
        LEFT JOIN effectivity e
          ON e.line_id = r.line_id AND e.revision = r.revision AND NOT r.all_builds
        WHERE r.family = of_family
          AND (r.all_builds OR (NOT e.is_interval AND mark_holds(e.mark, e.reach, of_mark)
                                AND phase_holds(e.phase, e.reach, of_phase)))
        GROUP BY ALL
    )
    SELECT row_number() OVER () AS target, * FROM (
        SELECT * FROM listed
        UNION ALL BY NAME
        SELECT p.part_id, p.assembly, of_family AS family, of_mark AS mark, of_phase AS phase
        FROM part p
        WHERE list_contains(part_ids, p.part_id) AND p.part_id NOT IN (SELECT part_id FROM listed)
    );

-- The same on some vehicles, by the build of the assembly.
CREATE OR REPLACE MACRO fit_targets_on(part_ids, vehicle_ids, day, known_now) AS TABLE
    WITH listed AS (
        SELECT a.vehicle_id, part_id, l.hand, l.position, l.assembly,
               list(DISTINCT number_of_maker(l.part_number_normal, l.maker))
                   FILTER (l.part_number_normal IS NOT NULL) AS numbers,
               list(DISTINCT line_id) AS lines
        FROM applicable_requirements(vehicle_ids, part_ids, day, known_now) a
        JOIN requirement_items(part_ids, day, known_now) l USING (line_id, part_id)
        WHERE a.applies
        GROUP BY ALL
    ),
    items AS (
        SELECT * FROM listed
        UNION ALL BY NAME
        SELECT v.vehicle_id, p.part_id, p.assembly
        FROM part p, (SELECT unnest(vehicle_ids) AS vehicle_id) v
        WHERE list_contains(part_ids, p.part_id)
          AND (v.vehicle_id, p.part_id) NOT IN (SELECT (vehicle_id, part_id) FROM listed)
    )
    SELECT row_number() OVER () AS target, i.* EXCLUDE (vehicle_id), lower(v.family) AS family,
           CASE WHEN s.vehicle_id IS NULL THEN v.mark ELSE coalesce(s.build.mark, v.mark) END
               AS mark,
           CASE WHEN s.vehicle_id IS NULL THEN nullif(v.mark_phase, '') ELSE s.build.phase END
               AS phase
    FROM items i
    JOIN vehicles_as_of(day, known_now) v USING (vehicle_id)
    LEFT JOIN stated_builds_as_of(day, known_now) s
      ON s.vehicle_id = i.vehicle_id AND s.assembly = i.assembly;

-- The chains for all targets of some parts. Takes what fit_targets gives.
CREATE OR REPLACE MACRO chains_of_targets(part_ids, day, known_now) AS TABLE
    SELECT * FROM fit_chains(
        (SELECT list({'target': target, 'part_id': part_id, 'hand': hand, 'position': position,
                      'assembly': assembly, 'family': family, 'mark': mark, 'phase': phase,
                      'numbers': numbers}) FROM fit_targets(part_ids, day, known_now)),
        CAST([] AS STRUCT(part_id VARCHAR, family VARCHAR, mark VARCHAR, phase VARCHAR,
                          number VARCHAR)[]), day, known_now);

-- What some parts (NULL = all that statements speak of) are served by at each of their targets, each
-- build of a whole range a row. NULL in on_mark and on_phase: a part of a build that nobody states.
CREATE OR REPLACE MACRO fit_closure(part_ids, day, known_now) AS TABLE
    SELECT t.part_id AS for_part, t.hand AS for_hand, t.position AS for_position,
           t.family AS for_family, t.mark AS for_mark, t.phase AS for_phase,
           t.numbers AS for_numbers, c.on_part, c.on_hand, c.on_position,
           c.member.family AS on_family, c.member.mark AS on_mark, c.member.phase AS on_phase,
           c.member.number AS on_number, c.grade, c.derived, c.chain, c.work, c.alters,
           c.can_be_undone, c.companions, c.reason, c.disputed, c.lines
    FROM fit_targets(part_ids, day, known_now) t
    JOIN (SELECT *, unnest(members) AS member FROM chains_of_targets(part_ids, day, known_now)) c
      USING (target);

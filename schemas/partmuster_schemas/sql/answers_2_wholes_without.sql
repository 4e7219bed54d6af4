-- Steps of which few clubs have anything, for one that has nothing: a step that gives no rows is
-- planned soonest where it is no more than its columns.

CREATE OR REPLACE MACRO nothing_adapted(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS vehicle_id, NULL::VARCHAR AS assembly, NULL::VARCHAR AS said WHERE false;
CREATE OR REPLACE MACRO no_later_changes(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS vehicle_id, NULL::VARCHAR AS part_id, NULL::VARCHAR AS hand,
           NULL::BOOLEAN AS itself, NULL::BOOLEAN AS reversed, NULL::BOOLEAN AS serves,
           NULL::VARCHAR[] AS change_lines, NULL::VARCHAR AS said
    WHERE false;
CREATE OR REPLACE MACRO no_listed_parents(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS family, NULL::VARCHAR AS assembly, NULL::VARCHAR AS part_id,
           NULL::VARCHAR AS code, NULL::VARCHAR AS under_assembly, NULL::VARCHAR AS under_part,
           NULL::VARCHAR AS under_code
    WHERE false;

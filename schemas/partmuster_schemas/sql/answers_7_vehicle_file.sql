-- the vehicle file: what is known of one vehicle, as a museum, an insurer or the next owner asks.

-- What the register says of vehicles: a row a fact, the best statement of each, with where it stands.
CREATE OR REPLACE MACRO identities_of(vehicle_ids, day, known_now) AS TABLE
    WITH told AS (
        SELECT n.target AS vehicle_id, v.line_id, v.said_on,
               coalesce(f.file, v.source_id) AS source,
               statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
                   || line_id AS weight,
               unnest([
                   {'place': 1, 'fact': 'name', 'value': v.vehicle},
                   {'place': 2, 'fact': 'family', 'value': v.family},
                   {'place': 3, 'fact': 'mark',
                    'value': CASE WHEN v.assembly IS NULL THEN build_words(v.mark, v.phase) END},
                   {'place': 4, 'fact': 'club number', 'value': v.club_number},
                   {'place': 5, 'fact': 'works number', 'value': v.works_number},
                   {'place': 6, 'fact': 'service number', 'value': v.service_number},
                   {'place': 7, 'fact': 'civil number', 'value': v.civil_number},
                   {'place': 8, 'fact': coalesce(v.series, v.assembly, 'serial') || ' number',
                    'value': v.serial},
                   {'place': 9, 'fact': 'owner', 'value': v.owner},
                   {'place': 10, 'fact': 'keeper', 'value': v.keeper},
                   {'place': 11, 'fact': 'role', 'value': replace(v.role, '-', ' ')},
                   {'place': 12, 'fact': 'aim', 'value': replace(v.aim, '-', ' ')},
                   {'place': 13, 'fact': 'to what', 'value': v.aim_target}
               ]) AS one
        FROM vehicle_as_of(day, known_now) v
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = v.vehicle_key
        LEFT JOIN (
            SELECT source_id, arg_max(name, version) AS file FROM source_version GROUP BY source_id
        ) f USING (source_id)
        WHERE list_contains(vehicle_ids, n.target)
    )
    SELECT vehicle_id, one.fact AS fact, one.value AS value,
           max(weight) = max(max(weight)) OVER (PARTITION BY vehicle_id, one.fact) AS counts,
           max(said_on) AS said_on,
           string_agg(DISTINCT source, '; ' ORDER BY source) AS source,
           string_agg(DISTINCT line_id, ';' ORDER BY line_id) AS trace
    FROM told
    WHERE trim(one.value) <> ''
    GROUP BY vehicle_id, one.place, one.fact, one.value
    ORDER BY one.place, counts DESC, value;

-- What was seen of each item of vehicles: is it there, does it work, is it original, replaced or
-- made since; the best statement of each item and place.
CREATE OR REPLACE MACRO fabric_of(vehicle_ids, day, known_now) AS TABLE
    WITH said AS (
        SELECT v.target AS vehicle_id, s.*, i.part_id
        FROM survey_as_of(day, known_now) s
        JOIN accepted_names('vehicle', day, known_now) v ON v.key = s.vehicle_key
        JOIN part_readings(NULL, 2, day, known_now) i ON i.key = s.item_key
        WHERE s.line_id NOT IN (SELECT line_id FROM lines_decided(day, known_now))
        UNION ALL BY NAME
        SELECT v.target AS vehicle_id, s.*, i.part_id
        FROM survey_as_of(day, known_now) s
        JOIN accepted_names('vehicle', day, known_now) v ON v.key = s.vehicle_key
        JOIN line_readings(NULL, day, known_now) i USING (line_id)
    )
    SELECT s.vehicle_id, coalesce(s.assembly, p.assembly) AS assembly, s.part_id AS part,
           item_hand(s.side, p.handed) AS hand,
           coalesce(item_position(s.position, p.positions), s.location) AS position,
           s.presence, s.service, s.making, s.accepted_stand_in,
           CASE WHEN s.later_change THEN concat_ws(', ', 'later change',
               'by ' || s.change_by, s.change_when, replace(s.change_stays, '-', ' ')) END
               AS later_change,
           s.condition_text AS words, s.said_on AS seen_on, s.line_id AS trace
    FROM said s JOIN part p USING (part_id)
    WHERE list_contains(vehicle_ids, s.vehicle_id) AND s.presence <> 'not-looked-at'
    QUALIFY statement_weight(s.sure, s.first_hand, s.said_on_basis, s.said_on, s.source_id)
            || s.line_id = max(statement_weight(s.sure, s.first_hand, s.said_on_basis, s.said_on,
                                                s.source_id) || s.line_id)
        OVER (PARTITION BY s.vehicle_id, s.part_id, hand, s.position, s.location)
    ORDER BY s.vehicle_id, assembly, p.name, hand NULLS FIRST, position NULLS FIRST, trace;

-- What is told of vehicles, in the order in which it was said, with who says so.
CREATE OR REPLACE MACRO told_of(vehicle_ids, day, known_now) AS TABLE
    SELECT n.target AS vehicle_id, h.said_on, h.happened_on, h.assembly, h.statement, h.conclusion,
           coalesce(h.said_by, '') AS said_by, h.sure, h.first_hand,
           coalesce(f.file, h.source_id) AS source, h.line_id AS trace
    FROM history_as_of(day, known_now) h
    JOIN accepted_names('vehicle', day, known_now) n ON n.key = h.vehicle_key
    LEFT JOIN (
        SELECT source_id, arg_max(name, version) AS file FROM source_version GROUP BY source_id
    ) f USING (source_id)
    WHERE list_contains(vehicle_ids, n.target)
    ORDER BY h.said_on, h.line_id;

-- Sources that say something of vehicles, with how many lines.
CREATE OR REPLACE MACRO sources_of_vehicles(vehicle_ids, day, known_now) AS TABLE
    WITH said AS (
        SELECT vehicle_key, source_id, said_on FROM survey_as_of(day, known_now)
        UNION ALL SELECT vehicle_key, source_id, said_on FROM vehicle_as_of(day, known_now)
        UNION ALL SELECT vehicle_key, source_id, said_on FROM feature_as_of(day, known_now)
        UNION ALL SELECT vehicle_key, source_id, said_on FROM history_as_of(day, known_now)
    )
    SELECT n.target AS vehicle_id, arg_max(v.name, v.version) AS source, count(DISTINCT s) AS days,
           min(s.said_on) AS first_said, max(s.said_on) AS last_said, s.source_id
    FROM said s
    JOIN accepted_names('vehicle', day, known_now) n ON n.key = s.vehicle_key
    JOIN source_version v USING (source_id)
    WHERE list_contains(vehicle_ids, n.target)
    GROUP BY n.target, s.source_id
    ORDER BY source;

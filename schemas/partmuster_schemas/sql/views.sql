-- Base views and macros. They are made anew whenever their text has changed.
--
-- For each kind of line: `KIND` is what counts now, `KIND_as_of(day, known_now)` what counted on a
-- day. With known_now false: as the club's records stood at the end of that day. With known_now
-- true: what was said by that day, as far as the records know today. A day of NULL means now.
-- What is struck through in its source says no more: such a holding is shown as gone and such a
-- want as closed, any other line is left out.

CREATE MACRO in_force(day, known_now, said_on, said_until, recorded_from, recorded_to) AS
    CASE
        WHEN day IS NULL THEN recorded_to IS NULL
        WHEN known_now THEN said_on <= day AND (said_until IS NULL OR said_until > day)
        ELSE said_on <= day
            AND recorded_from < day + INTERVAL 1 DAY
            AND (recorded_to IS NULL OR recorded_to >= day + INTERVAL 1 DAY)
    END;

CREATE MACRO requirement_as_of(day, known_now) AS TABLE
    SELECT * FROM said_requirement
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW requirement AS SELECT * FROM said_requirement
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO holding_as_of(day, known_now) AS TABLE
    SELECT * FROM said_holding
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to);
CREATE VIEW holding AS SELECT * FROM said_holding WHERE recorded_to IS NULL;

CREATE MACRO want_as_of(day, known_now) AS TABLE
    SELECT * FROM said_want
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to);
CREATE VIEW want AS SELECT * FROM said_want WHERE recorded_to IS NULL;

CREATE MACRO survey_as_of(day, known_now) AS TABLE
    SELECT * FROM said_survey
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW survey AS SELECT * FROM said_survey
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO fit_as_of(day, known_now) AS TABLE
    SELECT * FROM said_fit
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW fit AS SELECT * FROM said_fit
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO vehicle_as_of(day, known_now) AS TABLE
    SELECT * FROM said_vehicle
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW vehicle AS SELECT * FROM said_vehicle
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO holder_as_of(day, known_now) AS TABLE
    SELECT * FROM said_holder
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW holder AS SELECT * FROM said_holder
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO place_as_of(day, known_now) AS TABLE
    SELECT * FROM said_place
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW place AS SELECT * FROM said_place
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO build_as_of(day, known_now) AS TABLE
    SELECT * FROM said_build
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW build AS SELECT * FROM said_build
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO feature_as_of(day, known_now) AS TABLE
    SELECT * FROM said_feature
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW feature AS SELECT * FROM said_feature
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO history_as_of(day, known_now) AS TABLE
    SELECT * FROM said_history
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW history AS SELECT * FROM said_history
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO promise_as_of(day, known_now) AS TABLE
    SELECT * FROM said_promise
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW promise AS SELECT * FROM said_promise
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

CREATE MACRO lead_as_of(day, known_now) AS TABLE
    SELECT * FROM said_lead
    WHERE in_force(CAST(day AS DATE), known_now, said_on, said_until, recorded_from, recorded_to)
      AND withdrawn IS NOT TRUE;
CREATE VIEW lead AS SELECT * FROM said_lead
WHERE recorded_to IS NULL AND withdrawn IS NOT TRUE;

-- What descriptions and names are taken to mean. With known_now: as concluded today.
CREATE MACRO identification_as_of(day, known_now) AS TABLE
    SELECT * FROM identification
    WHERE CASE
        WHEN CAST(day AS DATE) IS NULL OR known_now THEN recorded_to IS NULL
        ELSE recorded_from < CAST(day AS DATE) + INTERVAL 1 DAY
            AND (recorded_to IS NULL OR recorded_to >= CAST(day AS DATE) + INTERVAL 1 DAY)
    END;
CREATE VIEW identification_now AS SELECT * FROM identification WHERE recorded_to IS NULL;

-- The newest version of each source.
CREATE VIEW newest_version AS
    SELECT source_id, max(version) AS version FROM source_version GROUP BY source_id;

-- Where a line stands: file, sheet, page, row, column and the words there, in the newest version
-- of its source that says it.
CREATE VIEW line_address AS
    WITH newest AS (
        SELECT line_id, source_id, max(source_version) AS version,
            arg_max(raw_number, source_version) AS raw_number
        FROM line_origin
        GROUP BY line_id, source_id
    )
    SELECT n.line_id, n.source_id, v.version, v.name AS file, v.content_hash, r.raw_number,
        r.sheet, r.page, r.row, r."column", r.box, r.words
    FROM newest n
    JOIN source_version v ON v.source_id = n.source_id AND v.version = n.version
    JOIN raw_line r ON r.source_id = n.source_id AND r.source_version = n.version
        AND r.raw_number = n.raw_number;

-- What must be settled before a line counts: which part, and on which vehicle. `item_key` is empty
-- on a line that describes no item, `vehicle_key` where no vehicle has to be known.
CREATE VIEW line_subject AS
    SELECT 'requirement' AS kind, line_id, source_id, coalesce(item_key, CASE WHEN description IS NOT NULL THEN '' END) AS item_key,
        NULL AS to_item_key, NULL AS vehicle_key FROM requirement
    UNION ALL
    SELECT 'holding' AS kind, line_id, source_id, coalesce(item_key, CASE WHEN description IS NOT NULL THEN '' END) AS item_key,
        NULL AS to_item_key, NULL AS vehicle_key FROM holding
    UNION ALL
    SELECT 'want' AS kind, line_id, source_id, coalesce(item_key, CASE WHEN description IS NOT NULL THEN '' END) AS item_key,
        NULL AS to_item_key, vehicle_key AS vehicle_key FROM want
    UNION ALL
    SELECT 'survey' AS kind, line_id, source_id, coalesce(item_key, CASE WHEN description IS NOT NULL THEN '' END) AS item_key,
        NULL AS to_item_key, vehicle_key AS vehicle_key FROM survey
    UNION ALL
    SELECT 'fit' AS kind, line_id, source_id, coalesce(item_key, CASE WHEN description IS NOT NULL THEN '' END) AS item_key,
        to_item_key AS to_item_key, NULL AS vehicle_key FROM fit
    UNION ALL
    SELECT 'vehicle' AS kind, line_id, source_id, NULL AS item_key,
        NULL AS to_item_key, NULL AS vehicle_key FROM vehicle
    UNION ALL
    SELECT 'holder' AS kind, line_id, source_id, NULL AS item_key,
        NULL AS to_item_key, NULL AS vehicle_key FROM holder
    UNION ALL
    SELECT 'place' AS kind, line_id, source_id, NULL AS item_key,
        NULL AS to_item_key, NULL AS vehicle_key FROM place
    UNION ALL
    SELECT 'build' AS kind, line_id, source_id, NULL AS item_key,
        NULL AS to_item_key, NULL AS vehicle_key FROM build
    UNION ALL
    SELECT 'feature' AS kind, line_id, source_id, NULL AS item_key,
        NULL AS to_item_key, vehicle_key AS vehicle_key FROM feature
    UNION ALL
    SELECT 'history' AS kind, line_id, source_id, NULL AS item_key,
        NULL AS to_item_key, vehicle_key AS vehicle_key FROM history
    UNION ALL
    SELECT 'promise' AS kind, line_id, source_id, coalesce(item_key, CASE WHEN description IS NOT NULL THEN '' END) AS item_key,
        NULL AS to_item_key, vehicle_key AS vehicle_key FROM promise
    UNION ALL
    SELECT 'lead' AS kind, line_id, source_id, coalesce(item_key, CASE WHEN description IS NOT NULL THEN '' END) AS item_key,
        NULL AS to_item_key, NULL AS vehicle_key FROM lead;

-- Every name that lines say now, folded, and what it names.
CREATE VIEW said_name AS
    SELECT 'vehicle' AS role, vehicle_key AS key, line_id FROM vehicle WHERE vehicle_key IS NOT NULL
    UNION ALL
    SELECT 'vehicle' AS role, vehicle_key AS key, line_id FROM want WHERE vehicle_key IS NOT NULL
    UNION ALL
    SELECT 'vehicle' AS role, vehicle_key AS key, line_id FROM survey WHERE vehicle_key IS NOT NULL
    UNION ALL
    SELECT 'vehicle' AS role, vehicle_key AS key, line_id FROM feature WHERE vehicle_key IS NOT NULL
    UNION ALL
    SELECT 'vehicle' AS role, vehicle_key AS key, line_id FROM history WHERE vehicle_key IS NOT NULL
    UNION ALL
    SELECT 'vehicle' AS role, vehicle_key AS key, line_id FROM promise WHERE vehicle_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, holder_key AS key, line_id FROM holding WHERE holder_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, owner_key AS key, line_id FROM holding WHERE owner_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, holder_key AS key, line_id FROM want WHERE holder_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, owner_key AS key, line_id FROM vehicle WHERE owner_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, keeper_key AS key, line_id FROM vehicle WHERE keeper_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, holder_key AS key, line_id FROM holder WHERE holder_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, keeper_key AS key, line_id FROM place WHERE keeper_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, holder_key AS key, line_id FROM promise WHERE holder_key IS NOT NULL
    UNION ALL
    SELECT 'holder' AS role, holder_key AS key, line_id FROM lead WHERE holder_key IS NOT NULL
    UNION ALL
    SELECT 'place' AS role, place_key AS key, line_id FROM holding WHERE place_key IS NOT NULL
    UNION ALL
    SELECT 'place' AS role, place_key AS key, line_id FROM vehicle WHERE place_key IS NOT NULL
    UNION ALL
    SELECT 'place' AS role, place_key AS key, line_id FROM place WHERE place_key IS NOT NULL
    UNION ALL
    SELECT 'place' AS role, place_key AS key, line_id FROM lead WHERE place_key IS NOT NULL;

-- Every name that lines ever said.
CREATE VIEW ever_said_name AS
    SELECT 'vehicle' AS role, vehicle_key AS key FROM said_vehicle WHERE vehicle_key IS NOT NULL
    UNION
    SELECT 'vehicle' AS role, vehicle_key AS key FROM said_want WHERE vehicle_key IS NOT NULL
    UNION
    SELECT 'vehicle' AS role, vehicle_key AS key FROM said_survey WHERE vehicle_key IS NOT NULL
    UNION
    SELECT 'vehicle' AS role, vehicle_key AS key FROM said_feature WHERE vehicle_key IS NOT NULL
    UNION
    SELECT 'vehicle' AS role, vehicle_key AS key FROM said_history WHERE vehicle_key IS NOT NULL
    UNION
    SELECT 'vehicle' AS role, vehicle_key AS key FROM said_promise WHERE vehicle_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, holder_key AS key FROM said_holding WHERE holder_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, owner_key AS key FROM said_holding WHERE owner_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, holder_key AS key FROM said_want WHERE holder_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, owner_key AS key FROM said_vehicle WHERE owner_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, keeper_key AS key FROM said_vehicle WHERE keeper_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, holder_key AS key FROM said_holder WHERE holder_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, keeper_key AS key FROM said_place WHERE keeper_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, holder_key AS key FROM said_promise WHERE holder_key IS NOT NULL
    UNION
    SELECT 'holder' AS role, holder_key AS key FROM said_lead WHERE holder_key IS NOT NULL
    UNION
    SELECT 'place' AS role, place_key AS key FROM said_holding WHERE place_key IS NOT NULL
    UNION
    SELECT 'place' AS role, place_key AS key FROM said_vehicle WHERE place_key IS NOT NULL
    UNION
    SELECT 'place' AS role, place_key AS key FROM said_place WHERE place_key IS NOT NULL
    UNION
    SELECT 'place' AS role, place_key AS key FROM said_lead WHERE place_key IS NOT NULL;

-- Item keys and names that are settled: an accepted meaning, or a person's word that there is none.
CREATE VIEW settled_name AS
    SELECT role, key FROM identification
    WHERE recorded_to IS NULL
    GROUP BY role, key
    HAVING bool_or(accepted OR (method = 'decision' AND target IS NULL));

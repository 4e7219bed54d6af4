-- What all answers are built of: items, how much a statement counts, names, vehicles and builds.
-- Every macro takes (day, known_now): day NULL is now; see views.sql.

-- The hand by which an item differs: only handed parts have one, and only left or right settles it.
CREATE OR REPLACE MACRO item_hand(said_side, part_handed) AS
    CASE WHEN part_handed = 'handed' AND said_side IN ('left', 'right') THEN said_side END;

-- The position by which an item differs: of the words said, those that the part's positions hold.
-- Any other position word is a location and tells no items apart.
CREATE OR REPLACE MACRO item_position(said_position, part_positions) AS
    CASE WHEN said_position IS NULL OR coalesce(part_positions, '') = '' THEN NULL
         WHEN list_contains(string_split(part_positions, ';'), said_position) THEN said_position
         ELSE nullif(array_to_string(list_filter(string_split(said_position, ' '),
             lambda w: list_contains(string_split(replace(part_positions, ' ', ';'), ';'), w)
         ), ' '), '') END;

-- How much a statement counts, as a number: sure before hedged, first-hand before hearsay, dated
-- before undated, then the later day; the source settles what is equal, so that the order of import
-- never matters. Two lines with equal weight are of one group. From the left: 5 binary digits for
-- the words (16 keeps the number of digits the same), 21 for the day, 32 for the source.
CREATE OR REPLACE MACRO statement_weight(is_sure, is_first_hand, basis, on_day, of_source) AS
    ((16 + 4 * is_sure::BIGINT + 2 * is_first_hand::BIGINT + (basis <> 'import')::BIGINT) << 53)
    + ((1000000 + (on_day - DATE '1970-01-01')::BIGINT) << 32)
    + (hash(of_source) >> 32)::BIGINT;

-- 'Mk 2 early', or NULL where neither mark nor phase is known.
CREATE OR REPLACE MACRO build_words(of_mark, of_phase) AS
    nullif(concat_ws(' ', of_mark, of_phase), '');

-- Whether a mark is one that a clause names ('Mk 2 onwards', 'except Mk 1'); NULL where that cannot
-- be told: of 'Mk 2A' and 'up to Mk 2', or where the mark is not known.
CREATE OR REPLACE MACRO mark_number(of_mark) AS
    TRY_CAST(regexp_extract(of_mark, '^Mk (\d+)', 1) AS INTEGER);
CREATE OR REPLACE MACRO mark_holds(named, reach, of_mark) AS
    CASE WHEN named IS NULL OR named = of_mark THEN named IS NULL OR reach IS DISTINCT FROM 'except'
         WHEN of_mark IS NULL THEN NULL
         WHEN reach IS NULL OR reach = 'unsettled' THEN false
         WHEN mark_number(of_mark) <> mark_number(named) THEN
             CASE reach WHEN 'onwards' THEN mark_number(of_mark) > mark_number(named)
                        WHEN 'up-to' THEN mark_number(of_mark) < mark_number(named)
                        ELSE true END
         -- of one number, the one with a letter is the later
         WHEN reach = 'onwards' AND regexp_full_match(named, 'Mk \d+') THEN true
         WHEN reach = 'up-to' AND regexp_full_match(of_mark, 'Mk \d+') THEN true END;

-- Whether a phase is the one a clause names; NULL where it may not be meant for its mark.
CREATE OR REPLACE MACRO phase_holds(named, reach, of_phase) AS
    CASE WHEN named IS NULL OR named = of_phase THEN true
         WHEN of_phase IS NULL OR reach = 'unsettled' THEN NULL
         ELSE false END;

-- Great-circle distance in kilometres between two points in degrees, by the haversine formula on
-- a sphere of 6371.0088 km (mean radius R1 of GRS 80, 6371.0088 km; FROM-MEMORY, Moritz 2000).
CREATE OR REPLACE MACRO great_circle_km(lat_1, lon_1, lat_2, lon_2) AS
    CASE WHEN lat_1 + lon_1 + lat_2 + lon_2 IS NOT NULL THEN  -- least() passes over NULL
        2 * 6371.0088 * asin(least(1.0, sqrt(
            sin(radians(lat_2 - lat_1) / 2) ** 2
            + cos(radians(lat_1)) * cos(radians(lat_2)) * sin(radians(lon_2 - lon_1) / 2) ** 2)))
    END;

-- What names of vehicles, people and places are accepted to mean: role, key, target.
CREATE OR REPLACE MACRO name_meanings(day, known_now) AS TABLE
    SELECT role, key, target
    FROM identification_as_of(day, known_now)
    WHERE role IN ('vehicle', 'holder', 'place') AND accepted AND target IS NOT NULL;

-- The same for one role: key, target.
CREATE OR REPLACE MACRO accepted_names(wanted_role, day, known_now) AS TABLE
    SELECT key, target FROM name_meanings(day, known_now) WHERE role = wanted_role;

-- Which vocabulary ids mean these parts (NULL = every part): their own, and those of parts that
-- they replaced.
CREATE OR REPLACE MACRO ids_of_parts(part_ids) AS TABLE
    SELECT part_id AS target, coalesce(replaced_by, part_id) AS part_id
    FROM part
    WHERE part_ids IS NULL OR list_contains(part_ids, coalesce(replaced_by, part_id));

-- Readings of descriptions as parts (NULL = every part), by item key: those that are accepted, and
-- those that lead with at least this probability (above 1: accepted ones only). A part that was
-- replaced in the vocabulary counts as the one that took its place.
CREATE OR REPLACE MACRO part_readings(part_ids, probability_from, day, known_now) AS TABLE
    SELECT key, p.part_id, accepted, probability, reasons
    FROM identification_as_of(day, known_now) JOIN ids_of_parts(part_ids) p USING (target)
    WHERE role = 'part' AND (accepted OR (rank = 1 AND probability >= probability_from));

-- Lines about which somebody decided one by one, with the decided part: these have their own
-- reading, and that of their item key does not count.
CREATE OR REPLACE MACRO lines_decided(day, known_now) AS TABLE
    SELECT substr(key, 6) AS line_id, p.part_id, accepted, probability, reasons
    FROM identification_as_of(day, known_now) LEFT JOIN ids_of_parts(NULL) p USING (target)
    WHERE role = 'part' AND starts_with(key, 'line:');
CREATE OR REPLACE MACRO line_readings(part_ids, day, known_now) AS TABLE
    SELECT line_id, part_id, probability, reasons
    FROM lines_decided(day, known_now)
    WHERE accepted AND part_id IS NOT NULL
      AND (part_ids IS NULL OR list_contains(part_ids, part_id));

-- What the club knows of each vehicle: every field from the best statement that gives it.
CREATE OR REPLACE MACRO vehicles_as_of(day, known_now) AS TABLE
    WITH told AS (
        SELECT n.target AS vehicle_id, v.*,
               statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
                   || line_id AS weight
        FROM vehicle_as_of(day, known_now) v
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = v.vehicle_key
    )
    SELECT vehicle_id,
           coalesce(arg_max(vehicle, weight) FILTER (assembly IS NULL),
                    arg_max(vehicle, weight)) AS vehicle,
           arg_max(club_number, weight) AS club_number,
           arg_max(family, weight) AS family,
           arg_max(mark, weight) FILTER (assembly IS NULL) AS mark,
           -- a phase belongs to the mark it was said with
           arg_max(coalesce(phase, ''), weight) FILTER (assembly IS NULL AND mark IS NOT NULL)
               AS mark_phase,
           arg_max(owner, weight) AS owner,
           arg_max(owner_key, weight) AS owner_key,
           coalesce(arg_max(keeper, weight), arg_max(owner, weight)) AS keeper,
           coalesce(arg_max(keeper_key, weight), arg_max(owner_key, weight)) AS keeper_key,
           arg_max(place, weight) AS place,
           arg_max(place_key, weight) AS place_key,
           arg_max(role, weight) AS role,
           arg_max(aim, weight) AS aim,
           arg_max(aim_target, weight) AS aim_target,
           arg_max(owner_agrees, weight) AS owner_agrees
    FROM told
    GROUP BY vehicle_id;

-- Every word a vehicle is called by, folded: its name and its typed numbers.
CREATE OR REPLACE MACRO vehicle_names_as_of(day, known_now) AS TABLE
    WITH told AS (
        SELECT n.target AS vehicle_id, v.*
        FROM vehicle_as_of(day, known_now) v
        JOIN accepted_names('vehicle', day, known_now) n ON n.key = v.vehicle_key
    )
    SELECT DISTINCT vehicle_id, lower(trim(name)) AS name
    FROM (
        SELECT vehicle_id, unnest([vehicle, vehicle_key, vehicle_id, club_number,
                                   family || ' ' || club_number, works_number, service_number,
                                   civil_number]) AS name
        FROM told
        UNION ALL
        SELECT target, key FROM accepted_names('vehicle', day, known_now)
    )
    WHERE name IS NOT NULL;

-- The serial a vehicle has in each named series; an assembly's own serial is the series of its name.
CREATE OR REPLACE MACRO serials_as_of(day, known_now) AS TABLE
    SELECT n.target AS vehicle_id, coalesce(v.series, v.assembly) AS series,
           arg_max(v.serial_value,
                   statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
                       || line_id) AS serial_value
    FROM vehicle_as_of(day, known_now) v
    JOIN accepted_names('vehicle', day, known_now) n ON n.key = v.vehicle_key
    WHERE v.serial_value IS NOT NULL AND coalesce(v.series, v.assembly) IS NOT NULL
    GROUP BY ALL;

-- Registered names of people: key of any name, person, name in the members' list.
CREATE OR REPLACE MACRO people_as_of(day, known_now) AS TABLE
    WITH named AS (SELECT key, target FROM accepted_names('holder', day, known_now)),
    registered AS (
        SELECT n.target,
               arg_max(h.holder, statement_weight(sure, first_hand, said_on_basis, said_on,
                                                  source_id) || line_id) AS name
        FROM holder_as_of(day, known_now) h JOIN named n ON n.key = h.holder_key
        GROUP BY ALL
    )
    SELECT n.key, n.target AS person_id, r.name
    FROM named n LEFT JOIN registered r USING (target);

-- Coordinates of places: key of any name, degrees north and east.
CREATE OR REPLACE MACRO places_as_of(day, known_now) AS TABLE
    WITH named AS (SELECT key, target FROM accepted_names('place', day, known_now)),
    known AS (
        SELECT coalesce(n.target, p.place_key) AS place_id,
               arg_max({'north': p.latitude, 'east': p.longitude},
                       statement_weight(sure, first_hand, said_on_basis, said_on, source_id)
                           || line_id) AS point
        FROM place_as_of(day, known_now) p LEFT JOIN named n ON n.key = p.place_key
        WHERE p.latitude IS NOT NULL AND p.longitude IS NOT NULL
        GROUP BY ALL
    )
    SELECT n.key, k.point.north AS latitude, k.point.east AS longitude
    FROM named n JOIN known k ON k.place_id = n.target;

-- What stands twice: one item in the sheets of several people, and a number on two vehicles.

-- Holding lines that people decided are one item (`item`), with how much each counts: the better
-- statement, and of equal ones the later.
CREATE OR REPLACE MACRO sightings_as_of(day, known_now) AS TABLE
    SELECT i.target AS item, h.line_id,
           statement_weight(h.sure, h.first_hand, h.said_on_basis, h.said_on, h.source_id)
               || h.line_id AS weight,
           h.gone OR h.at_most IS NOT DISTINCT FROM 0 AS gone
    FROM identification_as_of(day, known_now) i
    JOIN holding_as_of(day, known_now) h ON h.line_id = i.key
    WHERE i.role = 'item' AND i.accepted;

-- Those of them that another line stands for.
CREATE OR REPLACE MACRO older_sightings(day, known_now) AS TABLE
    SELECT line_id FROM sightings_as_of(day, known_now)
    QUALIFY weight < max(weight) OVER (PARTITION BY item);

-- The same for a club where nothing was decided to be one.
CREATE OR REPLACE MACRO no_older_sightings(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS line_id WHERE false;

-- A vehicle's typed number in the form in which numbers are compared: "No. 0143" is 143.
CREATE OR REPLACE MACRO identity_number(said) AS
    nullif(regexp_replace(regexp_replace(upper(regexp_replace(said, '[^A-Za-z0-9]', '', 'g')),
        '^(NUMBER|NO|NR)(\d)', '\2'), '^0+(\d)', '\1'), '');

-- Numbers of one sort that stand on two vehicles: one of them is wrong, or it is one vehicle under
-- two names. Makers' and clubs' numbers count within a family.
CREATE OR REPLACE MACRO shared_identities_as_of(day, known_now) AS TABLE
    WITH told AS MATERIALIZED (
        SELECT DISTINCT vehicle_id, vehicle, family, one.sort AS sort,
               identity_number(one.said) AS number, line_id
        FROM (
            SELECT n.target AS vehicle_id, v.vehicle, lower(v.family) AS family, v.line_id,
                   unnest([{'sort': 'club number', 'said': v.club_number},
                           {'sort': 'works number', 'said': v.works_number},
                           {'sort': 'service number', 'said': v.service_number},
                           {'sort': 'civil number', 'said': v.civil_number}]) AS one
            FROM vehicle_as_of(day, known_now) v
            JOIN accepted_names('vehicle', day, known_now) n ON n.key = v.vehicle_key
        )
        WHERE regexp_matches(one.said, '\d')
    ),
    carried AS (
        SELECT vehicle_id, sort, number, any_value(vehicle ORDER BY vehicle, line_id) AS vehicle,
               list(DISTINCT family) FILTER (family IS NOT NULL) AS families,
               string_agg(DISTINCT line_id, ';' ORDER BY line_id) AS lines
        FROM told
        GROUP BY vehicle_id, sort, number
    )
    SELECT a.sort, a.number, least(a.vehicle, b.vehicle) || '; ' || greatest(a.vehicle, b.vehicle)
               AS vehicles,
           a.lines || ';' || b.lines AS trace
    FROM carried a
    JOIN carried b ON b.sort = a.sort AND b.number = a.number AND a.vehicle_id < b.vehicle_id
    WHERE CASE a.sort WHEN 'club number' THEN coalesce(list_has_any(a.families, b.families), false)
                      WHEN 'works number' THEN coalesce(list_has_any(a.families, b.families), true)
                      ELSE true END
    ORDER BY a.sort, a.number, vehicles;
CREATE OR REPLACE VIEW shared_identity AS SELECT * FROM shared_identities_as_of(NULL, false);

-- donors: as it is asked.

-- Where each lacking item of some vehicles (NULL = all) could come from, best first.
CREATE OR REPLACE MACRO donors_of(vehicle_ids, part_ids, candidates, day, known_now, show_all)
AS TABLE
    SELECT * EXCLUDE (chain, build, lack, at_least, offered_lines)
    FROM offers_for(vehicle_ids, part_ids, candidates, day, known_now, show_all)
    ORDER BY lack, rank;

-- Donors for some vehicles and parts (lists of ids; NULL = all) on a day.
CREATE OR REPLACE MACRO donors_as_of(vehicle_ids, part_ids, day, known_now) AS TABLE
    SELECT * FROM donors_of(vehicle_ids, part_ids, NULL, day, known_now, false);

-- Donors for everything that every vehicle lacks now.
CREATE OR REPLACE VIEW donors AS SELECT * FROM donors_of(NULL, NULL, NULL, NULL, false, false);

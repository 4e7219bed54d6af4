-- Standard hardware fits by its specification. What words say of threads and sizes is told by
-- partmuster_trade.hardware; the answer donors fills the first three for the hardware it is asked for
-- (answers/hardware.py). Asked as they are, nothing is known of specifications.

-- What a requirement, survey or holding line says of a piece of hardware: the number of its
-- specification, and its words.
CREATE OR REPLACE MACRO hardware_specifications(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS line_id, NULL::BIGINT AS specification, NULL::VARCHAR AS words
    WHERE false;

-- Whether the specification that is offered serves for the one that is wanted: fit and reason.
-- `decides` is false where the words leave open what a build or a number may settle.
CREATE OR REPLACE MACRO hardware_verdicts(day, known_now) AS TABLE
    SELECT NULL::BIGINT AS wanted, NULL::BIGINT AS offered, NULL::VARCHAR AS duty,
           NULL::VARCHAR AS for_part, NULL::VARCHAR AS on_part, NULL::VARCHAR AS fit,
           NULL::VARCHAR AS reason, NULL::BOOLEAN AS decides
    WHERE false;

-- Hardware that may be called by another's name: a hexagon bolt is often called a bolt.
CREATE OR REPLACE MACRO hardware_kin(day, known_now) AS TABLE
    SELECT NULL::VARCHAR AS for_part, NULL::VARCHAR AS on_part WHERE false;

-- The duty that needs more than the right size of a fastener, by the assembly it is for.
CREATE OR REPLACE MACRO hardware_duty(assembly) AS
    CASE assembly WHEN 'steering' THEN 'steering' WHEN 'brakes' THEN 'brakes'
                  WHEN 'recovery' THEN 'lifting' ELSE '' END;

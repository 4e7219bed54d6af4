-- Written by `python -m partmuster_schemas.write_sql` from the models.

ALTER TABLE said_survey ADD COLUMN "change_by" VARCHAR;
ALTER TABLE said_survey ADD COLUMN "change_when" VARCHAR;
ALTER TABLE said_survey ADD COLUMN "displaced" VARCHAR;
ALTER TABLE said_survey ADD COLUMN "change_stays" VARCHAR;
ALTER TABLE said_fit ADD COLUMN "alters" VARCHAR;
ALTER TABLE said_fit ADD COLUMN "can_be_undone" BOOLEAN;
ALTER TABLE said_build ADD COLUMN "with_assembly" VARCHAR;
ALTER TABLE said_build ADD COLUMN "with_mark" VARCHAR;
ALTER TABLE said_build ADD COLUMN "with_phase" VARCHAR;
ALTER TABLE assembly ADD COLUMN "whole_part" VARCHAR;

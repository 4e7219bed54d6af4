-- Written by `python -m partmuster_schemas.write_sql` from the models.

ALTER TABLE said_requirement ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_holding ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_want ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_survey ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_fit ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_vehicle ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_holder ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_place ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_build ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_feature ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_history ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_promise ADD COLUMN "rule" VARCHAR;
ALTER TABLE said_lead ADD COLUMN "rule" VARCHAR;
CREATE TABLE choice_name (
    "source_id" VARCHAR NOT NULL,
    "source_version" INTEGER NOT NULL,
    "role" VARCHAR NOT NULL,
    "key" VARCHAR NOT NULL,
    "meaning" VARCHAR NOT NULL,
    "asked" BOOLEAN NOT NULL
);


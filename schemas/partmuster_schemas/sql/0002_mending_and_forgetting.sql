-- Written by `python -m partmuster_schemas.write_sql` from the models.

ALTER TABLE said_requirement ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_holding ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_want ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_survey ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_fit ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_vehicle ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_holder ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_place ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_build ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_feature ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_history ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_promise ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE said_lead ADD COLUMN "withdrawn" BOOLEAN;
ALTER TABLE effectivity ADD COLUMN "reach" VARCHAR;
CREATE TABLE mended (
    "source_id" VARCHAR NOT NULL,
    "source_version" INTEGER NOT NULL,
    "raw_number" BIGINT NOT NULL,
    "field" VARCHAR NOT NULL,
    "stood" VARCHAR,
    "put" VARCHAR,
    "left_out" BOOLEAN NOT NULL,
    "subject" VARCHAR NOT NULL
);

CREATE TABLE forgotten (
    "forgotten_id" VARCHAR NOT NULL,
    "pseudonym" VARCHAR NOT NULL,
    "forgotten_at" TIMESTAMP NOT NULL,
    "decided_by" VARCHAR NOT NULL,
    "source_id" VARCHAR,
    "source_version" INTEGER,
    "content_hash" VARCHAR,
    "lines" BIGINT NOT NULL,
    "raw_lines" BIGINT NOT NULL
);


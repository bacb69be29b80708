-- +goose Up
-- Who changed what, and the plans made of each revision.

CREATE TABLE change (
    job      short_name NOT NULL REFERENCES job,
    revision bigint NOT NULL,
    line     integer NOT NULL,
    at       timestamptz NOT NULL,
    who      text NOT NULL,
    kind     text NOT NULL,
    key      text NOT NULL,
    was      jsonb,
    "is"     jsonb,
    PRIMARY KEY (job, revision, line),
    CONSTRAINT change_revision_counts CHECK (revision > 0),
    CONSTRAINT change_by_somebody CHECK (who <> ''),
    CONSTRAINT change_of_something CHECK (num_nonnulls(was, "is") > 0)
);
COMMENT ON TABLE change IS 'The history of a job: one line for each thing that a change made, changed or took away';
COMMENT ON COLUMN change.revision IS 'The revision that the change made';
COMMENT ON COLUMN change.at IS 'When; the same for all lines of a change';
COMMENT ON COLUMN change.kind IS 'What kind of thing: task, hold, fact, …';
COMMENT ON COLUMN change.key IS 'The name of the thing within the job';
COMMENT ON COLUMN change.was IS 'The thing before; null: it was not there';
COMMENT ON COLUMN change."is" IS 'The thing after; null: it was taken away';

CREATE TABLE plan (
    job       short_name NOT NULL REFERENCES job,
    revision  bigint NOT NULL,
    as_of_day date NOT NULL,
    made_at   timestamptz NOT NULL,
    plan      jsonb NOT NULL,
    PRIMARY KEY (job, revision, as_of_day),
    CONSTRAINT plan_revision_counts CHECK (revision > 0)
);
COMMENT ON TABLE plan IS 'Plans as they were computed; superseded ones are removed';
COMMENT ON COLUMN plan.revision IS 'The revision of the job it is a plan of';
COMMENT ON COLUMN plan.as_of_day IS 'The day it was computed from';

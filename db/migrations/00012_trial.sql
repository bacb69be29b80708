-- +goose Up
-- Changes that are tried on a job before anybody makes them.

CREATE TABLE trial (
    job          short_name NOT NULL REFERENCES job,
    number       integer NOT NULL,
    title        text NOT NULL,
    ops          jsonb NOT NULL,
    version      integer NOT NULL,
    made_at      timestamptz NOT NULL,
    made_by      text NOT NULL,
    made_account uuid,
    changed_at   timestamptz NOT NULL,
    key          text,
    adopted      bigint,
    thrown_at    timestamptz,
    PRIMARY KEY (job, number),
    CONSTRAINT trial_counted CHECK (number > 0 AND version > 0),
    CONSTRAINT trial_titled CHECK (title <> '' AND length(title) <= 200),
    CONSTRAINT trial_ops_listed CHECK (jsonb_typeof(ops) = 'array'),
    CONSTRAINT trial_by_somebody CHECK (made_by <> ''),
    CONSTRAINT trial_ends_once CHECK (num_nonnulls(adopted, thrown_at) <= 1),
    CONSTRAINT trial_asked_once UNIQUE (job, key)
);
COMMENT ON TABLE trial IS 'A list of changes tried on a job. Its plan is made when somebody looks; nothing of it counts until it is adopted';
COMMENT ON COLUMN trial.number IS 'Counted within the job; that of a trial thrown away is not used again';
COMMENT ON COLUMN trial.ops IS 'The changes, in the order in which they are applied';
COMMENT ON COLUMN trial.version IS '1 when it is made, one more with each change of it';
COMMENT ON COLUMN trial.key IS 'The name of the request that made it, so that it is not made twice';
COMMENT ON COLUMN trial.adopted IS 'The revision of the job in which its changes were made; null: they were not';
COMMENT ON COLUMN trial.thrown_at IS 'When it was thrown away';

ALTER TABLE revision ADD COLUMN note text NOT NULL DEFAULT '';
COMMENT ON COLUMN revision.note IS 'What the change as a whole was, in words, where somebody said so';

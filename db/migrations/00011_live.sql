-- +goose Up
-- Plans that several instances share, and the heavy work on them.

-- Kept plans can be computed again; no other table speaks of them.
DROP TABLE plan;
CREATE TABLE plan (
    job       short_name NOT NULL REFERENCES job,
    revision  bigint NOT NULL,
    as_of_day date NOT NULL,
    take      integer NOT NULL,
    usual     boolean NOT NULL,
    engine    integer NOT NULL,
    finish    timestamptz NOT NULL,
    proven    boolean NOT NULL,
    made_at   timestamptz NOT NULL,
    plan      bytea NOT NULL,
    PRIMARY KEY (job, revision, as_of_day),
    CONSTRAINT plan_revision_counts CHECK (revision > 0),
    CONSTRAINT plan_take_counts CHECK (take > 0)
);
ALTER TABLE plan ALTER COLUMN plan SET STORAGE EXTERNAL; -- compressed already
COMMENT ON TABLE plan IS 'Plans as they were computed; superseded ones are removed';
COMMENT ON COLUMN plan.revision IS 'The revision of the job it is a plan of';
COMMENT ON COLUMN plan.as_of_day IS 'The day it was computed from';
COMMENT ON COLUMN plan.take IS '1 for the first plan of this revision and day, one more each time a better one has taken its place';
COMMENT ON COLUMN plan.usual IS 'Whether that is the day from which the job is planned when nobody names one';
COMMENT ON COLUMN plan.engine IS 'The generation of the solver that made it';
COMMENT ON COLUMN plan.plan IS 'The plan as JSON, deflated: a plan of 200 steps is half a megabyte of JSON';

CREATE TABLE search (
    job       short_name NOT NULL REFERENCES job,
    revision  bigint NOT NULL,
    as_of_day date NOT NULL,
    state     text NOT NULL,
    round     integer NOT NULL DEFAULT 0,
    rounds    integer NOT NULL,
    finish    timestamptz NOT NULL,
    proven    boolean NOT NULL DEFAULT false,
    asked_at  timestamptz NOT NULL,
    begun_at  timestamptz,
    ended_at  timestamptz,
    PRIMARY KEY (job, revision, as_of_day),
    CONSTRAINT search_revision_counts CHECK (revision > 0),
    CONSTRAINT search_state_known CHECK (state IN ('waiting', 'running', 'done', 'overtaken', 'given up')),
    CONSTRAINT search_round_in_turn CHECK (round BETWEEN 0 AND rounds),
    CONSTRAINT search_ends_once CHECK ((ended_at IS NOT NULL) = (state IN ('done', 'overtaken', 'given up')))
);
COMMENT ON TABLE search IS 'Long searches for better plans: one for each revision and day, ever';
COMMENT ON COLUMN search.state IS 'overtaken: the job has changed meanwhile; given up: it failed again and again';
COMMENT ON COLUMN search.round IS 'How many rounds have been searched';
COMMENT ON COLUMN search.finish IS 'The finish of the best plan known';
COMMENT ON COLUMN search.proven IS 'Whether that plan is proven the shortest';

CREATE TABLE comparison (
    job       short_name NOT NULL REFERENCES job,
    revision  bigint NOT NULL,
    against   text NOT NULL,
    as_of_day date NOT NULL,
    state     text NOT NULL,
    asked_at  timestamptz NOT NULL,
    ended_at  timestamptz,
    outcome   jsonb,
    PRIMARY KEY (job, revision, against, as_of_day),
    CONSTRAINT comparison_revision_counts CHECK (revision > 0),
    CONSTRAINT comparison_against_spelt CHECK (against ~ '^([1-9][0-9]{0,17}|[A-Z]{1,3})$'),
    CONSTRAINT comparison_state_known CHECK (state IN ('waiting', 'done', 'given up')),
    CONSTRAINT comparison_ends_once CHECK ((ended_at IS NOT NULL) = (state <> 'waiting')),
    CONSTRAINT comparison_has_an_outcome CHECK ((outcome IS NOT NULL) = (state = 'done'))
);
COMMENT ON TABLE comparison IS 'Comparisons that were asked for, and what came of them';
COMMENT ON COLUMN comparison.revision IS 'The later of the two';
COMMENT ON COLUMN comparison.against IS 'The earlier one: a revision by its number, or an issued plan by its letter';
COMMENT ON COLUMN comparison.as_of_day IS 'The day from which plans are computed that are not there';

CREATE SCHEMA queue;
COMMENT ON SCHEMA queue IS 'What the library that hands out heavy work keeps for itself; it makes its own tables';

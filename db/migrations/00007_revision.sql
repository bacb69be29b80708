-- +goose Up
-- What each revision did to the rows of a job, so that it can be undone and any state
-- before it had again; and the keys of requests, so that none is done twice.

CREATE TABLE revision (
    job      short_name NOT NULL REFERENCES job,
    revision bigint NOT NULL,
    at       timestamptz NOT NULL,
    who      text NOT NULL,
    account  uuid,
    link     uuid,
    undoes   bigint,
    delta    jsonb NOT NULL,
    PRIMARY KEY (job, revision),
    CONSTRAINT revision_counted CHECK (revision > 0),
    CONSTRAINT revision_by_somebody CHECK (who <> ''),
    CONSTRAINT revision_undoes_an_earlier CHECK (undoes > 0 AND undoes < revision)
);
COMMENT ON TABLE revision IS 'Every change of a job: who made it, and the rows as they were and as they are';
COMMENT ON COLUMN revision.account IS 'The account that made it, where one did';
COMMENT ON COLUMN revision.link IS 'The private link through which a trade made it';
COMMENT ON COLUMN revision.undoes IS 'The revision that this one undid';
COMMENT ON COLUMN revision.delta IS 'By table: "was" has the rows that went or changed, "is" those that came or changed. Empty for the revision that made the job';

CREATE TABLE receipt (
    job      short_name NOT NULL REFERENCES job,
    actor    uuid NOT NULL,
    key      text NOT NULL,
    print    text NOT NULL,
    revision bigint NOT NULL,
    at       timestamptz NOT NULL,
    PRIMARY KEY (job, actor, key)
);
COMMENT ON TABLE receipt IS 'Requests with a key of their own and the revision that each gave';
COMMENT ON COLUMN receipt.actor IS 'The account or private link that it came from; all zeros: neither';
COMMENT ON COLUMN receipt.print IS 'The fingerprint of the request';
CREATE INDEX revision_by_undone ON revision (job, undoes) WHERE undoes IS NOT NULL;
CREATE INDEX receipt_by_age ON receipt (job, at);

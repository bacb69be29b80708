-- +goose Up
-- What people attach to a step: photographs, drawings, reports.

CREATE TABLE attachment (
    job             short_name NOT NULL REFERENCES job,
    id              uuid NOT NULL,
    step            step_ref NOT NULL,
    name            text NOT NULL,
    kind            text NOT NULL,
    size            integer NOT NULL,
    sum             bytea NOT NULL,
    content         bytea,
    brought_at      timestamptz NOT NULL,
    brought_by      text NOT NULL,
    brought_account uuid,
    brought_link    uuid,
    removed_at      timestamptz,
    removed_by      text,
    PRIMARY KEY (job, id),
    CONSTRAINT attachment_named CHECK (name <> '' AND length(name) <= 200),
    CONSTRAINT attachment_kind_known CHECK (kind IN ('image/jpeg', 'image/png', 'image/webp', 'application/pdf')),
    CONSTRAINT attachment_size_counts CHECK (size > 0 AND (content IS NULL OR size = length(content))),
    CONSTRAINT attachment_sum_of_sha256 CHECK (length(sum) = 32),
    CONSTRAINT attachment_by_somebody CHECK (brought_by <> ''),
    CONSTRAINT attachment_there_or_removed CHECK (num_nonnulls(removed_at, removed_by) = CASE WHEN content IS NULL THEN 2 ELSE 0 END)
);
ALTER TABLE attachment ALTER COLUMN content SET STORAGE EXTERNAL; -- pictures are small already
CREATE UNIQUE INDEX attachment_once ON attachment (job, step, sum, name) WHERE content IS NOT NULL;
COMMENT ON TABLE attachment IS 'What people attach to a step. It is no content of the job: no revision is made, and it stays when the step goes';
COMMENT ON COLUMN attachment.step IS 'The step or hold point it belongs to, as it was called then';
COMMENT ON COLUMN attachment.kind IS 'What the content itself shows that it is, whatever it was sent as';
COMMENT ON COLUMN attachment.sum IS 'SHA-256 of the content';
COMMENT ON COLUMN attachment.content IS 'Null: it was removed; that it was there, and who removed it, stays';
COMMENT ON COLUMN attachment.brought_account IS 'Whose account it was; null: none';
COMMENT ON COLUMN attachment.brought_link IS 'Whose private link it was; null: none';

-- +goose Up
-- What a change of names changed beside the job, so that undoing it changes it back.

ALTER TABLE revision ADD COLUMN renames jsonb;
COMMENT ON COLUMN revision.renames IS 'The names that things were given instead of others, by kind; null: none were';

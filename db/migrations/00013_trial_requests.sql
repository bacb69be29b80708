-- +goose Up
-- Requests that change trials are known again as all others are.
ALTER TABLE trial DROP COLUMN key;
COMMENT ON TABLE receipt IS 'Requests with a key of their own and what each gave';
COMMENT ON COLUMN receipt.revision IS 'The revision of the job; of a trial its number, or its version';

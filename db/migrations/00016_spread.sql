-- +goose Up
-- How well and how badly work may go, so that it can be told how sure a day is.

ALTER TABLE task ADD COLUMN at_best span NOT NULL DEFAULT '0 minutes', ADD COLUMN at_worst span NOT NULL DEFAULT '0 minutes';
COMMENT ON COLUMN task.at_best IS 'The least it could take; no length: no less than it takes';
COMMENT ON COLUMN task.at_worst IS 'The most it could take; no length: no more than it takes';

ALTER TABLE stage ADD COLUMN at_best span NOT NULL DEFAULT '0 minutes', ADD COLUMN at_worst span NOT NULL DEFAULT '0 minutes';
COMMENT ON COLUMN stage.at_best IS 'The least it could take; no length: no less than it takes';
COMMENT ON COLUMN stage.at_worst IS 'The most it could take; no length: no more than it takes';

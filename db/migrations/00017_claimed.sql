-- +goose Up
-- Who wrote an address down: what an account says of itself gives nobody a place that was
-- meant for whoever reads the mail there.

ALTER TABLE account ADD COLUMN claimed boolean NOT NULL DEFAULT false;
UPDATE account SET claimed = true WHERE email IS NOT NULL AND proven_at IS NULL; -- nobody knows any more who wrote it
COMMENT ON COLUMN account.claimed IS 'The address was written by the account itself and not by who gave it a seat';

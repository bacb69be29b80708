-- +goose Up
-- Who may come in, what they may do on which job, and by what they come in. Of
-- secrets and tokens there is only their SHA-256 here, of passwords argon2id.

CREATE DOMAIN hash AS bytea
    CONSTRAINT hash_whole CHECK (octet_length(VALUE) = 32);
COMMENT ON DOMAIN hash IS 'SHA-256 of a secret that is kept nowhere';

CREATE TABLE account (
    id        uuid PRIMARY KEY,
    name      text NOT NULL,
    email     text,
    proven_at timestamptz,
    password  text,
    steward   boolean NOT NULL DEFAULT false,
    made_at   timestamptz NOT NULL,
    closed_at timestamptz,
    CONSTRAINT account_email_once UNIQUE (email),
    CONSTRAINT account_named CHECK (name <> ''),
    CONSTRAINT account_email_spelt CHECK (email = lower(email) AND email LIKE '%_@_%')
);
COMMENT ON TABLE account IS 'Somebody who may sign in';
COMMENT ON COLUMN account.name IS 'What the history says of who changed something';
COMMENT ON COLUMN account.email IS 'In lower case; null: none is known';
COMMENT ON COLUMN account.proven_at IS 'When a link mailed to that address was first used; null: never, so the address may be another''s';
COMMENT ON COLUMN account.password IS 'argon2id of the password, with its settings; null: there is none';
COMMENT ON COLUMN account.steward IS 'The machine''s own owner: owner of every job, may make jobs';
COMMENT ON COLUMN account.closed_at IS 'From when on nothing lets them in any more';

CREATE TABLE seat (
    account uuid NOT NULL REFERENCES account,
    job     short_name NOT NULL REFERENCES job,
    role    text NOT NULL,
    person  short_name,
    PRIMARY KEY (account, job),
    CONSTRAINT seat_role_known CHECK (role IN ('owner', 'designer', 'site lead', 'reader'))
);
CREATE INDEX seat_of_job ON seat (job);
COMMENT ON TABLE seat IS 'What an account is on a job';
COMMENT ON COLUMN seat.person IS 'The person of the job it acts as; the job may have lost that person meanwhile';

CREATE TABLE trade_link (
    id         uuid PRIMARY KEY,
    job        short_name NOT NULL REFERENCES job,
    trade      short_name NOT NULL,
    label      text NOT NULL,
    secret     hash NOT NULL,
    calendar   hash NOT NULL,
    made_by    text NOT NULL,
    made_at    timestamptz NOT NULL,
    expires_at timestamptz NOT NULL,
    revoked_at timestamptz,
    used_at    timestamptz,
    CONSTRAINT trade_link_secret_once UNIQUE (secret),
    CONSTRAINT trade_link_calendar_once UNIQUE (calendar),
    CONSTRAINT trade_link_labelled CHECK (label <> ''),
    CONSTRAINT trade_link_lasts CHECK (expires_at > made_at)
);
CREATE INDEX trade_link_of_job ON trade_link (job);
COMMENT ON TABLE trade_link IS 'A trade''s private way to its own windows; any number of devices may use it';
COMMENT ON COLUMN trade_link.trade IS 'The job may have lost that trade meanwhile';
COMMENT ON COLUMN trade_link.label IS 'Whom it was given to: the name in the history';
COMMENT ON COLUMN trade_link.secret IS 'What the link holds';
COMMENT ON COLUMN trade_link.calendar IS 'What the address of its calendar holds, which opens nothing else';
COMMENT ON COLUMN trade_link.made_by IS 'The name of who made it';
COMMENT ON COLUMN trade_link.used_at IS 'When it was last used, give or take some minutes';

CREATE TABLE session (
    token      hash PRIMARY KEY,
    id         uuid NOT NULL,
    account    uuid REFERENCES account,
    trade_link uuid REFERENCES trade_link,
    device     text NOT NULL,
    made_at    timestamptz NOT NULL,
    seen_at    timestamptz NOT NULL,
    expires_at timestamptz NOT NULL,
    ended_at   timestamptz,
    CONSTRAINT session_id_once UNIQUE (id),
    CONSTRAINT session_of_one CHECK (num_nonnulls(account, trade_link) = 1)
);
CREATE INDEX session_of_account ON session (account);
CREATE INDEX session_of_trade_link ON session (trade_link);
COMMENT ON TABLE session IS 'One device that is signed in, for an account or for a trade''s link';
COMMENT ON COLUMN session.token IS 'Of what the cookie or the bearer holds';
COMMENT ON COLUMN session.id IS 'What it is called when it is listed and ended';
COMMENT ON COLUMN session.device IS 'What kind of device, in few plain words';
COMMENT ON COLUMN session.seen_at IS 'When it was last used, give or take some minutes';

CREATE TABLE sign_in_link (
    secret     hash PRIMARY KEY,
    account    uuid NOT NULL REFERENCES account,
    handed     text NOT NULL,
    made_at    timestamptz NOT NULL,
    expires_at timestamptz NOT NULL,
    spent_at   timestamptz,
    CONSTRAINT sign_in_link_handed_known CHECK (handed IN ('printed', 'mailed', 'shown'))
);
CREATE INDEX sign_in_link_of_account ON sign_in_link (account);
COMMENT ON TABLE sign_in_link IS 'A link that signs one device in, once';
COMMENT ON COLUMN sign_in_link.handed IS 'How it reached its reader: printed by the program where it runs, mailed, or shown on a page';
